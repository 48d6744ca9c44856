package box

import (
	"embed"
	"encoding/csv"
	"slices"
	"strings"
	"sync"

	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/kitchen/recipe"
)

// Part is one ingredient as a label names it.
type Part struct {
	Name    string
	Of      []string // a compound's own ingredients, the most first
	Share   float64  // g that go into 1 g of the stuff, as weighed before anything boils off
	Water   bool     // added water
	declare []string // allergens declared beside its name
}

// Stuff is a chocolate or a filling: what it is made of and what it brings.
type Stuff struct {
	Name    string // its name in the job file
	Parts   []Part
	Groups  []string          // allergens, in the order of Annex II
	by      map[string]string // which ingredient brings a group
	Animal  string            // what no vegan eats; empty: nothing
	Alcohol string            // what holds alcohol; empty: nothing
	Unknown bool              // neither recipe nor declared allergens: nobody with an allergy gets it
	Listed  bool              // its ingredients are known
	Days    *unit.Range       // keeping; nil where it is not known
	Storage string
	texts   []string
	tokens  [][]string // the words of texts
}

// chocolateDays is how long plain chocolate keeps: half a year and more, cool and dry
// (common practice, no source).
var chocolateDays = unit.Between(180, 270, 365)

// NewChocolate is a chocolate by its table in the job file.
func NewChocolate(name string, c material.Chocolate) *Stuff {
	label := c.Kind + " chocolate"
	s := &Stuff{Name: name, Listed: true, Days: &chocolateDays, texts: []string{name, label}}
	s.Parts = []Part{{Name: label, Of: c.Ingredients, Share: 1, declare: c.Allergens}}
	s.judge(c.Allergens)
	return s
}

// NewFilling is a filling by its table, what its recipe comes to (nil without one), and
// the job's own ingredients.
func NewFilling(name string, f material.Filling, r *recipe.Filling, own map[string]*recipe.Ingredient) *Stuff {
	s := &Stuff{Name: name, texts: []string{name}}
	if r == nil {
		s.Unknown = f.Allergens == nil
		s.Parts = []Part{{Name: name, Share: 1, declare: f.Allergens}}
		s.Animal = "a filling without a recipe"
		s.judge(f.Allergens)
		return s
	}
	class := r.Keeping()
	s.Listed, s.Days, s.Storage = true, &class.Days, class.Storage
	if r.Of100G.AlcoholG > 0.05 {
		s.Alcohol = "its recipe"
	}
	for _, a := range r.IngredientG {
		in := own[a.Name]
		if in == nil {
			in = recipe.Library().Ingredients[a.Name]
		}
		p := Part{Name: a.Name, Share: a.MassG / 100 / r.YieldShare, Water: a.Name == "water"}
		if in != nil {
			p.declare = in.Allergens
		}
		if c, ok := compounds()[a.Name]; ok && own[a.Name] == nil {
			p.Name, p.Of = c.label, c.of
		}
		s.Parts = append(s.Parts, p)
		s.texts = append(s.texts, a.Name)
	}
	s.judge(f.Allergens)
	return s
}

// judge works out what the parts bring; declared are the allergens of the whole.
func (s *Stuff) judge(declared []string) {
	keys := map[string]bool{}
	s.by = map[string]string{}
	take := func(text, from string) {
		for _, k := range GroupsIn(text) {
			if !keys[k] {
				keys[k], s.by[k] = true, from
			}
		}
	}
	for i := range s.Parts {
		p := &s.Parts[i]
		for _, text := range append([]string{p.Name}, p.Of...) {
			take(text, p.Name)
			s.texts = append(s.texts, text)
			if s.Animal == "" && (holds(text, animal)) {
				s.Animal = text
			}
			if s.Alcohol == "" && holds(text, alcoholic) {
				s.Alcohol = text
			}
		}
		for _, d := range p.declare {
			take(d, p.Name)
			s.texts = append(s.texts, d)
		}
	}
	for _, d := range declared {
		take(d, s.Name)
		s.texts = append(s.texts, d)
	}
	for _, t := range s.texts {
		s.tokens = append(s.tokens, words(t))
	}
	s.Groups = inOrder(keys)
	for _, k := range s.Groups {
		if s.Animal == "" && slices.Contains(animalGroups, k) {
			s.Animal = s.by[k]
		}
	}
}

