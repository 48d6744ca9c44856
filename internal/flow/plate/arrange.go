package plate

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/pack"
	"mouldwright/internal/flow/master"
)

// nesting is the work of putting all parts on plates so that the plates' times, added
// up, are least. A plate's time grows with its layers alone, so parts are taken from
// tall to low: what opens a plate sets its time, and lower parts that find room on it
// print for nothing.
type nesting struct {
	parts   []master.Part
	layers  []int          // of each part
	shapes  []geom.Outline // different outlines
	shape   []int          // of each part, in shapes
	w, d    float64        // of the usable plate
	gap     float64
	timeMin func(layers int) float64
}

// arrangement is where each item lies, in the order of the items.
type arrangement struct {
	items  []Item
	plates []int // of each item
	count  int
	time   float64
}

// outlineOf is what a part covers of the plate; without an outline its box.
func outlineOf(p master.Part) geom.Outline {
	if len(p.Outline) > 0 {
		return p.Outline
	}
	return geom.Rectangle(p.WidthMM, p.DepthMM).Transform(geom.Move(p.WidthMM/2, p.DepthMM/2))
}

// newNesting finds equal outlines: parts of one design are nested as copies are.
func newNesting(parts []master.Part, w, d, gap float64, layers []int, timeMin func(int) float64) *nesting {
	n := &nesting{parts: parts, layers: layers, w: w, d: d, gap: gap, timeMin: timeMin}
	for _, p := range parts {
		o := outlineOf(p)
		k := slices.IndexFunc(n.shapes, func(q geom.Outline) bool { return slices.EqualFunc(o, q, slices.Equal) })
		if k < 0 {
			k = len(n.shapes)
			n.shapes = append(n.shapes, o)
		}
		n.shape = append(n.shape, k)
	}
	return n
}

// maxShapes bounds the search by outlines (our choice: it grows with the square; beyond it,
// rectangles must do).
const maxShapes = 100

// best is the arrangement with the least time, of those with the same the one on fewer
// plates, of those the first: by boxes, then by outlines, on the plate as it lies and
// turned, from large to small and from long to short. What meets the bound cannot be
// bettered and ends the search.
func (n *nesting) best(ctx context.Context, items []Item, bound float64) (arrangement, error) {
	var best arrangement
	for _, by := range [...]func(p master.Part) float64{
		func(p master.Part) float64 { return p.WidthMM * p.DepthMM },
		func(p master.Part) float64 { return math.Max(p.WidthMM, p.DepthMM) },
	} {
		list := slices.Clone(items)
		slices.SortStableFunc(list, func(a, b Item) int {
			return cmp.Or(n.layers[b.Part]-n.layers[a.Part], cmp.Compare(by(n.parts[b.Part]), by(n.parts[a.Part])))
		})
		ways := []func(context.Context, []Item) (arrangement, error){
			n.boxes,
			func(ctx context.Context, list []Item) (arrangement, error) { return n.outlines(ctx, list, false) },
			func(ctx context.Context, list []Item) (arrangement, error) { return n.outlines(ctx, list, true) },
		}
		for j, way := range ways {
			if j > 0 && len(n.shapes) > maxShapes {
				break
			}
			a, err := way(ctx, list)
			if errors.Is(err, pack.ErrFull) {
				continue // a part that must lie aslant fits as an outline only
			} else if err != nil {
				return best, err
			}
			if best.items == nil || a.time < best.time-1e-9 || a.time < best.time+1e-9 && a.count < best.count {
				best = a
			}
			if best.time <= bound+1e-9 {
				return best, nil
			}
		}
	}
	if best.items == nil {
		return best, fmt.Errorf("plate: %w", pack.ErrFull)
	}
	return best, nil
}

// boxes packs the parts' boxes, turned by 90 degrees where that saves room.
func (n *nesting) boxes(ctx context.Context, list []Item) (arrangement, error) {
	sizes := make([]pack.Size, len(list))
	for i, it := range list {
		p := n.parts[it.Part]
		if !(p.WidthMM <= n.w && p.DepthMM <= n.d || p.DepthMM <= n.w && p.WidthMM <= n.d) {
			return arrangement{}, pack.ErrFull // it lies aslant or not at all
		}
		sizes[i] = pack.Size{W: p.WidthMM + n.gap, H: p.DepthMM + n.gap}
	}
	bin := pack.Bin{W: n.w + n.gap, H: n.d + n.gap}
	places, err := pack.InOrder(ctx, sizes, func(int) (pack.Bin, bool) { return bin, true }, true)
	if err != nil {
		return arrangement{}, err
	}
	spots := make([]pack.Spot, len(places))
	for i, p := range places {
		spots[i] = pack.Spot{Bin: p.Bin, X: p.X, Y: p.Y}
		if p.Turned {
			spots[i].TurnDeg = 90
		}
	}
	return n.arranged(list, spots), nil
}

