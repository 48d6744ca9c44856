package build

import (
	"context"
	"io"

	"mouldwright/internal/flow"
	"mouldwright/internal/output"
	"mouldwright/internal/sheet"
)

// boxes writes what is printed for the boxes, where the job has any.
func boxes(ctx context.Context, out *output.Folder, r *flow.Result, book *sheet.Sketchbook, paper string) error {
	if len(r.Plan.Boxes) == 0 {
		return nil
	}
	for _, s := range []struct {
		name string
		do   func(io.Writer) error
	}{
		{"sheets/boxes.pdf", func(w io.Writer) error { return sheet.WriteBoxes(ctx, w, r, book, paper) }},
		{"sheets/cards.pdf", func(w io.Writer) error { return sheet.WriteCards(ctx, w, r, book, paper) }},
		{"sheets/labels.pdf", func(w io.Writer) error { return sheet.WriteLabels(ctx, w, r, book) }},
	} {
		if err := write(out, s.name, s.do); err != nil {
			return err
		}
	}
	return nil
}
