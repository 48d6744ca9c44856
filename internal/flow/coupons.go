package flow

import (
	"context"
	"fmt"
	"io"

	"mouldwright/internal/base/format/stl"
	"mouldwright/internal/base/format/threemf"
	"mouldwright/internal/flow/coupon"
	"mouldwright/internal/flow/pour"
)

// Coupons is every coupon of a job, on its plates.
type Coupons struct {
	Title, Revision, Version string
	List                     []*coupon.Coupon
	Plates                   []CouponPlate
	Choices                  *Choices
}

// CouponPlate is one print of coupons and its files.
type CouponPlate struct {
	coupon.Plate
	File string // 3MF, relative to the output folder
	STL  string // "" unless the job asks for STL
}

// MakeCoupons makes the coupons of a job and writes a file for each of their plates.
// With create nil nothing is written.
func MakeCoupons(ctx context.Context, in *Input, version string, create func(name string) (io.WriteCloser, error)) (*Coupons, error) {
	c := &in.Choices
	fonts, err := ownFonts(in)
	if err != nil {
		return nil, err
	}
	tests, err := pour.Combinations(pour.CureTest{Resin: c.Resin.Called(), Treatment: c.Pour.Treatment, Coating: c.Pour.Coating, Silicone: c.Silicone.Called()}, c.CureTest)
	if err != nil {
		return nil, err
	}
	digest := Digest(in, version)
	out := &Coupons{Title: c.Title, Revision: Code(digest), Version: version, Choices: c}
	out.List, err = coupon.Make(ctx, coupon.Work{Printer: c.Printer, Resin: c.Resin, Silicone: c.Silicone, Fonts: fonts, Tests: tests, Pads: c.CureTest, Master: c.Master})
	if err != nil {
		return nil, err
	}
	plates, err := coupon.Arrange(ctx, out.List, c.Plate.GapMM, c.Printer, c.Resin)
	if err != nil {
		return nil, err
	}
	b := &build{in: in, c: c, opt: Options{Version: version, Create: create}, r: &Result{Plan: Plan{Revision: out.Revision}}}
	for i := range plates {
		p := CouponPlate{Plate: plates[i], File: fmt.Sprintf("coupons/%s.3mf", plates[i].Name)}
		model := couponModel(&p.Plate, out.Title, out.Revision, fmt.Sprintf("%x", digest))
		if _, err := b.write(p.File, func(w io.Writer) error { return threemf.Write(ctx, w, model) }); err != nil {
			return nil, err
		}
		if c.Plate.STL {
			p.STL = fmt.Sprintf("coupons/%s.stl", plates[i].Name)
			if _, err := b.write(p.STL, func(w io.Writer) error {
				return stl.Write(w, model.Merged(), "mouldwright "+out.Revision)
			}); err != nil {
				return nil, err
			}
		}
		out.Plates = append(out.Plates, p)
	}
	return out, nil
}

func couponModel(p *coupon.Plate, title, revision, digest string) *threemf.Model {
	m := &threemf.Model{
		Title:    fmt.Sprintf("%s, coupons: %s", title, p.Name),
		Metadata: []threemf.Meta{{Name: threemf.Revision, Value: revision}, {Name: "Description", Value: "Made from the inputs with SHA-256 " + digest}},
	}
	for _, it := range p.Items {
		a := it.Affine()
		m.Objects = append(m.Objects, threemf.Object{Name: it.Coupon.Name, Mesh: it.Coupon.Mesh})
		m.Items = append(m.Items, threemf.Item{
			Object: len(m.Objects) - 1, PartNumber: it.Coupon.Name,
			Transform: threemf.Transform{a.A, a.B, 0, a.C, a.D, 0, 0, 0, 1, a.E, a.F, 0},
		})
	}
	return m
}
