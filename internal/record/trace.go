package record

import (
	"slices"
	"sort"
	"strings"
	"time"
)

// Trace is the answer to one question: from a box to everything that is in it, or from a
// lot to every box and receiver.
type Trace struct {
	Asked   string       `json:"asked"`
	What    string       `json:"what" enum:"box,batch,lot,receiver,nothing" doc:"what was asked about"`
	Boxes   []TraceBox   `json:"boxes" doc:"boxes that hold any of it"`
	Batches []TraceBatch `json:"batches" doc:"batches on the way"`
	Lots    []TraceLot   `json:"lots" doc:"bought lots in them"`
}

// TraceBox is a box.
type TraceBox struct {
	Lot      string    `json:"lot"`
	Receiver string    `json:"receiver"`
	At       time.Time `json:"at"`
	Holds    []string  `json:"holds" doc:"2 crest of batch K7"`
}

// TraceBatch is a batch of the kitchen.
type TraceBatch struct {
	Lot  string    `json:"lot"`
	What string    `json:"what"`
	At   time.Time `json:"at"`
	From []string  `json:"from" doc:"lots that went in: dark chocolate L12"`
}

// TraceLot is a bought lot.
type TraceLot struct {
	Lot  string `json:"lot"`
	What string `json:"what"`
}

// Trace answers from standing entries. asked is a box's lot, a batch's, a bought lot's,
// or a receiver's name; case and spaces do not count. A lot that went into another batch
// is followed through it, however often.
func (e *Entries) Trace(asked string) Trace {
	t := Trace{Asked: asked, What: "nothing", Boxes: []TraceBox{}, Batches: []TraceBatch{}, Lots: []TraceLot{}}
	want := plain(asked)
	if want == "" {
		return t
	}
	boxes, batches := map[string]bool{}, map[string]bool{}
	for _, b := range e.Boxes {
		if plain(b.Lot) == want {
			t.What, boxes[b.ID] = "box", true
		}
	}
	if t.What == "nothing" {
		for _, b := range e.Boxes {
			if plain(b.Receiver) == want {
				t.What, boxes[b.ID] = "receiver", true
			}
		}
	}
	if t.What == "box" || t.What == "receiver" {
		for _, c := range e.Contents {
			if boxes[c.Box] {
				batches[c.Batch] = true
			}
		}
		e.grow(batches, func(l BatchLot) bool { return batches[l.Batch] }, func(l BatchLot) []string { return e.batchesOf(l.Lot) })
		return e.fill(t, boxes, batches, "")
	}
	for _, b := range e.Batches {
		if plain(b.Lot) == want {
			t.What, batches[b.ID] = "batch", true
		}
	}
	for _, l := range e.BatchLots {
		if plain(l.Lot) == want {
			if t.What == "nothing" {
				t.What = "lot"
			}
			batches[l.Batch] = true
		}
	}
	e.grow(batches, func(l BatchLot) bool {
		return slices.ContainsFunc(e.batchesOf(l.Lot), func(b string) bool { return batches[b] })
	}, func(l BatchLot) []string { return []string{l.Batch} })
	for _, c := range e.Contents {
		if batches[c.Batch] {
			boxes[c.Box] = true
		}
	}
	return e.fill(t, boxes, batches, want)
}

// grow adds batches until no more come: each round looks at every lot once.
func (e *Entries) grow(batches map[string]bool, reached func(BatchLot) bool, next func(BatchLot) []string) {
	for before := -1; before != len(batches); {
		before = len(batches)
		for _, l := range e.BatchLots {
			if reached(l) {
				for _, b := range next(l) {
					batches[b] = true
				}
			}
		}
	}
}

// batchesOf is the batches that bear a lot.
func (e *Entries) batchesOf(lot string) (out []string) {
	for _, b := range e.Batches {
		if plain(b.Lot) == plain(lot) {
			out = append(out, b.ID)
		}
	}
	return out
}

// fill words boxes, batches and bought lots. With a lot wanted, only that one is listed.
func (e *Entries) fill(t Trace, boxes, batches map[string]bool, want string) Trace {
	lotOf := map[string]string{}
	for _, b := range e.Batches {
		lotOf[b.ID] = b.Lot
		if !batches[b.ID] {
			continue
		}
		tb := TraceBatch{Lot: b.Lot, What: b.What, At: b.At, From: []string{}}
		for _, l := range e.BatchLots {
			if l.Batch != b.ID {
				continue
			}
			tb.From = append(tb.From, l.What+" "+l.Lot)
			lot := TraceLot{Lot: l.Lot, What: l.What}
			bought := len(e.batchesOf(l.Lot)) == 0
			if bought && (want == "" || t.What == "batch" && plain(lotOf[b.ID]) == want || plain(l.Lot) == want) && !slices.Contains(t.Lots, lot) {
				t.Lots = append(t.Lots, lot)
			}
		}
		t.Batches = append(t.Batches, tb)
	}
	for _, b := range e.Boxes {
		if !boxes[b.ID] {
			continue
		}
		x := TraceBox{Lot: b.Lot, Receiver: b.Receiver, At: b.At, Holds: []string{}}
		for _, c := range e.Contents {
			if c.Box == b.ID && (want == "" || batches[c.Batch]) {
				x.Holds = append(x.Holds, counted(c.Count, c.What)+" of batch "+lotOf[c.Batch])
			}
		}
		t.Boxes = append(t.Boxes, x)
	}
	sort.SliceStable(t.Lots, func(i, k int) bool { return t.Lots[i].What < t.Lots[k].What })
	return t
}

func plain(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }
