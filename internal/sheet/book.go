package sheet

import (
	"context"
	"fmt"
	"io"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/pdf"

	"mouldwright/internal/flow"
	"mouldwright/internal/flow/box"
)

// stages are the words across the top of every page, in the order of the work.
var stages = []string{"overview", "pieces", "master", "plates", "rubber", "kitchen", "calendar", "shopping", "remarks", "assumed"}

// book is a PDF being made.
type book struct {
	r       *flow.Result
	s       *Sketchbook
	f       *faces
	size    [2]float64
	sheets  []side
	named   map[string]int // pieces of the plan
	plain   bool           // pages without stages and numbers
	spilled []string       // texts that left their page: there must be none
}

// side is a page to be drawn, under the stage it belongs to.
type side struct {
	stage string
	draw  func(*page) error
}

// blank is a book without pages, on the paper "A4" or "Letter".
func blank(r *flow.Result, paper string) (*book, error) {
	size, ok := box.Papers[paper]
	if !ok {
		return nil, fmt.Errorf("sheet: no paper %q; allowed: A4, Letter", paper)
	}
	f, err := newFaces()
	return &book{r: r, f: f, size: size}, err
}

// newBook lists the pages in their order.
func newBook(r *flow.Result, s *Sketchbook, paper string) (*book, error) {
	b, err := blank(r, paper)
	if err != nil {
		return nil, err
	}
	b.s = s
	b.add("overview", b.title)
	for _, d := range b.designs() {
		b.add("pieces", func(p *page) error { return b.design(p, d) })
		b.foreseenPages(d)
		b.changesPage(d)
		for _, names := range d.contacts() {
			b.add("pieces", func(p *page) error { return b.contact(p, d, names) })
		}
	}
	if r.Master != nil {
		for i := range r.Master.Trays {
			b.trayPages(i)
		}
	}
	b.platePages()
	b.rubberPages()
	b.kitchenPages()
	b.remarkPages()
	b.assumedPages()
	return b, nil
}

func (b *book) add(stage string, draw func(*page) error) {
	b.sheets = append(b.sheets, side{stage, draw})
}

// write draws the pages one after the other.
func (b *book) write(ctx context.Context, w io.Writer) error {
	if len(b.sheets) > MaxPages {
		return fmt.Errorf("sheet: %d pages needed, allowed %d; split the job", len(b.sheets), MaxPages)
	}
	out := &steady{w: w}
	opts := pdf.DefaultOptions
	doc := pdf.New(out, b.size[0], b.size[1], &opts)
	doc.SetInfo(b.r.Plan.Title, "Sheets for revision "+b.r.Plan.Revision, "", "", "Mouldwright "+b.r.Plan.Version)
	for i, s := range b.sheets {
		if err := ctx.Err(); err != nil {
			return err
		}
		if i > 0 {
			doc.NewPage(b.size[0], b.size[1])
		}
		p := &page{book: b, f: b.f, ctx: ctx, c: canvas.NewContext(doc), width: b.size[0], height: b.size[1], number: i + 1, stage: s.stage}
		if !b.plain {
			p.frame(len(b.sheets))
		}
		if err := s.draw(p); err != nil {
			return err
		}
		if out.err != nil {
			return out.err
		}
	}
	return doc.Close()
}
