package sheet

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/peer"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/box"
)

// keep writes a PDF into the folder MOULDWRIGHT_PICTURES, when it is set, to be looked at.
func keep(t *testing.T, name string, b []byte) {
	if dir := os.Getenv("MOULDWRIGHT_PICTURES"); dir != "" {
		if err := os.WriteFile(filepath.Join(dir, name), b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// stays writes a book all of whose words must lie on its pages.
func stays(t *testing.T, name string, b *book, err error) []byte {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := b.write(t.Context(), &out); err != nil {
		t.Fatal(err)
	}
	for _, x := range b.spilled {
		t.Errorf("%s: %s", name, x)
	}
	keep(t, name+".pdf", out.Bytes())
	return out.Bytes()
}

// job is made once: drawing its pictures is most of the work.
var job = sync.OnceValues(func() (madeJob, *Sketchbook) {
	j := made(24, 0.1)
	return j, j.sketched()
})

func TestSheetsStayOnTheirPages(t *testing.T) {
	j, s := job()
	for paper := range box.Papers {
		b, err := newBook(j.result, s, paper)
		stays(t, paper, b, err)
	}
}

// bare is the job without its pictures, which a test about words does not need.
func bare(t *testing.T, r *flow.Result) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Write(t.Context(), &out, r, nil, "A4"); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestSameBytesTwice(t *testing.T) {
	j, s := job()
	var first []byte
	for k, cores := range []int{1, 4} {
		if k > 0 {
			time.Sleep(1100 * time.Millisecond) // clocks in a PDF count seconds
		}
		before := runtime.GOMAXPROCS(cores)
		var out bytes.Buffer
		err := Write(t.Context(), &out, j.result, s, "A4")
		runtime.GOMAXPROCS(before)
		if err != nil {
			t.Fatal(err)
		}
		if k == 0 {
			first = out.Bytes()
		} else if !bytes.Equal(first, out.Bytes()) {
			t.Error("two books of one job differ")
		}
	}
	if !bytes.Contains(first, []byte(fixedDate)) {
		t.Error("the date of writing is not the fixed one")
	}
	if m := regexp.MustCompile(`\(D:20\d{12}`).FindAll(first, -1); len(m) != 1 {
		t.Errorf("%d dates, want one", len(m))
	}
}

// The table of places must point at its objects, though the date was shortened.
func TestTableOfPlaces(t *testing.T) {
	j, _ := job()
	pdf := bare(t, j.result)
	at := bytes.LastIndex(pdf, []byte("startxref\n"))
	var xref int
	if _, err := fmt.Sscanf(string(pdf[at:]), "startxref\n%d", &xref); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(string(pdf[xref:at]), "\n")
	if lines[0] != "xref" {
		t.Fatalf("at %d stands %q", xref, lines[0])
	}
	n := 0
	for i, l := range lines[3:] {
		var place, gen int
		if _, err := fmt.Sscanf(l, "%d %d n", &place, &gen); err != nil {
			break
		}
		if want := fmt.Sprintf("%d 0 obj", i+1); !bytes.HasPrefix(pdf[place:], []byte(want)) {
			t.Fatalf("object %d is not at %d", i+1, place)
		}
		n++
	}
	if n < 20 {
		t.Errorf("only %d objects", n)
	}
}

// poppler runs one of poppler's tools on a PDF.
func poppler(t *testing.T, pdf []byte, tool string, args ...string) string {
	t.Helper()
	tool = peer.Tool(t, tool, "poppler-utils")
	file := filepath.Join(t.TempDir(), "sheets.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, append(args, file, "-")[:len(args)+2]...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", tool, err, out)
	}
	return string(out)
}

func TestTextCanBeCopied(t *testing.T) {
	j, _ := job()
	text := poppler(t, bare(t, j.result), "pdftotext", "-layout")
	text = strings.Join(strings.Fields(text), " ")
	for _, s := range []string{
		"Twelve bees, six hearts and twenty-four", "A summer table for Ysoline, wanted for 14 March 2027",
		"revision 7K3QX9T", "page 1 of ", "2 h 21 min", "236 g", "Plaque: 24 names", "Þórgnýr", "Aðalrós", "Ţvetelin", "Συνέσιος", "Велимудра",
		"A print never touches food", "Allergens travel on spatulas", "hazelnut (in hazelnut gianduja)",
		"3f2a 9c01 be77", "piece[1].art[1].depth_mm", "silicone.density_g_ml", "scale 1 : 2, mm", "raspberry ganache",
	} {
		if !strings.Contains(text, s) {
			t.Errorf("%q cannot be copied", s)
		}
	}
	pages := strings.Count(poppler(t, bare(t, j.result), "pdftotext"), "\f")
	if !strings.Contains(text, fmt.Sprintf("page %d of %d", pages, pages)) {
		t.Errorf("%d pages, but the last does not say so", pages)
	}
}

// Poppler reads every page without a word of complaint.
func TestPDFIsWellFormed(t *testing.T) {
	j, s := job()
	var out bytes.Buffer
	if err := Write(t.Context(), &out, j.result, s, "Letter"); err != nil {
		t.Fatal(err)
	}
	pdftoppm := peer.Tool(t, "pdftoppm", "poppler-utils")
	dir := t.TempDir()
	file := filepath.Join(dir, "sheets.pdf")
	if err := os.WriteFile(file, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	said, err := exec.Command(pdftoppm, "-r", "20", "-png", file, filepath.Join(dir, "p")).CombinedOutput()
	if err != nil || len(said) > 0 {
		t.Errorf("pdftoppm: %v\n%s", err, said)
	}
	pages, _ := filepath.Glob(filepath.Join(dir, "p*.png"))
	b, _ := newBook(j.result, s, "Letter")
	if len(pages) != len(b.sheets) {
		t.Errorf("%d pages drawn, want %d", len(pages), len(b.sheets))
	}
}

// Long texts, many names and many findings stay inside.
func TestExtremes(t *testing.T) {
	j, _ := job()
	r := *j.result
	long := strings.Repeat("unreasonably long ", 40) + strings.Repeat("w", 300)
	r.Plan.Title = long
	r.Plan.Pieces = append([]flow.PlanPiece{}, r.Plan.Pieces...)
	for i := range r.Plan.Pieces {
		r.Plan.Pieces[i].Name = long
		r.Plan.Pieces[i].Filling = long
		r.Plan.Pieces[i].Chocolate = long
	}
	c := *r.Choices
	c.Pieces = append(c.Pieces[:0:0], c.Pieces...)
	for i := range c.Pieces {
		c.Pieces[i].Name = long
	}
	r.Choices = &c
	r.Plan.Plates = append([]flow.PlanPlate{}, r.Plan.Plates...)
	r.Plan.Plates[0].File = long
	r.Plan.Plates[0].Parts = strings.Fields(long)
	r.Plan.Plates[0].ResinML = 1e12
	r.Plan.Plates[0].Layers = 1 << 40
	for range 120 {
		r.Plan.Findings = append(r.Plan.Findings, finding.Finding{Severity: finding.Stop, Where: long, What: long, Do: long})
		r.Plan.Assumed = append(r.Plan.Assumed, flow.Assumed{Key: long, Value: long, Source: long})
	}
	for paper := range box.Papers {
		b, err := newBook(&r, nil, paper)
		if err != nil {
			t.Fatal(err)
		}
		if err := b.write(t.Context(), new(bytes.Buffer)); err != nil {
			t.Fatal(err)
		}
		for i, x := range b.spilled {
			if i < 5 {
				t.Error(x)
			}
		}
	}
}

func TestEmptyPlan(t *testing.T) {
	if b := bare(t, &flow.Result{}); len(b) == 0 {
		t.Error("nothing written")
	}
}

// A book of 2,000 names has a bounded number of pages, one for each 30 names, and
// its memory does not hold them all.
func TestTwoThousandNames(t *testing.T) {
	j, _ := job()
	r := *j.result
	r.Items = nil
	r.Plan.Pieces = nil
	for i := range 2000 {
		r.Plan.Pieces = append(r.Plan.Pieces, j.result.Plan.Pieces[2+i%24])
		r.Items = append(r.Items, j.result.Items[2+i%24])
	}
	b, err := newBook(&r, nil, "A4")
	if err != nil {
		t.Fatal(err)
	}
	contacts := 0
	for _, d := range b.designs() {
		contacts += len(d.contacts())
	}
	if contacts != 67 {
		t.Errorf("%d contact sheets, want 67", contacts)
	}
	out := &counter{}
	if err := b.write(t.Context(), out); err != nil {
		t.Fatal(err)
	}
	if out.n > 6<<20 { // 1.6 kB of captions a name, and the typefaces
		t.Errorf("%d bytes without pictures", out.n)
	}
}

type counter struct{ n int }

func (c *counter) Write(b []byte) (int, error) { c.n += len(b); return len(b), nil }

type full struct{ room int }

var errFull = errors.New("no space left on device")

func (f *full) Write(b []byte) (int, error) {
	if f.room -= len(b); f.room < 0 {
		return 0, errFull
	}
	return len(b), nil
}

func TestStops(t *testing.T) {
	j, s := job()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := Write(ctx, new(bytes.Buffer), j.result, s, "A4"); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	if err := NewSketchbook(j.result.Choices).Piece(ctx, 0, j.pieces[0], j.cavity[0]); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled sketch: %v", err)
	}
	if err := Write(t.Context(), &full{room: 5000}, j.result, nil, "A4"); !errors.Is(err, errFull) {
		t.Errorf("full disk: %v", err)
	}
	if err := Write(t.Context(), new(bytes.Buffer), j.result, nil, "A5"); err == nil {
		t.Error("A5: no error")
	}
}
