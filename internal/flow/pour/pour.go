// Package pour plans the rubber: tested, measured, degassed, poured, cured.
//
//	Work (trays, pieces, rubber, kits, cure tests) + Choices + Bench --Make--> Pour
//	  masses of A and B, per tray and in all      pour.go
//	  the cure test and whether the pour is released  curetest.go
//	  the scale, the vacuum, the cups and their levels  scale.go, vacuum.go, cup.go, level.go
//	  times at the room's temperature, bubbles    cure.go, bubble.go
//	  the kits to buy                             kit.go
//	  whether food may touch it                   food.go
//	  what really weighed masses change           weighed.go
//
// Times count from the moment at which mixing begins. What happened on the bench comes
// in as values; the stage reads no clock.
package pour

import (
	"context"
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/master"
)

// Choices is how rubber is mixed and poured: the job file's [pour].
type Choices struct {
	CupShare  float64 `toml:"left_in_cup" default:"0.04" min:"0" max:"0.5" doc:"share of the mixed rubber that stays as a film in cups and on spatulas (common practice, no source: 0.03-0.06)"`
	BrushG    float64 `toml:"left_in_brush_g" default:"3" min:"0" max:"100" doc:"rubber that stays in the brush of each tray's first coat; 0 without one (common practice, no source)"`
	Reserve   float64 `toml:"reserve_share" default:"0.1" min:"0" max:"1" doc:"bought beyond what is needed, as a share of it (common practice, no source)"`
	PourGMin  float64 `toml:"pour_g_min" default:"150" min:"5" max:"5000" doc:"rubber poured in a minute, in a thin stream (common practice, no source)"`
	MixMin    float64 `toml:"mix_min" default:"4" min:"0.5" max:"60" doc:"mixing, with scraping and the second cup (common practice, no source)"`
	DegasMin  float64 `toml:"degas_min" default:"4" min:"0" max:"60" doc:"under vacuum, when there is one (makers' tips: about 5 min at most)"`
	Treatment string  `toml:"treatment" default:"washed, dried and post-cured" doc:"what is done to the print before the rubber, with times and temperatures; the cure test must be of the same"`
	Coating   string  `toml:"coating" default:"none" doc:"the coating on the print, or none"`
}

// Bench is what stands on the bench: the job file's [bench].
type Bench struct {
	RoomC          unit.Range `toml:"room_c" default:"[20, 22, 24]" min:"10" max:"40" doc:"temperature of room, rubber and master" do:"pour in a room that one can work in; warmth belongs to the post-cure"`
	AltitudeM      float64    `toml:"altitude_m" default:"0" min:"-400" max:"5000" doc:"height above the sea; thin air limits what a vacuum gauge can show"`
	VacuumHPa      float64    `toml:"vacuum_hpa" default:"0" min:"0" max:"1100" doc:"what the chamber's gauge shows below the air around (1 inHg = 33.86 hPa, 1 kPa = 10 hPa); 0: no vacuum" do:"read the gauge again and mind its unit: no vacuum is deeper than empty"`
	AirShare       unit.Range `toml:"air_share" default:"[0.03, 0.07, 0.13]" min:"0" max:"0.5" doc:"share of the stirred mix that is air (makers' tips of three to five times the volume at 29 inHg say 0.06-0.13)"`
	ScaleG         float64    `toml:"scale_g" default:"0.1" min:"0.001" max:"50" doc:"step of the scale"`
	RatioTolerance float64    `toml:"ratio_tolerance" default:"0.02" min:"0.001" max:"0.2" doc:"by what share the ratio may be off (common practice, no source)"`
	CupML          []float64  `toml:"cup_ml" default:"[1000]" min:"10" max:"50000" doc:"volumes of the mixing cups that also fit the chamber, to the brim: one number, or a list"`
	HandG          float64    `toml:"hand_g" default:"500" min:"10" max:"20000" doc:"the most that one mixes evenly by hand (common practice, no source)"`
}

// readyMin is when a cup is mixed and degassed.
func (b Bench) readyMin(c Choices) float64 {
	if b.VacuumHPa > 0 {
		return c.MixMin + c.DegasMin
	}
	return c.MixMin
}

func (b Bench) largestCup() float64 { return slices.Max(b.CupML) }

// cupFor is the smallest cup that has so much room; the largest where none has.
func (b Bench) cupFor(roomML float64) float64 {
	best := b.largestCup()
	for _, ml := range b.CupML {
		if ml >= roomML && ml < best {
			best = ml
		}
	}
	return best
}