// outlines nests the parts by their true shape; turned asks for it on a plate turned by
// 90 degrees, since parts are put as low as they can lie.
func (n *nesting) outlines(ctx context.Context, list []Item, turned bool) (arrangement, error) {
	shape := make([]int, len(list))
	for i, it := range list {
		shape[i] = n.shape[it.Part]
	}
	w, d := n.w, n.d
	if turned {
		w, d = d, w
	}
	spots, err := pack.Nest(ctx, n.shapes, shape, w, d, n.gap)
	if err != nil {
		return arrangement{}, err
	}
	if turned { // the plate back by 90 degrees clockwise, its left edge to the front
		for i := range spots {
			s := &spots[i]
			b := pack.Turned(n.shapes[shape[i]], s.TurnDeg).Bounds()
			s.X, s.Y = s.Y, w-s.X-b.W()
			s.TurnDeg = math.Mod(s.TurnDeg+270, 360)
		}
	}
	return n.arranged(list, spots), nil
}

func (n *nesting) arranged(list []Item, spots []pack.Spot) arrangement {
	a := arrangement{items: slices.Clone(list), plates: make([]int, len(list))}
	var high []int
	for i, s := range spots {
		it := &a.items[i]
		it.XMM, it.YMM, it.TurnDeg = s.X, s.Y, s.TurnDeg
		a.plates[i] = s.Bin
		for len(high) <= s.Bin {
			high = append(high, 0)
		}
		high[s.Bin] = max(high[s.Bin], n.layers[it.Part])
	}
	a.count = len(high)
	for _, l := range high {
		a.time += n.timeMin(l)
	}
	return a
}

// boundOffsetSlack is the share of its true area that the offset of an outline has at least,
// since its arcs are chords; and what rounding may add to a part that just fits.
const boundOffsetSlack = 0.998

// stairs is what the lower bound knows: from how many layers on how many plates are
// needed at least, from tall to low.
type stairs struct{ layers, plates []int }

// leastPlates proves how many plates must be at least so high. The parts of at least h
// layers lie on plates of at least h layers, and there are no fewer of those than of
// bins that can hold these parts: two parts at least a gap apart do not share room when
// each is grown by half the gap, on a plate grown by as much, so that areas are sizes
// in the sense of pack.LeastBins.
func (n *nesting) leastPlates(items []Item) (stairs, error) {
	area := make([]float64, len(n.shapes))
	for k, o := range n.shapes {
		grown, err := geom.Offset(o, n.gap/2)
		if err != nil {
			return stairs{}, err
		}
		area[k] = grown.Area() * boundOffsetSlack
	}
	list := slices.Clone(items)
	slices.SortStableFunc(list, func(a, b Item) int { return n.layers[b.Part] - n.layers[a.Part] })
	room := (n.w+n.gap)*(n.d+n.gap) - (4-math.Pi)*n.gap*n.gap/4 // the grown plate has round corners
	var s stairs
	var sizes []float64
	for i, it := range list {
		sizes = append(sizes, math.Min(area[n.shape[it.Part]], room))
		if l := n.layers[it.Part]; i+1 == len(list) || n.layers[list[i+1].Part] != l {
			s.layers, s.plates = append(s.layers, l), append(s.plates, pack.LeastBins(sizes, room))
		}
	}
	return s, nil
}

// bound is a time that no arrangement can be below: plates in the order of their
// heights, the k-th is as high as the stairs say, and a time grows with the layers.
func (s stairs) bound(timeMin func(layers int) float64) float64 {
	sum, have := 0.0, 0
	for i, l := range s.layers {
		if more := s.plates[i] - have; more > 0 {
			sum, have = sum+float64(more)*timeMin(l), s.plates[i]
		}
	}
	return sum
}
