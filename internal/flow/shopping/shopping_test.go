package shopping

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"

	"mouldwright/internal/base/unit"
)

var christmas = unit.Date{Year: 2026, Month: 12, Day: 19}

func needs() []Need {
	return []Need{
		{What: "rigid grey resin", Group: "print", Amount: 730, Used: 730, Unit: "ml", GML: 1.1, For: []string{"masters"}},
		{What: "cream", Group: "filling", Amount: 46, Used: 46, Unit: "g", For: []string{"pear caramel"}},
		{What: "cream", Group: "filling", Amount: 44, Used: 44, Unit: "g", For: []string{"honey ganache"}},
		{What: "dark chocolate", Group: "chocolate", Amount: 1250, Used: 900, Unit: "g"},
		{What: "gift box", Group: "box", Amount: 26, Used: 26, Unit: "piece"},
		{What: "small kit", Group: "mould", Amount: 2000, Used: 1500, Unit: "g", Pack: &Pack{Count: 2, Amount: 1000, Price: 30}},
	}
}

// Added up by hand: 730 ml of 1.1 g/ml are 803 g, one bottle of 1 kg at 38.00; 90 g of
// cream of which 50 are at home, one pot of 200 g at 1.80; three bags of 500 g at 9.50;
// 26 boxes in packs of 10 at 12.00, three of them; two kits at 30.00.
func TestAddedUpByHand(t *testing.T) {
	prices := []Price{{What: "resin", Price: 38, Pack: 1, Unit: "kg", Shop: "by post"}, {What: "Cream", Price: 1.80, Pack: 200, Unit: "g"}, {What: "dark chocolate", Price: 9.50, Pack: 0.5, Unit: "kg"}, {What: "box", Price: 12, Pack: 10, Unit: "piece"}}
	stock := []Stock{{What: "cream", Amount: 50, Unit: "g", KeepsUntil: unit.Date{Year: 2026, Month: 12, Day: 24}}, {What: "cream", Amount: 500, Unit: "g", KeepsUntil: unit.Date{Year: 2026, Month: 12, Day: 1}}}
	l, found, err := Make(needs(), prices, stock, christmas)
	if err != nil || len(found) > 0 {
		t.Fatal(found, err)
	}
	want := map[string]struct {
		packs     int
		buy, cost float64
	}{"rigid grey resin": {1, 730, 38}, "cream": {1, 40, 1.8}, "dark chocolate": {3, 1250, 28.5}, "gift box": {3, 26, 36}, "small kit": {2, 2000, 60}}
	if len(l.Lines) != len(want) {
		t.Fatalf("%d lines", len(l.Lines))
	}
	for _, n := range l.Lines {
		w := want[n.What]
		if n.Packs != w.packs || n.Buy != w.buy || n.Cost == nil || math.Abs(*n.Cost-w.cost) > 1e-9 {
			t.Errorf("%s: %d packs, buy %g, cost %v; want %+v", n.What, n.Packs, n.Buy, n.Cost, w)
		}
		if n.What == "cream" && (n.Home != 50 || n.Spoilt != 500 || len(n.For) != 2) {
			t.Errorf("%+v", n)
		}
	}
	if math.Abs(l.Total-164.3) > 1e-9 || len(l.NoPrice) > 0 {
		t.Errorf("total %g, without price %v", l.Total, l.NoPrice)
	}
	// Used up: 803 of 1000 g, 90 of 200 g less nothing, 900 of 500 g at a time, 26 of 10, 1500 of 1000.
	if used := 38*0.803 + 1.8*90/200 + 9.5*900/500 + 12*2.6 + 45; math.Abs(l.Used-used) > 1e-9 {
		t.Errorf("used %g, want %g", l.Used, used)
	}
	if l.ByGroup[0] != (Sum{"mould", 60}) || l.ByGroup[1] != (Sum{"print", 38}) {
		t.Errorf("%v", l.ByGroup)
	}
	if r, ok := l.Rate("small kit"); !ok || r != 0.03 {
		t.Errorf("a gram of rubber costs %g", r)
	}
}

