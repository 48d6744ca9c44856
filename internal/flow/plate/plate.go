// Package plate puts parts on build plates, says how long each plate prints and how
// much resin it takes, and draws its layers.
//
//	master.Parts + printer + resin --Make--> Plates (who lies where, layers, time, resin)
//	Plate + master.Parts + printer --Stack--> Stack --WritePNG--> the image of a layer
package plate

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/pack"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/master"
)

// Choices is how parts are put on build plates: the job file's [plate].
type Choices struct {
	GapMM float64 `toml:"gap_mm" default:"3" min:"0.5" max:"50" doc:"room between two parts on a plate"`
	STL   bool    `toml:"stl" default:"false" doc:"also write every plate as STL, which knows neither units nor names"`
}

// Item is one part on a plate.
type Item struct {
	Part    int     // index into the parts given to Make
	Copy    int     // from 1
	XMM     float64 // left edge, from the plate's left edge
	YMM     float64 // front edge, from the plate's front edge
	TurnDeg float64 // 0 or 90, counter-clockwise
}

// Affine maps the part's mesh, whose box begins at the origin, to its place.
func (i Item) Affine(p master.Part) geom.Affine {
	if i.TurnDeg == 90 {
		return geom.Affine{B: 1, C: -1, E: i.XMM + p.DepthMM, F: i.YMM}
	}
	return geom.Move(i.XMM, i.YMM)
}

// Plate is one print.
type Plate struct {
	Number       int // from 1
	Items        []Item
	Layers       int
	HeightMM     float64 // of the tallest part
	PrintTimeMin unit.Range
	ResinML      float64 // losses included
	UsedShare    float64 // of the usable plate, by the parts' rectangles
}

// Plates is every print of a job.
type Plates struct {
	Plates       []Plate
	PrintTimeMin unit.Range
	ResinML      float64
}

// MaxCopies bounds the parts of one job.
const MaxCopies = pack.MaxItems

// Make nests the parts. Parts of like height share a plate, since a plate prints as
// long as its tallest part: they are taken from tall to low, each put on the first
// plate with room, and plates that have room left take lower parts along. A part
// that fits no plate gives a Stop finding and is left out.
func Make(ctx context.Context, parts []master.Part, c Choices, printer material.Printer, resin material.Resin) (*Plates, []finding.Finding, error) {
	if !(printer.LayerMM > 0) {
		return nil, nil, &finding.Error{Key: "printer.layer_mm", Found: fmt.Sprintf("%g mm", printer.LayerMM), Allowed: "above 0"}
	}
	w, d := printer.PlateWidthMM-2*printer.MarginMM, printer.PlateDepthMM-2*printer.MarginMM
	var found []finding.Finding
	var items []Item
	for i, p := range parts {
		if f, bad := tooLarge(p, w, d, printer); bad {
			found = append(found, f)
			continue
		}
		if len(items)+p.Copies > MaxCopies {
			return nil, nil, &finding.Error{Key: "plate", Found: fmt.Sprintf("more than %d parts", MaxCopies), Do: "make fewer cavities, or build tiles instead of loose pieces"}
		}
		for k := range p.Copies {
			items = append(items, Item{Part: i, Copy: k + 1})
		}
	}
	slices.SortStableFunc(items, func(a, b Item) int { return before(parts[a.Part], parts[b.Part]) })
	sizes := make([]pack.Size, len(items))
	for i, it := range items {
		sizes[i] = pack.Size{W: parts[it.Part].WidthMM + c.GapMM, H: parts[it.Part].DepthMM + c.GapMM}
	}
	bin := pack.Bin{W: w + c.GapMM, H: d + c.GapMM}
	places, err := pack.InOrder(ctx, sizes, func(int) (pack.Bin, bool) { return bin, true }, true)
	if err != nil {
		if errors.Is(err, pack.ErrFull) {
			err = fmt.Errorf("plate: %w", err)
		}
		return nil, nil, err
	}
	out := &Plates{}
	for i, pl := range places {
		for len(out.Plates) <= pl.Bin {
			out.Plates = append(out.Plates, Plate{Number: len(out.Plates) + 1})
		}
		it, part := items[i], parts[items[i].Part]
		it.XMM, it.YMM = printer.MarginMM+pl.X, printer.MarginMM+pl.Y
		if pl.Turned {
			it.TurnDeg = 90
		}
		p := &out.Plates[pl.Bin]
		p.Items = append(p.Items, it)
		p.HeightMM = math.Max(p.HeightMM, part.HeightMM)
		p.ResinML += part.VolumeMM3 / 1000 * (1 + resin.LossShare)
		p.UsedShare += part.WidthMM * part.DepthMM / (w * d)
	}
	for i := range out.Plates {
		p := &out.Plates[i]
		p.Layers = Layers(p.HeightMM, printer.LayerMM)
		p.PrintTimeMin = TimeMin(p.Layers, printer, resin)
		t := p.PrintTimeMin
		out.PrintTimeMin = unit.Between(out.PrintTimeMin.Low+t.Low, out.PrintTimeMin.Likely+t.Likely, out.PrintTimeMin.High+t.High)
		out.ResinML += p.ResinML
	}
	return out, found, nil
}

// before sorts parts from tall to low, then from large to small.
func before(a, b master.Part) int {
	for _, d := range [...]float64{b.HeightMM - a.HeightMM, b.WidthMM*b.DepthMM - a.WidthMM*a.DepthMM} {
		if d < 0 {
			return -1
		} else if d > 0 {
			return 1
		}
	}
	return 0
}

// fitSlack is what rounding to float32 may add to a part: 1 µm in 100 mm.
const fitSlack = 1e-3

func tooLarge(p master.Part, w, d float64, printer material.Printer) (finding.Finding, bool) {
	f := finding.Finding{Severity: finding.Stop, Where: p.Name}
	fits := func(pw, pd float64) bool { return pw <= w+fitSlack && pd <= d+fitSlack }
	switch {
	case p.HeightMM > printer.PlateHeightMM+fitSlack:
		f.What = fmt.Sprintf("%.1f mm high, allowed %.1f mm", p.HeightMM, printer.PlateHeightMM)
		f.Do = "a lower piece, a thinner base, or a printer that prints higher"
	case !fits(p.WidthMM, p.DepthMM) && !fits(p.DepthMM, p.WidthMM):
		f.What = fmt.Sprintf("%.1f x %.1f mm, allowed %.1f x %.1f mm (%g mm margin on each side)", p.WidthMM, p.DepthMM, w, d, printer.MarginMM)
		f.Do = "a smaller piece or tray, loose pieces, or smaller printer margins"
	default:
		return f, false
	}
	return f, true
}

// Layers is the number of layers of a print: its height divided by the layer,
// rounded up. A ten-thousandth of a layer too much (rounding) makes no layer.
func Layers(heightMM, layerMM float64) int { return int(math.Ceil(heightMM/layerMM - 1e-4)) }

// TimeMin is the time of a print: T = Nb (eb + lift) + (N - Nb)(en + lift), the sum
// over bottom and other layers of exposure and lift. The formula is the
// arithmetic of a masked exposure; warming up and washing come on top.
func TimeMin(layers int, printer material.Printer, resin material.Resin) unit.Range {
	bottom := min(layers, resin.BottomLayers)
	return printer.LiftS.Map(func(liftS float64) float64 {
		return (float64(bottom)*(resin.BottomExposureS+liftS) + float64(layers-bottom)*(resin.ExposureS+liftS)) / 60
	})
}
