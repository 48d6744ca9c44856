package sheet

import (
	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// Section is a piece cut along its width through the middle: heights over the back
// at equal steps. Where Room is above zero the shell is hollow: the cap takes it up
// to CapMM, the filling the rest.
// Heights are mm above the back.
type Section struct {
	X0MM, StepMM float64
	Outer        []float64
	Room         []float64 // nil for a solid piece
	CapMM        float64
}

// sectionMM is the step of a section.
const sectionMM = 0.06

// cut takes the section through the origin.
func cut(f, room *field.Field, capMM float64) Section {
	b := f.Bounds()
	n := int(b.W()/sectionMM) + 1
	s := Section{X0MM: b.Min.X, StepMM: sectionMM, Outer: make([]float64, n), CapMM: capMM}
	if room != nil {
		s.Room = make([]float64, n)
	}
	for i := range n {
		x := b.Min.X + float64(i)*sectionMM
		s.Outer[i] = along(f, x)
		if room != nil {
			s.Room[i] = max(0, along(room, x))
		}
	}
	return s
}

// along is the field at (x, 0), linear between samples, 0 outside.
func along(f *field.Field, x float64) float64 {
	u, v := (x-f.X0)/f.PitchMM, -f.Y0/f.PitchMM
	if !(u >= 0 && v >= 0) || u >= float64(f.W-1) || v >= float64(f.H-1) {
		return 0
	}
	i, j := int(u), int(v)
	a, b := u-float64(i), v-float64(j)
	low := float64(f.At(i, j))*(1-a) + float64(f.At(i+1, j))*a
	high := float64(f.At(i, j+1))*(1-a) + float64(f.At(i+1, j+1))*a
	return low*(1-b) + high*b
}

// stretch is where a predicate holds: samples from to to-1.
type stretch struct{ from, to int }

func stretches(n int, holds func(int) bool) (out []stretch) {
	for i := 0; i < n; i++ {
		if !holds(i) {
			continue
		}
		j := i
		for j < n && holds(j) {
			j++
		}
		if j-i > 1 {
			out = append(out, stretch{i, j})
		}
		i = j
	}
	return out
}

// between is the region between two heights over each stretch.
func (s Section) between(where []stretch, low, high func(int) float64) geom.Outline {
	var o geom.Outline
	for _, w := range where {
		var r geom.Ring
		for i := w.from; i < w.to; i++ {
			r = append(r, geom.Vec{X: s.X0MM + float64(i)*s.StepMM, Y: low(i)})
		}
		for i := w.to - 1; i >= w.from; i-- {
			r = append(r, geom.Vec{X: s.X0MM + float64(i)*s.StepMM, Y: high(i)})
		}
		o = append(o, tidy(r))
	}
	return o
}

// tidy leaves out points on a straight line between their neighbours, to a
// hundredth of a millimetre.
func tidy(r geom.Ring) geom.Ring {
	var out geom.Ring
	for i, p := range r {
		if i > 0 && i < len(r)-1 && len(out) > 0 {
			a, b := out[len(out)-1], r[i+1]
			ab := b.Sub(a)
			if l := ab.Len(); l > 0 && l < 4 {
				if d := ab.Cross(p.Sub(a)) / l; d < 0.01 && d > -0.01 {
					continue
				}
			}
		}
		out = append(out, p)
	}
	return out
}

// Shell, Filling and Cap are the regions of the cut, x along it, y up from the back.
func (s Section) Shell() geom.Outline {
	solid := stretches(len(s.Outer), func(i int) bool { return s.Outer[i] > 0.02 })
	o := s.between(solid, func(int) float64 { return 0 }, func(i int) float64 { return s.Outer[i] })
	for _, r := range s.between(s.hollow(), func(int) float64 { return 0 }, func(i int) float64 { return s.Room[i] }) {
		for i, j := 0, len(r)-1; i < j; i, j = i+1, j-1 {
			r[i], r[j] = r[j], r[i]
		}
		o = append(o, r)
	}
	return o
}

// Filling is the section of the filling; nil for a solid piece.
func (s Section) Filling() geom.Outline {
	if s.Room == nil {
		return nil
	}
	where := stretches(len(s.Room), func(i int) bool { return s.Room[i] > s.CapMM+0.02 })
	return s.between(where, func(int) float64 { return s.CapMM }, func(i int) float64 { return s.Room[i] })
}

// Cap is the section of the cap, from the back up.
func (s Section) Cap() geom.Outline {
	return s.between(s.hollow(), func(int) float64 { return 0 }, func(i int) float64 { return min(s.Room[i], s.CapMM) })
}

func (s Section) hollow() []stretch {
	if s.Room == nil {
		return nil
	}
	return stretches(len(s.Room), func(i int) bool { return s.Room[i] > 0.02 })
}
