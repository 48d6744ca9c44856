package workshop

import (
	"context"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"mouldwright/internal/base/format/threemf"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/master"
	"mouldwright/internal/flow/plate"
)

// again nests some parts of the current build anew.
func (s *Server) again(r *http.Request) (usable, *flow.Plan, *flow.Again, []master.Part, error) {
	u, plan, err := s.current()
	if err != nil {
		return u, nil, nil, nil, err
	}
	var only []int
	for _, text := range strings.Split(r.PathValue("parts"), ",") {
		n, err := strconv.Atoi(strings.TrimSpace(text))
		if err != nil || len(only) >= plate.MaxCopies {
			return u, nil, nil, nil, refusal{http.StatusBadRequest, Mistake{Found: "parts " + printable(r.PathValue("parts")), Allowed: "numbers such as 3,7"}}
		}
		only = append(only, n)
	}
	res, err := s.live.want(u.in, u.digest).wait(r.Context())
	if err != nil {
		return u, nil, nil, nil, err
	}
	if res.Master == nil {
		return u, nil, nil, nil, refusal{http.StatusNotFound, Mistake{Found: "no parts", Do: "mend the findings first"}}
	}
	a, err := flow.PlanAgain(r.Context(), &u.in.Choices, res.Master.Parts, only)
	if err != nil {
		return u, nil, nil, nil, asRefusals(err)
	}
	return u, plan, a, res.Master.Parts, nil
}

// current is the job with the plan of its build, which must be of the job as it is.
func (s *Server) current() (usable, *flow.Plan, error) {
	u, err := s.job()
	if err != nil {
		return u, nil, err
	}
	plan, err := s.plans.read(u.desk)
	if err != nil || plan.Digest != u.digest {
		return u, nil, refusal{http.StatusNotFound, Mistake{Found: "the plates of this job are not built yet", Do: "build first"}}
	}
	return u, plan, nil
}

func (s *Server) getAgain(w http.ResponseWriter, r *http.Request) error {
	_, _, a, _, err := s.again(r)
	if err != nil {
		return err
	}
	return answer(w, Again{Plates: a.Plates})
}

func (s *Server) getAgainPlate(w http.ResponseWriter, r *http.Request) error {
	u, plan, a, parts, err := s.again(r)
	if err != nil {
		return err
	}
	k, err := strconv.Atoi(strings.TrimSuffix(r.PathValue("file"), ".3mf"))
	if err != nil || k < 1 || k > len(a.Plates) {
		return refusal{http.StatusNotFound, Mistake{Found: "no such plate", Allowed: fmt.Sprintf("1 to %d", len(a.Plates))}}
	}
	files := map[string]*threemf.Model{}
	m, err := a.Model(parts, plan, k-1, func(file string) (*threemf.Model, error) {
		if m := files[file]; m != nil {
			return m, nil
		}
		m, err := readPlate(u, file)
		files[file] = m
		return m, err
	})
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "model/3mf")
	return threemf.Write(r.Context(), w, m)
}

// getLayers streams all layers of a built plate; no more than one image is in memory.
func (s *Server) getLayers(w http.ResponseWriter, r *http.Request) error {
	u, plan, err := s.current()
	if err != nil {
		return err
	}
	n, err := strconv.Atoi(r.PathValue("plate"))
	if err != nil || n < 1 || n > len(plan.Plates) {
		return refusal{http.StatusNotFound, Mistake{Found: "no such plate", Allowed: fmt.Sprintf("1 to %d", len(plan.Plates))}}
	}
	st, err := s.stackOf(r.Context(), u, plan, n)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/zip")
	return plate.WriteArchive(r.Context(), w, st, plan.Revision, fmt.Sprintf("plate %d", n), u.in.Choices.Resin)
}

func (s *Server) stackOf(ctx context.Context, u usable, plan *flow.Plan, n int) (*plate.Stack, error) {
	return s.stacks.get(ctx, u, plan.Plates[n-1].File, plan.Plates[n-1].SHA256)
}
