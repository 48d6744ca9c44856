package sheet

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/mesh"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/cavity"
	"mouldwright/internal/flow/forecast"
	"mouldwright/internal/flow/master"
	"mouldwright/internal/flow/piece"
)

// names are invented, in the scripts that the built-in fonts have.
var names = []string{
	"Ysoline", "Odalric", "Theophania", "Marisko", "Ţvetelin", "Þórgnýr", "Aðalrós", "Quilliam", "Zdislava", "Ermentrud",
	"Συνέσιος", "Велимудра", "מֵיטַלְיָה", "زهرنور", "महिमानी", "অরূপিতা", "நிலவேந்தி", "ทิพยาวี", "Նազելուկ", "მზისადარ", "みのり", "Brunhold", "Ailbheachta", "Xanthippos",
}

// madeJob is a job made by hand: 12 bees, 6 hearts and a plaque for each name.
type madeJob struct {
	result *flow.Result
	pieces []*piece.Piece
	cavity []*cavity.Cavity
}

// shape makes a chocolate by formula: leaning sides, a rounded edge, raised art.
func shape(o, art geom.Outline, height, rise, pitch float64) *field.Field {
	g := field.Around(o.Bounds().Grow(0.5), pitch)
	d, err := field.SignedDistance(context.Background(), g, o, 50)
	if err != nil {
		panic(err)
	}
	var a *field.Field
	if art != nil {
		if a, err = field.SignedDistance(context.Background(), g, art, 50); err != nil {
			panic(err)
		}
	}
	sign := float32(1)
	if d.At(g.W/2, g.H/2) < 0 {
		sign = -1
	}
	f := field.New(g)
	tan := math.Tan(8 * math.Pi / 180)
	const edge = 1.2
	for i, v := range d.Z {
		in := float64(sign * v)
		if in <= 0 {
			continue
		}
		z := math.Min(in/tan, height-rise)
		if e := in - (height-rise-edge)*tan; e > 0 && e < edge {
			z = math.Min(z, height-rise-edge+math.Sqrt(edge*edge-(edge-e)*(edge-e)))
		}
		if e := in - (height-rise)*tan; e > 0 {
			z += rise * (1 - math.Exp(-e/2.5))
		}
		if a != nil {
			if e := float64(sign * a.Z[i]); e > 0 {
				z += math.Min(e/math.Tan(10*math.Pi/180), 0.8)
			}
		}
		f.Z[i] = float32(z)
	}
	return f
}

// hollow makes the cavity of a relief roughly: lowered by the shell.
func hollow(f *field.Field, o geom.Outline, shell float64) *cavity.Cavity {
	c := field.New(f.Grid)
	n := int(shell / f.PitchMM)
	for j := n; j < f.H-n; j++ {
		for i := n; i < f.W-n; i++ {
			low := f.At(i, j)
			for _, d := range [][2]int{{n, 0}, {-n, 0}, {0, n}, {0, -n}, {n * 7 / 10, n * 7 / 10}, {-n * 7 / 10, -n * 7 / 10}, {n * 7 / 10, -n * 7 / 10}, {-n * 7 / 10, n * 7 / 10}} {
				low = min(low, f.At(i+d[0], j+d[1]))
			}
			c.Z[j*f.W+i] = max(0, min(low, f.At(i, j)-float32(shell)))
		}
	}
	return &cavity.Cavity{Filling: c}
}

func words(s, font string, w, h float64) geom.Outline {
	o, _, err := artwork.Text(artwork.TextSpec{Text: s, Font: font, Align: "centre", Leading: 1.2, WidthMM: w, HeightMM: h}, artwork.NewFonts())
	if err != nil {
		panic(err)
	}
	return o
}

// bee is an emblem of ellipses.
func bee() geom.Outline {
	var o geom.Outline
	put := func(w, h, turn, x, y float64) {
		o = append(o, geom.Ellipse(w, h).Transform(geom.Turn(turn).Then(geom.Move(x, y)))...)
	}
	put(4.4, 4.2, 0, 0, 6.1)
	put(6.2, 2.2, 0, 0, 2.6)
	put(7.2, 2.2, 0, 0, -0.6)
	put(6.4, 2.2, 0, 0, -3.8)
	put(3.6, 1.9, 0, 0, -6.8)
	put(7.4, 3.6, -28, -7.2, 3.2)
	put(7.4, 3.6, 28, 7.2, 3.2)
	put(5.6, 2.8, 14, -6.6, -0.7)
	put(5.6, 2.8, -14, 6.6, -0.7)
	return o
}

