package piece

import (
	"context"
	"math"
	"strconv"
	"strings"
	"testing"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/artwork"
)

// bent is words of capitals with straight feet, 3 mm high, on a circle of that radius.
func bent(text string, radiusMM float64) artwork.Choices {
	a := word(text)
	a.WidthMM, a.HeightMM, a.ArcRadiusMM = 0, 3, radiusMM
	return a
}

// Names of any length stand on one circle about the middle of the piece: over the top the
// nearest points of their letters lie on it, under the bottom the farthest.
func TestNamesStandOnOneCircle(t *testing.T) {
	c := plain("round", 40, 40, 10, 8, 1)
	c.Art = []artwork.Choices{bent("{name}", 12), bent("{name}", -14)}
	c.Names = true
	for _, name := range []string{"HEN", "HIMTRIT"} {
		p, list, err := Make(context.Background(), c, Inputs{Fonts: fonts}, map[string]string{"name": name}, 0, 0.1)
		if err != nil || p == nil {
			t.Fatal(list, err)
		}
		if len(p.Letters) != 2*len(name) {
			t.Fatalf("%s has %d letters on both circles", name, len(p.Letters))
		}
		for _, l := range p.Letters {
			near, far := math.Inf(1), 0.0
			for _, r := range l.Outline {
				for _, q := range r {
					near, far = math.Min(near, q.Len()), math.Max(far, q.Len())
				}
			}
			foot, want := near, 12.0
			if l.Art == 1 {
				foot, want = far, 14
			}
			// A straight foot of 3 mm has its ends 1.5²/(2 r) = 0.09 mm outside the circle.
			if math.Abs(foot-want) > 0.1 {
				t.Errorf("%s: the foot of %s is %.3f mm from the middle, want %g", name, l.Text, foot, want)
			}
		}
	}
}

// A footprint grown from bent words, and the words on it, have one middle.
func TestBentWordsAreInTheMiddleOfTheirOwnFootprint(t *testing.T) {
	c := plain("text", 40, 0, 10, 8, 0.5)
	c.MarginMM = 4
	c.Art = []artwork.Choices{bent("HIMTRIT", 20)}
	p := made(t, c, 0.1)
	ink := geom.EmptyRect()
	for _, l := range p.Letters {
		b := l.Outline.Bounds()
		ink.Add(b.Min)
		ink.Add(b.Max)
	}
	for what, m := range map[string]geom.Vec{"footprint": p.Footprint.Bounds().Center(), "words": ink.Center()} {
		if m.Len() > 0.01 { // corners of letters round off differently on both sides
			t.Errorf("the middle of the %s is at (%.3f, %.3f)", what, m.X, m.Y)
		}
	}
}

// Words on too wide a circle are refused with one that holds them.
func TestTooWideACircle(t *testing.T) {
	c := plain("round", 40, 40, 10, 8, 1)
	c.Art = []artwork.Choices{bent("HEN", 17)}
	_, list, err := Make(context.Background(), c, Inputs{Fonts: fonts}, nil, -1, 0.1)
	if err != nil || len(list) != 1 || !strings.Contains(list[0].Do, "arc_radius_mm") || list[0].Remedy.Key != "piece[1].art[1].arc_radius_mm" {
		t.Fatal(list, err)
	}
	if c.Art[0].ArcRadiusMM, err = strconv.ParseFloat(list[0].Remedy.Value, 64); err != nil {
		t.Fatal(err)
	}
	made(t, c, 0.1) // fails unless they stand on it
}
