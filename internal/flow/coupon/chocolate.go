package coupon

import (
	"bytes"
	"context"
	"fmt"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/master"
	"mouldwright/internal/flow/piece"
)

// The chocolate coupon's piece, in mm (our choice: it holds both ladders, and its samples are
// finer than any step of them).
const (
	chocolateWide, chocolateDeep, chocolateHigh = 52.0, 34.0, 5.0
	chocolateArtMM                              = 0.6 // depth of lines and gaps
	chocolatePitchMM                            = 0.025
)

// chocolate makes a small piece with the ladders on it, in a cup of its own that takes
// the rubber: piece, base and cup are one print. What is left of the first mix of
// rubber fills it.
func (m *maker) chocolate(ctx context.Context) (*Coupon, error) {
	c := &Coupon{Kind: Chocolate, Name: "chocolate", Places: Spots(Chocolate, m.Printer.LayerMM)}
	p, found, err := piece.Make(ctx, chocolatePiece(), piece.Inputs{Fonts: m.Fonts, Files: chocolateFiles()}, nil, -1, chocolatePitchMM)
	if err != nil || p == nil {
		if err == nil {
			err = fmt.Errorf("coupon: %s", found)
		}
		return nil, err
	}
	it, err := master.Surface(ctx, p, m.Master, m.Silicone.Shrinkage.Likely, m.Resin.BleedMM.Likely, 0.01)
	if err != nil {
		return nil, err
	}
	const (
		wallMM = 1.6
		leanMM = 0.9 // over the cup's height: 3 degrees, and soft rubber comes out
		freeMM = 2.0
	)
	base := m.Master.BaseMM
	b := it.Outline.Bounds().Grow(m.Master.MarginMM)
	level := it.HeightMM + m.Master.OverMM
	inner := box(b.Min.X, b.Min.Y, b.Max.X, b.Max.Y)
	outer := box(b.Min.X-wallMM-2*leanMM, b.Min.Y-wallMM-2*leanMM, b.Max.X+wallMM+2*leanMM, b.Max.Y+wallMM+2*leanMM)
	ring := inner[0]
	hole := make(geom.Ring, len(ring))
	for i := range ring {
		hole[i] = ring[len(ring)-1-i]
	}
	s := &solid{outline: boundsOf(outer, 0.4), thickMM: base, terraces: []terrace{{outline: append(outer, hole), riseMM: level + freeMM, inMM: leanMM}}}
	sheet, err := it.Sheet.Placed(0, 0, 0, base)
	if err != nil {
		return nil, err
	}
	s.sheets = append(s.sheets, sheet)
	grow := leanMM * level / (level + freeMM) // how much wider the cup is at the level, each side
	c.RubberMM3 = prismoid(b.W(), b.H(), grow, level) - it.VolumeMM3
	c.PieceMM3 = p.VolumeMM3
	c, err = finish(ctx, c, s)
	if err != nil {
		return nil, err
	}
	to := geom.Move(c.WidthMM/2, c.DepthMM/2)
	c.Drawing = append(c.Drawing, it.Outline.Transform(to))
	art, err := m.chocolateDrawing()
	if err != nil {
		return nil, err
	}
	for _, o := range art {
		c.Drawing = append(c.Drawing, o.Transform(to))
	}
	return c, nil
}

func boundsOf(o geom.Outline, grow float64) geom.Outline {
	b := o.Bounds().Grow(grow)
	return box(b.Min.X, b.Min.Y, b.Max.X, b.Max.Y)
}

// prismoid is the volume over a w x d floor whose sides lean out to grow mm at h.
func prismoid(w, d, grow, h float64) float64 {
	mid := (w + grow) * (d + grow)
	return h / 6 * (w*d + 4*mid + (w+2*grow)*(d+2*grow))
}