func made(count int, pitch float64) madeJob {
	var j madeJob
	c := &flow.Choices{
		Title: "A summer table for Ysoline", Needed: unit.Date{Year: 2027, Month: 3, Day: 14}, Boxes: 24,
		Printer:   material.Printers["small plate"].Value,
		Chocolate: map[string]material.Chocolate{"dark 64": {Kind: "dark"}, "milk": {Kind: "milk", Allergens: []string{"milk", "soy"}}, "white": {Kind: "white", Allergens: []string{"milk"}}},
		Filling:   map[string]material.Filling{"raspberry ganache": {Allergens: []string{"milk"}}, "hazelnut gianduja": {Allergens: []string{"hazelnut", "milk"}}},
	}
	for _, n := range []string{"dark 64", "milk", "white"} {
		k := c.Chocolate[n]
		k.YieldPa, k.LiquidGML = unit.Sure(10), unit.Sure(1.24)
		c.Chocolate[n] = k
	}
	c.Forecast = forecast.Choices{LightMM: 0.02, LightShare: 0.5, Fill: "brush", TapShare: 0.3, BrushPa: 500, ChocolateMM: 0.5, ChocolateRatio: 1.5,
		RubberMM: 0.3, RubberRatio: 3, ResinMM: 0.15, ResinRatio: 6, DraftDeg: 3, FloorMM: 2, EyeMM: 0.1, PocketMM: 3}
	c.Shell.CapMM, c.Shell.ShellMM = 1.8, 2
	c.Master.PanelMM, c.Master.BaseMM = 4, 3
	c.Pieces = []piece.Choices{{Name: "bee", Chocolate: "milk", Filling: "hazelnut gianduja"}, {Name: "heart", Chocolate: "white"}, {Name: "plaque", Chocolate: "dark 64", Filling: "raspberry ganache", Names: true}}
	r := &flow.Result{Choices: c, Plan: flow.Plan{Title: c.Title, Needed: c.Needed, Revision: "7K3QX9T", Version: "0.1", Digest: "0"}}
	add := func(design int, name string, n int, o, art geom.Outline, h, rise float64, filled bool) {
		f := shape(o, art, h, rise, pitch)
		p := &piece.Piece{Name: name, Design: design, Row: -1, Footprint: o, Relief: f, Body: shape(o, nil, h, 0, pitch), BodyMM: h, HeightMM: h + 0.8, MinDraftDeg: 8}
		var sum float64
		for _, z := range f.Z {
			sum += float64(z)
		}
		p.VolumeMM3 = sum * f.PitchMM * f.PitchMM
		cv := &cavity.Cavity{ShellMM3: p.VolumeMM3}
		pp := flow.PlanPiece{Name: name, Count: n, Cavities: n, Rounds: 1, Chocolate: c.Pieces[design].Chocolate, WidthMM: o.Bounds().W(), DepthMM: o.Bounds().H(), HeightMM: p.HeightMM,
			VolumeMM3: p.VolumeMM3, SolidMassG: unit.Between(1.24, 1.27, 1.3).Scale(p.VolumeMM3 / 1000), MinDraftDeg: 8.2}
		pp.MassG = pp.SolidMassG
		if filled {
			cv = hollow(f, o, 2)
			pp.Filling = c.Pieces[design].Filling
			pp.ShellVolumeMM3, pp.FillingVolumeMM3, pp.CapVolumeMM3 = p.VolumeMM3*0.42, p.VolumeMM3*0.43, p.VolumeMM3*0.15
			pp.ThinnestShellMM = 1.94
		}
		j.pieces, j.cavity = append(j.pieces, p), append(j.cavity, cv)
		r.Plan.Pieces = append(r.Plan.Pieces, pp)
		b := o.Bounds().Grow(0.4)
		r.Items = append(r.Items, master.Item{Name: name, Design: design, Cavities: n, Outline: o, HeightMM: p.HeightMM, Sheet: sheetOf(f, b)})
	}
	add(0, "bee", 12, geom.Circle(15), bee(), 10, 1.5, true)
	add(1, "heart", 6, geom.Heart(32, 29), nil, 11, 2, false)
	for i := range count {
		name := names[i%len(names)]
		if i >= len(names) {
			name = fmt.Sprintf("Ysoline %d", i)
		}
		add(2, "plaque: "+name, 1, geom.RoundedRectangle(36, 24, 5), words(name, "serif bold", 28, 7.5), 10, 0.8, true)
	}
	tray := master.Tray{Number: 1, WidthMM: 196, DepthMM: 132, HighestMM: 11.8, RubberMM: 21, FrameMM: 29, RubberMM3: 412000}
	place := func(item int, x, y float64) {
		tray.Placed = append(tray.Placed, master.Placed{Item: item, Number: len(tray.Placed) + 1, XMM: x, YMM: y})
	}
	for k := range 5 {
		place(0, 28+float64(k)*36, 112)
	}
	for k := range min(count, 8) {
		place(2+k, 29+float64(k%4)*46, 74-float64(k/4)*34)
	}
	for k := range 4 {
		place(1, 30+float64(k)*45, 10+float64(0))
	}
	half := func(x0, x1 float64) geom.Outline {
		return geom.Outline{{{X: x0, Y: 0}, {X: x1, Y: 0}, {X: x1, Y: 60}, {X: x1 + 4, Y: 58}, {X: x1 + 4, Y: 72}, {X: x1, Y: 70}, {X: x1, Y: 132}, {X: x0, Y: 132}}}
	}
	tray.Tiles = []master.Tile{{Number: 1, Outline: half(0, 98), Placed: []int{0, 1, 2, 5, 6, 9, 10}}, {Number: 2, Outline: half(98, 192), Placed: []int{3, 4, 7, 8, 11, 12}}}
	r.Master = &master.Master{Trays: []master.Tray{tray}}
	r.Plan.Masters = []flow.PlanMaster{{Tray: 1, Tiles: 2, Pieces: len(tray.Placed), WidthMM: 196, DepthMM: 132, RubberMM: 21, FrameMM: 29}}
	for k := range 3 {
		r.Plan.Plates = append(r.Plan.Plates, flow.PlanPlate{File: fmt.Sprintf("plates/plate %d.3mf", k+1), SHA256: "3f2a9c01be77d4e2aa0011223344556677889900aabbccddeeff001122334455", Parts: []string{"tray 1 tile 1", "tray 1 tile 2", "frame left 1", "frame right 1"}, Layers: 296 + k*20, PrintTimeMin: unit.Between(41, 47, 62), ResinML: 83.4})
	}
	r.Plan.Silicone = flow.PlanSilicone{VolumeMM3: 412000, MassG: unit.Between(451, 472, 494), PartAG: 236, PartBG: 236, Trays: []flow.PlanPour{{Tray: 1, MassG: unit.Between(451, 472, 494), PartAG: 236, PartBG: 236}}}
	r.Plan.Chocolate = flow.PlanChocolate{ShellMassG: 240, CapMassG: 72, MeltMassG: 655}
	for _, k := range []string{"dark 64", "milk", "white"} {
		r.Plan.Chocolates = append(r.Plan.Chocolates, flow.PlanKind{Name: k, ShellMassG: unit.Between(118, 121, 125), CapMassG: unit.Between(35, 36, 38), MeltMassG: unit.Between(320, 331, 345)})
	}
	for _, k := range []string{"raspberry ganache", "hazelnut gianduja"} {
		r.Plan.Fillings = append(r.Plan.Fillings, flow.PlanFilling{Name: k, MassG: unit.Between(104, 112, 121)})
	}
	r.Plan.Findings = []finding.Finding{
		{Severity: finding.Care, Where: "piece[1].art[1].depth_mm", What: "a stroke of the bee is 0.42 mm wide; chocolate holds 0.5 to 0.8 mm", Do: "widen the art to 24 mm, or make its strokes bolder"},
		{Severity: finding.Note, Where: "silicone.food_contact", What: "no declaration of compliance is entered for this rubber", Do: "copy its words from the data sheet before it touches food"},
	}
	for _, a := range [][3]string{{"silicone.density_g_ml", "1.06 / 1.1 / 1.18", "class \"soft food-grade rubber\": common practice, no source"}, {"master.gap_mm", "8", "default (common practice: 6-10 mm)"}, {"resin.shrinkage", "0.002 / 0.005 / 0.01", "class \"rigid grey resin\": common practice, no source"}} {
		for range 9 {
			r.Plan.Assumed = append(r.Plan.Assumed, flow.Assumed{Key: a[0], Value: a[1], Source: a[2]})
		}
	}
	j.result = r
	return j
}

