package workshop

import (
	"net/http"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/forecast"
)

// ForecastHead is one chocolate as it will come out. Blocks: positions (float32, x y z of
// each vertex) and triangles (uint32), its surface without the steps of the layers;
// heights (uint16 on the grid heights, with the steps); difference (uint16 on the grid
// difference: how far it will lie above the drawn surface, without the steps).
type ForecastHead struct {
	Version    string              `json:"version"`
	Design     int                 `json:"design" doc:"from 1"`
	Row        int                 `json:"row" doc:"row of the name list, from 1; 0 for a piece without names"`
	Name       string              `json:"name" doc:"as the sheets call it"`
	PitchMM    float64             `json:"pitch_mm" doc:"at which it was computed"`
	Forecast   flow.PlanForecast   `json:"forecast" doc:"as the plan has it"`
	Undercuts  []flow.PlanUndercut `json:"undercuts" doc:"of imported meshes"`
	Findings   []Remark            `json:"findings" doc:"of the forecast"`
	LayerMM    float64             `json:"layer_mm" doc:"thickness of a layer"`
	CoatMM     float64             `json:"coat_mm" doc:"thickness of the sealer; 0 without"`
	EyeMM      float64             `json:"visible_step_mm" doc:"width of a terrace that is seen as a step"`
	DraftDeg   float64             `json:"least_draft_deg" doc:"rule for the lean of walls"`
	LowestMM   float64             `json:"lowest_mm" doc:"most that is missing: all but a hundredth of what differs lies above it"`
	HighestMM  float64             `json:"highest_mm" doc:"most that is too much, in the same way"`
	Heights    Grid                `json:"heights"`
	Difference Grid                `json:"difference"`
	Blocks     []Block             `json:"blocks"`
}

// differenceMax bounds the samples of the difference map on its longer side.
const differenceMax = 1000

func (s *Server) getForecast(w http.ResponseWriter, r *http.Request) error {
	u, err := s.job()
	if err != nil {
		return err
	}
	design, row, _, err := askedPiece(r, u.in)
	if err != nil {
		return err
	}
	key, err := s.sketcher.ForecastKey(u.in, design, row)
	if err != nil {
		return err
	}
	if s.unchanged(w, r, key[:32]) {
		return nil
	}
	f, err := s.sketcher.Foresee(r.Context(), u.in, design, row)
	if err != nil {
		return err
	}
	if f.Piece == nil {
		return unshaped(f.Findings)
	}
	s.outlook.keep(key, f.Findings)
	ctx, p, c := r.Context(), f.Piece, &u.in.Choices
	head := &ForecastHead{Version: u.version, Design: design + 1, Row: row + 1, Name: p.Name, PitchMM: p.Relief.PitchMM,
		Forecast: f.Plan.PlanForecast, Undercuts: f.Plan.Undercuts, Findings: []Remark{},
		LayerMM: c.Printer.LayerMM, CoatMM: c.Forecast.CoatMM, EyeMM: c.Forecast.EyeMM, DraftDeg: c.Forecast.DraftDeg}
	for _, g := range f.Findings {
		m := Remark{Finding: g, Stage: "pieces"}
		m.Key, m.Row = keyOfFinding(g.Where)
		head.Findings = append(head.Findings, m)
	}
	var o octets
	relief, err := coarser(ctx, f.Smooth, finePitchMM)
	if err != nil {
		return err
	}
	sheet, err := mesh.SketchEdge(ctx, relief, geom.Simplify(p.Footprint, fineTolMM/4), fineTolMM, 0)
	if err != nil {
		return err
	}
	o.addSheet(sheet)
	longest := float64(max(p.Relief.W, p.Relief.H))
	texture, err := coarser(ctx, f.Stepped, p.Relief.PitchMM*longest/textureMax)
	if err != nil {
		return err
	}
	numbers, grid := levels(texture)
	head.Heights = grid
	o.add("heights", numbers)
	d := forecast.Difference(p.Relief, f.Smooth)
	low, high := forecast.Reach(d)
	head.LowestMM, head.HighestMM = low/1000, high/1000
	d.Map(func(um float32) float32 { return um / 1000 })
	if d, err = coarser(ctx, d, p.Relief.PitchMM*longest/differenceMax); err != nil {
		return err
	}
	numbers, head.Difference = signedLevels(d)
	o.add("difference", numbers)
	w.Header().Set("Content-Type", "application/octet-stream")
	return o.write(w, func(b []Block) any { head.Blocks = b; return head })
}

// signedLevels turns differences into numbers of 16 bits.
func signedLevels(f *field.Field) ([]uint16, Grid) {
	low, high := float32(0), float32(1e-6)
	for _, z := range f.Z {
		low, high = min(low, z), max(high, z)
	}
	g := Grid{W: f.W, H: f.H, PitchMM: f.PitchMM, X0MM: f.X0, Y0MM: f.Y0, LowMM: float64(low), StepMM: float64(high-low) / 65535}
	out := make([]uint16, len(f.Z))
	scale := 65535 / (high - low)
	for i, z := range f.Z {
		out[i] = uint16((z-low)*scale + 0.5)
	}
	return out, g
}
