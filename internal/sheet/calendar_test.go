package sheet

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"mouldwright/internal/base/peer"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/box"
	"mouldwright/internal/flow/calendar"
)

// planned is a job with a calendar of six plates and a shopping list.
func planned(t *testing.T, past calendar.Past) *flow.Result {
	t.Helper()
	e, w := []string{"18:30-21:30"}, []string{"10:00-18:00"}
	c := calendar.Choices{Monday: e, Tuesday: e, Wednesday: e, Thursday: e, Friday: e, Saturday: w, Sunday: w, NeededBy: "12:00", People: 1, Printers: 1, Chambers: 1, Ovens: 1,
		FailTests: 1, FailPrints: 1, FailCures: 1, SessionH: 4, EatenDays: 7, DeliveryDays: unit.Between(2, 4, 7), ExpressDays: 1, SetUpMin: unit.Sure(15), WashMin: unit.Sure(30), LampMin: unit.Sure(60),
		PartMin: unit.Sure(4), BenchMin: unit.Sure(25), DemouldMin: unit.Sure(30), CleanMin: unit.Sure(20), FillingMin: unit.Sure(45), TemperMin: unit.Sure(45), RestH: unit.Sure(12), BoxMin: unit.Sure(3),
		Tasks: []calendar.OwnTask{{Name: "write the cards, each with a line for the one who gets it, and with the long name of the day", Hands: unit.Sure(90)}}}
	keeps := unit.Between(14, 28, 60)
	work := calendar.Work{Needed: unit.Date{Year: 2026, Month: 12, Day: 19}, Boxes: 26, Trays: []calendar.Tray{{Number: 1, Parts: 8}}, PadsMin: unit.Sure(30), PadsLookH: unit.Between(18, 20, 24),
		StageMin: []float64{25}, FirmH: unit.Sure(2), DemouldH: unit.Between(4, 5, 10), PostCureH: 4, Copies: 1, Fillings: []calendar.Filling{{Name: "pear caramel", KeepDays: &keeps}}, EveningMin: 250, Rounds: 5}
	for range 6 {
		work.Plates = append(work.Plates, calendar.Plate{PrintMin: unit.Between(40, 60, 80), Trays: []int{1}})
	}
	cal, _, err := calendar.Make(context.Background(), work, c, past, calendar.Options{Changes: true, Placings: 5000})
	if err != nil {
		t.Fatal(err)
	}
	price, cost := 7.8, 15.6
	r := &flow.Result{Calendar: cal, Plan: flow.Plan{Title: "The supper in the orchard", Revision: "ABC1234"}}
	r.Plan.Shopping = flow.PlanShopping{Currency: "EUR", Total: 15.6, Used: 12, PerBox: 0.6, PerPiece: 0.15, NoPrice: []string{"sugar"}, Groups: []flow.PlanGroup{{Group: "chocolate", Cost: 15.6}},
		Lines: []flow.PlanPurchase{{What: "dark chocolate", Group: "chocolate", Need: 900, Unit: "g", Buy: 900, Packs: 2, Pack: 500, Price: &price, Cost: &cost}, {What: "sugar", Group: "filling", Need: 150, Unit: "g", Buy: 0, Home: 150}, {What: "nitrile gloves", Group: "print", Need: 24, Unit: "pair", Buy: 24}}}
	return r
}

// No text leaves its page, on either paper, counted back, from now on and too late.
func TestCalendarSheetsStayOnTheirPages(t *testing.T) {
	at := func(d, h int) time.Time { return time.Date(2026, 12, d, h, 0, 0, 0, time.UTC) }
	for name, past := range map[string]calendar.Past{"calendar": {}, "late": {Now: at(12, 9)}, "underway": {Now: at(2, 19), Happened: []calendar.Happened{{Task: "order what is missing", From: time.Date(2026, 11, 24, 19, 0, 0, 0, time.UTC), To: at(1, 10)}, {Task: "print plate 1", From: at(2, 18)}}}} {
		r := planned(t, past)
		for paper := range box.Papers {
			b, err := newCalendarBook(r, paper)
			stays(t, name+"-"+paper, b, err)
		}
	}
}

// Every task that is to be done stands on the pages with its hour: read again by another
// program.
func TestCalendarSheetsTellEveryTask(t *testing.T) {
	pdftotext := peer.Tool(t, "pdftotext", "poppler-utils")
	r := planned(t, calendar.Past{})
	var out bytes.Buffer
	if err := WriteCalendar(t.Context(), &out, r, "A4"); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "calendar.pdf")
	if err := os.WriteFile(file, out.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	text, err := exec.Command(pdftotext, "-layout", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	said := strings.Join(strings.Fields(string(text)), " ")
	for _, p := range r.Calendar.Tasks {
		words := strings.Fields(p.Name)
		if hour := p.From.Format("15:04") + " " + strings.Join(words[:min(4, len(words))], " "); p.HandsUntil.After(p.From) && !strings.Contains(said, hour) {
			t.Errorf("%q is not on the pages", hour)
		}
	}
	for _, w := range []string{"dark chocolate", "2 × 500 g", "15.60 EUR", "24 pairs", "sugar"} {
		if !strings.Contains(strings.NewReplacer("\u00a0", " ", "\u202f", " ").Replace(said), w) {
			t.Errorf("%q is not on the shopping page", w)
		}
	}
}
