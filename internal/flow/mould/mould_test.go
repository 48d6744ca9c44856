package mould

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/master"
)

var (
	soft   = material.Silicones["soft food-grade rubber"].Value
	habits = Choices{PeelMM: 80, Safety: 8, SagMM: 1, BoardMM: 16, BoardMPa: unit.Between(1600, 2500, 4000), BoardGapMM: unit.Between(0.05, 0.15, 0.4)}
	frame  = master.Choices{Frame: "printed", PanelMM: 4}
	tray   = master.Tray{Number: 1, WidthMM: 200, DepthMM: 150, HighestMM: 11, RubberMM: 20, PiecesMM3: 200_000, RubberMM3: 200*150*20 - 200_000}
)

// By hand: 400 ml of 1.08 g/ml are 432 g; 1.12 g/ml 20 mm deep press with
// 1.12 * 9.80665 * 20 = 219.7 Pa at the foot, on 200 x 20 mm with half of it:
// 0.439 N; a sheet 20 mm thick bent to 80 mm stretches by 10/90.
func TestMake(t *testing.T) {
	m, found, err := Make([]master.Tray{tray}, frame, soft, habits, 15, nil)
	if err != nil {
		t.Fatal(err)
	}
	o := m.Trays[0]
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"mass g", o.MassG.Likely, 432}, {"pressure Pa", o.PressurePa, 219.669}, {"push N", o.SideN, 0.43934}, {"floor mm", o.FloorMM, 9},
		{"stretch", o.Stretch.Low, 10 / 90.0}, {"stretch at a cavity", o.Stretch.High, 30 / 90.0}, {"allowed", o.StretchAllowed, 3.5 / 8},
	} {
		if math.Abs(c.got-c.want) > 1e-3*c.want {
			t.Errorf("%s: %g, want %g", c.what, c.got, c.want)
		}
	}
	if !o.NeedsBoard || !o.BulgeMM.Ordered() || o.BulgeMM.Low <= 0 || len(found) != 1 || found[0].Severity != finding.Note {
		t.Errorf("%+v, %v", o, found)
	}
	// An undercut of 6 mm over half of 30 mm stretches by 0.4.
	deep := habits
	deep.UndercutMM = 6
	if m, _, err = Make([]master.Tray{tray}, frame, soft, deep, 15, nil); err != nil || math.Abs(m.Stretch.High-0.4) > 1e-12 {
		t.Errorf("undercut: %+v %v", m.Stretch, err)
	}
}

// Boards of one's own bulge and leak by the same laws: against a printed panel of 4 mm
// and 2000 MPa with Poisson's ratio 0.35, a board of 16 mm and 2500 MPa is
// (16/4)³ 2500/2000 (1 - 0.35²)/(1 - 0.3²) = 77.1 times as stiff. Poisson's ratio also
// changes the shape a little: a low panel twists, as 1/(1 - nu) (see panel_test.go), so
// that together it bulges (0.7/0.65) 77.1 = 83.1 times less, within 3 %.
func TestOwnBoards(t *testing.T) {
	boards := frame
	boards.Frame = "own boards"
	printed, _, err := Make([]master.Tray{tray}, frame, soft, habits, 15, nil)
	if err != nil {
		t.Fatal(err)
	}
	own, _, err := Make([]master.Tray{tray}, boards, soft, habits, 15, nil)
	if err != nil {
		t.Fatal(err)
	}
	if r := printed.Trays[0].BulgeMM.Likely / own.Trays[0].BulgeMM.Likely; math.Abs(r/83.1-1) > 0.03 {
		t.Errorf("boards bulge %.1f times less than panels, want 83.1", r)
	}
	// By hand, as in TestLeak with a gap of 0.15 mm and a way of 16 mm:
	// 700 * 0.003375 * 211.8 / (12 * 8 * 16) * 900 s * 1.08 g/ml / 1000 = 0.3167 g.
	if g := own.Trays[0].LeakG; math.Abs(g.Likely-0.3167) > 1e-3 || !g.Ordered() {
		t.Errorf("boards let out %v g, want 0.3167", g)
	}
	bad := habits
	bad.BoardMM = 0
	if _, _, err = Make([]master.Tray{tray}, boards, soft, bad, 15, nil); err == nil {
		t.Error("boards of no thickness were taken")
	}
}

// A strip that bridges its span sags by exactly the allowed amount: w = 5 q L⁴ / (384 D)
// put in again.
func TestSpanSagsAsAllowed(t *testing.T) {
	o := Tray{FloorMM: 9, FloorMPa: unit.Sure(0.5)}
	l := span(o, tray, soft, habits).Low
	mean := tray.RubberMM3 / (200 * 150)
	q := (1.08*mean + 1.3*200_000/(200*150.0)) * 9.80665e-6 // N/mm²
	d := 0.5 * 9 * 9 * 9 / (12 * 0.75)
	if w := 5 * q * math.Pow(l, 4) / (384 * d); math.Abs(w-1) > 1e-9 {
		t.Errorf("over %g mm it sags %g mm, want 1", l, w)
	}
}

