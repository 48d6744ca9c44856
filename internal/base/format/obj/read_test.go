package obj_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"mouldwright/internal/base/format"
	"mouldwright/internal/base/format/formattest"
	"mouldwright/internal/base/format/obj"
	"mouldwright/internal/base/format/ply"
	"mouldwright/internal/base/mesh"
)

func encode(m *mesh.Mesh) []byte {
	var b bytes.Buffer
	b.WriteString("# made by a test\nmtllib none.mtl\no part\n")
	for _, p := range m.V {
		fmt.Fprintln(&b, "v", p[0], p[1], p[2])
	}
	b.WriteString("vt 0 0\nvn 0 0 1\ns off\nusemtl red\n")
	for k, t := range m.T {
		switch k % 4 { // all four ways to write a corner
		case 0:
			fmt.Fprintf(&b, "f %d %d %d\n", t[0]+1, t[1]+1, t[2]+1)
		case 1:
			fmt.Fprintf(&b, "f %d/1 %d/1 %d/1\r\n", t[0]+1, t[1]+1, t[2]+1)
		case 2:
			fmt.Fprintf(&b, "f %d//1 %d//1 %d//1 # with a comment\n", t[0]+1, t[1]+1, t[2]+1)
		case 3:
			n := len(m.V)
			fmt.Fprintf(&b, "f %d/1/1 \\\n\t%d/1/1 %d/1/1\n", int(t[0])-n, int(t[1])-n, int(t[2])-n)
		}
	}
	return b.Bytes()
}

func TestBunny(t *testing.T) {
	bunny, err := ply.Read("bunny.ply", formattest.Data(t, "bunny.ply"), format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	m, err := obj.Read("bunny.obj", encode(bunny), format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	formattest.Check(t, m, formattest.Bunny)
	if fmt.Sprint(m.T) != fmt.Sprint(bunny.T) {
		t.Error("the triangles changed")
	}
}

func TestPolygonBecomesFan(t *testing.T) {
	m, err := obj.Read("a.obj", []byte("v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\nf 1 2 3 4\n"), format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	if got := fmt.Sprint(m.T); got != "[[0 1 2] [0 2 3]]" {
		t.Error(got)
	}
}

func TestRefusals(t *testing.T) {
	corners := "v 0 0 0\nv 1 0 0\nv 0 1 0\n"
	for _, c := range []struct {
		name, data string
		says       []string
	}{
		{"empty", "", []string{"a.obj: the file is empty"}},
		{"only points", corners, []string{"no triangles"}},
		{"index too large", corners + "f 1 2 4\n", []string{"a.obj:4", "\"4\"", "1 to 3"}},
		{"index zero", corners + "f 0 1 2\n", []string{"a.obj:4", "\"0\""}},
		{"index before the first", corners + "f -4 1 2\n", []string{"a.obj:4", "\"-4\""}},
		{"huge index", corners + "f 99999999999999999999 1 2\n", []string{"a.obj:4"}},
		{"NaN", "v 0 nan 0\n", []string{"a.obj:1", "NaN"}},
		{"overflow", "v 0 1e999 0\n", []string{"a.obj:1", "1e999"}},
		{"too few numbers", "v 0 0\n", []string{"a.obj:1", "three numbers"}},
		{"two corners", corners + "f 1 2\n", []string{"a.obj:4", "2 corners"}},
		{"huge polygon", corners + "f" + strings.Repeat(" 1", 3000), []string{"a.obj:4", "1024 corners"}},
		{"line after a continued one", corners + "f 1 2 \\\n3\nv x\n", []string{"a.obj:6"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := obj.Read("a.obj", []byte(c.data), format.Usual())
			formattest.Refused(t, err, c.says...)
		})
	}
	box := encode(formattest.Box([3]float32{}, [3]float32{1, 1, 1}))
	_, err := obj.Read("a.obj", box, format.Limits{Bytes: 1 << 20, Vertices: 100, Triangles: 11})
	formattest.Refused(t, err, "at most 11")
	_, err = obj.Read("a.obj", box, format.Limits{Bytes: 1 << 20, Vertices: 7, Triangles: 100})
	formattest.Refused(t, err, "at most 7")
	_, err = obj.Read("a.obj", box, format.Limits{Bytes: 100, Vertices: 100, Triangles: 100})
	formattest.Refused(t, err, "at most 100 bytes")
}

func FuzzRead(f *testing.F) {
	f.Add(encode(formattest.Box([3]float32{}, [3]float32{1, 1, 1})))
	f.Add([]byte("v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\nf 1 2 3 4\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		m, err := obj.Read("a.obj", data, format.Limits{Bytes: 1 << 20, Vertices: 1 << 16, Triangles: 1 << 16})
		if err == nil {
			formattest.Sound(t, m)
		}
	})
}
