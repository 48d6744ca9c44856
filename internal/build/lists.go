package build

import (
	"io"

	"mouldwright/internal/flow"
	"mouldwright/internal/output"
)

// lists writes the calendar and the shopping list for other programs.
func lists(out *output.Folder, r *flow.Result) error {
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
