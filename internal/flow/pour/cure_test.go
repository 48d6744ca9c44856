package pour

import (
	"math"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
)

// 45 min at 23 °C by both rules, computed outside the program; the activation energy
// is the one that makes them equal between 25 and 35 °C, 52.95 kJ/mol.
func TestHalvingAgainstArrhenius(t *testing.T) {
	for _, c := range []struct{ to, halving, arrhenius float64 }{{20, 55.4, 56.1}, {25, 39.2, 39.0}, {30, 27.7, 27.4}, {40, 13.9, 14.0}} {
		if v := halved(45, 23, c.to, 10); math.Abs(v/c.halving-1) > 5e-3 {
			t.Errorf("halving at %g °C: %.2f min, want %.1f", c.to, v, c.halving)
		}
		if v := arrhenius(45, 23, c.to, 52950); math.Abs(v/c.arrhenius-1) > 5e-3 {
			t.Errorf("Arrhenius at %g °C: %.2f min, want %.1f", c.to, v, c.arrhenius)
		}
	}
	for _, c := range []struct{ from, to, kJ float64 }{{25, 35, 52.95}, {20, 30, 51.22}} {
		if ea := activation(2, c.from, 1, c.to); math.Abs(ea/1000-c.kJ) > 0.01 {
			t.Errorf("halving from %g to %g °C is %.3f kJ/mol, want %g", c.from, c.to, ea/1000, c.kJ)
		}
	}
}

func TestAtRoom(t *testing.T) {
	sheet := unit.Between(20, 30, 45)
	if got, by := atRoom(sheet, 23, 0, 0, unit.Sure(23)); got != sheet || by != BySheet {
		t.Errorf("in the sheet's room: %v, %s", got, by)
	}
	// Two points that halve: Arrhenius meets the second point exactly.
	got, by := atRoom(unit.Sure(30), 23, 15, 33, unit.Sure(33))
	if math.Abs(got.Likely-15) > 1e-9 || !got.IsSure() || by != ByArrhenius {
		t.Errorf("at the second point: %v, %s", got, by)
	}
	// In a room of 13 to 33 °C its short end is that of the warmest hour.
	if got, _ = atRoom(unit.Sure(30), 23, 15, 33, unit.Between(13, 23, 33)); math.Abs(got.Low-15) > 1e-9 || math.Abs(got.Likely-30) > 1e-9 || got.High < 60 {
		t.Errorf("two points, in a room of 13 to 33 °C: %v", got)
	}
	// One point: the rule, with its spread, around twice the time at 13 °C.
	got, by = atRoom(sheet, 23, 0, 0, unit.Sure(13))
	if math.Abs(got.Likely-60) > 1e-9 || !got.Ordered() || got.Low >= 40 || got.High <= 90 || by != ByHalving {
		t.Errorf("ten degrees colder: %v, %s", got, by)
	}
	// A warm day shortens what a cold morning lengthens.
	got, _ = atRoom(unit.Sure(30), 23, 0, 0, unit.Between(18, 23, 28))
	if got.Likely != 30 || got.Low >= 30/math.Sqrt2*1.01 || got.High <= 30*math.Sqrt2*0.99 {
		t.Errorf("in a room of 18 to 28 °C: %v", got)
	}
}

func TestTimes(t *testing.T) {
	s := material.Silicones["soft food-grade rubber"].Value
	w, found, err := times(s, unit.Between(20, 22, 24))
	if err != nil || len(found) > 0 {
		t.Fatal(err, found)
	}
	for _, r := range []unit.Range{w.WorkingTimeMin, w.CureH, w.FoodH} {
		if !r.Ordered() {
			t.Errorf("%+v", w)
		}
	}
	if w.DemouldH != w.CureH.High || w.FoodH.Likely <= w.CureH.Likely+s.PostCureH {
		t.Errorf("%+v", w)
	}
	if _, found, err = times(s, unit.Between(15, 17, 20)); err != nil || finding.Worst(found) != finding.Care {
		t.Errorf("a cold room: %v %v", found, err)
	}
	for _, room := range []unit.Range{unit.Sure(60), unit.Sure(5), unit.Between(20, 30, 45), {Low: 24, Likely: 22, High: 20}, unit.Sure(math.NaN())} {
		if _, _, err := times(s, room); err == nil {
			t.Errorf("a room at %v °C was taken", room)
		}
	}
	s.WorkingTimeMin = unit.Sure(400)
	if _, _, err := times(s, unit.Sure(22)); err == nil {
		t.Error("a working time longer than the cure was taken")
	}
}

// Viscosity that grows fourfold over 40 min: the integral of 4^(-t/40) over all of it is
// (1 - 1/4) 40 / ln 4 = 21.640 min; in small steps it comes to the same.
func TestFlowing(t *testing.T) {
	if got := flowing(0, 40, 40, 4); math.Abs(got-21.640) > 1e-3 {
		t.Errorf("%.4f min, want 21.640", got)
	}
	sum := 0.0
	for i := range 30000 {
		sum += math.Pow(4, -(10+(float64(i)+0.5)/1000)/40) / 1000
	}
	if got := flowing(10, 40, 40, 4); math.Abs(got-sum) > 1e-6 {
		t.Errorf("from 10 to 40 min: %.6f, summed %.6f", got, sum)
	}
	if flowing(5, 5, 40, 4) != 0 || flowing(9, 5, 40, 4) != 0 || flowing(5, 15, 40, 1) != 10 {
		t.Error("no time, or rubber that does not thicken")
	}
}
