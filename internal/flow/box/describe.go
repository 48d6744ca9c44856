package box

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
	"unicode"

	"mouldwright/internal/base/unit"
)

// Run is a stretch of a label's text; Bold names an allergen.
type Run struct {
	Text string `json:"text" doc:"the words"`
	Bold bool   `json:"bold,omitempty" doc:"stressed, since it names an allergen"`
}

// Holds is so many pieces of a kind in a box.
type Holds struct {
	Kind    *Kind
	Pieces  int
	ShellG  unit.Range // chocolate of one piece, shell and cap
	InsideG unit.Range // filling of one piece
}

// Text is what a label says.
type Text struct {
	Ingredients []Run
	Contains    []string // US: the "Contains" statement
	Groups      []string // allergens, keys in the order of Annex II
	MayContain  []string // keys of what is about in the kitchen beside those
	Vegan       bool
	Alcohol     bool
	NetG        float64 // to print: never more than is likely in it
	MassG       unit.Range
	Made        unit.Date
	BestBefore  unit.Date // zero where nothing is known
	Shortest    string    // the stuff that decides it
	Storage     string
	Lot         string
	Missing     []string // stuffs whose ingredients are not known
}

// plainStorage is how chocolate is kept (common practice, no source).
const plainStorage = "Store at 15-18\u00a0°C, dry and dark."

// waterShare is the share of the finished food up to which added water need not be
// listed: Regulation (EU) 1169/2011, Annex VII, part A, 1 (from memory). The water that
// was weighed in is compared, which is never less.
const waterShare = 0.05

// Describe works out the label of what lies in a box. kitchen are the groups that are
// about in the kitchen.
func Describe(in []Holds, l Label, made unit.Date, kitchen []string) Text {
	wording := WordingOf(l.Rules)
	t := Text{Vegan: true, Made: made, Lot: l.Lot, Storage: plainStorage}
	if t.Lot == "" {
		t.Lot = fmt.Sprintf("L%02d%02d%02d", made.Year%100, made.Month, made.Day)
	}
	type line struct {
		part  Part
		massG float64
	}
	var lines []line
	keys := map[string]bool{}
	shortest := math.Inf(1)
	known := true
	add := func(s *Stuff, massG float64) {
		if s == nil || massG <= 0 {
			return
		}
		for _, p := range s.Parts {
			i := slices.IndexFunc(lines, func(x line) bool { return x.part.same(&p) })
			if i < 0 {
				i = len(lines)
				lines = append(lines, line{part: p})
			}
			lines[i].massG += p.Share * massG
		}
		for _, g := range s.Groups {
			keys[g] = true
		}
		t.Vegan, t.Alcohol = t.Vegan && s.Animal == "", t.Alcohol || s.Alcohol != ""
		if !s.Listed && !slices.Contains(t.Missing, s.Name) {
			t.Missing = append(t.Missing, s.Name)
		}
		switch {
		case s.Days == nil:
			known = false
			if t.Shortest == "" || !math.IsInf(shortest, 1) {
				t.Shortest = s.Name
			}
		case s.Days.Low < shortest:
			shortest = s.Days.Low
			if known {
				t.Shortest = s.Name
			}
			if s.Storage != "" {
				t.Storage = "Store " + strings.TrimSuffix(s.Storage, ".") + "."
			}
		}
	}
	for _, h := range in {
		n := float64(h.Pieces)
		add(h.Kind.Shell, n*h.ShellG.Likely)
		add(h.Kind.Inside, n*h.InsideG.Likely)
		t.MassG = t.MassG.Plus(h.ShellG.Scale(n)).Plus(h.InsideG.Scale(n))
	}
	t.NetG = math.Floor(t.MassG.Likely)
	if len(in) == 0 {
		t.Vegan = false
		return t
	}
	if known && !math.IsInf(shortest, 1) {
		t.BestBefore = AddDays(made, int(shortest))
	}
	total := t.MassG.Likely
	lines = slices.DeleteFunc(lines, func(x line) bool { return x.part.Water && x.massG <= waterShare*total })
	slices.SortStableFunc(lines, func(a, b line) int {
		if d := cmp.Compare(b.massG, a.massG); d != 0 {
			return d
		}
		return strings.Compare(a.part.Name, b.part.Name)
	})
	var texts []string
	for i := range lines {
		if i > 0 {
			t.Ingredients = append(t.Ingredients, Run{Text: ", "})
		}
		p := &lines[i].part
		t.Ingredients = append(t.Ingredients, stressed(p, wording)...)
		texts = append(append(append(texts, p.Name), p.Of...), p.declare...)
	}
	t.Ingredients = merged(append(t.Ingredients, Run{Text: "."}))
	t.Groups = inOrder(keys)
	if wording.contains != nil {
		t.Contains = wording.contains(wording, t.Groups, texts)
	}
	about := map[string]bool{}
	for _, g := range kitchen {
		about[g] = true
	}
	for _, word := range l.Beside {
		for _, g := range GroupsIn(word) {
			about[g] = true
		}
	}
	for g := range keys {
		delete(about, g)
	}
	t.MayContain = inOrder(about)
	return t
}

// same tells whether two parts are named alike.
func (p *Part) same(o *Part) bool {
	return p.Name == o.Name && slices.Equal(p.Of, o.Of) && slices.Equal(p.declare, o.declare)
}

// AddDays is a date so many days later.
func AddDays(d unit.Date, days int) unit.Date {
	t := time.Date(d.Year, time.Month(d.Month), d.Day+days, 0, 0, 0, 0, time.UTC)
	return unit.Date{Year: t.Year(), Month: int(t.Month()), Day: t.Day()}
}

// DaysBetween counts the days from one date to another.
func DaysBetween(from, to unit.Date) int {
	at := func(d unit.Date) time.Time {
		return time.Date(d.Year, time.Month(d.Month), d.Day, 0, 0, 0, 0, time.UTC)
	}
	return int(math.Round(at(to).Sub(at(from)).Hours() / 24))
}

// stressed is an ingredient as the label prints it. Where the rules say so, the words that
// name an allergen on their list stand out; where the name of a food does not name what it
// brings, that is added under all rules: cream (milk).
func stressed(p *Part, rules *Wording) []Run {
	text := p.Name
	if len(p.Of) > 0 {
		text += " (" + strings.Join(p.Of, ", ") + ")"
	}
	named := map[string]bool{}
	var out []Run
	from := 0
	rs := []rune(text)
	before := ""
	letter := func(r rune) bool { return unicode.IsLetter(r) || unicode.IsMark(r) || unicode.IsDigit(r) }
	for i := 0; i < len(rs); {
		if !letter(rs[i]) {
			i++
			continue
		}
		to := i
		for to < len(rs) && letter(rs[to]) {
			to++
		}
		w := single(plain(string(rs[i:to])))
		after := nextWord(rs[to:])
		for g := range groups {
			if !slices.Contains(groups[g].names, w) || misleads(before, w, after) {
				continue
			}
			named[groups[g].key] = true
			if rules.stresses(groups[g].key) {
				out = append(out, Run{Text: string(rs[from:i])}, Run{Text: string(rs[i:to]), Bold: true})
				from = to
			}
			break
		}
		before, i = w, to
	}
	out = append(out, Run{Text: string(rs[from:])})
	var extra []Run
	seen := map[string]bool{}
	for _, s := range append(append([]string{p.Name}, p.Of...), p.declare...) {
		for _, g := range GroupsIn(s) {
			if !named[g] && !seen[g] {
				seen[g] = true
				extra = append(extra, Run{Text: naming(g, p.declare), Bold: rules.stresses(g)})
			}
		}
	}
	for i, e := range extra {
		lead := ", "
		if i == 0 {
			lead = " ("
		}
		out = append(out, Run{Text: lead}, e)
	}
	if len(extra) > 0 {
		out = append(out, Run{Text: ")"})
	}
	return out
}

// naming is the word by which a group is named beside a food: the package's own, if it
// names it, else that of the EU, whose list is the longest.
func naming(key string, declared []string) string {
	g := groupOf(key)
	for _, d := range declared {
		for _, w := range words(d) {
			if slices.Contains(g.names, w) {
				return d
			}
		}
	}
	return cmp.Or(wordings["EU"].called[key], key)
}

func nextWord(rs []rune) string {
	i := 0
	for i < len(rs) && rs[i] == ' ' {
		i++
	}
	to := i
	for to < len(rs) && unicode.IsLetter(rs[to]) {
		to++
	}
	return single(plain(string(rs[i:to])))
}

// misleads tells whether a word names another food here: the milk of coconut milk.
func misleads(before, w, after string) bool {
	switch {
	case w == "milk":
		return after == "thistle" || slices.Contains([]string{"coconut", "almond", "oat", "rice", "soya", "soy"}, before)
	case w == "oyster":
		return after == "mushroom"
	}
	return false
}

// merged joins stretches that are printed alike.
func merged(runs []Run) []Run {
	var out []Run
	for _, r := range runs {
		if r.Text == "" {
			continue
		}
		if n := len(out); n > 0 && out[n-1].Bold == r.Bold {
			out[n-1].Text += r.Text
			continue
		}
		out = append(out, r)
	}
	return out
}

// containsUS is the United States' statement of major food allergens: of the gluten group
// wheat alone, of nuts, fish and crustaceans which ones (FALCPA 2004, section 203).
func containsUS(us *Wording, keys, texts []string) []string {
	var out []string
	for _, k := range keys {
		g := groupOf(k)
		var which []string
		for _, t := range texts {
			for _, w := range words(t) {
				if slices.Contains(g.names, w) && w != "nut" && w != "fish" && w != "crustacean" && w != "shellfish" && !slices.Contains(which, w) {
					which = append(which, w)
				}
			}
		}
		switch {
		case us.called[k] == "":
		case k == "gluten":
			if slices.ContainsFunc(texts, func(t string) bool { return holds(t, usWheat) }) {
				out = append(out, us.called[k])
			}
		case (k == "nuts" || k == "fish" || k == "crustaceans") && len(which) > 0:
			out = append(out, fmt.Sprintf("%s (%s)", us.called[k], strings.Join(which, ", ")))
		default:
			out = append(out, us.called[k])
		}
	}
	return out
}

// Plain is runs without their stress.
func Plain(runs []Run) string {
	var b strings.Builder
	for _, r := range runs {
		b.WriteString(r.Text)
	}
	return b.String()
}

// Facts is the label as plain text, one fact to a line.
func Facts(name string, l Label, in []Holds, t *Text) string {
	w := WordingOf(l.Rules)
	var b strings.Builder
	line := func(format string, a ...any) { fmt.Fprintf(&b, format+"\n", a...) }
	line("%s: %s, %.0f g", name, l.Food, t.NetG)
	var what []string
	for _, h := range in {
		if h.Pieces == 1 {
			what = append(what, h.Kind.Name)
		} else {
			what = append(what, fmt.Sprintf("%d x %s", h.Pieces, h.Kind.Name))
		}
	}
	line("Holds: %s", strings.Join(what, ", "))
	line("Ingredients: %s", Plain(t.Ingredients))
	if w.contains != nil {
		line("Contains: %s", orNone(t.Contains))
	} else {
		line("Allergens: %s", orNone(w.Called(t.Groups)))
	}
	if may := w.Called(t.MayContain); len(may) > 0 {
		line("May contain: %s", strings.Join(may, ", "))
	}
	if t.BestBefore != (unit.Date{}) {
		line("%s %s", w.BestBefore, t.BestBefore)
	}
	line("Lot %s", t.Lot)
	line("%s", t.Storage)
	if l.Maker != "" {
		line("%s", l.Maker)
	}
	return b.String()
}

func orNone(list []string) string {
	if len(list) == 0 {
		return "none declared"
	}
	return strings.Join(list, ", ")
}
