package kitchen

import "mouldwright/internal/base/unit"

// Choices is the kitchen and its habits: the job file's [kitchen].
type Choices struct {
	BowlFactor       float64 `toml:"bowl_factor" default:"2" min:"1" max:"10" doc:"chocolate melted for shells and caps, as a multiple of what stays in them: a cavity is filled to the brim and tipped out again (common practice, no source)"`
	LossShare        float64 `toml:"chocolate_loss_share" default:"0.05" min:"0" max:"0.9" doc:"share of the melted chocolate that stays on tools and bowls (common practice, no source)"`
	FillingLossShare float64 `toml:"filling_loss_share" default:"0.1" min:"0" max:"0.9" doc:"share of the filling made that stays in bags and bowls (common practice, no source)"`
	PieceLossShare   float64 `toml:"piece_loss_share" default:"0.05" min:"0" max:"0.9" doc:"share of the pieces that break or come out with faults; the rounds are counted with it (common practice, no source)"`

	RoomC    float64    `toml:"room_c" default:"20" min:"5" max:"27" doc:"the kitchen's temperature"`
	FridgeC  unit.Range `toml:"fridge_c" default:"[4, 6, 8]" min:"-30" max:"27" doc:"the fridge's temperature"`
	Air      string     `toml:"fridge_air" default:"still" enum:"still,fan" doc:"whether a fan moves the fridge's air"`
	MouldC   float64    `toml:"mould_c" optional:"yes" min:"1" max:"40" doc:"the mould when chocolate goes in; without it the room's temperature"`
	FillingC float64    `toml:"filling_c" default:"25" min:"5" max:"60" doc:"a filling when it goes in (common practice: at most 28)"`
	BoardMM  float64    `toml:"board_mm" default:"3" min:"0" max:"50" doc:"board under the mould; 0: it stands on the grid"`

	ThinWalls string `toml:"thin_walls" default:"spatula" enum:"spatula,coat" doc:"what is done where less chocolate stays on a wall than is wanted: draw it up with a spatula, or let it set and coat once more"`

	ShelfWidthMM float64 `toml:"shelf_width_mm" default:"450" min:"50" max:"3000" doc:"fridge shelf, left to right"`
	ShelfDepthMM float64 `toml:"shelf_depth_mm" default:"300" min:"50" max:"3000" doc:"fridge shelf, front to back"`
	Shelves      int     `toml:"shelves" default:"1" min:"1" max:"100" doc:"shelves that are free"`
	Hands        int     `toml:"hands" default:"1" min:"1" max:"50" doc:"people at the bench"`
	Copies       int     `toml:"mould_copies" default:"1" min:"1" max:"20" doc:"moulds cast from each tray"`
	KeepDays     int     `toml:"keep_days" default:"14" min:"1" max:"400" doc:"days from making until the last piece is eaten, which every filling must outlive"`
}

// mouldC is the mould's temperature.
func (c *Choices) mouldC() float64 {
	if c.MouldC != 0 {
		return c.MouldC
	}
	return c.RoomC
}
