package forecast

import (
	"math"
	"testing"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/artwork"
)

// Letters whose middles fill 90 degrees of a circle may grow fourfold along it; those 1.5 mm
// from it, so 3 mm high, may grow until they reach the edge of the top, or half-way in.
func TestMostOnCircle(t *testing.T) {
	top := geom.Rect{Min: geom.Vec{X: -18, Y: -18}, Max: geom.Vec{X: 18, Y: 18}}
	on := func(r float64, degs ...float64) (out []geom.Vec) {
		for _, d := range degs { // from straight ahead, counter-clockwise
			sin, cos := math.Sincos(d * math.Pi / 180)
			out = append(out, geom.Vec{X: -sin * r, Y: cos * r})
		}
		return out
	}
	for _, c := range []struct {
		what     string
		radiusMM float64
		turnDeg  float64
		scale    float64
		marks    []geom.Vec
		want     float64
	}{
		{"along, over the top", 12, 0, 1, on(12, -45, 0, 45), 4},
		{"along, under the bottom", -12, 0, 1, on(12, 135, 180, 225), 4},
		{"along, turned", 12, 90, 1, on(12, 45, 90, 135), 4},
		{"outwards", 12, 0, 1, on(13.5, -10, 10), 2},
		{"inwards", -12, 0, 1, on(10.5, 170, 190), 2},
		{"outwards, of a scaled piece", 6, 0, 2, on(13.5, -10, 10), 2},
	} {
		got := mostOnCircle(artwork.Choices{ArcRadiusMM: c.radiusMM, TurnDeg: c.turnDeg}, c.scale, c.marks, top)
		if math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %g times, want %g", c.what, got, c.want)
		}
	}
}
