package sheet

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/jpeg"

	cimage "github.com/tdewolff/canvas/image"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/cavity"
	"mouldwright/internal/flow/piece"
	"mouldwright/internal/sheet/picture"
)

// Sketchbook is a flow.Watcher that draws each piece while its relief is at hand:
// a small picture of every piece, a large one, the edges and a section of the first
// piece of every design, and a still life of some. It keeps about 10 kB for each
// name.
type Sketchbook struct {
	choices *flow.Choices
	small   map[int]*cimage.Image // by index of the piece
	seen    map[int]geom.Rect     // what each shows, mm
	sketch  map[int]*Sketch       // by design
	still   []model               // for the picture of the whole
	stills  map[int]int           // how many of each design are in it
	cover   *cimage.Image         // the still life for the first page, once drawn
}

// Sketch is what is drawn of a design's first piece.
type Sketch struct {
	Picture *cimage.Image // from the chair
	Edges   []Line        // seen from above, mm
	Section Section
	Outline geom.Outline
	Box     geom.Rect
	Changes *Changes // nil without a job
}

// model is a piece kept for the still life, on a coarse grid.
type model struct {
	design int
	body   picture.Body
}

// Sizes of pictures in pixels: small ones are printed 30 mm wide, large ones 170 mm.
const (
	smallPx = 300
	largePx = 1500
	coverPx = 1800
	stillMM = 0.08 // pitch of the still life's models

	maxStill    = 9    // pieces on the table
	maxModels   = 3    // of each design, and
	maxDesigns  = 6    // of so many designs: 0.6 MB each
	maxPictures = 4000 // small ones; names beyond have their caption only
)

// NewSketchbook makes an empty one for a job.
func NewSketchbook(c *flow.Choices) *Sketchbook {
	return &Sketchbook{choices: c, small: map[int]*cimage.Image{}, seen: map[int]geom.Rect{}, sketch: map[int]*Sketch{}, stills: map[int]int{}}
}

// kind is the chocolate of a design: dark, milk or white.
func (s *Sketchbook) kind(design int) string {
	if s.choices == nil || design < 0 || design >= len(s.choices.Pieces) {
		return picture.Dark
	}
	return s.choices.Chocolate[s.choices.Pieces[design].Chocolate].Kind
}

// Piece draws one piece.
func (s *Sketchbook) Piece(ctx context.Context, index int, p *piece.Piece, c *cavity.Cavity) error {
	kind := s.kind(p.Design)
	if len(s.small) < maxPictures {
		m, err := picture.Chocolate(ctx, p.Relief, p.Footprint, kind, picture.Look{SizePx: smallPx, Ground: picture.Blank})
		if err != nil {
			return fmt.Errorf("picture of %s: %w", p.Name, err)
		}
		s.seen[index] = picture.Seen(p.Relief, p.Footprint, picture.Above)
		if s.small[index], err = pressed(m, 84); err != nil {
			return err
		}
	}
	if n := s.stills[p.Design]; n < maxModels && (n > 0 || len(s.stills) < maxDesigns) {
		s.stills[p.Design]++
		f, err := picture.Coarser(ctx, p.Relief, stillMM)
		if err != nil {
			return err
		}
		s.still = append(s.still, model{p.Design, picture.Body{Relief: f, Outline: p.Footprint, Kind: kind}})
	}
	if s.sketch[p.Design] != nil {
		return nil
	}
	m, err := picture.Chocolate(ctx, p.Relief, p.Footprint, kind, picture.Look{SizePx: largePx, View: picture.Chair, Ground: picture.Blank})
	if err != nil {
		return fmt.Errorf("picture of %s: %w", p.Name, err)
	}
	k := &Sketch{Outline: p.Footprint, Box: p.Footprint.Bounds()}
	if k.Picture, err = pressed(m, 90); err != nil {
		return err
	}
	coarse := p.Relief
	if coarse.PitchMM < edgePitchMM {
		if coarse, err = picture.Coarser(ctx, p.Relief, edgePitchMM); err != nil {
			return err
		}
	}
	k.Edges = edges(coarse)
	var filling *field.Field
	var capMM float64
	if c != nil {
		filling = c.Filling
	}
	if s.choices != nil {
		capMM = s.choices.Shell.CapMM
	}
	k.Section = cut(p.Relief, filling, capMM)
	if s.choices != nil {
		if k.Changes, err = s.changesOf(ctx, p); err != nil {
			return fmt.Errorf("changes of %s: %w", p.Name, err)
		}
	}
	s.sketch[p.Design] = k
	return nil
}

// pressed is a picture as JPEG, as it is put into the PDF.
func pressed(m image.Image, quality int) (*cimage.Image, error) {
	// Without transparency the two layouts are the same bytes, and the encoder has a
	// quick way for the one.
	if n, ok := m.(*image.NRGBA); ok && n.Opaque() {
		m = &image.RGBA{Pix: n.Pix, Stride: n.Stride, Rect: n.Rect}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: quality}); err != nil {
		return nil, err
	}
	return cimage.NewJPEGImage(&b)
}

// coverPicture is the still life for the first page, drawn once for both papers.
func (s *Sketchbook) coverPicture(ctx context.Context) (*cimage.Image, error) {
	if s.cover == nil {
		m, err := s.Still(ctx, coverPx, picture.Blank)
		if err != nil || m == nil {
			return nil, err
		}
		if s.cover, err = pressed(m, 90); err != nil {
			return nil, err
		}
	}
	return s.cover, nil
}

// Still is the picture of the whole: some of the pieces, in rows on a table.
func (s *Sketchbook) Still(ctx context.Context, sizePx int, ground picture.Ground) (image.Image, error) {
	if len(s.still) == 0 {
		return nil, nil
	}
	// Designs take turns, so that neighbours differ; a design with few models shows
	// them again.
	of := map[int][]int{}
	var designs []int
	for i, m := range s.still {
		if len(of[m.design]) == 0 {
			designs = append(designs, m.design)
		}
		of[m.design] = append(of[m.design], i)
	}
	var order []int
	for k := 0; len(order) < maxStill; k++ {
		d := k
		if len(designs)%3 == 0 {
			d += k / 3 // each row begins with the next design
		}
		models := of[designs[d%len(designs)]]
		order = append(order, models[k/len(designs)%len(models)])
	}
	cols := 1
	for cols*cols < len(order) {
		cols++
	}
	var w, d float64
	for _, m := range s.still {
		b := m.body.Outline.Bounds()
		w, d = max(w, b.W()), max(d, b.H())
	}
	w, d = w+5, d+5
	turns := [...]float64{-5, 4, 8, -9, 3, -4, 6, -7, 2} // as a hand sets them down
	var placed []picture.Placed
	extent := geom.EmptyRect()
	for n, i := range order {
		row, col := n/cols, n%cols
		in := min(cols, len(order)-row*cols)
		x := (float64(col)-float64(in-1)/2)*w + float64(row%2)*w*0.12
		y := -float64(row) * d
		placed = append(placed, picture.Placed{Body: i, XMM: x, YMM: y, TurnDeg: turns[n%len(turns)]})
		extent.Add(geom.Vec{X: x - w*0.75, Y: y - d*0.75})
		extent.Add(geom.Vec{X: x + w*0.75, Y: y + d*0.75})
	}
	body := func(i int) (picture.Body, error) { return s.still[i].body, nil }
	return picture.Scene(ctx, extent, body, placed, picture.Look{SizePx: sizePx, View: picture.Chair, Ground: ground})
}
