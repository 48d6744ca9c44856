package forecast

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/piece"
)

// With no spread of light, pixels as fine as the samples, no coat, layers too thin to
// count and a chocolate that flows freely, the drawn relief comes back.
func TestPerfectMeansGiveTheDrawnRelief(t *testing.T) {
	p := made(t, reference("aeo"), 0.05)
	m, c := usual()
	m.Printer.PixelMM, m.Printer.LayerMM, c.LightMM, m.Chocolate.YieldPa.Likely = 0.05, 0.001, 0, 0
	z, err := Predict(bg, p, m, c)
	if err != nil {
		t.Fatal(err)
	}
	for k, v := range z.Z {
		if d := math.Abs(float64(v - p.Relief.Z[k])); d > 0.0005+1e-6 { // half a layer
			t.Fatalf("sample %d is off by %g mm", k, d)
		}
	}
}

// The weighted rank against its definition, level by level: a sample is cured at t
// where the light of the samples that reach t is enough.
func TestExposureAgainstLayers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := field.New(field.Grid{W: rapid.IntRange(3, 8).Draw(t, "w"), H: rapid.IntRange(3, 8).Draw(t, "h"), PitchMM: 0.02})
		for k := range a.Z {
			a.Z[k] = float32(rapid.IntRange(-2, 5).Draw(t, "z")) / 4
		}
		pixel, light, share := 0.02*float64(rapid.IntRange(1, 3).Draw(t, "pixel")), rapid.Float64Range(0, 0.05).Draw(t, "light"), rapid.Float64Range(0.2, 0.8).Draw(t, "share")
		got, err := exposed(bg, a, pixel, light, share)
		if err != nil {
			t.Fatal(err)
		}
		k := int(math.Round(pixel / 0.02))
		if k == 1 && light < 0.002 {
			return // nothing is to happen
		}
		// Light of one pixel at x: the Gaussian's integral over the pixel.
		weight := func(x, q int) float64 {
			lo, hi := float64(q*k)*0.02, float64((q+1)*k)*0.02
			c := (float64(x) + 0.5) * 0.02
			if light == 0 {
				if c > lo && c < hi {
					return 1
				}
				return 0
			}
			return 0.5 * (math.Erf((hi-c)/light/math.Sqrt2) - math.Erf((lo-c)/light/math.Sqrt2))
		}
		var along [8][25]float64
		for x := range along {
			for q := range along[x] {
				along[x][q] = weight(x, q-8)
			}
		}
		for j := range a.H {
			for i := range a.W {
				// Somewhere between these shares the answer must lie: what is cut off
				// beyond three sigma is under 1 %.
				low, high := -9.0, -9.0
				for l := -2; l <= 5; l++ {
					sum := 0.0
					for qy := -8; qy <= 16; qy++ {
						for qx := -8; qx <= 16; qx++ {
							w := along[i][qx+8] * along[j][qy+8]
							if w < 1e-9 {
								continue
							}
							on := 0
							for y := qy * k; y < (qy+1)*k; y++ {
								for x := qx * k; x < (qx+1)*k; x++ {
									z := float32(0)
									if x >= 0 && y >= 0 && x < a.W && y < a.H {
										z = a.Z[y*a.W+x]
									}
									if z >= float32(l)/4 {
										on++
									}
								}
							}
							sum += w * float64(on) / float64(k*k)
						}
					}
					if sum >= share+0.012 {
						low = float64(l) / 4
					}
					if sum >= share-0.012 {
						high = float64(l) / 4
					}
				}
				if v := float64(got.At(i, j)); v < low || v > high {
					t.Fatalf("sample %d, %d: %g, want %g to %g", i, j, v, low, high)
				}
			}
		}
	})
}

