package box

import (
	"context"
	"fmt"
	"math/rand"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/solve"
)

// plainStuff is a chocolate or filling that brings what its words name.
func plainStuff(name string, foods ...string) *Stuff {
	s := &Stuff{Name: name, Listed: true}
	for _, f := range foods {
		s.Parts = append(s.Parts, Part{Name: f, Share: 1 / float64(len(foods))})
	}
	s.judge(nil)
	return s
}

func guest(t testing.TB, person, allergies, dislikes string) Guest {
	t.Helper()
	g, err := NewGuest(person, -1, map[string]string{"allergies": allergies, "dislikes": dislikes})
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// Against trying everything: random small cases, each judged by the same four costs,
// counted afresh.
func TestDealAgainstBruteForce(t *testing.T) {
	r := rand.New(rand.NewSource(11))
	foods := []string{"milk", "hazelnuts", "eggs", "sesame"}
	for trial := range 250 {
		var kinds []Kind
		for k := range 1 + r.Intn(3) {
			c := -1
			if r.Intn(3) == 0 {
				c = r.Intn(4)
			}
			kinds = append(kinds, Kind{Name: fmt.Sprint("kind", k), Design: k, Owner: -1, Count: c, Shell: plainStuff(fmt.Sprint("shell", k), foods[r.Intn(len(foods))])})
		}
		var guests []Guest
		for g := range 1 + r.Intn(3) {
			var a, d string
			if r.Intn(3) == 0 {
				a = foods[r.Intn(len(foods))]
			}
			if r.Intn(3) == 0 {
				d = foods[r.Intn(len(foods))]
			}
			guests = append(guests, guest(t, fmt.Sprint("guest", g), a, d))
		}
		cells := 1 + r.Intn(3)
		got, _, err := Deal(context.Background(), guests, kinds, cells)
		if err != nil {
			t.Fatal(err)
		}
		if got.Gap() != (solve.Cost{}) {
			t.Fatalf("trial %d: gap %v", trial, got.Gap())
		}
		// The costs, counted from the boxes.
		check := make([][]int, len(guests))
		for i := range guests {
			check[i] = make([]int, len(kinds))
		}
		for _, b := range got.Boxes {
			for _, k := range b.Kinds {
				check[b.Guest][k]++
			}
			if len(b.Kinds)+b.Empty != cells {
				t.Fatalf("trial %d: %d pieces and %d empty cells of %d", trial, len(b.Kinds), b.Empty, cells)
			}
		}
		c, ok := costOf(check, guests, kinds, cells)
		if !ok || c != got.Cost {
			t.Fatalf("trial %d: boxes cost %v (allowed %v), said was %v", trial, c, ok, got.Cost)
		}
		var best *solve.Cost
		x := make([][]int, len(guests))
		for i := range x {
			x[i] = make([]int, len(kinds))
		}
		var try func(i, k int)
		try = func(i, k int) {
			if i == len(guests) {
				if c, ok := costOf(x, guests, kinds, cells); ok && (best == nil || c.Compare(*best) < 0) {
					best = &c
				}
				return
			}
			if k == len(kinds) {
				try(i+1, 0)
				return
			}
			for n := 0; n <= cells; n++ {
				x[i][k] = n
				try(i, k+1)
			}
			x[i][k] = 0
		}
		try(0, 0)
		if got.Cost != *best {
			t.Fatalf("trial %d: %v, trying all gives %v", trial, got.Cost, *best)
		}
	}
}

// costOf judges a dealing; ok is false when it breaks a rule.
func costOf(x [][]int, guests []Guest, kinds []Kind, cells int) (c solve.Cost, ok bool) {
	total := make([]int, len(kinds))
	for i := range guests {
		sum := 0
		for k, n := range x[i] {
			if n > 0 && len(kinds[k].bars(&guests[i])) > 0 {
				return c, false
			}
			if kinds[k].disliked(&guests[i]) {
				c[1] += int64(n)
			}
			c[2] += int64(n * (n - 1) / 2)
			total[k] += n
			sum += n
		}
		if sum > cells {
			return c, false
		}
		c[0] += int64(cells - sum)
	}
	for k, n := range total {
		if kinds[k].Count >= 0 && n > kinds[k].Count {
			return c, false
		}
		c[3] += int64(n * (n - 1) / 2)
	}
	return c, true
}

func TestOwnPieces(t *testing.T) {
	guests := []Guest{guest(t, "Ysoline", "", ""), guest(t, "Quillon", "milk", "")}
	guests[0].Boxes = 2
	kinds := []Kind{
		{Name: "plaque: Ysoline", Owner: 0, Count: -1, Shell: plainStuff("milk", "milk")},
		{Name: "plaque: Quillon", Owner: 1, Count: -1, Shell: plainStuff("milk", "milk")},
		{Name: "crest", Design: 1, Owner: -1, Count: -1, Shell: plainStuff("dark", "cocoa mass")},
	}
	d, list, err := Deal(context.Background(), guests, kinds, 3)
	if err != nil {
		t.Fatal(err)
	}
	if d.Counts[0] != 2 || d.Counts[1] != 0 || d.Counts[2] != 2*2+3 {
		t.Errorf("counts %v; Ysoline has two boxes, and Quillon's own piece holds milk", d.Counts)
	}
	if d.Boxes[0].Kinds[0] != 0 || d.Boxes[1].Kinds[0] != 0 {
		t.Errorf("own pieces do not come first: %v", d.Boxes)
	}
	if len(list) == 0 || !strings.Contains(list[0].What, "Quillon cannot have their own piece") {
		t.Errorf("nothing is said of Quillon's piece: %v", list)
	}
	// More pieces of their own than cells.
	kinds[0].Count = 5
	if _, list, _ = Deal(context.Background(), guests[:1], kinds[:1], 2); finding.Worst(list) != finding.Stop {
		t.Errorf("five own pieces in two boxes of two cells: %v", list)
	}
}

func TestSmallestChange(t *testing.T) {
	all := []Kind{
		{Name: "crest", Owner: -1, Count: -1, Shell: plainStuff("dark", "cocoa mass"), Inside: plainStuff("caramel", "sugar", "cream")},
		{Name: "pears", Design: 1, Owner: -1, Count: -1, Shell: plainStuff("milk", "milk powder"), Inside: plainStuff("praline", "hazelnuts", "milk")},
	}
	_, list, err := Deal(context.Background(), []Guest{guest(t, "Bexhild", "milk; nuts", "")}, all, 2)
	if err != nil || len(list) != 1 {
		t.Fatalf("%v, %v", list, err)
	}
	want := `the smallest change: "crest" without milk (cream in filling caramel); or one more design that is for them`
	if list[0].Do != want || !strings.Contains(list[0].What, "no piece is for Bexhild (no milk, no nuts): two cells stay empty") {
		t.Errorf("%s\n  try: %s\nwant try: %s", list[0].What, list[0].Do, want)
	}
	// Counts that do not suffice: which more would do.
	all[0].Count, all[1].Count = 3, 1
	_, list, err = Deal(context.Background(), []Guest{guest(t, "Ysoline", "", ""), guest(t, "Bexhild", "nuts", ""), guest(t, "Wilfreda", "nuts", "")}, all, 2)
	if err != nil || len(list) != 1 || list[0].Remedy != (finding.Remedy{Key: "piece[1].count", Value: "5"}) {
		t.Errorf("%v, %v; want five crests", list, err)
	}
}

func TestSpelling(t *testing.T) {
	kinds := []Kind{{Name: "crest", Owner: -1, Shell: plainStuff("dark", "cocoa mass", "vanilla")}}
	for word, want := range map[string]finding.Severity{
		"hazlenuts": finding.Stop, "mlik": finding.Stop, "penut": finding.Stop, "vanila": finding.Stop,
		"kiwi": finding.Care, "milk": "", "Lactose": "", "tree nuts": "", "vanilla": "", "shellfish": "", "sulfites": "",
	} {
		list := Spelling([]Guest{guest(t, "Ysoline", word, "")}, kinds)
		if got := finding.Worst(list); got != want {
			t.Errorf("%q: %q, want %q (%v)", word, got, want, list)
		}
	}
}

func TestNewGuestRefuses(t *testing.T) {
	for col, v := range map[string]string{"boxes": "two", "vegan": "perhaps", "alcohol_free": "si"} {
		if _, err := NewGuest("Ysoline", 0, map[string]string{col: v}); err == nil {
			t.Errorf("%s = %q was taken", col, v)
		}
	}
}

func FuzzNewGuest(f *testing.F) {
	f.Add("2", "milk; nuts / eggs", "bee, honey", "yes")
	f.Add("", "none", "-", "")
	f.Fuzz(func(t *testing.T, boxes, allergies, dislikes, vegan string) {
		g, err := NewGuest("Ysoline", 0, map[string]string{"boxes": boxes, "allergies": allergies, "dislikes": dislikes, "vegan": vegan})
		if err == nil && (g.Boxes < 0 || len(g.Allergies) > maxAvoid) {
			t.Errorf("%+v", g)
		}
	})
}

// party is 500 guests with a tenth each of six needs, 12 designs, and own pieces.
func party(t testing.TB) ([]Guest, []Kind) {
	r := rand.New(rand.NewSource(3))
	foods := []string{"milk", "hazelnuts", "eggs", "sesame", "almonds", "soya lecithin", "honey", "wheat", "rum", "pears", "peanuts", "mustard"}
	var kinds []Kind
	for k := range 12 {
		kinds = append(kinds, Kind{Name: "design " + string(rune('a'+k)), Design: k, Owner: -1, Count: -1, Shell: plainStuff("dark", "cocoa mass", "sugar"), Inside: plainStuff("filling "+foods[k], "sugar", foods[k], foods[(k*5)%12])})
	}
	var guests []Guest
	for i := range 500 {
		var a, d []string
		for _, f := range foods {
			switch r.Intn(20) {
			case 0, 1:
				a = append(a, f)
			case 2, 3:
				d = append(d, f)
			}
		}
		g := guest(t, fmt.Sprint("guest ", i), strings.Join(a, ";"), strings.Join(d, ";"))
		g.Vegan = r.Intn(15) == 0
		guests = append(guests, g)
		kinds = append(kinds, Kind{Name: fmt.Sprint("plaque: guest ", i), Design: 12, Owner: i, Count: -1, Shell: plainStuff("dark", "cocoa mass")})
	}
	return guests, kinds
}

// Whatever is dealt at a large party, nobody gets what they named.
func TestDealKeepsAllergens(t *testing.T) {
	guests, kinds := party(t)
	d, _, err := Deal(context.Background(), guests, kinds, 9)
	if err != nil {
		t.Fatal(err)
	}
	if d.Gap() != (solve.Cost{}) {
		t.Errorf("gap %v", d.Gap())
	}
	for _, b := range d.Boxes {
		g := &guests[b.Guest]
		for _, k := range b.Kinds {
			for _, a := range g.Allergies {
				for _, text := range kinds[k].texts() {
					if strings.Contains(text, strings.Fields(a.Word)[0]) {
						t.Fatalf("%s named %s and gets %s", g.Person, a.Word, kinds[k].Name)
					}
				}
			}
		}
	}
}

func BenchmarkDeal500(b *testing.B) {
	guests, kinds := party(b)
	for b.Loop() {
		if _, _, err := Deal(context.Background(), guests, kinds, 9); err != nil {
			b.Fatal(err)
		}
	}
}
