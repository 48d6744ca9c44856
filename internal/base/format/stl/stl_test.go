package stl_test

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mouldwright/internal/base/format"
	"mouldwright/internal/base/format/formattest"
	"mouldwright/internal/base/format/ply"
	"mouldwright/internal/base/format/stl"
	"mouldwright/internal/base/mesh"
)

func binaryOf(t testing.TB, m *mesh.Mesh) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := stl.Write(&b, m, "a test"); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func textOf(m *mesh.Mesh) []byte {
	var b bytes.Buffer
	fmt.Fprintln(&b, "solid a test")
	for _, t := range m.T {
		fmt.Fprint(&b, "  facet normal 0 0 0\n    outer loop\n")
		for _, v := range t {
			fmt.Fprintf(&b, "      vertex %g %g %g\r\n", m.V[v][0], m.V[v][1], m.V[v][2])
		}
		fmt.Fprint(&b, "    endloop\n  endfacet\n")
	}
	fmt.Fprintln(&b, "endsolid a test")
	return b.Bytes()
}

func TestBunnyBothKinds(t *testing.T) {
	bunny, err := ply.Read("bunny.ply", formattest.Data(t, "bunny.ply"), format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	bin := binaryOf(t, bunny)
	if want := 84 + 50*3674; len(bin) != want { // the size rule of the format
		t.Errorf("%d bytes, want %d", len(bin), want)
	}
	if got := stl.Header(bin); got != "a test" || stl.Header(textOf(bunny)) != "" || stl.Header(nil) != "" {
		t.Errorf("header %q", got)
	}
	if n := binary.LittleEndian.Uint32(bin[80:]); n != 3674 {
		t.Errorf("count %d", n)
	}
	for kind, data := range map[string][]byte{"binary": bin, "text": textOf(bunny)} {
		m, err := stl.Read("bunny.stl", data, format.Usual())
		if err != nil {
			t.Fatal(kind, err)
		}
		formattest.Check(t, m, formattest.Bunny)
	}
}

func TestOpenMeshStaysOpen(t *testing.T) {
	teapot, err := ply.Read("teapot.ply", formattest.Data(t, "teapot.ply"), format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	m, err := stl.Read("teapot.stl", binaryOf(t, teapot), format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	// Welding joins vertices that the file keeps apart, so fewer edges are open than
	// the 528 of the indexed mesh; it cannot close a rim.
	if got := formattest.Of(m); got.Open == 0 || got.Open > formattest.Teapot.Open {
		t.Errorf("%+v", got)
	}
}

func TestNormalsAreRightHanded(t *testing.T) {
	data := binaryOf(t, formattest.Box([3]float32{}, [3]float32{2, 3, 4}))
	var sum [3]float64
	for k := range 12 {
		r := data[84+50*k:]
		var n, p [3]float64
		for c := range 3 {
			n[c] = float64(math.Float32frombits(binary.LittleEndian.Uint32(r[4*c:])))
			p[c] = float64(math.Float32frombits(binary.LittleEndian.Uint32(r[12+4*c:]))) - []float64{1, 1.5, 2}[c]
			sum[c] += n[c]
		}
		if l := n[0]*n[0] + n[1]*n[1] + n[2]*n[2]; math.Abs(l-1) > 1e-6 {
			t.Errorf("triangle %d: normal %v is not of length 1", k, n)
		}
		if n[0]*p[0]+n[1]*p[1]+n[2]*p[2] <= 0 {
			t.Errorf("triangle %d: normal %v points inwards", k, n)
		}
	}
	if sum != [3]float64{} {
		t.Errorf("normals of a box sum to %v", sum)
	}
}

func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float32Range(-1000, 1000)
		corners := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) [3]float32 {
			return [3]float32{c.Draw(t, "x"), c.Draw(t, "y"), c.Draw(t, "z")}
		}), 3, 40).Draw(t, "corners")
		pick := rapid.IntRange(0, len(corners)-1)
		m := &mesh.Mesh{V: corners}
		for range rapid.IntRange(1, 30).Draw(t, "n") {
			a, b, c := pick.Draw(t, "a"), pick.Draw(t, "b"), pick.Draw(t, "c")
			if corners[a] != corners[b] && corners[b] != corners[c] && corners[c] != corners[a] {
				m.T = append(m.T, [3]uint32{uint32(a), uint32(b), uint32(c)})
			}
		}
		if len(m.T) == 0 {
			t.Skip("no triangle drawn")
		}
		var b bytes.Buffer
		if err := stl.Write(&b, m, ""); err != nil {
			t.Fatal(err)
		}
		for _, data := range [][]byte{b.Bytes(), textOf(m)} {
			got, err := stl.Read("a.stl", data, format.Usual())
			if err != nil {
				t.Fatal(err)
			}
			if len(got.T) != len(m.T) {
				t.Fatalf("%d triangles, want %d", len(got.T), len(m.T))
			}
			seen := map[[3]float32]bool{}
			for _, p := range got.V {
				if seen[p] {
					t.Fatalf("the place %v twice", p)
				}
				seen[p] = true
			}
			for k := range m.T {
				for v := range 3 {
					if got.V[got.T[k][v]] != m.V[m.T[k][v]] {
						t.Fatalf("triangle %d corner %d moved", k, v)
					}
				}
			}
		}
	})
}

