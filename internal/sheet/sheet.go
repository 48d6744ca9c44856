// Package sheet turns a plan into pages for the table and the bench: one PDF with
// pictures, workshop drawings, what to weigh and what to look out for.
//
//	flow.Watcher --Sketchbook--> pictures and sections, drawn while the reliefs are at hand
//	flow.Result + Sketchbook --Write--> PDF, A4 or US Letter
//
// Every page carries the revision's code and its number, and room to write down
// what was really weighed. The same result gives the same bytes: no clock is read.
//
// Start at book.go, which lists the pages in their order; a page's content stands
// in the file of its name. page.go, type.go, drawing.go, hatch.go and dimension.go
// hold what they are drawn with.
package sheet

import (
	"context"
	"io"

	"mouldwright/internal/flow"
)

// MaxPages bounds a book. 2,000 names take about 60 pages.
const MaxPages = 2000

// Write writes the job's pages as a PDF on the paper "A4" or "Letter".
func Write(ctx context.Context, w io.Writer, r *flow.Result, s *Sketchbook, paper string) error {
	b, err := newBook(r, s, paper)
	if err != nil {
		return err
	}
	return b.write(ctx, w)
}
