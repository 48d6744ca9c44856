package pour

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
)

// stirShare is how full a cup may be and still be stirred without spilling (common
// practice, no source).
const stirShare = 0.75

// MaxCups bounds the batches of one job (our choice: weeks of pouring).
const MaxCups = 2000

// Batch is what bounds one cup of mixed rubber.
type Batch struct {
	SmallestG float64 // below it the scale spoils the ratio
	LargestG  float64
	LargestBy string // which of the next three is the least
	ByCupG    float64
	ByTimeG   float64
	ByHandG   float64
}

// batch weighs the bounds against each other.
func batch(ratioA, ratioB float64, densityGML unit.Range, risen float64, w Times, c Choices, b Bench) Batch {
	out := Batch{SmallestG: smallestBatch(ratioA, ratioB, b.ScaleG, b.RatioTolerance), ByHandG: b.HandG}
	out.ByCupG = b.largestCup() * min(stirShare, 1/risen) * densityGML.Low
	out.ByTimeG = max(0, w.WorkingTimeMin.Low-b.readyMin(c)) * c.PourGMin
	out.LargestG, out.LargestBy = out.ByHandG, "what one mixes by hand (bench.hand_g)"
	if out.ByTimeG < out.LargestG {
		out.LargestG, out.LargestBy = out.ByTimeG, "the working time left for pouring"
	}
	if out.ByCupG < out.LargestG {
		out.LargestG, out.LargestBy = out.ByCupG, "the cup, with room for the rise under vacuum"
		if risen <= 1/stirShare {
			out.LargestBy = "the cup, with room for stirring"
		}
	}
	return out
}

// tooSmall is the finding that no cup can be mixed well, and what to change.
func (b Batch) tooSmall(w Times, ready float64) (finding.Finding, bool) {
	f := finding.Finding{Severity: finding.Stop, Where: "pour"}
	if b.LargestG <= 0 {
		f.What = fmt.Sprintf("mixing and degassing take %.3g min, the working time may be over after %.3g min", ready, w.WorkingTimeMin.Low)
		f.Do = "a cooler room, a slower rubber, or less time under vacuum"
		return f, true
	}
	if b.LargestG < b.SmallestG {
		f.What = fmt.Sprintf("the largest batch is %.4g g, by %s; the smallest that keeps the ratio on this scale is %.4g g", b.LargestG, b.LargestBy, b.SmallestG)
		f.Do = "a finer scale (bench.scale_g), a larger cup or a slower pour"
		return f, true
	}
	return f, false
}

// Fill is what one cup brings into one tray.
type Fill struct {
	Tray    int
	MassG   float64 // of what was mixed
	LevelMM float64 // over the tray's base, reached with it
}

// Cup is one batch: weigh A, then B onto it.
type Cup struct {
	Number        int
	RoomML        float64 // the least volume of its cup, with room to stir or to rise
	CupML         float64 // the smallest cup on the bench that has it
	MassG         float64
	PartAG        float64 // on the scale's steps
	PartBG        float64
	TotalAG       float64 // this cup and all before it
	TotalBG       float64
	RatioOffShare float64 // by how much the ratio can be off
	Stage         int     // from 1: cups of one stage are mixed and poured one after the other
	BeginMin      float64 // of mixing, after the stage began
	Fills         []Fill
	LevelMM       float64 // of the last of them
	ReadyMin      float64 // after mixing began: mixed and degassed
	PourMin       float64 // how long it takes to pour
	LastPourMin   float64 // after mixing began: the latest moment to begin to pour
	WetUntilMin   float64 // after mixing began: until then the next cup flows into it
}

