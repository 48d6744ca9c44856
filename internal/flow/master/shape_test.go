package master

import (
	"math"
	"slices"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
)

// Another code leaves every part's digest, and every part, as it was above its
// engraving; a piece that is half a millimetre higher changes the digests of just the
// parts that carry it.
func TestShapes(t *testing.T) {
	for _, build := range []string{"tiles", "loose"} {
		c := choices()
		c.Build = build
		make := func(code string, more float64) *Master {
			items := []Item{
				surface(t, frustum(t, "heart", geom.Heart(30, 28), 8, 8), c, 0.001, 3),
				surface(t, frustum(t, "plaque", geom.RoundedRectangle(34, 20, 4), 7+more, 8), c, 0.001, 3),
			}
			m, found, err := Make(t.Context(), items, c, smallPlate, code, letters(t))
			if err != nil || finding.Worst(found) == finding.Stop {
				t.Fatal(found, err)
			}
			return m
		}
		a, b, d := make("0000000", 0), make("48GHPWK", 0), make("0000000", 0.5)
		same, other := 0, 0
		seen := map[[32]byte]string{}
		for i := range a.Parts {
			if a.Parts[i].Shape != b.Parts[i].Shape {
				t.Errorf("%s: another code, another digest", a.Parts[i].Name)
			}
			if o := seen[a.Parts[i].Shape]; o != "" {
				t.Errorf("%s and %s have one digest", o, a.Parts[i].Name)
			}
			seen[a.Parts[i].Shape] = a.Parts[i].Name
			p, q := above(t, a.Parts[i], c), above(t, b.Parts[i], c)
			if !slices.Equal(p, q) {
				t.Errorf("%s: %d points above its engraving, %d with another code", a.Parts[i].Name, len(p), len(q))
			}
			if r := above(t, d.Parts[i], c); a.Parts[i].Shape == d.Parts[i].Shape {
				same++
				if !slices.Equal(p, r) {
					t.Errorf("%s: one digest for two parts", a.Parts[i].Name)
				}
			} else {
				other++
			}
		}
		// The rubber is deeper over a higher piece only where that is the highest.
		if same == 0 || other == 0 {
			t.Errorf("%s: %d parts are the same and %d others", build, same, other)
		}
	}
}

// above is the points of a part that lie over its engraving, in order.
func above(t *testing.T, p Part, c Choices) (out [][3]float32) {
	t.Helper()
	m, err := p.Mesh(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return pointsAbove(m, float32(c.EngraveMM*1.2))
}

func pointsAbove(m *mesh.Mesh, z float32) (out [][3]float32) {
	for _, v := range m.V {
		if v[2] > z {
			out = append(out, v)
		}
	}
	slices.SortFunc(out, func(a, b [3]float32) int {
		for k := range 3 {
			if d := a[k] - b[k]; d != 0 {
				return int(math.Copysign(1, float64(d)))
			}
		}
		return 0
	})
	return out
}
