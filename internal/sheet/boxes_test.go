package sheet

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/text/unicode/norm"

	"mouldwright/internal/base/peer"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/box"
)

// boxed is a plan with one box for each script.
func boxed(rules, sheet string) *flow.Result {
	l := box.Label{Rules: rules, Sheet: sheet}
	layout, err := l.Layout()
	if err != nil {
		panic(err)
	}
	r := &flow.Result{Plan: flow.Plan{Title: "The Thistlewick orchard supper", Revision: "7YK2M4Q", Box: flow.PlanBoxing{
		WidthMM: 101.5, DepthMM: 89.5, HeightMM: 20, Rules: rules, Food: "filled chocolates", Sheet: layout,
		Cells: []flow.PlanCellAt{{XMM: 25, YMM: 67, WidthMM: 50, DepthMM: 44}, {XMM: 76, YMM: 67, WidthMM: 50, DepthMM: 44}},
	}}}
	wording := box.WordingOf(rules)
	r.Plan.Box.BestBeforeWords = wording.BestBefore
	best := unit.Date{Year: 2027, Month: 1, Day: 2}
	for _, script := range sorted(scripts) {
		name := strings.Fields(scripts[script])[0]
		b := flow.PlanBox{Person: name, Name: name, Needs: []string{"no sesame"}, NetG: 47, Lot: "L261218", Storage: "Store cool and dry.", BestBefore: &best,
			Cells:       []flow.PlanCell{{Piece: "name plaque: " + name, Design: 1}, {}},
			Ingredients: []box.Run{{Text: "dark chocolate (cocoa mass, sugar), "}, {Text: "hazelnuts", Bold: true}, {Text: ", whole "}, {Text: "milk", Bold: true}, {Text: " powder, pears, glucose syrup."}},
			Allergens:   []string{"milk", "nuts"}, MayContain: []string{"sesame", "lupin"}, Contains: []string{"milk", "tree nuts (hazelnut)"},
		}
		b.NetWords, b.MayContainWords = wording.Net(b.NetG), wording.Called(b.MayContain)
		if rules == "EU" {
			b.Contains = nil
		}
		b.Facts = fmt.Sprintf("%s: filled chocolates, 47 g\nIngredients: %s\nBest before 2027-01-02\nLot L261218\n", name, box.Plain(b.Ingredients))
		r.Plan.Boxes = append(r.Plan.Boxes, b)
	}
	return r
}