// A bar keeps its height until it is narrower than a blurred bar whose middle has half
// the light: erf(w / (2 sqrt(2) sigma)) = 1/2, w = 1.349 sigma.
func TestBarFadesAtTheClosedForm(t *testing.T) {
	const sigma = 0.1
	for _, w := range []float64{0.075, 0.1, 0.175, 0.2} {
		a, err := exposed(bg, strip(w, 0, 0.8), pitch, sigma, 0.5)
		if err != nil {
			t.Fatal(err)
		}
		mid := a.At(120, 120)
		want := w > 1.349*sigma
		// strip's foot and top lie half a sample off its edge at half height.
		if got := mid > 0.4; got != want && math.Abs(w-1.349*sigma) > pitch {
			t.Errorf("a bar of %g mm under a blur of %g mm is %.2f mm high", w, sigma, mid)
		}
	}
}

// Fin and slot under a coat: they grow and narrow by its thickness on each side.
func TestCoat(t *testing.T) {
	a, err := coated(bg, strip(0.5, 0, 0.8), 0.1)
	if err != nil {
		t.Fatal(err)
	}
	ridge, _, err := narrowest(bg, a, 0.4, 0)
	if err != nil || math.Abs(ridge-0.7) > pitch || math.Abs(highest(a)-0.8) > 1e-6 {
		t.Errorf("0.5 mm under a coat of 0.1 mm is %.3f mm wide, %.3f mm high (%v)", ridge, highest(a), err)
	}
	slot := negated(strip(0.15, 0, 0.8))
	if a, err = coated(bg, slot, 0.1); err != nil || a.At(120, 120) < -0.4 {
		t.Errorf("a slot of 0.15 mm under a coat of 0.1 mm stays %.3f mm deep (%v)", -a.At(120, 120), err)
	}
}

// A slot of 0.3 mm, a chocolate of 30 Pa and 1.2 g/ml 12 mm deep: pressure 141.2 Pa
// drives it in by p w / (2 tau) = 0.706 mm.
func TestEntryInASlot(t *testing.T) {
	m, c := usual()
	m.Chocolate.YieldPa.Likely, m.Chocolate.LiquidGML.Likely, c.Fill = 30, 1.2, "pour"
	per := entryPerMM(12, m, c)
	if deep := 0.3 / per; math.Abs(deep-0.706) > 0.001 {
		t.Errorf("it enters %.4f mm", deep)
	}
	c.Fill = "tap"
	if tap := entryPerMM(12, m, c); math.Abs(tap-0.3*per) > 1e-12 {
		t.Errorf("tapped: %g of %g", tap, per)
	}
	c.Fill = "brush"
	if brush := entryPerMM(12, m, c); math.Abs(brush*(141.216+500)-60) > 0.1 {
		t.Errorf("brushed: %g", brush)
	}
	// 1.4 mm deep it stays open at the ground, at the foot it is filled; wide strokes
	// fill altogether.
	narrow, err := entered(bg, strip(0.3, 0, 1.4), per)
	if err != nil || narrow.At(120, 120) > 0.9 || narrow.At(120, 120) < 0.4 {
		t.Errorf("narrow groove is filled to %.3f mm (%v)", narrow.At(120, 120), err)
	}
	wide, err := entered(bg, strip(0.9, 30, 1.4), per)
	if err != nil || wide.At(120, 120) < 1.39 {
		t.Errorf("wide groove is filled to %.3f mm (%v)", wide.At(120, 120), err)
	}
}

