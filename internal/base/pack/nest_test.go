package pack

import (
	"context"
	"math"
	"slices"
	"testing"

	"mouldwright/internal/base/geom"
)

// Two jigsaws that fill a square of 100 x 100 without a gap, constructed by E. Hopper from
// sample layouts in R. Dighe, M. J. Jakiela, "Solving pattern nesting problems with genetic
// algorithms employing task decomposition and contact detection", Evolutionary Computation
// 3 (1996) 239-266; known as DIGHE1 and DIGHE2 in the collection of the EURO working group
// on cutting and packing.
var jigsaws = map[string][]geom.Ring{
	"dighe1": {
		{{X: 0, Y: 0}, {X: 35, Y: 0}, {X: 0, Y: 34}},
		{{X: 0, Y: 0}, {X: 33, Y: 0}, {X: 18, Y: 15}},
		{{X: 0, Y: 0}, {X: 32, Y: 0}, {X: 32, Y: 41}, {X: 14, Y: 33}},
		{{X: 35, Y: 0}, {X: 53, Y: 15}, {X: 51, Y: 38}, {X: 48, Y: 62}, {X: 39, Y: 57}, {X: 0, Y: 34}},
		{{X: 2, Y: 15}, {X: 17, Y: 0}, {X: 31, Y: 33}, {X: 25, Y: 34}, {X: 0, Y: 38}},
		{{X: 0, Y: 0}, {X: 39, Y: 23}, {X: 20, Y: 26}, {X: 0, Y: 66}},
		{{X: 3, Y: 4}, {X: 28, Y: 0}, {X: 30, Y: 18}, {X: 32, Y: 39}, {X: 25, Y: 37}, {X: 0, Y: 28}},
		{{X: 0, Y: 1}, {X: 6, Y: 0}, {X: 24, Y: 8}, {X: 2, Y: 19}},
		{{X: 0, Y: 11}, {X: 22, Y: 0}, {X: 2, Y: 32}},
		{{X: 0, Y: 32}, {X: 20, Y: 0}, {X: 20, Y: 37}},
		{{X: 1, Y: 0}, {X: 26, Y: 9}, {X: 0, Y: 15}},
		{{X: 0, Y: 3}, {X: 19, Y: 0}, {X: 28, Y: 5}, {X: 27, Y: 20}, {X: 24, Y: 43}},
		{{X: 20, Y: 0}, {X: 44, Y: 40}, {X: 0, Y: 40}},
		{{X: 3, Y: 6}, {X: 29, Y: 0}, {X: 36, Y: 2}, {X: 0, Y: 29}},
		{{X: 0, Y: 27}, {X: 36, Y: 0}, {X: 56, Y: 27}},
		{{X: 0, Y: 0}, {X: 20, Y: 5}, {X: 20, Y: 27}},
	},
	"dighe2": {
		{{X: 0, Y: 0}, {X: 33, Y: 0}, {X: 33, Y: 19}, {X: 3, Y: 11}},
		{{X: 0, Y: 0}, {X: 42, Y: 0}, {X: 37, Y: 30}, {X: 0, Y: 19}},
		{{X: 5, Y: 0}, {X: 30, Y: 0}, {X: 30, Y: 51}, {X: 0, Y: 30}},
		{{X: 0, Y: 0}, {X: 3, Y: 11}, {X: 7, Y: 33}, {X: 8, Y: 38}, {X: 0, Y: 36}},
		{{X: 0, Y: 0}, {X: 30, Y: 8}, {X: 67, Y: 19}, {X: 56, Y: 29}, {X: 4, Y: 22}},
		{{X: 23, Y: 0}, {X: 53, Y: 21}, {X: 53, Y: 70}, {X: 19, Y: 70}, {X: 7, Y: 42}, {X: 0, Y: 23}, {X: 12, Y: 10}},
		{{X: 0, Y: 0}, {X: 52, Y: 7}, {X: 40, Y: 20}, {X: 47, Y: 39}, {X: 3, Y: 30}, {X: 1, Y: 5}},
		{{X: 0, Y: 0}, {X: 8, Y: 2}, {X: 10, Y: 27}, {X: 12, Y: 64}, {X: 0, Y: 64}},
		{{X: 0, Y: 0}, {X: 44, Y: 9}, {X: 16, Y: 37}, {X: 2, Y: 37}},
		{{X: 0, Y: 28}, {X: 28, Y: 0}, {X: 40, Y: 28}},
	},
}

// A jigsaw's optimum is its area over the strip's width, and no packing is lower. Parts
// without a gap between them are not what Nest is for: on its cells they keep up to 1.4
// cells apart, and it takes parts in one order and never moves one again, as plates need
// only fit and not be filled. One-pass rules of the literature fill seven to eight tenths of
// these (from memory); ours is held to two thirds, so that a change that nests clearly worse
// shows.
func TestJigsaws(t *testing.T) {
	const side, least = 100.0, 2.0 / 3
	for name, rings := range jigsaws {
		var outlines []geom.Outline
		area := 0.0
		for _, r := range rings {
			o := geom.Outline{r}
			if o.Area() < 0 {
				slices.Reverse(r)
			}
			outlines = append(outlines, o)
			area += o.Area()
		}
		if math.Abs(area-side*side) > 1e-9 {
			t.Fatalf("%s: the pieces cover %g, the square %g", name, area, side*side)
		}
		best := math.Inf(1)
		for _, by := range [...]func(geom.Outline) float64{
			func(o geom.Outline) float64 { return o.Area() },
			func(o geom.Outline) float64 { return o.Bounds().W() * o.Bounds().H() },
			func(o geom.Outline) float64 { return math.Max(o.Bounds().W(), o.Bounds().H()) },
		} {
			order := make([]int, len(outlines))
			for i := range order {
				order[i] = i
			}
			slices.SortStableFunc(order, func(a, b int) int { return int(math.Copysign(1, by(outlines[b])-by(outlines[a]))) })
			spots, err := Nest(context.Background(), outlines, order, side, 2*side, 0)
			if err != nil {
				t.Fatal(err)
			}
			top := 0.0
			var lie []geom.Outline
			for i, s := range spots {
				o := Turned(outlines[order[i]], s.TurnDeg)
				b := o.Bounds()
				o = o.Transform(geom.Move(s.X-b.Min.X, s.Y-b.Min.Y))
				for _, other := range lie {
					if both, err := geom.Intersect(o, other); err != nil || both.Area() > 1e-9 {
						t.Fatalf("%s: two pieces share %g (%v)", name, both.Area(), err)
					}
				}
				lie = append(lie, o)
				if s.Bin != 0 || s.X < -slack || s.X+b.W() > side+slack {
					t.Fatalf("%s: out of the strip: %+v", name, s)
				}
				top = math.Max(top, s.Y+b.H())
			}
			best = math.Min(best, top)
		}
		t.Logf("%s: %d pieces, height %.1f, optimum %g: %.0f %% full", name, len(rings), best, side, 100*side/best)
		if best < side-slack || side/best < least {
			t.Errorf("%s: height %g, optimum %g", name, best, side)
		}
	}
}
