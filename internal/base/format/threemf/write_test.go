package threemf_test

import (
	"archive/zip"
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"runtime"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mouldwright/internal/base/format"
	"mouldwright/internal/base/format/formattest"
	"mouldwright/internal/base/format/ply"
	"mouldwright/internal/base/format/threemf"
)

func bytesOf(t testing.TB, m *threemf.Model) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := threemf.Write(context.Background(), &b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// plate is a model with everything a plate's file has: two objects, five items, text
// that must be escaped, and a revision.
func plate(t testing.TB) *threemf.Model {
	t.Helper()
	bunny, err := ply.Read("bunny.ply", formattest.Data(t, "bunny.ply"), format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	turned := threemf.Transform{0, 1, 0, -1, 0, 0, 0, 0, 1, 30, 5, 0}
	return &threemf.Model{
		Title:    `Plate 1 of 2: "hares" & <pegs>`,
		Metadata: []threemf.Meta{{Name: threemf.Revision, Value: "16JD"}, {Name: "Description", Value: "घर · بيت\nsecond line"}},
		Objects: []threemf.Object{
			{Name: "hare", Mesh: bunny},
			{Name: "peg & key", Mesh: formattest.Box([3]float32{-1, -1, 0}, [3]float32{1, 1, 3.5})},
		},
		Items: []threemf.Item{
			{Object: 0, Transform: threemf.Identity, PartNumber: "A1"},
			{Object: 0, Transform: turned, PartNumber: "A2"},
			{Object: 1, Transform: threemf.Move(50, 0.1, 0)},
			{Object: 1, Transform: threemf.Move(55, 1e-7, 0), PartNumber: "B<2>"},
			{Object: 1, Transform: threemf.Move(-60, 1.0/3, 0), PartNumber: "B3"},
		},
	}
}

func TestRoundTripOfAPlate(t *testing.T) {
	want := plate(t)
	data := bytesOf(t, want)
	got, err := threemf.Read("a.3mf", data, format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	if got.Title != want.Title || fmt.Sprint(got.Items) != fmt.Sprint(want.Items) {
		t.Errorf("got title %q, items %v", got.Title, got.Items)
	}
	if fmt.Sprint(got.Metadata) != fmt.Sprint(want.Metadata) || got.Application != "Mouldwright" {
		t.Errorf("application %q, metadata %q", got.Application, got.Metadata)
	}
	for i, o := range want.Objects {
		if got.Objects[i].Name != o.Name || fmt.Sprint(got.Objects[i].Mesh) != fmt.Sprint(o.Mesh) {
			t.Errorf("object %d changed", i)
		}
	}
	// The edge rule and the volume of the standard, on what came back.
	formattest.Check(t, got.Objects[0].Mesh, formattest.Bunny)

	meta, err := threemf.ReadMetadata("a.3mf", data, format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	if fmt.Sprint(meta[0]) != fmt.Sprint(threemf.Meta{Name: "Title", Value: want.Title}) || meta[2].Value != "16JD" {
		t.Errorf("metadata %q", meta)
	}
}

func TestMergedPlacesInstances(t *testing.T) {
	m := plate(t)
	m.Items = append(m.Items, threemf.Item{Object: 0, Transform: threemf.Transform{-1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 90, 0}}) // a mirror
	got := m.Merged()
	b := formattest.Bunny
	formattest.Check(t, got, formattest.Facts{V: 3*b.V + 3*8, E: 3*b.E + 3*18, F: 3*b.F + 3*12, Volume: 3*b.Volume + 3*2*2*3.5})
	// (1, 2, 3) turned a quarter and moved by (30, 5, 0): (-2+30, 1+5, 3).
	if p := m.Items[1].Transform.Apply([3]float32{1, 2, 3}); p != [3]float32{28, 6, 3} {
		t.Errorf("%v", p)
	}
}

func TestCoordinatesKeepTheirBits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float32Range(-format.MaxCoord, format.MaxCoord)
		small := rapid.Float32Range(-1e-6, 1e-6)
		m := formattest.Box([3]float32{}, [3]float32{1, 1, 1})
		for k := range m.V {
			m.V[k] = [3]float32{c.Draw(t, "x"), c.Draw(t, "y"), small.Draw(t, "z")}
		}
		var b bytes.Buffer
		model := &threemf.Model{Objects: []threemf.Object{{Mesh: m}}, Items: []threemf.Item{{Transform: threemf.Identity}}}
		if err := threemf.Write(context.Background(), &b, model); err != nil {
			t.Fatal(err)
		}
		got, err := threemf.Read("a.3mf", b.Bytes(), format.Usual())
		if err != nil {
			t.Fatal(err)
		}
		for k, p := range got.Objects[0].Mesh.V {
			if p != m.V[k] {
				t.Fatalf("vertex %d: %v became %v", k, m.V[k], p)
			}
		}
	})
}

func TestSameBytesOnAnyNumberOfCores(t *testing.T) {
	m := plate(t)
	m.Objects = append(m.Objects, threemf.Object{Name: "ball", Mesh: formattest.Sphere(20, 60000)}) // several pieces
	m.Items = append(m.Items, threemf.Item{Object: 2, Transform: threemf.Move(0, 0, 20)})
	cores := runtime.GOMAXPROCS(0)
	defer runtime.GOMAXPROCS(cores)
	var first []byte
	for _, n := range []int{1, 2, 7} {
		runtime.GOMAXPROCS(n)
		data := bytesOf(t, m)
		if first == nil {
			first = data
		}
		if !bytes.Equal(first, data) {
			t.Errorf("%d cores write other bytes", n)
		}
	}
}

// The archive as ZIP and OPC want it: the three parts, deflated, sizes and sums right
// (archive/zip checks them while reading), no ZIP64, an old fixed time.
func TestArchive(t *testing.T) {
	data := bytesOf(t, plate(t))
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range z.File {
		names = append(names, f.Name)
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.Copy(io.Discard, r); err != nil {
			t.Errorf("%s: %v", f.Name, err)
		}
		if f.Method != zip.Deflate || f.Modified.Year() != 1980 || f.ReaderVersion > 20 {
			t.Errorf("%s: method %d, year %d, version %d", f.Name, f.Method, f.Modified.Year(), f.ReaderVersion)
		}
	}
	if got := strings.Join(names, " "); got != "[Content_Types].xml _rels/.rels 3D/3dmodel.model" {
		t.Error(got)
	}
}

func TestWriteRefusals(t *testing.T) {
	good := func() *threemf.Model {
		return &threemf.Model{
			Objects: []threemf.Object{{Name: "box", Mesh: formattest.Box([3]float32{}, [3]float32{1, 1, 1})}},
			Items:   []threemf.Item{{Transform: threemf.Identity}},
		}
	}
	for name, c := range map[string]struct {
		spoil func(*threemf.Model)
		says  string
	}{
		"NaN":              {func(m *threemf.Model) { m.Objects[0].Mesh.V[3][1] = float32(math.NaN()) }, "vertex 3"},
		"index":            {func(m *threemf.Model) { m.Objects[0].Mesh.T[3][1] = 8 }, "triangle 3"},
		"corner twice":     {func(m *threemf.Model) { m.Objects[0].Mesh.T[3][1] = m.Objects[0].Mesh.T[3][0] }, "triangle 3"},
		"three triangles":  {func(m *threemf.Model) { m.Objects[0].Mesh.T = m.Objects[0].Mesh.T[:3] }, "3 triangles"},
		"no such object":   {func(m *threemf.Model) { m.Items[0].Object = 1 }, "object 1"},
		"flat":             {func(m *threemf.Model) { m.Items[0].Transform = threemf.Transform{} }, "not flat"},
		"infinitely far":   {func(m *threemf.Model) { m.Items[0].Transform[9] = math.Inf(1) }, "finite"},
		"not a number far": {func(m *threemf.Model) { m.Items[0].Transform[11] = math.NaN() }, "finite"},
	} {
		m := good()
		c.spoil(m)
		var b bytes.Buffer
		formattest.Refused(t, threemf.Write(context.Background(), &b, m), c.says)
		if b.Len() > 0 {
			t.Errorf("%s: %d bytes were written before the refusal", name, b.Len())
		}
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if err := threemf.Write(ctx, io.Discard, good()); err != context.Canceled {
		t.Errorf("cancelled: %v", err)
	}
}

func million() *threemf.Model {
	return &threemf.Model{Title: "a million triangles",
		Objects: []threemf.Object{{Name: "ball", Mesh: formattest.Sphere(20, 1_002_000)}},
		Items:   []threemf.Item{{Transform: threemf.Identity}}}
}

func BenchmarkWriteMillion(b *testing.B) {
	m := million()
	b.ReportMetric(float64(len(m.Objects[0].Mesh.T)), "triangles")
	for b.Loop() {
		var n counter
		if err := threemf.Write(b.Context(), &n, m); err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(n), "bytes")
	}
}

func BenchmarkReadMillion(b *testing.B) {
	m := million()
	data := bytesOf(b, m)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := threemf.Read("a.3mf", data, format.Usual()); err != nil {
			b.Fatal(err)
		}
	}
}

type counter int

func (c *counter) Write(p []byte) (int, error) { *c += counter(len(p)); return len(p), nil }
