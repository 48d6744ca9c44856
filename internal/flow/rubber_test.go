package flow_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/pour"
	"mouldwright/internal/flow/shopping"
	"mouldwright/internal/job"
)

const oneDome = `title = "x"
needed = 2027-03-14
[chocolate.dark]
[bench]
vacuum_hpa = 950
[[kit]]
name = "tin"
mass_g = 1000
price = 40
[[piece]]
name = "dome"
chocolate = "dark"
outline = "round"
width_mm = 30
height_mm = 10
cavities = 4
`

func sketched(t *testing.T, text string, past flow.Past) *flow.Plan {
	t.Helper()
	j, err := job.Read("job.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	r, err := flow.NewSketcher("test").Sketch(context.Background(), &flow.Input{Choices: j.Choices, Assumed: j.Assumed, Past: past})
	if err != nil {
		t.Fatal(err)
	}
	return &r.Plan
}

// The pour of a whole job: what was tested decides whether it is released and changes
// nothing else, least of all the revision that is engraved on the parts.
func TestPourInThePlan(t *testing.T) {
	bare := sketched(t, oneDome, flow.Past{})
	if bare.Pour.Released || bare.Pour.Why == "" || len(bare.Pour.CureTest) != 1 || bare.Pour.CureTest[0].Outcome != "" {
		t.Errorf("%+v", bare.Pour)
	}
	own := bare.Pour.CureTest[0]
	test := pour.CureTest{Resin: own.Resin, Treatment: own.Treatment, Coating: own.Coating, Silicone: own.Silicone, Outcome: pour.Clean, Date: unit.Date{Year: 2027, Month: 1, Day: 9}}
	p := sketched(t, oneDome, flow.Past{CureTests: []pour.CureTest{test}, RetiredAfter: []int{400, 500, 600}})
	if !p.Pour.Released || p.Pour.CureTest[0].Outcome != "clean" || p.Digest != bare.Digest || p.Mould.Casts.Likely <= bare.Mould.Casts.Likely {
		t.Errorf("%+v, digests %s and %s", p.Pour, p.Digest, bare.Digest)
	}
	sumA, sumB, level := 0.0, 0.0, 0.0
	for _, c := range p.Pour.Cups {
		sumA, sumB, level = sumA+c.PartAG, sumB+c.PartBG, c.LevelMM
	}
	// Each cup is rounded to a tenth of a gram.
	off := 0.05*float64(len(p.Pour.Cups)) + 1e-9
	if len(p.Pour.Cups) == 0 || math.Abs(sumA-p.Silicone.PartAG) > off || math.Abs(sumB-p.Silicone.PartBG) > off {
		t.Errorf("cups hold %g + %g g, the frames want %g + %g g", sumA, sumB, p.Silicone.PartAG, p.Silicone.PartBG)
	}
	if math.Abs(level-p.Masters[0].RubberMM) > 1e-6 {
		t.Errorf("the last cup reaches %g mm, the frame wants %g mm", level, p.Masters[0].RubberMM)
	}
	if len(p.Pour.Kits) != 1 || p.Pour.KitsPrice != 40 || p.Pour.Rise.Likely <= 1 || len(p.Mould.Trays) != 1 || p.Mould.Stretch.High <= 0 {
		t.Errorf("%+v, %+v", p.Pour, p.Mould)
	}
}

// Kits are chosen against what is at home, and the shopping list counts that once.
func TestRubberAtHomeInThePlan(t *testing.T) {
	bare := sketched(t, oneDome, flow.Past{})
	day := func(y, m int) unit.Date { return unit.Date{Year: y, Month: m, Day: 1} }
	past := flow.Past{Stock: []shopping.Stock{
		{What: "mould rubber", Amount: 30, Unit: "g", KeepsUntil: day(2027, 9)},
		{What: "tin", Amount: 1, Unit: "piece", Opened: day(2026, 8)}, // gone in February
		{What: "sugar", Amount: 500, Unit: "g"},
	}}
	p := sketched(t, oneDome, past)
	r := &p.Pour
	if len(r.Home) != 2 || r.HomeG != 30 || r.SpoiltG != 1000 || math.Abs(r.ShortG-(bare.Pour.BuyG-30)) > 1e-9 || len(r.Kits) != 1 {
		t.Errorf("%+v", r)
	}
	line := func(p *flow.Plan) (out flow.PlanPurchase) {
		for _, l := range p.Shopping.Lines {
			if l.What == "tin" {
				out = l
			}
		}
		return out
	}
	if l := line(p); l.Home != 30 || l.Spoilt != 1000 || l.Packs != 1 || l.Buy != 1000 || *l.Cost != 40 {
		t.Errorf("%+v", l)
	}
	past.Stock[0].Amount = 3000
	p = sketched(t, oneDome, past)
	if l := line(p); len(p.Pour.Kits) != 0 || p.Pour.ShortG != 0 || l.Packs != 0 || *l.Cost != 0 || l.Home != p.Pour.BuyG || p.Pour.LeftoverG.Likely < 2500 {
		t.Errorf("%+v, %+v", p.Pour, l)
	}
	// Two moulds of each tray take the rubber twice.
	twice := sketched(t, oneDome+"[kitchen]\nmould_copies = 2\n", flow.Past{})
	if want := 2*bare.Pour.BuyG - bare.Pour.PadsMassG; math.Abs(twice.Pour.BuyG-want) > 1e-9 {
		t.Errorf("for two moulds %g g, want %g", twice.Pour.BuyG, want)
	}
}

// What cannot be poured stops the plan, but pieces and master are there all the same.
func TestRefusedPourKeepsTheRest(t *testing.T) {
	p := sketched(t, oneDome+"[pour]\nmix_min = 50\n", flow.Past{})
	if finding.Worst(p.Findings) != finding.Stop || len(p.Masters) != 1 || p.Silicone.MassG.Likely <= 0 {
		t.Errorf("mixed until it is stiff: %v", p.Findings)
	}
	p = sketched(t, oneDome+"[silicone]\nworking_time_min = 500\n", flow.Past{})
	if finding.Worst(p.Findings) != finding.Stop || len(p.Pieces) != 1 || len(p.Masters) != 1 || p.Pour.Cups == nil {
		t.Errorf("a data sheet that contradicts itself: %v", p.Findings)
	}
}

// A frame with known solids, summed by hand: four frustums of 30 mm at the foot, 10 mm
// high, leaning 10° (V = pi h (R² + R r + r²)/3, any handbook), in rubber that does not
// shrink, 1 g/ml, nothing left in cups or brushes. Rubber is the inside of the frame up
// to its level less those. 0.5 %: the frustums are sampled coarsely here.
func TestRubberAgainstHandSums(t *testing.T) {
	p := sketched(t, strings.Replace(oneDome, "cavities = 4", "cavities = 4\ndraft_deg = 10\nedge_mm = 0", 1)+`[silicone]
density_g_ml = 1
ratio_a = 1
ratio_b = 1
shrinkage = 0
[pour]
left_in_cup = 0
left_in_brush_g = 0
[master]
fillet_mm = 0
frame_fillet_mm = 0
`, flow.Past{})
	m := p.Masters[0]
	r := 15 - 10*math.Tan(10*math.Pi/180)
	solid := math.Pi * 10 * (15*15 + 15*r + r*r) / 3
	want := m.WidthMM*m.DepthMM*m.RubberMM - 4*solid
	if math.Abs(p.Silicone.VolumeMM3/want-1) > 5e-3 {
		t.Errorf("%.0f mm³ of rubber, by hand %.0f", p.Silicone.VolumeMM3, want)
	}
	if math.Abs(p.Silicone.MassG.Likely-p.Silicone.VolumeMM3/1000) > 1e-6*p.Silicone.VolumeMM3 || math.Abs(p.Silicone.PartAG-p.Silicone.PartBG) > 1e-9 {
		t.Errorf("%+v", p.Silicone)
	}
	// The pieces are a large part of it: without them the sum would be off by more.
	if 4*solid < 0.05*want {
		t.Errorf("%.0f mm³ of solids in %.0f", 4*solid, want)
	}
}
