package svg

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

func mustRead(t *testing.T, src string) (*Drawing, []finding.Finding) {
	t.Helper()
	d, f, err := Read(context.Background(), "test.svg", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	return d, f
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.6f, want %.6f within %g", what, got, want, tol)
	}
}

// Sizes in millimetres by CSS: 96 px = 1 in = 25.4 mm = 72 pt = 6 pc.
func TestSizeOfPage(t *testing.T) {
	const rect = `<rect x="1" y="1" width="2" height="3"/></svg>`
	for _, c := range []struct {
		head       string
		w, h       float64 // page, mm
		x0, y0     float64 // of the rectangle, mm from the lower left corner
		wide, high float64
	}{
		{`width="100mm" height="50mm" viewBox="0 0 10 5"`, 100, 50, 10, 10, 20, 30},
		{`width="960" height="480" viewBox="0 0 10 5"`, 254, 127, 25.4, 25.4, 50.8, 76.2},
		{`width="2in" viewBox="0 0 10 5"`, 50.8, 25.4, 5.08, 5.08, 10.16, 15.24},
		{`width="100%" height="100%" viewBox="0 0 10 5"`, 10 * PxMM, 5 * PxMM, PxMM, PxMM, 2 * PxMM, 3 * PxMM},
		{`viewBox="-1 -1 10 5"`, 10 * PxMM, 5 * PxMM, 2 * PxMM, 0, 2 * PxMM, 3 * PxMM},
		{`width="72pt" height="6pc"`, 25.4, 25.4, PxMM, 92 * PxMM, 2 * PxMM, 3 * PxMM},
		{`width="100mm" height="100mm" viewBox="0 0 10 5"`, 100, 100, 10, 35, 20, 30},
		{``, 2 * PxMM, 3 * PxMM, 0, 0, 2 * PxMM, 3 * PxMM},
	} {
		d, _ := mustRead(t, `<svg xmlns="http://www.w3.org/2000/svg" `+c.head+`>`+rect)
		b := d.Outline.Bounds()
		const tol = 1e-4 // settling rounds to 1e-5 mm while the art is 100 mm long
		near(t, c.head+": page width", d.WidthMM, c.w, tol)
		near(t, c.head+": page height", d.HeightMM, c.h, tol)
		near(t, c.head+": left", b.Min.X, c.x0, tol)
		near(t, c.head+": bottom", b.Min.Y, c.y0, tol)
		near(t, c.head+": width", b.W(), c.wide, tol)
		near(t, c.head+": height", b.H(), c.high, tol)
	}
}

// A circle of 1 px is flattened as finely as one of 100 mm.
func TestSmallArtKeepsAccuracy(t *testing.T) {
	d, _ := mustRead(t, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 2 2"><circle cx="1" cy="1" r="1"/></svg>`)
	f := 100 / d.WidthMM
	big := d.Outline.Transform(geom.Scale(f, f))
	c := geom.Vec{X: 50, Y: 50}
	worst := 0.0
	for _, r := range big {
		for i, p := range r {
			worst = max(worst, math.Abs(p.Sub(c).Len()-50), math.Abs(p.Lerp(r[(i+1)%len(r)], 0.5).Sub(c).Len()-50))
		}
	}
	if worst > geom.FlattenMM+2*geom.SettleMM {
		t.Errorf("the circle enlarged to 100 mm is off by %g mm, allowed %g", worst, geom.FlattenMM)
	}
	if a, want := big.Area(), math.Pi*2500; math.Abs(a-want) > 1e-4*want {
		t.Errorf("area %g, want %g", a, want)
	}
}

// A ring that the pen's folds could hollow out: all within r + w/2 is stroke,
// since every point of the disc lies across the line from some point of the circle.
func TestStrokeFoldsSolid(t *testing.T) {
	d, _ := mustRead(t, page(peerCases["stroke fat on small"]))
	want := math.Pi * 30 * 30 * PxMM * PxMM
	near(t, "area", d.Outline.Area(), want, 1e-4*want)
	if len(d.Outline) != 1 {
		t.Errorf("%d rings, want 1", len(d.Outline))
	}
}

// A fixed pen on a stretched circle draws what a plain pen draws on the ellipse.
func TestFixedPen(t *testing.T) {
	a, _ := mustRead(t, page(peerCases["stroke fixed pen"]))
	b, _ := mustRead(t, page(`<ellipse cx="50" cy="48" rx="12" ry="36" fill="none" stroke="black" stroke-width="5"/>`))
	left, err := geom.Subtract(a.Outline, b.Outline)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "area", a.Outline.Area(), b.Outline.Area(), 1e-4*b.Outline.Area())
	near(t, "what sticks out", left.Area(), 0, 1e-4*b.Outline.Area())
}

