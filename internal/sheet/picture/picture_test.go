package picture

import (
	"bytes"
	"image"
	"os"
	"path/filepath"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// keep writes a picture into the folder MOULDWRIGHT_PICTURES, when it is set, to be looked at.
func keep(t *testing.T, name string, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WritePNG(&b, m); err != nil {
		t.Fatal(err)
	}
	if dir := os.Getenv("MOULDWRIGHT_PICTURES"); dir != "" {
		if err := os.WriteFile(filepath.Join(dir, name+".png"), b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return b.Bytes()
}

func TestLookAtChocolates(t *testing.T) {
	o := geom.Outline{thin(geom.RoundedRectangle(36, 28, 6)[0])}
	f := made(o, 12, 1.5, 0.05, wheel(10), 0.8)
	for _, kind := range []string{Dark, Milk, White, Resin} {
		for _, v := range []struct {
			name string
			look Look
		}{{"above", Look{SizePx: 900}}, {"chair", Look{SizePx: 1000, View: Chair}}, {"blank", Look{SizePx: 480, Ground: Blank}}} {
			m, err := Chocolate(t.Context(), f, o, kind, v.look)
			if err != nil {
				t.Fatal(err)
			}
			keep(t, kind+"-"+v.name, m)
		}
	}
}

func BenchmarkAbove480(b *testing.B) {
	o := geom.Outline{thin(geom.RoundedRectangle(36, 28, 6)[0])}
	f := made(o, 12, 1.5, 0.1, nil, 0.8)
	g := field.Grid{W: 4*f.W - 3, H: 4*f.H - 3, PitchMM: f.PitchMM / 4, X0: f.X0, Y0: f.Y0}
	f, err := resample(b.Context(), f, g)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Chocolate(b.Context(), f, o, Dark, Look{SizePx: 480}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkChair1500(b *testing.B) {
	o := geom.Outline{thin(geom.RoundedRectangle(36, 28, 6)[0])}
	f := made(o, 12, 1.5, 0.1, nil, 0.8)
	for b.Loop() {
		if _, err := Chocolate(b.Context(), f, o, Dark, Look{SizePx: 1500, View: Chair}); err != nil {
			b.Fatal(err)
		}
	}
}

func TestLookAtMap(t *testing.T) {
	o := geom.Outline{thin(geom.RoundedRectangle(36, 28, 6)[0])}
	f := made(o, 12, 1.5, 0.2, wheel(10), 0.8)
	m, _, err := Map(t.Context(), f, o, Off(13, 8), 800)
	if err != nil {
		t.Fatal(err)
	}
	keep(t, "map", m)
}
