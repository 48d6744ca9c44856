package mesh

import (
	"math"
)

// welder numbers places in space: equal coordinates get one number.
type welder struct {
	v     [][3]float32
	slots []uint32 // 1 + number, 0 when free; the length is a power of two
}

func newWelder(expect int) *welder {
	n := 1024
	for n < 2*expect {
		n *= 2
	}
	return &welder{slots: make([]uint32, n), v: make([][3]float32, 0, expect)}
}

func (w *welder) number(v [3]float32) uint32 {
	for i := range v {
		v[i] += 0 // minus zero is zero
	}
	for i := w.hash(v); ; i = (i + 1) & uint64(len(w.slots)-1) {
		s := w.slots[i]
		if s == 0 {
			w.v = append(w.v, v)
			w.slots[i] = uint32(len(w.v))
			if 2*len(w.v) > len(w.slots) {
				w.grow()
			}
			return uint32(len(w.v) - 1)
		}
		if w.v[s-1] == v {
			return s - 1
		}
	}
}

func (w *welder) hash(v [3]float32) uint64 {
	h := uint64(math.Float32bits(v[0])) * 0x9e3779b97f4a7c15
	h = (h ^ h>>29 ^ uint64(math.Float32bits(v[1]))) * 0xbf58476d1ce4e5b9
	h = (h ^ h>>32 ^ uint64(math.Float32bits(v[2]))) * 0x94d049bb133111eb
	return (h ^ h>>31) & uint64(len(w.slots)-1)
}

func (w *welder) grow() {
	w.slots = make([]uint32, 2*len(w.slots))
	for n, v := range w.v {
		i := w.hash(v)
		for w.slots[i] != 0 {
			i = (i + 1) & uint64(len(w.slots)-1)
		}
		w.slots[i] = uint32(n + 1)
	}
}

// FromTriangles welds loose triangles, three corners each, into a mesh: corners with
// exactly equal coordinates become one vertex, in order of appearance. Nothing is
// judged; see Check.
func FromTriangles(soup [][3][3]float32) *Mesh {
	w := newWelder(len(soup)/2 + 3)
	m := &Mesh{T: make([][3]uint32, len(soup))}
	for k, t := range soup {
		m.T[k] = [3]uint32{w.number(t[0]), w.number(t[1]), w.number(t[2])}
	}
	m.V = w.v
	return m
}
