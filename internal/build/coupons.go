package build

import (
	"context"
	"io"

	"mouldwright/internal/flow"
	"mouldwright/internal/output"
	"mouldwright/internal/sheet"
)

// Coupons makes a job's coupons into a folder, which the caller commits: their plates,
// and the sheet that says what to measure where.
func Coupons(ctx context.Context, in *flow.Input, out *output.Folder, opt Options) (*flow.Coupons, error) {
	create := func(name string) (io.WriteCloser, error) { return out.Create(name) }
	c, err := flow.MakeCoupons(ctx, in, opt.Version, create)
	if err != nil {
		return nil, err
	}
	return c, write(out, "coupons.pdf", func(w io.Writer) error { return sheet.WriteCoupons(ctx, w, c, opt.Paper) })
}