// Work is what is to be poured, with what, and what was found out before.
type Work struct {
	Trays    []master.Tray
	Items    []master.Item // that stand on the trays
	Silicone material.Silicone
	Resin    string // what it is called
	Kits     []Kit
	Tests    []CureTest // with their outcomes
	Copies   int        // moulds cast from each tray; 0 counts as 1
	Home     []Home     // rubber that is there already
	Needed   unit.Date  // rubber that does not keep until then is not counted on; zero: not known
}

// Mix is rubber to be weighed out: PartAG + PartBG = MassG.Likely.
type Mix struct {
	Tray      int     // 0 for the sum of all
	VolumeMM3 float64 // that the frame takes
	MassG     unit.Range
	PartAG    float64
	PartBG    float64
}

// Pour is the rubber of every tray and of all together, and the way there.
type Pour struct {
	Trays []Mix
	Total Mix

	Released bool // the cure test allows it
	Why      string
	Food     Food
	Pads     Pads

	Times   Times
	Rise    unit.Range // volumes of the mix under vacuum; 1 without
	Batch   Batch
	Cups    []Cup
	Stages  Stages
	Bubbles Bubbles

	BuyG         float64 // to have: for the frames at the densest, the pads and the reserve
	Home         []Home  // rubber that is there already, what keeps least long first
	HomeG        float64 // of it, what is still good when it is needed
	SpoiltG      float64 // and what is not
	ShortG       float64 // to buy at least
	Kits         []Buy
	KitsPrice    float64
	LeftoverG    unit.Range // of what is at home and bought, when frames and pads are poured; 0 when neither is known
	OpenedMonths float64    // that what is left of the kits keeps; 0 without kits

	densityGML     unit.Range
	fill           []rubberBelow // of each tray
	ratioA, ratioB float64       // by mass
	bench          Bench
	pourGMin       float64
}

// Make plans the pour. A Stop finding says that no cup can be mixed well; masses are
// there all the same. It is an error when the data sheet, the vacuum or the room
// cannot be true.
func Make(ctx context.Context, w Work, c Choices, test TestChoices, b Bench) (*Pour, []finding.Finding, error) {
	s := w.Silicone
	p, err := masses(w.Trays, c, s)
	if err != nil {
		return nil, nil, err
	}
	if err := b.check(c); err != nil {
		return nil, nil, err
	}
	grown, err := growth(b.VacuumHPa, b.AltitudeM)
	if err != nil {
		return nil, nil, err
	}
	var found []finding.Finding
	var list []finding.Finding
	if p.Times, list, err = times(s, b.RoomC); err != nil {
		return nil, nil, err
	}
	found = append(found, list...)
	p.Rise = rise(b.AirShare, grown)
	ra, rb, err := s.MassRatio()
	if err != nil {
		return nil, nil, err
	}
	p.ratioA, p.ratioB, p.bench, p.pourGMin = ra, rb, b, c.PourGMin
	p.Food = foodContact(s)
	p.Batch = batch(ra, rb, s.DensityGML, p.Rise.High, p.Times, c, b)
	if err := p.testing(w, c, test, ra, rb, b); err != nil {
		return nil, nil, err
	}
	found = append(found, p.remarks(s)...)
	if f, bad := p.Batch.tooSmall(p.Times, b.readyMin(c)); bad {
		return p, append(found, f), nil
	}
	if p.fill, err = fillings(ctx, w.Trays, w.Items); err != nil {
		return nil, nil, err
	}
	if p.Cups, err = share(p, p.fill, ra, rb, c, b); err != nil {
		return nil, nil, err
	}
	if len(p.Cups) > 0 && p.Cups[0].MassG < p.Batch.SmallestG {
		found = append(found, finding.Finding{Severity: finding.Care, Where: "pour", What: fmt.Sprintf("%.4g g are mixed, less than the %.4g g that keep the ratio on this scale", p.Cups[0].MassG, p.Batch.SmallestG), Do: "a finer scale, or mix the smallest batch and keep the rest for a pad"})
	}
	p.Stages = stages(p.Times, p.Cups)
	if n := p.Stages.Count; n > 1 {
		found = append(found, finding.Finding{Severity: finding.Note, Where: "pour", What: fmt.Sprintf("%d stages, since the next cup is not ready while the last is wet; it may follow after %.2g-%.2g h, and bonds for %g h", n, p.Stages.FirmFromH.Likely, p.Stages.FirmFromH.High, p.Stages.BondUntilH), Do: "keep the first pour clean and free of release; a larger cup or a slower rubber makes one stage of it"})
	}
	p.rising(w.Trays, s, c, b, grown)
	if err := p.buying(ctx, w, c); err != nil {
		return nil, nil, err
	}
	return p, found, nil
}

// masses divides each tray's rubber into its parts. Mass = volume * density / (1 -
// left in cup) + what stays in the brush.
func masses(trays []master.Tray, c Choices, s material.Silicone) (*Pour, error) {
	a, b, err := s.MassRatio()
	if err != nil {
		return nil, err
	}
	if !(c.CupShare >= 0 && c.CupShare < 1) {
		return nil, &finding.Error{Key: "pour.left_in_cup", Found: fmt.Sprintf("a share of %g", c.CupShare), Allowed: "0 to less than 1", Do: "write a share: 0.04 is 4 per cent"}
	}
	if !(s.DensityGML.Ordered() && s.DensityGML.Low > 0) {
		return nil, &finding.Error{Key: "silicone.density_g_ml", Found: s.DensityGML.String() + " g/ml", Allowed: "above 0", Do: "copy the density from the data sheet"}
	}
	parts := func(m Mix) Mix {
		m.PartAG = m.MassG.Likely * a / (a + b)
		m.PartBG = m.MassG.Likely * b / (a + b)
		return m
	}
	p := &Pour{Trays: make([]Mix, len(trays)), densityGML: s.DensityGML}
	for i, t := range trays {
		m := Mix{Tray: t.Number, VolumeMM3: t.RubberMM3, MassG: s.DensityGML.Map(func(d float64) float64 {
			return (t.RubberMM3/1000*d + c.BrushG) / (1 - c.CupShare)
		})}
		p.Trays[i] = parts(m)
		p.Total.VolumeMM3 += m.VolumeMM3
		p.Total.MassG = plus(p.Total.MassG, m.MassG)
	}
	p.Total = parts(p.Total)
	return p, nil
}

func plus(a, b unit.Range) unit.Range {
	return unit.Range{Low: a.Low + b.Low, Likely: a.Likely + b.Likely, High: a.High + b.High}
}

// check refuses what the job file's reader would, for callers without one.
func (b Bench) check(c Choices) error {
	for _, v := range [...]struct {
		key string
		is  float64
	}{{"bench.scale_g", b.ScaleG}, {"bench.ratio_tolerance", b.RatioTolerance}, {"bench.hand_g", b.HandG}, {"pour.pour_g_min", c.PourGMin}, {"pour.mix_min", c.MixMin}} {
		if !(v.is > 0) || math.IsInf(v.is, 0) {
			return &finding.Error{Key: v.key, Found: fmt.Sprintf("%g", v.is), Allowed: "above 0", Do: "take the key out: the usual value is then used"}
		}
	}
	if len(b.CupML) == 0 {
		return &finding.Error{Key: "bench.cup_ml", Found: "no cup", Allowed: "at least one volume", Do: "write the volume of a cup that you have, such as 1000"}
	}
	for _, ml := range b.CupML {
		if !(ml > 0) || math.IsInf(ml, 0) {
			return &finding.Error{Key: "bench.cup_ml", Found: fmt.Sprintf("%g ml", ml), Allowed: "above 0", Do: "write the volume to its brim"}
		}
	}
	if !b.AirShare.Ordered() || b.AirShare.Low < 0 || b.AirShare.High >= 1 {
		return &finding.Error{Key: "bench.air_share", Found: b.AirShare.String(), Allowed: "0 to less than 1", Do: "write a share: 0.07 is 7 per cent"}
	}
	if !(c.DegasMin >= 0 && c.BrushG >= 0 && c.Reserve >= 0) {
		return &finding.Error{Key: "pour", Found: fmt.Sprintf("degas_min %g, left_in_brush_g %g, reserve_share %g", c.DegasMin, c.BrushG, c.Reserve), Allowed: "0 or more", Do: "take them out: the usual values are then used"}
	}
	return nil
}

