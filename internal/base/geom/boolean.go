package geom

import (
	"fmt"
	"math"

	sf "github.com/peterstace/simplefeatures/geom"

	"mouldwright/internal/base/finding"
)

// Union is the area that lies in a or in b (non-zero rule), as a settled outline. Errors
// are as for Settle.
func Union(a, b Outline) (Outline, error) { return combine("union", a, b, sf.Union) }

// Intersect is the area that lies in both; else as Union.
func Intersect(a, b Outline) (Outline, error) { return combine("intersection", a, b, sf.Intersection) }

// Subtract is the area of a that does not lie in b; else as Union.
func Subtract(a, b Outline) (Outline, error) { return combine("difference", a, b, sf.Difference) }

func combine(name string, a, b Outline, op func(a, b sf.Geometry) (sf.Geometry, error)) (Outline, error) {
	ga, err := toGeometry(a)
	if err != nil {
		return nil, err
	}
	gb, err := toGeometry(b)
	if err != nil {
		return nil, err
	}
	return run(name, func() (sf.Geometry, error) { return op(ga, gb) })
}

// Offset moves the outline outwards by d mm, inwards for negative d, with round
// corners: the settled set of points nearer than d to the area, or inside it by
// more than -d. Arcs lie within FlattenMM of the true ones. Errors are as for
// Settle; a result without area is empty.
func Offset(o Outline, dMM float64) (Outline, error) {
	if !(math.Abs(dMM) <= MaxMM) {
		return nil, &finding.Error{Key: "outline", Found: fmt.Sprintf("an offset of %g mm", dMM),
			Allowed: fmt.Sprintf("-%d to %d mm", int(MaxMM), int(MaxMM)), Do: "a smaller margin or stroke width"}
	}
	if math.Abs(dMM) < SettleMM {
		return Settle(o, NonZero)
	}
	g, err := toGeometry(o)
	if err != nil {
		return nil, err
	}
	quarter := arcSteps(math.Abs(dMM), math.Pi/2)
	// The library first drops points of the input within factor * d of the line.
	factor := FlattenMM / 4 / math.Abs(dMM)
	return run("offset", func() (sf.Geometry, error) {
		return sf.Buffer(g, dMM, sf.BufferQuadSegments(quarter), sf.BufferSimplifyFactor(math.Min(factor, 0.01)))
	})
}

// run calls the library, turns a panic into an error, and settles the result.
func run(name string, op func() (sf.Geometry, error)) (Outline, error) {
	g, err := func() (g sf.Geometry, err error) {
		defer func() {
			if r := recover(); r != nil {
				err = fmt.Errorf("%v", r)
			}
		}()
		return op()
	}()
	if err != nil {
		return nil, &finding.Error{Key: "outline", Found: "the " + name + " of two shapes cannot be made", Err: err,
			Do: "simplify the art, or move overlapping parts a little"}
	}
	return Settle(fromGeometry(nil, g), NonZero)
}

// toGeometry settles the outline and gives the library's form of it.
func toGeometry(o Outline) (sf.Geometry, error) {
	o, err := Settle(o, NonZero)
	if err != nil {
		return sf.Geometry{}, err
	}
	var polys []sf.Polygon
	var rings []sf.LineString
	for i, r := range o {
		xy := make([]float64, 0, 2*len(r)+2)
		for _, p := range r {
			xy = append(xy, p.X, p.Y)
		}
		rings = append(rings, sf.NewLineString(sf.NewSequence(append(xy, r[0].X, r[0].Y), sf.DimXY)))
		if i+1 == len(o) || o[i+1].Area() > 0 {
			polys = append(polys, sf.NewPolygon(rings))
			rings = nil
		}
	}
	return sf.NewMultiPolygon(polys).AsGeometry(), nil
}

// fromGeometry adds the areas of g to o, outer rings counter-clockwise and holes
// clockwise; points and lines where areas only touch have no area.
func fromGeometry(o Outline, g sf.Geometry) Outline {
	switch g.Type() {
	case sf.TypePolygon:
		seqs := g.MustAsPolygon().ForceCCW()
		for _, s := range seqs.Coordinates() {
			r := make(Ring, 0, s.Length())
			for i := 0; i+1 < s.Length(); i++ {
				xy := s.GetXY(i)
				r = append(r, Vec{xy.X, xy.Y})
			}
			o = append(o, r)
		}
	case sf.TypeMultiPolygon:
		m := g.MustAsMultiPolygon()
		for i := 0; i < m.NumPolygons(); i++ {
			o = fromGeometry(o, m.PolygonN(i).AsGeometry())
		}
	case sf.TypeGeometryCollection:
		c := g.MustAsGeometryCollection()
		for i := 0; i < c.NumGeometries(); i++ {
			o = fromGeometry(o, c.GeometryN(i))
		}
	}
	return o
}
