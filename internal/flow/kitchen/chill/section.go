package chill

import "math"

// Matter is what a cube holds most of.
type Matter int

// What a cube can hold.
const (
	Air Matter = iota
	Rubber
	ShellChocolate
	CapChocolate
	Filling
)

// Section is the vertical cut through the mould at the place that sets last, at the
// moment when it is set. Cube (i, k) is TempC[k*W+i]; i runs along x from X0MM in steps
// of CellMM, k upwards from the back.
type Section struct {
	W, H   int
	CellMM float64
	X0MM   float64 // middle of the first cube
	YMM    float64 // of the cut
	AirC   float64
	TempC  []float32 // of the air where there is no matter
	SetMin []float32 // when the chocolate in the cube was set; below 0: none, or not yet
	Matter []Matter
}

// section cuts through the last place of a run, or through the middle when it never set.
func (m *mould) section(r *Course) *Section {
	w, h := m.nx-2, m.nz-2
	j := (m.ny - 2) / 2
	if r.Done {
		j = min(max(int(math.Round((r.LastMM[1]-m.y0)/m.cellMM)), 0), m.ny-3)
	}
	s := &Section{W: w, H: h, CellMM: m.cellMM, X0MM: m.x0, YMM: m.y0 + float64(j)*m.cellMM, AirC: m.airC,
		TempC: make([]float32, w*h), SetMin: make([]float32, w*h), Matter: make([]Matter, w*h)}
	for k := range h {
		for i := range w {
			p := m.at(i, j, k)
			n := k*w + i
			s.TempC[n], s.SetMin[n] = float32(m.airC), -1
			if m.parts[p].all() > 0 {
				s.TempC[n] += m.u[p]
			}
			s.Matter[n] = m.parts[p].most()
		}
	}
	for n, p := range m.cells {
		i, row, k := int(p)%m.nx-1, int(p)/m.nx%m.ny-1, int(p)/(m.nx*m.ny)-1
		if row == j && m.counts[n] {
			s.SetMin[k*w+i] = r.Map.Min[n]
		}
	}
	return s
}

// most is the matter of which a cube holds most.
func (p parts) most() Matter {
	best, share := Air, 1-p.all()
	for n, v := range [...]float32{p.rubber, p.shell, p.cap, p.filling} {
		if v > share {
			best, share = Rubber+Matter(n), v
		}
	}
	return best
}
