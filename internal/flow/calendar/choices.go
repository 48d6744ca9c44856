package calendar

import (
	"time"

	"mouldwright/internal/base/unit"
)

// Choices is when the person works and how long things take that the plan cannot
// compute: the job file's [calendar]. Durations are common practice without a source
// until the person enters their own.
type Choices struct {
	Monday    []string  `toml:"monday" default:"[\"18:30-21:30\"]" doc:"free hours of that weekday, such as 18:30-21:30; an empty list is no work"`
	Tuesday   []string  `toml:"tuesday" default:"[\"18:30-21:30\"]" doc:"the same for Tuesday"`
	Wednesday []string  `toml:"wednesday" default:"[\"18:30-21:30\"]" doc:"the same for Wednesday"`
	Thursday  []string  `toml:"thursday" default:"[\"18:30-21:30\"]" doc:"the same for Thursday"`
	Friday    []string  `toml:"friday" default:"[\"18:30-21:30\"]" doc:"the same for Friday"`
	Saturday  []string  `toml:"saturday" default:"[\"10:00-18:00\"]" doc:"the same for Saturday"`
	Sunday    []string  `toml:"sunday" default:"[\"10:00-18:00\"]" doc:"the same for Sunday"`
	Days      []FreeDay `toml:"day" optional:"yes" doc:"days that differ from their weekday: days off, days taken off work"`
	NeededBy  string    `toml:"needed_by" default:"12:00" doc:"time of the day needed by which the boxes must be ready"`
	Zone      string    `toml:"time_zone" optional:"yes" doc:"an IANA time zone such as Europe/Dublin, for calendar.ics; without it times float, and every calendar shows them as its own"`

	People     int `toml:"people" default:"1" min:"1" max:"20" doc:"people who share these free hours"`
	Printers   int `toml:"printers" default:"1" min:"1" max:"20" doc:"resin printers that can work side by side"`
	Chambers   int `toml:"chambers" default:"1" min:"1" max:"20" doc:"vacuum chambers"`
	Ovens      int `toml:"ovens" default:"1" min:"1" max:"20" doc:"ovens for the post-cure"`
	FailTests  int `toml:"failed_tests" default:"1" min:"0" max:"5" doc:"margin: cure tests that may fail and be made again with another treatment or a coating"`
	FailPrints int `toml:"failed_prints" default:"1" min:"0" max:"5" doc:"margin: prints that may fail and be made again"`
	FailCures  int `toml:"failed_cures" default:"1" min:"0" max:"5" doc:"margin: pours that may fail to cure and be poured again"`

	SessionH  float64 `toml:"session_h" default:"4" min:"0.5" max:"16" doc:"the longest that one works at a stretch; what takes longer is divided where it can be"`
	OvenAlone bool    `toml:"oven_alone" default:"false" doc:"the oven may run while nobody is at home; without it a post-cure lies in free hours"`
	EatenDays int     `toml:"eaten_days" default:"7" min:"0" max:"400" doc:"days from the day needed until the last piece is eaten, which every filling must outlive"`

	DeliveryDays unit.Range `toml:"delivery_days" default:"[2, 4, 7]" min:"0" max:"90" doc:"days from an order to its arrival (common practice, no source)"`
	ExpressDays  float64    `toml:"express_days" default:"1" min:"0" max:"90" doc:"the same by express (common practice, no source)"`
	SetUpMin     unit.Range `toml:"set_up_min" default:"[10, 15, 30]" min:"0" max:"600" doc:"taking off the last plate, looking at vat and resin, starting the next print (common practice, no source)"`
	WashMin      unit.Range `toml:"wash_min" default:"[20, 30, 45]" min:"0" max:"600" doc:"washing, drying and looking over what was on one plate (common practice, no source)"`
	LampMin      unit.Range `toml:"lamp_min" default:"[30, 60, 120]" min:"0" max:"2880" doc:"post-cure of one plate's parts under the lamp, and drying; nobody need stand by (common practice, no source)"`
	PartMin      unit.Range `toml:"assemble_part_min" default:"[2, 4, 8]" min:"0" max:"240" doc:"assembly of the master, for each printed part (common practice, no source)"`
	CoatMin      unit.Range `toml:"coat_min" default:"[20, 30, 45]" min:"0" max:"600" doc:"coating one tray, where pour.coating asks for it (common practice, no source)"`
	CoatDryH     unit.Range `toml:"coat_dry_h" default:"[6, 12, 24]" min:"0" max:"240" doc:"until the coating is dry through (common practice, no source; its tin says)"`
	BenchMin     unit.Range `toml:"pour_set_up_min" default:"[15, 25, 40]" min:"0" max:"600" doc:"levelling the tray, laying out cups, cleaning up after a pour (common practice, no source)"`
	DemouldMin   unit.Range `toml:"demould_min" default:"[15, 30, 60]" min:"0" max:"600" doc:"demoulding and trimming one mould (common practice, no source)"`
	CleanMin     unit.Range `toml:"clean_mould_min" default:"[15, 20, 30]" min:"0" max:"600" doc:"washing and drying one mould before food (common practice, no source)"`
	FillingMin   unit.Range `toml:"filling_min" default:"[30, 45, 90]" min:"0" max:"600" doc:"making one filling (common practice, no source)"`
	TemperMin    unit.Range `toml:"temper_min" default:"[30, 45, 60]" min:"0" max:"600" doc:"melting, tempering and laying out, for each session in the kitchen (common practice, no source)"`
	RestH        unit.Range `toml:"rest_h" default:"[8, 12, 24]" min:"0" max:"240" doc:"rest of the finished pieces before they are boxed (common practice, no source)"`
	BoxMin       unit.Range `toml:"box_min" default:"[2, 3, 6]" min:"0" max:"120" doc:"filling, labelling and closing one box (common practice, no source)"`

	Tasks []OwnTask `toml:"task" optional:"yes" doc:"tasks of your own: [[calendar.task]]"`
}

// FreeDay is a day whose free hours differ from its weekday's: [[calendar.day]].
type FreeDay struct {
	Date unit.Date `toml:"date" doc:"the day"`
	Free []string  `toml:"free" default:"[]" doc:"its free hours; empty: a day off"`
}

// OwnTask is a task that the person adds: [[calendar.task]].
type OwnTask struct {
	Name   string     `toml:"name" doc:"what it is called in the calendar"`
	Hands  unit.Range `toml:"hands_min" default:"30" min:"0" max:"1440" doc:"minutes of your own work"`
	AloneH unit.Range `toml:"alone_h" default:"0" min:"0" max:"2000" doc:"hours that follow in which nobody need be there"`
	After  []string   `toml:"after" optional:"yes" doc:"tasks that must be done before it, by their names in the calendar"`
	Before []string   `toml:"before" optional:"yes" doc:"tasks that wait for it"`
}

// Happened is what really was done, as the record has it.
type Happened struct {
	Task   string    // its name in the calendar
	From   time.Time // when it was begun
	To     time.Time // when it was done; zero while it is being done
	Failed bool      // it must be done again; it took up a margin
}
