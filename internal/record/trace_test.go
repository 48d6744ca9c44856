package record

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// A chocolate and a cream go into a ganache, the ganache and another lot of the
// chocolate into pieces, the pieces into two boxes. Worked by hand.
func TestTrace(t *testing.T) {
	r := open(t, newJob(t))
	ganache := &Batch{Head: Head{ID: newID()}, At: noon, Lot: "G1", What: "ganache", Made: 400, Unit: "g"}
	bees := &Batch{Head: Head{ID: newID()}, At: noon, Lot: "K7", What: "bee", Made: 12, Unit: "piece"}
	pears := &Batch{Head: Head{ID: newID()}, At: noon, Lot: "K8", What: "pear", Made: 6, Unit: "piece"}
	b1 := &Box{Head: Head{ID: newID()}, At: noon, Lot: "B1", Receiver: "Ysoline"}
	b2 := &Box{Head: Head{ID: newID()}, At: noon, Lot: "B2", Receiver: "Perrin"}
	write(t, r, ganache, bees, pears, b1, b2,
		&BatchLot{Batch: ganache.ID, What: "dark chocolate", Lot: "L12"}, &BatchLot{Batch: ganache.ID, What: "cream", Lot: "C9"},
		&BatchLot{Batch: bees.ID, What: "ganache", Lot: "G1"}, &BatchLot{Batch: bees.ID, What: "dark chocolate", Lot: "L13"},
		&BatchLot{Batch: pears.ID, What: "milk chocolate", Lot: "M2"},
		&Content{Box: b1.ID, Batch: bees.ID, What: "bee", Count: 2}, &Content{Box: b1.ID, Batch: pears.ID, What: "pear", Count: 1},
		&Content{Box: b2.ID, Batch: pears.ID, What: "pear", Count: 3})
	e, err := r.Standing(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ asked, what, boxes, batches, lots string }{
		{"B1", "box", "B1", "G1 K7 K8", "C9 L12 L13 M2"},
		{"b2", "box", "B2", "K8", "M2"},
		{"ysoline", "receiver", "B1", "G1 K7 K8", "C9 L12 L13 M2"},
		{"c9", "lot", "B1", "G1 K7", "C9"},
		{"M2", "lot", "B1 B2", "K8", "M2"},
		{"K7", "batch", "B1", "K7", "L13"},
		{"G1", "batch", "B1", "G1 K7", "C9 L12"},
		{"X", "nothing", "", "", ""},
		{" ", "nothing", "", "", ""},
	} {
		tr := e.Trace(c.asked)
		var boxes, batches, lots []string
		for _, b := range tr.Boxes {
			boxes = append(boxes, b.Lot)
		}
		for _, b := range tr.Batches {
			batches = append(batches, b.Lot)
		}
		for _, l := range tr.Lots {
			lots = append(lots, l.Lot)
		}
		slices.Sort(lots)
		if got := fmt.Sprint(tr.What, boxes, batches, lots); got != fmt.Sprint(c.what, strings.Fields(c.boxes), strings.Fields(c.batches), strings.Fields(c.lots)) {
			t.Errorf("%s: %s", c.asked, got)
		}
	}
	// Lots that go round in a circle end.
	write(t, r, &BatchLot{Batch: ganache.ID, What: "leftovers", Lot: "K7"})
	e, _ = r.Standing(t.Context())
	if tr := e.Trace("B2"); len(tr.Batches) != 1 {
		t.Errorf("%+v", tr)
	}
	if tr := e.Trace("B1"); len(tr.Batches) != 3 {
		t.Errorf("%+v", tr)
	}
}

func TestPrintsAndYields(t *testing.T) {
	r := open(t, newJob(t))
	one := &Print{Head: Head{ID: newID()}, At: noon, Plate: 1, Code: "A", Minutes: 220, PlannedMin: 200}
	two := &Print{Head: Head{ID: newID()}, At: noon, Plate: 2, Code: "A", Minutes: 180, PlannedMin: 200}
	three := &Print{Head: Head{ID: newID()}, At: noon, Plate: 1, Code: "A"}
	old := &Print{Head: Head{ID: newID()}, At: noon, Plate: 1, Code: "OLD"}
	batch := &Batch{Head: Head{ID: newID()}, At: noon, Lot: "K7", What: "bee", Made: 9, Unit: "piece"}
	write(t, r, one, two, three, old, batch, &Loss{Batch: batch.ID, What: "bee", Amount: 3, Unit: "piece"},
		&Part{Print: one.ID, Name: "tile 1", Outcome: "good"}, &Part{Print: one.ID, Name: "tile 2", Outcome: "failed"},
		&Part{Print: two.ID, Name: "tile 3", Outcome: "good"}, &Part{Print: three.ID, Name: "tile 2", Outcome: "flawed"}, &Part{Print: old.ID, Name: "tile 4", Outcome: "good"})
	write(t, r, &Part{Print: two.ID, Name: "tile 3", Outcome: "failed", Why: "seen later: a crack"})
	e, err := r.Standing(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	// tile 1 from the first run although another part of it failed; tile 2 from the
	// third; tile 3 was judged again; tile 4 is of another revision.
	if good := e.goodParts("A", nil); len(good) != 2 || !good["tile 1"] || !good["tile 2"] {
		t.Errorf("good %v", good)
	}
	e.Revisions = append(e.Revisions, Revision{Head: Head{ID: "r1"}, Code: "A"}, Revision{Head: Head{ID: "r0"}, Code: "OLD"})
	e.Laids = append(e.Laids, Laid{Revision: "r1", Plate: 1, Name: "tile 1", Place: "front left"}, Laid{Revision: "r0", Plate: 1, Name: "tile 4", Place: "front left"})
	y := e.Yields()
	if got, want := fmt.Sprint(y), "{[{bee 9 12}] [{plate 1 3 4} {plate 2 0 1}] [{front left 2 2}]}"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if l := e.Learned()["print"]; fmt.Sprint(l) != "[1.1 0.9]" {
		t.Errorf("learned %v", l)
	}
}
