package chill

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// random is a block full of matter of all kinds, with air here and there.
func random(nx, ny, nz int) *block {
	r := rand.New(rand.NewPCG(1, 2))
	b := newBlock(nx, ny, nz)
	conductivity, matter := make([]float32, len(b.u)), make([]float32, len(b.u))
	for k := range nz {
		for j := range ny {
			for i := range nx {
				p := b.at(i, j, k)
				b.inv[p], b.u[p], b.prev[p] = 1+r.Float32(), 30*r.Float32()-5, 30*r.Float32()-5
				conductivity[p], matter[p] = r.Float32(), r.Float32()
				if r.IntN(4) == 0 {
					b.air[p] = r.Float32()
				}
			}
		}
	}
	b.join(conductivity, matter, 1000)
	return b
}

// Eight cubes at once are the same to the bit as one by one. Their power into the air is
// summed in another order: 32 bits hold a sum of a few thousand terms to parts in 100,000.
func TestEights(t *testing.T) {
	for _, n := range [][3]int{{1, 1, 1}, {5, 1, 2}, {6, 1, 1}, {7, 3, 3}, {8, 8, 2}, {37, 21, 3}} {
		b := random(n[0], n[1], n[2])
		at := sweep{b, slices.Clone(b.prev), b.u, 1.5, -0.5, 0.1, 0}
		want := sweep{b, slices.Clone(b.prev), b.u, 1.5, -0.5, 0.1, 0}
		for k := 1; k <= n[2]; k++ {
			at.layer(k)
			for j := 1; j <= n[1]; j++ {
				want.power += float64(want.cubes((k*b.ny+j)*b.nx+1, n[0]))
			}
		}
		if !slices.Equal(at.out, want.out) {
			t.Errorf("%v cubes differ from those one by one", n)
		}
		if math.Abs(at.power-want.power) > 1e-5*math.Abs(want.power) {
			t.Errorf("%v cubes: %.9g W, one by one %.9g", n, at.power, want.power)
		}
	}
}

// A step's wave through the layers ends where its stages one after another do, to the bit.
func TestWave(t *testing.T) {
	for _, nz := range []int{1, 2, 7} {
		b, plain := random(9, 5, nz), random(9, 5, nz)
		stepS := 12 * b.limitS // four stages and a half, so five
		s := b.stages(stepS)
		if s != 5 {
			t.Fatalf("%d stages", s)
		}
		w := stepS * 2 / float64(s*s+s)
		for j := 1; j <= s; j++ {
			mu, nu := weights(j)
			one := sweep{plain, plain.prev, plain.u, float32(mu), float32(nu), float32(mu * w), 0}
			for k := 1; k <= nz; k++ {
				one.layer(k)
			}
			plain.u, plain.prev = plain.prev, plain.u
		}
		b.step(stepS)
		if !slices.Equal(b.u, plain.u) {
			t.Errorf("%d layers: the wave differs", nz)
		}
	}
}
