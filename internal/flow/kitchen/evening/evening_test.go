package evening

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// By hand: one mould of 10 cavities, one round, follows itself: 0.5+1.5, 1+1, 2+0.2, 15,
// 1+1.2, 2+0.8, 30, 1+0.6.
func TestOneRound(t *testing.T) {
	e, err := Plan([]Mould{{Name: "tray 1", Cavities: 10, Filled: true, Rounds: 1, ShellMin: 15, CapMin: 30}}, nil, Habits{Hands: 1, ShelfMoulds: 1})
	if err != nil || len(e.Steps) != 8 || math.Abs(e.EndMin-57.8) > 1e-9 {
		t.Errorf("%+v %v", e, err)
	}
}

// By hand for one piece of that mould: (0.5+1.5 + 1+1 + 2+0.2)/10 for the shells, and a
// pace of two doubles just their 6.2 minutes.
func TestPace(t *testing.T) {
	m := []Mould{{Name: "tray 1", Cavities: 10, Filled: true, Rounds: 1, ShellMin: 15, CapMin: 30}}
	per := PerPiece(m)
	for name, want := range map[string]float64{"shells": 0.62, "fill": 0.22, "cap": 0.28, "release": 0.16} {
		if math.Abs(per[name]-want) > 1e-9 {
			t.Errorf("%s: %g min a piece, want %g", name, per[name], want)
		}
	}
	e, err := Plan(m, nil, Habits{Hands: 1, ShelfMoulds: 1, Pace: map[string]float64{"shells": 2}})
	if err != nil || math.Abs(e.EndMin-57.8-6.2) > 1e-9 {
		t.Errorf("%+v %v", e, err)
	}
}

// Every step that needs hands belongs to one group.
func TestGroups(t *testing.T) {
	for what := range bench {
		n := 0
		for _, g := range Groups {
			if slices.Contains(g.steps, what) {
				n++
			}
		}
		if n != 1 {
			t.Errorf("%s is in %d groups", what, n)
		}
	}
}

// Two moulds overlap: while one chills, the other is filled. Alone they take twice as
// long; together less, and more when only one fits into the fridge.
func TestOverlap(t *testing.T) {
	m := Mould{Name: "tray 1", Cavities: 10, Filled: true, Rounds: 4, ShellMin: 15, CapMin: 30}
	end := func(list []Mould, h Habits) float64 {
		e, err := Plan(list, nil, h)
		if err != nil {
			t.Fatal(err)
		}
		return e.EndMin
	}
	one := end([]Mould{m}, Habits{Hands: 1, ShelfMoulds: 4})
	two := end(Share([]Mould{m}, 2), Habits{Hands: 1, ShelfMoulds: 4})
	narrow := end(Share([]Mould{m}, 2), Habits{Hands: 1, ShelfMoulds: 1})
	if math.Abs(one-4*57.8) > 1e-9 || !(two < 0.65*one) || !(two < narrow && narrow <= one) {
		t.Errorf("one mould %.1f min, two %.1f, two with little room %.1f", one, two, narrow)
	}
}

func TestNothingIsTakenTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var list []Mould
		rounds := 0
		for range rapid.IntRange(1, 4).Draw(t, "moulds") {
			m := Mould{Name: "m", Cavities: rapid.IntRange(1, 40).Draw(t, "cavities"), Filled: rapid.Bool().Draw(t, "filled"), Rounds: rapid.IntRange(0, 5).Draw(t, "rounds"),
				ShellMin: rapid.Float64Range(0, 30).Draw(t, "shell"), CapMin: rapid.Float64Range(0, 60).Draw(t, "cap"), Walls: rapid.SampledFrom([]string{"", Spatula, Coat}).Draw(t, "walls"),
				Bowls: [][]int{nil, {0}, {1}, {0, 1}}[rapid.IntRange(0, 3).Draw(t, "bowls")]}
			rounds += m.Rounds
			list = append(list, m)
		}
		h := Habits{Hands: rapid.IntRange(1, 3).Draw(t, "hands"), ShelfMoulds: rapid.IntRange(1, 3).Draw(t, "shelf")}
		bowls := []Bowl{{"dark", 800, rapid.Float64Range(0, 60).Draw(t, "dark"), 30}, {"milk", 1500, rapid.Float64Range(0, 60).Draw(t, "milk"), 10}}
		e, err := Plan(list, bowls, h)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range e.Steps {
			// At each start count what is going on.
			n, room := 0, 0
			for _, o := range e.Steps {
				if o.Start <= s.Start && s.Start < o.End {
					if o.Hands {
						n++
					} else {
						room++
					}
				}
			}
			if n > h.Hands || room > h.ShelfMoulds {
				t.Fatalf("%d hands and %d places at %.1f min", n, room, s.Start)
			}
		}
		if !slices.IsSortedFunc(e.Steps, func(a, b Step) int {
			if a.Start < b.Start {
				return -1
			}
			return 1
		}) && rounds > 0 {
			for i := 1; i < len(e.Steps); i++ {
				if e.Steps[i].Start < e.Steps[i-1].Start {
					t.Fatal("out of order")
				}
			}
		}
		// Steps of one mould follow each other.
		last := map[int]float64{}
		for _, s := range e.Steps {
			if s.Mould < 0 {
				continue
			}
			if s.Start < last[s.Mould]-1e-9 {
				t.Fatalf("mould %d is in two places", s.Mould)
			}
			last[s.Mould] = s.End
			// Chocolate is only taken from bowls that are tempered and warm.
			for _, k := range list[s.Mould].Bowls {
				since := math.Inf(1)
				for _, o := range e.Steps {
					if o.Bowl == k && o.End <= s.Start+1e-9 {
						since = math.Min(since, s.Start-o.End)
					}
				}
				// A second bowl may be seen to while the first one waits.
				if chocolate[s.What] && since > math.Max(bowls[k].WorkMin, leastWorkMin)+temperMin+2*temperMinPerKg {
					t.Fatalf("%s at %.1f min from a bowl that stood for %.1f min", s.What, s.Start, since)
				}
			}
		}
	})
}

