package build

import (
	"context"
	"io"

	"mouldwright/internal/flow"
	"mouldwright/internal/output"
	"mouldwright/internal/sheet"
)

// lists writes the calendar and the shopping list, on paper and for other programs.
func lists(ctx context.Context, out *output.Folder, r *flow.Result, paper string) error {
	if err := write(out, "sheets/calendar.pdf", func(w io.Writer) error { return sheet.WriteCalendar(ctx, w, r, paper) }); err != nil {
		return err
	}
	if r.Calendar != nil {
		if err := write(out, "calendar.ics", func(w io.Writer) error { return r.Calendar.WriteICS(w, r.Plan.Title) }); err != nil {
			return err
		}
	}
	if r.Shopping == nil {
		return nil
	}
	return write(out, "shopping.csv", r.Shopping.WriteCSV)
}
