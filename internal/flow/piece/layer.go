package piece

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/relief"
)

// layer is one piece of art as heights on its own part of the piece's grid.
type layer struct {
	side string // raised or sunk
	raised
}

// usualShare is how much of the top's width and depth art takes for which no size is
// given; usualShrink is the factor by which that is lessened until it fits on the top (our
// choice: a margin all round, as around words on a page).
const (
	usualShare  = 0.7
	usualShrink = 0.9
	usualTries  = 12
)

// makeLayer draws, places and raises one piece of art, and sees that it stays on the
// body's top.
func makeLayer(ctx context.Context, c Choices, index int, in Inputs, row map[string]string, b *body, pitchMM float64) (layer, []finding.Finding, error) {
	a := c.Art[index]
	key := func(name string) string { return fmt.Sprintf("art[%d].%s", index+1, name) }
	art, list, err := draw(ctx, a, in, row, in.key("art[%d]", index+1))
	if err != nil || finding.Worst(list) == finding.Stop {
		return layer{}, list, err
	}
	usual := a.WidthMM == 0 && a.HeightMM == 0
	if usual {
		t := b.top()
		a.WidthMM, a.HeightMM = usualShare*t.W(), usualShare*t.H()
	}
	if c.Outline == "text" && index == firstText(c) {
		art = art.middled() // the footprint around it is, too
	}
	l := layer{side: a.Side}
	var notes []finding.Finding
	for try := 1; ; try++ {
		if l.raised, notes, err = art.raise(ctx, a, pitchMM); err != nil {
			return layer{}, list, err
		}
		over, err := b.overMM(ctx, l.relief)
		if err != nil {
			return layer{}, list, err
		}
		if over <= pitchMM {
			break
		}
		if usual && try < usualTries {
			a.WidthMM, a.HeightMM = a.WidthMM*usualShrink, a.HeightMM*usualShrink
			continue
		}
		size := l.relief.Bounds()
		do, remedy := "move it with x_mm and y_mm, or make the piece wider", finding.Remedy{}
		if c.Outline == "text" {
			margin := math.Ceil(10*(c.MarginMM+over)) / 10
			do, remedy = fmt.Sprintf("set margin_mm to %.1f or more", margin), in.mend(c, "margin_mm", margin)
		} else if r := math.Abs(a.ArcRadiusMM) - over; a.Text != "" && r > math.Abs(a.ArcRadiusMM)/2 {
			r = math.Copysign(math.Floor(10*r)/10, a.ArcRadiusMM)
			do, remedy = fmt.Sprintf("set arc_radius_mm to %g, choose smaller letters, ", r)+do, in.mend(c, key("arc_radius_mm"), r)
		} else if w := size.W() - 2*over; w > size.W()/4 {
			do = fmt.Sprintf("make it smaller (about %.1f mm wide), ", w) + do
			switch smaller := w / size.W() * 0.99; {
			case a.WidthMM > 0 && a.HeightMM == 0:
				remedy = in.mend(c, key("width_mm"), math.Floor(10*a.WidthMM*smaller)/10)
			case a.HeightMM > 0 && a.WidthMM == 0:
				remedy = in.mend(c, key("height_mm"), math.Floor(10*a.HeightMM*smaller)/10)
			}
		}
		return layer{}, append(list, in.stop(key(named(a)),
			fmt.Sprintf("the art, %.1f x %.1f mm at its foot, reaches %.2f mm over the edge of the top", size.W(), size.H(), over), do).Mended(remedy)), nil
	}
	if usual {
		list = append(list, finding.Finding{Severity: finding.Note, Where: in.key("%s", key("width_mm")),
			What: fmt.Sprintf("not given, and no height_mm: the art is fitted into %.1f x %.1f mm of the top", a.WidthMM, a.HeightMM),
			Do:   "set width_mm or height_mm"})
	}
	list = append(list, notes...)
	list = append(list, judge(in, c, key, a, l.relief, l.strokeMM, b)...)
	return l, list, nil
}

// named is the key that says what the art is.
func named(a artwork.Choices) string {
	if a.Text != "" {
		return "text"
	}
	return "file"
}

// judge looks at the finished art's heights; width is its strokes', 0 without strokes.
func judge(in Inputs, c Choices, key func(string) string, a artwork.Choices, f *field.Field, width float64, b *body) []finding.Finding {
	highest := float32(0)
	for _, z := range f.Z {
		highest = max(highest, z)
	}
	var list []finding.Finding
	// Two hundredths of the depth are lost to sampling a ridge between two samples.
	if width > 0 && float64(highest) < 0.98*a.DepthMM {
		list = append(list, finding.Finding{Severity: finding.Note, Where: in.key("%s", key("depth_mm")),
			What: fmt.Sprintf("the strokes are too narrow for %.2f mm with their slopes: the highest place has %.2f mm", a.DepthMM, highest),
			Do:   "make the art larger or bolder, or draft_deg smaller"})
	}
	if a.Side != "sunk" {
		return list
	}
	i0, j0, err := relief.At(b.relief.Grid, f.Grid)
	if err != nil { // overMM has seen that it fits
		return list
	}
	left := math.Inf(1)
	for j := range f.H {
		under := b.relief.Row(j0 + j)[i0 : i0+f.W]
		for i, z := range f.Row(j) {
			if z > 0 {
				left = math.Min(left, float64(under[i]-z))
			}
		}
	}
	if left < in.FloorMM-1e-4 { // heights are float32: a tenth of a µm is their rounding
		list = append(list, in.stop(key("depth_mm"),
			fmt.Sprintf("sunk %.2f mm it leaves %.2f mm of chocolate, at least %g mm must stay (rule of thumb forecast.least_floor_mm: common practice)", a.DepthMM, left, in.FloorMM),
			fmt.Sprintf("set depth_mm to %.2f or less, or make the piece higher", math.Max(0, a.DepthMM+left-in.FloorMM))).Mended(in.mend(c, key("depth_mm"), math.Floor(100*math.Max(0, a.DepthMM+left-in.FloorMM))/100)))
	}
	return list
}

// overMM is how far art reaches beyond where the body's top begins; 0 or less on it.
func (b *body) overMM(ctx context.Context, f *field.Field) (float64, error) {
	i0, j0, err := relief.At(b.distance.Grid, f.Grid)
	if err != nil {
		// Beyond the body's grid: far over, measured from the outline itself.
		d, err := field.SignedDistance(ctx, f.Grid, b.outline, geom.MaxMM)
		if err != nil {
			return 0, err
		}
		return over(f, d, 0, 0, b.insetMM), nil
	}
	return over(f, b.distance, i0, j0, b.insetMM), nil
}

func over(f, d *field.Field, i0, j0 int, inset float64) float64 {
	nearest := float32(math.Inf(1))
	for j := range f.H {
		from := d.Row(j0 + j)[i0 : i0+f.W]
		for i, z := range f.Row(j) {
			if z > 0 {
				nearest = min(nearest, from[i])
			}
		}
	}
	return inset - float64(nearest)
}
