package pour

import (
	"context"
	"math"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/mesh"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/master"
	"pgregory.net/rapid"
)

var (
	habits = Choices{CupShare: 0.04, BrushG: 3, Reserve: 0.1, PourGMin: 150, MixMin: 4, DegasMin: 4, Treatment: "washed", Coating: "none"}
	bench  = Bench{RoomC: unit.Between(20, 22, 24), AirShare: unit.Between(0.03, 0.07, 0.13), ScaleG: 0.1, RatioTolerance: 0.02, CupML: []float64{1000}, HandG: 500}
	pads   = TestChoices{PadMM: 20, RubberMM: unit.Between(2, 3, 4)}
	soft   = material.Silicones["soft food-grade rubber"].Value
)

// plain trays hold nothing, so that their rubber is a box.
func plainTray(n int, mm3 float64) master.Tray {
	return master.Tray{Number: n, WidthMM: 100, DepthMM: mm3 / 100 / 20, RubberMM: 20, RubberMM3: mm3}
}

func plan(t *testing.T, w Work, c Choices, b Bench) (*Pour, []finding.Finding) {
	t.Helper()
	p, found, err := Make(context.Background(), w, c, pads, b)
	if err != nil {
		t.Fatal(err)
	}
	return p, found
}

// By hand: 200 ml at 1.08 g/ml with 4 % left in the cup are 225 g; 10:1 by mass
// gives 204.545 g of A. By volume with A 1.10 and B 1.00 it is 11:1. A brush that keeps
// 3 g for each of two trays asks for 6/0.96 = 6.25 g more.
func TestMasses(t *testing.T) {
	s := material.Silicone{RatioA: 10, RatioB: 1, RatioBy: "mass", DensityGML: unit.Sure(1.08), DensityAGML: 1.1, DensityBGML: 1}
	trays := []master.Tray{{Number: 1, RubberMM3: 150_000}, {Number: 2, RubberMM3: 50_000}}
	p, err := masses(trays, Choices{CupShare: 0.04}, s)
	if err != nil {
		t.Fatal(err)
	}
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-3 {
			t.Errorf("%s: %.4f g, want %.4f g", what, got, want)
		}
	}
	near("all", p.Total.MassG.Likely, 225)
	near("A", p.Total.PartAG, 204.545)
	near("B", p.Total.PartBG, 20.455)
	near("tray 2", p.Trays[1].MassG.Likely, 56.25)
	s.RatioBy = "volume"
	if p, err = masses(trays, Choices{CupShare: 0.04, BrushG: 3}, s); err != nil {
		t.Fatal(err)
	}
	near("all with brushes", p.Total.MassG.Likely, 231.25)
	near("A by volume", p.Total.PartAG, 231.25*11/12.0)
}

func TestPartsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		part := rapid.Float64Range(0.1, 100)
		s := material.Silicone{RatioA: part.Draw(t, "a"), RatioB: part.Draw(t, "b"), DensityGML: unit.Between(1.05, 1.1, 1.2)}
		var trays []master.Tray
		for i := range rapid.IntRange(0, 5).Draw(t, "trays") {
			trays = append(trays, master.Tray{Number: i + 1, RubberMM3: rapid.Float64Range(0, 1e6).Draw(t, "mm3")})
		}
		p, err := masses(trays, Choices{CupShare: rapid.Float64Range(0, 0.5).Draw(t, "cup")}, s)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, m := range p.Trays {
			if math.Abs(m.PartAG+m.PartBG-m.MassG.Likely) > 1e-9*(1+m.MassG.Likely) || !m.MassG.Ordered() {
				t.Fatalf("%+v does not add up", m)
			}
			sum += m.PartAG
		}
		if math.Abs(sum-p.Total.PartAG) > 1e-9*(1+sum) {
			t.Fatalf("trays need %g g of A, all together %g g", sum, p.Total.PartAG)
		}
	})
}

