package sheet

import "mouldwright/internal/base/field"

// trayRow is an item's surface, to be cut anywhere.
type trayRow struct{ f *field.Field }

// at is the height at a place of the item, 0 outside it.
func (r *trayRow) at(x, y float64) float64 {
	i, j := int((x-r.f.X0)/r.f.PitchMM+0.5), int((y-r.f.Y0)/r.f.PitchMM+0.5)
	if x < r.f.X0 || y < r.f.Y0 || i >= r.f.W || j >= r.f.H {
		return 0
	}
	return float64(r.f.At(i, j))
}
