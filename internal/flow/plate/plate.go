// Package plate puts parts on build plates, says how long each plate prints and how
// much resin it takes, and draws its layers.
//
//	master.Parts + printer + resin --Make--> Plates (who lies where, layers, time, resin)
//	Plate + master.Parts + printer --Stack--> Stack --WritePNG--> the image of a layer
package plate

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/pack"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/master"
)

// Choices is how parts are put on build plates: the job file's [plate].
type Choices struct {
	GapMM      float64 `toml:"gap_mm" default:"3" min:"0.5" max:"50" doc:"room between two parts on a plate"`
	SuctionMM2 float64 `toml:"suction_mm2" default:"150" min:"5" max:"10000" doc:"a cup that is closed while it is printed is told of from this area on (common practice, no source)"`
	JumpShare  float64 `toml:"jump_share" default:"0.25" min:"0.01" max:"1" doc:"a layer that is larger than the one before by more than this share of the largest layer is told of (common practice, no source)"`
	STL        bool    `toml:"stl" default:"false" doc:"also write every plate as STL, which knows neither units nor names"`
}

// Item is one part on a plate.
type Item struct {
	Part    int     // index into the parts given to Make
	Copy    int     // from 1
	XMM     float64 // left end of the turned part, from the plate's left edge
	YMM     float64 // front end, from the plate's front edge
	TurnDeg float64 // counter-clockwise, from 0 to below 360
	Trim    Trim    // of the plate that it lies on
}

// Plate is one print.
type Plate struct {
	Number       int // from 1
	Items        []Item
	Layers       int
	HeightMM     float64 // of the tallest part
	PrintTimeMin unit.Range
	ResinML      float64 // losses included
	UsedShare    float64 // of the usable plate, by the parts' outlines
}

// Plates is every print of a job.
type Plates struct {
	Plates       []Plate
	PrintTimeMin unit.Range // of all plates
	BoundMin     unit.Range // no arrangement of these parts takes less
	ApartMin     unit.Range // every part printed alone
	ResinML      float64
}

// MaxCopies bounds the parts of one job.
const MaxCopies = pack.MaxItems

// Make nests the parts so that the plates' times, added up, are least: see nesting. A
// part that fits no plate gives a Stop finding and is left out.
func Make(ctx context.Context, parts []master.Part, c Choices, printer material.Printer, resin material.Resin) (*Plates, []finding.Finding, error) {
	if err := checkPrinter(printer); err != nil {
		return nil, nil, err
	}
	// Parts are nested before the plate's axes are stretched, on a plate as much smaller.
	trim := TrimOf(resin)
	w, d := (printer.PlateWidthMM-2*printer.MarginMM)/(1+trim.GrowX), (printer.PlateDepthMM-2*printer.MarginMM)/(1+trim.GrowY)
	gap := c.GapMM / math.Min(1+trim.GrowX, 1+trim.GrowY)
	var found []finding.Finding
	var items []Item
	layers := make([]int, len(parts))
	var apart unit.Range
	for i, p := range parts {
		layers[i] = Layers(p.HeightMM, printer.LayerMM)
		if f, bad := tooLarge(p, w, d, printer); bad {
			found = append(found, f)
			continue
		}
		if len(items)+p.Copies > MaxCopies {
			return nil, nil, &finding.Error{Key: "plate", Found: fmt.Sprintf("more than %d parts", MaxCopies), Do: "make fewer cavities, or build tiles instead of loose pieces"}
		}
		for k := range p.Copies {
			items = append(items, Item{Part: i, Copy: k + 1, Trim: trim})
			apart = apart.Plus(TimeMin(layers[i], printer, resin))
		}
	}
	out := &Plates{ApartMin: apart}
	if len(items) == 0 {
		return out, found, ctx.Err()
	}
	n := newNesting(parts, w+fitSlack, d+fitSlack, gap, layers, func(l int) float64 { return TimeMin(l, printer, resin).Likely })
	least, err := n.leastPlates(items)
	if err != nil {
		return nil, nil, err
	}
	at := func(lift float64) float64 {
		p := printer
		p.LiftS = unit.Sure(lift)
		return least.bound(func(l int) float64 { return TimeMin(l, p, resin).Likely })
	}
	out.BoundMin = printer.LiftS.Map(at)
	best, err := n.best(ctx, items, out.BoundMin.Likely)
	if err != nil {
		return nil, nil, err
	}
	out.fill(best, parts, printer, resin, w*d)
	return out, found, nil
}

