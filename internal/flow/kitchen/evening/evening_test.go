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
	e, err := Plan([]Mould{{"tray 1", 10, true, 1, 15, 30}}, Habits{1, 1})
	if err != nil || len(e.Steps) != 8 || math.Abs(e.EndMin-57.8) > 1e-9 {
		t.Errorf("%+v %v", e, err)
	}
}

// Two moulds overlap: while one chills, the other is filled. Alone they take twice as
// long; together less, and more when only one fits into the fridge.
func TestOverlap(t *testing.T) {
	m := Mould{"tray 1", 10, true, 4, 15, 30}
	end := func(list []Mould, h Habits) float64 {
		e, err := Plan(list, h)
		if err != nil {
			t.Fatal(err)
		}
		return e.EndMin
	}
	one := end([]Mould{m}, Habits{1, 4})
	two := end(Share([]Mould{m}, 2), Habits{1, 4})
	narrow := end(Share([]Mould{m}, 2), Habits{1, 1})
	if math.Abs(one-4*57.8) > 1e-9 || !(two < 0.65*one) || !(two < narrow && narrow <= one) {
		t.Errorf("one mould %.1f min, two %.1f, two with little room %.1f", one, two, narrow)
	}
}

func TestNothingIsTakenTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var list []Mould
		rounds := 0
		for range rapid.IntRange(1, 4).Draw(t, "moulds") {
			m := Mould{"m", rapid.IntRange(1, 40).Draw(t, "cavities"), rapid.Bool().Draw(t, "filled"), rapid.IntRange(0, 5).Draw(t, "rounds"), rapid.Float64Range(0, 30).Draw(t, "shell"), rapid.Float64Range(0, 60).Draw(t, "cap")}
			rounds += m.Rounds
			list = append(list, m)
		}
		h := Habits{rapid.IntRange(1, 3).Draw(t, "hands"), rapid.IntRange(1, 3).Draw(t, "shelf")}
		e, err := Plan(list, h)
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
			if s.Start < last[s.Mould]-1e-9 {
				t.Fatalf("mould %d is in two places", s.Mould)
			}
			last[s.Mould] = s.End
		}
	})
}

func TestRefuses(t *testing.T) {
	ok := []Mould{{"a", 1, true, 1, 1, 1}}
	for _, h := range []Habits{{0, 1}, {1, 0}} {
		if _, err := Plan(ok, h); err == nil {
			t.Errorf("%+v is taken", h)
		}
	}
	for _, m := range []Mould{{"a", 1, true, -1, 1, 1}, {"a", 1, true, 1e6, 1, 1}, {"a", 1, true, 1, math.NaN(), 1}} {
		if _, err := Plan([]Mould{m}, Habits{1, 1}); err == nil {
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
