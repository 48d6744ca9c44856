package workshop

import (
	"errors"
	"fmt"
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

// calendarWords says where the calendar stands, on the line of stages.
func calendarWords(c *flow.PlanCalendar) string {
	t, err := time.Parse("2006-01-02T15:04", c.StartBy)
	switch {
	case err != nil:
		return ""
	case c.LateH > 0:
		return "too late"
	case c.FromNow:
		done := 0
		for _, t := range c.Tasks {
			if t.State == "done" {
				done++
			}
		}
		return fmt.Sprintf("%d of %d done", done, len(c.Tasks))
	}
	return "start by " + t.Format("2 Jan")
}

// shoppingWords says how much there is to buy.
func shoppingWords(p *flow.PlanShopping) string {
	n := 0
	for _, l := range p.Lines {
		if l.Buy > 0 {
			n++
		}
	}
	return counted(n, "thing") + " to buy"
}