func TestWarnings(t *testing.T) {
	rigid := soft
	rigid.ElongationPct = unit.Sure(100)
	_, found, err := Make([]master.Tray{tray}, frame, rigid, habits, 15, nil)
	if err != nil || finding.Worst(found) != finding.Care {
		t.Errorf("a rubber that tears at twice its length: %v %v", found, err)
	}
	long := tray
	long.WidthMM, long.RubberMM = 900, 60
	thin := frame
	thin.PanelMM = 2
	_, found, err = Make([]master.Tray{long}, thin, soft, habits, 15, nil)
	bulges := false
	for _, f := range found {
		bulges = bulges || f.Severity == finding.Care
	}
	if err != nil || !bulges {
		t.Errorf("a panel of 900 x 60 x 2 mm: %v %v", found, err)
	}
}

func TestBadInput(t *testing.T) {
	for what, change := range map[string]func(*material.Silicone, *Choices){
		"no hardness":   func(s *material.Silicone, _ *Choices) { s.ShoreA = unit.Range{} },
		"glass":         func(s *material.Silicone, _ *Choices) { s.ShoreA = unit.Sure(100) },
		"no elongation": func(s *material.Silicone, _ *Choices) { s.ElongationPct = unit.Range{} },
		"no radius":     func(_ *material.Silicone, c *Choices) { c.PeelMM = 0 },
		"no number":     func(_ *material.Silicone, c *Choices) { c.UndercutMM = math.NaN() },
	} {
		s, c := soft, habits
		change(&s, &c)
		if _, _, err := Make([]master.Tray{tray}, frame, s, c, 15, nil); err == nil {
			t.Errorf("%s was taken", what)
		}
	}
}

func TestAllRangesOrdered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		tr := master.Tray{Number: 1, WidthMM: f("w", 20, 1000), DepthMM: f("d", 20, 1000), HighestMM: f("high", 3, 40)}
		tr.RubberMM = tr.HighestMM + f("over", 3, 50)
		tr.PiecesMM3 = f("share", 0, 0.9) * tr.WidthMM * tr.DepthMM * tr.HighestMM
		tr.RubberMM3 = tr.WidthMM*tr.DepthMM*tr.RubberMM - tr.PiecesMM3
		for name, class := range material.Silicones {
			m, _, err := Make([]master.Tray{tr}, frame, class.Value, habits, 15, nil)
			if err != nil {
				t.Fatal(err)
			}
			o := m.Trays[0]
			for _, r := range []unit.Range{o.MassG, o.FloorMPa, o.SpanMM, o.BulgeMM, o.Stretch} {
				if !r.Ordered() || r.Low < 0 {
					t.Fatalf("%s: %+v", name, o)
				}
			}
		}
	})
}

// Without a record the trade's range; ten moulds of 40 casts draw it to them: the
// mean of eleven logarithms, exp((ln 100 + 10 ln 40)/11) = 43.47.
func TestExpectedCasts(t *testing.T) {
	near := func(got, want float64) bool { return math.Abs(got/want-1) < 1e-3 }
	none := ExpectedCasts([]int{0, -3})
	if !near(none.Likely, 100) || !near(none.High, 300) || !near(none.Low, 100/3.0) {
		t.Errorf("without a record: %v", none)
	}
	many := ExpectedCasts([]int{40, 40, 40, 40, 40, 40, 40, 40, 40, 40})
	if !near(many.Likely, 43.47) || many.High/many.Low >= none.High/none.Low {
		t.Errorf("after ten moulds of 40 casts: %v", many)
	}
}

// By hand: 700 mm around, 0.12 mm wide, 3 mm long, 211.8 Pa, 8 Pa s:
// 700 * 0.001728 * 211.8 / (12 * 8 * 3) = 0.8896 mm³/s, for 15 min at 1.08 g/ml 0.865 g.
// A gap twice as wide lets out eight times as much.
func TestLeak(t *testing.T) {
	if q := leak(700, 0.12, 3, 211.8, 8); math.Abs(q-0.8896) > 1e-3 {
		t.Errorf("%g mm³/s, want 0.8896", q)
	}
	if r := leak(700, 0.24, 3, 211.8, 8) / leak(700, 0.12, 3, 211.8, 8); math.Abs(r-8) > 1e-9 {
		t.Errorf("a gap twice as wide lets out %g times as much", r)
	}
	open := frame
	open.ClearMM, open.BaseMM = 0.12, 3
	if g := seep(tray, slitOf(open, habits), soft); math.Abs(g.Likely-0.865) > 1e-3 || !g.Ordered() {
		t.Errorf("seeps %v g, want 0.865", g)
	}
}