// pdfOf writes a PDF to a file and gives its text as pdftotext reads it, in one line.
func pdfOf(t *testing.T, write func(*bytes.Buffer) error) (file, text string) {
	t.Helper()
	tool := peer.Tool(t, "pdftotext", "poppler-utils")
	var out bytes.Buffer
	if err := write(&out); err != nil {
		t.Fatal(err)
	}
	file = filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(file, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	got, err := exec.Command(tool, "-raw", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return file, strings.Join(strings.Fields(clean(norm.NFC.String(string(got)))), " ")
}

// A label says all of it, in every script, under both sets of rules and on a large and
// a small label: there it goes on on the next one.
func TestLabelsSayAll(t *testing.T) {
	for _, c := range [][2]string{{"EU", "2 x 4 on A4"}, {"US", "3 x 10 on Letter"}, {"US", "2 x 5 on Letter"}, {"EU", "3 x 7 on A4"}} {
		r := boxed(c[0], c[1])
		_, text := pdfOf(t, func(b *bytes.Buffer) error { return WriteLabels(context.Background(), b, r, nil) })
		for _, b := range r.Plan.Boxes {
			if !strings.Contains(text, norm.NFC.String(b.Name)) {
				t.Errorf("%v: %q is missing", c, b.Name)
			}
		}
		says := []string{"May contain: sesame, lupin.", "2 January 2027"}
		if c[0] == "US" {
			says = []string{"May contain: sesame.", "2 January 2027", "Contains: milk, tree nuts (hazelnut)."}
		}
		for _, s := range says {
			// On a small label a sentence may run over its edge, and onto the next label.
			if c[1] == "2 x 4 on A4" && !strings.Contains(text, s) {
				t.Errorf("%v: %q is missing in %s", c, s, text)
			}
		}
		for _, word := range strings.Fields("Ingredients: hazelnuts powder, L261218.") {
			if n := strings.Count(text, word); n < len(r.Plan.Boxes) {
				t.Errorf("%v: %q stands %d times, for %d boxes", c, word, n, len(r.Plan.Boxes))
			}
		}
	}
}

func TestBoxMapsAndCardsNameEverybody(t *testing.T) {
	r := boxed("EU", "2 x 4 on A4")
	for what, write := range map[string]func(*bytes.Buffer) error{
		"maps":  func(b *bytes.Buffer) error { return WriteBoxes(context.Background(), b, r, nil, "A4") },
		"cards": func(b *bytes.Buffer) error { return WriteCards(context.Background(), b, r, nil, "Letter") },
	} {
		_, text := pdfOf(t, write)
		for _, b := range r.Plan.Boxes {
			if strings.Count(text, norm.NFC.String(b.Name)) < 2 { // in the heading and among the pieces
				t.Errorf("%s: %q is missing", what, b.Name)
			}
		}
		if !strings.Contains(text, "May contain traces of sesame, lupin") {
			t.Errorf("%s: traces are missing", what)
		}
	}
}

// The code on the card is read back by an independent reader (zbarimg), and holds the
// same facts as the label, in every script.
func TestCodesAreReadBack(t *testing.T) {
	zbar := peer.Tool(t, "zbarimg", "zbar-tools")
	ppm := peer.Tool(t, "pdftoppm", "poppler-utils")
	r := boxed("EU", "2 x 4 on A4")
	file, _ := pdfOf(t, func(b *bytes.Buffer) error { return WriteLabels(context.Background(), b, r, nil) })
	page := filepath.Join(t.TempDir(), "page")
	if out, err := exec.Command(ppm, "-r", "300", "-gray", "-png", file, page).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	pictures, err := filepath.Glob(page + "*.png")
	if err != nil || len(pictures) == 0 {
		t.Fatal(pictures, err)
	}
	got := map[string]bool{}
	for _, p := range pictures {
		out, err := exec.Command(zbar, "--quiet", "--raw", "-Sdisable", "-Sqrcode.enable", "--nodbus", p).Output()
		if err != nil {
			t.Fatalf("%s: %v", p, err)
		}
		for _, s := range strings.SplitAfter(string(out), "Lot L261218\n") {
			got[strings.TrimSpace(s)] = true
		}
	}
	for _, b := range r.Plan.Boxes {
		if !got[strings.TrimSpace(b.Facts)] {
			t.Errorf("the code of %s was not read as\n%s\nread: %v", b.Name, b.Facts, got)
		}
	}
}

// The smallest letters are those of the rules.
func TestSmallestLetters(t *testing.T) {
	f, err := newFaces()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		rules string
		side  float64
		x     float64
	}{{"EU", 100, 1.2}, {"EU", 80, 0.9}, {"US", 100, 1.5875}} {
		b := &book{f: f, r: &flow.Result{Plan: flow.Plan{Box: flow.PlanBoxing{Rules: c.rules, WidthMM: c.side, DepthMM: c.side}}}}
		if got := f.sans.Face(b.leastPt(), ink).Metrics().XHeight; got < c.x-1e-9 || got > c.x+1e-9 {
			t.Errorf("%s, %g mm: small letters of %g mm, want %g", c.rules, c.side, got, c.x)
		}
	}
}

// The clock leaves no trace in labels either, whose letters without ink come from a font
// that is made while they are written.
func TestLabelsAreSteady(t *testing.T) {
	var first, second bytes.Buffer
	r := boxed("EU", "2 x 4 on A4")
	if err := WriteLabels(context.Background(), &first, r, nil); err != nil {
		t.Fatal(err)
	}
	time.Sleep(1100 * time.Millisecond) // a font's clock counts seconds
	if err := WriteLabels(context.Background(), &second, r, nil); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Error("the same labels gave other bytes a second later")
	}
}