// compound is how a label calls one of the program's ingredients, and what is in it.
type compound struct {
	label string
	of    []string
}

//go:embed data
var data embed.FS

// compounds are the program's ingredients that are made of others, or that a label
// calls by another name.
var compounds = sync.OnceValue(func() map[string]compound {
	f, err := data.Open("data/compounds.csv")
	if err != nil {
		panic(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		panic("box: compounds.csv: " + err.Error())
	}
	out := map[string]compound{}
	for _, r := range all[1:] {
		c := compound{label: r[1]}
		if r[2] != "" {
			c.of = strings.Split(r[2], "; ")
		}
		out[r[0]] = c
	}
	return out
})

// texts are all words by which something in a piece can be avoided.
func (k *Kind) texts() []string {
	out := []string{k.Name}
	for _, s := range []*Stuff{k.Shell, k.Inside} {
		if s != nil {
			out = append(out, s.texts...)
		}
	}
	return out
}

// Groups are the allergens of a piece, in the order of Annex II.
func (k *Kind) Groups() []string {
	keys := map[string]bool{}
	for _, s := range []*Stuff{k.Shell, k.Inside} {
		if s != nil {
			for _, g := range s.Groups {
				keys[g] = true
			}
		}
	}
	return inOrder(keys)
}

// bar is one reason why a guest cannot have a piece.
type bar struct {
	why  string // "milk", "vegan", "alcohol"
	what string // "cream in filling pear caramel"
}

// bars are all reasons why a guest cannot have a piece.
func (k *Kind) bars(g *Guest) []bar {
	var out []bar
	stuffs := []struct {
		s    *Stuff
		what string
	}{{k.Shell, "chocolate "}, {k.Inside, "filling "}}
	for i := range g.Allergies {
		a := &g.Allergies[i]
		for _, st := range stuffs {
			if st.s == nil {
				continue
			}
			switch found := st.s.brings(a); {
			case found != "":
				out = append(out, bar{a.Word, found + " in " + st.what + st.s.Name})
			case st.s.Unknown:
				out = append(out, bar{a.Word, "nothing is declared for " + st.what + st.s.Name})
			}
		}
		if a.in([]string{k.Name}) {
			out = append(out, bar{a.Word, "the name of the piece"})
		}
	}
	for _, st := range stuffs {
		if st.s == nil {
			continue
		}
		if g.Vegan && st.s.Animal != "" {
			out = append(out, bar{"vegan", st.s.Animal + " in " + st.what + st.s.Name})
		}
		if g.AlcoholFree && st.s.Alcohol != "" {
			out = append(out, bar{"no alcohol", st.s.Alcohol + " in " + st.what + st.s.Name})
		}
	}
	return out
}

// brings says what in a stuff is what a guest avoids; empty: nothing.
func (s *Stuff) brings(a *Avoid) string {
	for _, k := range a.Groups {
		if by := s.by[k]; by != "" {
			return by
		}
	}
	for i, t := range s.tokens {
		if a.inWords(t) {
			return s.texts[i]
		}
	}
	return ""
}

// has tells whether a stuff is called or made of what a guest avoids, its groups aside.
func (s *Stuff) has(a *Avoid) bool { return slices.ContainsFunc(s.tokens, a.inWords) }

// disliked tells whether a guest would rather not have a piece: by a word for one of
// its parts, or for a whole group of allergens, as nuts is.
func (k *Kind) disliked(g *Guest) bool {
	for i := range g.Dislikes {
		a := &g.Dislikes[i]
		if a.in([]string{k.Name}) || k.Shell.has(a) || k.Inside != nil && k.Inside.has(a) {
			return true
		}
		for _, key := range a.Groups {
			whole := asks[plain(a.Word)] != nil || len(a.words) == 1 && a.words[0] == single(key)
			if whole && slices.Contains(k.Groups(), key) {
				return true
			}
		}
	}
	return false
}
