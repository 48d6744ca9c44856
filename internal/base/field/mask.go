package field

// Mask is a binary image on a grid, row-major.
type Mask struct {
	Grid
	On []bool
}

// NewMask makes a mask with nothing on.
func NewMask(g Grid) *Mask { return &Mask{Grid: g, On: make([]bool, g.W*g.H)} }

// Row is row j as a slice that shares the mask's memory.
func (m *Mask) Row(j int) []bool { return m.On[j*m.W : (j+1)*m.W : (j+1)*m.W] }

// Above is on where the field is greater than t.
func (f *Field) Above(t float32) *Mask {
	m := NewMask(f.Grid)
	f.rows(func(j0, j1 int) {
		on := m.On[j0*f.W : j1*f.W]
		for i, v := range f.Z[j0*f.W : j1*f.W] {
			on[i] = v > t
		}
	})
	return m
}

// Not turns the mask over, in place, and returns it.
func (m *Mask) Not() *Mask {
	for i, v := range m.On {
		m.On[i] = !v
	}
	return m
}
