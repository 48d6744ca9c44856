// Package material holds the printer, the resin, the rubber, the chocolates and the
// fillings as a person enters them, and generic classes to start from.
//
// A class is no product: it gives the low, likely and high value that the trade
// expects of its kind. Every number taken from a class is listed in the plan under
// "assumed", with the class and its source, until the person enters their own.
//
// Field tags are the job file's rules; see internal/job.
package material

import "mouldwright/internal/base/unit"

// Printer is a masked-LCD resin printer: the job file's [printer].
type Printer struct {
	Class         string     `toml:"class" default:"small plate" doc:"the kind of printer whose values are taken where yours are missing"`
	PlateWidthMM  float64    `toml:"plate_width_mm" min:"20" max:"1000" doc:"build plate, left to right"`
	PlateDepthMM  float64    `toml:"plate_depth_mm" min:"20" max:"1000" doc:"build plate, front to back"`
	PlateHeightMM float64    `toml:"plate_height_mm" min:"10" max:"1000" doc:"largest height of a print"`
	PixelMM       float64    `toml:"pixel_mm" min:"0.005" max:"0.5" doc:"side of one pixel of the mask"`
	LayerMM       float64    `toml:"layer_mm" min:"0.005" max:"0.3" doc:"thickness of a layer"`
	MarginMM      float64    `toml:"margin_mm" min:"0" max:"50" doc:"kept free along each edge of the plate"`
	LiftS         unit.Range `toml:"lift_s" min:"0" max:"120" doc:"lift, return and rest between two layers"`
}

// Resin is the printing resin with its exposure on this printer: [resin].
type Resin struct {
	Class           string     `toml:"class" default:"rigid grey resin" doc:"the kind of resin whose values are taken where yours are missing"`
	DensityGML      unit.Range `toml:"density_g_ml" min:"0.8" max:"2" doc:"density of the cured resin"`
	Shrinkage       unit.Range `toml:"shrinkage" min:"0" max:"0.05" doc:"linear shrinkage of a cured part, as a fraction: 0.005 is 0.5 %"`
	ExposureS       float64    `toml:"exposure_s" min:"0.2" max:"120" doc:"exposure of a layer"`
	BottomExposureS float64    `toml:"bottom_exposure_s" min:"0.2" max:"300" doc:"exposure of a bottom layer"`
	BottomLayers    int        `toml:"bottom_layers" min:"0" max:"50" doc:"number of bottom layers"`
	FootMM          unit.Range `toml:"foot_mm" min:"0" max:"1" doc:"how far the first layers bulge on each side (elephant's foot)"`
	FootHeightMM    float64    `toml:"foot_height_mm" min:"0" max:"3" doc:"height over which that bulge fades"`
	LossShare       float64    `toml:"loss_share" min:"0" max:"1" doc:"resin lost on the plate, in the vat and in washing, as a share of the parts"`
}

// Silicone is the mould rubber with what its data sheet says: [silicone].
type Silicone struct {
	Class          string     `toml:"class" default:"soft food-grade rubber" doc:"the kind of rubber whose values are taken where your data sheet's are missing"`
	Cure           string     `toml:"cure" enum:"addition,condensation" doc:"addition (platinum) or condensation (tin) cure; only addition cure belongs near food"`
	RatioA         float64    `toml:"ratio_a" min:"0.01" max:"1000" doc:"parts of A"`
	RatioB         float64    `toml:"ratio_b" min:"0.01" max:"1000" doc:"parts of B to that"`
	RatioBy        string     `toml:"ratio_by" enum:"mass,volume" doc:"whether the ratio is meant by mass or by volume"`
	DensityGML     unit.Range `toml:"density_g_ml" min:"0.8" max:"2" doc:"density of the mixed rubber"`
	DensityAGML    float64    `toml:"density_a_g_ml" min:"0.8" max:"2" doc:"density of part A"`
	DensityBGML    float64    `toml:"density_b_g_ml" min:"0.8" max:"2" doc:"density of part B"`
	ViscosityPaS   unit.Range `toml:"viscosity_pa_s" min:"0.1" max:"1000" doc:"viscosity just after mixing"`
	WorkingTimeMin unit.Range `toml:"working_time_min" min:"0.5" max:"600" doc:"working time at the sheet's temperature"`
	CureH          unit.Range `toml:"cure_h" min:"0.05" max:"200" doc:"time to demoulding at the sheet's temperature"`
	SheetC         float64    `toml:"sheet_c" min:"0" max:"60" doc:"temperature for which the data sheet gives its times"`
	ShoreA         unit.Range `toml:"shore_a" min:"1" max:"80" doc:"hardness, Shore A"`
	ElongationPct  unit.Range `toml:"elongation_pct" min:"50" max:"1500" doc:"elongation at break"`
	TearNMM        unit.Range `toml:"tear_n_mm" min:"1" max:"60" doc:"tear strength, die B"`
	TensileMPa     unit.Range `toml:"tensile_mpa" min:"0.5" max:"15" doc:"tensile strength"`
	Shrinkage      unit.Range `toml:"shrinkage" min:"0" max:"0.03" doc:"linear shrinkage of the cured rubber, as a fraction: 0.001 is 0.1 %"`
	PostCureH      float64    `toml:"post_cure_h" min:"0" max:"48" doc:"post-cure that the data sheet asks for before food"`
	PostCureC      float64    `toml:"post_cure_c" min:"20" max:"250" doc:"temperature of that post-cure"`
	FoodContact    string     `toml:"food_contact" optional:"yes" doc:"the declaration of compliance as your data sheet words it; empty means none is known"`
}

// Chocolate is one chocolate in the kitchen: [chocolate.NAME].
type Chocolate struct {
	Kind         string     `toml:"kind" default:"dark" doc:"dark, milk or white: the kind whose values are taken where yours are missing"`
	DensityGML   unit.Range `toml:"density_g_ml" min:"0.8" max:"2" doc:"density when set"`
	LiquidGML    unit.Range `toml:"liquid_density_g_ml" min:"0.8" max:"2" doc:"density when molten"`
	FatPct       unit.Range `toml:"fat_pct" min:"10" max:"70" doc:"fat, by mass"`
	YieldPa      unit.Range `toml:"yield_pa" min:"0.5" max:"200" doc:"Casson yield value at 40 °C"`
	ViscosityPaS unit.Range `toml:"viscosity_pa_s" min:"0.2" max:"50" doc:"Casson plastic viscosity at 40 °C"`
	Allergens    []string   `toml:"allergens" optional:"yes" doc:"what your package declares"`
}

// Filling is one filling: [filling.NAME].
type Filling struct {
	DensityGML unit.Range `toml:"density_g_ml" default:"[1.1, 1.2, 1.3]" min:"0.5" max:"2" doc:"density; common practice, no source"`
	Allergens  []string   `toml:"allergens" optional:"yes" doc:"what is in it that someone may have to avoid"`
}