// By hand: two boxes of 100 x 100 x 20 mm are 400 ml, (400 * 1.08 + 6) / 0.96 = 456.25 g:
// one cup by hand (500 g), but 1000 ml with a rise of 5.1 hold 206 g: three cups of
// 152.083 g. Half of tray 2's rubber is in the second cup's end: 304.167 - 228.125
// = 76.04 g of 228.125 g, a third of its 20 mm.
func TestCups(t *testing.T) {
	w := Work{Trays: []master.Tray{plainTray(1, 200_000), plainTray(2, 200_000)}, Silicone: soft, Resin: "grey"}
	p, found := plan(t, w, habits, bench)
	if len(p.Cups) != 1 || p.Rise.Likely != 1 || finding.Worst(found) != finding.Care {
		t.Fatalf("without vacuum: %+v, %v", p.Cups, found)
	}
	if k := p.Cups[0]; math.Abs(k.RoomML-456.25/1.05/0.75) > 1e-6 || math.Abs(k.PartAG-228.1) > 1e-9 || len(k.Fills) != 2 || math.Abs(k.LevelMM-20) > 1e-6 {
		t.Errorf("one cup: %+v", k)
	}
	deep := bench
	deep.VacuumHPa = 29 * inHg
	p, _ = plan(t, w, habits, deep)
	if len(p.Cups) != 3 {
		t.Fatalf("under vacuum: %+v of %+v", p.Cups, p.Batch)
	}
	// 1000 ml / (0.87 + 0.13 * 32.48) hold 196.4 ml, of the lightest 206 g.
	if d := p.Batch; math.Abs(d.ByCupG/206.2-1) > 5e-3 || d.LargestG != d.ByCupG || d.ByHandG != 500 {
		t.Errorf("%+v", d)
	}
	sumA, mass := 0.0, 0.0
	for i, k := range p.Cups {
		sumA, mass = sumA+k.PartAG, mass+k.MassG
		if math.Abs(k.MassG-152.0833) > 1e-3 || math.Abs(k.TotalAG-sumA) > 1e-9 || k.Number != i+1 || k.RatioOffShare > 0.02 || k.ReadyMin != 8 {
			t.Errorf("%+v", k)
		}
		// It must be in the frame before the working time is over, however short that is.
		if k.LastPourMin < k.ReadyMin || k.LastPourMin+k.PourMin > p.Times.WorkingTimeMin.Low+1e-9 {
			t.Errorf("poured from %g to %g min, worked until %g", k.LastPourMin, k.LastPourMin+k.PourMin, p.Times.WorkingTimeMin.Low)
		}
	}
	if k := p.Cups[1]; len(k.Fills) != 2 || k.Fills[0].Tray != 1 || math.Abs(k.Fills[1].MassG-76.0417) > 1e-3 || math.Abs(k.LevelMM-20/3.0) > 1e-3 {
		t.Errorf("the cup between two trays: %+v", k)
	}
	if math.Abs(mass-456.25) > 1e-9 || math.Abs(p.Cups[2].LevelMM-20) > 1e-6 {
		t.Errorf("%g g, last level %g mm", mass, p.Cups[2].LevelMM)
	}
	if p.Bubbles.ChamberMM.Likely >= p.Bubbles.FrameMM.Likely {
		t.Errorf("a vacuum holds back no bubbles: %+v", p.Bubbles)
	}
}

// Cups carry all rubber, none twice, and levels rise in every tray up to its own.
func TestCupsCarryEverything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var trays []master.Tray
		for i := range rapid.IntRange(1, 6).Draw(t, "trays") {
			trays = append(trays, plainTray(i+1, rapid.Float64Range(1e4, 1e6).Draw(t, "mm3")))
		}
		b := bench
		b.HandG = rapid.Float64Range(50, 2000).Draw(t, "hand")
		p, _, err := Make(context.Background(), Work{Trays: trays, Silicone: soft}, habits, pads, b)
		if err != nil {
			t.Fatal(err)
		}
		got, level := map[int]float64{}, map[int]float64{}
		for _, k := range p.Cups {
			if k.MassG > p.Batch.LargestG*(1+1e-9) {
				t.Fatalf("cup of %g g, at most %g g", k.MassG, p.Batch.LargestG)
			}
			for _, f := range k.Fills {
				if f.LevelMM < level[f.Tray] {
					t.Fatalf("tray %d sinks from %g to %g mm", f.Tray, level[f.Tray], f.LevelMM)
				}
				got[f.Tray] += f.MassG
				level[f.Tray] = f.LevelMM
			}
		}
		for _, m := range p.Trays {
			if math.Abs(got[m.Tray]/m.MassG.Likely-1) > 1e-5 || math.Abs(level[m.Tray]-20) > 1e-3 {
				t.Fatalf("tray %d got %g g of %g g, to %g mm", m.Tray, got[m.Tray], m.MassG.Likely, level[m.Tray])
			}
		}
	})
}

