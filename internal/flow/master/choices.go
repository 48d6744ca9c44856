// Package master lays pieces out on trays and makes every part to be printed: the
// tray or its tiles with keys, loose pieces with their pegs, and the frame.
//
//	piece.Piece --Surface--> Item (its surface as sheet, grown for the rubber's shrinkage)
//	Items + Choices + printer --Make--> Master (trays with their tiles, and every Part)
//	Part --Mesh--> a closed mesh, made when it is wanted
//
// Trays, tiles and placements are in mm as the cured master has them; a Part is in mm
// as it is exposed, grown for the shrinkage of the resin.
package master

import (
	"context"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
)

// Choices is the mould rules of the job file: [master].
type Choices struct {
	Layout      string  `toml:"layout" default:"grid" enum:"grid,packed" doc:"rows and columns of one cell size per row, or packed close"`
	Build       string  `toml:"build" default:"tiles" enum:"tiles,loose" doc:"tiles: pieces grow out of the base; loose: every piece is printed alone and sits on a numbered peg"`
	WidthMM     float64 `toml:"width_mm" default:"200" min:"20" max:"1000" doc:"largest tray, left to right"`
	DepthMM     float64 `toml:"depth_mm" default:"150" min:"20" max:"1000" doc:"largest tray, front to back"`
	GapMM       float64 `toml:"gap_mm" default:"8" min:"2" max:"50" doc:"rubber between two cavities (common practice: 6-10 mm)"`
	MarginMM    float64 `toml:"margin_mm" default:"10" min:"2" max:"50" doc:"rubber between the outer cavities and the frame (common practice: 8-15 mm)"`
	BaseMM      float64 `toml:"base_mm" default:"3" min:"1.5" max:"20" doc:"thickness of the base"`
	FilletMM    float64 `toml:"fillet_mm" default:"0.4" min:"0" max:"3" doc:"radius where a piece meets the base, so that the rubber has no thin edge"`
	OverMM      float64 `toml:"rubber_over_mm" default:"9" min:"3" max:"50" doc:"rubber over the highest point (common practice: 8-10 mm)"`
	Frame       string  `toml:"frame" default:"printed" enum:"printed,own boards" doc:"keyed panels printed with the master, or your own boards around it"`
	FreeMM      float64 `toml:"freeboard_mm" default:"5" min:"1" max:"30" doc:"frame above the rubber's level"`
	PanelMM     float64 `toml:"panel_mm" default:"4" min:"2" max:"20" doc:"thickness of a frame panel"`
	SealMM      float64 `toml:"frame_fillet_mm" default:"1.5" min:"0" max:"10" doc:"fillet where the frame meets the base"`
	ClearMM     float64 `toml:"key_clearance_mm" default:"0.12" min:"0" max:"1" doc:"gap in keys, pegs and joints, each side"`
	EngraveMM   float64 `toml:"engrave_mm" default:"0.4" min:"0.1" max:"2" doc:"depth of codes and numbers on the underside"`
	PegMM       float64 `toml:"peg_mm" default:"3" min:"1" max:"10" doc:"height of the pegs of loose pieces"`
	HollowMM    float64 `toml:"hollow_mm" default:"0" min:"0" max:"20" doc:"wall that is left when thick bodies are hollowed from below, at least 1.5; 0: solid"`
	DrainMM     float64 `toml:"drain_mm" default:"2" min:"1" max:"6" doc:"width of the channels through which a hollow drains (common practice: 2 mm or more)"`
	ToleranceMM float64 `toml:"tolerance_mm" default:"0.01" min:"0.002" max:"0.1" doc:"greatest distance between mesh and relief"`

	Place []Placement `toml:"place" optional:"yes" doc:"pieces put by hand; the others are laid out around them"`
}