// As light spreads more, the holes of a and e close before that of o, and each stays
// closed: a and e are the narrow ones.
func TestHolesOfLettersCloseInOrder(t *testing.T) {
	d := reference("aeo")
	d.WidthMM, d.DepthMM, d.CornerMM, d.HeightMM = 8, 6, 1, 3
	d.Art[0].WidthMM, d.Art[0].DepthMM = 1.4, 0.2
	p := made(t, d, 0.0125)
	m, c := usual()
	m.Printer.PixelMM, c.ChocolateMM, c.RubberMM = 0.0125, 0, 0
	closed := map[string]float64{}
	for light := 0.0; light <= 0.1; light += 0.01 {
		c.LightMM = light
		f, _, err := Make(bg, p, m, c)
		if err != nil {
			t.Fatal(err)
		}
		letters, n := "aeo", -1
		for _, k := range f.Marks {
			if k.Kind != "hole" {
				n++
				continue
			}
			name := letters[n : n+1]
			fate := k.Fate == Fills && k.Cause == "printer"
			if was, ok := closed[name]; ok && !fate {
				t.Errorf("the hole of %s closed at %g mm and is open at %g mm", name, was, light)
			} else if fate && !ok {
				closed[name] = light
			}
		}
	}
	if len(closed) != 3 || closed["e"] >= closed["o"] || closed["a"] > closed["o"] || closed["e"] > closed["a"] {
		t.Errorf("holes close at %v", closed)
	}
}

// At the size that a mark needs it survives: the same letters drawn that much larger.
func TestNeededSizeSurvives(t *testing.T) {
	m, c := usual()
	for _, width := range []float64{6, 9, 14} {
		d := reference("aerog")
		d.Art[0].WidthMM = width
		f, _, err := Make(bg, made(t, d, 0.025), m, c)
		if err != nil {
			t.Fatal(err)
		}
		factor := 1.0
		for _, k := range f.Marks {
			factor = math.Max(factor, k.NeededMM/k.HeightMM)
		}
		if factor == 1 {
			continue
		}
		// Widths are known to a sample: 25 µm of half a millimetre.
		d.Art[0].WidthMM = width * factor * 1.05
		if d.Art[0].WidthMM > 32 {
			continue
		}
		if f, _, err = Make(bg, made(t, d, 0.025), m, c); err != nil {
			t.Fatal(err)
		}
		for _, k := range f.Marks {
			if k.Fate != Survives {
				t.Errorf("%g mm needed %.2f times that, where still: %+v", width, factor, k)
			}
		}
	}
}

// Two bars that print as one when light bridges their gap merge; apart they do not.
func TestNeighboursMerge(t *testing.T) {
	p := made(t, reference("oo"), 0.025)
	p.Body = field.New(field.Grid{W: 241, H: 241, PitchMM: pitch, X0: -3, Y0: -3})
	p.Body.Fill(5)
	for gap, want := range map[float64]string{0.06: Merges, 0.8: Survives} {
		p.Relief = field.New(p.Body.Grid)
		for k := range p.Relief.Z {
			q := p.Relief.XY(k%241, k/241)
			p.Relief.Z[k] = 5
			if x := math.Abs(q.X); x > gap/2 && x < gap/2+0.8 && math.Abs(q.Y) < 1.5 {
				p.Relief.Z[k] = 5.6
			}
		}
		m, c := usual()
		c.LightMM = 0.06
		f, _, err := Make(bg, p, m, c)
		if err != nil {
			t.Fatal(err)
		}
		if len(f.Marks) != 2 || f.Marks[0].Fate != want || f.Marks[1].Fate != want {
			t.Errorf("a gap of %g mm: %+v", gap, f.Marks)
		}
	}
}

func TestSizeShare(t *testing.T) {
	m, _ := usual() // resin 0.2/0.5/1.0 %, rubber 0.05/0.1/0.2 %
	s := sizeShare(m)
	if !s.Ordered() || math.Abs(s.Low-0.99/0.995*0.998/0.999) > 1e-12 || math.Abs(s.High-0.998/0.995*0.9995/0.999) > 1e-12 {
		t.Errorf("%+v", s)
	}
}

