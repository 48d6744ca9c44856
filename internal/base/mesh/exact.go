package mesh

import (
	"math"
	"math/big"
)

// side is the exact sign of the volume of the tetrahedron abcd, six-fold: positive when
// d lies on the side of the plane abc from which abc runs clockwise, 0 when in it.
func side(a, b, c, d [3]float32) int {
	u, v, w := sub(wide(a), wide(d)), sub(wide(b), wide(d)), sub(wide(c), wide(d))
	m := cross(v, w)
	det := dot(u, m)
	// Differences, six products, sums: fewer than 16 roundings, each below 2^-53 of the
	// sum of magnitudes.
	bound := 16 * 0x1p-53 * (math.Abs(u[0])*(math.Abs(v[1]*w[2])+math.Abs(v[2]*w[1])) +
		math.Abs(u[1])*(math.Abs(v[2]*w[0])+math.Abs(v[0]*w[2])) +
		math.Abs(u[2])*(math.Abs(v[0]*w[1])+math.Abs(v[1]*w[0])))
	if det > bound {
		return 1
	}
	if det < -bound {
		return -1
	}
	if bound == 0 {
		return 0
	}
	return sideExact(a, b, c, d)
}

func sideExact(a, b, c, d [3]float32) int {
	var r [3][3]*big.Rat
	for i, p := range [3][3]float32{a, b, c} {
		for j := range 3 {
			r[i][j] = new(big.Rat).Sub(rat(p[j]), rat(d[j]))
		}
	}
	minor := func(i, j int) *big.Rat {
		return new(big.Rat).Sub(new(big.Rat).Mul(r[1][i], r[2][j]), new(big.Rat).Mul(r[1][j], r[2][i]))
	}
	det := new(big.Rat).Mul(r[0][0], minor(1, 2))
	det.Add(det, new(big.Rat).Mul(r[0][1], minor(2, 0)))
	det.Add(det, new(big.Rat).Mul(r[0][2], minor(0, 1)))
	return det.Sign()
}

// turn2 is the exact sign of the area of abc with coordinate axis left out.
func turn2(a, b, c [3]float32, axis int) int {
	i, j := (axis+1)%3, (axis+2)%3
	l := (float64(b[i]) - float64(a[i])) * (float64(c[j]) - float64(a[j]))
	r := (float64(b[j]) - float64(a[j])) * (float64(c[i]) - float64(a[i]))
	bound := 8 * 0x1p-53 * (math.Abs(l) + math.Abs(r))
	if l-r > bound {
		return 1
	}
	if l-r < -bound {
		return -1
	}
	if bound == 0 {
		return 0
	}
	x := new(big.Rat).Mul(new(big.Rat).Sub(rat(b[i]), rat(a[i])), new(big.Rat).Sub(rat(c[j]), rat(a[j])))
	y := new(big.Rat).Mul(new(big.Rat).Sub(rat(b[j]), rat(a[j])), new(big.Rat).Sub(rat(c[i]), rat(a[i])))
	return x.Cmp(y)
}

func rat(v float32) *big.Rat { return new(big.Rat).SetFloat64(float64(v)) }
