package plate

import (
	"context"
	"encoding/binary"
	"image"
	"math"
	"math/bits"
)

// Suction is a hollow that has no way out while it is printed: its wall closes a ring in
// the layer, the film closes it below, and what was printed before (or the build plate)
// closes it above. Lifting such a layer pulls a vacuum.
type Suction struct {
	AreaMM2      float64 // seen from above
	FromMM, ToMM float64 // heights of its lowest and highest closed layer's edges
	XMM, YMM     float64 // a place in it, from the plate's left front corner
	Trapped      bool    // a roof closes over it: it keeps its resin
}

// suctionPixelMM is the pixel of the pictures that are searched for cups (our choice: a
// wall of half a millimetre is two of them). A large plate is searched in suctionSidePx
// pixels at most.
const (
	suctionPixelMM = 0.2
	suctionSidePx  = 1000
)

// coarse is the same plate drawn in larger pixels.
func (s *Stack) coarse(pixelMM float64) *Stack {
	w, d := float64(s.WidthPx)*s.PixelMM, float64(s.DepthPx)*s.PixelMM
	c := &Stack{Layers: s.Layers, LayerMM: s.LayerMM, PixelMM: pixelMM, solids: s.solids,
		WidthPx: int(math.Ceil(w / pixelMM)), DepthPx: int(math.Ceil(d / pixelMM))}
	c.pens.New = func() any { return newPen(c.WidthPx) }
	c.drawing.New = func() any { return new(drawing) }
	return c
}

// suction floods the layers from the build plate up. The air of a layer is open where it
// reaches the plate's edge within the layer, or open air of the layer before; what is
// left is closed. Cups smaller than leastMM2 are left out.
func (s *Stack) suction(ctx context.Context, leastMM2 float64) ([]Suction, error) {
	pixel := math.Max(math.Max(suctionPixelMM, s.PixelMM), math.Max(float64(s.WidthPx), float64(s.DepthPx))*s.PixelMM/suctionSidePx)
	c := s.coarse(pixel)
	f := newFlood(c.WidthPx, c.DepthPx)
	// The cup that a place was in last, and the ones before it: an engraving may lie under
	// a pocket.
	type cups struct {
		shut   []layerSpan
		roofed []uint64
	}
	newCups := func() cups { return cups{make([]layerSpan, c.WidthPx*c.DepthPx), make([]uint64, len(f.air))} }
	some, last, before := false, newCups(), newCups()
	var im *image.Gray
	for k := range c.Layers {
		var err error
		if im, err = c.Layer(ctx, k, im); err != nil {
			return nil, err
		}
		copy(f.before, f.closed)
		f.layer(im)
		for w, v := range f.before {
			last.roofed[w] |= v &^ f.air[w] // was closed air, is solid now
		}
		for w, v := range f.closed {
			for ; v != 0; v &= v - 1 {
				some = true
				bit := v & -v
				at := w/f.words*c.WidthPx + w%f.words*64 + bits.TrailingZeros64(v)
				is, was := &last.shut[at], &before.shut[at]
				if is.to != 0 && is.to < int32(k) { // closed again
					if was.to == 0 {
						was.from = is.from
					}
					was.to, is.to = is.to, 0
					before.roofed[w] |= last.roofed[w] & bit
					last.roofed[w] &^= bit
				}
				if is.to == 0 {
					is.from = int32(k)
				}
				is.to = int32(k + 1)
			}
		}
	}
	if !some {
		return nil, nil
	}
	out := c.gatherSuction(before.shut, before.roofed, f.words, leastMM2)
	return append(out, c.gatherSuction(last.shut, last.roofed, f.words, leastMM2)...), nil
}

// layerSpan is the layers from and up to before to; to is 0 for none.
type layerSpan struct{ from, to int32 }

