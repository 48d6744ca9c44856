package flow

import (
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/box"
)

// PlanBoxing is the box and how well the pieces could be dealt out.
type PlanBoxing struct {
	WidthMM         float64      `json:"width_mm" doc:"around all cells, left to right"`
	DepthMM         float64      `json:"depth_mm" doc:"around all cells, front to back"`
	HeightMM        float64      `json:"height_mm" doc:"from the floor of a cell to the lid"`
	Cells           []PlanCellAt `json:"cells" doc:"as one reads, from the back"`
	Boxes           int          `json:"boxes" doc:"boxes to fill"`
	Empty           int          `json:"empty_cells" doc:"cells that nothing could be put into"`
	Disliked        int          `json:"disliked" doc:"pieces that somebody would rather not have"`
	EqualPairs      int          `json:"equal_pairs" doc:"pairs of equal pieces in one box, over all boxes"`
	Beside          int          `json:"alike_beside" doc:"pairs of neighbouring cells with equal pieces, over all boxes"`
	Gap             []int        `json:"gap" doc:"how far empty cells, disliked pieces, equal pairs and unevenness lie above what is proved to be the least, in this order; all 0: it cannot be done better"`
	Spare           []PlanSpare  `json:"spare" doc:"pieces made beyond what the boxes hold"`
	Kitchen         []string     `json:"in_kitchen" doc:"allergens that are about in the kitchen"`
	Rules           string       `json:"rules" doc:"wording of the labels: a word of label.rules"`
	BestBeforeWords string       `json:"best_before_words" doc:"what stands before the date on a label"`
	Food            string       `json:"food" doc:"what the food is called"`
	Maker           string       `json:"maker" doc:"who made it; empty: room to write"`
	Sheet           box.Sheet    `json:"sheet" doc:"sheet of labels"`
}

// PlanCellAt is a cell, seen from above; y points away from the box's left front corner.
type PlanCellAt struct {
	XMM     float64   `json:"x_mm" doc:"its middle"`
	YMM     float64   `json:"y_mm" doc:"its middle"`
	WidthMM float64   `json:"width_mm" doc:"left to right"`
	DepthMM float64   `json:"depth_mm" doc:"front to back"`
	RingMM  []float64 `json:"ring_mm,omitempty" doc:"its outline, x and y of each point in turn, where it is of one's own drawing"`
}

// PlanSpare is pieces that no box holds.
type PlanSpare struct {
	Piece string `json:"piece" doc:"name of the piece"`
	Count int    `json:"count" doc:"so many"`
}

// PlanBox is one box: what lies in it and what its label says.
type PlanBox struct {
	Person          string     `json:"person" doc:"whose it is"`
	Name            string     `json:"name" doc:"the person, with the number of the box where there are several"`
	Needs           []string   `json:"needs" doc:"what the person cannot eat"`
	Cells           []PlanCell `json:"cells" doc:"what lies in each cell, in the order of box.cells"`
	Allergens       []string   `json:"allergens" doc:"what is in it, by Regulation (EU) 1169/2011, Annex II"`
	MayContain      []string   `json:"may_contain" doc:"what else is about in the kitchen"`
	MayContainWords []string   `json:"may_contain_words" doc:"the same as the label has it"`
	Ingredients     []box.Run  `json:"ingredients" doc:"in falling order by mass, allergens stressed"`
	Contains        []string   `json:"contains" doc:"the statement that lists allergens apart, where the rules want one"`
	Missing         []string   `json:"missing" doc:"chocolates and fillings whose ingredients are not known"`
	Vegan           bool       `json:"vegan" doc:"nothing of an animal is in it"`
	AlcoholFree     bool       `json:"alcohol_free" doc:"nothing with alcohol is in it"`
	NetG            float64    `json:"net_g" doc:"net mass to print, whole grams, rounded down"`
	NetWords        string     `json:"net_words" doc:"the same as the label has it"`
	MassG           unit.Range `json:"mass_g" doc:"mass of its pieces"`
	Made            unit.Date  `json:"made" doc:"day on which the fillings are made"`
	BestBefore      *unit.Date `json:"best_before,omitempty" doc:"from the filling that keeps shortest, the low end of its days; missing where nothing is known"`
	Shortest        string     `json:"shortest" doc:"what keeps shortest"`
	Storage         string     `json:"storage" doc:"how to keep it"`
	Lot             string     `json:"lot" doc:"lot"`
	Facts           string     `json:"facts" doc:"the label as plain text; the code on it holds the same"`
}

// PlanCell is what lies in one cell.
type PlanCell struct {
	Piece   string  `json:"piece" doc:"name of the piece; empty: nothing"`
	Design  int     `json:"design" doc:"from 1; 0 for an empty cell"`
	Row     int     `json:"row" doc:"row of the name list, from 1; 0 without names"`
	TurnDeg float64 `json:"turn_deg" doc:"counter-clockwise, so that it fits"`
}

func emptyBoxing() PlanBoxing {
	return PlanBoxing{Cells: []PlanCellAt{}, Gap: []int{0, 0, 0, 0}, Spare: []PlanSpare{}, Kitchen: []string{}}
}
