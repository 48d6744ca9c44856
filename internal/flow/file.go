package flow

import (
	"context"
	"crypto/sha256"
	"fmt"
	"hash"
	"io"

	"mouldwright/internal/base/format/stl"
	"mouldwright/internal/base/format/threemf"
	"mouldwright/internal/flow/master"
	"mouldwright/internal/flow/plate"
)

// writePlate writes one plate as 3MF, and as STL when the job asks for it.
func (b *build) writePlate(ctx context.Context, p *plate.Plate) (PlanPlate, error) {
	out := planPlate(p)
	base := b.plateFile(p)
	out.File = base + ".3mf"
	model, err := b.model(ctx, p)
	if err != nil {
		return out, err
	}
	stack, err := plate.NewStack(ctx, Solids(model), b.c.Printer)
	if err != nil {
		return out, err
	}
	if out.PlanExposure, err = b.expose(ctx, p, stack); err != nil {
		return out, err
	}
	for _, it := range model.Items {
		out.Parts = append(out.Parts, it.PartNumber)
	}
	out.SHA256, err = b.write(out.File, func(w io.Writer) error { return threemf.Write(ctx, w, model) })
	if err != nil {
		return out, err
	}
	if b.opt.Layers {
		out.Layered = base + "-layers.zip"
		if _, err = b.write(out.Layered, func(w io.Writer) error {
			return plate.WriteArchive(ctx, w, stack, b.r.Plan.Revision, fmt.Sprintf("plate %d", p.Number), b.c.Resin)
		}); err != nil {
			return out, err
		}
	}
	if !b.c.Plate.STL {
		return out, nil
	}
	out.STL = base + ".stl"
	_, err = b.write(out.STL, func(w io.Writer) error {
		return stl.Write(w, model.Merged(), "mouldwright "+b.r.Plan.Revision)
	})
	return out, err
}

// model is a plate as a 3MF model: each part once, its copies as instances.
func (b *build) model(ctx context.Context, p *plate.Plate) (*threemf.Model, error) {
	m := &threemf.Model{
		Title: fmt.Sprintf("%s, plate %d", b.c.Title, p.Number),
		Metadata: []threemf.Meta{
			{Name: threemf.Revision, Value: b.r.Plan.Revision},
			{Name: "Description", Value: "Made from the inputs with SHA-256 " + b.r.Plan.Digest},
		},
	}
	object := map[plate.Lies]int{}
	for _, it := range p.Items {
		part := &b.r.Master.Parts[it.Part]
		k, seen := object[it.Lies()]
		if !seen {
			built, err := it.Mesh(ctx, *part)
			if err != nil {
				return nil, err
			}
			k = len(m.Objects)
			object[it.Lies()] = k
			m.Objects = append(m.Objects, threemf.Object{Name: part.Name, Mesh: built})
		}
		a := it.Affine(*part)
		m.Items = append(m.Items, threemf.Item{
			Object: k, PartNumber: copyName(part, it.Copy),
			Transform: threemf.Transform{a.A, a.B, 0, a.C, a.D, 0, 0, 0, 1, a.E, a.F, 0},
		})
	}
	return m, nil
}

// planPlate is the numbers of a plate.
func planPlate(p *plate.Plate) PlanPlate {
	out := PlanPlate{Parts: []string{}, PartNumbers: []int{}, Layers: p.Layers, PrintTimeMin: p.PrintTimeMin, ResinML: p.ResinML, HeightMM: p.HeightMM, UsedShare: p.UsedShare}
	for _, it := range p.Items {
		out.PartNumbers = append(out.PartNumbers, it.Part+1)
	}
	return out
}

// copyName is what one copy of a part is called.
func copyName(p *master.Part, n int) string {
	if p.Copies > 1 {
		return fmt.Sprintf("%s, copy %d", p.Name, n)
	}
	return p.Name
}

// write creates a file of the output and gives its SHA-256.
func (b *build) write(name string, content func(io.Writer) error) (string, error) {
	h := sha256.New()
	if b.opt.Create == nil {
		err := content(h)
		return sum(h), err
	}
	f, err := b.opt.Create(name)
	if err != nil {
		return "", err
	}
	err = content(io.MultiWriter(f, h))
	if closing := f.Close(); err == nil {
		err = closing
	}
	return sum(h), err
}

func sum(h hash.Hash) string { return fmt.Sprintf("%x", h.Sum(nil)) }
