// Package build runs the flow and writes everything it gives into an output folder.
// The command line and the workshop both build through it, so that their files are
// equal byte for byte.
//
//	flow.Input + output.Folder --Into--> plates/, pictures/, sheets/, calendar.ics, shopping.csv, plan.json
package build

import (
	"context"
	"encoding/json"
	"io"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow"
	"mouldwright/internal/output"
	"mouldwright/internal/record"
	"mouldwright/internal/sheet"
	"mouldwright/internal/sheet/picture"
)

// Options is what a build is given besides the job.
type Options struct {
	Version  string
	Paper    string // "A4" or "Letter"
	Progress flow.Progress
	Built    *record.Built // filled with what is to be remembered; nil: nothing
	Layers   bool          // also write every plate's layer images
	Only     []int         // parts, from 1, to print again; then only their plates and the plan are written
}

// stillPx is the width of the picture of the whole: enough for a screen and for a
// page at 200 dpi. Its cost grows with the square, so the tests look at a small one.
var stillPx = 1600

// Into builds a job into a folder, which the caller commits. When a finding says
// stop, the plan in the result says so and the folder is not to be committed.
func Into(ctx context.Context, in *flow.Input, out *output.Folder, opt Options) (*flow.Result, error) {
	create := func(name string) (io.WriteCloser, error) { return out.Create(name) }
	note(out, opt.Built)
	book := sheet.NewSketchbook(&in.Choices)
	r, err := flow.Build(ctx, in, flow.Options{Version: opt.Version, Watcher: above{book, opt.Built}, Progress: opt.Progress, Create: create, Layers: opt.Layers, Only: opt.Only})
	if err != nil || finding.Worst(r.Plan.Findings) == finding.Stop {
		return r, err
	}
	if len(opt.Only) > 0 {
		return r, writePlan(out, &r.Plan)
	}
	if opt.Built != nil {
		opt.Built.Input, opt.Built.Plan = in, &r.Plan
		opt.Built.Plates, opt.Built.Laid = laid(r)
	}
	if opt.Progress != nil {
		opt.Progress("sheet", 0, 1)
	}
	err = write(out, "sheets/job.pdf", func(w io.Writer) error { return sheet.Write(ctx, w, r, book, opt.Paper) })
	if err != nil {
		return nil, err
	}
	if err := write(out, "sheets/bench.pdf", func(w io.Writer) error { return sheet.WriteBench(ctx, w, r, opt.Paper) }); err != nil {
		return nil, err
	}
	if err := lists(ctx, out, r, opt.Paper); err != nil {
		return nil, err
	}
	if err := write(out, "sheets/kitchen.pdf", func(w io.Writer) error { return sheet.WriteKitchen(ctx, w, r, opt.Paper) }); err != nil {
		return nil, err
	}
	if err := boxes(ctx, out, r, book, opt.Paper); err != nil {
		return nil, err
	}
	still, err := book.Still(ctx, stillPx, picture.Paper)
	if err != nil {
		return nil, err
	}
	if still != nil {
		if err := write(out, "pictures/all.png", func(w io.Writer) error { return picture.WritePNG(w, still) }); err != nil {
			return nil, err
		}
	}
	if opt.Progress != nil {
		opt.Progress("sheet", 1, 1)
	}
	// The plan comes last: a folder that holds it is whole.
	return r, writePlan(out, &r.Plan)
}

func writePlan(out *output.Folder, p *flow.Plan) error {
	return write(out, "plan.json", func(w io.Writer) error {
		e := json.NewEncoder(w)
		e.SetIndent("", "  ")
		return e.Encode(p)
	})
}

func write(out *output.Folder, name string, content func(io.Writer) error) error {
	f, err := out.Create(name)
	if err != nil {
		return err
	}
	err = content(f)
	if closing := f.Close(); err == nil {
		err = closing
	}
	return err
}
