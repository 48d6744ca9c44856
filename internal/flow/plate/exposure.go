package plate

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/master"
)

// Exposure is what the layers of a plate do to the film below them: a layer is peeled
// off with a pull that grows with its area, and with suction where it closes a cup.
type Exposure struct {
	AreaMM2 []float64 // of each layer, from the build plate up
	Suction []Suction // by layer and place
}

// MaxMM2 is the largest area of a layer.
func (e *Exposure) MaxMM2() float64 {
	most := 0.0
	for _, a := range e.AreaMM2 {
		most = math.Max(most, a)
	}
	return most
}

// Jump is where a layer is much larger than the one before.
type Jump struct {
	Layer             int // from 0
	FromMM2, GrownMM2 float64
}

// Jump is the largest growth from one layer to the next; the first layer is none.
func (e *Exposure) Jump() Jump {
	var j Jump
	for k := 1; k < len(e.AreaMM2); k++ {
		if g := e.AreaMM2[k] - e.AreaMM2[k-1]; g > j.GrownMM2 {
			j = Jump{k, e.AreaMM2[k-1], g}
		}
	}
	return j
}

// Expose measures every layer of a stack.
func Expose(ctx context.Context, s *Stack, leastMM2 float64) (*Exposure, error) {
	e := &Exposure{AreaMM2: make([]float64, s.Layers)}
	err := field.ForRows(ctx, s.Layers, func(k0, k1 int) {
		for k := k0; k < k1 && ctx.Err() == nil; k++ {
			e.AreaMM2[k] = s.AreaMM2(k)
		}
	})
	if err != nil {
		return nil, err
	}
	e.Suction, err = s.suction(ctx, leastMM2)
	return e, err
}

// Judge words what is to be known before a plate is printed; parts are those given to
// Make. Both bounds are common practice without a source, and settings.
func (p *Plate) Judge(e *Exposure, parts []master.Part, c Choices, layerMM float64) (found []finding.Finding) {
	where := fmt.Sprintf("plate %d", p.Number)
	if j := e.Jump(); c.JumpShare > 0 && j.GrownMM2 > c.JumpShare*e.MaxMM2() {
		found = append(found, finding.Finding{Severity: finding.Care, Where: where,
			What: fmt.Sprintf("layer %d, %.2f mm up, is %.0f mm² larger than the one before (%.0f mm²); more than %.0f %% of the largest layer at once (plate.jump_share, common practice) may tear it off or show as a line", j.Layer+1, float64(j.Layer)*layerMM, j.GrownMM2, j.FromMM2, 100*c.JumpShare),
			Do:   "a slower lift around this layer, or a shallower hollow or pocket there"})
	}
	for _, cup := range e.Suction {
		part := ""
		for _, it := range p.Items {
			if outlineOf(parts[it.Part]).Transform(it.Affine(parts[it.Part])).Contains(geom.Vec{X: cup.XMM, Y: cup.YMM}) {
				part = parts[it.Part].Name
			}
		}
		f := finding.Finding{Severity: finding.Note, Where: where, Do: "a slower lift, a channel out of it, or a larger plate.suction_mm2 once it has printed well"}
		f.What = fmt.Sprintf("%s: a cup of %.0f mm², from %.2f to %.2f mm, is closed while it is printed and sucks at the film; flagged from %g mm² on (plate.suction_mm2, common practice)", part, cup.AreaMM2, cup.FromMM, cup.ToMM, c.SuctionMM2)
		if cup.Trapped {
			f.Severity = finding.Care
			f.What = fmt.Sprintf("%s: a room of %.0f mm², from %.2f to %.2f mm, is closed on all sides against the build plate: it sucks at the film and keeps liquid resin until the part is taken off; flagged from %g mm² on (plate.suction_mm2, common practice)", part, cup.AreaMM2, cup.FromMM, cup.ToMM, c.SuctionMM2)
			f.Do = "drains (master.drain_mm), and wash the part from below; cure it only when nothing runs out"
		}
		found = append(found, f)
	}
	return found
}
