package chill

import "mouldwright/internal/base/field"

// Map says when each cube of the chocolate was set.
type Map struct {
	CellMM float64
	Min    []float32 // minutes, in the order of the lattice; below 0: not (yet) set
	cells  []int32
	m      *mould
}

func (m *mould) newMap() *Map {
	d := &Map{CellMM: m.cellMM, Min: make([]float32, len(m.cells)), cells: m.cells, m: m}
	for n := range d.Min {
		d.Min[n] = -1
	}
	return d
}

// last is the chocolate cube that was last to set: the first of them, of several; -1 when none counts.
func (d *Map) last() int {
	last := -1
	for n, min := range d.Min {
		if d.m.counts[n] && (last < 0 || min > d.Min[last]) {
			last = n
		}
	}
	return last
}

func (d *Map) at(n int) float64 { return float64(d.Min[n]) }

// Section is the time to set, in minutes, in the vertical plane nearest to y: x runs
// along rows, the height above the back upwards. -1 where there is no chocolate.
func (d *Map) Section(yMM float64) *field.Field {
	m := d.m
	f := field.New(field.Grid{W: m.nx - 2, H: m.nz - 2, PitchMM: d.CellMM, X0: m.x0, Y0: d.CellMM / 2})
	f.Fill(-1)
	want := min(max(int((yMM-m.y0)/d.CellMM+0.5), 0), m.ny-3)
	for n, p := range d.cells {
		i, j, k := int(p)%m.nx-1, int(p)/m.nx%m.ny-1, int(p)/(m.nx*m.ny)-1
		if j == want && m.counts[n] {
			f.Row(k)[i] = d.Min[n]
		}
	}
	return f
}
