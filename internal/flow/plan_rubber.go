package flow

import (
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/pour"
)

// PlanRubber is the pour in the plan. Minutes and hours count from the moment at which
// mixing begins.
type PlanRubber struct {
	Released bool   `json:"released" doc:"a cure test of exactly this combination came out clean"`
	Why      string `json:"why" doc:"why it is released or not"`

	CureTest     []PlanCureTest  `json:"cure_test" doc:"the combinations to test; the job's own is the first"`
	PadsMassG    float64         `json:"pads_mass_g" doc:"rubber to mix for the pads"`
	PadsPartAG   float64         `json:"pads_part_a_g" doc:"of that, part A"`
	PadsPartBG   float64         `json:"pads_part_b_g" doc:"of that, part B"`
	PadsLookH    unit.Range      `json:"pads_look_h" doc:"when to judge a pad"`
	PadsLookWhy  string          `json:"pads_look_why" doc:"why then"`
	Inhibitors   []PlanInhibitor `json:"inhibitors" doc:"what keeps rubber from setting, with remedies"`
	FoodContact  string          `json:"food_contact,omitempty" doc:"the rubber's declaration, as its data sheet words it"`
	FoodDeclared bool            `json:"food_declared" doc:"an addition cure rubber whose data sheet declares food contact"`
	FoodCheck    []string        `json:"food_check" doc:"the food-contact check in plain words"`
	PostCureH    float64         `json:"post_cure_h" doc:"post-cure before food, as the data sheet asks; 0: none"`
	PostCureC    float64         `json:"post_cure_c" doc:"at this temperature"`
	RoomC        unit.Range      `json:"room_c" doc:"temperature that the times are for"`
	WorkingMin   unit.Range      `json:"working_time_min" doc:"working time at the room's temperature"`
	WorkingBy    string          `json:"working_time_by" doc:"the rule that brought it there"`
	CureH        unit.Range      `json:"cure_h" doc:"time to demoulding at the room's temperature"`
	CureBy       string          `json:"cure_by" doc:"the rule that brought it there"`
	DemouldH     float64         `json:"demould_h" doc:"not before: the longest cure"`
	FirstFoodH   unit.Range      `json:"first_food_h" doc:"after the last pour: cured, post-cured, cooled and washed"`
	Thickening   unit.Range      `json:"thickening" doc:"factor by which the viscosity has grown at the end of the working time"`
	Rise         unit.Range      `json:"rise" doc:"volumes that the mix takes under vacuum; 1 without"`
	SmallestG    float64         `json:"smallest_batch_g" doc:"the least mass whose ratio stays within tolerance on this scale"`
	LargestG     float64         `json:"largest_batch_g" doc:"the most that one cup can be"`
	LargestBy    string          `json:"largest_batch_by" doc:"what bounds it"`
	Cups         []PlanCup       `json:"cups" doc:"each batch, in order"`
	Stages       int             `json:"stages" doc:"how often one must wait until the rubber is firm, and one more"`
	FirmFromH    unit.Range      `json:"firm_from_h" doc:"after a pour: the next one may follow once it is firm, or else while it is wet"`
	BondUntilH   float64         `json:"bond_until_h" doc:"after a pour: so long the next one bonds to it, if it is clean and free of release"`
	BubbleMM     unit.Range      `json:"smallest_bubble_out_mm" doc:"the smallest bubble that rises out before the rubber sets, by diameter; smaller ones stay"`
	Bubbles      []PlanRises     `json:"bubbles" doc:"how far bubbles of some sizes rise"`
	BrushFirst   []PlanSpot      `json:"brush_first" doc:"hollows of the master to brush with rubber before it is poured"`
	FrameMM      unit.Range      `json:"smallest_bubble_out_of_frame_mm" doc:"the same without degassing"`
	BuyG         float64         `json:"buy_g" doc:"to have: for the frames at the densest, the pads and the reserve"`
	Home         []PlanHome      `json:"home" doc:"rubber that is at home, what keeps least long first"`
	HomeG        float64         `json:"home_g" doc:"of it, what is still good on the day needed"`
	SpoiltG      float64         `json:"home_spoilt_g" doc:"and what is not: it is not counted on"`
	ShortG       float64         `json:"short_g" doc:"to buy at least: what is to have less what is at home"`
	Kits         []PlanKit       `json:"kits" doc:"kits to buy at the least price, for what is not at home"`
	KitsPrice    float64         `json:"kits_price" doc:"all kits together"`
	LeftoverG    unit.Range      `json:"leftover_g" doc:"left of what is at home and bought when frames and pads are poured; 0 when neither is known"`
	OpenedMonths float64         `json:"leftover_months" doc:"how long what is left of the kits keeps once opened; each tin at home has its own day"`
}