func TestWeldsMinusZero(t *testing.T) {
	minus := float32(math.Copysign(0, -1))
	m := &mesh.Mesh{V: [][3]float32{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {minus, minus, minus}, {0, -1, 0}},
		T: [][3]uint32{{0, 1, 2}, {3, 4, 1}}}
	got, err := stl.Read("a.stl", binaryOf(t, m), format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	if len(got.V) != 4 {
		t.Errorf("%d vertices, want 4: 0 and -0 are one place", len(got.V))
	}
}

func TestSolidAtTheHeadOfABinary(t *testing.T) {
	data := binaryOf(t, formattest.Box([3]float32{}, [3]float32{1, 1, 1}))
	copy(data, "solid facet made elsewhere")
	m, err := stl.Read("a.stl", data, format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	if len(m.T) != 12 || len(m.V) != 8 {
		t.Errorf("%d triangles, %d vertices", len(m.T), len(m.V))
	}
	if err := stl.Write(&bytes.Buffer{}, m, "Solid thing"); err == nil {
		t.Error("a header that begins with solid was written")
	}
}

func TestSeveralSolidsInOneText(t *testing.T) {
	one := textOf(formattest.Box([3]float32{}, [3]float32{1, 1, 1}))
	two := textOf(formattest.Box([3]float32{5, 5, 5}, [3]float32{6, 6, 6}))
	m, err := stl.Read("a.stl", append(one, two...), format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	formattest.Check(t, m, formattest.Facts{V: 16, E: 36, F: 24, Volume: 2})
}

func TestRefusals(t *testing.T) {
	whole := binaryOf(t, formattest.Box([3]float32{}, [3]float32{1, 1, 1}))
	with := func(at int, v uint32) string {
		b := bytes.Clone(whole)
		binary.LittleEndian.PutUint32(b[at:], v)
		return string(b)
	}
	for _, c := range []struct {
		name, data string
		says       []string
	}{
		{"empty", "", []string{"a.stl: the file is empty"}},
		{"a few bytes", "abc", []string{"ends after 3 bytes"}},
		{"count too large", with(80, 13), []string{"says 13 triangles", "734 bytes", "684 bytes"}},
		{"count far too large", with(80, math.MaxUint32), []string{"says 4294967295 triangles"}},
		{"count too small", with(80, 11), []string{"says 11 triangles"}},
		{"cut short", string(whole[:500]), []string{"has 500 bytes"}},
		{"no triangles", string(append(bytes.Clone(whole[:80]), 0, 0, 0, 0)), []string{"no triangles"}},
		{"NaN", with(84+50*3+12, 0x7fc00000), []string{"triangle 4 of 12", "NaN"}},
		{"Inf", with(84+50*3+12, 0x7f800000), []string{"triangle 4 of 12", "+Inf"}},
		{"too far away", with(84+12, math.Float32bits(2e7)), []string{"triangle 1 of 12", "2e+07"}},
		{"solid and then nothing", "solid", []string{"no triangles"}},
		{"text cut short", "solid\nfacet\nvertex 0 0 0\n", []string{"a.stl:3", "ends inside a facet"}},
		{"text with NaN", "solid\nfacet\nvertex 0 nan 0\n", []string{"a.stl:3", "NaN"}},
		{"text without a number", "solid\nfacet\nvertex 0 0\n", []string{"a.stl:3", "three numbers"}},
		{"text with four corners", "solid\nfacet\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nvertex 1 1 0\n", []string{"a.stl:6"}},
		{"text with two corners", "solid\nfacet\nvertex 0 0 0\nvertex 1 0 0\nendfacet\n", []string{"a.stl:5", "2 vertices"}},
		{"text of another kind", "solid\nhello\n", []string{"a.stl:2", "hello"}},
		{"all corners in one place", "solid\nfacet\nvertex 0 0 0\nvertex 0 0 0\nvertex 0 0 0\nendfacet\n", []string{"no triangles"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := stl.Read("a.stl", []byte(c.data), format.Usual())
			formattest.Refused(t, err, c.says...)
		})
	}
	for _, data := range []string{string(whole), string(textOf(formattest.Box([3]float32{}, [3]float32{1, 1, 1})))} {
		_, err := stl.Read("a.stl", []byte(data), format.Limits{Bytes: 1 << 20, Vertices: 100, Triangles: 11})
		formattest.Refused(t, err, "at most 11")
		_, err = stl.Read("a.stl", []byte(data), format.Limits{Bytes: 1 << 20, Vertices: 7, Triangles: 100})
		formattest.Refused(t, err, "at most 7")
	}
}

type fullDisk struct{ left int }

func (d *fullDisk) Write(p []byte) (int, error) {
	if d.left -= len(p); d.left < 0 {
		return 0, fmt.Errorf("no space left")
	}
	return len(p), nil
}

func TestWriteReportsAFullDisk(t *testing.T) {
	m := formattest.Sphere(1, 10000)
	for _, left := range []int{0, 70000, 84 + 50*len(m.T) - 1} {
		if err := stl.Write(&fullDisk{left}, m, ""); err == nil || !strings.Contains(err.Error(), "no space") {
			t.Errorf("after %d bytes: %v", left, err)
		}
	}
}

func FuzzRead(f *testing.F) {
	box := formattest.Box([3]float32{}, [3]float32{1, 1, 1})
	f.Add(binaryOf(f, box))
	f.Add(textOf(box))
	f.Add([]byte("solid\nfacet\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nendfacet\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		m, err := stl.Read("a.stl", data, format.Limits{Bytes: 1 << 20, Vertices: 1 << 16, Triangles: 1 << 16})
		if err == nil {
			formattest.Sound(t, m)
		}
	})
}

// A million triangles, welded: what a mesh that is printed as it is costs to read.
func BenchmarkReadMillion(b *testing.B) {
	data := binaryOf(b, formattest.Sphere(20, 1_002_000))
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := stl.Read("a.stl", data, format.Usual()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWriteMillion(b *testing.B) {
	m := formattest.Sphere(20, 1_002_000)
	b.SetBytes(int64(84 + 50*len(m.T)))
	for b.Loop() {
		if err := stl.Write(&fullDisk{1 << 30}, m, ""); err != nil {
			b.Fatal(err)
		}
	}
}
