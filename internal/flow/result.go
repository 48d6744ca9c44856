package flow

import (
	"context"

	"mouldwright/internal/flow/calendar"
	"mouldwright/internal/flow/cavity"
	"mouldwright/internal/flow/kitchen"
	"mouldwright/internal/flow/master"
	"mouldwright/internal/flow/piece"
	"mouldwright/internal/flow/plate"
	"mouldwright/internal/flow/pour"
	"mouldwright/internal/flow/shopping"
)

// Result is a whole build: the plan, and the shapes that pictures and sheets draw.
type Result struct {
	Plan    Plan
	Stages  []string // the stage that each of Plan.Findings is from: pieces, master, plates, pour, mould, kitchen, box, calendar, shopping
	Choices *Choices
	Items   []master.Item // pieces as they stand on the master, in the order of Plan.Pieces
	Master  *master.Master
	Pour    *pour.Pour    // nil where it was refused
	Plates  *plate.Plates // in the order of Plan.Plates

	Settings []kitchen.Setting  // in the order of Plan.Kitchen.Pieces
	Calendar *calendar.Calendar // nil where none can be made
	Shopping *shopping.List
}

// Watcher is told of each piece as it is made, in order, since the reliefs of
// hundreds of names are not kept. A solid piece's cavity has no filling.
type Watcher interface {
	Piece(ctx context.Context, index int, p *piece.Piece, c *cavity.Cavity) error
}
