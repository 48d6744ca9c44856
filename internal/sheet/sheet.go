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
	"fmt"
	"io"

	"mouldwright/internal/flow"
)

// Papers are the sizes that sheets come in, width and height in mm: ISO 216 A4 and
// ANSI/ASME Y14.1 size A (US Letter).
var Papers = map[string][2]float64{"A4": {210, 297}, "Letter": {215.9, 279.4}}

// MaxPages bounds a book. 2,000 names take about 60 pages.
const MaxPages = 2000

// Write writes the job's pages as a PDF on the paper "A4" or "Letter".
func Write(ctx context.Context, w io.Writer, r *flow.Result, s *Sketchbook, paper string) error {
	size, ok := Papers[paper]
	if !ok {
		return fmt.Errorf("sheet: no paper %q; allowed: A4, Letter", paper)
	}
	b, err := newBook(r, s, size)
	if err != nil {
		return err
	}
	return b.write(ctx, w)
}