// share divides the trays' rubber into equal cups, as few as the largest batch allows.
// A cup that fills a tray goes on into the next one.
func share(p *Pour, fill []rubberBelow, ratioA, ratioB float64, c Choices, b Bench) ([]Cup, error) {
	total := p.Total.MassG.Likely
	if total <= 0 {
		return nil, nil
	}
	n := int(math.Ceil(total/p.Batch.LargestG - 1e-9))
	if n > MaxCups {
		return nil, &finding.Error{Key: "pour", Found: fmt.Sprintf("%d cups of %.0f g", n, p.Batch.LargestG), Allowed: fmt.Sprintf("at most %d", MaxCups), Do: "larger cups, a larger bench.hand_g, or smaller trays"}
	}
	each := total / float64(n)
	cups, list := make([]Cup, n), make([]portion, n)
	for i := range list {
		list[i].massG = each
	}
	fills, _ := into(p.Trays, fill, list)
	sumA, sumB := 0.0, 0.0
	// A cup goes into rubber that is still wet when both are poured before the first
	// one's working time is over; else into firm rubber, as a stage of its own.
	turn := b.readyMin(c) + each/c.PourGMin
	wet := 2*turn <= p.Times.WorkingTimeMin.Low
	at, begin := 1, 0.0
	for i := range cups {
		k := &cups[i]
		*k = Cup{Number: i + 1, MassG: each, PartAG: onScale(each*ratioA/(ratioA+ratioB), b.ScaleG), PartBG: onScale(each*ratioB/(ratioA+ratioB), b.ScaleG), Fills: fills[i]}
		sumA, sumB = sumA+k.PartAG, sumB+k.PartBG
		k.TotalAG, k.TotalBG = onScale(sumA, b.ScaleG), onScale(sumB, b.ScaleG)
		k.RatioOffShare = ratioOff(each*ratioA/(ratioA+ratioB), each*ratioB/(ratioA+ratioB), b.ScaleG)
		k.RoomML = each / p.densityGML.Low / min(stirShare, 1/p.Rise.High)
		k.CupML = b.cupFor(k.RoomML)
		k.ReadyMin, k.PourMin = b.readyMin(c), each/c.PourGMin
		k.WetUntilMin = p.Times.WorkingTimeMin.Low
		k.LastPourMin = k.WetUntilMin - k.PourMin
		if i > 0 {
			begin += turn
			if !wet && fills[i][0].Tray == cups[i-1].last().Tray {
				at, begin = at+1, 0
			}
		}
		k.Stage, k.BeginMin, k.LevelMM = at, begin, k.last().LevelMM
	}
	return cups, nil
}

// Stages is how many there are, and when the next cup may follow another into the same
// tray: while that is still wet, or once it is firm; not between.
type Stages struct {
	Count       int
	WetUntilMin float64    // after the first was mixed
	FirmFromH   unit.Range // after it was mixed: a fingertip leaves no mark
	BondUntilH  float64    // fresh rubber still bonds to it, when it is clean
}

// firmShare of the cure time is when rubber is firm to the touch, and bondH how long
// fresh rubber bonds to cured rubber that is clean: a pour may be made over several
// days (common practice, no source).
var firmShare = unit.Between(0.3, 0.5, 0.75)

const bondH = 72 // (common practice, no source)

func stages(w Times, cups []Cup) Stages {
	n := 0
	if len(cups) > 0 {
		n = cups[len(cups)-1].Stage
	}
	return Stages{n, w.WorkingTimeMin.Low,
		unit.Range{Low: w.CureH.Low * firmShare.Low, Likely: w.CureH.Likely * firmShare.Likely, High: w.CureH.High * firmShare.High}, bondH}
}

// last is the tray that the cup ends in.
func (k Cup) last() Fill { return k.Fills[len(k.Fills)-1] }

// portion is so much mixed rubber on its way into the trays, or into one of them.
type portion struct {
	massG float64
	tray  int // its number; 0: what fills a tray goes on into the next one
}

// into pours one portion after the other. overG is what finds no room.
func into(trays []Mix, fill []rubberBelow, list []portion) (fills [][]Fill, overG float64) {
	fills = make([][]Fill, len(list))
	used := make([]float64, len(trays)) // of each tray's mass
	for i, m := range list {
		left := m.massG
		for k, t := range trays {
			if left <= 1e-6*m.massG {
				left = 0
				break
			}
			if m.tray != 0 && m.tray != t.Tray {
				continue
			}
			take := min(left, t.MassG.Likely-used[k])
			if take <= 1e-9*t.MassG.Likely {
				continue
			}
			used[k], left = used[k]+take, left-take
			fills[i] = append(fills[i], Fill{t.Tray, take, fill[k].level(used[k] / t.MassG.Likely * t.VolumeMM3)})
		}
		overG += left
	}
	return fills, overG
}
