package workshop

import (
	"net/http"

	"mouldwright/internal/flow/pour"
)

// WeighedRequest is what was really weighed, cup by cup.
type WeighedRequest struct {
	Cups []WeighedCup `json:"cups"`
}

// WeighedCup is one cup, of the plan or beyond it; a part of 0 is not weighed yet.
type WeighedCup struct {
	Cup    int     `json:"cup" doc:"its number"`
	PartAG float64 `json:"part_a_g"`
	PartBG float64 `json:"part_b_g"`
	Tray   int     `json:"tray,omitempty" doc:"where a cup beyond the plan goes; 0 for those of the plan"`
}

func (s *Server) postWeighed(w http.ResponseWriter, r *http.Request) error {
	var q WeighedRequest
	if err := s.readJSON(w, r, &q); err != nil {
		return err
	}
	_, res, err := s.sketch(r)
	if err != nil {
		return err
	}
	list := make([]pour.Weighed, len(q.Cups))
	for i, c := range q.Cups {
		list[i] = pour.Weighed(c)
	}
	change, err := res.Weigh(list)
	if err != nil {
		return err
	}
	return answer(w, change)
}
