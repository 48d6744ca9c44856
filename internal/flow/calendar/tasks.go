package calendar

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/calendar/network"
)

// Work is what the stages before say about times.
type Work struct {
	Needed     unit.Date
	Boxes      int
	Plates     []Plate
	Trays      []Tray
	Released   bool // the cure test is done and came out clean
	PadsMin    unit.Range
	PadsLookH  unit.Range
	Coated     bool
	Vacuum     bool
	StageMin   []float64  // at work on each stage of the pour, from the first cup to the last one's end
	FirmH      unit.Range // from a stage to the next
	BondUntilH float64    // so long the next stage bonds
	DemouldH   unit.Range
	PostCureH  float64
	Copies     int // moulds of each tray
	Fillings   []Filling
	EveningMin float64 // at work in the kitchen, tempering apart
	Rounds     int
}

// Plate is one print.
type Plate struct {
	PrintMin unit.Range
	Trays    []int // tray numbers of the parts on it
}

// Tray is one master.
type Tray struct {
	Number, Parts int
}

// Filling is one filling and how long it keeps.
type Filling struct {
	Name     string
	KeepDays *unit.Range // nil: not known
}

// The things that tasks share.
const (
	printer = iota
	chamber
	bench
	oven
	shelf
)

// Resources are what tasks occupy, by the words of the plan.
var Resources = []string{"printer", "vacuum chamber", "bench", "oven", "fridge shelf"}

// job is a task before it is scheduled.
type job struct {
	name    string
	hands   unit.Range // min
	alone   unit.Range // min
	present bool
	after   []string
	lagMin  map[string]int // of some of after
	uses    []network.Use
	margin  bool    // only if something fails
	of      string  // what it would repeat
	keeps   float64 // days at the least, of a filling; 0: not known
	kitchen bool
	why     string
}

// list is the tasks as they are made.
type list struct {
	jobs []job
	at   map[string]int
	cut  map[string][2]string // names of the first and the last part of what was divided
	c    Choices
	most int // minutes at a stretch
	more int // sessions in the kitchen beyond the fewest
}

func (l *list) add(j job) string {
	l.at[j.name] = len(l.jobs)
	l.jobs = append(l.jobs, j)
	return j.name
}

// divided adds a job of hands alone in as many equal parts as stretches need, one after
// the other, and gives the names that a follower waits for.
func (l *list) divided(j job) string {
	parts := 1
	if l.most > 0 {
		parts = max(1, int(math.Ceil(j.hands.Likely/float64(l.most)-1e-9)))
	}
	if parts == 1 {
		return l.add(j)
	}
	name, last := j.name, ""
	for k := range parts {
		part := j
		part.name = fmt.Sprintf("%s, part %d of %d", name, k+1, parts)
		part.hands = j.hands.Scale(1 / float64(parts))
		if last != "" {
			part.after = []string{last}
		}
		last = l.add(part)
		if k == 0 {
			l.cut[name] = [2]string{last, last}
		}
	}
	l.cut[name] = [2]string{l.cut[name][0], last}
	return last
}

// called finds a task by the name that the person knows: what was divided is waited for
// until its last part, and put off before its first.
func (l *list) called(name string, after bool) (at int, ok bool) {
	if parts, cut := l.cut[name]; cut {
		if name = parts[0]; after {
			name = parts[1]
		}
	}
	at, ok = l.at[name]
	return at, ok
}

func use(r int) []network.Use { return []network.Use{{Resource: r, Units: 1}} }

// Tasks of the work that others may name.
const (
	orderName = "order what is missing"
	judgeName = "judge the test pads"
	ovenName  = "post-cure the moulds"
	boxName   = "fill the boxes"
	restName  = "let the pieces rest"
)