// fill makes the plates of an arrangement.
func (out *Plates) fill(best arrangement, parts []master.Part, printer material.Printer, resin material.Resin, usableMM2 float64) {
	out.Plates = make([]Plate, best.count)
	for i, it := range best.items {
		p, part := &out.Plates[best.plates[i]], parts[it.Part]
		it.XMM, it.YMM = it.XMM*(1+it.Trim.GrowX)+printer.MarginMM, it.YMM*(1+it.Trim.GrowY)+printer.MarginMM
		p.Items = append(p.Items, it)
		p.HeightMM = math.Max(p.HeightMM, part.HeightMM)
		p.ResinML += part.VolumeMM3 / 1000 * (1 + resin.LossShare)
		p.UsedShare += outlineOf(part).Area() / usableMM2
	}
	for i := range out.Plates {
		p := &out.Plates[i]
		p.Number = i + 1
		p.Layers = Layers(p.HeightMM, printer.LayerMM)
		p.PrintTimeMin = TimeMin(p.Layers, printer, resin)
		out.PrintTimeMin = out.PrintTimeMin.Plus(p.PrintTimeMin)
		out.ResinML += p.ResinML
	}
}

// checkPrinter refuses a printer that no part can be put on.
func checkPrinter(p material.Printer) error {
	for _, v := range [...]struct {
		key string
		mm  float64
	}{{"layer_mm", p.LayerMM}, {"pixel_mm", p.PixelMM}, {"plate_width_mm", p.PlateWidthMM}, {"plate_depth_mm", p.PlateDepthMM}, {"plate_height_mm", p.PlateHeightMM}} {
		if !(v.mm > 0) || math.IsInf(v.mm, 1) {
			return &finding.Error{Key: "printer." + v.key, Found: fmt.Sprintf("%g mm", v.mm), Allowed: "above 0", Do: "enter it as the printer's data sheet gives it"}
		}
	}
	if most := math.Min(p.PlateWidthMM, p.PlateDepthMM) / 2; !(p.MarginMM >= 0 && p.MarginMM < most) {
		return &finding.Error{Key: "printer.margin_mm", Found: fmt.Sprintf("%g mm", p.MarginMM), Allowed: fmt.Sprintf("0 to less than %g mm, half the plate", most), Do: "a smaller margin"}
	}
	return nil
}

// fitSlack is what rounding to float32 may add to a part, in mm (our choice: 1 µm in 100 mm
// is a hundred times that rounding).
const fitSlack = 1e-3

func tooLarge(p master.Part, w, d float64, printer material.Printer) (finding.Finding, bool) {
	f := finding.Finding{Severity: finding.Stop, Where: p.Name}
	switch {
	case p.HeightMM > printer.PlateHeightMM+fitSlack:
		f.What = fmt.Sprintf("%.1f mm high, allowed %.1f mm", p.HeightMM, printer.PlateHeightMM)
		f.Do = "a lower piece, a thinner base, or a printer that prints higher"
	case len(pack.Turns(outlineOf(p), w+fitSlack, d+fitSlack)) == 0:
		f.What = fmt.Sprintf("%.1f x %.1f mm, too large at every turn for %.1f x %.1f mm (%g mm margin on each side)", p.WidthMM, p.DepthMM, w, d, printer.MarginMM)
		f.Do = "a smaller piece or tray, loose pieces, or smaller printer margins"
	default:
		return f, false
	}
	return f, true
}

// Layers is the number of layers of a print: those whose middle lies below its top, as
// they are cut, and at least one. So a top at the edge of a layer makes no blank one, and
// another is moved to the nearest edge. A ten-thousandth of a layer is rounding.
func Layers(heightMM, layerMM float64) int {
	return max(1, int(math.Ceil(heightMM/layerMM-0.5-1e-4)))
}

// TimeMin is the time of a print: T = Nb (eb + lift) + (N - Nb)(en + lift), the sum
// over bottom and other layers of exposure and lift. The formula is the
// arithmetic of a masked exposure; warming up and washing come on top.
func TimeMin(layers int, printer material.Printer, resin material.Resin) unit.Range {
	bottom := min(layers, resin.BottomLayers)
	return printer.LiftS.Map(func(liftS float64) float64 {
		return (float64(bottom)*(resin.BottomExposureS+liftS) + float64(layers-bottom)*(resin.ExposureS+liftS)) / 60
	})
}
