package record

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/shopping"
	"pgregory.net/rapid"
)

// home words what is left of everything.
func home(e *Entries) string {
	var out []string
	for _, s := range e.AtHome() {
		out = append(out, fmt.Sprintf("%s %s %.4g", s.What, s.Lot, s.Left))
	}
	return strings.Join(out, "; ")
}

// A whole story: what was used is drawn from the shelf without anyone's counting, what
// was struck out comes back, and what came in later is left alone.
func TestStockIsDrawnDown(t *testing.T) {
	r := open(t, newJob(t))
	at := func(hour int) time.Time { return noon.Add(time.Duration(hour) * time.Hour) }
	write(t, r,
		&Stock{At: at(0), What: "grey resin", Amount: 500, Unit: "ml", Lot: "R1"},
		&Stock{At: at(0), What: "mould rubber, 1 kg", Amount: 1000, Unit: "g", Lot: "S1"},
		&Stock{At: at(0), What: "dark chocolate", Amount: 1000, Unit: "g", Lot: "L12"},
		&Stock{At: at(0), What: "dark chocolate", Amount: 1000, Unit: "g", Lot: "L13"},
		&Stock{At: at(0), What: "gift box", Amount: 30, Unit: "piece"})
	p := &Print{Head: Head{ID: newID()}, At: at(1), Plate: 1, Resin: "grey resin", ResinML: 120}
	mistake := &Print{Head: Head{ID: newID()}, At: at(1), Plate: 2, Resin: "grey resin", ResinML: 300}
	write(t, r, p, mistake, &Part{Print: p.ID, Name: "tile 1", Outcome: "good"}, &Part{Print: p.ID, Name: "tile 2", Outcome: "failed"})
	write(t, r, &Withdrawal{Entry: mistake.ID})
	// Rubber is weighed before the pour is begun; part A of the first cup twice.
	for i, w := range []float64{100, 101, 102, 50, 51} {
		write(t, r, &Weighing{At: at(2).Add(time.Duration(i) * time.Minute), Cup: 1 + i/3, What: []string{"part A", "part A", "part B"}[i%3], MassG: w, Silicone: "soft"})
	}
	write(t, r, &Pour{At: at(3), Tray: 1, Silicone: "soft", Lot: "S1"}, &Mould{At: at(30), Name: "tray 1", Tray: 1})
	write(t, r, &Weighing{At: at(31), Cup: 1, What: "part A", MassG: 10, Silicone: "soft"})
	filling := &Batch{Head: Head{ID: newID()}, At: at(40), Lot: "F1", What: "caramel", Made: 300, Unit: "g", KeepsUntil: unit.Date{Year: 2026, Month: 12, Day: 1}}
	bees := &Batch{Head: Head{ID: newID()}, At: at(42), Lot: "K7", What: "bee", Made: 12, Unit: "piece"}
	box := &Box{Head: Head{ID: newID()}, At: at(60), Lot: "B1", Receiver: "Ysoline"}
	write(t, r, filling, bees, box,
		&BatchLot{Batch: filling.ID, What: "cream", Lot: "C9", MassG: 120},
		&BatchLot{Batch: bees.ID, What: "dark chocolate", Lot: "l13", MassG: 250}, &BatchLot{Batch: bees.ID, What: "caramel", Lot: "F1", MassG: 80},
		&Content{Box: box.ID, Batch: bees.ID, What: "bee", Count: 4})
	write(t, r, &Stock{At: at(70), What: "grey resin", Amount: 1000, Unit: "ml", Lot: "R2"})
	e, err := r.Standing(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	// 500-120; 1000-101-102-51-10: of what was weighed twice, the second; after the mould
	// is off, cup 1 is one of another pour.
	want := "grey resin R1 380; mould rubber, 1 kg S1 736; dark chocolate L12 1000; dark chocolate L13 750; gift box  29; grey resin R2 1000; caramel F1 220; bee K7 8"
	if got := home(e); got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
	for _, s := range e.AtHome() {
		if s.What == "dark chocolate" && (s.Opened != unit.Date{}) != (s.Lot == "L13") {
			t.Errorf("%s opened %v", s.Lot, s.Opened)
		}
	}
	// What the job need not buy any more: half of the plate's resin, since one of its two
	// parts must be printed again.
	var done []string
	for _, s := range e.usedUp() {
		done = append(done, fmt.Sprintf("%s %.4g", s.What, s.Amount))
	}
	if got, want := strings.Join(done, "; "), "grey resin 60; mould rubber 264; dark chocolate 250; gift boxes 1; caramel 300"; got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
	past := e.Past()
	l, _, err := shopping.Make([]shopping.Need{{What: "dark chocolate", Group: "chocolate", Amount: 2500, Unit: "g"}, {What: "caramel", Group: "filling", Amount: 400, Unit: "g"}}, nil, past.Stock, unit.Date{Year: 2026, Month: 12, Day: 24})
	if err != nil || l.Lines[0].Done != 250 || l.Lines[0].Home != 1750 || l.Lines[0].Buy != 500 || l.Lines[1].Buy != 100 {
		t.Errorf("%+v, %v", l, err)
	}
}

// Whatever is taken, nothing is drawn below nothing, and what is left and what was drawn
// add up to what came in.
func TestNothingBelowNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := &Entries{}
		in := 0.0
		for i := range rapid.IntRange(1, 5).Draw(t, "stocks") {
			s := Stock{Head: Head{ID: fmt.Sprint("stock", i), Seq: i}, At: noon, What: "dark chocolate", Amount: float64(rapid.IntRange(1, 900).Draw(t, "g")), Unit: "g", Lot: rapid.SampledFrom([]string{"", "L1", "L2"}).Draw(t, "lot")}
			in += s.Amount
			e.Stocks = append(e.Stocks, s)
		}
		asked := 0.0
		for i := range rapid.IntRange(0, 8).Draw(t, "batches") {
			b := Batch{Head: Head{ID: fmt.Sprint("batch", i)}, At: noon.Add(time.Hour), Lot: fmt.Sprint("K", i), What: "bee", Unit: "piece"}
			l := BatchLot{Batch: b.ID, What: "dark", Lot: rapid.SampledFrom([]string{"L1", "L2", "L3"}).Draw(t, "of"), MassG: float64(rapid.IntRange(0, 700).Draw(t, "m"))}
			asked += l.MassG
			e.Batches, e.BatchLots = append(e.Batches, b), append(e.BatchLots, l)
		}
		left := 0.0
		for _, s := range e.AtHome() {
			if s.Left < 0 {
				t.Fatalf("%+v", s)
			}
			left += s.Left
		}
		if left > in || left < in-asked-1e-6 {
			t.Fatalf("%g of %g left when %g were taken", left, in, asked)
		}
	})
}
