package record

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"mouldwright/internal/base/unit"
)

// ID is the name of an entry that was written.
func ID(e Entry) string { return e.head().ID }

// Words tells standing entries, a line each, in the order of writing: the day, and what
// happened. Files and heights of revisions, parts, lots and contents stand with what
// they belong to.
func (e *Entries) Words() (out []string) {
	list := e.List()
	slices.SortFunc(list, func(a, b Entry) int { return a.head().Seq - b.head().Seq })
	for _, x := range list {
		at, says := e.word(x)
		if says == "" {
			continue
		}
		if at.IsZero() {
			at = x.head().WrittenAt
		}
		out = append(out, at.Local().Format("2006-01-02 15:04")+"  "+strings.TrimRight(says, " ,"))
	}
	return out
}

func (e *Entries) word(x Entry) (at time.Time, says string) {
	switch x := x.(type) {
	case *Revision:
		says = "revision " + x.Code
		if x.Changes != "" {
			says += ": " + strings.ReplaceAll(x.Changes, "\n", "; ")
		}
		return x.At, says
	case *Print:
		said := map[string][]string{}
		for _, p := range e.lastParts() {
			if p.Print == x.ID {
				said[p.Outcome] = append(said[p.Outcome], strings.TrimRight(p.Name+": "+p.Why, ": "))
			}
		}
		of := "some parts"
		if x.Plate > 0 {
			of = fmt.Sprintf("plate %d", x.Plate)
		}
		says = fmt.Sprintf("print of %s, revision %s", of, x.Code)
		for _, o := range []string{"good", "flawed", "failed"} {
			if len(said[o]) > 0 {
				says += fmt.Sprintf("; %s: %s", o, strings.Join(said[o], ", "))
			}
		}
		return x.At, says
	case *CureTest:
		return at, fmt.Sprintf("cure test, judged %s: %s, %s, coating %s, %s: %s", x.Day, x.Resin, x.Treatment, x.Coating, x.Silicone, x.Outcome)
	case *Pour:
		return x.At, fmt.Sprintf("pour of tray %d with %s %s", x.Tray, x.Silicone, x.Lot)
	case *Weighing:
		return x.At, fmt.Sprintf("weighed %g g of %s", x.MassG, x.What)
	case *Timer:
		return x.At, fmt.Sprintf("timer %s, %g min", x.Name, x.Minutes)
	case *Mould:
		return x.At, "mould " + x.Name
	case *MouldUse:
		name := ""
		for _, m := range e.Moulds {
			if m.ID == x.Mould {
				name = m.Name
			}
		}
		if x.What == "cast" {
			return x.At, fmt.Sprintf("mould %s: filled %d times", name, x.Casts)
		}
		return x.At, fmt.Sprintf("mould %s: %s %s %s", name, x.What, x.Place, x.Note)
	case *Stock:
		return x.At, fmt.Sprintf("came in: %s of %s, lot %s", unit.Amount(x.Amount, x.Unit), x.What, x.Lot)
	case *StockMove:
		for _, s := range e.Stocks {
			if s.ID == x.Stock {
				return x.At, fmt.Sprintf("%s: %+g %s %s", s.What, x.Amount, s.Unit, x.Why)
			}
		}
	case *Batch:
		says = fmt.Sprintf("batch %s: %s of %s", x.Lot, unit.Amount(x.Made, x.Unit), x.What)
		for _, l := range e.BatchLots {
			if l.Batch == x.ID {
				says += ", " + l.What + " " + l.Lot
			}
		}
		return x.At, says
	case *Box:
		says = fmt.Sprintf("box %s for %s", x.Lot, x.Receiver)
		for _, c := range e.Contents {
			if c.Box == x.ID {
				says += ", " + counted(c.Count, c.What)
			}
		}
		return x.At, says
	case *Point:
		return at, "point of the checklist: " + x.Words
	case *PointCost:
		return x.At, fmt.Sprintf("point %s cost a print: %s", x.Words, x.Why)
	case *Release:
		return x.At, fmt.Sprintf("plate %d of %s released for printing", x.Plate, x.Code)
	case *Took:
		of := ""
		if x.Count > 1 {
			of = fmt.Sprintf(", of %d", x.Count)
		}
		return x.At, fmt.Sprintf("%s took %g min%s %s", x.Step, x.Minutes, of, x.Note)
	case *Task:
		if x.ToAt.IsZero() {
			return x.FromAt, x.Name + ": begun"
		}
		return x.ToAt, x.Name + ": done"
	}
	return at, ""
}

// Standings says in a few words how far a record has come; what was struck out is not counted.
func (r *Record) Standings(ctx context.Context) (string, error) {
	var revisions, prints, boxes int
	err := r.db.QueryRowContext(ctx, `WITH struck AS (SELECT entry FROM withdrawal) SELECT (SELECT count(*) FROM revision),
		(SELECT count(*) FROM print WHERE id NOT IN struck), (SELECT count(*) FROM box WHERE id NOT IN struck)`).Scan(&revisions, &prints, &boxes)
	var out []string
	for _, c := range []struct {
		n         int
		one, many string
	}{{revisions, "revision", "revisions"}, {prints, "print", "prints"}, {boxes, "box", "boxes"}} {
		if c.n == 1 {
			out = append(out, "1 "+c.one)
		} else if c.n > 1 {
			out = append(out, fmt.Sprintf("%d %s", c.n, c.many))
		}
	}
	if len(out) == 0 {
		return "begun", r.explain(err)
	}
	return strings.Join(out[:min(len(out), 2)], ", "), r.explain(err)
}
