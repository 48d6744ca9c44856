package flow

import (
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/box"
	"mouldwright/internal/flow/calendar"
	"mouldwright/internal/flow/cavity"
	"mouldwright/internal/flow/coupon"
	"mouldwright/internal/flow/forecast"
	"mouldwright/internal/flow/kitchen"
	"mouldwright/internal/flow/kitchen/recipe"
	"mouldwright/internal/flow/master"
	"mouldwright/internal/flow/mould"
	"mouldwright/internal/flow/piece"
	"mouldwright/internal/flow/plate"
	"mouldwright/internal/flow/pour"
	"mouldwright/internal/flow/shopping"
)

// Choices is everything a person decided: the job file, key by key. Each stage owns
// its part; the tags are explained in internal/job.
type Choices struct {
	Title   string    `toml:"title" doc:"what the job is called"`
	Needed  unit.Date `toml:"needed" doc:"the day on which the gifts must be ready"`
	Boxes   int       `toml:"boxes" default:"1" min:"1" max:"100000" doc:"how many boxes or guests"`
	Learn   bool      `toml:"learn" default:"true" doc:"real times in the record correct the plan, once there are three of a kind; plan.json says which under learned. A cure is only ever lengthened"`
	PitchMM float64   `toml:"pitch_mm" optional:"yes" min:"0.005" max:"0.5" doc:"distance of the samples of every relief; without it half the printer's pixel"`

	Printer    material.Printer              `toml:"printer" doc:"the resin printer"`
	Resin      material.Resin                `toml:"resin" doc:"the printing resin and its exposure"`
	Silicone   material.Silicone             `toml:"silicone" doc:"the mould rubber, as its data sheet has it"`
	Chocolate  map[string]material.Chocolate `toml:"chocolate" doc:"the chocolates, each under a name of yours"`
	Filling    map[string]material.Filling   `toml:"filling" optional:"yes" doc:"the fillings, each under a name of yours"`
	Ingredient map[string]recipe.Own         `toml:"ingredient" optional:"yes" doc:"ingredients of your own, or in place of the program's; what is missing to 100 % is ash and what is not known"`

	Forecast forecast.Choices `toml:"forecast" doc:"rules of thumb by which art and walls are judged before anything is printed"`
	Shell    cavity.Choices   `toml:"shell" doc:"how pieces are shelled"`
	Kitchen  kitchen.Choices  `toml:"kitchen" doc:"losses and habits of the kitchen"`
	Master   master.Choices   `toml:"master" doc:"mould rules"`
	Plate    plate.Choices    `toml:"plate" doc:"how parts are put on build plates"`
	Pour     pour.Choices     `toml:"pour" doc:"how the rubber is mixed and poured"`
	Mould    mould.Choices    `toml:"mould" doc:"how the cured mould is handled"`

	CureTest pour.TestChoices `toml:"cure_test" doc:"which combinations the cure test tries"`
	Bench    pour.Bench       `toml:"bench" doc:"what stands on the bench, and the room"`
	Kits     []pour.Kit       `toml:"kit" optional:"yes" doc:"the sizes in which the rubber is sold"`

	Calendar calendar.Choices `toml:"calendar" doc:"your free hours, and how long things take"`
	Shopping shopping.Choices `toml:"shopping" doc:"what is used up beside the materials"`
	Prices   []shopping.Price `toml:"price" optional:"yes" doc:"what things cost where you buy them"`

	Coupons []coupon.Reading `toml:"coupon" optional:"yes" doc:"what was measured on printed coupons; it takes the place of assumed values"`
	Box     box.Format       `toml:"box" optional:"yes" doc:"the box that each guest gets; with it the counts of the pieces may be left out"`
	Label   box.Label        `toml:"label" optional:"yes" doc:"what the boxes' labels say, and the sheets they are printed on"`

	Names  Names           `toml:"names" optional:"yes" doc:"the list for personalised pieces"`
	Pieces []piece.Choices `toml:"piece" doc:"the designs, in the order of the sheets"`
}

// Names is the list for personalised pieces: a CSV file with a header, a plain list,
// or rows written into the job file.
type Names struct {
	File string              `toml:"file" optional:"yes" doc:"a UTF-8 CSV with a header line; each column is a variable"`
	List []string            `toml:"list" optional:"yes" doc:"the names themselves; the variable is {name}"`
	Rows []map[string]string `toml:"row" optional:"yes" doc:"rows with any keys: [[names.row]]"`
}
