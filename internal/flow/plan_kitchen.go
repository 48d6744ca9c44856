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

	EveningMin float64 `json:"evening_min" doc:"from the first step to the last; likely times"`
	SavesMin   float64 `json:"second_mould_saves_min" doc:"what one more mould of each tray would save; it costs the tray's rubber and its cure"`
}

// PlanBowl is one chocolate to temper by seeding.
type PlanBowl struct {
	Name    string     `json:"name" doc:"its name in the job file"`
	MeltG   unit.Range `json:"melt_g" doc:"to melt"`
	SeedG   unit.Range `json:"seed_g" doc:"to stir in solid; melt and seed together are what to buy"`
	BuyG    unit.Range `json:"buy_g" doc:"to buy"`
	ReturnG unit.Range `json:"return_g" doc:"left in the bowl at the end, for another day"`
	MeltC   unit.Range `json:"melt_c" doc:"melt to"`
	SeedC   unit.Range `json:"cool_c" doc:"without seed: cool to"`
	WorkC   unit.Range `json:"work_c" doc:"work at"`
	WorkMin unit.Range `json:"workable_min" doc:"how long the bowl stays in its working band in the room"`
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

// PlanKeeping is one filling in the kitchen. Without a recipe only its name and its
// declared allergens are known.
type PlanKeeping struct {
	Name        string       `json:"name" doc:"its name in the job file"`
	Ingredients []PlanAmount `json:"ingredients" doc:"to weigh, the most first, losses and boiling down included"`
	Method      string       `json:"method,omitempty" doc:"how one of the program's recipes is made"`
	Activity    *unit.Range  `json:"water_activity,omitempty" doc:"estimate, no measurement"`
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
	Suggestions []string     `json:"suggestions,omitempty" doc:"changes that just reach the next class"`
}

// PlanAmount is so much of an ingredient.
type PlanAmount struct {
	Name  string  `json:"name" doc:"ingredient"`
	MassG float64 `json:"mass_g" doc:"to weigh"`
}

// PlanStep is one step of the evening.
type PlanStep struct {
	Mould    string  `json:"mould" doc:"which mould"`
	Round    int     `json:"round" doc:"from 1"`
	What     string  `json:"what" doc:"what is done"`
	Hands    bool    `json:"hands" doc:"whether it takes a person; otherwise the fridge"`
	StartMin float64 `json:"start_min" doc:"from the beginning of the evening"`
	EndMin   float64 `json:"end_min" doc:"from the beginning of the evening"`
}
