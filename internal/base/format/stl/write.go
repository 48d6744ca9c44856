package stl

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/mesh"
)

// Write writes a mesh as a binary STL. The header is free text, cut after 80 bytes;
// it must not begin with "solid", which would make readers take the file for text.
func Write(w io.Writer, m *mesh.Mesh, header string) error {
	if strings.HasPrefix(strings.ToLower(strings.TrimSpace(header)), "solid") {
		return &finding.Error{Key: "header", Found: fmt.Sprintf("%q", header),
			Allowed: "any text that does not begin with \"solid\"", Do: "choose another header"}
	}
	if int64(len(m.T)) > math.MaxUint32 {
		return &finding.Error{Found: fmt.Sprintf("%d triangles", len(m.T)), Allowed: "at most 4294967295 in an STL",
			Do: "write 3MF, or fewer triangles"}
	}
	b := bufio.NewWriterSize(w, 1<<16)
	var head [headBytes]byte
	copy(head[:80], header)
	binary.LittleEndian.PutUint32(head[80:], uint32(len(m.T)))
	if _, err := b.Write(head[:]); err != nil {
		return err
	}
	var rec [recordBytes]byte
	for _, t := range m.T {
		p, q, r := m.V[t[0]], m.V[t[1]], m.V[t[2]]
		for i, v := range [4][3]float32{normal(p, q, r), p, q, r} {
			for c := range 3 {
				binary.LittleEndian.PutUint32(rec[12*i+4*c:], math.Float32bits(v[c]))
			}
		}
		if _, err := b.Write(rec[:]); err != nil {
			return err
		}
	}
	return b.Flush()
}

// normal is the unit normal by the right-hand rule, zero for a triangle without area.
func normal(p, q, r [3]float32) [3]float32 {
	var a, b [3]float64
	for c := range 3 {
		a[c], b[c] = float64(q[c])-float64(p[c]), float64(r[c])-float64(p[c])
	}
	n := [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
	l := math.Sqrt(n[0]*n[0] + n[1]*n[1] + n[2]*n[2])
	if l == 0 {
		return [3]float32{}
	}
	return [3]float32{float32(n[0] / l), float32(n[1] / l), float32(n[2] / l)}
}
