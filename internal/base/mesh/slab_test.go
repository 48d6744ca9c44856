package mesh

import (
	"context"
	"math"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// The design promises volumes within 0.1 % of the closed form.
const volumeShare = 0.001

func near(t *testing.T, what string, got, want, share float64) {
	t.Helper()
	if !(math.Abs(got-want) <= share*math.Abs(want)) {
		t.Errorf("%s = %.6g, want %.6g within %g %%", what, got, want, share*100)
	}
}

// Closed forms: Euclid for prism and pyramid, Archimedes for cone and cap; as in any
// handbook of mathematics (Bronstein: "Stereometry").
func TestVolumesMatchClosedForms(t *testing.T) {
	const r, h = 6.0, 4.0
	disc := geom.Outline{circle(0, 0, r)}
	lean := math.Tan(8 * math.Pi / 180)
	cases := []struct {
		name    string
		outline geom.Outline
		height  func(x, y float64) float64
		volume  float64
		tol     float64
	}{
		{"cylinder", disc, func(x, y float64) float64 { return h }, math.Pi * r * r * h, ToleranceMM},
		{"cone", disc, func(x, y float64) float64 { return max(0, h*(1-math.Hypot(x, y)/r)) }, math.Pi * r * r * h / 3, ToleranceMM},
		// The vertices lie on the relief, so that a mesh of a round shape lies inside by
		// two thirds of the tolerance: 10 µm would be 0.3 % of so flat a cap.
		{"spherical cap", disc, func(x, y float64) float64 { // radius of the sphere from r and h
			s := (r*r + h*h) / (2 * h)
			return max(0, math.Sqrt(max(0, s*s-x*x-y*y))-s+h)
		}, math.Pi * h * (3*r*r + h*h) / 6, ToleranceMM / 4},
		{"frustum", disc, func(x, y float64) float64 { return min(h, max(0, (r-math.Hypot(x, y))/lean)) },
			math.Pi * h / 3 * (r*r + r*(r-h*lean) + (r-h*lean)*(r-h*lean)), ToleranceMM},
		{"pyramid", geom.Outline{rectangle(-r, -r, r, r)}, func(x, y float64) float64 { return h * (1 - max(math.Abs(x), math.Abs(y))/r) },
			4 * r * r * h / 3, ToleranceMM},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			g := field.Around(c.outline.Bounds(), 0.025)
			top, bottom := sampled(g, c.height), sampled(g, func(x, y float64) float64 { return -1 })
			m, err := Slab(context.Background(), c.outline, top, bottom, c.tol)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "volume", m.Volume()-c.outline.Area(), c.volume, volumeShare)
		})
	}
}

func TestPrism(t *testing.T) {
	o := geom.Outline{rectangle(-5, -4, 5, 4), circle(1, 0, 2)}
	reverse(o[1])
	m, err := Prism(o, 1, 3.5)
	if err != nil {
		t.Fatal(err)
	}
	// Only the plan grid stands between the prism and the outline's exact volume.
	near(t, "volume", m.Volume(), o.Area()*2.5, 1e-5)
	if lo, hi := m.Bounds(); lo != [3]float32{-5, -4, 1} || hi != [3]float32{5, 4, 3.5} {
		t.Errorf("bounds %v %v", lo, hi)
	}
}

func reverse(r geom.Ring) {
	for i, j := 0, len(r)-1; i < j; i, j = i+1, j-1 {
		r[i], r[j] = r[j], r[i]
	}
}
