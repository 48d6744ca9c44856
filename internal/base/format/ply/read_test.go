package ply_test

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"testing"

	"mouldwright/internal/base/format"
	"mouldwright/internal/base/format/formattest"
	"mouldwright/internal/base/format/ply"
	"mouldwright/internal/base/mesh"
)

func TestBunny(t *testing.T) {
	m, err := ply.Read("bunny.ply", formattest.Data(t, "bunny.ply"), format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	formattest.Check(t, m, formattest.Bunny)
	if chi := formattest.Bunny.V - formattest.Bunny.E + formattest.Bunny.F; chi != 2 {
		t.Errorf("Euler characteristic %d, want 2", chi)
	}
}

func TestTeapot(t *testing.T) {
	m, err := ply.Read("teapot.ply", formattest.Data(t, "teapot.ply"), format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	formattest.Check(t, m, formattest.Teapot)
}

// encode writes a mesh with an element and properties that a reader must pass over.
func encode(layout string, m *mesh.Mesh) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "ply\r\nformat %s 1.0\r\ncomment made by a test\r\nelement camera 1\r\nproperty double view\r\nproperty list uchar short marks\r\n"+
		"element vertex %d\r\nproperty uchar red\r\nproperty float x\r\nproperty float y\r\nproperty double z\r\n"+
		"element face %d\r\nproperty list ushort uint vertex_index\r\nproperty float32 quality\r\nend_header\r\n", layout, len(m.V), len(m.T))
	if layout == "ascii" {
		fmt.Fprint(&b, "1.5 2 7 8\n")
		for _, p := range m.V {
			fmt.Fprintln(&b, 9, p[0], p[1], p[2])
		}
		for _, t := range m.T {
			fmt.Fprintln(&b, 3, t[0], t[1], t[2], 0.25)
		}
		return b.Bytes()
	}
	var order binary.ByteOrder = binary.LittleEndian
	if layout == "binary_big_endian" {
		order = binary.BigEndian
	}
	put := func(v ...any) {
		for _, x := range v {
			binary.Write(&b, order, x)
		}
	}
	put(1.5, uint8(2), int16(7), int16(8))
	for _, p := range m.V {
		put(uint8(9), p[0], p[1], float64(p[2]))
	}
	for _, t := range m.T {
		put(uint16(3), t, float32(0.25))
	}
	return b.Bytes()
}

func TestLayouts(t *testing.T) {
	want := formattest.Sphere(7.3, 400)
	for _, layout := range []string{"ascii", "binary_little_endian", "binary_big_endian"} {
		m, err := ply.Read("a.ply", encode(layout, want), format.Usual())
		if err != nil {
			t.Fatal(layout, err)
		}
		if fmt.Sprint(m.V) != fmt.Sprint(want.V) || fmt.Sprint(m.T) != fmt.Sprint(want.T) {
			t.Errorf("%s: the mesh changed", layout)
		}
	}
}

func TestPolygonBecomesFan(t *testing.T) {
	data := "ply\nformat ascii 1.0\nelement vertex 5\nproperty float x\nproperty float y\nproperty float z\n" +
		"element face 1\nproperty list uchar int vertex_indices\nend_header\n0 0 0 1 0 0 2 1 0 1 2 0 0 1 0\n5 0 1 2 3 4\n"
	m, err := ply.Read("a.ply", []byte(data), format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	if got := fmt.Sprint(m.T); got != "[[0 1 2] [0 2 3] [0 3 4]]" {
		t.Error(got)
	}
}

const head = "ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\nproperty float y\nproperty float z\n" +
	"element face 1\nproperty list uchar int vertex_indices\nend_header\n"

func TestRefusals(t *testing.T) {
	box := formattest.Box([3]float32{}, [3]float32{1, 1, 1})
	whole := encode("binary_little_endian", box)
	for _, c := range []struct {
		name, data string
		says       []string
	}{
		{"empty", "", []string{"a.ply: the file is empty"}},
		{"another kind", "solid\n", []string{"a.ply:1", "does not begin with \"ply\""}},
		{"no end of header", "ply\nformat ascii 1.0\n", []string{"header does not end"}},
		{"endless header", "ply\n" + string(bytes.Repeat([]byte("comment\n"), 2000)), []string{"header does not end"}},
		{"unknown kind of number", "ply\nformat ascii 1.0\nelement vertex 1\nproperty int128 x\nend_header\n", []string{"a.ply:4", "int128"}},
		{"lying count", "ply\nformat binary_little_endian 1.0\nelement vertex 2000000000\nproperty float x\nproperty float y\nproperty float z\nend_header\n0000", []string{"element vertex", "2000000000", "4 bytes are left"}},
		{"negative count", "ply\nformat ascii 1.0\nelement vertex -1\nend_header\n", []string{"a.ply:3", "-1"}},
		{"cut short", string(whole[:len(whole)-5]), []string{"face 12 of 12", "the file ends"}},
		{"NaN", head + "0 0 0 1 NaN 0 0 1 0\n3 0 1 2\n", []string{"vertex 2 of 3", "NaN"}},
		{"Inf", head + "0 0 0 1 Inf 0 0 1 0\n3 0 1 2\n", []string{"vertex 2 of 3", "Inf"}},
		{"index out of range", head + "0 0 0 1 0 0 0 1 0\n3 0 1 3\n", []string{"face 1 of 1", "vertex number 3", "0 to 2"}},
		{"fraction as index", head + "0 0 0 1 0 0 0 1 0\n3 0 1 0.5\n", []string{"vertex number 0.5"}},
		{"huge polygon", head + "0 0 0 1 0 0 0 1 0\n2000000000 0 1 2\n", []string{"face 1 of 1", "list of 2e+09"}},
		{"two corners", head + "0 0 0 1 0 0 0 1 0\n2 0 1\n", []string{"2 corners"}},
		{"word for a number", head + "0 0 0 1 zero 0 0 1 0\n3 0 1 2\n", []string{"vertex 2 of 3"}},
		{"no faces", "ply\nformat ascii 1.0\nelement vertex 1\nproperty float x\nproperty float y\nproperty float z\nend_header\n0 0 0\n", []string{"no triangles"}},
		{"vertex twice", "ply\nformat ascii 1.0\nelement vertex 1\nelement vertex 1\nend_header\n", []string{"second element"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ply.Read("a.ply", []byte(c.data), format.Usual())
			formattest.Refused(t, err, c.says...)
		})
	}
	_, err := ply.Read("a.ply", whole, format.Limits{Bytes: 1 << 20, Vertices: 100, Triangles: 11})
	formattest.Refused(t, err, "12 triangles", "at most 11")
	_, err = ply.Read("a.ply", whole, format.Limits{Bytes: 1 << 20, Vertices: 7, Triangles: 100})
	formattest.Refused(t, err, "8 vertices", "at most 7")
}

func FuzzRead(f *testing.F) {
	box := formattest.Box([3]float32{}, [3]float32{1, 1, 1})
	for _, layout := range []string{"ascii", "binary_little_endian", "binary_big_endian"} {
		f.Add(encode(layout, box))
	}
	f.Add([]byte(head + "0 0 0 1 0 0 0 1 0\n3 0 1 2\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		m, err := ply.Read("a.ply", data, format.Limits{Bytes: 1 << 20, Vertices: 1 << 16, Triangles: 1 << 16})
		if err == nil {
			formattest.Sound(t, m)
		}
	})
}
