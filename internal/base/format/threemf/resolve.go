package threemf

import "fmt"

// resolve turns components into items that each place one mesh.
func (p *parser) resolve() (*Model, error) {
	m := &Model{}
	for _, meta := range p.metadata {
		switch meta.Name {
		case "Title":
			m.Title = meta.Value
		case "Application":
			m.Application = meta.Value
		default:
			m.Metadata = append(m.Metadata, meta)
		}
	}
	r := resolver{p: p, m: m, index: map[*source]int{}}
	for _, item := range p.items {
		if err := r.place(item, Identity, item.partNumber, 0); err != nil {
			return nil, err
		}
	}
	return m, p.lim.CheckCounts(p.name, max(1, r.vertices), r.triangles)
}

type resolver struct {
	p                   *parser
	m                   *Model
	index               map[*source]int // of sources already among the model's objects
	steps               int
	vertices, triangles int
}

// place adds the meshes of an object, or of its components, moved by its own
// transform and then by `outer`. Every step counts against maxInstances, so that
// components doubled at each of many levels end soon.
func (r *resolver) place(c placedAs, outer Transform, partNumber string, depth int) error {
	key := fmt.Sprintf("object %.20q", c.id)
	if r.steps++; r.steps > maxInstances || depth > maxNesting {
		return refusal(r.p.name, key, "too many instances, or components that hold themselves",
			fmt.Sprintf("at most %d instances, %d levels of components", maxInstances, maxNesting), nil)
	}
	o := r.p.byID[c.id]
	if o == nil {
		return refusal(r.p.name, key, "the build names an object that is not there", "", nil)
	}
	if o.kind == "support" || o.kind == "solidsupport" {
		return nil
	}
	t := c.transform.Then(outer)
	for _, child := range o.components {
		if err := r.place(child, t, partNumber, depth+1); err != nil {
			return err
		}
	}
	if o.mesh == nil || len(o.mesh.T) == 0 {
		return nil
	}
	if d := t.det(); d == 0 || d != d {
		return refusal(r.p.name, key, "transforms that flatten together", "ones with a volume", nil)
	}
	k, seen := r.index[o]
	if !seen {
		k = len(r.m.Objects)
		r.index[o] = k
		r.m.Objects = append(r.m.Objects, Object{Name: o.name, Mesh: o.mesh})
	}
	r.m.Items = append(r.m.Items, Item{Object: k, Transform: t, PartNumber: partNumber})
	r.vertices += len(o.mesh.V)
	r.triangles += len(o.mesh.T)
	return r.p.lim.CheckCounts(r.p.name, r.vertices, r.triangles)
}
