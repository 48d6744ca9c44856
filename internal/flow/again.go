package flow

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/threemf"
	"mouldwright/internal/flow/master"
	"mouldwright/internal/flow/plate"
)

// Again is the plates that print some parts of a build again.
type Again struct {
	Plates   []PlanPlate
	Findings []finding.Finding
	nested   *plate.Plates
}

// PlanAgain nests the parts with these numbers, from 1: see plate.Only. parts are those
// of the master, made or sketched.
func PlanAgain(ctx context.Context, c *Choices, parts []master.Part, only []int) (*Again, error) {
	p, found, err := plate.Only(ctx, parts, only, c.Plate, c.Printer, c.Resin)
	if err != nil {
		return nil, err
	}
	a := &Again{Findings: found, nested: p}
	for i := range p.Plates {
		q := planPlate(&p.Plates[i])
		for _, it := range p.Plates[i].Items {
			q.Parts = append(q.Parts, copyName(&parts[it.Part], it.Copy))
		}
		a.Plates = append(a.Plates, q)
	}
	return a, nil
}

// Model is plate k, from 0, as a 3MF model of the same revision. The meshes come from the
// files of the build, which open gives by their names in plan: nothing is made anew.
func (a *Again) Model(parts []master.Part, plan *Plan, k int, open func(file string) (*threemf.Model, error)) (*threemf.Model, error) {
	out := &threemf.Model{Title: fmt.Sprintf("%s, some parts again", plan.Title), Metadata: []threemf.Meta{
		{Name: threemf.Revision, Value: plan.Revision},
		{Name: "Description", Value: "Made from the inputs with SHA-256 " + plan.Digest},
	}}
	for i, it := range a.nested.Plates[k].Items {
		was, item := whereIs(plan, it.Part+1)
		if was < 0 {
			return nil, &finding.Error{Key: "only", Found: fmt.Sprintf("part %d stands on no plate of revision %s", it.Part+1, plan.Revision), Do: "build again"}
		}
		m, err := open(plan.Plates[was].File)
		if err != nil {
			return nil, err
		}
		if item >= len(m.Items) {
			return nil, &finding.Error{File: plan.Plates[was].File, Found: fmt.Sprintf("%d parts, expected %d", len(m.Items), len(plan.Plates[was].Parts)), Do: "build again"}
		}
		at, object, lay := it.Affine(parts[it.Part]), m.Objects[m.Items[item].Object], m.Items[item].Transform
		object.Mesh = it.Retrim(object.Mesh, math.Atan2(lay[1]/(1+it.Trim.GrowY), lay[0]/(1+it.Trim.GrowX))*180/math.Pi)
		out.Objects = append(out.Objects, object)
		out.Items = append(out.Items, threemf.Item{Object: i, PartNumber: m.Items[item].PartNumber,
			Transform: threemf.Transform{at.A, at.B, 0, at.C, at.D, 0, 0, 0, 1, at.E, at.F, 0}})
	}
	return out, nil
}

// whereIs finds a part's plate and its place in the list of that plate's parts.
func whereIs(plan *Plan, number int) (plate, item int) {
	for i := range plan.Plates {
		for k, n := range plan.Plates[i].PartNumbers {
			if n == number {
				return i, k
			}
		}
	}
	return -1, -1
}