// chocolatePiece is the coupon as a design: a flat body, figures of their own height
// in front, gaps and raised lines behind them with labels in tenths of a mm.
func chocolatePiece() piece.Choices {
	c := piece.Choices{
		Name: "coupon", Count: 1, Cavities: 1, Outline: "rounded rectangle", WidthMM: chocolateWide, DepthMM: chocolateDeep,
		CornerMM: 3, HeightMM: chocolateHigh, DraftDeg: 8, EdgeMM: 0.5, Top: "flat",
	}
	art := artwork.Choices{As: "auto", Font: "sans bold", Align: "centre", Leading: 1.2, Side: "raised", DepthMM: chocolateArtMM, Profile: "flat", DraftDeg: 10, Gamma: 1, Threshold: 0.5, Orientation: "z"}
	word := func(text string, h, x, y float64) {
		a := art
		a.Text, a.HeightMM, a.XMM, a.YMM = text, h, x, y
		c.Art = append(c.Art, a)
	}
	x := -22.0
	for _, h := range chocolateLettersMM {
		w := h * 0.62 * float64(len(fmt.Sprintf("%g", h)))
		word(fmt.Sprintf("%g", h), h, x+w/2, -11.2)
		x += w + 3
	}
	for i, w := range chocolateLinesMM {
		for _, row := range chocolateRows {
			word(fmt.Sprintf("%.0f", w*10), 2.6, chocolateX(i), row.labelMM)
		}
	}
	for _, row := range chocolateRows {
		a := art
		a.File, a.Side = row.file, row.side
		_, at := bars(row)
		a.WidthMM, a.XMM, a.YMM = at.W(), at.Center().X, at.Center().Y
		c.Art = append(c.Art, a)
	}
	return c
}

// chocolateRow is a ladder of bars on the piece.
type chocolateRow struct {
	file, side     string
	barMM, labelMM float64 // middles of bars and labels
}

// The rows and their bars leave room for a label over each (our choice: read by eye, in mm).
var chocolateRows = []chocolateRow{{"gaps.svg", "sunk", 0.4, -4.6}, {"lines.svg", "raised", 11.4, 6.4}}

const chocolateBarMM = 5.0 // length (our choice: long enough to see a break)

func chocolateX(i int) float64 { return -21 + 7*float64(i) }

// bars are the bars of a row, and their box.
func bars(row chocolateRow) ([]geom.Outline, geom.Rect) {
	var out []geom.Outline
	r := geom.EmptyRect()
	for i, w := range chocolateLinesMM {
		x := chocolateX(i)
		o := box(x-w/2, row.barMM-chocolateBarMM/2, x+w/2, row.barMM+chocolateBarMM/2)
		out = append(out, o)
		r.Add(o.Bounds().Min)
		r.Add(o.Bounds().Max)
	}
	return out, r
}

// chocolateFiles are the bars as drawings in mm.
func chocolateFiles() map[string][]byte {
	files := map[string][]byte{}
	for _, row := range chocolateRows {
		list, r := bars(row)
		var b bytes.Buffer
		fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%gmm" height="%gmm" viewBox="0 0 %g %g">`, r.W(), r.H(), r.W(), r.H())
		for _, o := range list {
			q := o.Bounds()
			fmt.Fprintf(&b, `<rect x="%.4f" y="0" width="%.4f" height="%g"/>`, q.Min.X-r.Min.X, q.W(), r.H())
		}
		b.WriteString("</svg>")
		files[row.file] = b.Bytes()
	}
	return files
}

// chocolateDrawing is the art as lines.
func (m *maker) chocolateDrawing() (out []geom.Outline, err error) {
	for _, a := range chocolatePiece().Art {
		if a.Text == "" {
			continue
		}
		o, err := m.words(a.Text, a.HeightMM, a.XMM, a.YMM)
		if err != nil {
			return nil, err
		}
		out = append(out, o)
	}
	for _, row := range chocolateRows {
		list, _ := bars(row)
		out = append(out, list...)
	}
	return out, nil
}
