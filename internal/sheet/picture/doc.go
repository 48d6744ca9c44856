// Package picture draws what the work will look like: one chocolate or many, from
// above or from a chair at the table, and even-toned maps of a quantity.
//
//	field.Field (heights) + outline + kind --Chocolate--> image   (one piece)
//	bodies + places                        --Scene------> image   (a tray, a box, a still life)
//	mesh.Sheet                             --Heights----> field.Field
//	field.Field (any quantity) + tones     --Map--------> image, without a legend
//
// Light is computed in linear colour: a wide window at the upper left, the room, and
// the paper's own glow. Everything is a function of the inputs alone, so that the
// same relief gives the same bytes on any number of cores.
package picture

import (
	"fmt"
	"image"
	"image/png"
	"io"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// Kinds of stuff that a body can be made of.
const (
	Dark   = "dark"
	Milk   = "milk"
	White  = "white"
	Resin  = "resin"  // the print: matt grey
	Rubber = "rubber" // the mould
)

// View is where one looks from.
type View int

const (
	Above View = iota // straight down, as on a drawing: no perspective
	Chair             // three-quarter view, as one sees a plate from a chair
)

// Ground is what the bodies lie on.
type Ground int

const (
	Paper Ground = iota // warm paper, lit by the same window
	Blank               // pure white apart from the shadow: for printed pages
	Clear               // transparent apart from the shadow
)

// MaxPx bounds the longer side of a picture.
const MaxPx = 4096

// Body is something to draw: heights in mm over its back, inside its outline.
type Body struct {
	Relief  *field.Field
	Outline geom.Outline
	Kind    string
}

// Placed puts a body into a scene, turned counter-clockwise about its own origin.
type Placed struct {
	Body    int
	XMM     float64
	YMM     float64
	TurnDeg float64
}

// Look is how a picture is taken.
type Look struct {
	SizePx int // longer side, 16..MaxPx
	View   View
	Ground Ground
}

func (l Look) check() error {
	if l.SizePx < 16 || l.SizePx > MaxPx {
		return fmt.Errorf("picture: %d pixels asked for, allowed 16 to %d", l.SizePx, MaxPx)
	}
	return nil
}

// WritePNG writes a picture; the same picture gives the same bytes.
func WritePNG(w io.Writer, m image.Image) error {
	e := png.Encoder{CompressionLevel: png.DefaultCompression}
	return e.Encode(w, m)
}