// tasks are everything there is to do, in the order of the work.
func tasks(w Work, c Choices, most, more int) (*list, error) {
	l := &list{at: map[string]int{}, cut: map[string][2]string{}, c: c, most: most, more: more}
	ordered := []string{}
	if c.DeliveryDays.High > 0 {
		ordered = []string{l.add(job{name: orderName, hands: unit.Between(15, 30, 60), alone: c.DeliveryDays.Scale(dayMin), why: "delivery"})}
	}
	var pourAfter []string
	if len(w.StageMin) > 0 && !w.Released {
		p := l.add(job{name: "print the test pads", hands: c.SetUpMin, alone: w.PadsMin, after: ordered, uses: use(printer)})
		p = l.add(job{name: "wash and cure the test pads", hands: c.WashMin, alone: c.LampMin, after: []string{p}})
		p = l.add(job{name: "put rubber on the test pads", hands: unit.Between(15, 20, 30), alone: w.PadsLookH.Scale(60), after: []string{p}})
		p = l.add(job{name: judgeName, hands: unit.Between(5, 10, 15), after: []string{p}})
		if l.c.FailTests > 0 {
			p = l.add(job{name: "test again, if a pad is not clean", hands: l.c.WashMin, alone: l.c.LampMin.Plus(w.PadsLookH.Scale(60)).Scale(float64(l.c.FailTests)), after: []string{p}, margin: true, of: "test"})
		}
		pourAfter = append(pourAfter, p)
	}
	printed := l.prints(w, ordered)
	for _, t := range w.Trays {
		after := printed[t.Number]
		a := l.divided(job{name: fmt.Sprintf("assemble tray %d", t.Number), hands: c.PartMin.Scale(float64(t.Parts)), after: after, uses: use(bench)})
		if w.Coated {
			a = l.add(job{name: fmt.Sprintf("coat tray %d", t.Number), hands: c.CoatMin, alone: c.CoatDryH.Scale(60), after: []string{a}, uses: use(bench)})
		}
		pourAfter = append(pourAfter, a)
	}
	demoulded, moulds := l.pours(w, pourAfter)
	l.kitchen(w, demoulded, moulds)
	return l, l.own()
}

// prints adds every plate, and gives what the assembly of each tray waits for.
func (l *list) prints(w Work, ordered []string) map[int][]string {
	out := map[int][]string{}
	var all []string
	longest, at := unit.Range{}, 0
	for i, p := range w.Plates {
		name := l.add(job{name: fmt.Sprintf("print plate %d", i+1), hands: l.c.SetUpMin, alone: p.PrintMin, after: ordered, uses: use(printer)})
		name = l.add(job{name: fmt.Sprintf("wash and cure plate %d", i+1), hands: l.c.WashMin, alone: l.c.LampMin, after: []string{name}})
		all = append(all, name)
		for _, t := range p.Trays {
			out[t] = append(out[t], name)
		}
		if p.PrintMin.High > longest.High {
			longest, at = p.PrintMin, i+1
		}
	}
	if len(all) == 0 {
		return out
	}
	for k := range l.c.FailPrints {
		of := ""
		if l.c.FailPrints > 1 {
			of = fmt.Sprintf(" (%d)", k+1)
		}
		again := l.add(job{name: "print again, if one fails" + of, hands: l.c.SetUpMin, alone: longest, after: all, uses: use(printer), margin: true, of: "print", why: fmt.Sprintf("as long as plate %d", at)})
		again = l.add(job{name: "wash and cure that print" + of, hands: l.c.WashMin, alone: l.c.LampMin, after: []string{again}, margin: true, of: "print"})
		all = []string{again}
		for t := range out {
			out[t] = append(out[t], again)
		}
	}
	return out
}

// pours adds the pours and what the moulds go through, and gives what fillings wait for,
// since none is made before the moulds have come out well, and what the kitchen does.
func (l *list) pours(w Work, after []string) (demoulded, moulds []string) {
	if len(w.StageMin) == 0 {
		return after, after
	}
	n := float64(len(w.Trays))
	uses := []network.Use{{Resource: bench, Units: 1}}
	if w.Vacuum {
		uses = append(uses, network.Use{Resource: chamber, Units: 1, Part: network.InHead})
	}
	longest := 0.0
	for copy := range max(1, w.Copies) {
		mould := ""
		if w.Copies > 1 {
			mould = fmt.Sprintf(", mould %d", copy+1)
		}
		for s, min := range w.StageMin {
			name := "pour the rubber" + mould
			if len(w.StageMin) > 1 {
				name = fmt.Sprintf("pour the rubber, stage %d of %d%s", s+1, len(w.StageMin), mould)
			}
			j := job{name: name, hands: l.c.BenchMin.Map(func(v float64) float64 { return v + min }), after: after, uses: uses}
			if s+1 < len(w.StageMin) {
				j.alone = w.FirmH.Scale(60)
			} else {
				j.alone = w.DemouldH.Scale(60)
			}
			longest = math.Max(longest, min)
			after = []string{l.add(j)}
		}
		after = []string{l.divided(job{name: "demould and trim" + mould, hands: l.c.DemouldMin.Scale(n), after: after, uses: use(bench)})}
	}
	for k := range l.c.FailCures {
		of := ""
		if l.c.FailCures > 1 {
			of = fmt.Sprintf(" (%d)", k+1)
		}
		after = []string{l.add(job{name: "pour again, if one does not cure" + of, hands: l.c.BenchMin.Map(func(v float64) float64 { return v + longest }), alone: w.DemouldH.Scale(60), after: after, uses: uses, margin: true, of: "pour"})}
		after = []string{l.add(job{name: "demould that mould" + of, hands: l.c.DemouldMin, after: after, uses: use(bench), margin: true, of: "pour"})}
	}
	demoulded = after
	if w.PostCureH > 0 {
		after = []string{l.add(job{name: ovenName, hands: unit.Between(10, 15, 20), alone: unit.Sure(w.PostCureH * 60), present: !l.c.OvenAlone, after: after, uses: use(oven)})}
	}
	clean := job{name: "wash the moulds", hands: l.c.CleanMin.Scale(n * float64(max(1, w.Copies))), after: after}
	if w.PostCureH > 0 {
		clean.lagMin = map[string]int{ovenName: 60} // cooling down (common practice, no source)
	}
	return demoulded, []string{l.divided(clean)}
}

// kitchen adds fillings, sessions, rest and boxes.
func (l *list) kitchen(w Work, demoulded, moulds []string) {
	after := moulds
	for _, f := range w.Fillings {
		j := job{name: "make " + f.Name, hands: l.c.FillingMin, after: demoulded, kitchen: true}
		if f.KeepDays != nil {
			j.keeps = f.KeepDays.Low
		}
		after = append(after, l.add(j))
	}
	if w.EveningMin > 0 {
		sessions := 1
		if room := float64(l.most) - l.c.TemperMin.Likely; l.most > 0 && room > 0 {
			sessions = int(math.Ceil(w.EveningMin/room - 1e-9))
		}
		sessions = max(1, min(sessions+l.more, w.Rounds))
		for k := range sessions {
			j := job{name: "shell, fill and cap", after: after, uses: use(shelf)}
			if sessions > 1 {
				j.name = fmt.Sprintf("shell, fill and cap, session %d of %d", k+1, sessions)
			}
			j.hands = l.c.TemperMin.Map(func(v float64) float64 { return v + w.EveningMin/float64(sessions) })
			after = []string{l.add(j)}
		}
	}
	if l.c.RestH.High > 0 {
		after = []string{l.add(job{name: restName, alone: l.c.RestH.Scale(60), after: after})}
	}
	if w.Boxes > 0 {
		l.divided(job{name: boxName, hands: l.c.BoxMin.Scale(float64(w.Boxes)), after: after})
	}
}

// own adds the person's tasks and ties them to the others by name.
func (l *list) own() error {
	if len(l.c.Tasks) > network.MaxTasks/2 {
		return &finding.Error{Key: "calendar.task", Found: fmt.Sprintf("%d tasks", len(l.c.Tasks)), Allowed: fmt.Sprintf("at most %d", network.MaxTasks/2), Do: "put small tasks together"}
	}
	for i, t := range l.c.Tasks {
		if _, twice := l.called(t.Name, false); twice || strings.TrimSpace(t.Name) == "" {
			return &finding.Error{Key: fmt.Sprintf("calendar.task[%d].name", i+1), Found: fmt.Sprintf("%q", t.Name), Allowed: "a name that no other task has", Do: "give it another name"}
		}
		l.add(job{name: t.Name, hands: t.Hands, alone: t.AloneH.Scale(60), after: t.After, why: "your own"})
	}
	for i, t := range l.c.Tasks {
		for k, name := range t.After {
			at, ok := l.called(name, true)
			if !ok {
				return l.unknown(fmt.Sprintf("calendar.task[%d].after[%d]", i+1, k+1), name)
			}
			mine := &l.jobs[l.at[t.Name]]
			mine.after = slices.Clone(mine.after)
			mine.after[k] = l.jobs[at].name
		}
		for k, name := range t.Before {
			at, ok := l.called(name, false)
			if !ok {
				return l.unknown(fmt.Sprintf("calendar.task[%d].before[%d]", i+1, k+1), name)
			}
			l.jobs[at].after = append(append([]string{}, l.jobs[at].after...), t.Name)
		}
	}
	return nil
}

func (l *list) unknown(key, name string) error {
	var names []string
	for _, j := range l.jobs {
		if !j.margin {
			names = append(names, j.name)
		}
		if len(names) == 40 {
			names = append(names, "…")
			break
		}
	}
	return &finding.Error{Key: key, Found: fmt.Sprintf("no task is called %q", name), Allowed: strings.Join(names, "; "), Do: "write one of these names as it stands here"}
}
