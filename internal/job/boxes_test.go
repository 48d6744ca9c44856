package job

import (
	"context"
	"strings"
	"testing"
	"testing/fstest"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow"
)

// party is a small job: two designs and a name plaque, for a box of four.
const party = `title = "A supper"
needed = 2027-03-14
[printer]
pixel_mm = 0.05
[chocolate.dark]
ingredients = ["cocoa mass", "sugar", "cocoa butter"]
[chocolate.milk]
kind = "milk"
ingredients = ["sugar", "cocoa butter", "whole milk powder", "cocoa mass"]
[filling.jelly]
ingredients_g = { "pears" = 200, "sugar" = 200, "glucose syrup" = 60, "pectin" = 6 }
water_pct = 23
density_g_ml = 1.33
[box]
cell_width_mm = 30
cell_depth_mm = 30
[label]
maker = "Thistlewick kitchen"
[names]
file = "guests.csv"
[[piece]]
name = "leaf"
chocolate = "dark"
outline = "round"
width_mm = 20
[[piece]]
name = "drop"
chocolate = "milk"
filling = "jelly"
outline = "oval"
width_mm = 22
[[piece]]
name = "plaque"
names = true
chocolate = "dark"
width_mm = 22
depth_mm = 14
`

const partyGuests = "name,boxes,allergies,dislikes,vegan,own_piece\nYsoline,1,,,,\nBexhild,2,milk,,,\nQuillon,1,,drop,,no\nPerrin,0,,,,\n"

// sketch computes a job coarsely.
func sketch(t *testing.T, text, guests string) (*flow.Result, error) {
	t.Helper()
	j, err := Read("job.toml", []byte(text))
	if err != nil {
		return nil, err
	}
	in, err := j.Input(context.Background(), fstest.MapFS{"guests.csv": {Data: []byte(guests)}})
	if err != nil {
		return nil, err
	}
	return flow.NewSketcher("test").Sketch(context.Background(), in)
}

func TestBoxes(t *testing.T) {
	r, err := sketch(t, party, partyGuests)
	if err != nil {
		t.Fatal(err)
	}
	p := &r.Plan
	if w := finding.Worst(p.Findings); w == finding.Stop {
		t.Fatal(p.Findings)
	}
	if len(p.Boxes) != 4 {
		t.Fatalf("%d boxes, want 4: one, two, one and none", len(p.Boxes))
	}
	counts := map[string]int{}
	for _, b := range p.Boxes {
		if own := b.Cells[0].Piece == "plaque: "+b.Person; len(b.Cells) != 4 || own == (b.Person == "Quillon") {
			t.Errorf("%s: %v", b.Name, b.Cells)
		}
		for _, c := range b.Cells {
			counts[c.Piece]++
			if c.Piece == "drop" && b.Person != "Ysoline" {
				t.Errorf("%s gets a drop, of milk chocolate", b.Name)
			}
		}
		if (b.Person != "Ysoline") != (len(b.Allergens) == 0) {
			t.Errorf("%s: allergens %v", b.Name, b.Allergens)
		}
	}
	// Counts flow back to pieces and kitchen; nobody has a plaque for Perrin, who has no box.
	for _, pc := range p.Pieces {
		if pc.Count != counts[pc.Name] || strings.Contains(pc.Name, "Perrin") || strings.Contains(pc.Name, "Quillon") {
			t.Errorf("%d of %s are made, %d lie in boxes", pc.Count, pc.Name, counts[pc.Name])
		}
	}
	for _, g := range p.Box.Gap {
		if g != 0 {
			t.Errorf("gap %v", p.Box.Gap)
		}
	}
	y := p.Boxes[0]
	// The calendar says when the filling is made; best before counts from then.
	day := ""
	for _, task := range p.Calendar.Tasks {
		if task.Task == "make jelly" {
			day = task.From[:10]
		}
	}
	if y.BestBefore == nil || day == "" || y.Made.String() != day || !strings.Contains(y.Facts, "Best before "+y.BestBefore.String()) || y.Shortest != "jelly" || !strings.Contains(y.Facts, "Thistlewick kitchen") {
		t.Errorf("%+v", y)
	}
	// By hand: masses of the plan's pieces, rounded down.
	g := 0.0
	for _, c := range y.Cells {
		for _, pc := range p.Pieces {
			if pc.Name == c.Piece {
				g += pc.MassG.Likely
			}
		}
	}
	if y.NetG > g || y.NetG <= g-1 {
		t.Errorf("net %v g, its pieces weigh %v g", y.NetG, g)
	}
}

