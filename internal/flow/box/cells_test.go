package box

import (
	"context"
	"math"
	"strings"
	"testing"

	"mouldwright/internal/base/geom"
)

var common = Format{Rows: 2, Columns: 3, WidthMM: 40, DepthMM: 30, HeightMM: 20, WallMM: 2, FingerMM: 3, ClearMM: 0.5}

func TestCellsOfAGrid(t *testing.T) {
	cells, _, err := Cells(context.Background(), common, nil)
	if err != nil || len(cells) != 6 {
		t.Fatal(len(cells), err)
	}
	if e := Extent(cells); e.W() != 3*40+2*2 || e.H() != 2*30+2 {
		t.Errorf("%g x %g", e.W(), e.H())
	}
	if m := cells[0].Box.Center(); m.X != 20 || m.Y != 47 {
		t.Errorf("the first cell's middle is %v, want the upper left one", m)
	}
	if len(cells[0].Beside) != 2 || len(cells[1].Beside) != 3 {
		t.Errorf("neighbours %v, %v", cells[0].Beside, cells[1].Beside)
	}
}

func TestFits(t *testing.T) {
	cells, _, _ := Cells(context.Background(), common, nil)
	for _, c := range []struct {
		what    string
		w, d, h float64
		ok      bool
		turn    float64
		lack    [3]float64
	}{
		{"fingers left and right", 34, 29, 19, true, 0, [3]float64{}},
		{"fingers before and behind", 39, 24, 19, true, 0, [3]float64{}},
		{"turned", 24, 39, 19, true, 90, [3]float64{}},
		{"no room for fingers", 36, 26, 19, false, 0, [3]float64{2, 0, 0}},
		{"too high", 30, 20, 21, false, 0, [3]float64{0, 0, 1.5}},
	} {
		f := cells[0].Fits(geom.Rectangle(c.w, c.d), c.h, common)
		off := 0.0
		for i := range f.LackMM {
			off = math.Max(off, math.Abs(f.LackMM[i]-c.lack[i]))
		}
		if f.OK != c.ok || f.TurnDeg != c.turn || off > 1e-6 { // outlines are rounded to nanometres
			t.Errorf("%s: %+v", c.what, f)
		}
	}
}

const insert = `<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="60mm" viewBox="0 0 120 60">
<g fill="%s" stroke="%s" stroke-width="0.4"><circle cx="20" cy="20" r="18"/><circle cx="62" cy="21" r="18"/><rect x="5" y="42" width="80" height="16"/></g></svg>`

// A drawing counts the same whether its cells are filled or drawn as lines.
func TestCellsOfADrawing(t *testing.T) {
	f := common
	f.File = "insert.svg"
	for _, ink := range [][2]string{{"#000", "none"}, {"none", "#000"}} {
		data := strings.Replace(strings.Replace(insert, "%s", ink[0], 1), "%s", ink[1], 1)
		cells, _, err := Cells(context.Background(), f, []byte(data))
		if err != nil || len(cells) != 3 {
			t.Fatal(len(cells), err)
		}
		if w := cells[2].Box.W(); math.Abs(w-80) > 0.5 {
			t.Errorf("the last cell is %g mm wide, want the rectangle's 80", w)
		}
		if len(cells[0].Beside) != 2 {
			t.Errorf("the first cell's neighbours are %v", cells[0].Beside)
		}
		if !cells[0].Fits(geom.Circle(14), 10, f).OK || cells[0].Fits(geom.Rectangle(29, 29), 10, f).OK {
			t.Error("a circle of 28 mm fits a round cell of 36, a square of 29 does not: its corners stand out")
		}
	}
	if _, _, err := Cells(context.Background(), f, []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"><rect width="1" height="1"/></svg>`)); err == nil {
		t.Error("a dot was taken for a cell")
	}
}

// Six pieces, three of each of two designs, in two rows of three: a chessboard, no two
// neighbours alike. With four of one, two pairs: the other two in the middle column leave
// a pair on each side; in a corner each they leave three.
func TestPlace(t *testing.T) {
	cells, _, _ := Cells(context.Background(), common, nil)
	p := &Placer{Cells: cells, Fits: func(int, int) bool { return true }, Looks: func(k int) int { return k }}
	if at, equal, ok := p.Place([]int{0, 0, 0, 1, 1, 1}, 0); equal != 0 || !ok {
		t.Errorf("%v: %d pairs alike", at, equal)
	}
	if at, equal, _ := p.Place([]int{0, 0, 0, 0, 1, 1}, 0); equal != 2 {
		t.Errorf("%v: %d pairs alike, want 2", at, equal)
	}
	at, _, _ := p.Place([]int{7, 0, 0, 1, 1}, 1)
	if at[1] != 7 && at[4] != 7 {
		t.Errorf("%v: the own piece is not in the middle", at)
	}
	if at, _, ok := p.Place([]int{0, 0, 0, 0, 0, 0, 0}, 0); ok {
		t.Errorf("seven pieces in six cells: %v", at)
	}
}

// Against trying everything: four pieces of up to three designs in a row of five cells.
func TestPlaceAgainstBruteForce(t *testing.T) {
	f := common
	f.Rows, f.Columns = 1, 5
	cells, _, _ := Cells(context.Background(), f, nil)
	for code := range 81 {
		kinds := []int{code % 3, code / 3 % 3, code / 9 % 3, code / 27 % 3}
		p := &Placer{Cells: cells, Fits: func(k, c int) bool { return k != 2 || c != 0 }, Looks: func(k int) int { return k }}
		_, got, _ := p.Place(kinds, 0)
		best := 99
		at := []int{-1, -1, -1, -1, -1}
		var try func(i int)
		try = func(i int) {
			if i == len(kinds) {
				n := 0
				for c := range 4 {
					if at[c] >= 0 && at[c] == at[c+1] {
						n++
					}
				}
				best = min(best, n)
				return
			}
			for c := range at {
				if at[c] < 0 && (kinds[i] != 2 || c != 0) {
					at[c] = kinds[i]
					try(i + 1)
					at[c] = -1
				}
			}
		}
		try(0)
		if got != best {
			t.Errorf("%v: %d pairs alike, trying all gives %d", kinds, got, best)
		}
	}
}

func TestLayout(t *testing.T) {
	for name := range Sheets {
		if _, err := (&Label{Sheet: name}).Layout(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	own := Label{Sheet: "own", Paper: "A4", Rows: 8, Columns: 3, WidthMM: 70, HeightMM: 37, TopMM: 0.5}
	if _, err := own.Layout(); err != nil {
		t.Error(err)
	}
	for what, change := range map[string]func(*Label){
		"too wide": func(l *Label) { l.GapXMM = 5 }, "too high": func(l *Label) { l.Rows = 9 },
		"no rows": func(l *Label) { l.Rows = 0 }, "all used": func(l *Label) { l.Used = 24 },
	} {
		l := own
		change(&l)
		if _, err := l.Layout(); err == nil {
			t.Errorf("%s: taken", what)
		}
	}
}
