package record

import (
	"time"

	"mouldwright/internal/base/unit"
)

// CureTest is the outcome of one combination; see pour.CureTest.
type CureTest struct {
	Head
	Day       unit.Date `json:"day" need:"yes" doc:"when it was judged"`
	Resin     string    `json:"resin" need:"yes"`
	Treatment string    `json:"treatment" need:"yes" doc:"washing and post-cure, with times and temperatures"`
	Coating   string    `json:"coating" need:"yes" doc:"none among them"`
	Silicone  string    `json:"silicone" need:"yes"`
	Outcome   string    `json:"outcome" enum:"liquid,gummy,tacky skin,clean"`
	Note      string    `json:"note,omitzero"`
	Photo     string    `json:"photo,omitzero" ref:"photo"`
}

// Pour is the pour of one tray.
type Pour struct {
	Head
	At       time.Time `json:"at" need:"yes" doc:"when mixing began"`
	Tray     int       `json:"tray" min:"0" max:"10000" doc:"number of the tray, from 1"`
	Code     string    `json:"code,omitzero" doc:"of the revision"`
	Silicone string    `json:"silicone" need:"yes" doc:"the rubber"`
	Lot      string    `json:"lot,omitzero" doc:"of the rubber"`
	RoomC    float64   `json:"room_c,omitzero" min:"-20" max:"60" doc:"of the room; missing: not measured"`
	Note     string    `json:"note,omitzero"`
}

// Weighing is what stood on the scale. The latest standing one of a cup's part counts.
type Weighing struct {
	Head
	At       time.Time `json:"at" need:"yes"`
	Pour     string    `json:"pour,omitzero" ref:"pour"`
	Cup      int       `json:"cup,omitzero" min:"0" max:"10000" doc:"number of the cup, from 1"`
	What     string    `json:"what" need:"yes" doc:"part A, part B, or what else was weighed"`
	MassG    float64   `json:"mass_g" min:"0" max:"1000000"`
	PlannedG float64   `json:"planned_g,omitzero" min:"0" max:"1000000" doc:"what the plan asked for"`
	Silicone string    `json:"silicone,omitzero" doc:"the rubber, of its parts A and B"`
}

// Timer is a timer that was started.
type Timer struct {
	Head
	At      time.Time `json:"at" need:"yes" doc:"when it was started"`
	Name    string    `json:"name" need:"yes"`
	Minutes float64   `json:"minutes" min:"0.01" max:"100000"`
	Pour    string    `json:"pour,omitzero" ref:"pour"`
}

// TimerEnd says that a timer was put back.
type TimerEnd struct {
	Head
	At         time.Time `json:"at" need:"yes"`
	Timer      string    `json:"timer" need:"yes" ref:"timer"`
	PlannedMin float64   `json:"planned_min,omitzero" min:"0" max:"100000" doc:"of a cup: from the first stir until it was poured, as the plan had it"`
}

// Mould is a mould that was taken off its master.
type Mould struct {
	Head
	At   time.Time `json:"at" need:"yes" doc:"when it was demoulded"`
	Name string    `json:"name" need:"yes"`
	Tray int       `json:"tray,omitzero" min:"0" max:"10000" doc:"of the master, from 1"`
	Code string    `json:"code,omitzero" doc:"of the revision, as it stands on the mould"`
	Pour string    `json:"pour,omitzero" ref:"pour"`
	Note string    `json:"note,omitzero"`
}

// MouldUse is a use of a mould, its care, its wear, or its end.
type MouldUse struct {
	Head
	At    time.Time `json:"at" need:"yes"`
	Mould string    `json:"mould" need:"yes" ref:"mould"`
	What  string    `json:"what" enum:"cast,care,wear,put away"`
	Casts int       `json:"casts,omitzero" min:"0" max:"10000" doc:"how often it was filled"`
	Place string    `json:"place,omitzero" doc:"where it is worn"`
	Note  string    `json:"note,omitzero"`
	Photo string    `json:"photo,omitzero" ref:"photo"`
}
