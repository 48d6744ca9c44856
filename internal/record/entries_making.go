package record

import (
	"time"

	"mouldwright/internal/base/unit"
)

// Revision is inputs that were built. KeepRevision writes it with its files.
type Revision struct {
	Head
	At      time.Time `json:"at" need:"yes" doc:"when it was built"`
	Code    string    `json:"code" need:"yes" doc:"short code, with its check symbol"`
	Digest  string    `json:"digest" need:"yes" doc:"SHA-256 of the inputs"`
	Program string    `json:"program" need:"yes" doc:"version that built it"`
	Title   string    `json:"title"`
	JobText string    `json:"job_text,omitzero" long:"yes" doc:"the job file"`
	Before  string    `json:"before,omitzero" ref:"revision" doc:"id of the revision before it"`
	Changes string    `json:"changes,omitzero" doc:"what changed against that one, a line each"`
	Names   string    `json:"names,omitzero" long:"yes" doc:"of its name list, a line each"`
	Shape   string    `json:"shape,omitzero" doc:"SHA-256 of the inputs that shape what is printed"`
}

// File is a file of a revision.
type File struct {
	Head
	Revision string `json:"revision" need:"yes" ref:"revision"`
	Role     string `json:"role" enum:"input,made" doc:"it was made of it, or made it"`
	Name     string `json:"name" need:"yes"`
	SHA256   string `json:"sha256" need:"yes"`
	Bytes    int    `json:"bytes,omitzero"`
	Facts    string `json:"facts,omitzero" long:"yes" doc:"what it is, so far as changes are told by it, a line each"`
}

// Heights is a piece as it was in a revision, seen from above: coarse, for the map of
// what changed. The grid is row by row, y growing, as in field.Field.
type Heights struct {
	Head
	Revision string  `json:"revision" need:"yes" ref:"revision" doc:"the first that had these heights"`
	Piece    string  `json:"piece" need:"yes" doc:"as the plan calls it"`
	SHA256   string  `json:"sha256" need:"yes" doc:"of what follows"`
	PitchMM  float64 `json:"pitch_mm" min:"0.001" max:"100" doc:"distance of its samples"`
	StepMM   float64 `json:"step_mm" min:"0.000001" max:"1" doc:"height of one step of grey"`
	X0MM     float64 `json:"x0_mm" doc:"of the first sample, from the piece's middle"`
	Y0MM     float64 `json:"y0_mm"`
	PNG      string  `json:"png,omitzero" long:"yes" doc:"16-bit grey, in base 64; 0 is outside the piece"`
}

// Plate is a plate as a revision's plan has it.
type Plate struct {
	Head
	Revision   string  `json:"revision" need:"yes" ref:"revision"`
	Number     int     `json:"number" min:"1" max:"10000" doc:"from 1"`
	PlannedMin float64 `json:"planned_min,omitzero" min:"0" max:"20000" doc:"how long the plan said, uncorrected"`
	ResinML    float64 `json:"resin_ml,omitzero" min:"0" max:"20000"`
}

// Laid is a part as it lies on a plate of a revision.
type Laid struct {
	Head
	Revision string `json:"revision" need:"yes" ref:"revision"`
	Plate    int    `json:"plate" min:"1" max:"10000" doc:"its number"`
	Name     string `json:"name" need:"yes" doc:"of the part, as the plan names it"`
	Place    string `json:"place" need:"yes" doc:"where it lies on the plate: front left, middle, back right"`
	Shape    string `json:"shape" need:"yes" doc:"SHA-256 of what is printed of it, the engraved code apart"`
}

// Took is how long one step of the work took.
type Took struct {
	Head
	At         time.Time `json:"at" need:"yes" doc:"when it was done"`
	Step       string    `json:"step" enum:"wash,assemble,coat,pour,cure,demould,clean,filling,temper,shells,fill,cap,release,chill shells,chill caps,chill,box" doc:"what was done"`
	Minutes    float64   `json:"minutes" min:"0.05" max:"100000"`
	Count      int       `json:"count,omitzero" min:"0" max:"100000" doc:"of how many plates, parts, trays, moulds, fillings, pieces or boxes; missing: of one"`
	PlannedMin float64   `json:"planned_min,omitzero" min:"0" max:"100000" doc:"how long the plan said, uncorrected; of pours, cures and chilling"`
	About      string    `json:"about,omitzero" ref:"entry" doc:"id of the pour or batch"`
	Note       string    `json:"note,omitzero"`
}

