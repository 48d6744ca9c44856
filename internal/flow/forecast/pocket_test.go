package forecast

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"mouldwright/internal/base/field"
)

// Against the definition by relaxing until nothing changes (R. Bellman 1958 for the
// way whose highest place is lowest): z'(p) = max(z(p), min over neighbours z').
func TestFloodAgainstDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := field.New(field.Grid{W: rapid.IntRange(1, 12).Draw(t, "w"), H: rapid.IntRange(1, 12).Draw(t, "h"), PitchMM: 1})
		for k := range f.Z {
			f.Z[k] = float32(rapid.IntRange(0, 6).Draw(t, "z"))
		}
		var sea []bool
		if rapid.Bool().Draw(t, "given") {
			sea = rapid.SliceOfN(rapid.Bool(), len(f.Z), len(f.Z)).Draw(t, "sea")
		}
		want := make([]float32, len(f.Z))
		for k := range want {
			i, j := k%f.W, k/f.W
			want[k] = float32(math.Inf(1))
			if i == 0 || j == 0 || i == f.W-1 || j == f.H-1 || sea != nil && sea[k] {
				want[k] = f.Z[k]
			}
		}
		for changed := true; changed; {
			changed = false
			for k := range want {
				for s, d := range []int{1, -1, f.W, -f.W} {
					o := k + d
					if o < 0 || o >= len(want) || s < 2 && o/f.W != k/f.W {
						continue
					}
					if v := max(f.Z[k], want[o]); v < want[k] {
						want[k], changed = v, true
					}
				}
			}
		}
		got, err := flooded(bg, f, sea)
		if err != nil || !slices.Equal(got.Z, want) {
			t.Fatalf("%v\n%v\nwant %v (%v)", f.Z, got.Z, want, err)
		}
	})
}

// A round hole 2 mm wide and 0.8 mm deep: its depth, width and volume are those of the
// cylinder, within the samples along its edge.
func TestPocketOfACylinder(t *testing.T) {
	f := field.New(field.Grid{W: 161, H: 161, PitchMM: 0.05, X0: -4, Y0: -4})
	for k := range f.Z {
		if q := f.XY(k%f.W, k/f.W); math.Hypot(q.X-1, q.Y) > 1 && math.Hypot(q.X, q.Y) < 3.5 {
			f.Z[k] = 0.8
		}
	}
	list, err := pockets(bg, f, nil, 1.5)
	if err != nil || len(list) != 1 {
		t.Fatal(list, err)
	}
	p := list[0]
	if math.Abs(p.DepthMM-0.8) > 1e-6 || math.Abs(p.WidthMM-2) > 0.1 || math.Abs(p.VolumeMM3/(0.8*math.Pi)-1) > 0.05 || p.Brush || math.Hypot(p.XMM-1, p.YMM) > 0.08 {
		t.Errorf("%+v", p)
	}
	if list, _ = pockets(bg, f, nil, 2.5); !list[0].Brush {
		t.Error("2 mm is not narrow where narrow is 2.5 mm")
	}
}
