package record

import (
	"time"

	"mouldwright/internal/base/unit"
)

// Batch is what was made at once in the kitchen: a filling, or pieces of one design.
type Batch struct {
	Head
	At         time.Time `json:"at" need:"yes"`
	Lot        string    `json:"lot" need:"yes" doc:"the batch's own, as it is written on it"`
	What       string    `json:"what" need:"yes" doc:"the filling, or the piece"`
	Made       float64   `json:"made" min:"0" max:"1000000" doc:"good ones, or mass"`
	Unit       string    `json:"unit" enum:"g,piece"`
	Mould      string    `json:"mould,omitzero" ref:"mould"`
	Note       string    `json:"note,omitzero"`
	KeepsUntil unit.Date `json:"keeps_until,omitzero" doc:"of a filling"`
}

// BatchLot is what went into a batch: a bought lot, or the lot of another batch.
type BatchLot struct {
	Head
	Batch string  `json:"batch" need:"yes" ref:"batch"`
	What  string  `json:"what" need:"yes" doc:"the chocolate or ingredient"`
	Lot   string  `json:"lot" need:"yes"`
	MassG float64 `json:"mass_g,omitzero" min:"0" max:"1000000"`
	Stock string  `json:"stock,omitzero" ref:"stock" doc:"what is at home of it, which is drawn down"`
}

// Loss is what was lost of a batch.
// The amount is in its unit.
type Loss struct {
	Head
	Batch  string  `json:"batch" need:"yes" ref:"batch"`
	What   string  `json:"what" need:"yes"`
	Amount float64 `json:"amount" min:"0" max:"1000000"`
	Unit   string  `json:"unit" enum:"g,piece"`
	Why    string  `json:"why,omitzero"`
}

// Box is a box that was filled.
type Box struct {
	Head
	At       time.Time `json:"at" need:"yes"`
	Lot      string    `json:"lot" need:"yes" doc:"as its label has it"`
	Receiver string    `json:"receiver,omitzero"`
	Note     string    `json:"note,omitzero"`
}

// Content is pieces of one batch in a box.
type Content struct {
	Head
	Box   string `json:"box" need:"yes" ref:"box"`
	Batch string `json:"batch" need:"yes" ref:"batch"`
	What  string `json:"what" need:"yes" doc:"the piece"`
	Count int    `json:"count" min:"1" max:"100000"`
}
