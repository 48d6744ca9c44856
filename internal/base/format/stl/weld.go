package stl

import (
	"math"
	"math/bits"
)

// welder numbers places: the same place gets the same number, in order of first
// appearance. An open-addressing table of at most half its slots, grown as needed.
type welder struct {
	v     [][3]float32
	slots []uint32 // number + 1, 0 is empty
}

func newWelder(expect int) *welder {
	size := 1 << bits.Len(uint(max(8, 2*expect)))
	return &welder{v: make([][3]float32, 0, expect), slots: make([]uint32, size)}
}

func (w *welder) id(p [3]float32) uint32 {
	p[0] += 0 // -0 becomes +0: the same place
	p[1] += 0
	p[2] += 0
	mask := uint64(len(w.slots) - 1)
	s := placeHash(p) & mask
	for ; w.slots[s] != 0; s = (s + 1) & mask {
		if id := w.slots[s] - 1; w.v[id] == p {
			return id
		}
	}
	w.v = append(w.v, p)
	w.slots[s] = uint32(len(w.v))
	if 2*len(w.v) > len(w.slots) {
		w.grow()
	}
	return uint32(len(w.v) - 1)
}

func (w *welder) grow() {
	w.slots = make([]uint32, 2*len(w.slots))
	mask := uint64(len(w.slots) - 1)
	for i, p := range w.v {
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
