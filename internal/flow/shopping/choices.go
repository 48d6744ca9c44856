package shopping

import "mouldwright/internal/base/unit"

// Choices is what things cost and what a session uses up: the job file's [shopping].
type Choices struct {
	Currency   string `toml:"currency" optional:"yes" doc:"what stands behind amounts of money, such as EUR"`
	GlovePairs int    `toml:"glove_pairs" default:"2" min:"0" max:"50" doc:"pairs of gloves used for each plate and each pour (common practice, no source)"`
	WashML     int    `toml:"wash_ml" default:"500" min:"0" max:"20000" doc:"washing liquid used up for each plate (common practice, no source)"`
	CoatingML  int    `toml:"coating_ml" default:"20" min:"0" max:"2000" doc:"coating for each tray, where pour.coating asks for one (common practice, no source)"`
}

// Price is what something costs where the person buys it: [[price]]. The program
// invents none.
type Price struct {
	What  string  `toml:"what" doc:"its name on the shopping list, or part of it: dark chocolate, cream, box"`
	Price float64 `toml:"price" min:"0" max:"1000000" doc:"of one pack"`
	Pack  float64 `toml:"pack" default:"1" min:"0.001" max:"1000000" doc:"how much is in a pack, in its unit"`
	Unit  string  `toml:"unit" default:"piece" enum:"g,kg,ml,l,piece,pair" doc:"of the pack's amount"`
	Shop  string  `toml:"shop" optional:"yes" doc:"where"`
}

// Stock is what is already at home, as the record has it.
// Amounts are in Unit.
type Stock struct {
	What       string // as on the shopping list: "dark chocolate", "rigid grey resin"
	Amount     float64
	Unit       string    // g, ml, piece or pair
	Opened     unit.Date // zero: not opened
	KeepsUntil unit.Date // zero: not known
	Lot        string
	Done       bool // used up for this job already: it need not be bought any more
}
