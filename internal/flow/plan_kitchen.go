package flow

import "mouldwright/internal/base/unit"

// PlanKitchen is the work in the kitchen.
type PlanKitchen struct {
	Chocolate []PlanBowl    `json:"chocolate" doc:"each chocolate to temper"`
	Pieces    []PlanSetting `json:"pieces" doc:"each design: what stays on its walls, how long it chills; of a design with names, its first name"`
	Fillings  []PlanKeeping `json:"fillings" doc:"each filling: recipe, water activity, keeping"`
	Rounds    int           `json:"rounds" doc:"the most rounds of any mould, losses included"`
	Moulds    []string      `json:"moulds" doc:"each mould at the bench"`
	Evening   []PlanStep    `json:"evening" doc:"the timeline, in order of beginning"`

	EveningMin float64    `json:"evening_min" doc:"from the first step to the last; likely times"`
	Second     PlanSecond `json:"second_mould" doc:"whether one more mould of each tray pays"`
}

// PlanSecond weighs one more mould of each tray.
type PlanSecond struct {
	SavesMin float64    `json:"saves_min" doc:"of one evening like this"`
	RubberG  float64    `json:"rubber_g" doc:"that it takes"`
	Price    float64    `json:"price" doc:"of that rubber at the price of the cheapest kit; 0: no kits are entered"`
	HandsMin float64    `json:"hands_min" doc:"work to cast it (common practice, no source)"`
	WaitH    unit.Range `json:"wait_h" doc:"from the pour until it may hold chocolate"`
	Evenings int        `json:"evenings" doc:"so many evenings save the work that it takes; 0: it wears out before"`
	Verdict  string     `json:"verdict" doc:"in words"`
}

// PlanBowl is one chocolate to temper by seeding.
type PlanBowl struct {
	Name    string     `json:"name" doc:"its name in the job file"`
	MeltG   unit.Range `json:"melt_g" doc:"to melt"`
	SeedG   unit.Range `json:"seed_g" doc:"to stir in solid; melt and seed together are what to buy"`
	BuyG    unit.Range `json:"buy_g" doc:"to buy"`
	ReturnG unit.Range `json:"return_g" doc:"left in the bowl at the end, for another day"`
	RoundG  unit.Range `json:"round_g" doc:"in the bowl when a round begins, of which return_g comes back"`
	MeltC   unit.Range `json:"melt_c" doc:"melt to"`
	SeedC   unit.Range `json:"cool_c" doc:"without seed: cool to"`
	WorkC   unit.Range `json:"work_c" doc:"work at"`
	WorkMin unit.Range `json:"workable_min" doc:"how long the bowl stays in its working band in the room"`

	ThickMin unit.Range `json:"thick_min" doc:"how long it may stand before it has to be tempered anew"`
}

// PlanSetting is one design in the kitchen. Times are there when they were computed.
type PlanSetting struct {
	Name       string       `json:"name" doc:"the design"`
	WallDeg    float64      `json:"wall_deg" doc:"lean of its walls from level; all but a twentieth of the surface is less steep"`
	StaysMM    *unit.Range  `json:"shell_stays_mm,omitempty" doc:"shell that stays on such walls after draining; none for a solid piece"`
	DrainS     *unit.Range  `json:"drain_s,omitempty" doc:"how long the mould hangs upside down for it"`
	Coats      int          `json:"coats,omitempty" doc:"likely number of coats for the wanted shell"`
	ShellMin   *unit.Range  `json:"shell_set_min,omitempty" doc:"chilling until the shell bears filling"`
	CapMin     *unit.Range  `json:"cap_set_min,omitempty" doc:"chilling until the capped piece can be released"`
	SolidMin   *unit.Range  `json:"solid_set_min,omitempty" doc:"chilling until a solid piece can be released"`
	LeastMM    *unit.Range  `json:"without_yield_mm,omitempty" doc:"what would stay if the chocolate had no yield value, until it sets: the least"`
	Course     []PlanCourse `json:"course,omitempty" doc:"temperatures while it chills; not in a sketch"`
	LastMM     []float64    `json:"last_to_set_mm,omitempty" doc:"the place that sets last: x, y from the middle, height above the back"`
	FillingMax float64      `json:"filling_max_c,omitempty" doc:"warmest filling that leaves the shell whole"`
	Changes    []PlanChange `json:"changes,omitempty" doc:"what a difference does to the likely time"`
}

// PlanChange is what one difference does.
type PlanChange struct {
	What   string  `json:"what" doc:"the difference"`
	Stage  string  `json:"stage" doc:"shell, cap or solid"`
	SetMin float64 `json:"set_min" doc:"likely time with it"`
	WasMin float64 `json:"was_min" doc:"without it, computed as finely"`
}

// PlanCourse is one chilling, at most 60 moments of it.
type PlanCourse struct {
	Stage    string    `json:"stage" enum:"shell,cap,solid" doc:"what chills"`
	Min      []float64 `json:"min" doc:"minutes in the fridge"`
	WarmestC []float64 `json:"warmest_c" doc:"warmest place of the chocolate"`
	MeanC    []float64 `json:"mean_c" doc:"mean of the chocolate"`
	CoolestC []float64 `json:"coolest_c" doc:"coolest place of the chocolate"`
	RubberC  []float64 `json:"rubber_c" doc:"mean of the rubber"`
	FillingC []float64 `json:"filling_c" doc:"mean of the filling; the chocolate's where there is none"`
	LeastSet []float64 `json:"least_set" doc:"crystallised share where there is least"`
	SetMin   float64   `json:"set_min" doc:"when the last place is set"`
}

