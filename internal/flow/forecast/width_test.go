package forecast

import (
	"context"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/peer"
)

var bg = context.Background()

const pitch = 0.025

// strip is a field of height h where the distance from a line through the middle,
// turned by deg, is at most half of width, with walls of one sample.
func strip(width, deg, h float64) *field.Field {
	f := field.New(field.Grid{W: 241, H: 241, PitchMM: pitch, X0: -3, Y0: -3})
	sin, cos := math.Sincos(deg * math.Pi / 180)
	for j := range f.H {
		for i := range f.W {
			q := f.XY(i, j)
			along, off := q.X*cos+q.Y*sin, math.Abs(-q.X*sin+q.Y*cos)
			v := math.Min((width/2-off)/pitch, (2-math.Abs(along))/pitch) + 0.5
			f.Z[j*f.W+i] = float32(h * math.Max(0, math.Min(1, v)))
		}
	}
	return f
}

// A bar is as wide as it was drawn, within one pitch, however it is turned.
func TestBarIsAsWideAsDrawn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := rapid.Float64Range(0.15, 1.5).Draw(t, "w")
		ridge, _, err := narrowest(bg, strip(w, rapid.Float64Range(0, 180).Draw(t, "deg"), 0.8), 0.4, 0)
		// The narrowest of all places: a sample more may be off at one edge.
		if err != nil || ridge < w-2*pitch || ridge > w+pitch {
			t.Fatalf("a bar of %.3f mm is %.3f mm wide (%v)", w, ridge, err)
		}
	})
}

// A slot between two bars.
func TestSlotIsAsWideAsDrawn(t *testing.T) {
	for _, w := range []float64{0.2, 0.35, 0.6, 1.01} {
		f := field.New(field.Grid{W: 240, H: 200, PitchMM: pitch})
		for j := 20; j < 180; j++ {
			for i := range f.W {
				if off := math.Abs(float64(i)*pitch - 3); off > w/2 && off < w/2+0.8 {
					f.Z[j*f.W+i] = 0.5
				}
			}
		}
		ridge, groove, err := narrowest(bg, f, 0.25, 0)
		if err != nil || math.Abs(groove-w) > pitch || math.Abs(ridge-0.8) > pitch {
			t.Errorf("slot %.3f, bars 0.8 mm: found %.3f and %.3f (%v)", w, groove, ridge, err)
		}
	}
}

// Middle places of random blobs against an image library's distance transform: widths
// are twice its distance to the edge.
func TestMedialAgainstImageLibrary(t *testing.T) {
	python := peer.Python(t, "cv2", "python3-opencv")
	g := field.Grid{W: 120, H: 90, PitchMM: 1}
	m := field.NewMask(g) // off: inside
	var raw []byte
	for k := range m.On {
		i, j := float64(k%g.W), float64(k/g.W)
		inside := math.Hypot(i-40, j-45) < 25 || math.Abs(j-40) < 6 && i > 20 && i < 110 || math.Hypot(i-90, (j-45)*1.5) < 17
		m.On[k] = !inside
		v := byte(0)
		if inside {
			v = 255
		}
		raw = append(raw, v)
	}
	file := filepath.Join(t.TempDir(), "mask.raw")
	if err := os.WriteFile(file, raw, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(python, "-c", `
import cv2, numpy, sys
m = numpy.fromfile(sys.argv[1], numpy.uint8).reshape(90, 120)
print(*cv2.distanceTransform(m, cv2.DIST_L2, cv2.DIST_MASK_PRECISE).ravel())`, file).Output()
	if err != nil {
		t.Fatal(err)
	}
	theirs := strings.Fields(string(out))
	d, err := field.Distance(bg, m)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	medial(d, func(k int, w float32) {
		n++
		v, err := strconv.ParseFloat(theirs[k], 64)
		// Off a crest between two samples by half a sample at most.
		if err != nil || float64(w) < 2*v-1-1e-3 || float64(w) > 2*v+1e-3 {
			t.Errorf("sample %d: width %.3f, their distance %.3f %v", k, w, v, err)
		}
	})
	if n < 20 { // the strip beside and between the discs
		t.Errorf("only %d middle places", n)
	}
}

// Parts against a flood from each sample.
func TestLabelAgainstFlood(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(1, 14).Draw(t, "w"), rapid.IntRange(1, 14).Draw(t, "h")
		in := rapid.SliceOfN(rapid.Bool(), w*h, w*h).Draw(t, "in")
		corners := rapid.Bool().Draw(t, "corners")
		want, n := make([]int32, w*h), int32(0)
		for k := range in {
			if !in[k] || want[k] != 0 {
				continue
			}
			n++
			for todo := []int{k}; len(todo) > 0; {
				q := todo[len(todo)-1]
				todo = todo[:len(todo)-1]
				if want[q] != 0 {
					continue
				}
				want[q] = n
				for dj := -1; dj <= 1; dj++ {
					for di := -1; di <= 1; di++ {
						i, j := q%w+di, q/w+dj
						if i >= 0 && j >= 0 && i < w && j < h && in[j*w+i] && (corners || di == 0 || dj == 0) {
							todo = append(todo, j*w+i)
						}
					}
				}
			}
		}
		if got := label(in, w, h, corners); got.n != int(n) || !slices.Equal(got.of, want) {
			t.Fatalf("%d parts %v, want %d %v", got.n, got.of, n, want)
		}
	})
}

