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
	Name            string     `toml:"name" optional:"yes" doc:"what stands on the bottle; cure tests are told apart by it"`
	Class           string     `toml:"class" default:"rigid grey resin" doc:"the kind of resin whose values are taken where yours are missing"`
	DensityGML      unit.Range `toml:"density_g_ml" min:"0.8" max:"2" doc:"density of the cured resin"`
	Shrinkage       unit.Range `toml:"shrinkage" min:"0" max:"0.05" doc:"linear shrinkage of a cured part, as a fraction: 0.005 is 0.5 %"`
	ExposureS       float64    `toml:"exposure_s" min:"0.2" max:"120" doc:"exposure of a layer"`
	BottomExposureS float64    `toml:"bottom_exposure_s" min:"0.2" max:"300" doc:"exposure of a bottom layer"`
	BottomLayers    int        `toml:"bottom_layers" min:"0" max:"50" doc:"number of bottom layers"`
	FootMM          unit.Range `toml:"foot_mm" min:"0" max:"1" doc:"how far the first layers bulge on each side (elephant's foot)"`
	FootHeightMM    float64    `toml:"foot_height_mm" min:"0" max:"3" doc:"height over which that bulge fades"`
	BleedMM         unit.Range `toml:"bleed_mm" min:"-0.3" max:"0.3" doc:"how far light bleeds past the mask: an outline comes out larger by this on each side; below 0 smaller"`
	LongerX         unit.Range `toml:"longer_x" min:"-0.05" max:"0.05" doc:"by how much longer a print comes out along the plate's width than along its depth, as a share of length: 0.001 is 0.1 %; below 0 shorter"`
	BleedMoreXMM    unit.Range `toml:"bleed_more_x_mm" min:"-0.3" max:"0.3" doc:"how much further light bleeds past the mask along the plate's width than along its depth, on each side; below 0 less"`
	LossShare       float64    `toml:"loss_share" min:"0" max:"1" doc:"resin lost on the plate, in the vat and in washing, as a share of the parts"`
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
	Ingredients  []string   `toml:"ingredients" doc:"what it is made of, the most first, word for word as your package has it: labels and allergies rest on it"`
}

// Filling is one filling: [filling.NAME].
type Filling struct {
	DensityGML unit.Range `toml:"density_g_ml" default:"[1.1, 1.2, 1.3]" min:"0.5" max:"2" doc:"density; common practice, no source"`
	Allergens  []string   `toml:"allergens" optional:"yes" doc:"what is in it that someone may have to avoid, beside what its ingredients bring"`

	Recipe         string             `toml:"recipe" optional:"yes" doc:"a recipe that comes with the program; without it and without ingredients its keeping is not estimated"`
	IngredientsG   map[string]float64 `toml:"ingredients_g" optional:"yes" min:"0" max:"100000" doc:"your own recipe: g of each ingredient, by its name in the program's list or under [ingredient]; any amount, it is scaled"`
	IngredientsPct map[string]float64 `toml:"ingredients_pct" optional:"yes" min:"0" max:"100" doc:"the same in per cent, which must add up to 100"`
	WaterPct       float64            `toml:"water_pct" optional:"yes" min:"0.1" max:"95" doc:"water of the finished filling, where cooking drives some off"`
}

// Called is the name that tests of this resin are kept under.
func (r Resin) Called() string { return called(r.Name, r.Class) }

func called(name, class string) string {
	if name == "" {
		return class
	}
	return name
}
