package mesh

import (
	"fmt"

	"mouldwright/internal/base/finding"
)

// Builder joins sheets and walls into one closed mesh. Parts meet where they have
// equal vertices; nothing is snapped together. The zero value is ready.
type Builder struct {
	soup [][3][3]float32
	err  error
}

// Up adds a surface seen from above: the solid lies below it.
func (b *Builder) Up(s *Sheet) {
	for _, t := range s.T {
		b.soup = append(b.soup, [3][3]float32{s.V[t[0]], s.V[t[1]], s.V[t[2]]})
	}
}

// Down adds a surface seen from below: the solid lies above it.
func (b *Builder) Down(s *Sheet) {
	for _, t := range s.T {
		b.soup = append(b.soup, [3][3]float32{s.V[t[0]], s.V[t[2]], s.V[t[1]]})
	}
}

// Wall adds the walls between pairs of rings: upper[i] stands over lower[i]. Both run
// counter-clockwise around the solid and clockwise around its holes, have the same
// corners in plan, and may have further points of their own along the edges. Where a
// pair meets in a point there is no wall. Errors come with Mesh.
func (b *Builder) Wall(upper, lower []Ring3) {
	if len(upper) != len(lower) {
		b.fail(&finding.Error{Found: fmt.Sprintf("a wall between %d upper and %d lower rings", len(upper), len(lower)), Allowed: "as many upper as lower rings"})
		return
	}
	for i := range upper {
		if err := b.strip(upper[i], lower[i]); err != nil {
			b.fail(err)
		}
	}
}

func (b *Builder) fail(err error) {
	if b.err == nil {
		b.err = err
	}
}

// Mesh welds all parts. It gives an error with the place unless the result is closed,
// oriented and encloses a positive volume.
func (b *Builder) Mesh() (*Mesh, error) {
	if b.err != nil {
		return nil, b.err
	}
	if len(b.soup) == 0 {
		return nil, &finding.Error{Found: "a mesh without triangles"}
	}
	m := FromTriangles(b.soup)
	if err := m.Check().Err(); err != nil {
		return nil, err
	}
	return m, nil
}
