package mesh

import (
	"fmt"
	"math"
	"math/bits"

	"mouldwright/internal/base/finding"
)

// Plan coordinates lie on a grid of 2^-13 mm = 0.122 µm. The step is a power of two
// so that every grid point up to 2048 mm is a float32 without rounding: what the
// exact predicates decide about grid points holds for the written mesh as well, and
// no triangle degenerates on the way into a file. The step is a hundredth of the
// usual tolerance, far below what any printer can place.
const unitsPerMM = 1 << 13

// MaxMM is the largest coordinate accepted, to either side (our choice: beyond the
// largest tray, and small enough that the predicates below cannot overflow).
const MaxMM = 1000

// point is a place on the plan grid, |x|, |y| < 2^25 (the predicates' range).
type point struct{ x, y int32 }

func snap(mm float64) int32 { return int32(math.Floor(mm*unitsPerMM + 0.5)) }
func (p point) mm() [2]float32 {
	return [2]float32{float32(p.x) / unitsPerMM, float32(p.y) / unitsPerMM}
}

// snapMM is the grid value next to mm, as it is stored.
func snapMM(mm float64) float32 { return float32(snap(mm)) / unitsPerMM }

// gridPoint snaps a place given in mm; it refuses what is not finite or beyond MaxMM.
func gridPoint(x, y float64) (point, error) {
	if !(math.Abs(x) <= MaxMM && math.Abs(y) <= MaxMM) {
		return point{}, &finding.Error{
			Found:   fmt.Sprintf("a point lies at (%g, %g) mm", x, y),
			Allowed: fmt.Sprintf("finite coordinates from -%d to %d mm", MaxMM, MaxMM),
			Do:      "bring the shape nearer to the origin, or make it smaller",
		}
	}
	return point{snap(x), snap(y)}, nil
}

// orient is twice the signed area of the triangle abc in grid units²: positive when
// counter-clockwise, zero when the three lie on a line. Exact.
func orient(a, b, c point) int64 {
	return int64(b.x-a.x)*int64(c.y-a.y) - int64(b.y-a.y)*int64(c.x-a.x)
}

// inCircle is positive when d lies inside the circle through the counter-clockwise
// triangle abc, zero when on it, negative when outside. Exact.
func inCircle(a, b, c, d point) int {
	ax, ay := int64(a.x-d.x), int64(a.y-d.y)
	bx, by := int64(b.x-d.x), int64(b.y-d.y)
	cx, cy := int64(c.x-d.x), int64(c.y-d.y)
	al, bl, cl := ax*ax+ay*ay, bx*bx+by*by, cx*cx+cy*cy
	bc, ca, ab := bx*cy-by*cx, cx*ay-cy*ax, ax*by-ay*bx
	// With every squared distance below 2^30 the cross products are below 2^30 as
	// well, and the sum of three products fits in 63 bits.
	if (al|bl|cl)>>30 == 0 {
		return sign(al*bc + bl*ca + cl*ab)
	}
	fa, fb, fc := float64(al)*float64(bc), float64(bl)*float64(ca), float64(cl)*float64(ab)
	// Each factor and product is rounded once and there are two sums: the error stays
	// below 8 units in the last place of the sum of magnitudes.
	sum, bound := fa+fb+fc, (math.Abs(fa)+math.Abs(fb)+math.Abs(fc))*0x1p-50
	if sum > bound {
		return 1
	}
	if sum < -bound {
		return -1
	}
	return exactSum(al, bc, bl, ca, cl, ab)
}

// exactSum is the sign of a*b + c*d + e*f in 128-bit two's complement; |factors| < 2^54.
func exactSum(a, b, c, d, e, f int64) int {
	hi, lo := mul(a, b)
	for _, p := range [2][2]int64{{c, d}, {e, f}} {
		h, l := mul(p[0], p[1])
		var carry uint64
		lo, carry = bits.Add64(lo, l, 0)
		hi, _ = bits.Add64(hi, h, carry)
	}
	switch {
	case int64(hi) < 0:
		return -1
	case hi|lo == 0:
		return 0
	}
	return 1
}

// mul is the signed 128-bit product.
func mul(a, b int64) (hi, lo uint64) {
	hi, lo = bits.Mul64(uint64(a), uint64(b))
	hi -= uint64(a>>63)&uint64(b) + uint64(b>>63)&uint64(a)
	return hi, lo
}

func sign(v int64) int {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}
