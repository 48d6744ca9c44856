package workshop

import (
	"errors"
	"net/http"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/build"
	"mouldwright/internal/flow"
)

// CalendarNow is the calendar at this moment.
type CalendarNow struct {
	Version  string            `json:"version" doc:"of the job's text"`
	Now      string            `json:"now" doc:"by the clock on the wall: 2026-12-05T18:30"`
	Today    string            `json:"today" doc:"the day of it"`
	Calendar flow.PlanCalendar `json:"calendar"`
	Findings []finding.Finding `json:"findings" doc:"about the calendar at this moment"`
}

func (s *Server) getCalendar(w http.ResponseWriter, r *http.Request) error {
	u, res, err := s.sketch(r)
	if err != nil {
		return err
	}
	now := build.Present()
	out := CalendarNow{Version: u.version, Now: now.Format("2006-01-02T15:04"), Today: now.Format(time.DateOnly), Findings: []finding.Finding{}}
	var list []finding.Finding
	out.Calendar, list, err = flow.CalendarAt(r.Context(), u.in, res, now)
	var wrong *finding.Error
	if errors.As(err, &wrong) { // the sketch's findings say it too
		list, err = []finding.Finding{{Severity: finding.Stop, Where: wrong.Key, What: wrong.Found, Do: wrong.Do}}, nil
	}
	if err != nil {
		return err
	}
	out.Findings = append(out.Findings, list...)
	return answer(w, out)
}
