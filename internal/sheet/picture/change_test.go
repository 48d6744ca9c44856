package picture

import (
	"image"
	"image/color"
	"testing"

	"mouldwright/internal/base/field"
)

// A raised square and a lowered one of one size are told apart in grey: the lowered one is
// hatched, the raised one is even; what is as it was is white.
func TestChangeInGrey(t *testing.T) {
	g := field.Grid{W: 121, H: 61, PitchMM: 0.2, X0: -12, Y0: -6}
	a, b, d := field.New(g), field.New(g), field.New(g)
	for j := range g.H {
		for i := range g.W {
			k := j*g.W + i
			a.Z[k], b.Z[k] = 5, 5
			p := a.XY(i, j)
			switch {
			case p.Y*p.Y > 9:
			case p.X > 3 && p.X < 9:
				b.Z[k] = 5.5
			case p.X < -3 && p.X > -9:
				b.Z[k] = 4.5
			}
			d.Z[k] = b.Z[k] - a.Z[k]
		}
	}
	img, err := Change(t.Context(), a, b, d, 900)
	if err != nil {
		t.Fatal(err)
	}
	// The third panel is 300 pixels wide and shows 26.4 x 14.4 mm.
	grey := func(x, y float64) (list []int) {
		r := img.Bounds()
		px, py := 600+150+int(x*300/26.4), 25+int((7.2-y)*300/26.4)
		for j := -10; j <= 10; j++ {
			for i := -10; i <= 10; i++ {
				if q := (image.Point{px + i, py + j}); q.In(r) {
					list = append(list, int(color.GrayModel.Convert(img.At(q.X, q.Y)).(color.Gray).Y))
				}
			}
		}
		return list
	}
	span := func(list []int) (low, high int) {
		low, high = 255, 0
		for _, v := range list {
			low, high = min(low, v), max(high, v)
		}
		return low, high
	}
	if low, high := span(grey(6, 0)); high-low > 6 || high > 120 {
		t.Errorf("raised: grey %d to %d", low, high)
	}
	if low, high := span(grey(-6, 0)); high != 255 || low > 120 {
		t.Errorf("lowered: grey %d to %d", low, high)
	}
	if low, _ := span(grey(0, 0)); low != 255 {
		t.Errorf("as before: grey %d", low)
	}
	if _, err := Change(t.Context(), a, a, field.New(g), 900); err == nil {
		t.Error("a picture of no change")
	}
}