// PlanCureTest is one combination of the cure test.
type PlanCureTest struct {
	Code      string `json:"code" doc:"stands on its pad in relief"`
	Resin     string `json:"resin" doc:"printing resin"`
	Treatment string `json:"treatment" doc:"washing and post-cure"`
	Coating   string `json:"coating" doc:"coating, or none"`
	Silicone  string `json:"silicone" doc:"rubber"`
	Outcome   string `json:"outcome" doc:"liquid, gummy, tacky skin or clean; empty: not tested"`
	Date      string `json:"date,omitempty" doc:"when it was judged"`
}

// PlanInhibitor is something that keeps rubber from setting.
type PlanInhibitor struct {
	What   string `json:"what" doc:"what inhibits"`
	Remedy string `json:"remedy" doc:"the usual remedy"`
	Source string `json:"source" doc:"where that is from"`
}

// PlanCup is one batch of rubber.
type PlanCup struct {
	Number      int        `json:"number" doc:"from 1"`
	MassG       float64    `json:"mass_g" doc:"to mix"`
	PartAG      float64    `json:"part_a_g" doc:"part A, on the scale's steps"`
	PartBG      float64    `json:"part_b_g" doc:"part B, on the scale's steps"`
	PartAML     float64    `json:"part_a_ml,omitempty" doc:"the same by volume, where the data sheet's ratio is meant so"`
	PartBML     float64    `json:"part_b_ml,omitempty" doc:"likewise"`
	TotalAG     float64    `json:"total_a_g" doc:"part A of this cup and all before it"`
	TotalBG     float64    `json:"total_b_g" doc:"part B of this cup and all before it"`
	RatioOff    float64    `json:"ratio_off_share" doc:"by what share the ratio can be off on this scale"`
	RoomML      float64    `json:"room_ml" doc:"least volume of the cup, with room to stir or to rise"`
	CupML       float64    `json:"cup_ml" doc:"the smallest cup of the bench that has it"`
	Stage       int        `json:"stage" doc:"from 1: cups of one stage are mixed and poured one after the other"`
	BeginMin    float64    `json:"begin_min" doc:"begin to mix, after the stage began"`
	LevelMM     float64    `json:"level_mm" doc:"level over the base of the tray that it ends in"`
	Fills       []PlanFill `json:"fills" doc:"the trays that it goes into"`
	ReadyMin    float64    `json:"ready_min" doc:"mixed and degassed"`
	PourMin     float64    `json:"pour_min" doc:"how long pouring takes"`
	LastPourMin float64    `json:"last_pour_min" doc:"the latest moment to begin to pour"`
	WetUntilMin float64    `json:"wet_until_min" doc:"until then the next cup flows into it"`
}

// PlanFill is what a cup brings into one tray.
type PlanFill struct {
	Tray    int     `json:"tray" doc:"tray number"`
	MassG   float64 `json:"mass_g" doc:"of what was mixed"`
	LevelMM float64 `json:"level_mm" doc:"level over its base, reached with it"`
}

// PlanRises is how far a bubble of one size rises before the rubber is too stiff.
type PlanRises struct {
	DiameterMM float64    `json:"diameter_mm" doc:"at the pressure of the room"`
	FrameMM    unit.Range `json:"in_frame_mm" doc:"after the pour"`
	ChamberMM  unit.Range `json:"in_chamber_mm" doc:"in the cup under vacuum; 0 without"`
}

