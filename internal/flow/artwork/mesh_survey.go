package artwork

import (
	"context"
	"fmt"
	"math"
	"math/bits"
	"runtime"
	"sync"
	"sync/atomic"

	"mouldwright/internal/base/format"
)

// surveyed is what one pass over all triangles tells, in the file's unit, with the
// view's axes but neither scaled nor turned about z.
type surveyed struct {
	n                  int
	lo, hi             [3]float64
	from               [3]float64 // the first corner: a middle for volumes that keeps their digits
	volume             float64    // signed, by the divergence theorem
	boundary           uint64     // 0 when every directed edge has its opposite, see closed
	boxArea, boxHeight float64    // sums over the triangles' bounding boxes seen from above
}

// closed reports whether every edge is met as often in one direction as in the
// other. Each directed edge a->b adds hash(a,b) and its opposite takes it away
// again, so the sum over a closed surface is 0; over an open one it is 0 with a
// chance of 2^-64. Unlike welding this takes no memory and any order of triangles.
func (s *surveyed) closed() bool { return s.boundary == 0 }

// longest is the longest side of the mesh's box.
func (s *surveyed) longest() float64 {
	return max(s.hi[0]-s.lo[0], s.hi[1]-s.lo[1], s.hi[2]-s.lo[2])
}

// block is how many triangles one step of a pass takes. It is fixed, so that sums of
// floats are made in the same order on any number of cores.
const block = 1 << 14

func survey(ctx context.Context, name string, tri Triangles, turn [3][3]float64) (*surveyed, error) {
	n := tri.Count()
	if err := format.Usual().CheckCounts(name, 1, n); err != nil {
		return nil, err
	}
	var first [1][3][3]float32
	tri.Read(first[:], 0)
	p := first[0][0]
	origin := [3]float64{float64(p[0]), float64(p[1]), float64(p[2])}
	parts := make([]surveyed, (n+block-1)/block)
	bad := make([]error, len(parts))
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(parts)) {
		wg.Go(func() {
			var buf [256][3][3]float32
			for {
				b := int(next.Add(1)) - 1
				if b >= len(parts) || ctx.Err() != nil {
					return
				}
				parts[b], bad[b] = surveyBlock(name, tri, buf[:], b*block, min(n, (b+1)*block), turn, origin)
			}
		})
	}
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	sum := parts[0]
	for b := range parts {
		if bad[b] != nil {
			return nil, bad[b]
		}
		if b == 0 {
			continue
		}
		p := &parts[b]
		for c := range 3 {
			sum.lo[c], sum.hi[c] = math.Min(sum.lo[c], p.lo[c]), math.Max(sum.hi[c], p.hi[c])
		}
		sum.n += p.n
		sum.volume += p.volume
		sum.boundary += p.boundary
		sum.boxArea += p.boxArea
		sum.boxHeight += p.boxHeight
	}
	return &sum, nil
}

func surveyBlock(name string, tri Triangles, buf [][3][3]float32, from, to int, turn [3][3]float64, origin [3]float64) (surveyed, error) {
	inf := math.Inf(1)
	s := surveyed{n: to - from, from: origin, lo: [3]float64{inf, inf, inf}, hi: [3]float64{-inf, -inf, -inf}}
	ax, sg := axes(turn)
	for from < to {
		got := tri.Read(buf[:min(len(buf), to-from)], from)
		for k := range buf[:got] {
			t := &buf[k]
			for _, p := range t {
				if !format.Fits(p) {
					return s, format.BadCoord(name, 0, fmt.Sprintf("triangle %d of %d", from+k+1, tri.Count()), p)
				}
			}
			s.add(t, ax, sg)
		}
		from += got
	}
	return s, nil
}

// axes reads a turn by quarter circles as which axis stands where, and its sign.
func axes(turn [3][3]float64) (axis [3]int, sign [3]float32) {
	for r := range 3 {
		for a := range 3 {
			if turn[r][a] != 0 {
				axis[r], sign[r] = a, float32(turn[r][a])
			}
		}
	}
	return axis, sign
}

func (s *surveyed) add(t *[3][3]float32, ax [3]int, sg [3]float32) {
	var size [2]float64
	for c := range 3 {
		a, b, d := sg[c]*t[0][ax[c]], sg[c]*t[1][ax[c]], sg[c]*t[2][ax[c]]
		lo, hi := float64(min(a, b, d)), float64(max(a, b, d))
		if lo < s.lo[c] {
			s.lo[c] = lo
		}
		if hi > s.hi[c] {
			s.hi[c] = hi
		}
		if c < 2 {
			size[c] = hi - lo
		}
	}
	s.boxArea += size[0] * size[1]
	s.boxHeight += size[1]

	o := &s.from
	x0, y0, z0 := float64(t[0][0])-o[0], float64(t[0][1])-o[1], float64(t[0][2])-o[2]
	x1, y1, z1 := float64(t[1][0])-o[0], float64(t[1][1])-o[1], float64(t[1][2])-o[2]
	x2, y2, z2 := float64(t[2][0])-o[0], float64(t[2][1])-o[1], float64(t[2][2])-o[2]
	s.volume += (x0*(y1*z2-y2*z1) + y0*(z1*x2-z2*x1) + z0*(x1*y2-x2*y1)) / 6

	h0, h1, h2 := cornerHash(t[0]), cornerHash(t[1]), cornerHash(t[2])
	s.boundary += edgeHash(h0, h1) + edgeHash(h1, h2) + edgeHash(h2, h0)
}

// edgeHash is odd: the opposite edge has the negative hash (mod 2^64).
func edgeHash(a, b uint64) uint64 {
	if a < b {
		return mix(a, b)
	}
	if a == b {
		return 0
	}
	return -mix(b, a)
}

func mix(a, b uint64) uint64 {
	hi, lo := bits.Mul64(a^0xa0761d6478bd642f, b^0xe7037ed1a0b428db)
	return hi ^ lo
}

func cornerHash(p [3]float32) uint64 {
	x, y, z := math.Float32bits(p[0]+0), math.Float32bits(p[1]+0), math.Float32bits(p[2]+0) // +0: -0 is the same place
	return mix(uint64(x)<<32|uint64(y), uint64(z)*0x9e3779b97f4a7c15+0x8ebc6af09c88c6e3)
}