// What a person may get wrong, or what cannot be done: said, with the remedy.
func TestBoxesOfBadInput(t *testing.T) {
	swap := func(pairs ...string) string { return strings.NewReplacer(pairs...).Replace(party) }
	for _, c := range []struct {
		what, job, guests string
		worst             finding.Severity
		says              string // part of a finding or of the error
	}{
		{"allergic to everything", party, "name,allergies\nYsoline,cocoa mass\n", finding.Care, `no piece is for Ysoline (no cocoa mass)`},
		{"own piece with what its owner cannot eat", swap(`chocolate = "dark"
width_mm = 22`, `chocolate = "milk"
width_mm = 22`), "name,allergies\nYsoline,\nBexhild,milk\n", finding.Care, "Bexhild cannot have their own piece"},
		{"more own pieces than cells", swap("[box]\n", "[box]\nrows = 1\ncolumns = 1\n", `name = "plaque"
names = true`, `name = "second"
names = true
chocolate = "dark"
width_mm = 20
[[piece]]
name = "plaque"
names = true`), "name\nYsoline\n", finding.Stop, "Ysoline has 2 pieces of their own for a box of 1 cells"},
		{"twice on the list", party, "name\nYsoline\nYsoline\n", "", `"Ysoline" stands at 1 and at 2`},
		{"twice but for a capital", party, "name\nYsoline\nysoline \n", finding.Care, `"Ysoline" and "ysoline" may be the same guest`},
		{"spoils before it is needed", swap("[label]\n", "[label]\nmade = 2026-12-01\n"), "name\nYsoline\n", finding.Stop, "jelly keeps"},
		{"made after it is needed", swap("[label]\n", "[label]\nmade = 2027-03-20\n"), "name\nYsoline\n", finding.Stop, "2027-03-20 is after 2027-03-14"},
		{"too large for its cell", swap("cell_width_mm = 30", "cell_width_mm = 24", "cell_depth_mm = 30", "cell_depth_mm = 21"), "name\nYsoline\n", finding.Stop, "fits no cell"},
		{"a slip of the pen", party, "name,allergies\nYsoline,hazlenut\n", finding.Stop, `"hazelnut" is`},
		{"a number that is none", party, "name,boxes\nYsoline,two\n", "", `column "boxes": "two"`},
		{"a sheet without measures", swap("[label]\n", "[label]\nsheet = \"own\"\n"), "name\nYsoline\n", "", "label.rows: missing"},
	} {
		r, err := sketch(t, c.job, c.guests)
		if err != nil {
			if c.worst != "" || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%s: %v", c.what, err)
			}
			continue
		}
		var said []finding.Finding
		for _, f := range r.Plan.Findings {
			if strings.Contains(f.What, c.says) {
				said = append(said, f)
			}
		}
		if len(said) == 0 || said[0].Severity != c.worst || said[0].Do == "" {
			t.Errorf("%s: %v of %v", c.what, said, r.Plan.Findings)
		}
	}
}

// The remedy of a filling that spoils is a day on which it does not.
func TestRemedyOfASpoiltFilling(t *testing.T) {
	spoilt := strings.Replace(party, "[label]\n", "[label]\nmade = 2026-12-01\n", 1)
	r, err := sketch(t, spoilt, "name\nYsoline\n")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range r.Plan.Findings {
		if f.Remedy.Key != "label.made" {
			continue
		}
		if r, err = sketch(t, strings.Replace(spoilt, "2026-12-01", f.Remedy.Value, 1), "name\nYsoline\n"); err != nil {
			t.Fatal(err)
		}
		if finding.Worst(r.Plan.Findings) == finding.Stop {
			t.Errorf("with %s: %v", f.Remedy.Value, r.Plan.Findings)
		}
		return
	}
	t.Errorf("no remedy: %v", r.Plan.Findings)
}