// PlanSpot is a hollow of a master that is brushed first.
type PlanSpot struct {
	Tray       int     `json:"tray" doc:"tray number"`
	Place      int     `json:"place" doc:"number of the place on it"`
	Piece      string  `json:"piece" doc:"what stands there"`
	XMM        float64 `json:"x_mm" doc:"from the tray's left"`
	YMM        float64 `json:"y_mm" doc:"from its front"`
	DiameterMM float64 `json:"diameter_mm" doc:"of the largest disc that fits at half its depth"`
	DepthMM    float64 `json:"depth_mm" doc:"how deep it is"`
}

// PlanKit is so many kits of one size.
type PlanKit struct {
	Name  string  `json:"name" doc:"of the kit"`
	Count int     `json:"count" doc:"to buy"`
	MassG int     `json:"mass_g" doc:"of one"`
	Price float64 `json:"price" doc:"of one"`
}

// PlanHome is rubber that is at home.
type PlanHome struct {
	What   string  `json:"what" doc:"as the record calls it"`
	Lot    string  `json:"lot,omitempty" doc:"as its tin has it"`
	MassG  float64 `json:"mass_g" doc:"A and B together"`
	UsedG  float64 `json:"used_g" doc:"of it, what the plan counts on"`
	LeftG  float64 `json:"left_g" doc:"of it, what is left over when frames and pads are poured"`
	Until  string  `json:"until,omitempty" doc:"the last day on which it is good; missing: not known"`
	Spoilt bool    `json:"spoilt" doc:"no longer good on the day needed"`
	Words  string  `json:"words" doc:"how long it is good"`
}

func planHome(h pour.Home) PlanHome {
	out := PlanHome{What: h.What, Lot: h.Lot, MassG: h.MassG, UsedG: h.UsedG, LeftG: h.LeftG, Spoilt: h.Spoilt, Words: h.Words()}
	if h.Until != (unit.Date{}) {
		out.Until = h.Until.String()
	}
	return out
}

// PlanMould is the cured mould in the plan.
// Stretches are shares of length.
type PlanMould struct {
	Stretch        unit.Range      `json:"stretch" doc:"when it is peeled off, as a share of length; the tray that is stretched most"`
	StretchAllowed float64         `json:"stretch_allowed" doc:"lowest elongation at break divided by the safety factor"`
	Casts          unit.Range      `json:"casts" doc:"how often a mould will be filled before it is put away"`
	CastsFrom      int             `json:"casts_from" doc:"of how many moulds of your own that were put away the record speaks for it"`
	Trays          []PlanMouldTray `json:"trays" doc:"each tray's mould"`
}

// PlanMouldTray is one tray's mould.
type PlanMouldTray struct {
	Tray       int        `json:"tray" doc:"tray number"`
	MassG      unit.Range `json:"mass_g" doc:"of the cured mould"`
	FloorMM    float64    `json:"floor_mm" doc:"rubber under the deepest cavity"`
	ModulusMPa unit.Range `json:"modulus_mpa" doc:"of the rubber, from its hardness"`
	SpanMM     unit.Range `json:"span_mm" doc:"that the filled mould bridges before it sags more than allowed"`
	NeedsBoard bool       `json:"needs_board" doc:"keep a board under it when it is filled"`
	PressurePa float64    `json:"side_pressure_pa" doc:"of the liquid rubber at the frame's foot"`
	SideN      float64    `json:"side_push_n" doc:"on the longest side of the frame"`
	LeakG      unit.Range `json:"leak_g" doc:"rubber that an unsealed frame lets out while it flows"`
	BulgeMM    unit.Range `json:"bulge_mm" doc:"of the frame's longest panel, an upper bound"`
	Stretch    unit.Range `json:"stretch" doc:"when it is peeled off, as a share of length"`
	StretchWhy string     `json:"stretch_why" doc:"what stretches it"`
}
