// Package cavity divides a piece into shell, filling and cap.
//
//	piece.Piece + Choices --Make--> Cavity
//
// The shell has the wanted thickness everywhere, measured square to the piece's
// outside, so the room inside it is the piece eroded by a ball of that radius. The
// cap closes that room from the back up to its own thickness, and filling is the
// rest. What a real shell adds in corners, where chocolate gathers, is not in it.
package cavity

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/piece"
)

// Choices is how pieces are shelled: the job file's [shell].
type Choices struct {
	ShellMM float64 `toml:"thickness_mm" default:"2" min:"0.5" max:"10" doc:"shell, measured square to the surface"`
	CapMM   float64 `toml:"cap_mm" default:"1.8" min:"0.5" max:"10" doc:"the cap that closes the back"`
	Least   float64 `toml:"least_filling_share" default:"0.1" min:"0" max:"0.9" doc:"share of a piece that filling should have; below it one hardly tastes it (common practice, no source)"`
}

// Cavity is what one piece is made of. Shell + filling + cap = the piece's volume.
type Cavity struct {
	Filling    *field.Field // top of the filling above the back in mm (coarse grid); CapMM or less where there is none; nil for a solid piece
	ShellMM3   float64
	FillingMM3 float64
	CapMM3     float64
	ThinnestMM float64  // thinnest shell found behind the art; 0 for a solid piece
	ThinnestAt geom.Vec // where, in the relief's x and y
}

// The filling's grid is coarser than the relief's: a tenth of a millimetre, or a
// thirtieth of a thick shell, so that the work for a sample does not grow with the
// shell. It takes every so-manieth sample of the relief, unaveraged; the surface
// between them is looked at where it matters (see erode).
const (
	coarseMM    = 0.1
	coarseShare = 1.0 / 30
)

// Make divides a piece. solid makes all of it shell. The cavity is nil when a
// finding says stop: the shell or the cap leaves no room for filling.
func Make(ctx context.Context, p *piece.Piece, c Choices, solid bool) (*Cavity, []finding.Finding, error) {
	return divide(ctx, p, c, solid, coarseMM, coarseShare)
}

// Sketch is Make for looking at, some twenty times as fast: its grid is twice to three
// times as coarse, which moves the masses by about a per cent.
func Sketch(ctx context.Context, p *piece.Piece, c Choices, solid bool) (*Cavity, []finding.Finding, error) {
	return divide(ctx, p, c, solid, sketchMM, sketchShare)
}

// The grid of a sketch, as coarseMM and coarseShare (our choice: an edit is answered in a
// fifth of a second with it).
const (
	sketchMM    = 0.24
	sketchShare = 1.0 / 10
)

func divide(ctx context.Context, p *piece.Piece, c Choices, solid bool, gridMM, gridShare float64) (*Cavity, []finding.Finding, error) {
	if solid {
		return &Cavity{ShellMM3: p.VolumeMM3}, nil, nil
	}
	if !(c.ShellMM > 0 && c.ShellMM <= 100) || !(c.CapMM >= 0 && c.CapMM <= 100) {
		return nil, nil, &finding.Error{Key: "shell", Found: fmt.Sprintf("thickness_mm %g, cap_mm %g", c.ShellMM, c.CapMM), Allowed: "above 0, at most 100 mm", Do: "change shell.thickness_mm or shell.cap_mm"}
	}
	inner, err := erode(ctx, p.Relief, c.ShellMM, math.Max(gridMM, gridShare*c.ShellMM))
	if err != nil {
		return nil, nil, err
	}
	room := 0.0 // highest filling above the back
	var filling, hollow float64
	for j := range inner.H {
		var f, h float64 // by rows, so that sums stay small
		for _, z := range inner.Row(j) {
			z := float64(z)
			room = math.Max(room, z)
			h += math.Max(0, z)
			f += math.Max(0, z-c.CapMM)
		}
		filling, hollow = filling+f, hollow+h
	}
	area := inner.PitchMM * inner.PitchMM
	v := &Cavity{Filling: inner, FillingMM3: filling * area, CapMM3: (hollow - filling) * area}
	v.ShellMM3 = p.VolumeMM3 - hollow*area
	if v.FillingMM3 <= 0 {
		f, err := noRoom(ctx, p, c, room)
		return nil, []finding.Finding{f}, err
	}
	if v.ThinnestMM, v.ThinnestAt, err = thinnest(ctx, p.Relief, inner, c); err != nil {
		return nil, nil, err
	}
	var list []finding.Finding
	if v.FillingMM3 < c.Least*p.VolumeMM3 {
		f, err := little(ctx, p, c, v.FillingMM3)
		if err != nil {
			return nil, nil, err
		}
		list = append(list, f)
	}
	return v, list, nil
}

// unfilled is the remedy that leaves a piece's filling out.
func unfilled(p *piece.Piece) finding.Remedy {
	return finding.Remedy{Key: fmt.Sprintf("piece[%d].filling", p.Design+1)}
}
