// Package stl reads and writes STL files: triangles without neighbours and without
// a unit, taken as millimetres.
//
//	bytes --Open--> Soup      (triangles as the file has them, nothing copied when binary)
//	bytes --Read--> mesh.Mesh (equal corners welded)
//	mesh.Mesh --Write--> binary STL
//
// The binary layout: an 80-byte header, a uint32 count n, and n records of 50 bytes
// (normal, three corners, an attribute of two bytes), all little-endian, so a file
// has exactly 84 + 50 n bytes (kaitai struct description stl.ksy). Many binary files
// begin with the word "solid" although that marks the text kind; the size decides.
package stl

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format"
	"mouldwright/internal/base/mesh"
)

// By definition of the binary format: 80 bytes of text and a count; a normal, three corners
// and an attribute.
const (
	headBytes   = 84
	recordBytes = 50
)

// Soup is the triangles of one file in its order, counter-clockwise seen from
// outside, in mm. It shares the memory of the bytes it was opened from.
type Soup struct {
	records []byte      // binary: n records of 50 bytes
	corners [][3]corner // text
}

type corner = [3]float32

// Open finds the triangles of a binary or text file. It checks sizes, not
// coordinates: whoever reads the triangles must refuse those that do not fit
// (format.Fits), as Read does.
func Open(name string, data []byte, lim format.Limits) (*Soup, error) {
	if err := lim.CheckBytes(name, int64(len(data))); err != nil {
		return nil, err
	}
	if isText(data) {
		corners, err := parseText(name, data, lim)
		if err != nil {
			return nil, err
		}
		return &Soup{corners: corners}, nil
	}
	if len(data) < headBytes {
		return nil, &finding.Error{File: name, Found: fmt.Sprintf("the file ends after %d bytes", len(data)),
			Allowed: "a binary STL has 84 bytes before its first triangle; a text STL begins with \"solid\" and has \"facet\" lines",
			Do:      "export the mesh again, or check that the file is an STL"}
	}
	n := int64(binary.LittleEndian.Uint32(data[80:]))
	if want := headBytes + recordBytes*n; want != int64(len(data)) {
		return nil, &finding.Error{File: name, Key: "triangle count",
			Found:   fmt.Sprintf("the file says %d triangles, which take %d bytes, but has %d bytes", n, want, len(data)),
			Allowed: "84 + 50 bytes for each triangle, exactly",
			Do:      "export or copy the mesh again: the file is cut short, or is not an STL"}
	}
	if err := lim.CheckCounts(name, 1, int(n)); err != nil {
		return nil, err
	}
	return &Soup{records: data[headBytes:]}, nil
}

// isText: the size rule of the binary kind wins over the word "solid".
func isText(data []byte) bool {
	if len(data) >= headBytes {
		n := int64(binary.LittleEndian.Uint32(data[80:]))
		if headBytes+recordBytes*n == int64(len(data)) {
			return false
		}
	}
	start := bytes.TrimLeft(data[:min(len(data), 4096)], " \t\r\n\ufeff")
	if len(start) < 5 || !bytes.EqualFold(start[:5], []byte("solid")) {
		return false
	}
	return bytes.IndexByte(start, 0) < 0 // a text never holds a zero byte, a binary header mostly does
}

// Header is the free text at the head of a binary STL, without the zeros and spaces
// behind it; "" for a text STL and for anything shorter than a header.
func Header(data []byte) string {
	if len(data) < headBytes || isText(data) {
		return ""
	}
	return string(bytes.TrimRight(data[:80], " \x00"))
}

// Count is the number of triangles, at least 1.
func (s *Soup) Count() int {
	if s.corners != nil {
		return len(s.corners)
	}
	return len(s.records) / recordBytes
}

// Read copies triangles from number `from` on into dst and says how many.
func (s *Soup) Read(dst [][3][3]float32, from int) int {
	if s.corners != nil {
		return copy(dst, s.corners[from:])
	}
	n := min(len(dst), s.Count()-from)
	for k := range dst[:n] {
		r := s.records[(from+k)*recordBytes+12:][:36:36]
		t := &dst[k]
		t[0] = corner{f32(r[0:]), f32(r[4:]), f32(r[8:])}
		t[1] = corner{f32(r[12:]), f32(r[16:]), f32(r[20:])}
		t[2] = corner{f32(r[24:]), f32(r[28:]), f32(r[32:])}
	}
	return n
}

func f32(b []byte) float32 { return math.Float32frombits(binary.LittleEndian.Uint32(b)) }

// Read makes a mesh of an STL file: corners at the same place become one vertex,
// and triangles that lose a corner by it (no area, no direction) are left out, which
// keeps a closed surface closed.
func Read(name string, data []byte, lim format.Limits) (*mesh.Mesh, error) {
	s, err := Open(name, data, lim)
	if err != nil {
		return nil, err
	}
	n := s.Count()
	w := mesh.NewWelder(n/2 + 2)
	m := &mesh.Mesh{T: make([][3]uint32, 0, n)}
	var buf [256][3][3]float32
	for from := 0; from < n; {
		got := s.Read(buf[:], from)
		for k, t := range buf[:got] {
			var id [3]uint32
			for c, p := range t {
				if !format.Fits(p) {
					return nil, format.BadCoord(name, 0, fmt.Sprintf("triangle %d of %d", from+k+1, n), p)
				}
				id[c] = w.Number(p)
			}
			if id[0] != id[1] && id[1] != id[2] && id[2] != id[0] {
				m.T = append(m.T, id)
			}
		}
		if len(w.V) > lim.Vertices {
			return nil, lim.CheckCounts(name, len(w.V), n)
		}
		from += got
	}
	m.V = w.V
	return m, lim.CheckCounts(name, len(m.V), len(m.T))
}
