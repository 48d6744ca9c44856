package mesh

import (
	"math"
	"math/bits"
)

// Welder numbers places in space, in order of first appearance: equal coordinates get one
// number. An open-addressing table of at most half its slots, grown as needed.
type Welder struct {
	V     [][3]float32 // the places in mm, by their numbers
	slots []uint32     // 1 + number, 0 when free; the length is a power of two
}

// NewWelder sets room aside for so many places.
func NewWelder(expect int) *Welder {
	return &Welder{slots: make([]uint32, 1<<bits.Len(uint(max(8, 2*expect)))), V: make([][3]float32, 0, expect)}
}

// Number is the number of a place, a new one for a new place.
func (w *Welder) Number(p [3]float32) uint32 {
	p[0] += 0 // -0 becomes +0: the same place
	p[1] += 0
	p[2] += 0
	mask := uint64(len(w.slots) - 1)
	s := placeHash(p) & mask
	for ; w.slots[s] != 0; s = (s + 1) & mask {
		if n := w.slots[s] - 1; w.V[n] == p {
			return n
		}
	}
	w.V = append(w.V, p)
	w.slots[s] = uint32(len(w.V))
	if 2*len(w.V) > len(w.slots) {
		w.grow()
	}
	return uint32(len(w.V) - 1)
}

func (w *Welder) grow() {
	w.slots = make([]uint32, 2*len(w.slots))
	mask := uint64(len(w.slots) - 1)
	for i, p := range w.V {
		s := placeHash(p) & mask
		for w.slots[s] != 0 {
			s = (s + 1) & mask
		}
		w.slots[s] = uint32(i + 1)
	}
}

// placeHash mixes the bits of a place (multiply and fold, as in wyhash).
func placeHash(p [3]float32) uint64 {
	a := uint64(math.Float32bits(p[0]))<<32 | uint64(math.Float32bits(p[1]))
	hi, lo := bits.Mul64(a^0x9e3779b97f4a7c15, 0xa0761d6478bd642f)
	hi, lo = bits.Mul64(hi^lo^uint64(math.Float32bits(p[2])), 0xe7037ed1a0b428db)
	return hi ^ lo
}

// FromTriangles welds loose triangles, three corners each, into a mesh: corners with
// exactly equal coordinates become one vertex, in order of appearance. Nothing is
// judged; see Check.
func FromTriangles(soup [][3][3]float32) *Mesh {
	w := NewWelder(len(soup)/2 + 3)
	m := &Mesh{T: make([][3]uint32, len(soup))}
	for k, t := range soup {
		m.T[k] = [3]uint32{w.Number(t[0]), w.Number(t[1]), w.Number(t[2])}
	}
	m.V = w.V
	return m
}
