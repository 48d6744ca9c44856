package chill

import (
	"context"
	"math"
	"runtime"
	"slices"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/cavity"
	"mouldwright/internal/flow/piece"
)

// reference is the piece against which speed is measured: 36 x 28 x 12 mm with seven
// sunk letters, shell 2 mm, cap 1.8 mm.
func reference(t testing.TB) *Shape {
	t.Helper()
	p, _, err := piece.Make(context.Background(), piece.Choices{
		Name: "reference", Outline: "rounded rectangle", WidthMM: 36, DepthMM: 28, CornerMM: 4, HeightMM: 12, DraftDeg: 8, Top: "flat",
		Art: []artwork.Choices{{Text: "ORCHARD", Font: "sans bold", Align: "centre", Leading: 1.2, WidthMM: 30, Side: "sunk", DepthMM: 0.8, Profile: "flat", DraftDeg: 10}},
	}, piece.Inputs{}, nil, -1, 0.05)
	if err != nil {
		t.Fatal(err)
	}
	v, _, err := cavity.Make(context.Background(), p, cavity.Choices{ShellMM: 2, CapMM: 1.8}, false)
	if err != nil {
		t.Fatal(err)
	}
	s, err := NewShape(context.Background(), p.Relief, v.Filling, 1.8, 8)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// kitchen is the defaults of [kitchen] with dark chocolate.
func kitchen() Setup {
	return Setup{
		FridgeC: unit.Between(4, 6, 8), RoomC: 20, MouldC: 20, FillingC: 25, ChocolateC: 31, UnderMM: 9, BoardMM: 3,
		ChocolateG: unit.Between(1.26, 1.3, 1.33), FatPct: unit.Between(30, 38, 43), FillingGML: unit.Between(1.1, 1.2, 1.3), SiliconeGML: unit.Between(1.05, 1.08, 1.12),
	}
}

// small is a round piece of 12 mm for tests that need no art.
func small(t testing.TB, solid bool) *Shape {
	t.Helper()
	g := field.Grid{W: 161, H: 161, PitchMM: 0.125, X0: -10, Y0: -10}
	out, in := field.New(g), field.New(g)
	for j := range g.H {
		for i := range g.W {
			p := g.XY(i, j)
			r := math.Hypot(p.X, p.Y)
			out.Row(j)[i] = float32(math.Min(9, math.Max(0, (8-r)*7)))
			in.Row(j)[i] = float32(math.Min(7, math.Max(0, (6-r)*7)))
		}
	}
	if solid {
		in = nil
	}
	s, err := NewShape(context.Background(), out, in, 1.8, 6)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A shell is firm in roughly a quarter of an hour, a capped piece comes out in roughly
// half an hour (common practice, no source): the bands of the default kitchen hold both.
func TestBandsHoldCommonPractice(t *testing.T) {
	s := reference(t)
	for _, c := range []struct {
		stage Stage
		min   float64
	}{{Shell, 15}, {Cap, 30}} {
		r, err := Set(context.Background(), s, kitchen(), c.stage, 1, 2)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("stage %d: %v min", c.stage, r.SetMin)
		if !(r.SetMin.Low <= c.min && c.min <= r.SetMin.High && r.SetMin.Ordered()) {
			t.Errorf("stage %d: %v min does not hold %g min", c.stage, r.SetMin, c.min)
		}
		h := r.Likely.History
		if !r.Likely.Done || len(h) < 10 || h[len(h)-1].LeastShare < 0.3 {
			t.Errorf("history: %+v", h)
		}
	}
}

// The observed order: halving the cubes of a smooth piece must bring its time nearer
// to the limit. A cube holds its true share of each matter, but a wall through its
// middle conducts as if the matter were mixed, which is of first order; against the
// 0.25 mm run an order p makes the error of 2, 1 and 0.5 mm fall by about 2^p.
func TestConverges(t *testing.T) {
	if testing.Short() {
		t.Skip("left out with -short: four grids take seconds")
	}
	s := small(t, true)
	st := kitchen()
	c := st.conditions(Solid, likely)
	c.StepS = 2
	var at []float64
	for _, cell := range []float64{2, 1, 0.5, 0.25} {
		r, err := Run(context.Background(), s, c, Solid, cell)
		if err != nil {
			t.Fatal(err)
		}
		at = append(at, r.SetMin)
	}
	d1, d2, d3 := math.Abs(at[0]-at[1]), math.Abs(at[1]-at[2]), math.Abs(at[2]-at[3])
	t.Logf("minutes at 2, 1, 0.5, 0.25 mm: %.3f; observed order %.2f, %.2f", at, math.Log2(d1/d2), math.Log2(d2/d3))
	if !(math.Log2(d1/d3) > 2) { // first order over two halvings
		t.Errorf("differences %.4f, %.4f, %.4f min do not fall by half each", d1, d2, d3)
	}
	if math.Abs(at[1]/at[3]-1) > 0.03 || math.Abs(at[2]/at[3]-1) > 0.01 {
		t.Errorf("1 mm lies %.2f %%, 0.5 mm %.2f %% from 0.25 mm", 100*(at[1]/at[3]-1), 100*(at[2]/at[3]-1))
	}
}

// What the air took is what the body gave up, to 0.1 %: sums of 32-bit temperatures
// drift by parts in ten thousand over thousands of steps.
func TestEnergyCloses(t *testing.T) {
	st := kitchen()
	for _, cell := range []float64{1, 0.5} {
		for _, stage := range []Stage{Shell, Cap, Solid} {
			r, err := Run(context.Background(), small(t, stage == Solid), st.conditions(stage, likely), stage, cell)
			if err != nil {
				t.Fatal(err)
			}
			lost := r.History[len(r.History)-1].LostJ
			if off := lost/r.StoredJ - 1; math.Abs(off) > 1e-3 || r.StoredJ <= 0 {
				t.Errorf("stage %d at %g mm: %.3f J went out, %.3f J were given up", stage, cell, lost, r.StoredJ)
			}
		}
	}
}

// The heat in the mould at the start is that of its volumes: chocolate, rubber.
func TestMouldHoldsTheShape(t *testing.T) {
	s := small(t, false)
	want := 0.0
	for n, z := range s.outside.Z {
		want += float64(z-s.inside.Z[n]) * columnMM * columnMM
	}
	st := kitchen()
	for _, cell := range []float64{2, 1, 0.5} {
		m, err := newMould(s, st.conditions(Shell, likely), Shell, cell)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, p := range m.parts {
			sum += float64(p.shell) * cell * cell * cell
		}
		if math.Abs(sum/want-1) > 0.01 { // slivers below a twentieth of a cube are left out
			t.Errorf("%g mm: %.1f mm³ of shell, want %.1f", cell, sum, want)
		}
	}
}

func TestWhatTakesLonger(t *testing.T) {
	s := small(t, false)
	base := kitchen()
	minutes := func(do func(*Setup)) float64 {
		k := base
		do(&k)
		m, err := k.minutes(context.Background(), s, Shell, likely, 1)
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	was := minutes(func(*Setup) {})
	for what, m := range map[string]float64{
		"a warmer fridge": minutes(func(k *Setup) { k.FridgeC.Likely += 4 }),
		"more rubber":     minutes(func(k *Setup) { k.UnderMM += 5 }),
		"warmer rubber":   minutes(func(k *Setup) { k.MouldC += 4 }),
		"more fat":        minutes(func(k *Setup) { k.FatPct.Likely += 4 }),
	} {
		if !(m > was) {
			t.Errorf("%s: %.3f min, %.3f min without", what, m, was)
		}
	}
	if m := minutes(func(k *Setup) { k.Fan = true }); !(m < was) {
		t.Errorf("a fan: %.3f min, %.3f min without", m, was)
	}
	list, err := Changes(context.Background(), s, base, []Stage{Shell}, 1)
	if err != nil || len(list) != 3 || !(list[0].SetMin > was && list[1].SetMin > was && list[2].SetMin < was) {
		t.Errorf("%+v %v", list, err)
	}
}

// A filling as warm as the room leaves nothing to heat; between room and melting the
// shell of a real piece takes a filling of somewhat above 28 °C, where common practice
// stops.
func TestWarmestFilling(t *testing.T) {
	s := reference(t)
	var at []float64
	for _, cell := range []float64{1, 0.5} {
		c, err := WarmestC(context.Background(), s, kitchen(), cell)
		if err != nil {
			t.Fatal(err)
		}
		at = append(at, c)
	}
	t.Logf("%.2f °C at 1 and 0.5 mm", at)
	if !(at[1] > SolidC(keepShare) && at[1] < 38) || math.Abs(at[0]-at[1]) > 1.5 {
		t.Errorf("%.2f °C", at)
	}
	warm := kitchen()
	warm.RoomC = 24
	c, err := WarmestC(context.Background(), s, warm, 1)
	if err != nil || !(c < at[0]) {
		t.Errorf("in a warmer room %.2f °C, %v", c, err)
	}
}

func TestRefuses(t *testing.T) {
	s := small(t, true)
	k := kitchen()
	k.FridgeC = unit.Between(20, 22, 30)
	if _, err := Set(context.Background(), s, k, Solid, 1, 1); err == nil {
		t.Error("a fridge in which chocolate stays soft is taken")
	} else {
		t.Log(err)
	}
	k = kitchen()
	k.SiliconeGML = unit.Range{}
	if _, err := Set(context.Background(), s, k, Solid, 1, 1); err == nil {
		t.Error("weightless rubber is taken")
	}
	k = kitchen()
	for _, cell := range []float64{0.3, 0, 3, math.NaN()} {
		if _, err := Run(context.Background(), s, k.conditions(Solid, likely), Solid, cell); err == nil {
			t.Errorf("cubes of %g mm are taken", cell)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Run(ctx, s, k.conditions(Solid, likely), Solid, 1); err != context.Canceled {
		t.Errorf("cancelled: %v", err)
	}
	if _, err := NewShape(context.Background(), field.New(field.Grid{W: 5, H: 5, PitchMM: 1}), nil, 1, 0); err == nil {
		t.Error("an empty piece is taken")
	}
}

func TestDeterministic(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	s, st := small(t, false), kitchen()
	var runs []*Course
	for _, cores := range []int{1, 2} {
		runtime.GOMAXPROCS(cores)
		r, err := Run(context.Background(), s, st.conditions(Cap, likely), Cap, 0.5)
		if err != nil {
			t.Fatal(err)
		}
		runs = append(runs, r)
	}
	a, b := runs[0], runs[1]
	if a.SetMin != b.SetMin || a.LastMM != b.LastMM || !slices.Equal(a.History, b.History) || !slices.Equal(a.Map.Min, b.Map.Min) {
		t.Error("one core and two differ")
	}
}

func TestMap(t *testing.T) {
	st := kitchen()
	r, err := Run(context.Background(), small(t, true), st.conditions(Solid, likely), Solid, 1)
	if err != nil {
		t.Fatal(err)
	}
	f := r.Map.Section(r.LastMM[1])
	_, hi := f.Extremes()
	if math.Abs(float64(hi)-r.SetMin) > 1e-3 {
		t.Errorf("the section through the last place ends at %.3f min, the run at %.3f", hi, r.SetMin)
	}
	if edge := f.At(0, 0); edge != -1 {
		t.Errorf("rubber is set at %g", edge)
	}
}

// An hour of kitchen time of the reference piece, filled and capped.
func BenchmarkHourIn1MM(b *testing.B)    { hour(b, 1) }
func BenchmarkHourInHalfMM(b *testing.B) { hour(b, 0.5) }

func hour(b *testing.B, cellMM float64) {
	s, st := reference(b), kitchen()
	c := st.conditions(Cap, likely)
	c.FirmShare = 1 // never reached within the hour
	for b.Loop() {
		m, err := newMould(s, c, Cap, cellMM)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := m.run(context.Background(), c, 60); err != nil {
			b.Fatal(err)
		}
	}
}

// The section at the end: the last place is in it, nothing in it sets later, the warmest
// chocolate of the history lies in it, and its temperatures lie between air and pour.
func TestSection(t *testing.T) {
	st := kitchen()
	r, err := Run(context.Background(), small(t, false), st.conditions(Cap, likely), Cap, 1)
	if err != nil {
		t.Fatal(err)
	}
	s := r.Section
	latest := float32(0)
	seen := map[Matter]int{}
	for n, c := range s.TempC {
		latest = max(latest, s.SetMin[n])
		seen[s.Matter[n]]++
		if c < float32(s.AirC)-0.01 || c > 31.01 {
			t.Fatalf("%.2f °C", c)
		}
	}
	if math.Abs(float64(latest)-r.SetMin) > 1e-3 {
		t.Errorf("the section's last place sets at %.3f min, the run's at %.3f", latest, r.SetMin)
	}
	for _, m := range []Matter{Rubber, ShellChocolate, CapChocolate, Filling} {
		if seen[m] == 0 {
			t.Errorf("no matter %d in the section: %v", m, seen)
		}
	}
	for _, h := range r.History {
		if !(h.CoolestC <= h.ChocolateC+0.5 && h.ChocolateC <= h.WarmestC+0.5) { // the mean counts slivers too
			t.Errorf("at %.1f min coolest %.2f, mean %.2f, warmest %.2f °C", h.Min, h.CoolestC, h.ChocolateC, h.WarmestC)
		}
	}
}
