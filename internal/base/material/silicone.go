package material

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
)

// Silicone is the mould rubber with what its data sheet says: [silicone].
type Silicone struct {
	Name           string     `toml:"name" optional:"yes" doc:"what stands on the tin; cure tests are told apart by it"`
	Class          string     `toml:"class" default:"soft food-grade rubber" doc:"the kind of rubber whose values are taken where your data sheet's are missing"`
	Cure           string     `toml:"cure" enum:"addition,condensation" doc:"addition (platinum) or condensation (tin) cure; only addition cure belongs near food"`
	RatioA         float64    `toml:"ratio_a" min:"0.01" max:"1000" doc:"parts of A" do:"take the mixing ratio from the data sheet, such as 1 to 1 or 10 to 1"`
	RatioB         float64    `toml:"ratio_b" min:"0.01" max:"1000" doc:"parts of B to that" do:"take the mixing ratio from the data sheet, such as 1 to 1 or 10 to 1"`
	RatioBy        string     `toml:"ratio_by" enum:"mass,volume" doc:"whether the ratio is meant by mass or by volume"`
	DensityGML     unit.Range `toml:"density_g_ml" min:"0.8" max:"2" doc:"density of the mixed rubber"`
	DensityAGML    float64    `toml:"density_a_g_ml" min:"0.8" max:"2" doc:"density of part A"`
	DensityBGML    float64    `toml:"density_b_g_ml" min:"0.8" max:"2" doc:"density of part B"`
	ViscosityPaS   unit.Range `toml:"viscosity_pa_s" min:"0.1" max:"1000" doc:"viscosity just after mixing"`
	WorkingTimeMin unit.Range `toml:"working_time_min" min:"0.5" max:"600" doc:"working time at the sheet's temperature"`
	CureH          unit.Range `toml:"cure_h" min:"0.05" max:"200" doc:"time to demoulding at the sheet's temperature"`
	SheetC         float64    `toml:"sheet_c" min:"0" max:"60" doc:"temperature for which the data sheet gives its times"`
	SecondC        float64    `toml:"second_sheet_c" optional:"yes" min:"0" max:"150" doc:"a second temperature for which the data sheet gives times; without one, times are taken to halve for every 10 °C"`
	SecondWorkMin  float64    `toml:"second_working_time_min" optional:"yes" min:"0.1" max:"6000" doc:"working time at second_sheet_c"`
	SecondCureH    float64    `toml:"second_cure_h" optional:"yes" min:"0.01" max:"2000" doc:"time to demoulding at second_sheet_c"`
	ShoreA         unit.Range `toml:"shore_a" min:"1" max:"80" doc:"hardness, Shore A"`
	ElongationPct  unit.Range `toml:"elongation_pct" min:"50" max:"1500" doc:"elongation at break"`
	TearNMM        unit.Range `toml:"tear_n_mm" min:"1" max:"60" doc:"tear strength, die B"`
	TensileMPa     unit.Range `toml:"tensile_mpa" min:"0.5" max:"15" doc:"tensile strength"`
	Shrinkage      unit.Range `toml:"shrinkage" min:"0" max:"0.03" doc:"linear shrinkage of the cured rubber, as a fraction: 0.001 is 0.1 %"`
	PostCureH      float64    `toml:"post_cure_h" min:"0" max:"48" doc:"post-cure that the data sheet asks for before food"`
	PostCureC      float64    `toml:"post_cure_c" min:"20" max:"250" doc:"temperature of that post-cure"`
	FoodContact    string     `toml:"food_contact" optional:"yes" doc:"the declaration of compliance as your data sheet words it; empty means none is known"`
}

// Called is the name that tests of this rubber are kept under.
func (s Silicone) Called() string { return called(s.Name, s.Class) }

// MassRatio gives the parts of A and of B by mass. A ratio by volume is turned into
// mass with each part's own density, since parts are weighed.
func (s Silicone) MassRatio() (a, b float64, err error) {
	a, b = s.RatioA, s.RatioB
	if s.RatioBy == "volume" {
		a, b = a*s.DensityAGML, b*s.DensityBGML
	}
	if !(a > 0 && b > 0) || math.IsInf(a/b, 0) || math.IsInf(b/a, 0) {
		return 0, 0, &finding.Error{Key: "silicone.ratio_a", Found: fmt.Sprintf("a ratio of %g to %g", a, b), Allowed: "both above 0", Do: "take the mixing ratio from the data sheet"}
	}
	return a, b, nil
}

// CheckTimes refuses a data sheet that contradicts itself.
func (s Silicone) CheckTimes() error {
	refuse := func(key, found, allowed string) error {
		return &finding.Error{Key: "silicone." + key, Found: found, Allowed: allowed, Do: "read the data sheet again; times in it may be for different temperatures"}
	}
	w, c := s.WorkingTimeMin, s.CureH
	switch {
	case !(w.Ordered() && w.Low > 0):
		return refuse("working_time_min", w.String()+" min", "above 0")
	case !(c.Ordered() && c.Low > 0):
		return refuse("cure_h", c.String()+" h", "above 0")
	case w.Low >= 60*c.Low || w.Likely >= 60*c.Likely || w.High >= 60*c.High:
		return refuse("working_time_min", fmt.Sprintf("%s min, but it is cured after %s h", w, c), "a working time shorter than the cure")
	}
	if s.SecondC == 0 && s.SecondWorkMin == 0 && s.SecondCureH == 0 {
		return nil
	}
	if s.SecondC == 0 {
		return refuse("second_sheet_c", "missing, with a second working or cure time", "the temperature that those times are for")
	}
	warmer := s.SecondC > s.SheetC
	longer := func(second, first float64) bool { return second != 0 && (second >= first) == warmer }
	switch {
	case !(math.Abs(s.SecondC-s.SheetC) >= 2):
		return refuse("second_sheet_c", fmt.Sprintf("%g °C beside %g °C", s.SecondC, s.SheetC), "two temperatures at least 2 °C apart")
	case s.SecondWorkMin == 0 && s.SecondCureH == 0:
		return refuse("second_sheet_c", "no times for it", "second_working_time_min or second_cure_h")
	case longer(s.SecondWorkMin, w.Likely):
		return refuse("second_working_time_min", fmt.Sprintf("%g min at %g °C, %g min at %g °C", s.SecondWorkMin, s.SecondC, w.Likely, s.SheetC), "the shorter time at the warmer place")
	case longer(s.SecondCureH, c.Likely):
		return refuse("second_cure_h", fmt.Sprintf("%g h at %g °C, %g h at %g °C", s.SecondCureH, s.SecondC, c.Likely, s.SheetC), "the shorter time at the warmer place")
	case s.SecondWorkMin != 0 && s.SecondCureH != 0 && s.SecondWorkMin >= 60*s.SecondCureH:
		return refuse("second_working_time_min", fmt.Sprintf("%g min, but it is cured after %g h", s.SecondWorkMin, s.SecondCureH), "a working time shorter than the cure")
	}
	return nil
}