// Two round islands that touch: the ground between them narrows to nothing, but no
// groove that anyone drew is there. A slot that stays narrow is one.
func TestWedgeBetweenRoundsIsNoGroove(t *testing.T) {
	draw := func(in func(x, y float64) bool) *field.Field {
		f := field.New(field.Grid{W: 401, H: 321, PitchMM: pitch, X0: -5, Y0: -4})
		for k := range f.Z {
			if q := f.XY(k%f.W, k/f.W); in(q.X, q.Y) {
				f.Z[k] = 0.5
			}
		}
		return f
	}
	rounds := func(x, y float64) bool { return math.Hypot(x-2, y) < 2.02 || math.Hypot(x+2, y) < 2.02 }
	_, groove, err := narrowest(bg, draw(rounds), 0.25, 0.09)
	if err != nil || groove != 0 && groove < 0.3 {
		t.Errorf("touching rounds have a groove of %.3f mm (%v)", groove, err)
	}
	slot := func(x, y float64) bool {
		return math.Abs(x) < 4 && math.Abs(y) < 3 && !(math.Abs(x) < 0.1 && math.Abs(y) < 2)
	}
	if _, groove, err = narrowest(bg, draw(slot), 0.25, 0.09); err != nil || math.Abs(groove-0.2) > pitch {
		t.Errorf("a slot of 0.2 mm is %.3f mm wide (%v)", groove, err)
	}
}

// A width is judged by itself for each material, by its rule of width and of depth.
func TestWidthIsJudgedForEachMaterial(t *testing.T) {
	_, c := usual() // chocolate 0.5 mm and 1.5, resin 0.15 and 6, rubber 0.3 and 3
	for _, k := range []struct {
		ridge, groove, deep      float64
		chocolate, resin, rubber string
	}{
		{0.6, 0.4, 0.8, Holds, Holds, Holds},
		{0.4, 0.2, 0.5, TooFine, Holds, TooFine},
		{0.6, 0.4, 1.3, TooDeep, Holds, TooDeep},
		{0.1, 0, 0.5, TooFine, TooFine, ""},
		{0.2, 0.3, 1.25, TooFine, TooDeep, TooDeep},
		{0, 0, 1, "", "", ""},
	} {
		w := Width{RidgeMM: k.ridge, GrooveMM: k.groove}
		w.judge(k.deep, c)
		if w.Chocolate != k.chocolate || w.Resin != k.resin || w.Rubber != k.rubber || k.ridge > 0 && math.Abs(w.RidgeRatio-k.deep/k.ridge) > 1e-12 {
			t.Errorf("%+v: %+v", k, w)
		}
	}
}
