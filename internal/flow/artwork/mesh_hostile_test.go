package artwork

import (
	"bytes"
	"context"
	"math"
	"testing"

	"mouldwright/internal/base/format/formattest"
	"mouldwright/internal/base/format/threemf"
	"mouldwright/internal/base/mesh"
)

func threemfOf(t testing.TB, m *mesh.Mesh) []byte {
	t.Helper()
	var b bytes.Buffer
	model := &threemf.Model{Objects: []threemf.Object{{Mesh: m}}, Items: []threemf.Item{{Transform: threemf.Identity}}}
	if err := threemf.Write(context.Background(), &b, model); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestTopViewRefusals(t *testing.T) {
	box := func(x, y, z float32) *mesh.Mesh { return formattest.Box([3]float32{}, [3]float32{x, y, z}) }
	spoilt := box(1, 1, 1)
	spoilt.V[5][2] = float32(math.NaN())
	far := box(1, 1, 1)
	far.V[5][2] = 1e9
	pile := &mesh.Mesh{V: [][3]float32{{0, 0, 0}, {800, 0, 0}, {0, 800, 0}}}
	for range 100 {
		pile.T = append(pile.T, [3]uint32{0, 1, 2})
	}
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		v    View
		says []string
	}{
		{"empty", &mesh.Mesh{}, View{PitchMM: 0.1}, []string{"a.stl", "no triangles"}},
		{"NaN", spoilt, View{PitchMM: 0.1}, []string{"triangle", "of 12", "NaN"}},
		{"far away", far, View{PitchMM: 0.1}, []string{"1e+09"}},
		{"flat, seen from its edge", box(1, 1, 0), View{Up: "x", PitchMM: 0.1}, []string{"no area", "up"}},
		{"a line", box(5, 0, 0), View{PitchMM: 0.1}, []string{"no area"}},
		{"huge", box(100, 100, 1), View{PitchMM: 0.001}, []string{"100 by 100 mm", "at most", "width_mm"}},
		{"long and thin", box(1000, 0.1, 1), View{PitchMM: 0.01}, []string{"32768 on a side"}},
		{"unknown up", box(1, 1, 1), View{Up: "w", PitchMM: 0.1}, []string{"up", "\"w\"", "x, -x, y, -y, z or -z"}},
		{"pitch 0", box(1, 1, 1), View{}, []string{"pitch 0 mm"}},
		{"pitch NaN", box(1, 1, 1), View{PitchMM: math.NaN()}, []string{"pitch NaN mm"}},
		{"turn NaN", box(1, 1, 1), View{PitchMM: 0.1, TurnDeg: math.NaN()}, []string{"turn NaN"}},
		{"negative width", box(1, 1, 1), View{PitchMM: 0.1, WidthMM: -1}, []string{"width_mm", "-1"}},
		{"infinite depth", box(1, 1, 1), View{PitchMM: 0.1, DepthMM: math.Inf(1)}, []string{"depth_mm", "+Inf"}},
		{"a pile of sheets", pile, View{PitchMM: 0.05}, []string{"one over another", "simpler"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := TopView(context.Background(), "a.stl", OfMesh(c.m), c.v)
			formattest.Refused(t, err, c.says...)
		})
	}
}

func TestTopViewStopsWhenTold(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := TopView(ctx, "a", OfMesh(formattest.Sphere(1, 1000)), View{PitchMM: 0.01}); err != context.Canceled {
		t.Errorf("got %v", err)
	}
}

func TestMeshFilesRefused(t *testing.T) {
	for _, c := range []struct {
		name string
		data []byte
		says []string
	}{
		{"a.step", []byte("ISO-10303-21;"), []string{"a.step", "\"step\"", ".stl, .obj, .ply or .3mf"}},
		{"a.stl", nil, []string{"a.stl: the file is empty"}},
		{"a.3mf", []byte("hello"), []string{"not a ZIP"}},
		{"a.obj", []byte("hello"), []string{"no triangles"}},
		{"a.ply", []byte("hello\n"), []string{"ply"}},
	} {
		_, err := OpenMesh(c.name, c.data)
		formattest.Refused(t, err, c.says...)
		_, err = ReadMesh(c.name, c.data)
		formattest.Refused(t, err, c.says...)
	}
	// Content wins over the name where it is certain.
	m, err := ReadMesh("bunny.stl", formattest.Data(t, "bunny.ply"))
	if err != nil {
		t.Fatal(err)
	}
	formattest.Check(t, m, formattest.Bunny)
}
