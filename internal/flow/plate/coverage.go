package plate

import (
	"context"
	"fmt"
	"math"
	"math/bits"
	"sync/atomic"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// The rows of an image are drawn in bands of this many (our choice: enough that a band
// packs well, few enough that its sums stay near the processor).
const bandRows = 32

// drawing is one slice, its edge in pixels sorted by bands.
type drawing struct {
	cut   []segment // of one solid, in mm
	edge  []segment // of all, in pixels, y downwards, without level pieces
	start []int     // of each band's edges in index
	index []uint32
	leak  atomic.Bool // a row that did not close
}

// open cuts layer k.
func (s *Stack) open(k int) (*drawing, error) {
	if err := s.outside(k); err != nil {
		return nil, err
	}
	d := s.drawing.Get().(*drawing)
	d.edge = d.edge[:0]
	d.leak.Store(false)
	toPixels := geom.Affine{A: 1 / s.PixelMM, D: -1 / s.PixelMM, F: float64(s.DepthPx)}
	for i := range s.solids {
		b := &s.solids[i]
		d.cut = b.slicer.cut(k, d.cut[:0])
		if len(d.edge)+len(d.cut)*len(b.places) > maxSegments {
			s.drawing.Put(d)
			return nil, &finding.Error{Key: fmt.Sprintf("layer %d", k), Found: fmt.Sprintf("a slice of more than %d edges", maxSegments), Do: "fewer parts on the plate, or a coarser master.tolerance_mm"}
		}
		for _, place := range b.places {
			m := place.Then(toPixels)
			for _, g := range d.cut {
				a, b := m.Apply(geom.Vec{X: g.ax, Y: g.ay}), m.Apply(geom.Vec{X: g.bx, Y: g.by})
				if a.Y != b.Y {
					d.edge = append(d.edge, segment{a.X, a.Y, b.X, b.Y})
				}
			}
		}
	}
	d.sort(s.DepthPx)
	return d, nil
}

// sort lists each band's edges, in their order.
func (d *drawing) sort(rows int) {
	bands := (rows + bandRows - 1) / bandRows
	span := func(g segment) (from, to int) {
		return max(0, int(math.Floor(min(g.ay, g.by)/bandRows))), min(bands-1, int(math.Floor(max(g.ay, g.by)/bandRows)))
	}
	d.start = append(d.start[:0], make([]int, bands+1)...)
	for _, g := range d.edge {
		for i, to := span(g); i <= to; i++ {
			d.start[i]++
		}
	}
	n := 0
	for i := range d.start {
		n += d.start[i]
		d.start[i] = n
	}
	if cap(d.index) < n {
		d.index = make([]uint32, n)
	}
	d.index = d.index[:n]
	for k := len(d.edge) - 1; k >= 0; k-- {
		for i, to := span(d.edge[k]); i <= to; i++ {
			d.start[i]--
			d.index[d.start[i]] = uint32(k)
		}
	}
}

// closed is the refusal of a slice whose edge does not close.
func (d *drawing) closed(k int) error {
	if !d.leak.Load() {
		return nil
	}
	return &finding.Error{Key: fmt.Sprintf("layer %d", k), Found: "a part whose slice has an open edge", Allowed: "closed meshes"}
}

// bands calls do for every band of rows, j0 up to before j1, on all cores.
func (s *Stack) bands(ctx context.Context, d *drawing, do func(p *pen, band, j0, j1 int)) error {
	return field.ForRows(ctx, len(d.start)-1, func(b0, b1 int) {
		p := s.pens.Get().(*pen)
		defer s.pens.Put(p)
		for b := b0; b < b1 && ctx.Err() == nil; b++ {
			do(p, b, b*bandRows, min(s.DepthPx, (b+1)*bandRows))
		}
	})
}

// pen draws bands: the signed area and cover of cells, as font rasterisers do it. Every
// piece of edge in a row adds its height to the cell it runs through, shared between
// that cell and the next in proportion to the area on its right; the running sum along
// the row is then the share of each pixel inside the closed edge. It is exact but for
// the rounding of float64. A row has a cell before the first pixel and two behind the
// last, for edges that lie up to a pixel outside.
type pen struct {
	cells   int
	sum     []float64 // bandRows rows of cells; all zero between two bands
	touched []uint64  // a bit for each cell that is not zero, whole words to a row
	words   int
	packer
}

func newPen(widthPx int) *pen {
	p := &pen{cells: widthPx + 3, words: (widthPx + 3 + 63) / 64}
	p.sum, p.touched = make([]float64, bandRows*p.cells), make([]uint64, bandRows*p.words)
	return p
}

// draw fills the rows j0 up to before j1 of a band into pix, which is all zero.
func (p *pen) draw(d *drawing, band, j0, j1 int, pix []byte, stride int) {
	list := d.index[d.start[band]:d.start[band+1]]
	if len(list) == 0 {
		return
	}
	for _, k := range list {
		p.edge(d.edge[k], j0, j1)
	}
	for j := range j1 - j0 {
		if !p.row(j, pix[j*stride:j*stride+p.cells-3]) {
			d.leak.Store(true)
		}
	}
}

// edge adds what of a segment lies in the rows j0 up to before j1.
func (p *pen) edge(g segment, j0, j1 int) {
	sign := 1.0 // y grows downwards: the left side of a solid runs down
	if g.ay > g.by {
		g, sign = segment{g.bx, g.by, g.ax, g.ay}, -1
	}
	lean := (g.bx - g.ax) / (g.by - g.ay)
	lo, hi := min(g.ax, g.bx), max(g.ax, g.bx)
	// at keeps rounding from leading beyond the segment's ends.
	at := func(y float64) float64 { return max(lo, min(hi, g.ax+(y-g.ay)*lean)) }
	y, last := g.ay, min(g.by, float64(j1))
	x := g.ax
	if y < float64(j0) {
		y = float64(j0)
		x = at(y)
	}
	for j := int(y); y < last; j++ {
		below, to := float64(j+1), g.bx
		if below < g.by {
			to = at(below)
		} else {
			below = g.by
		}
		p.piece(j-j0, x+1, to+1, sign*(below-y))
		x, y = to, below
	}
}

// piece adds an edge within one row that goes from xa to xb, in cells, and down by
// cover (up, when it is below 0).
func (p *pen) piece(row int, xa, xb, cover float64) {
	if xa > xb {
		xa, xb = xb, xa
	}
	at := row * p.cells
	c, end := int(xa), int(xb)
	if c < end {
		per := cover / (xb - xa)
		for ; c < end; c++ {
			next := float64(c + 1)
			part := per * (next - xa)
			p.add(row, at, c, part, (xa+next)/2-float64(c))
			cover -= part
			xa = next
		}
	}
	p.add(row, at, c, cover, (xa+xb)/2-float64(c))
}

// add puts cover into cell c, its middle at the given share of the cell.
func (p *pen) add(row, at, c int, cover, middle float64) {
	p.sum[at+c] += cover * (1 - middle)
	p.sum[at+c+1] += cover * middle
	p.touched[row*p.words+c/64] |= 1 << (c % 64)
	c++
	p.touched[row*p.words+c/64] |= 1 << (c % 64)
}

// leakShare is the share of a pixel by which a row's sum may miss 0 at its end (our
// choice: the rounding of the 4 million pieces that a slice may have stays far below).
const leakShare = 1e-6

// row sums up one row into its pixels, leaves the cells zero, and tells whether the
// edge closed.
func (p *pen) row(j int, pix []byte) bool {
	cells := p.sum[j*p.cells : (j+1)*p.cells]
	share, from, value := 0.0, 0, byte(0) // value holds from pixel from on
	for w, set := range p.touched[j*p.words : (j+1)*p.words] {
		if set == 0 {
			continue
		}
		p.touched[j*p.words+w] = 0
		for ; set != 0; set &= set - 1 {
			c := w*64 + bits.TrailingZeros64(set)
			share += cells[c]
			cells[c] = 0
			if next := grey(share); next != value {
				to := max(0, min(c-1, len(pix)))
				fill(pix[from:to], value)
				from, value = to, next
			}
		}
	}
	fill(pix[from:], value)
	return math.Abs(share) <= leakShare
}

// grey is a share of a pixel as its value.
func grey(share float64) byte { return byte(max(0, min(1, share))*255 + 0.5) }

func fill(pix []byte, value byte) {
	if value == 0 || len(pix) == 0 {
		return
	}
	pix[0] = value
	for n := 1; n < len(pix); n *= 2 {
		copy(pix[n:], pix[:n])
	}
}
