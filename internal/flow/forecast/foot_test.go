package forecast

import (
	"math"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/flow/piece"
)

// sculpted is a slab 4 mm high that bears the given heights as its art.
func sculpted(t testing.TB, height func(x, y float64) float64) *piece.Piece {
	t.Helper()
	g := field.Grid{W: 641, H: 481, PitchMM: pitch, X0: -8, Y0: -6}
	p := &piece.Piece{Name: "sculpted", Row: -1, BodyMM: 4, Scale: 1, Body: field.New(g), Relief: field.New(g)}
	for k := range p.Body.Z {
		q := g.XY(k%g.W, k/g.W)
		p.Body.Z[k], p.Relief.Z[k] = 4, 4
		if math.Abs(q.X) < 7 && math.Abs(q.Y) < 5 {
			p.Relief.Z[k] += float32(height(q.X, q.Y))
		}
	}
	return p
}

func marksOf(t testing.TB, height func(x, y float64) float64) []Mark {
	t.Helper()
	m, c := usual()
	m.Design = piece.Choices{Outline: "rectangle", Top: "flat"}
	f, _, err := Make(bg, sculpted(t, height), m, c)
	if err != nil {
		t.Fatal(err)
	}
	return f.Marks
}

// A hill exp(-r²/2s²) is at half its height a disc of radius 1.177 s, where it rises by
// 0.589 h/s: under 45 degrees for h < 1.7 s. It is no stroke, however narrow; the same
// disc with an upright wall is one, and too fine.
func TestHillWithoutEdgeIsNoStroke(t *testing.T) {
	for _, k := range []struct {
		s, h float64
		soft bool
		fate string
	}{
		{0.15, 0.15, true, Survives}, // 0.35 mm wide at half its height
		{0.15, 0.4, false, Breaks},   // a thorn of that width
		{1, 0.8, true, Survives},
	} {
		list := marksOf(t, func(x, y float64) float64 { return k.h * math.Exp(-(x*x+y*y)/(2*k.s*k.s)) })
		if len(list) != 1 || list[0].Soft != k.soft || list[0].Fate != k.fate {
			t.Errorf("hill of %g mm, %g mm high: %+v", k.s, k.h, list)
			continue
		}
		if d := 2 * 1.1774 * k.s; math.Abs(list[0].WidestMM-d) > 2*pitch {
			t.Errorf("hill of %g mm: %.3f mm wide at half its height, want %.3f", k.s, list[0].WidestMM, d)
		}
	}
	disc := marksOf(t, func(x, y float64) float64 { return math.Max(0, math.Min(0.15, (0.177-math.Hypot(x, y))/pitch*0.15)) })
	if len(disc) != 1 || disc[0].Soft || disc[0].Fate != Breaks {
		t.Errorf("disc with a wall: %+v", disc)
	}
	dale := marksOf(t, func(x, y float64) float64 { return -0.1 * math.Exp(-(x*x)/(2*0.1*0.1)) * math.Max(0, 1-math.Abs(y)/4) })
	if len(dale) != 1 || dale[0].Kind != "sunk" || !dale[0].Soft || dale[0].Fate != Survives {
		t.Errorf("dale: %+v", dale)
	}
}

// A ridge that reaches just over half the height of a block beside it is judged at its own
// half, not by the sliver that stands above that of the block: 0.8 mm wide at its foot,
// walls up to 0.4 mm high and a roof on them.
func TestLowMarkIsJudgedAtItsOwnHalf(t *testing.T) {
	list := marksOf(t, func(x, y float64) float64 {
		switch {
		case math.Hypot(x+4, y) < 1.5:
			return 1
		case math.Abs(x-3) < 0.4 && math.Abs(y) < 3:
			return 0.4 + 0.3*(0.4-math.Abs(x-3)) // at most 0.52
		}
		return 0
	})
	if len(list) != 2 || list[0].Fate != Survives || list[1].Fate != Survives || math.Abs(list[1].NarrowMM-0.8) > pitch {
		t.Errorf("%+v", list)
	}
}

// A leaf on its branch stands as high as it rises above the branch: cones of 1.6 and 1.2 mm
// on a bar of 0.6 mm meet at 0.6 mm, however the level sets are cut.
func TestFeet(t *testing.T) {
	p := sculpted(t, func(x, y float64) float64 {
		bar := 0.0
		if math.Abs(y) < 0.5 && math.Abs(x) < 5 {
			bar = 0.6
		}
		a, b := 1.6-1.2*math.Hypot(x+2, y), 1.2-0.9*math.Hypot(x-2, y)
		return math.Max(bar, math.Max(a, b))
	})
	art := drawnArt(p)
	peak := func(x float64) int {
		i, j := int(math.Round((x-art.X0)/pitch)), int(math.Round(-art.Y0/pitch))
		return j*art.W + i
	}
	feet, err := feetOf(bg, art, []int{peak(-2), peak(2)}, 0.8)
	if err != nil {
		t.Fatal(err)
	}
	for k, v := range feet {
		if math.Abs(v-0.6) > 0.8/footLevels+1e-9 {
			t.Errorf("foot %d lies at %.3f mm, want 0.6", k, v)
		}
	}
	if alone, err := feetOf(bg, art, []int{peak(-2)}, 0.8); err != nil || alone[0] != 0 {
		t.Errorf("alone it stands on the body: %v (%v)", alone, err)
	}
}