func TestRefusals(t *testing.T) {
	const ns = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">`
	lol := `<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;">]>` + ns + `<text>&c;</text></svg>`
	for name, c := range map[string]struct{ src, want string }{
		"empty":             {"", "an empty file"},
		"blank":             {" \n\t", "an empty file"},
		"not XML":           {"hello", "no <svg> element"},
		"cut short":         {ns + `<rect width="5"`, "not well-formed"},
		"not closed":        {ns + `<g>`, "not well-formed"},
		"HTML":              {`<html><body/></html>`, "outermost element is <html>"},
		"nested entities":   {lol, "definitions of its own (entities)"},
		"unknown entity":    {ns + `<text>&boom;</text></svg>`, "five entities"},
		"gzip":              {"\x1f\x8b\x08", "compressed"},
		"nothing painted":   {ns + `<rect width="5" height="5" fill="none"/></svg>`, "nothing that is painted"},
		"only text":         {ns + `<text>hi</text></svg>`, "live text is not drawn"},
		"only white":        {ns + `<rect width="5" height="5" fill="white"/></svg>`, "nothing that is painted"},
		"off the page":      {ns + `<rect x="200" width="5" height="5"/></svg>`, "nothing that is painted"},
		"page without area": {`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 0 10"><path d="M0 0h9v9z"/></svg>`, "a page without area"},
		"huge number":       {ns + `<path d="M0 0 L1e300 5 5 5"/></svg>`, "number too large"},
		"beyond float":      {ns + `<rect width="1e999" height="5"/></svg>`, "number too large"},
		"huge by transform": {ns + `<g transform="scale(1e8)"><g transform="scale(1e8)"><rect width="5" height="5"/></g></g></svg>`, "a coordinate of"},
		"NaN":               {ns + `<rect width="NaN" height="NaN"/></svg>`, "nothing that is painted"},
		"deep":              {ns + strings.Repeat("<g>", 5000) + strings.Repeat("</g>", 5000) + "</svg>", "nested too deeply"},
		"use bomb":          {ns + useBomb() + `</svg>`, "too many elements"},
		"dash bomb":         {ns + `<path d="M0 0H100" stroke="#000" stroke-dasharray="1e-7"/></svg>`, "too many dashes"},
		"encoding":          {`<?xml version="1.0" encoding="utf-99"?>` + ns + `</svg>`, "utf-99"},
	} {
		_, _, err := Read(context.Background(), "art.svg", []byte(c.src))
		if err == nil {
			t.Errorf("%s: accepted", name)
			continue
		}
		var e *finding.Error
		if !errors.As(err, &e) || e.File != "art.svg" {
			t.Errorf("%s: %#v is no finding.Error with the file's name", name, err)
		}
		if !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %q does not say %q", name, err, c.want)
		}
	}
}

// useBomb is ten elements that draw 10^10 rectangles.
func useBomb() string {
	s := `<defs><rect id="l0" width="1" height="1"/>`
	for i := 1; i <= 10; i++ {
		s += fmt.Sprintf(`<g id="l%d">%s</g>`, i, strings.Repeat(fmt.Sprintf(`<use href="#l%d"/>`, i-1), 10))
	}
	return s + `</defs><use href="#l10"/>`
}

func TestFindingsNameElementAndLine(t *testing.T) {
	_, found := mustRead(t, `<svg xmlns="http://www.w3.org/2000/svg" xmlns:i="urn:editor" viewBox="0 0 100 100">
<i:view zoom="3"><i:grid/></i:view>
<text x="5">hi</text>
<image href="x.png"/>
<text>again</text>
<g filter="url(#f)"><rect width="50" height="50"/></g>
<rect width="10" height="10" mask="url(#m)"/>
<linearGradient id="g"/><pattern id="p"/>
<circle r="5" fill="url(#g)"/><circle r="6" fill="url(#p)"/>
<text display="none">hidden</text>
<path d="M0 0L50 50" stroke="black" marker-end="url(#m)"/>
<use href="other.svg#x"/>
<g id="me"><use href="#me"/></g>
<rect width="5" height="5" opacity=".5"/>
<path d="M0 0 L9 0 9 9 Lx"/>
<rect width="5" height="5" transform="warp(3)"/>
<style>g > rect {fill:red} @media print {rect{fill:none}}</style>
<blob/>
</svg>`)
	got := map[string]bool{}
	for _, f := range found {
		got[f.Where+": "+f.What] = true
	}
	for _, want := range []string{
		"test.svg:1 <svg>: what reaches beyond the page is cut off at its edge",
		"test.svg:3 <text>: live text is not drawn (and in 1 more place)",
		"test.svg:4 <image>: an embedded picture is not drawn",
		"test.svg:6 <g>: a filter is left out; the part is drawn without it",
		"test.svg:7 <rect>: a mask is left out; the part is drawn without it",
		"test.svg:9 <circle>: a gradient is taken as one solid colour",
		"test.svg:9 <circle>: a pattern is taken as one solid colour",
		"test.svg:11 <path>: markers (arrow heads) are not drawn",
		"test.svg:12 <use>: it refers to \"other.svg#x\", which is not in this file; nothing is drawn",
		"test.svg:13 <use>: it refers to itself; nothing is drawn",
		"test.svg:14 <rect>: a see-through part is taken as solid",
		"test.svg:15 <path>: its path data has a fault at character 16 (\"x\"); only what stands before is drawn",
		"test.svg:16 <rect>: the transform \"warp(3)\" is not understood and left out",
		"test.svg:17 <style>: the style selector \"g > rect\" is not read (only element, .class, #id)",
		"test.svg:17 <style>: the style rule @media is not read",
		"test.svg:18 <blob>: an unknown element is not drawn",
	} {
		if !got[want] {
			t.Errorf("no finding %q", want)
		}
		delete(got, want)
	}
	for extra := range got {
		t.Errorf("unexpected finding %q", extra)
	}
}

