package flow

// PlanCalendar is the work over the days. Moments are those of a clock on the wall:
// 2026-12-05T18:30.
type PlanCalendar struct {
	StartBy   string         `json:"start_by" doc:"the first task begins no later; empty: no calendar can be made, see findings"`
	ReadyBy   string         `json:"ready_by" doc:"the last task ends"`
	Needed    string         `json:"needed" doc:"when the boxes must be ready"`
	Quickest  string         `json:"start_by_if_quick" doc:"the latest start if everything goes quickly and nothing fails; empty: not computed"`
	Slowest   string         `json:"start_by_if_slow" doc:"the latest start if hands too take their longest; empty: not computed, or something then fits into no free hours"`
	SpanH     float64        `json:"span_h" doc:"from the first task to the moment needed"`
	BoundH    float64        `json:"bound_h" doc:"proved: no plan with these durations and hours spans less"`
	Gap       float64        `json:"gap" doc:"share by which the span is above that bound"`
	HandsH    float64        `json:"hands_h" doc:"of your own work, margins included"`
	LateH     float64        `json:"late_h" doc:"by how much the day needed is missed; 0: it is met"`
	FromNow   bool           `json:"from_now" doc:"planned anew from the present moment, since time is short or work has begun"`
	NoMargin  bool           `json:"no_margin" doc:"the margins for what may fail had to be given up"`
	Tasks     []PlanTask     `json:"tasks" doc:"each task, in order of beginning"`
	Changes   []PlanGain     `json:"changes" doc:"what would gain time, the most first"`
	FreeHours []PlanFreeSpan `json:"free_hours" doc:"your free hours while it lasts"`
}

// PlanTask is one task of the calendar.
type PlanTask struct {
	Task       string   `json:"task" doc:"its name"`
	From       string   `json:"from" doc:"begins"`
	To         string   `json:"to" doc:"ends"`
	HandsUntil string   `json:"hands_until" doc:"until then it needs hands; after that it runs by itself"`
	Home       bool     `json:"home" doc:"somebody must be at home until it ends"`
	After      []string `json:"after" doc:"what it waits for"`
	Needs      []string `json:"needs" doc:"what it occupies: printer, vacuum chamber, bench, oven, fridge shelf"`
	Critical   bool     `json:"critical" doc:"it decides the day: what delays it delays the end"`
	SlackH     float64  `json:"slack_h" doc:"how much sooner it could begin: so much is in hand"`
	Margin     bool     `json:"margin" doc:"only if something fails"`
	State      string   `json:"state" doc:"done, doing, or empty"`
}

// PlanGain is a change and what it gains.
type PlanGain struct {
	What    string  `json:"what" doc:"the change"`
	GainH   float64 `json:"gain_h" doc:"the latest start is so much later; when the day is missed, one is ready so much sooner"`
	StartBy string  `json:"start_by" doc:"the latest start with it"`
	ReadyBy string  `json:"ready_by" doc:"the last task ends with it"`
}

// PlanFreeSpan is a stretch of free hours.
type PlanFreeSpan struct {
	From string `json:"from"`
	To   string `json:"to"`
}

// PlanShopping is what to buy and what it costs.
// Costs are in the money of currency.
type PlanShopping struct {
	Currency    string         `json:"currency" doc:"behind amounts of money; may be empty"`
	Lines       []PlanPurchase `json:"lines" doc:"each thing, by group"`
	Total       float64        `json:"total" doc:"to pay for whole packs, of all lines whose price is known"`
	Used        float64        `json:"used" doc:"of that, what is used up"`
	PerBox      float64        `json:"per_box" doc:"total divided by the boxes"`
	PerPiece    float64        `json:"per_piece" doc:"total divided by the chocolates"`
	FailedPrint PlanLoss       `json:"failed_print" doc:"what one print that fails costs"`
	FailedPour  PlanLoss       `json:"failed_pour" doc:"what one pour that fails to cure costs"`
	NoPrice     []string       `json:"no_price" doc:"lines whose price is not known: the sums lack them"`
	Groups      []PlanGroup    `json:"groups" doc:"where the money goes, the most first"`
}

// PlanPurchase is one line of the shopping list.
// Amounts are in its unit, costs in the money of the shopping list.
type PlanPurchase struct {
	What   string   `json:"what" doc:"what it is called"`
	Group  string   `json:"group" doc:"print, mould, chocolate, filling or box"`
	Need   float64  `json:"need" doc:"how much is needed, in unit"`
	Unit   string   `json:"unit" doc:"g, ml, piece or pair"`
	Done   float64  `json:"done,omitempty" doc:"of it, what was used up for this job already"`
	Home   float64  `json:"home" doc:"already at home and still good"`
	Buy    float64  `json:"buy" doc:"still to buy"`
	Packs  int      `json:"packs" doc:"packs to buy; 0 where no pack is known"`
	Pack   float64  `json:"pack" doc:"how much is in one, in unit; 0: not known"`
	PackAs string   `json:"pack_as,omitempty" doc:"as its price has it: 1 kg"`
	Price  *float64 `json:"price,omitempty" doc:"of one pack; missing: not known"`
	Cost   *float64 `json:"cost,omitempty" doc:"of all packs; missing: not known"`
	Used   float64  `json:"used" doc:"of the cost, what is used up"`
	For    []string `json:"for" doc:"what it is for"`
	Why    string   `json:"why" doc:"how the amount was found"`
	Shop   string   `json:"shop,omitempty" doc:"where"`
	Spoilt float64  `json:"spoilt,omitempty" doc:"at home but no longer good by the day needed"`
}

// PlanLoss is what a failure costs.
// All three are money.
type PlanLoss struct {
	Low     float64  `json:"low" doc:"the smallest one"`
	Likely  float64  `json:"likely" doc:"the average one"`
	High    float64  `json:"high" doc:"the largest one"`
	What    []string `json:"what" doc:"what is lost with the largest"`
	NoPrice bool     `json:"no_price" doc:"a price is missing: it costs more than this"`
}

// PlanGroup is one group of the list.
type PlanGroup struct {
	Group string  `json:"group"`
	Cost  float64 `json:"cost"`
}

func emptyCalendar() PlanCalendar {
	return PlanCalendar{Tasks: []PlanTask{}, Changes: []PlanGain{}, FreeHours: []PlanFreeSpan{}}
}

func emptyShopping() PlanShopping {
	return PlanShopping{Lines: []PlanPurchase{}, NoPrice: []string{}, Groups: []PlanGroup{}, FailedPrint: PlanLoss{What: []string{}}, FailedPour: PlanLoss{What: []string{}}}
}