// PlanKeeping is one filling in the kitchen. Without a recipe only its name and its
// declared allergens are known.
type PlanKeeping struct {
	Name        string       `json:"name" doc:"its name in the job file"`
	Ingredients []PlanAmount `json:"ingredients" doc:"to weigh, the most first, losses and boiling down included"`
	Method      string       `json:"method,omitempty" doc:"how one of the program's recipes is made"`
	Activity    *unit.Range  `json:"water_activity,omitempty" doc:"estimate, no measurement; 0 to 1"`
	Days        *unit.Range  `json:"keeping_days,omitempty" doc:"days of its class, from the high end of the water activity"`
	Class       string       `json:"keeping_class,omitempty" doc:"class of keeping"`
	Basis       string       `json:"keeping_basis,omitempty" doc:"why"`
	Storage     string       `json:"storage,omitempty" doc:"how to keep it"`
	Outlives    *bool        `json:"outlives_day,omitempty" doc:"whether the low end of its days reaches kitchen.keep_days"`
	Allergens   []string     `json:"allergens" doc:"declared and from its ingredients"`
	DensityGML  *unit.Range  `json:"density_g_ml,omitempty" doc:"from its ingredients"`
	EnergyKJ    float64      `json:"energy_kj,omitempty" doc:"in 100 g, Regulation (EU) 1169/2011"`
	EnergyKcal  float64      `json:"energy_kcal,omitempty" doc:"in 100 g"`
	WaterPct    float64      `json:"water_pct,omitempty" doc:"of the finished filling"`
	AlcoholPct  float64      `json:"alcohol_pct,omitempty" doc:"of the finished filling"`
	Doubts      []string     `json:"doubts,omitempty" doc:"what the estimate of the water activity does not know"`
	Warnings    []string     `json:"warnings,omitempty" doc:"fat that wanders, alcohol, what must be chilled"`

	MassG       *unit.Range        `json:"mass_g,omitempty" doc:"to make, losses included"`
	Nutrients   *PlanNutrients     `json:"nutrients,omitempty" doc:"in 100 g of the finished filling"`
	Methods     []PlanMethod       `json:"methods,omitempty" doc:"each method's water activity"`
	PipeC       *unit.Range        `json:"pipes_from_c,omitempty" doc:"it goes through a bag from here on: low when fresh, high when it has stood; an estimate"`
	SafeC       float64            `json:"safe_c,omitempty" doc:"warmest that all shells bear which it goes into"`
	Pipes       *bool              `json:"pipes,omitempty" doc:"whether it goes through a bag at a temperature that its shells bear"`
	WrittenG    map[string]float64 `json:"written_g,omitempty" doc:"the recipe as written"`
	CookedPct   float64            `json:"cooked_pct,omitempty" doc:"of water, to which it is cooked down"`
	Suggestions []PlanSuggestion   `json:"suggestions,omitempty" doc:"changes that just reach the next class"`
}

// PlanNutrients is what is in 100 g, in g, by the names of Regulation (EU) 1169/2011.
type PlanNutrients struct {
	FatG          float64 `json:"fat_g"`
	SaturatedG    float64 `json:"saturated_g"`
	CarbohydrateG float64 `json:"carbohydrate_g" doc:"without fibre"`
	SugarsG       float64 `json:"sugars_g"`
	FibreG        float64 `json:"fibre_g"`
	ProteinG      float64 `json:"protein_g"`
	SaltG         float64 `json:"salt_g"`
	Source        string  `json:"source" doc:"where the compositions are from"`
}

// PlanMethod is one way to the water activity.
type PlanMethod struct {
	Name     string  `json:"name"`
	Activity float64 `json:"activity"`
}

// PlanSuggestion is a changed recipe.
type PlanSuggestion struct {
	Words    string             `json:"words" doc:"what is changed, and for which class"`
	RecipeG  map[string]float64 `json:"recipe_g" doc:"the changed recipe, as written"`
	WaterPct float64            `json:"water_pct,omitempty" doc:"of the changed recipe, where it is cooked down"`
}

// PlanAmount is so much of an ingredient.
type PlanAmount struct {
	Name  string  `json:"name" doc:"ingredient"`
	MassG float64 `json:"mass_g" doc:"to weigh"`
}

// PlanStep is one step of the evening.
type PlanStep struct {
	Mould    string  `json:"mould,omitempty" doc:"which mould; empty: a bowl"`
	Bowl     string  `json:"bowl,omitempty" doc:"which chocolate is tempered or warmed; empty: a mould"`
	Round    int     `json:"round,omitempty" doc:"of the mould, from 1"`
	What     string  `json:"what" doc:"what is done"`
	Hands    bool    `json:"hands" doc:"whether it takes a person; otherwise the fridge"`
	StartMin float64 `json:"start_min" doc:"from the beginning of the evening"`
	EndMin   float64 `json:"end_min" doc:"from the beginning of the evening"`
}
