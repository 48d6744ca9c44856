package workshop

import (
	"math"
	"net/http"
	"strconv"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/sheet/picture"
)

// A picture from above is a square that shows so many mm; abovePx is its side.
const (
	abovePx     = 320
	aboveLeast  = 5.0
	aboveMostMM = 400.0
)

// getAbove pictures one piece from above, its middle in the middle of a square of so
// many mm, so that a page can lay it where it belongs.
func (s *Server) getAbove(w http.ResponseWriter, r *http.Request) error {
	u, err := s.job()
	if err != nil {
		return err
	}
	design, row, _, err := askedPiece(r, u.in)
	if err != nil {
		return err
	}
	mm, err := strconv.ParseFloat(r.URL.Query().Get("mm"), 64)
	if err != nil || !(mm >= aboveLeast && mm <= aboveMostMM) {
		return refusal{http.StatusBadRequest, Mistake{Found: "mm " + printable(r.URL.Query().Get("mm")), Allowed: "5 to 400"}}
	}
	key, err := s.sketcher.PieceKey(u.in, design, row, false)
	if err != nil {
		return err
	}
	if s.unchanged(w, r, key[:32]+strconv.FormatFloat(mm, 'f', 2, 64)) {
		return nil
	}
	h, err := s.sketcher.Piece(r.Context(), u.in, design, row, false)
	if err != nil {
		return err
	}
	if h.Piece == nil {
		return unshaped(h.Findings)
	}
	kind := u.in.Choices.Chocolate[u.in.Choices.Pieces[design].Chocolate].Kind
	half := math.Round(50*mm) / 100
	extent := geom.Rect{Min: geom.Vec{X: -half, Y: -half}, Max: geom.Vec{X: half, Y: half}}
	body := func(int) (picture.Body, error) {
		return picture.Body{Relief: h.Piece.Relief, Outline: h.Piece.Footprint, Kind: kind}, nil
	}
	m, err := picture.Scene(r.Context(), extent, body, []picture.Placed{{}}, picture.Look{SizePx: abovePx, Ground: picture.Clear})
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "image/png")
	return picture.WritePNG(w, m)
}