// Placement is a piece put on a tray by hand: the job file's [[master.place]].
type Placement struct {
	Piece   string  `toml:"piece" doc:"name of the piece, with its row for a named one"`
	Number  int     `toml:"number" default:"1" min:"1" max:"2000" doc:"which of its cavities"`
	Tray    int     `toml:"tray" default:"1" min:"1" max:"200" doc:"tray number"`
	XMM     float64 `toml:"x_mm" min:"0" max:"1000" doc:"centre from the tray's left edge"`
	YMM     float64 `toml:"y_mm" min:"0" max:"1000" doc:"centre from the tray's front edge"`
	TurnDeg float64 `toml:"turn_deg" default:"0" min:"-360" max:"360" doc:"turned counter-clockwise"`
}

// Print is what the printer and the resin do to a part, to be compensated in it.
type Print struct {
	PlateWidthMM, PlateDepthMM, PlateHeightMM float64 // usable build volume, margins taken off
	ResinShrink                               float64 // linear, 0.005 = 0.5 %: parts are grown by 1/(1-s)
	BleedMM                                   float64 // outlines print larger by this on each side: they are drawn in by it
	FootMM                                    float64 // first layers are drawn in by this at z = 0 ...
	FootHeightMM                              float64 // ... tapering to nothing at this height
	LayerMM                                   float64 // level faces lie on the edges of layers; 0: anywhere
}

// Item is a piece made ready for the master: as large as the rubber needs it.
type Item struct {
	Name      string // of the piece
	Design    int
	Cavities  int
	Sheet     *mesh.Sheet  // surface above the base; its one ring lies at z = 0, on Outline
	Outline   geom.Outline // the ring of the sheet (footprint and fillet), centred on the origin
	HeightMM  float64
	VolumeMM3 float64 // under it as it prints, light bleed included
}

// Placed is an item's place on a tray, from the tray's left front corner.
type Placed struct {
	Item    int // index into the items
	Number  int // from 1 within its tray; also the number on a peg
	XMM     float64
	YMM     float64
	TurnDeg float64
}

// Tile is one printed part of a tray's base.
type Tile struct {
	Number  int          // from 1 within its tray
	Outline geom.Outline // on the tray, with key tabs and notches, before any growth for resin
	Placed  []int        // indices into the tray's Placed
}

// Tray is one mould's master.
type Tray struct {
	Number    int
	WidthMM   float64 // of the base = inside of the frame
	DepthMM   float64
	HighestMM float64 // highest point above the base
	RubberMM  float64 // level of the rubber above the base
	FrameMM   float64 // height of the frame above the base's underside
	PiecesMM3 float64 // pieces above the base, as cured
	SolidMM3  float64 // base and pieces together, as cured
	HollowMM3 float64 // what hollows and their drains leave out of that, as cured
	RubberMM3 float64 // frame's inside up to RubberMM minus PiecesMM3
	Placed    []Placed
	Tiles     []Tile
	Boards    []Board // of your own; none with a printed frame

	clearMM2 float64 // of the base, left open in its keys
}

// Board is a board of one's own for the frame: Count of them, as long as the base's
// side that they stand against. What a corner joint needs comes on top.
type Board struct {
	Name               string // "front and back"
	Count              int
	LengthMM, HeightMM float64
}

// Part is one closed mesh to print. It is a recipe: Mesh makes the triangles when
// they are wanted, so that a master of hundreds of pieces fits into memory.
type Part struct {
	Name                       string // "tray 1 tile 2", "tray 1 piece 7", "tray 1 frame left"
	Kind                       string // tile, piece, panel
	Tray                       int
	Number                     int // tile number, or the peg's number
	Copies                     int
	WidthMM, DepthMM, HeightMM float64
	VolumeMM3                  float64      // of the mesh, exact but for rounding
	Outline                    geom.Outline // what it covers of the plate, its box from the origin
	Shape                      [32]byte     // parts of two builds that have one are the same but for the engraved code

	bledMM3 float64 // what light adds to it as it prints

	build func(context.Context) (*mesh.Mesh, error)
}

// Mesh is the part on the build plate: its box begins at the origin and it stands on
// z = 0; resin shrinkage and the bulge of the first layers are compensated.
func (p Part) Mesh(ctx context.Context) (*mesh.Mesh, error) { return p.build(ctx) }

// Master is everything that stands before the rubber is poured.
type Master struct {
	Trays []Tray
	Parts []Part
}