// Print is one run of the printer.
type Print struct {
	Head
	At         time.Time `json:"at" need:"yes" doc:"when it was begun"`
	Plate      int       `json:"plate,omitzero" min:"0" max:"10000" doc:"number of the plate, from 1; missing: some parts of several"`
	Revision   string    `json:"revision,omitzero" ref:"revision" doc:"id of the revision, where the record has it"`
	Code       string    `json:"code,omitzero" doc:"its short code"`
	Minutes    float64   `json:"minutes,omitzero" min:"0" max:"20000" doc:"how long it took; missing: not known"`
	PlannedMin float64   `json:"planned_min,omitzero" min:"0" max:"20000" doc:"how long the plan said, uncorrected"`
	ResinML    float64   `json:"resin_ml,omitzero" min:"0" max:"20000" doc:"resin that it took"`
	Resin      string    `json:"resin,omitzero" doc:"what it was printed with"`
	Note       string    `json:"note,omitzero"`
}

// Part is what came of one part on a plate. The latest standing one of a part counts.
type Part struct {
	Head
	Print   string `json:"print" need:"yes" ref:"print"`
	Name    string `json:"name" need:"yes" doc:"as the plan names it on its plate"`
	Outcome string `json:"outcome" enum:"good,flawed,failed" doc:"flawed: usable, with a flaw; failed: not usable"`
	Place   string `json:"place,omitzero" doc:"where it is flawed, or failed"`
	Why     string `json:"why,omitzero"`
	Photo   string `json:"photo,omitzero" ref:"photo"`
}

// Point is a point of the person's own for the checklist before a print.
type Point struct {
	Head
	Words string `json:"words" need:"yes"`
}

// PointCost says that a point of the checklist once cost a print.
type PointCost struct {
	Head
	At    time.Time `json:"at" need:"yes"`
	Words string    `json:"words" need:"yes" doc:"the point"`
	Why   string    `json:"why,omitzero" doc:"what happened"`
	Print string    `json:"print,omitzero" ref:"print" doc:"the print that it cost"`
}

// Release is a plate that was released for printing.
type Release struct {
	Head
	At     time.Time `json:"at" need:"yes"`
	Plate  int       `json:"plate" min:"0" max:"10000" doc:"number of the plate, from 1"`
	Code   string    `json:"code,omitzero" doc:"of the revision"`
	SHA256 string    `json:"sha256,omitzero" doc:"of the plate's file"`
	Points string    `json:"points,omitzero" doc:"the points that were ticked, a line each"`
}

// Task is a task of the calendar.
type Task struct {
	Head
	Name   string    `json:"name" need:"yes" doc:"its name in the calendar"`
	FromAt time.Time `json:"from_at" need:"yes" doc:"when it was begun"`
	ToAt   time.Time `json:"to_at,omitzero" doc:"when it was done; missing: it is being done"`
	Failed bool      `json:"failed,omitzero" doc:"it must be done again"`
}

// Stock is something that came into the house.
// The amount is in its unit.
type Stock struct {
	Head
	At         time.Time `json:"at" need:"yes" doc:"when"`
	What       string    `json:"what" need:"yes" doc:"as the shopping list calls it"`
	Amount     float64   `json:"amount" min:"0" max:"1000000"`
	Unit       string    `json:"unit" enum:"g,ml,piece,pair"`
	Lot        string    `json:"lot,omitzero" doc:"as its package has it"`
	Opened     unit.Date `json:"opened,omitzero" doc:"the day on which it was opened"`
	KeepsUntil unit.Date `json:"keeps_until,omitzero"`
	Note       string    `json:"note,omitzero"`
}

// StockMove is what was taken of it, or came back, or was opened.
type StockMove struct {
	Head
	At     time.Time `json:"at" need:"yes"`
	Stock  string    `json:"stock" need:"yes" ref:"stock"`
	Amount float64   `json:"amount" min:"-1000000" max:"1000000" doc:"in its unit; less than 0: taken"`
	Opened unit.Date `json:"opened,omitzero" doc:"it was opened on that day"`
	Why    string    `json:"why,omitzero"`
	About  string    `json:"about,omitzero" ref:"entry" doc:"id of the print, pour or batch that took it"`
}