// What has no price is named and in no sum; a price for nothing and one in a unit that
// does not fit are said.
func TestNothingIsInvented(t *testing.T) {
	l, found, err := Make(needs(), []Price{{What: "gift box", Price: 12, Pack: 500, Unit: "ml"}, {What: "saffron", Price: 9, Pack: 1, Unit: "g"}}, nil, christmas)
	if err != nil {
		t.Fatal(err)
	}
	if l.Total != 60 || !slices.Contains(l.NoPrice, "gift box") || len(l.NoPrice) != 4 {
		t.Errorf("total %g, without price %v", l.Total, l.NoPrice)
	}
	said := ""
	for _, f := range found {
		said += f.String() + "\n"
	}
	for _, w := range []string{"price[1].unit", "saffron", "4 of 5 things"} {
		if !strings.Contains(said, w) {
			t.Errorf("%q lacks %q", said, w)
		}
	}
	if _, _, err := Make(nil, []Price{{What: " "}}, nil, christmas); err == nil {
		t.Error("an empty name passes")
	}
}

// Of two packs the one that makes the line cheapest.
func TestTheCheaperPack(t *testing.T) {
	l, _, err := Make([]Need{{What: "cream", Group: "filling", Amount: 450, Unit: "g"}}, []Price{{What: "cream", Price: 1.5, Pack: 200, Unit: "g"}, {What: "cream", Price: 3, Pack: 500, Unit: "g"}}, nil, christmas)
	if err != nil || l.Lines[0].Packs != 1 || *l.Lines[0].Cost != 3 {
		t.Errorf("%+v, %v", l.Lines, err)
	}
}

func TestCSVThereAndBack(t *testing.T) {
	n := needs()
	n[1].What, n[2].What = "=cream, \"double\"", "=cream, \"double\""
	n[4].What = "'box'"
	l, _, err := Make(n, []Price{{What: "dark chocolate", Price: 9.5, Pack: 500, Unit: "g", Shop: "@market"}}, nil, christmas)
	if err != nil {
		t.Fatal(err)
	}
	var text bytes.Buffer
	if err := l.WriteCSV(&text); err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(text.String(), "\r\n") {
		for _, cell := range strings.Split(line, ",") {
			if c := strings.Trim(cell, "\""); c != "" && strings.ContainsAny(c[:1], "=+-@") {
				t.Errorf("cell %q would be taken for a formula", c)
			}
		}
	}
	rows, err := ReadCSV("shopping.csv", &text)
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range rows {
		w := l.Lines[i]
		if r.What != w.What || r.Group != w.Group || r.Unit != w.Unit || r.Shop != w.Shop || r.For != strings.Join(w.For, "; ") || math.Abs(r.Need-w.Amount) > 0.005 || math.Abs(r.Buy-w.Buy) > 0.005 {
			t.Errorf("%+v, want %+v", r, w)
		}
		if (r.Cost == nil) != (w.Cost == nil) || r.Cost != nil && (*r.Cost != *w.Cost || *r.Packs != float64(w.Packs)) {
			t.Errorf("cost of %s: %v, want %v", r.What, r.Cost, w.Cost)
		}
	}
	if len(rows) != len(l.Lines) {
		t.Errorf("%d rows of %d", len(rows), len(l.Lines))
	}
}

func FuzzReadCSV(f *testing.F) {
	head := strings.Join(columns, ",") + "\n"
	for _, s := range []string{head + "print,resin,1,ml,0,1,1,1,2.00,2.00,,\n", head + "a,b,c\n", "", head + "x,\"=1,2\",1,g,,1,,,,,,\n", "\ufeff" + head} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		rows, err := ReadCSV("x", strings.NewReader(s))
		for _, r := range rows {
			if err == nil && math.IsNaN(r.Need) {
				t.Error("not a number")
			}
		}
	})
}
