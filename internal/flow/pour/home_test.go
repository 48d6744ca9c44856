package pour

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"

	"mouldwright/internal/base/unit"
)

// Kits are chosen for what is not at home: never dearer than brute force finds, with what
// has gone off left out.
func TestKitsWithHomeAgainstBruteForce(t *testing.T) {
	needed := unit.Date{Year: 2027, Month: 6, Day: 1}
	rapid.Check(t, func(t *rapid.T) {
		var w Work
		for range rapid.IntRange(1, 3).Draw(t, "kits") {
			w.Kits = append(w.Kits, Kit{MassG: rapid.IntRange(20, 80).Draw(t, "mass"), Price: float64(rapid.IntRange(0, 300).Draw(t, "cents")) / 100, OpenedMonths: 6})
		}
		good := 0.0
		for range rapid.IntRange(0, 4).Draw(t, "tins") {
			h := Home{MassG: float64(rapid.IntRange(0, 60).Draw(t, "tin")), OpenedMonths: 6}
			if rapid.Bool().Draw(t, "opened") {
				h.Opened = unit.Date{Year: 2026, Month: rapid.IntRange(10, 12).Draw(t, "month"), Day: 10}
			}
			// Opened in October and November it is good until April and May, in December
			// until June.
			if h.Opened == (unit.Date{}) || h.Opened.Month == 12 {
				good += h.MassG
			}
			w.Home = append(w.Home, h)
		}
		w.Needed, w.Copies = needed, rapid.IntRange(1, 2).Draw(t, "copies")
		mass := float64(rapid.IntRange(10, 150).Draw(t, "need"))
		p := &Pour{Total: Mix{MassG: unit.Between(mass-2, mass-1, mass)}, Pads: Pads{MassG: 5}}
		if err := p.buying(context.Background(), w, Choices{Reserve: 0.1}); err != nil {
			t.Fatal(err)
		}
		need := mass*float64(w.Copies)*1.1 + 5
		if math.Abs(p.BuyG-need) > 1e-9 || p.HomeG != good || math.Abs(p.ShortG-max(0, need-good)) > 1e-9 {
			t.Fatalf("to have %g, at home %g, to buy %g; want %g, %g, %g", p.BuyG, p.HomeG, p.ShortG, need, good, max(0, need-good))
		}
		want := brute(w.Kits, int(math.Ceil(max(0, need-good))))
		cents, bought := int64(0), 0.0
		for _, b := range p.Kits {
			cents += int64(b.Count) * int64(math.Round(w.Kits[b.Kit].Price*100))
			bought += float64(b.Count * w.Kits[b.Kit].MassG)
		}
		if cents != want.cents || int64(bought) != want.massG {
			t.Fatalf("bought %g g for %d, brute force %d g for %d", bought, cents, want.massG, want.cents)
		}
		used, left := 0.0, 0.0
		for _, h := range p.Home {
			used, left = used+h.UsedG, left+h.LeftG
			if h.Spoilt && (h.UsedG != 0 || h.LeftG != 0) {
				t.Fatalf("what has gone off is counted on: %+v", h)
			}
		}
		if have := good + bought; have > 0 && math.Abs(p.LeftoverG.Likely-max(0, have-(mass-1)*float64(w.Copies)-5)) > 1e-9 {
			t.Fatalf("left over %v of %g", p.LeftoverG, have)
		}
		if math.Abs(used-min(need, good)) > 1e-9 || left > good+1e-9 {
			t.Fatalf("used %g, left %g of %g at home", used, left, good)
		}
	})
}

// What keeps least long is used first; the sooner of the tin's day and six months after it
// was opened counts.
func TestHomeInOrder(t *testing.T) {
	day := func(y, m, d int) unit.Date { return unit.Date{Year: y, Month: m, Day: d} }
	list, good := atHome([]Home{
		{What: "no day", MassG: 100},
		{What: "opened", MassG: 200, Opened: day(2026, 8, 31), OpenedMonths: 6, KeepsUntil: day(2028, 1, 1)},
		{What: "closed", MassG: 300, KeepsUntil: day(2027, 1, 15)},
		{What: "gone", MassG: 400, Opened: day(2026, 1, 1), OpenedMonths: 6},
		{What: "empty"},
	}, day(2026, 12, 19))
	if good != 600 || len(list) != 4 {
		t.Fatalf("%g g of %d tins", good, len(list))
	}
	use(list, 450, 350)
	want := []Home{{What: "gone"}, {What: "closed", UsedG: 300}, {What: "opened", UsedG: 150, LeftG: 150}, {What: "no day", LeftG: 100}}
	for i, h := range list {
		if h.What != want[i].What || h.UsedG != want[i].UsedG || h.LeftG != want[i].LeftG {
			t.Errorf("%d: %s used %g left %g, want %+v", i, h.What, h.UsedG, h.LeftG, want[i])
		}
	}
	// 31 August and six months: there is no 31 February, so that it is the 3rd of March.
	if got := list[2].Until; got != day(2027, 3, 3) {
		t.Errorf("opened on 31 August it keeps until %s", got)
	}
	for i, w := range []string{"good until 2026-07-01, before it is needed: not counted on", "good until 2027-01-15", "good until 2027-03-03", "how long it keeps is not known"} {
		if got := list[i].Words(); got != w {
			t.Errorf("%q, want %q", got, w)
		}
	}
}
