// Package cavity divides a piece into shell, filling and cap.
//
//	piece.Piece + Choices --Make--> Cavity
package cavity

import "mouldwright/internal/base/field"

// Choices is how pieces are shelled: the job file's [shell].
type Choices struct {
	ShellMM float64 `toml:"thickness_mm" default:"2" min:"0.5" max:"10" doc:"shell, measured square to the surface"`
	CapMM   float64 `toml:"cap_mm" default:"1.8" min:"0.5" max:"10" doc:"the cap that closes the back"`
}

// Cavity is what one piece is made of. Shell + filling + cap = the piece's volume.
type Cavity struct {
	Filling    *field.Field // top of the filling above the back in mm (coarse grid); CapMM or less where there is none
	ShellMM3   float64
	FillingMM3 float64
	CapMM3     float64
	ThinnestMM float64 // thinnest shell found behind the art
}
