// Package piece makes a chocolate's outside shape: a footprint, drafted sides, a
// rounded edge, a top, and the art on it.
//
//	Choices + artwork --Make--> Piece (one for each row of the name list where its text has a variable)
package piece

import (
	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/artwork"
)

// Choices is one design of chocolate: the job file's [[piece]].
type Choices struct {
	Name      string  `toml:"name" doc:"what the piece is called on every sheet"`
	Count     int     `toml:"count" default:"1" min:"1" max:"20000" doc:"chocolates wanted; for a piece with names, of each name"`
	Cavities  int     `toml:"cavities" optional:"yes" min:"1" max:"2000" doc:"places on the master; for a piece with names, of each name; without it as many as chocolates are wanted, at most 12 for a piece without names and 1 for each name"`
	Names     bool    `toml:"names" default:"false" doc:"one piece for each row of the name list"`
	Chocolate string  `toml:"chocolate" doc:"which [chocolate.…] makes the shell"`
	Filling   string  `toml:"filling" optional:"yes" doc:"which [filling.…] goes inside; without it the piece is solid"`
	Outline   string  `toml:"outline" default:"rounded rectangle" enum:"round,oval,rectangle,rounded rectangle,polygon,heart,file,text,mesh" doc:"shape of the footprint: file takes an SVG's outline, text the outline of the piece's own first text, mesh a whole imported body"`
	File      string  `toml:"file" optional:"yes" doc:"the SVG of the outline, or the mesh"`
	Up        string  `toml:"up" default:"z" enum:"x,-x,y,-y,z,-z" doc:"mesh: the direction that looks up out of the mould"`
	TurnDeg   float64 `toml:"turn_deg" default:"0" min:"-360" max:"360" doc:"mesh: turned counter-clockwise seen from above"`
	WidthMM   float64 `toml:"width_mm" default:"36" min:"4" max:"300" doc:"size at the back, left to right"`
	DepthMM   float64 `toml:"depth_mm" optional:"yes" min:"4" max:"300" doc:"size at the back, front to back; without it the outline keeps its proportions"`
	CornerMM  float64 `toml:"corner_mm" default:"4" min:"0" max:"100" doc:"corner radius of a rounded rectangle or polygon"`
	Corners   int     `toml:"corners" default:"6" min:"3" max:"24" doc:"corners of a polygon"`
	MarginMM  float64 `toml:"margin_mm" default:"3" min:"0" max:"30" doc:"outline text: how far the footprint stands around the letters"`
	HeightMM  float64 `toml:"height_mm" default:"12" min:"2" max:"60" doc:"height of the body without raised art"`
	WeightG   float64 `toml:"weight_g" optional:"yes" min:"1" max:"500" doc:"finished weight; the sizes are scaled together until the piece weighs this"`
	DraftDeg  float64 `toml:"draft_deg" default:"8" min:"0" max:"45" doc:"lean of the sides from vertical"`
	EdgeMM    float64 `toml:"edge_mm" default:"1" min:"0" max:"20" doc:"radius of the upper edge"`
	Top       string  `toml:"top" default:"flat" enum:"flat,cushioned,domed" doc:"flat; cushioned swells from the rim to a plateau; domed is round all over"`
	RiseMM    float64 `toml:"rise_mm" default:"1.5" min:"0.1" max:"30" doc:"how much a cushioned or domed top rises above its rim; the height includes it"`

	Art []artwork.Choices `toml:"art" optional:"yes" doc:"what stands on the top"`
}

// Undercut is what the top view of an imported mesh fills.
type Undercut struct {
	Art int // index of the art; -1 for the body
	artwork.Undercut
}

// Letter is a letter of a piece's text, in its place.
type Letter struct {
	Art int // index of the art that it belongs to
	artwork.Letter
}

// Piece is the outside of one chocolate in the size it shall have when eaten.
type Piece struct {
	Name   string // "crest", or "plaque: Ysoline" for a row of the name list
	Design int    // index of its Choices in the job
	Row    int    // row of the name list, -1 when the piece has no names

	Footprint geom.Outline // at the back (z = 0), centred on the origin, settled, mm
	Relief    *field.Field // height above the back in mm; 0 at and outside the footprint
	Body      *field.Field // the same without art, on the same grid; shared by all rows, never changed
	BodyMM    float64      // height of the body without raised art
	HeightMM  float64      // highest point

	VolumeMM3   float64    // of the outside shape
	MinDraftDeg float64    // smallest lean from vertical of any wall steeper than 45 degrees; 90 when there is none
	Undercuts   []Undercut // of imported meshes, which their top views fill
	Letters     []Letter
	Scale       float64 // factor that weight_g put on the sizes; 1 without it
}