// testing plans the pads and asks whether the pour is released.
func (p *Pour) testing(w Work, c Choices, test TestChoices, ra, rb float64, b Bench) error {
	own := CureTest{Resin: w.Resin, Treatment: c.Treatment, Coating: c.Coating, Silicone: w.Silicone.Called()}
	if plain(own.Coating) == "" {
		own.Coating = NoCoating
	}
	tests, err := Combinations(own, test)
	if err != nil {
		return err
	}
	if p.Released, p.Why, err = Released(own, w.Tests); err != nil {
		return err
	}
	for i := range tests {
		if t, ok := latest(tests[i], w.Tests); ok {
			tests[i].Outcome, tests[i].Date = t.Outcome, t.Date
		}
	}
	p.Pads.Tests = tests
	ml := float64(len(tests)) * test.PadMM * test.PadMM * test.RubberMM.High / 1000
	p.Pads.MassG = max(ml*w.Silicone.DensityGML.High/(1-c.CupShare), p.Batch.SmallestG)
	p.Pads.PartAG = onScale(p.Pads.MassG*ra/(ra+rb), b.ScaleG)
	p.Pads.PartBG = onScale(p.Pads.MassG*rb/(ra+rb), b.ScaleG)
	p.Pads.LookH, p.Pads.LookWhy = lookAt(p.Times.CureH)
	return nil
}

// remarks are about the rubber and its test.
func (p *Pour) remarks(s material.Silicone) (found []finding.Finding) {
	if !p.Released {
		found = append(found, finding.Finding{Severity: finding.Care, Where: "pour", What: "not released: " + p.Why, Do: "print pads of the same resin, treat and coat them as the master, and test the rubber on them"})
	}
	if s.Cure == "condensation" {
		found = append(found, finding.Finding{Severity: finding.Care, Where: "silicone.cure",
			What: "a condensation cure rubber shrinks more and is not meant for food",
			Do:   "take an addition cure rubber that declares food contact"})
	}
	if s.FoodContact == "" {
		found = append(found, finding.Finding{Severity: finding.Care, Where: "silicone.food_contact",
			What: "no declaration of food contact is known for this rubber",
			Do:   "copy the sentence from its data sheet, with the post-cure that it asks for; without one, no food may touch the mould. The print itself never touches food"})
	}
	return found
}

// rising finds the smallest bubble that leaves the deepest frame. A cup is taken to be
// as deep as a batch that is as high as wide.
func (p *Pour) rising(trays []master.Tray, s material.Silicone, c Choices, b Bench, grown float64) {
	depth, batchG, poured := 0.0, 0.0, b.readyMin(c)
	for _, t := range trays {
		depth = max(depth, t.RubberMM)
	}
	if len(p.Cups) > 0 {
		batchG = p.Cups[0].MassG
		poured += p.Cups[0].PourMin
	}
	cup := math.Cbrt(4 * batchG / s.DensityGML.Likely * 1000 / math.Pi)
	p.Bubbles = bubbles(p.Times, s.DensityGML, s.ViscosityPaS, depth, cup, c.MixMin, b.readyMin(c), poured, grown)
}

// buying chooses the kits for what is not at home.
func (p *Pour) buying(ctx context.Context, w Work, c Choices) (err error) {
	if len(w.Home) > MaxHome {
		return &finding.Error{Key: "record", Found: fmt.Sprintf("%d tins of rubber at home", len(w.Home)), Allowed: fmt.Sprintf("at most %d", MaxHome), Do: "strike out tins that are empty"}
	}
	copies := float64(max(1, w.Copies))
	m := p.Total.MassG.Scale(copies)
	p.BuyG = m.High*(1+c.Reserve) + p.Pads.MassG
	p.Home, p.HomeG = atHome(w.Home, w.Needed)
	for _, h := range p.Home {
		if h.Spoilt {
			p.SpoiltG += h.MassG
		}
	}
	p.ShortG = max(0, p.BuyG-p.HomeG)
	use(p.Home, p.BuyG, m.Likely+p.Pads.MassG)
	if p.Kits, err = cheapest(ctx, w.Kits, p.ShortG); err != nil {
		return err
	}
	have := p.HomeG
	for i, k := range p.Kits {
		kit := w.Kits[k.Kit]
		have += float64(k.Count * kit.MassG)
		p.KitsPrice += float64(k.Count) * kit.Price
		if i == 0 || kit.OpenedMonths < p.OpenedMonths {
			p.OpenedMonths = kit.OpenedMonths
		}
	}
	if have > 0 {
		left := func(used float64) float64 { return max(0, have-used-p.Pads.MassG) }
		p.LeftoverG = unit.Range{Low: left(m.High), Likely: left(m.Likely), High: left(m.Low)}
	}
	return nil
}