// gatherSuction joins what lies side by side and was closed in the same layers.
func (s *Stack) gatherSuction(shut []layerSpan, roofed []uint64, words int, leastMM2 float64) []Suction {
	var out []Suction
	var stack []int
	w := s.WidthPx
	for start := range shut {
		if shut[start].to == 0 {
			continue
		}
		n, cover := 0, 0
		all := shut[start]
		stack = append(stack[:0], start)
		shut[start].to = 0
		sx, sy := 0.0, 0.0
		var members []int
		for len(stack) > 0 {
			at := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			members = append(members, at)
			i, j := at%w, at/w
			n++
			sx, sy = sx+float64(i), sy+float64(j)
			if roofed[j*words+i/64]>>(i%64)&1 != 0 {
				cover++
			}
			for _, d := range [...]int{-1, 1, -w, w} {
				q := at + d
				if q < 0 || q >= len(shut) || d == -1 && i == 0 || d == 1 && i == w-1 || shut[q].to == 0 {
					continue
				}
				if r := shut[q]; r.from < all.to && all.from < r.to {
					all.from, all.to = min(all.from, r.from), max(all.to, r.to)
					shut[q].to = 0
					stack = append(stack, q)
				}
			}
		}
		area := float64(n) * s.PixelMM * s.PixelMM
		if area < leastMM2 {
			continue
		}
		// The member nearest to the middle, since the middle of a ring lies outside it.
		at0, mx, my, least := start, sx/float64(n), sy/float64(n), math.Inf(1)
		for _, at := range members {
			if d := math.Hypot(float64(at%w)-mx, float64(at/w)-my); d < least {
				least, at0 = d, at
			}
		}
		out = append(out, Suction{AreaMM2: area, FromMM: float64(all.from) * s.LayerMM, ToMM: float64(all.to) * s.LayerMM,
			XMM: (float64(at0%w) + 0.5) * s.PixelMM, YMM: (float64(s.DepthPx-at0/w) - 0.5) * s.PixelMM, Trapped: 2*cover > n})
	}
	return out
}

// flood is the air of one layer after the other, a bit to a pixel.
type flood struct {
	w, h, words               int
	air, open, closed, before []uint64
}

func newFlood(w, h int) *flood {
	f := &flood{w: w, h: h, words: (w + 63) / 64}
	for _, b := range [...]*[]uint64{&f.air, &f.open, &f.closed, &f.before} {
		*b = make([]uint64, f.words*h)
	}
	return f
}

// layer takes the next layer: open is what was open and is air still, and all air that
// it reaches; so is air at the picture's edge.
func (f *flood) layer(im *image.Gray) {
	for j := range f.h {
		row := im.Pix[j*im.Stride : j*im.Stride+f.w]
		for w := range f.words {
			f.air[j*f.words+w] = below128(row[w*64 : min(f.w, w*64+64)])
		}
	}
	for k := range f.open {
		f.open[k] &= f.air[k]
	}
	for w := range f.words {
		f.open[w] = f.air[w]
		f.open[(f.h-1)*f.words+w] = f.air[(f.h-1)*f.words+w]
	}
	last := uint64(1) << ((f.w - 1) % 64)
	for j := range f.h {
		a, z := j*f.words, (j+1)*f.words-1
		f.open[a] |= f.air[a] & 1
		f.open[z] |= f.air[z] & last
	}
	for changed := true; changed; {
		changed = false
		for j := range f.h {
			changed = f.spread(j, j-1) || changed
		}
		for j := f.h - 1; j >= 0; j-- {
			changed = f.spread(j, j+1) || changed
		}
	}
	for k := range f.closed {
		f.closed[k] = f.air[k] &^ f.open[k]
	}
}

// below128 has a bit for each of up to 64 pixels, set where it is darker than 128: its
// highest bit is off. Eight at a time, those bits are brought together by a product.
func below128(p []uint8) (v uint64) {
	i := 0
	for ; i+8 <= len(p); i += 8 {
		off := ^binary.LittleEndian.Uint64(p[i:]) & 0x8080808080808080 >> 7
		v |= off * 0x0102040810204080 >> 56 << i
	}
	for ; i < len(p); i++ {
		v |= uint64(1-p[i]>>7) << i
	}
	return v
}

// spread opens what row from opens in row j, and along row j.
func (f *flood) spread(j, from int) (changed bool) {
	a := j * f.words
	open, air := f.open[a:a+f.words], f.air[a:a+f.words]
	whole := true
	for w := range open {
		if open[w] != air[w] {
			whole = false
			break
		}
	}
	if whole {
		return false
	}
	if from >= 0 && from < f.h {
		for w, v := range f.open[from*f.words : (from+1)*f.words] {
			if add := v & air[w] &^ open[w]; add != 0 {
				open[w] |= add
				changed = true
			}
		}
	}
	carry := uint64(0)
	for w := 0; w < f.words; w++ { // to the right
		was := open[w]
		v := was | carry&air[w]
		for grown := v | v<<1&air[w]; grown != v; grown = v | v<<1&air[w] {
			v = grown
		}
		open[w] = v
		carry = v >> 63
		changed = changed || v != was
	}
	carry = 0
	for w := f.words - 1; w >= 0; w-- { // to the left
		was := open[w]
		v := was | carry&air[w]
		for grown := v | v>>1&air[w]; grown != v; grown = v | v>>1&air[w] {
			v = grown
		}
		open[w] = v
		carry = v << 63
		changed = changed || v != was
	}
	return changed
}