// Cups that take a quarter of an hour each do not meet wet rubber within 18 min: a cup
// into a tray that is begun is a stage of its own, the first of a fresh tray is none.
func TestStages(t *testing.T) {
	begun := Work{Trays: []master.Tray{plainTray(1, 600_000), plainTray(2, 200_000)}, Silicone: soft}
	slow := habits
	slow.MixMin = 14
	p, found := plan(t, begun, slow, bench)
	if len(p.Cups) != 2 || p.Cups[0].Stage != 1 || p.Cups[1].Stage != 2 || p.Cups[1].BeginMin != 0 || p.Stages.Count != 2 || !said(found, "2 stages") {
		t.Errorf("into a tray that is begun: %+v, %v", p.Cups, found)
	}
	if f := p.Stages.FirmFromH; !f.Ordered() || f.High > p.Stages.BondUntilH || f.Low*60 < p.Cups[0].WetUntilMin {
		t.Errorf("%+v", p.Stages)
	}
	fresh := Work{Trays: []master.Tray{plainTray(1, 400_000), plainTray(2, 400_000)}, Silicone: soft}
	for what, run := range map[string]func() (*Pour, []finding.Finding){
		"slow cups into fresh trays": func() (*Pour, []finding.Finding) { return plan(t, fresh, slow, bench) },
		"quick cups":                 func() (*Pour, []finding.Finding) { return plan(t, begun, habits, bench) },
	} {
		p, found = run()
		if len(p.Cups) != 2 || p.Stages.Count != 1 || said(found, "stages") || p.Cups[1].BeginMin != p.Cups[0].ReadyMin+p.Cups[0].PourMin {
			t.Errorf("%s: %+v, %v", what, p.Cups, found)
		}
	}
}

// A pyramid of 30 x 30 x 12 mm: below z its volume is 3600 (1 - (1 - z/12)³) mm³; above
// its tip it is 3600.
func TestVolumeBelowPyramid(t *testing.T) {
	s := &mesh.Sheet{V: [][3]float32{{0, 0, 0}, {30, 0, 0}, {30, 30, 0}, {0, 30, 0}, {15, 15, 12}}, T: [][3]uint32{{0, 1, 4}, {1, 2, 4}, {2, 3, 4}, {3, 0, 4}}}
	for k, got := range volumeBelow(s, 20) {
		z := min(12, 20*float64(k)/levels)
		if want := 3600 * (1 - math.Pow(1-z/12, 3)); math.Abs(got-want) > 1e-3 {
			t.Errorf("below %g mm: %.4f mm³, want %.4f", z, got, want)
		}
	}
	trays := []master.Tray{{Number: 1, WidthMM: 50, DepthMM: 50, RubberMM: 20, Placed: []master.Placed{{Item: 0}}}}
	fill, err := fillings(context.Background(), trays, []master.Item{{Sheet: s}})
	if err != nil {
		t.Fatal(err)
	}
	if z := fill[0].level(2500*16 - 3600); math.Abs(z-16) > 1e-3 {
		t.Errorf("level %g mm, want 16", z)
	}
	if fill[0].level(0) != 0 || fill[0].level(1e9) != 20 {
		t.Error("nothing or too much has another level than 0 and 20 mm")
	}
}

// By hand: a reserve of a tenth on 400 ml at 1.12 g/ml, (448 + 6)/0.96 * 1.1 = 520.2 g, and
// the pads, one of them: 20 x 20 x 4 mm = 1.6 ml is less than the smallest batch.
func TestBuying(t *testing.T) {
	w := Work{Trays: []master.Tray{plainTray(1, 200_000), plainTray(2, 200_000)}, Silicone: soft, Kits: []Kit{{Name: "large", MassG: 500, Price: 30, OpenedMonths: 6}, {Name: "small", MassG: 100, Price: 9, OpenedMonths: 4}}}
	p, _ := plan(t, w, habits, bench)
	if p.Pads.MassG != p.Batch.SmallestG || math.Abs(p.BuyG-520.208-p.Batch.SmallestG) > 1e-2 {
		t.Errorf("to buy %g g, of it pads %g g", p.BuyG, p.Pads.MassG)
	}
	if len(p.Kits) != 2 || p.KitsPrice != 39 || p.OpenedMonths != 4 || !p.LeftoverG.Ordered() {
		t.Errorf("%+v at %g, left over %v for %g months", p.Kits, p.KitsPrice, p.LeftoverG, p.OpenedMonths)
	}
	if want := 600 - 456.25 - p.Pads.MassG; math.Abs(p.LeftoverG.Likely-want) > 1e-9 {
		t.Errorf("left over %g g, want %g", p.LeftoverG.Likely, want)
	}
}

func TestGate(t *testing.T) {
	w := Work{Trays: []master.Tray{plainTray(1, 200_000)}, Silicone: soft, Resin: "grey"}
	p, found := plan(t, w, habits, bench)
	if p.Released || !said(found, "not released: no combination was tested") || !said(found, "no declaration of food contact") {
		t.Errorf("%v %q %v", p.Released, p.Why, found)
	}
	w.Silicone.FoodContact = "complies with the rule it names"
	w.Tests = []CureTest{tested(CureTest{Resin: "Grey", Treatment: "washed", Coating: "none", Silicone: soft.Class}, Clean, 3)}
	p, found = plan(t, w, habits, bench)
	if !p.Released || len(found) > 0 || p.Pads.Tests[0].Outcome != Clean {
		t.Errorf("%v %q %v %+v", p.Released, p.Why, found, p.Pads)
	}
}

