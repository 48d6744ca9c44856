package threemf_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mouldwright/internal/base/format"
	"mouldwright/internal/base/format/formattest"
	"mouldwright/internal/base/format/ply"
	"mouldwright/internal/base/format/stl"
	"mouldwright/internal/base/format/threemf"
	"mouldwright/internal/base/mesh"
	"mouldwright/internal/base/peer"
)

// The reference library of the 3MF Consortium (lib3mf, Debian's 1.8.1) reads our file
// in strict mode without a warning, and finds what we wrote.
func TestReferenceLibraryReadsWithoutWarning(t *testing.T) {
	m := plate(t)
	m.Objects = append(m.Objects, threemf.Object{Name: "ball", Mesh: formattest.Sphere(20, 60000)}) // several pieces
	m.Items = append(m.Items, threemf.Item{Object: 2, Transform: threemf.Move(0, 0, 20)})
	file := filepath.Join(t.TempDir(), "plate.3mf")
	if err := os.WriteFile(file, bytesOf(t, m), 0o600); err != nil {
		t.Fatal(err)
	}
	says, content := peer.Built(t, "read3mf", file)
	n := 0
	for _, o := range m.Objects {
		n += len(o.Mesh.T)
	}
	if want := fmt.Sprintf("warnings=0 objects=3 triangles=%d solid=yes items=6", n); !content || !strings.Contains(says, want) {
		t.Errorf("lib3mf says: %s", says)
	}
}

// The judge itself: it warns or refuses where it should.
func TestReferenceLibrarySeesFaults(t *testing.T) {
	teapot, err := ply.Read("teapot.ply", formattest.Data(t, "teapot.ply"), format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	m := &threemf.Model{Objects: []threemf.Object{{Mesh: teapot}}, Items: []threemf.Item{{Transform: threemf.Identity}}}
	file := filepath.Join(t.TempDir(), "open.3mf")
	if err := os.WriteFile(file, bytesOf(t, m), 0o600); err != nil {
		t.Fatal(err)
	}
	if says, _ := peer.Built(t, "read3mf", file); !strings.Contains(says, "solid=no") {
		t.Errorf("an open mesh; lib3mf says: %s", says)
	}
	m = plate(t)
	m.Metadata = []threemf.Meta{{Name: "Revision", Value: "16JD"}} // no namespace, not the core's
	if err := os.WriteFile(file, bytesOf(t, m), 0o600); err != nil {
		t.Fatal(err)
	}
	if says, content := peer.Built(t, "read3mf", file); content {
		t.Errorf("a metadata name that the core does not know; lib3mf says: %s", says)
	}
}

// What lib3mf writes, we read: the other direction.
func TestReadsWhatTheReferenceLibraryWrites(t *testing.T) {
	bunny, err := ply.Read("bunny.ply", formattest.Data(t, "bunny.ply"), format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	in, out := filepath.Join(dir, "in.stl"), filepath.Join(dir, "out.3mf")
	writeSTL(t, in, bunny)
	if says, content := peer.Built(t, "write3mf", in, out, "1"); !content {
		t.Fatal(says)
	}
	data, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	m, err := threemf.Read("out.3mf", data, format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	formattest.Check(t, m.Merged(), formattest.Bunny)
}

func writeSTL(t testing.TB, file string, m *mesh.Mesh) {
	t.Helper()
	f, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := stl.Write(f, m, "a test"); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
}

// BenchmarkWriteMillionLib3MF is the peer of BenchmarkWriteMillion: the same mesh
// written by lib3mf, timed by itself inside its own process ("s-of-lib3mf").
func BenchmarkWriteMillionLib3MF(b *testing.B) {
	dir := b.TempDir()
	in := filepath.Join(dir, "in.stl")
	writeSTL(b, in, million().Objects[0].Mesh)
	for b.Loop() {
		says, content := peer.Built(b, "write3mf", in, filepath.Join(dir, "out.3mf"), "1")
		if !content {
			b.Fatal(says)
		}
		var n int
		var s float64
		if _, err := fmt.Sscanf(says, "triangles=%d seconds=%g", &n, &s); err != nil {
			b.Fatal(says)
		}
		b.ReportMetric(s, "s-of-lib3mf")
	}
}
