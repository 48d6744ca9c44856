package forecast

import (
	"context"
	"math"
	"sync"

	"mouldwright/internal/base/field"
)

// Finish is how the surface will look, as shares of its area. The rubber copies the
// master's finish into the chocolate.
type Finish struct {
	GlossyShare  float64 // level, or its steps lie under the coat
	SatinShare   float64 // steps too close to be told apart
	SteppedShare float64 // steps that are seen
	CuspMM       float64 // highest step where they are seen, square to the surface
	HideLayerMM  float64 // layer with which all but hideShare of them would not be seen; 0 when none are
	HideCoatMM   float64 // coat that would level them
}

// hideShare is the share of the stepped area that a remedy may leave (our choice: a
// rounded edge keeps that much under any remedy).
const hideShare = 0.05

// levelSlope is the slope below which ground is taken as level (our choice: a tenth of a
// degree, far under any dome's).
const levelSlope = 0.0017

// Cusp is the height of a layer's step square to a surface that leans slopeDeg from
// horizontal: C = t |n_z| (A. Dolenc, I. Makela, Computer-Aided Design 26, 1994, 119).
func Cusp(layerMM, slopeDeg float64) float64 { return layerMM * math.Cos(slopeDeg*math.Pi/180) }

// TerraceMM is how wide a layer's step shows from above, layer by tan(slope).
func TerraceMM(layerMM, slopeDeg float64) float64 { return layerMM / math.Tan(slopeDeg*math.Pi/180) }

// slopes counts cells of four samples by the square of their slope, in bins of about
// half a per cent of slope: the exponent and seven bits of a float32.
type slopes struct {
	n     []int64
	scale float64 // of the squares counted, 2 pitch²
}

const slopeShift = 16 // bits that are dropped, so that seven of the 23 behind the exponent stay

// surveySlopes counts cells that do not lie at height 0.
func surveySlopes(ctx context.Context, f *field.Field) (*slopes, error) {
	s := &slopes{n: make([]int64, 1<<(31-slopeShift)), scale: 2 * f.PitchMM * f.PitchMM}
	var lock sync.Mutex
	err := field.ForRows(ctx, f.H-1, func(j0, j1 int) {
		mine := make([]int32, len(s.n))
		for j := j0; j < j1; j++ {
			row, next := f.Row(j), f.Row(j+1)
			next = next[:len(row)]
			r0, n0 := row[0], next[0]
			for i, r1 := range row {
				n1 := next[i]
				if r0+r1+n0+n1 != 0 {
					a, b := n1-r0, n0-r1
					mine[math.Float32bits(a*a+b*b)>>slopeShift]++
				}
				r0, n0 = r1, n1
			}
		}
		lock.Lock()
		defer lock.Unlock()
		for i, n := range mine {
			s.n[i] += int64(n)
		}
	})
	return s, err
}

// each gives every bin's slope (rise by run) and true area in cells.
func (s *slopes) each(do func(slope, area float64)) {
	for i, n := range s.n {
		if n == 0 {
			continue
		}
		q := float64(math.Float32frombits(uint32(i)<<slopeShift|1<<(slopeShift-1))) / s.scale
		do(math.Sqrt(q), float64(n)*math.Sqrt(1+q))
	}
}

// belowShare is the share of walls, steeper than 45 degrees, that lean less than asked.
func (s *slopes) belowShare(draftDeg float64) float64 {
	most := math.Inf(1)
	if draftDeg > 0 {
		// A bin is up to a per cent wide: a wall of exactly the rule passes.
		most = 1.01 / math.Tan(draftDeg*math.Pi/180)
	}
	var below, all float64
	s.each(func(slope, area float64) {
		if slope > 1 {
			all += area
			if slope > most {
				below += area
			}
		}
	})
	if all == 0 {
		return 0
	}
	return below / all
}

// Looks of a surface.
const (
	glossy = iota
	satin
	stepped
)

// finishOf is the look of a surface of that slope (rise by run).
func finishOf(slope, layerMM float64, c Choices) int {
	switch {
	case slope < levelSlope || layerMM/math.Sqrt(1+slope*slope) <= c.CoatMM:
		return glossy
	case layerMM/slope <= c.EyeMM:
		return satin
	}
	return stepped
}

// finish sorts the area by what its steps look like.
func (s *slopes) finish(layerMM float64, c Choices) Finish {
	var f Finish
	var all float64
	type bin struct{ slope, area float64 }
	var stepped []bin
	s.each(func(slope, area float64) {
		all += area
		switch finishOf(slope, layerMM, c) {
		case glossy:
			f.GlossyShare += area
		case satin:
			f.SatinShare += area
		default:
			f.SteppedShare += area
			f.CuspMM = math.Max(f.CuspMM, layerMM/math.Sqrt(1+slope*slope))
			stepped = append(stepped, bin{slope, area})
		}
	})
	if all == 0 {
		return Finish{}
	}
	if f.SteppedShare > 0 {
		sum := 0.0
		for _, b := range stepped { // from the gentlest slope
			if sum += b.area; sum >= hideShare*f.SteppedShare {
				f.HideLayerMM = c.EyeMM * b.slope
				f.HideCoatMM = layerMM / math.Sqrt(1+b.slope*b.slope)
				break
			}
		}
	}
	f.GlossyShare, f.SatinShare, f.SteppedShare = f.GlossyShare/all, f.SatinShare/all, f.SteppedShare/all
	return f
}

// DraftMap is the lean from vertical of each cell of four samples in degrees, on the
// cells' middles: 90 on level ground.
func DraftMap(ctx context.Context, f *field.Field) (*field.Field, error) {
	p := f.PitchMM
	m := field.New(field.Grid{W: max(1, f.W-1), H: max(1, f.H-1), PitchMM: p, X0: f.X0 + p/2, Y0: f.Y0 + p/2})
	err := field.ForRows(ctx, f.H-1, func(j0, j1 int) {
		for j := j0; j < j1; j++ {
			row, next, dst := f.Row(j), f.Row(j+1), m.Row(j)
			for i := range f.W - 1 {
				a, b := float64(next[i+1]-row[i]), float64(next[i]-row[i+1])
				dst[i] = float32(90 - math.Atan(math.Sqrt((a*a+b*b)/(2*p*p)))*180/math.Pi)
			}
		}
	})
	return m, err
}

// FinishMap is the look of a surface: 0 glossy, 1 satin, 2 and 3 where layer steps show, 2
// on one layer and 3 on the next. It is told every pitchMM or finer samples of f; what lies
// at height 0 is outside.
func FinishMap(ctx context.Context, f *field.Field, layerMM, pitchMM float64, c Choices) (*field.Field, error) {
	z := thinned(f, max(1, int(pitchMM/f.PitchMM+1e-9)))
	m := field.New(z.Grid)
	err := field.ForRows(ctx, z.H, func(from, to int) {
		for j := max(from, 1); j < min(to, z.H-1); j++ {
			for i := 1; i < z.W-1; i++ {
				k := j*z.W + i
				if z.Z[k] == 0 {
					continue
				}
				s := math.Hypot(float64(z.Z[k+1]-z.Z[k-1]), float64(z.Z[k+z.W]-z.Z[k-z.W])) / (2 * z.PitchMM)
				switch look := finishOf(s, layerMM, c); {
				case look < stepped:
					m.Z[k] = float32(look)
				default:
					m.Z[k] = float32(stepped + int(math.Floor(float64(z.Z[k])/layerMM+0.5))%2)
				}
			}
		}
	})
	return m, err
}
