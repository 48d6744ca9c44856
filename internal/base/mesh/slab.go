package mesh

import (
	"context"
	"fmt"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// Slab is the solid between a bottom and a top relief inside a settled outline, each
// meshed to tolMM as by Relief, with walls along the outline. The top lies above the
// bottom everywhere.
func Slab(ctx context.Context, o geom.Outline, top, bottom *field.Field, tolMM float64) (*Mesh, error) {
	up, err := Relief(ctx, top, o, tolMM)
	if err != nil {
		return nil, err
	}
	down, err := Relief(ctx, bottom, o, tolMM)
	if err != nil {
		return nil, err
	}
	var b Builder
	b.Up(up)
	b.Down(down)
	b.Wall(up.Rings, down.Rings)
	return b.Mesh()
}

// Prism is the solid over the settled outline from z0 up to z1 mm, exact on the plan
// grid.
func Prism(o geom.Outline, z0, z1 float64) (*Mesh, error) {
	if !(float32(z0) < float32(z1)) {
		return nil, &finding.Error{Found: fmt.Sprintf("a prism from z %g to %g mm", z0, z1), Allowed: "a top above the bottom"}
	}
	up, err := Plane(Level(o, float32(z1)))
	if err != nil {
		return nil, err
	}
	down, err := Plane(Level(o, float32(z0)))
	if err != nil {
		return nil, err
	}
	var b Builder
	b.Up(up)
	b.Down(down)
	b.Wall(up.Rings, down.Rings)
	return b.Mesh()
}
