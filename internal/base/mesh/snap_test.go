package mesh

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"
)

// Grid points up to the predicates' range; small ranges make lines and circles common.
func somePoint(r *rand.Rand, size int32) point {
	return point{r.Int32N(2*size+1) - size, r.Int32N(2*size+1) - size}
}

func TestPredicatesMatchBigIntegers(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, size := range []int32{2, 5, 1000, 1 << 15, 1 << 20, 1<<25 - 1} {
		zeros := 0
		for range 20000 {
			a, b, c, d := somePoint(r, size), somePoint(r, size), somePoint(r, size), somePoint(r, size)
			if r.IntN(4) == 0 { // four corners of a rectangle lie on a circle
				b, c, d = point{a.x, b.y}, point{b.x, b.y}, point{b.x, a.y}
				if r.IntN(2) == 0 {
					d.x++
				}
			}
			if got, want := orient(a, b, c), bigOrient(a, b, c).Int64(); got != want {
				t.Fatalf("orient(%v, %v, %v) = %d, want %d", a, b, c, got, want)
			}
			got, want := inCircle(a, b, c, d), bigInCircle(a, b, c, d)
			if got != want {
				t.Fatalf("inCircle(%v, %v, %v, %v) = %d, want %d", a, b, c, d, got, want)
			}
			if want == 0 {
				zeros++
			}
		}
		if zeros == 0 {
			t.Errorf("no points on one circle among those up to %d", size)
		}
	}
}

func bigOrient(a, b, c point) *big.Int {
	n := func(v int32) *big.Int { return big.NewInt(int64(v)) }
	d := func(v, w int32) *big.Int { return new(big.Int).Sub(n(v), n(w)) }
	l := new(big.Int).Mul(d(b.x, a.x), d(c.y, a.y))
	return l.Sub(l, new(big.Int).Mul(d(b.y, a.y), d(c.x, a.x)))
}

// bigInCircle is the sign of the 4 x 4 determinant of x, y, x²+y², 1, expanded along
// the third column.
func bigInCircle(a, b, c, d point) int {
	p := [4]point{a, b, c, d}
	sum := new(big.Int)
	for i, q := range p {
		var o []point
		for j, s := range p {
			if j != i {
				o = append(o, s)
			}
		}
		x, y := big.NewInt(int64(q.x)), big.NewInt(int64(q.y))
		l := new(big.Int).Add(new(big.Int).Mul(x, x), new(big.Int).Mul(y, y))
		l.Mul(l, bigOrient(o[0], o[1], o[2]))
		if i%2 == 0 {
			sum.Add(sum, l)
		} else {
			sum.Sub(sum, l)
		}
	}
	return sum.Sign()
}

func TestExactSumMatchesBigIntegers(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 20000 {
		var f [6]int64
		want := new(big.Int)
		for i := range f {
			f[i] = r.Int64N(1<<54) - 1<<53
		}
		if r.IntN(3) == 0 { // cancel all but a little
			f[2], f[3], f[4], f[5] = -f[0], f[1], r.Int64N(3)-1, 1
		}
		for i := 0; i < 6; i += 2 {
			want.Add(want, new(big.Int).Mul(big.NewInt(f[i]), big.NewInt(f[i+1])))
		}
		if got := exactSum(f[0], f[1], f[2], f[3], f[4], f[5]); got != want.Sign() {
			t.Fatalf("exactSum(%v) = %d, want %d", f, got, want.Sign())
		}
	}
}

// The promise behind the grid: no stored coordinate is rounded.
func TestGridPointsAreExactFloat32(t *testing.T) {
	for g := int32(-MaxMM * unitsPerMM); g <= MaxMM*unitsPerMM; g += 997 {
		p := point{g, -g}
		q := p.mm()
		if float64(q[0])*unitsPerMM != float64(g) || snap(float64(q[0])) != g || snap(float64(q[1])) != -g {
			t.Fatalf("grid value %d is stored as %v", g, q)
		}
	}
}

func TestPointsBeyondTheRangeAreRefused(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), MaxMM + 1, -MaxMM - 1} {
		if _, err := gridPoint(0, v); err == nil {
			t.Errorf("no error for y = %v", v)
		}
	}
}
