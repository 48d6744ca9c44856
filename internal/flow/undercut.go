package flow

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow/mould"
	"mouldwright/internal/flow/piece"
)

// PlanUndercut is one imported mesh that is hollow underneath. Its top view fills the
// hollow, so that the master has none; the stretch is what the rubber would need, were
// the hollow printed.
// Stretches are shares of length.
type PlanUndercut struct {
	Mesh      string  `json:"mesh" doc:"file"`
	Art       int     `json:"art" doc:"which art of the piece it is, from 1; 0 for the body"`
	DepthMM   float64 `json:"depth_mm" doc:"how far the hollow reaches in under the mesh"`
	HeightMM  float64 `json:"height_mm" doc:"of the hollow at its highest"`
	VolumeMM3 float64 `json:"volume_mm3" doc:"of all hollows of this mesh, filled"`
	XMM       float64 `json:"x_mm" doc:"its innermost place, from the middle of the piece"`
	YMM       float64 `json:"y_mm" doc:"its innermost place"`
	Stretch   float64 `json:"stretch" doc:"of the rubber around it, as a share of length: its depth over half the piece's width (common practice, no source)"`
	Allowed   float64 `json:"stretch_allowed" doc:"lowest elongation at break divided by mould.stretch_safety"`
	LetsGo    bool    `json:"lets_go" doc:"the rubber would let go of it"`
}

func (b *build) planUndercuts(p *piece.Piece) []PlanUndercut {
	out := []PlanUndercut{}
	c := &b.c.Pieces[p.Design]
	box := p.Footprint.Bounds()
	allowed := b.c.Silicone.ElongationPct.Low / 100 / b.c.Mould.Safety
	for _, u := range p.Undercuts {
		file := c.File
		if u.Art >= 0 {
			file = c.Art[u.Art].File
		}
		s := mould.UndercutStretch(u.DepthMM, math.Min(box.W(), box.H())/2)
		out = append(out, PlanUndercut{Mesh: file, Art: u.Art + 1, DepthMM: micron(u.DepthMM), HeightMM: micron(u.HeightMM), VolumeMM3: micron(u.VolumeMM3),
			XMM: micron(u.At.X), YMM: micron(u.At.Y), Stretch: s, Allowed: allowed, LetsGo: s <= allowed})
	}
	return out
}

// undercuts says of each hollow mesh what was filled, and what it would take to keep it.
func (b *build) undercuts(s *shape) (list []finding.Finding) {
	if s.made.row > 0 { // meshes are alike in all rows
		return nil
	}
	for _, u := range s.made.plan.Undercuts {
		key, up := "file", "up"
		if u.Art > 0 {
			key, up = fmt.Sprintf("art[%d].file", u.Art), fmt.Sprintf("art[%d].up", u.Art)
		}
		f := finding.Finding{Severity: finding.Note, Where: fmt.Sprintf("piece[%d].%s", s.made.design+1, key),
			At: finding.Place{Piece: s.piece.Name, XMM: math.Round(u.XMM*100) / 100, YMM: math.Round(u.YMM*100) / 100},
			What: fmt.Sprintf("%s is hollow underneath: %.1f mm³ are filled, up to %.2f mm deep and %.2f mm high. Printed with it, the rubber would be stretched by %.0f %%; allowed are %.0f %% (elongation at break %g %% by rule of thumb mould.stretch_safety, %g: common practice)",
				u.Mesh, u.VolumeMM3, u.DepthMM, u.HeightMM, 100*u.Stretch, 100*u.Allowed, b.c.Silicone.ElongationPct.Low, b.c.Mould.Safety),
			Do: fmt.Sprintf("leave it filled, or choose another direction for up (%s)", up)}
		if !u.LetsGo {
			f.Severity = finding.Care
			f.Do = fmt.Sprintf("leave it filled: the rubber would not let go of it; or choose another direction for up (%s)", up)
		}
		list = append(list, f)
	}
	return list
}