// An old file with a plain document type and a declared Latin encoding is read.
func TestOldHeader(t *testing.T) {
	d, found := mustRead(t, `<?xml version="1.0" encoding="ISO-8859-1" standalone="no"?>
<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">
<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="10mm"><title>caf`+"\xe9"+`</title><rect width="5mm" height="5mm"/></svg>`)
	near(t, "area", d.Outline.Area(), 25, 1e-3)
	if len(found) > 0 {
		t.Error(found)
	}
}

func TestSameEveryTime(t *testing.T) {
	src := page(peerCases["stroke crossing"] + peerCases["white on black"])
	a, _ := mustRead(t, src)
	for range 3 {
		b, _ := mustRead(t, src)
		if fmt.Sprint(a) != fmt.Sprint(b) {
			t.Fatal("two readings differ")
		}
	}
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, _, err := Read(ctx, "art.svg", []byte(page(peerCases["rect"]))); !errors.Is(err, context.Canceled) {
		t.Errorf("%v, want the context's error", err)
	}
}

// A checkerboard of shapes painted in turn black and white: each coat meets only
// what lies near it, and every square ends as it was painted last.
func TestManyTurnsOfPaint(t *testing.T) {
	var b strings.Builder
	for i := range 400 {
		x, y := 5*(i%20), 5*(i/20)
		fmt.Fprintf(&b, `<rect x="%d" y="%d" width="4" height="4"/><rect x="%d" y="%d" width="2" height="2" fill="white"/>`, x, y, x+1, y+1)
	}
	d, _ := mustRead(t, page(b.String()))
	near(t, "area", d.Outline.Area()/PxMM/PxMM, 400*(16-4), 0.01)
	if len(d.Outline) != 800 {
		t.Errorf("%d rings, want 800", len(d.Outline))
	}
}

// FuzzRead: whatever the bytes, there is a settled outline or a finding.Error.
func FuzzRead(f *testing.F) {
	for _, name := range peerNames() {
		f.Add([]byte(page(peerCases[name])))
	}
	f.Add([]byte(page(useBomb())))
	f.Add([]byte(`<svg><style>@a{b}c{}*.d#e,{</style><path d="M0 0a1 1 0 012 2"/></svg>`))
	f.Fuzz(func(t *testing.T, data []byte) {
		d, _, err := Read(context.Background(), "fuzz.svg", data)
		var e *finding.Error
		switch {
		case err != nil && !errors.As(err, &e):
			t.Fatalf("%T: %v", err, err)
		case err != nil:
			return
		}
		if err := d.Outline.Check(); err != nil {
			t.Fatal(err)
		}
		if !(d.Outline.Area() > 0) {
			t.Fatalf("area %g", d.Outline.Area())
		}
		b := d.Outline.Bounds()
		if b.Min.X < -0.01*d.WidthMM || b.Max.X > 1.01*d.WidthMM || b.Min.Y < -0.01*d.HeightMM || b.Max.Y > 1.01*d.HeightMM {
			t.Fatalf("%v outside the page of %g x %g mm", b, d.WidthMM, d.HeightMM)
		}
	})
}

func BenchmarkRead(b *testing.B) {
	src := []byte(page(strings.Repeat(peerCases["stroke crossing"]+peerCases["path cubic and smooth"], 20)))
	for b.Loop() {
		if _, _, err := Read(context.Background(), "bench.svg", src); err != nil {
			b.Fatal(err)
		}
	}
}
