package workshop

import (
	"context"
	"math"
	"net/http"
	"strconv"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
	"mouldwright/internal/flow"
)

// How finely a piece is shown.
const (
	coarseTolMM = 0.04 // of its mesh; light comes from the heights
	fineTolMM   = 0.015
	finePitchMM = 0.05 // of the relief that the fine mesh is made from
	textureMax  = 1500 // samples of the heights on the longer side
)

func (s *Server) getPiece(w http.ResponseWriter, r *http.Request) error {
	u, err := s.job()
	if err != nil {
		return err
	}
	design, row, fine, err := askedPiece(r, u.in)
	if err != nil {
		return err
	}
	key, err := s.sketcher.PieceKey(u.in, design, row, fine)
	if err != nil {
		return err
	}
	if s.unchanged(w, r, key[:32]) {
		return nil
	}
	h, err := s.sketcher.Piece(r.Context(), u.in, design, row, fine)
	if err != nil {
		return err
	}
	if h.Piece == nil {
		return unshaped(h.Findings)
	}
	o, head, err := pieceOctets(r.Context(), u.in, h, fine)
	if err != nil {
		return err
	}
	head.Version, head.Design, head.Row = u.version, design+1, row+1
	w.Header().Set("Content-Type", "application/octet-stream")
	return o.write(w, func(b []Block) any { head.Blocks = b; return head })
}

// askedPiece reads what a request asks for: design and row from 0, row -1 for a piece
// without names.
func askedPiece(r *http.Request, in *flow.Input) (design, row int, fine bool, err error) {
	pieces := in.Choices.Pieces
	n, err := strconv.Atoi(r.PathValue("design"))
	if err != nil || n < 1 || n > len(pieces) {
		return 0, 0, false, refusal{http.StatusNotFound, Mistake{Found: "no design " + printable(r.PathValue("design")), Allowed: "1 to " + strconv.Itoa(len(pieces))}}
	}
	design, row = n-1, -1
	if pieces[design].Names {
		k := 1
		if q := r.URL.Query().Get("row"); q != "" {
			k, err = strconv.Atoi(q)
		}
		if err != nil || k < 1 || k > len(in.Rows) {
			return 0, 0, false, refusal{http.StatusNotFound, Mistake{Found: "no such row of the name list", Allowed: "1 to " + strconv.Itoa(len(in.Rows))}}
		}
		row = k - 1
	}
	switch d := r.URL.Query().Get("detail"); d {
	case "", "coarse":
	case "fine":
		fine = true
	default:
		return 0, 0, false, refusal{http.StatusBadRequest, Mistake{Found: "detail " + printable(d), Allowed: "coarse or fine"}}
	}
	return design, row, fine, nil
}

// unshaped refuses a piece that a finding stops.
func unshaped(list []finding.Finding) error {
	var out refusals
	for _, f := range list {
		if f.Severity == finding.Stop {
			out = append(out, Mistake{Key: f.Where, Found: f.What, Do: f.Do})
		}
	}
	return out
}

// pieceOctets packs a piece for the page.
func pieceOctets(ctx context.Context, in *flow.Input, h *flow.Hollow, fine bool) (*octets, *PieceHead, error) {
	p, c := h.Piece, in.Choices.Pieces[h.Piece.Design]
	chocolate := in.Choices.Chocolate[c.Chocolate]
	head := &PieceHead{
		Name: p.Name, Detail: "coarse", PitchMM: p.Relief.PitchMM, Numbers: h.Plan, BodyMM: p.BodyMM, Scale: p.Scale, Kind: chocolate.Kind,
		ShellG:   chocolate.DensityGML.Scale(h.Cavity.ShellMM3 / 1000),
		FillingG: in.Choices.Filling[c.Filling].DensityGML.Scale(h.Cavity.FillingMM3 / 1000),
		CapG:     chocolate.DensityGML.Scale(h.Cavity.CapMM3 / 1000),
		Findings: append([]finding.Finding{}, h.Findings...),
	}
	tol, relief, texture := coarseTolMM, p.Relief, p.Relief
	if fine {
		head.Detail, tol = "fine", fineTolMM
		var err error
		if relief, err = coarser(ctx, p.Relief, finePitchMM); err != nil {
			return nil, nil, err
		}
		longest := float64(max(p.Relief.W, p.Relief.H))
		if texture, err = coarser(ctx, p.Relief, p.Relief.PitchMM*longest/textureMax); err != nil {
			return nil, nil, err
		}
	}
	sheet, err := mesh.SketchEdge(ctx, relief, geom.Simplify(p.Footprint, tol/4), tol, 0)
	if err != nil {
		return nil, nil, err
	}
	var o octets
	o.addSheet(sheet)
	numbers, grid := levels(texture)
	head.Heights = grid
	o.add("heights", numbers)
	if f := h.Cavity.Filling; f != nil {
		numbers, grid := levels(f)
		head.Filling, head.ShellMM, head.CapMM = &grid, in.Choices.Shell.ShellMM, in.Choices.Shell.CapMM
		o.add("filling", numbers)
	}
	var points []float32
	head.Rings = []int{}
	for _, ring := range p.Footprint {
		head.Rings = append(head.Rings, len(ring))
		for _, v := range ring {
			points = append(points, float32(v.X), float32(v.Y))
		}
	}
	o.add("rings", points)
	return &o, head, nil
}

// coarser samples a field at a larger pitch; a field that is that coarse stays.
func coarser(ctx context.Context, f *field.Field, pitchMM float64) (*field.Field, error) {
	if pitchMM <= f.PitchMM {
		return f, nil
	}
	g := field.Grid{PitchMM: pitchMM, X0: f.X0, Y0: f.Y0}
	g.W = int(math.Ceil(float64(f.W-1)*f.PitchMM/pitchMM)) + 1
	g.H = int(math.Ceil(float64(f.H-1)*f.PitchMM/pitchMM)) + 1
	return field.Resample(ctx, f, g)
}

func (o *octets) addSheet(s *mesh.Sheet) {
	positions := make([]float32, 0, 3*len(s.V))
	for _, v := range s.V {
		positions = append(positions, v[:]...)
	}
	triangles := make([]uint32, 0, 3*len(s.T))
	for _, t := range s.T {
		triangles = append(triangles, t[:]...)
	}
	o.add("positions", positions)
	o.add("triangles", triangles)
}
