package piece

import "math"

// wallSamples is the fewest samples that a side spans, so that its middle lies where it
// belongs (see package relief): a side without draft leans by two over its height.
const wallSamples = 2

// section is the cross-section of a body from its footprint inwards: a straight
// wall, an arc, and then the top. Distances run from the footprint, square to it.
type section struct {
	rimMM  float64 // height at which the wall would meet the top
	runMM  float64 // distance at which it would
	edgeMM float64 // radius of the arc
	slope  float64 // of the wall, rim/run; 0 without a wall
	alpha  float64 // the same as an angle from horizontal
}

func newSection(rimMM, draftDeg, edgeMM, pitchMM float64) section {
	s := section{rimMM: rimMM, edgeMM: edgeMM}
	if rimMM > 0 {
		s.runMM = math.Max(rimMM*math.Tan(draftDeg*math.Pi/180), wallSamples*pitchMM)
		s.slope = rimMM / s.runMM
		s.alpha = math.Atan(s.slope)
	}
	return s
}

// insetMM is the distance at which a level top begins, behind wall and arc.
func (s section) insetMM() float64 { return s.runMM + s.edgeMM*math.Tan(s.alpha/2) }

// largestEdgeMM is the radius with which the arc takes up the whole wall.
func (s section) largestEdgeMM() float64 {
	if s.alpha == 0 {
		return 0
	}
	return s.rimMM / (1 - math.Cos(s.alpha))
}

// at is the height at distance d where the top, which climbs inwards by the given
// slope there, has height top. The arc is tangent to the wall and to the line that
// continues the top: exact where wall and top are straight, and without a kink
// where they are not.
func (s section) at(d, top, slope float64) float64 {
	if s.slope == 0 {
		return top
	}
	wall := s.slope * d
	if s.edgeMM == 0 || slope >= s.slope {
		return math.Min(wall, top)
	}
	// Origin in the corner, where wall and top would meet; x inwards.
	x := (wall - top) / (s.slope - slope)
	theta := 0.0
	if slope != 0 {
		theta = math.Atan(slope)
	}
	sin, cos := math.Sincos(theta)
	tangent := s.edgeMM * math.Tan((s.alpha-theta)/2)
	switch {
	case x <= -tangent*math.Cos(s.alpha):
		return wall
	case x >= tangent*cos:
		return top
	}
	x -= tangent*cos + s.edgeMM*sin // from the arc's centre
	corner := wall - s.slope*(x+tangent*cos+s.edgeMM*sin)
	return corner + tangent*sin - s.edgeMM*cos + math.Sqrt(s.edgeMM*s.edgeMM-x*x)
}
