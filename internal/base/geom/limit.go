package geom

import (
	"fmt"

	"mouldwright/internal/base/finding"
)

// MaxPoints bounds the points of one outline. Detailed vector art has some ten
// thousand; our choice: the bound keeps memory below 1 GiB while an outline is settled.
const MaxPoints = 500_000

// MaxMM bounds a coordinate (our choice: ten metres from the origin).
const MaxMM = 10_000

// Points is the number of points of all rings.
func (o Outline) Points() int {
	n := 0
	for _, r := range o {
		n += len(r)
	}
	return n
}

// Check refuses an outline with too many points (MaxPoints) or with a coordinate
// that is not a number or lies beyond MaxMM; the error is a *finding.Error.
func (o Outline) Check() error {
	if n := o.Points(); n > MaxPoints {
		return tooManyPoints(n)
	}
	for _, r := range o {
		for _, p := range r {
			if !p.good() {
				return badPoint(p)
			}
		}
	}
	return nil
}

func tooManyPoints(n int) error {
	return &finding.Error{Key: "outline", Found: fmt.Sprintf("%d points", n),
		Allowed: fmt.Sprintf("at most %d points", MaxPoints),
		Do:      "simplify the art, or split it into several"}
}

func badPoint(p Vec) error {
	return &finding.Error{Key: "outline", Found: fmt.Sprintf("a point at (%g, %g) mm", p.X, p.Y),
		Allowed: fmt.Sprintf("numbers from -%d to %d mm", int(MaxMM), int(MaxMM)),
		Do:      "check the art's coordinates and its scale"}
}
