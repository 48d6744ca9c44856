package sheet

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/box"
)

// poured is the made job with cups: so many, in stages of two, into its one tray.
func poured(n int) *flow.Result {
	j, _ := job()
	r := *j.result
	c := *r.Choices
	c.Bench.RoomC, c.Bench.ScaleG, c.Bench.VacuumHPa, c.Pour.MixMin = unit.Between(20, 22, 24), 0.1, 950, 4
	c.Silicone.Shrinkage = unit.Sure(0.001)
	r.Choices = &c
	p := &r.Plan.Pour
	*p = flow.PlanRubber{Why: "not tested; a clean test of 2027-01-02 differs in coating (tested: lacquer, job: none)", DemouldH: 10.4, PostCureH: 4, PostCureC: 200, FirstFoodH: unit.Between(8, 11, 17),
		FirmFromH: unit.Between(1, 2.7, 7.8), BondUntilH: 72, FoodCheck: []string{"The print itself never touches food; only the cured rubber does."}}
	for i := range n {
		p.Cups = append(p.Cups, flow.PlanCup{Number: i + 1, MassG: 240, PartAG: 218.2, PartBG: 21.8, TotalAG: 218.2 * float64(i+1), TotalBG: 21.8 * float64(i+1), RoomML: 300, CupML: 600,
			Stage: 1 + i/2, LevelMM: 21 * float64(i+1) / float64(n), ReadyMin: 8, PourMin: 1.5, LastPourMin: 16.8, WetUntilMin: 18.3, Fills: []flow.PlanFill{{Tray: 1, MassG: 240, LevelMM: 21 * float64(i+1) / float64(n)}}})
	}
	r.Plan.Pieces = append([]flow.PlanPiece{}, r.Plan.Pieces...)
	r.Plan.Pieces[0].AirPockets = []flow.PlanPocket{{Liquid: "rubber", XMM: 3, YMM: 2, WidthMM: 0.6, DepthMM: 0.8, Brush: true}, {Liquid: "chocolate", XMM: 1, Brush: true}}
	return &r
}

func TestBenchSheetsStayOnTheirPages(t *testing.T) {
	for _, n := range []int{0, 1, 4, 9} {
		for paper := range box.Papers {
			b, err := newBenchBook(poured(n), paper)
			stays(t, fmt.Sprintf("bench-%d-%s", n, paper), b, err)
		}
	}
}

// The sheet says what the plan says: each cup's masses and running totals, the level
// over the base, how many hollows are brushed, the moment of the last safe pour.
func TestBenchSheetSaysThePlan(t *testing.T) {
	var out bytes.Buffer
	if err := WriteBench(t.Context(), &out, poured(2), "A4"); err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(poppler(t, out.Bytes(), "pdftotext", "-layout")), " ")
	for _, want := range []string{"Not released", "Stir A in its tin", "218.2 g", "out 436.4 g, really", "out 43.6 g, really", "tray 1 to 10.5 mm", "cup 2: 21 mm",
		"brush 5", "+16 min", "10 h 24 min", "4 h at 200 °C", "never latex", "vessel"} {
		if !strings.Contains(strings.ReplaceAll(text, "\u00a0", " "), want) {
			t.Errorf("the sheet does not say %q:\n%s", want, text)
		}
	}
	var again bytes.Buffer
	if err := WriteBench(t.Context(), &again, poured(2), "A4"); err != nil || !bytes.Equal(out.Bytes(), again.Bytes()) {
		t.Errorf("written twice it differs, %v", err)
	}
	if err := WriteBench(t.Context(), &out, poured(1), "A3"); err == nil {
		t.Error("a paper that there is not was taken")
	}
}

// Each pour is one page; a dozen cups go on to a second one, which says so and carries
// the totals over.
func TestOnePageAPour(t *testing.T) {
	for paper := range box.Papers {
		for n, want := range map[int]int{1: 1, 4: 1, 6: 1, 12: 2} {
			r := poured(n)
			for i := range r.Plan.Pour.Cups {
				r.Plan.Pour.Cups[i].Stage = 1
			}
			var out bytes.Buffer
			if err := WriteBench(t.Context(), &out, r, paper); err != nil {
				t.Fatal(err)
			}
			pages := strings.Split(strings.ReplaceAll(string(poppler(t, out.Bytes(), "pdftotext", "-layout")), "\u00a0", " "), "\f")
			pours, cups := 0, 0
			for _, p := range pages {
				if k := strings.Count(p, "pour by"); strings.Contains(p, "Pour") && k > 0 {
					pours++
					cups += k - strings.Count(p, "one more")
				}
			}
			if pours != want || cups != n {
				t.Errorf("%s, %d cups: %d pages with %d cups, want %d pages", paper, n, pours, cups, want)
			}
			if all := strings.Join(pages, ""); want > 1 && (!strings.Contains(all, "page 2 of 2") || !strings.Contains(all, "Out of the tins before this page: ")) {
				t.Errorf("%s, %d cups: the second page does not say what it is", paper, n)
			}
		}
	}
}

// The book's chapter has the same numbers as the bench sheet, and stays on its pages.
func TestRubberChapterHasTheCups(t *testing.T) {
	r := poured(3)
	r.Plan.Mould = flow.PlanMould{Stretch: unit.Between(0.12, 0.24, 0.36), StretchAllowed: 0.44, Casts: unit.Between(33, 100, 300),
		Trays: []flow.PlanMouldTray{{Tray: 1, MassG: unit.Sure(533), SpanMM: unit.Between(58, 77, 105), NeedsBoard: true, BulgeMM: unit.Sure(0.01), LeakG: unit.Between(0.3, 0.9, 48)}}}
	r.Plan.Pour.Kits = []flow.PlanKit{{Name: "tin of 1 kg", Count: 2, MassG: 1000, Price: 38.5}}
	text := strings.ReplaceAll(strings.Join(strings.Fields(poppler(t, bare(t, r), "pdftotext", "-layout")), " "), "\u00a0", " ")
	for _, want := range []string{"Not released: not tested", "218.2 g", "654.6 g", "when firm", "2 × tin of 1 kg", "needs one", "stretched by 12–36 %", "33 to 300 casts", "1: 14 mm"} {
		if !strings.Contains(text, want) {
			t.Errorf("the book does not say %q", want)
		}
	}
	b, err := newBook(r, nil, "Letter")
	if err != nil {
		t.Fatal(err)
	}
	if err := b.write(t.Context(), new(bytes.Buffer)); err != nil || len(b.spilled) > 0 {
		t.Error(err, b.spilled)
	}
}