// sheetOf makes a sheet of a relief on a coarse grid.
func sheetOf(f *field.Field, b geom.Rect) *mesh.Sheet {
	s := &mesh.Sheet{}
	g := field.Around(b, 0.5)
	for j := range g.H {
		for i := range g.W {
			p := g.XY(i, j)
			u, v := int((p.X-f.X0)/f.PitchMM+0.5), int((p.Y-f.Y0)/f.PitchMM+0.5)
			var z float32
			if u >= 0 && v >= 0 && u < f.W && v < f.H {
				z = f.At(u, v)
			}
			s.V = append(s.V, [3]float32{float32(p.X), float32(p.Y), z})
			if i > 0 && j > 0 {
				n := uint32(j*g.W + i)
				w := uint32(g.W)
				s.T = append(s.T, [3]uint32{n - w - 1, n - w, n}, [3]uint32{n - w - 1, n, n - 1})
			}
		}
	}
	return s
}

// sketched shows every piece to a sketchbook.
func (j madeJob) sketched() *Sketchbook {
	s := NewSketchbook(j.result.Choices)
	var w flow.Watcher = s
	for i, p := range j.pieces {
		if err := w.Piece(context.Background(), i, p, j.cavity[i]); err != nil {
			panic(err)
		}
	}
	return s
}
