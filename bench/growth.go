package main

import (
	"cmp"
	"fmt"
	"image/color"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"
)

// growth is the source of how cost grows.
var growth = source{name: "BenchmarkGrowth", pkg: "internal/build", n: 1, once: true}

// quantities are what a job may have much of, with the number of the source that tells
// the cost.
var quantities = []struct{ name, words, unit string }{
	{"names", "different names, built whole", "s-of-computing"},
	{"copies", "hearts from six cavities, built whole", "s-of-computing"},
	{"samples", "samples of the reference piece, meshed", "s"},
	{"triangles", "triangles of an STL, to a relief", "s"},
}

// cost is one measured point.
type cost struct{ n, seconds, mib float64 }

// costs are the points of a quantity, by n.
func (r *runner) costs(name, unit string) []cost {
	var list []cost
	for key, v := range r.got[growth] {
		f := strings.Split(key, "/")
		if len(f) != 3 || f[0] != name || f[2] != unit {
			continue
		}
		n, err := strconv.ParseFloat(f[1], 64)
		if err != nil {
			continue
		}
		c := cost{n: n, seconds: slices.Min(v)}
		if m := r.got[growth][strings.Join([]string{name, f[1], "MiB"}, "/")]; len(m) > 0 {
			c.mib = m[0]
		}
		list = append(list, c)
	}
	slices.SortFunc(list, func(a, b cost) int { return cmp.Compare(a.n, b.n) })
	return list
}

// grow measures growth, prints it as a table and draws it into a file.
func (r *runner) grow(w io.Writer, file string) error {
	fmt.Fprintln(os.Stderr, "growth: about five minutes")
	if err := r.run(growth); err != nil {
		return err
	}
	var plots []*plot.Plot
	fmt.Fprint(w, "| quantity | number | computing | a thousand more cost | memory |\n| --- | ---: | ---: | ---: | ---: |\n")
	for _, q := range quantities {
		list := r.costs(q.name, q.unit)
		if len(list) < 2 {
			return fmt.Errorf("%s: %d points, and a plot needs two", q.name, len(list))
		}
		for i, c := range list {
			more, mib := "", ""
			if i > 0 {
				more = show(1000*(c.seconds-list[i-1].seconds)/(c.n-list[i-1].n), "s")
			}
			if c.mib > 0 {
				mib = show(c.mib, "MiB")
			}
			fmt.Fprintf(w, "| %s | %.0f | %s | %s | %s |\n", q.words, c.n, show(c.seconds, "s"), more, mib)
		}
		p, err := drawn(q.words, list)
		if err != nil {
			return err
		}
		plots = append(plots, p)
	}
	return save(file, plots)
}

var (
	ink  = color.RGBA{58, 38, 28, 255}
	hair = color.RGBA{196, 184, 172, 255}
)

// drawn is one plot, both axes logarithmic: work that grows with n is a slope of one,
// drawn as a hairline through the last point.
func drawn(words string, list []cost) (*plot.Plot, error) {
	p := plot.New()
	p.X.Label.Text, p.Y.Label.Text = words, "seconds"
	p.BackgroundColor = color.White
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		a.Scale, a.Tick.Marker = plot.LogScale{}, decades{}
		a.Color, a.Tick.Color = ink, ink
		for _, s := range []*text.Style{&a.Label.TextStyle, &a.Tick.Label} {
			s.Color, s.Font.Variant = ink, "Sans"
			s.Font.Size = 9
		}
	}
	var points plotter.XYs
	for _, c := range list {
		points = append(points, plotter.XY{X: c.n, Y: c.seconds})
	}
	least, most := list[0].seconds, list[0].seconds
	for _, c := range list {
		least, most = min(least, c.seconds), max(most, c.seconds)
	}
	last := list[len(list)-1]
	low := floor(least / 1.5)
	from := max(list[0].n, last.n*low/last.seconds)
	slope, err := plotter.NewLine(plotter.XYs{{X: from, Y: last.seconds * from / last.n}, {X: last.n, Y: last.seconds}})
	if err != nil {
		return nil, err
	}
	slope.Color, slope.Width = hair, 1
	line, dots, err := plotter.NewLinePoints(points)
	if err != nil {
		return nil, err
	}
	line.Color, line.Width = ink, 1.2
	dots.Color, dots.Radius, dots.Shape = ink, 2.5, draw.CircleGlyph{}
	p.Add(slope, line, dots)
	p.Y.Min, p.Y.Max = low, ceil(1.2*most)
	p.X.Min, p.X.Max = floor(p.X.Min), ceil(p.X.Max)
	return p, nil
}

// decades marks 1, 2 and 5 of each power of ten.
type decades struct{}

func (decades) Ticks(low, high float64) (t []plot.Tick) {
	for p := 1e-4; p <= high; p *= 10 {
		for _, m := range []float64{1, 2, 5} {
			if v := m * p; v >= low*0.999 && v <= high*1.001 {
				label := ""
				if m == 1 || high/low <= 30 {
					label = words(v)
				}
				t = append(t, plot.Tick{Value: v, Label: label})
			}
		}
	}
	return t
}

// words writes a number of an axis short.
func words(v float64) string {
	if v >= 1e6 {
		return fmt.Sprintf("%g million", v/1e6)
	}
	return strconv.FormatFloat(v, 'g', 6, 64)
}

// floor and ceil are the nearest 1, 2 or 5 of a power of ten below and above.
func floor(v float64) float64 {
	best := 1e-4
	for p := 1e-4; p <= v; p *= 10 {
		for _, m := range []float64{1, 2, 5} {
			if m*p <= v*1.0001 {
				best = m * p
			}
		}
	}
	return best
}

func ceil(v float64) float64 {
	for p := 1e-4; ; p *= 10 {
		for _, m := range []float64{1, 2, 5} {
			if m*p >= v*0.9999 {
				return m * p
			}
		}
	}
}

// save draws plots two beside each other into an SVG file.
func save(file string, plots []*plot.Plot) error {
	const w, h = 250, 170
	rows := (len(plots) + 1) / 2
	c := vgsvg.New(2*w, vg.Length(rows*h))
	tiles := draw.Tiles{Rows: rows, Cols: 2, PadX: 14, PadY: 14, PadTop: 6, PadBottom: 6, PadLeft: 6, PadRight: 12}
	page := draw.New(c)
	for i, p := range plots {
		p.Draw(tiles.At(page, i%2, i/2))
	}
	f, err := os.Create(file)
	if err != nil {
		return err
	}
	_, err = c.WriteTo(f)
	if closing := f.Close(); err == nil {
		err = closing
	}
	return err
}
