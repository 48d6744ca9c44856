package coupon

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/pack"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/plate"
)

// Plate is one print of coupons.
type Plate struct {
	Name         string // measure, chocolate, pads; numbered from the second on
	Resin        string // what to fill the vat with
	Items        []Item
	Layers       int
	PrintTimeMin unit.Range // with the exposure of the job's resin
	ResinML      float64    // losses included
}

// Item is a coupon on its plate.
type Item struct {
	Coupon   *Coupon
	XMM, YMM float64 // left front corner, from the plate's
	Turned   bool    // a quarter turn
}

// Affine maps the coupon to its place.
func (i Item) Affine() geom.Affine {
	if i.Turned {
		return geom.Affine{B: 1, C: -1, E: i.XMM + i.Coupon.DepthMM, F: i.YMM}
	}
	return geom.Move(i.XMM, i.YMM)
}

// Arrange puts coupons on plates: those to measure together, the chocolate one alone,
// since it is high, and pads by the resin they are printed with. The size coupons are
// never turned, since they are of one axis each.
func Arrange(ctx context.Context, list []*Coupon, gapMM float64, printer material.Printer, resin material.Resin) ([]Plate, error) {
	var names []string
	groups := map[string][]*Coupon{}
	for _, c := range list {
		name := "measure"
		switch c.Kind {
		case Chocolate:
			name = Chocolate
		case Pad:
			name = "pads\n" + c.Test.Resin
		}
		if groups[name] == nil {
			names = append(names, name)
		}
		groups[name] = append(groups[name], c)
	}
	var out []Plate
	count := map[string]int{}
	for _, name := range names {
		plates, err := nest(ctx, groups[name], gapMM, printer)
		if err != nil {
			return nil, err
		}
		for _, p := range plates {
			p.Name, p.Resin = groups[name][0].Kind, resin.Called()
			switch p.Name {
			case Pad:
				p.Name, p.Resin = "pads", groups[name][0].Test.Resin
			case Chocolate:
			default:
				p.Name = "measure"
			}
			if count[p.Name]++; count[p.Name] > 1 {
				p.Name = fmt.Sprintf("%s-%d", p.Name, count[p.Name])
			}
			high := 0.0
			for _, it := range p.Items {
				high = max(high, it.Coupon.HeightMM)
				p.ResinML += it.Coupon.VolumeMM3 / 1000 * (1 + resin.LossShare)
			}
			p.Layers = plate.Layers(high, printer.LayerMM)
			p.PrintTimeMin = plate.TimeMin(p.Layers, printer, resin)
			out = append(out, p)
		}
	}
	return out, nil
}

// nest puts coupons on as few plates as it finds, the largest first.
func nest(ctx context.Context, list []*Coupon, gapMM float64, printer material.Printer) ([]Plate, error) {
	w, d := printer.PlateWidthMM-2*printer.MarginMM, printer.PlateDepthMM-2*printer.MarginMM
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b *Coupon) int {
		if (a.Kind == Size) != (b.Kind == Size) { // what cannot be turned before what can
			return map[bool]int{true: -1, false: 1}[a.Kind == Size]
		}
		return cmp.Compare(b.WidthMM*b.DepthMM, a.WidthMM*a.DepthMM)
	})
	var free []int // coupons that may be turned
	for i, c := range list {
		fits := func(pw, pd float64) bool { return pw <= w && pd <= d }
		if c.HeightMM > printer.PlateHeightMM || !fits(c.WidthMM, c.DepthMM) && (c.Kind == Size || !fits(c.DepthMM, c.WidthMM)) {
			return nil, &finding.Error{Key: "printer", Found: fmt.Sprintf("the coupon %q is %.1f x %.1f x %.1f mm", c.Name, c.WidthMM, c.DepthMM, c.HeightMM),
				Allowed: fmt.Sprintf("%.1f x %.1f x %.1f mm (%g mm margin on each side)", w, d, printer.PlateHeightMM, printer.MarginMM), Do: "smaller printer margins, or smaller pads (cure_test.pad_mm)"}
		}
		if c.Kind != Size {
			free = append(free, i)
		}
	}
	// With a few coupons every way of turning them is tried; many pads are alike.
	ways := 1
	if len(free) < len(list) {
		ways = 1 << len(free)
	}
	var best []pack.Place
	fewest, turned := math.MaxInt, 0
	for way := range ways {
		sizes := make([]pack.Size, len(list))
		for i, c := range list {
			sizes[i] = pack.Size{W: c.WidthMM + gapMM, H: c.DepthMM + gapMM}
		}
		for k, i := range free {
			if way>>k&1 == 1 {
				sizes[i].W, sizes[i].H = sizes[i].H, sizes[i].W
			}
		}
		bin := pack.Bin{W: w + gapMM, H: d + gapMM}
		if slices.ContainsFunc(sizes, func(s pack.Size) bool { return s.W > bin.W || s.H > bin.H }) && ways > 1 {
			continue
		}
		places, err := pack.InOrder(ctx, sizes, func(int) (pack.Bin, bool) { return bin, true }, ways == 1)
		if err != nil {
			return nil, err
		}
		n := 0
		for _, p := range places {
			n = max(n, p.Bin+1)
		}
		if n < fewest {
			best, fewest, turned = places, n, way
		}
	}
	out := make([]Plate, fewest)
	for i, p := range best {
		turn := p.Turned
		if k := slices.Index(free, i); k >= 0 && ways > 1 {
			turn = turned>>k&1 == 1
		}
		out[p.Bin].Items = append(out[p.Bin].Items, Item{list[i], printer.MarginMM + p.X, printer.MarginMM + p.Y, turn})
	}
	return out, nil
}
