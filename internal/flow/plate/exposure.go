package plate

import (
	"context"
	"fmt"
	"math"
	"strings"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/unit"
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

// Judge words what is to be known of a plate's layers before it is printed. The bound is
// common practice without a source, and a setting. Only growth is told of: a layer that is
// larger than the one before pulls harder at it than that one was proved to hold, while a
// fall eases the pull. Every base falls to its pieces, so that a fall is seen on the plot
// and is no remark.
func (p *Plate) Judge(e *Exposure, c Choices, layerMM float64) (found []finding.Finding) {
	if j := e.Jump(); c.JumpShare > 0 && j.GrownMM2 > c.JumpShare*e.MaxMM2() {
		found = append(found, finding.Finding{Severity: finding.Care, Where: fmt.Sprintf("plate %d", p.Number),
			What: fmt.Sprintf("layer %d, %.2f mm up, is %.0f mm² larger than the one before (%.0f mm²); more than %.0f %% of the largest layer at once (plate.jump_share, common practice) may tear it off or show as a line", j.Layer+1, float64(j.Layer)*layerMM, j.GrownMM2, j.FromMM2, 100*c.JumpShare),
			Do:   "a slower lift around this layer, or a shallower hollow or pocket there"})
	}
	return found
}

// Cup is a closed cup with where it is.
type Cup struct {
	Plate int // number
	Part  string
	Suction
}

// Cups says in which parts the closed cups are; parts are those given to Make.
func (p *Plate) Cups(e *Exposure, parts []master.Part) (out []Cup) {
	for _, s := range e.Suction {
		c := Cup{Plate: p.Number, Suction: s}
		for _, it := range p.Items {
			if outlineOf(parts[it.Part]).Transform(it.Affine(parts[it.Part])).Contains(geom.Vec{X: s.XMM, Y: s.YMM}) {
				c.Part = parts[it.Part].Name
			}
		}
		out = append(out, c)
	}
	return out
}

// mostPlaces is how many parts one remark names (our choice: a remark stays two lines).
const mostPlaces = 6

// JudgeCups makes one remark of all open cups and one of all that keep their resin, with
// their places: the remedy is the same for all. leastMM2 is Choices.SuctionMM2.
func JudgeCups(cups []Cup, leastMM2 float64) (found []finding.Finding) {
	for _, trapped := range [...]bool{false, true} {
		var places []string
		var plates []int
		n, more := 0, 0
		for i := 0; i < len(cups); {
			k, count, f, t, area := i, 0, math.Inf(1), 0.0, 0.0
			for ; k < len(cups) && cups[k].Plate == cups[i].Plate && cups[k].Part == cups[i].Part; k++ {
				if c := cups[k]; c.Trapped == trapped {
					count, f, t, area = count+1, math.Min(f, c.FromMM), math.Max(t, c.ToMM), math.Max(area, c.AreaMM2)
				}
			}
			at := cups[i]
			i = k
			if count == 0 {
				continue
			}
			n += count
			if len(plates) == 0 || plates[len(plates)-1] != at.Plate {
				plates = append(plates, at.Plate)
			}
			if len(places) == mostPlaces {
				more++
				continue
			}
			size := fmt.Sprintf("%.0f mm²", area)
			if count > 1 {
				size = fmt.Sprintf("%d of up to %s", count, size)
			}
			places = append(places, fmt.Sprintf("%s on plate %d (%s, from %.2f to %.2f mm)", at.Part, at.Plate, size, f, t))
		}
		if n == 0 {
			continue
		}
		list := strings.Join(places, "; ")
		if more > 0 {
			list += "; and " + unit.Count(more, "more part", "more parts")
		}
		where := fmt.Sprintf("plate %d", plates[0])
		if len(plates) > 1 {
			where += fmt.Sprintf(" and %d more", len(plates)-1)
		}
		f := finding.Finding{Severity: finding.Note, Where: where, Do: "a slower lift at these heights, a channel out of them, or a larger plate.suction_mm2 once one has printed well",
			What: fmt.Sprintf("%s closed while printing and sucking at the film: %s; told of from %g mm² on (plate.suction_mm2, common practice)", unit.Count(n, "cup is", "cups are"), list, leastMM2)}
		if trapped {
			f.Severity = finding.Care
			f.What = fmt.Sprintf("%s closed on all sides against the build plate, sucking at the film and keeping liquid resin until the part is taken off: %s; told of from %g mm² on (plate.suction_mm2, common practice)", unit.Count(n, "room is", "rooms are"), list, leastMM2)
			f.Do = "drains (master.drain_mm), and wash the part from below; cure it only when nothing runs out"
		}
		found = append(found, f)
	}
	return found
}