func TestRefuses(t *testing.T) {
	ok := []Mould{{Name: "a", Cavities: 1, Filled: true, Rounds: 1, ShellMin: 1, CapMin: 1}}
	for _, h := range []Habits{{Hands: 0, ShelfMoulds: 1}, {Hands: 1, ShelfMoulds: 0}} {
		if _, err := Plan(ok, nil, h); err == nil {
			t.Errorf("%+v is taken", h)
		}
	}
	for _, m := range []Mould{{Name: "a", Cavities: 1, Filled: true, Rounds: -1, ShellMin: 1, CapMin: 1}, {Name: "a", Cavities: 1, Filled: true, Rounds: 1e6, ShellMin: 1, CapMin: 1},
		{Name: "a", Cavities: 1, Filled: true, Rounds: 1, ShellMin: math.NaN(), CapMin: 1}, {Name: "a", Rounds: 1, Bowls: []int{0}}} {
		if _, err := Plan([]Mould{m}, nil, Habits{Hands: 1, ShelfMoulds: 1}); err == nil {
			t.Errorf("%+v is taken", m)
		}
	}
}

func TestShare(t *testing.T) {
	s := Share([]Mould{{Name: "a", Rounds: 5}}, 2)
	if len(s) != 2 || s[0].Rounds != 3 || s[1].Rounds != 2 {
		t.Errorf("%+v", s)
	}
}

// By hand: a bowl of 1 kg is tempered for 25 min; wiping and filling (2 + 2 min) follow at
// once, the caps come 2.2 + 15 + 2.2 min later, beyond the 10 min of its band, so that it is
// warmed for 3 min first. One that thickens within 15 min is tempered anew.
func TestBowls(t *testing.T) {
	m := []Mould{{Name: "tray 1", Cavities: 10, Filled: true, Rounds: 1, ShellMin: 15, CapMin: 30, Bowls: []int{0}}}
	for work, want := range map[float64]struct {
		thick float64
		what  string
		end   float64
	}{60: {90, "", 25 + 57.8}, 10: {40, Warm, 25 + 57.8 + 3}, 5: {15, TemperAn, 25 + 57.8 + 25}} {
		e, err := Plan(m, []Bowl{{"dark", 1000, work, want.thick}}, Habits{Hands: 1, ShelfMoulds: 1})
		if err != nil || math.Abs(e.EndMin-want.end) > 1e-9 || e.Steps[0].What != Temper {
			t.Errorf("band %g min: ends at %.1f min, want %.1f; %v", work, e.EndMin, want.end, err)
			continue
		}
		found := ""
		for _, s := range e.Steps[1:] {
			if s.Bowl == 0 {
				found = s.What
			}
		}
		if found != want.what {
			t.Errorf("band %g min: %q, want %q", work, found, want.what)
		}
	}
}

// By hand: the spatula takes 1.5 min more for ten cavities; a second coat 2 + 2.2 min and
// the shell's chilling once more.
func TestWalls(t *testing.T) {
	for walls, more := range map[string]float64{"": 0, Spatula: 1.5, Coat: 2 + 2.2 + 15} {
		e, err := Plan([]Mould{{Name: "tray 1", Cavities: 10, Filled: true, Rounds: 1, ShellMin: 15, CapMin: 30, Walls: walls}}, nil, Habits{Hands: 1, ShelfMoulds: 1})
		if err != nil || math.Abs(e.EndMin-57.8-more) > 1e-9 {
			t.Errorf("%q: %.2f min, want %.2f", walls, e.EndMin, 57.8+more)
		}
	}
}
