package pack

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"mouldwright/internal/base/geom"
	"pgregory.net/rapid"
)

func one(w, h float64) func(int) (Bin, bool) {
	return func(i int) (Bin, bool) { return Bin{W: w, H: h}, i == 0 }
}

func TestRects(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		side := rapid.Float64Range(1, 40)
		n := rapid.IntRange(1, 25).Draw(t, "n")
		items := make([]Size, n)
		for i := range items {
			items[i] = Size{side.Draw(t, "w"), side.Draw(t, "h")}
		}
		taken := []geom.Rect{rect(rapid.Float64Range(0, 60).Draw(t, "x"), rapid.Float64Range(0, 60).Draw(t, "y"), Size{10, 15})}
		bins := func(i int) (Bin, bool) {
			if i == 0 {
				return Bin{W: 80, H: 70, Taken: taken}, true
			}
			return Bin{W: 80, H: 70}, true
		}
		turn := rapid.Bool().Draw(t, "turn")
		places, err := Rects(context.Background(), items, bins, turn)
		if err != nil {
			t.Fatal(err)
		}
		again, _ := Rects(context.Background(), items, bins, turn)
		if !slices.Equal(places, again) {
			t.Fatal("two runs differ")
		}
		at := make([]geom.Rect, n)
		for i, p := range places {
			at[i] = rect(p.X, p.Y, turned(items[i], p.Turned))
			if p.Turned && !turn {
				t.Fatal("turned without leave")
			}
			if !holds(rect(0, 0, Size{80, 70}), at[i]) {
				t.Fatalf("%v outside", at[i])
			}
			if p.Bin == 0 && overlap(at[i], taken[0]) {
				t.Fatalf("%v on what was taken", at[i])
			}
			for j := range i {
				if places[j].Bin == p.Bin && overlap(at[i], at[j]) {
					t.Fatalf("%v and %v overlap", at[i], at[j])
				}
			}
		}
	})
}

func overlap(a, b geom.Rect) bool {
	return math.Min(a.Max.X, b.Max.X)-math.Max(a.Min.X, b.Min.X) > 2*slack && math.Min(a.Max.Y, b.Max.Y)-math.Max(a.Min.Y, b.Min.Y) > 2*slack
}

func TestRectsFullAndCancelled(t *testing.T) {
	if _, err := Rects(context.Background(), []Size{{5, 30}, {4, 4}}, one(20, 20), true); err != ErrFull {
		t.Errorf("too long an item: %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Rects(ctx, []Size{{5, 5}}, one(20, 20), true); err != context.Canceled {
		t.Errorf("cancelled: %v", err)
	}
}

// Perfect packings: E. Hopper, B. Turton, "An empirical investigation of
// meta-heuristic and heuristic algorithms for a 2D packing problem", EJOR 128
// (2001) 34-57, sets C1 (20 x 20) and C4 (60 x 60). No packing can be lower than
// total area / width; ours is held to 10 % above it, so that a change that packs
// clearly worse shows.
func TestPerfectPackings(t *testing.T) {
	files, _ := filepath.Glob("../../../../shared/data/packing/ht2001a-*.json")
	if len(files) == 0 {
		t.Skip("left out: Hopper and Turton's packings, because ../shared/data/packing is missing")
	}
	for _, name := range files {
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		var set struct {
			Name    string
			Objects []struct{ Length, Height float64 }
			Items   []struct {
				Length, Height float64
				Demand         int
			}
		}
		if err := json.Unmarshal(raw, &set); err != nil {
			t.Fatal(err)
		}
		var items []Size
		area := 0.0
		for _, it := range set.Items {
			for range it.Demand {
				items = append(items, Size{it.Length, it.Height})
				area += it.Length * it.Height
			}
		}
		w := set.Objects[0].Length
		places, err := Rects(context.Background(), items, one(w, 10*area/w), true)
		if err != nil {
			t.Fatal(err)
		}
		bound, top := area/w, Top(items, places, 0)
		t.Logf("%s: %d rectangles, height %g, optimum %g (%+.1f %%)", set.Name, len(items), top, bound, 100*(top/bound-1))
		if top < bound-slack || top > 1.1*bound {
			t.Errorf("%s: height %g, optimum %g", set.Name, top, bound)
		}
	}
}

func BenchmarkRects60(b *testing.B) {
	items := make([]Size, 60)
	for i := range items {
		items[i] = Size{20 + float64(i*7%13), 15 + float64(i*5%11)}
	}
	for b.Loop() {
		if _, err := Rects(context.Background(), items, func(int) (Bin, bool) { return Bin{W: 200, H: 150}, true }, true); err != nil {
			b.Fatal(err)
		}
	}
}