func said(found []finding.Finding, what string) bool {
	for _, f := range found {
		if strings.Contains(f.What, what) {
			return true
		}
	}
	return false
}

func TestRefusals(t *testing.T) {
	w := Work{Trays: []master.Tray{plainTray(1, 200_000)}, Silicone: soft}
	for what, change := range map[string]func(*Work, *Choices, *Bench){
		"a ratio of zero":                   func(w *Work, _ *Choices, _ *Bench) { w.Silicone.RatioB = 0 },
		"a vacuum deeper than perfect":      func(_ *Work, _ *Choices, b *Bench) { b.VacuumHPa = 1020 },
		"a room at 60 °C":                   func(_ *Work, _ *Choices, b *Bench) { b.RoomC = unit.Sure(60) },
		"work that outlasts the cure":       func(w *Work, _ *Choices, _ *Bench) { w.Silicone.WorkingTimeMin = unit.Sure(600) },
		"no cup":                            func(_ *Work, _ *Choices, b *Bench) { b.CupML = []float64{0} },
		"all left in the cup":               func(_ *Work, c *Choices, _ *Bench) { c.CupShare = 1 },
		"a share that is no number":         func(_ *Work, c *Choices, _ *Bench) { c.CupShare = math.NaN() },
		"a scale without steps":             func(_ *Work, _ *Choices, b *Bench) { b.ScaleG = 0 },
		"a mix of nothing but air":          func(_ *Work, _ *Choices, b *Bench) { b.AirShare = unit.Sure(1) },
		"more rubber than a bench can take": func(w *Work, _ *Choices, _ *Bench) { w.Trays[0].RubberMM3 = 1e10; w.Kits = []Kit{{MassG: 1}} },
	} {
		w, c, b := w, habits, bench
		w.Trays = []master.Tray{w.Trays[0]}
		change(&w, &c, &b)
		if _, _, err := Make(context.Background(), w, c, pads, b); err == nil {
			t.Errorf("%s was taken", what)
		}
	}
}

// A cup smaller than the smallest safe batch, and a working time that is over before the
// mix is ready, stop the pour with a remedy; masses are there all the same.
func TestNoGoodCup(t *testing.T) {
	w := Work{Trays: []master.Tray{plainTray(1, 200_000)}, Silicone: soft}
	coarse := bench
	coarse.ScaleG, coarse.CupML = 5, []float64{250}
	slow := habits
	slow.MixMin = 40
	for what, run := range map[string]func() (*Pour, []finding.Finding){
		"a coarse scale": func() (*Pour, []finding.Finding) { return plan(t, w, habits, coarse) },
		"slow mixing":    func() (*Pour, []finding.Finding) { return plan(t, w, slow, bench) },
	} {
		p, found := run()
		last := found[len(found)-1]
		if last.Severity != finding.Stop || last.Do == "" || len(p.Cups) > 0 || p.Total.MassG.Likely <= 0 {
			t.Errorf("%s: %+v, %+v", what, last, p)
		}
	}
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	tray := plainTray(1, 200_000)
	tray.Placed = []master.Placed{{Item: 0}}
	if _, _, err := Make(ctx, Work{Trays: []master.Tray{tray}, Items: []master.Item{{}}, Silicone: soft}, habits, pads, bench); err == nil {
		t.Error("went on after it was cancelled")
	}
}

// A fine sheet of half a million triangles, of which most span a level or none.
func BenchmarkVolumeBelow(b *testing.B) {
	const n = 500
	s := &mesh.Sheet{}
	for j := range n + 1 {
		for i := range n + 1 {
			x, y := float32(i)/n*40, float32(j)/n*40
			s.V = append(s.V, [3]float32{x, y, 12 * x * (40 - x) * y * (40 - y) / 160_000})
		}
	}
	for j := range uint32(n) {
		for i := range uint32(n) {
			a := j*(n+1) + i
			s.T = append(s.T, [3]uint32{a, a + 1, a + n + 1}, [3]uint32{a + 1, a + n + 2, a + n + 1})
		}
	}
	for b.Loop() {
		volumeBelow(s, 20)
	}
}

// By hand: 216 g at 1.07 g/ml, three quarters full, ask for 269 ml: of three cups it is
// the middle one; the largest bounds the batch.
func TestCupSizes(t *testing.T) {
	b := bench
	b.CupML = []float64{1000, 250, 600}
	p, _ := plan(t, Work{Trays: []master.Tray{plainTray(1, 200_000)}, Silicone: soft}, habits, b)
	one, _ := plan(t, Work{Trays: []master.Tray{plainTray(1, 200_000)}, Silicone: soft}, habits, bench)
	if p.Cups[0].CupML != 600 || p.Cups[0].RoomML > 600 || p.Cups[0].RoomML < 250 || p.Batch != one.Batch {
		t.Errorf("%+v, %+v", p.Cups[0], p.Batch)
	}
}