func TestBadRules(t *testing.T) {
	p := made(t, reference("oo"), 0.1)
	for key, change := range map[string]func(*Means, *Choices){
		"printer.pixel_mm":               func(m *Means, _ *Choices) { m.Printer.PixelMM = 0 },
		"printer.layer_mm":               func(m *Means, _ *Choices) { m.Printer.LayerMM = math.NaN() },
		"forecast.light_spread_mm":       func(_ *Means, c *Choices) { c.LightMM = -1 },
		"forecast.light_share":           func(_ *Means, c *Choices) { c.LightShare = 1 },
		"forecast.chocolate_depth_ratio": func(_ *Means, c *Choices) { c.ChocolateRatio = 0 },
		"forecast.visible_step_mm":       func(_ *Means, c *Choices) { c.EyeMM = math.Inf(1) },
		"forecast.fill":                  func(_ *Means, c *Choices) { c.Fill = "spray" },
		"forecast.coat_mm":               func(_ *Means, c *Choices) { c.CoatMM = 3 },
		"chocolate yield_pa":             func(m *Means, _ *Choices) { m.Chocolate.YieldPa.Likely = -1 },
		"forecast.least_draft_deg":       func(_ *Means, c *Choices) { c.DraftDeg = 90 },
		"silicone.shrinkage":             func(m *Means, _ *Choices) { m.Silicone.Shrinkage.High = 1 },
		"forecast.least_chocolate_mm":    func(_ *Means, c *Choices) { c.ChocolateMM = 50 },
	} {
		m, c := usual()
		change(&m, &c)
		if _, _, err := Make(bg, p, m, c); err == nil || !strings.HasPrefix(err.Error(), key) {
			t.Errorf("%s: %v", key, err)
		}
	}
	if _, _, err := Make(bg, &piece.Piece{Footprint: geom.Outline{}}, Means{}, Choices{}); err == nil {
		t.Error("a piece without a relief was taken")
	}
}

// Remedies name keys of the job file, and mend what they are for.
func TestRemedies(t *testing.T) {
	m, c := usual()
	d := reference("orchard")
	d.Art[0].WidthMM, d.DraftDeg = 20, 1
	p := made(t, d, 0.025)
	m.Design = d
	f, list, err := Make(bg, p, m, c)
	if err != nil {
		t.Fatal(err)
	}
	keys := []string{}
	for _, g := range list {
		keys = append(keys, g.Remedy.Key)
	}
	for _, want := range []string{"piece[1].draft_deg", "piece[1].art[1].width_mm"} {
		if !slices.Contains(keys, want) {
			t.Errorf("no remedy for %s: %v", want, list)
		}
	}
	if f.BelowDraftShare < 0.5 {
		t.Errorf("only %g of the walls lean less than 3 degrees", f.BelowDraftShare)
	}
}

// Where only the way of filling keeps chocolate out, brushing it in is the remedy; a
// letter that fits nowhere larger gets none; a light font gets its bold cut.
func TestRemedyFitsTheCause(t *testing.T) {
	m, c := usual()
	find := func(d piece.Choices) finding.Finding {
		m.Design = d
		_, list, err := Make(bg, made(t, d, 0.05), m, c)
		if err != nil {
			t.Fatal(err)
		}
		for _, g := range list {
			if strings.Contains(g.What, "break") {
				return g
			}
		}
		return finding.Finding{}
	}
	d := reference("ORCHARD")
	d.Art[0].DepthMM, d.Art[0].WidthMM = 1.2, 9 // strokes of a quarter of a millimetre
	c.ChocolateMM, c.ChocolateRatio = 0.1, 20
	c.Fill = "pour"
	if g := find(d); g.Remedy != finding.Set("forecast.fill", "brush") {
		t.Errorf("poured: %+v", g)
	}
	c.Fill, c.ChocolateMM = "brush", 2.5
	if g := find(reference("ORCHARD")); g.Remedy != (finding.Remedy{}) || !strings.Contains(g.Do, "do not fit on this top") {
		t.Errorf("too large: %+v", g)
	}
	m.HasFont = func(name string) bool { return name == "serif" || name == "serif bold" }
	d = reference("ORCHARD")
	d.Art[0].Font, c.ChocolateMM = "serif", 1.2
	if g := find(d); g.Remedy != finding.Set("piece[1].art[1].font", "serif bold") {
		t.Errorf("light font: %+v", g)
	}
}
