// Package box decides who gets what and what a label says.
//
//	rows of the name list  --NewGuest--> Guest (boxes, what they cannot or will not eat)
//	chocolate, filling     --NewChocolate, NewFilling--> Stuff (what is in it, which allergens it brings)
//	guests + Kinds         --Deal----> Dealt (pieces of every box, counts, a proved bound)
//	Format + sizes         --Cells---> cells; --Placer.Place--> the place of every piece
//	a box's pieces         --Describe--> Text (ingredients, allergens, net mass, best before)
//
// No piece goes to somebody who named what is in it; where that leaves a cell empty,
// what would fill it is said.
package box

import (
	"fmt"

	"mouldwright/internal/base/unit"
)

// Format is the box: the job file's [box].
type Format struct {
	Rows     int     `toml:"rows" default:"2" min:"1" max:"20" doc:"rows of cells"`
	Columns  int     `toml:"columns" default:"2" min:"1" max:"20" doc:"cells in a row"`
	WidthMM  float64 `toml:"cell_width_mm" default:"48" min:"5" max:"300" doc:"inside of a cell, left to right"`
	DepthMM  float64 `toml:"cell_depth_mm" default:"44" min:"5" max:"300" doc:"inside of a cell, front to back"`
	HeightMM float64 `toml:"cell_height_mm" default:"22" min:"3" max:"200" doc:"from the floor of a cell to the lid"`
	WallMM   float64 `toml:"wall_mm" default:"1.5" min:"0" max:"50" doc:"between two cells"`
	File     string  `toml:"file" optional:"yes" doc:"an SVG of your own insert in its true size: each closed shape that stands apart is a cell; rows, columns and cell sizes then do not count"`
	FingerMM float64 `toml:"finger_mm" default:"3" min:"0" max:"30" doc:"room for fingers on two opposite sides of a piece (common practice, no source)"`
	ClearMM  float64 `toml:"clear_mm" default:"0.5" min:"0" max:"20" doc:"room on every side of a piece and above it (common practice, no source)"`
}

// Label is what stands on the labels and what they are printed on: [label].
type Label struct {
	Rules  string    `toml:"rules" default:"EU" enum:"EU,US" doc:"wording: EU after Regulation (EU) 1169/2011, US after FALCPA 2004 and the FASTER Act; whoever sells answers to the local law"`
	Food   string    `toml:"food" default:"filled chocolates" doc:"what the food is called"`
	Maker  string    `toml:"maker" optional:"yes" doc:"who made it and where; without it there is room to write"`
	Made   unit.Date `toml:"made" optional:"yes" doc:"the day on which the fillings are made; without it the day on which the calendar has the first filling made, or the day before needed"`
	Lot    string    `toml:"lot" optional:"yes" doc:"without it L and the day made"`
	Beside []string  `toml:"also_in_kitchen" optional:"yes" doc:"allergens that are about in the kitchen beside those of this job"`

	Sheet    string  `toml:"sheet" default:"2 x 4 on A4" enum:"2 x 4 on A4,2 x 7 on A4,3 x 7 on A4,2 x 5 on Letter,3 x 10 on Letter,own" doc:"the sheet of labels; own takes the measures below"`
	Paper    string  `toml:"paper" default:"A4" enum:"A4,Letter" doc:"own sheet: its paper"`
	Rows     int     `toml:"rows" optional:"yes" min:"1" max:"60" doc:"own sheet: rows of labels"`
	Columns  int     `toml:"columns" optional:"yes" min:"1" max:"20" doc:"own sheet: labels in a row"`
	WidthMM  float64 `toml:"width_mm" optional:"yes" min:"20" max:"300" doc:"own sheet: a label, left to right"`
	HeightMM float64 `toml:"height_mm" optional:"yes" min:"15" max:"300" doc:"own sheet: a label, top to bottom"`
	LeftMM   float64 `toml:"left_mm" optional:"yes" min:"0" max:"100" doc:"own sheet: left edge of the paper to the first label"`
	TopMM    float64 `toml:"top_mm" optional:"yes" min:"0" max:"100" doc:"own sheet: upper edge of the paper to the first label"`
	GapXMM   float64 `toml:"gap_x_mm" optional:"yes" min:"0" max:"100" doc:"own sheet: between two labels side by side"`
	GapYMM   float64 `toml:"gap_y_mm" optional:"yes" min:"0" max:"100" doc:"own sheet: between two labels one below the other"`
	Used     int     `toml:"used" default:"0" min:"0" max:"400" doc:"labels of the first sheet that are gone already"`
}

// Kind is a chocolate that may lie in a box: a design, or one person's own piece.
type Kind struct {
	Name   string // as the plan has it
	Design int
	Owner  int // guest whose own piece it is; -1: anybody's
	Count  int // for a shared design: at most so many; -1: as many as it takes
	Shell  *Stuff
	Inside *Stuff // nil for a solid piece
}

// Guest is one person on the list.
type Guest struct {
	Person      string
	Row         int // of the name list; -1 where there is none
	Boxes       int
	Allergies   []Avoid
	Dislikes    []Avoid
	Vegan       bool
	AlcoholFree bool
	NoOwn       bool // wants no piece of their own
}

// Needs says in words what a guest cannot eat: "no milk, no nuts, vegan".
func (g *Guest) Needs() []string {
	var out []string
	for _, a := range g.Allergies {
		out = append(out, "no "+a.Word)
	}
	if g.Vegan {
		out = append(out, "vegan")
	}
	if g.AlcoholFree {
		out = append(out, "no alcohol")
	}
	return out
}

// MaxGuests and MaxCells bound what is dealt out (our choice: far beyond a kitchen, so that
// a slip of the pen ends in words).
const (
	MaxGuests = 20000
	MaxCells  = 400     // in a box
	maxPieces = 500_000 // in all boxes
)

func boxName(g *Guest, number int) string {
	if g.Boxes == 1 {
		return g.Person
	}
	return fmt.Sprintf("%s, box %d of %d", g.Person, number, g.Boxes)
}
