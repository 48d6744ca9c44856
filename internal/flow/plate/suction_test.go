package plate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
	"mouldwright/internal/flow/master"
)

func box3(t *testing.T, w, d, z0, z1, x, y float64) *mesh.Mesh {
	t.Helper()
	m, err := mesh.Prism(at(geom.Rectangle(w, d), x, y), z0, z1)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// A tub of 30 x 30 mm with walls of 4 mm on a floor of 2 mm: a cup of 22 x 22 mm from 2
// to 8 mm. With a slit in one wall it is none; upside down, on the build plate, its roof
// closes a room. Solids stand beside each other without overlapping, as parts do.
func TestSuction(t *testing.T) {
	p := mask(60, 60)
	p.PixelMM, p.LayerMM = 0.2, 0.5
	frame, err := geom.Subtract(at(geom.Rectangle(30, 30), 30, 30), at(geom.Rectangle(22, 22), 30, 30))
	if err != nil {
		t.Fatal(err)
	}
	slit, err := geom.Subtract(frame, at(geom.Rectangle(10, 1.6), 16, 30))
	if err != nil {
		t.Fatal(err)
	}
	wall := func(o geom.Outline, z0, z1 float64) Solid {
		m, err := mesh.Prism(o, z0, z1)
		if err != nil {
			t.Fatal(err)
		}
		return place(m)
	}
	for name, c := range map[string]struct {
		solids []Solid
		want   *Suction
	}{
		"tub":             {[]Solid{place(box3(t, 30, 30, 0, 2, 30, 30)), wall(frame, 2, 8)}, &Suction{AreaMM2: 484, FromMM: 2, ToMM: 8}},
		"tub with slit":   {[]Solid{place(box3(t, 30, 30, 0, 2, 30, 30)), wall(slit, 2, 8)}, nil},
		"room":            {[]Solid{wall(frame, 0, 6), place(box3(t, 30, 30, 6, 8, 30, 30))}, &Suction{AreaMM2: 484, FromMM: 0, ToMM: 6, Trapped: true}},
		"room with drain": {[]Solid{wall(slit, 0, 1), wall(frame, 1, 6), place(box3(t, 30, 30, 6, 8, 30, 30))}, nil},
		"block":           {[]Solid{place(box3(t, 30, 30, 0, 8, 30, 30))}, nil},
	} {
		e, err := Expose(ctx, stack(t, p, c.solids...), 150)
		if err != nil {
			t.Fatal(name, err)
		}
		if c.want == nil {
			if len(e.Suction) > 0 {
				t.Errorf("%s: %+v", name, e.Suction)
			}
			continue
		}
		if len(e.Suction) != 1 {
			t.Errorf("%s: %+v", name, e.Suction)
			continue
		}
		got := e.Suction[0]
		// A pixel of 0.2 mm along 88 mm of edge.
		if math.Abs(got.AreaMM2-c.want.AreaMM2) > 18 || got.FromMM != c.want.FromMM || got.ToMM != c.want.ToMM || got.Trapped != c.want.Trapped {
			t.Errorf("%s: %+v, want %+v", name, got, *c.want)
		}
		if math.Hypot(got.XMM-30, got.YMM-30) > 1 {
			t.Errorf("%s: at (%g, %g)", name, got.XMM, got.YMM)
		}
	}
}

// A pocket in the top over a shallow pocket underneath, as a base with its number has
// them: two cups, the one below roofed, and not one from the plate to the top. Together with
// the tub of another plate the open ones make one remark with both places.
func TestCupsAreGathered(t *testing.T) {
	p := mask(60, 60)
	p.PixelMM, p.LayerMM = 0.2, 0.5
	frame, err := geom.Subtract(at(geom.Rectangle(30, 30), 30, 30), at(geom.Rectangle(22, 22), 30, 30))
	if err != nil {
		t.Fatal(err)
	}
	ring := func(z0, z1 float64) Solid {
		m, err := mesh.Prism(frame, z0, z1)
		if err != nil {
			t.Fatal(err)
		}
		return place(m)
	}
	e, err := Expose(ctx, stack(t, p, ring(0, 1), place(box3(t, 30, 30, 1, 3, 30, 30)), ring(3, 5)), 150)
	if err != nil {
		t.Fatal(err)
	}
	if len(e.Suction) != 2 || e.Suction[0].FromMM != 0 || e.Suction[0].ToMM != 1 || !e.Suction[0].Trapped || e.Suction[1].FromMM != 3 || e.Suction[1].ToMM != 5 || e.Suction[1].Trapped {
		t.Fatalf("%+v", e.Suction)
	}
	parts := []master.Part{{Name: "tray 1 tile 1", WidthMM: 30, DepthMM: 30}}
	one, two := Plate{Number: 1, Items: []Item{{XMM: 15, YMM: 15}}}, Plate{Number: 2, Items: []Item{{XMM: 15, YMM: 15}}}
	found := JudgeCups(append(one.Cups(e, parts), two.Cups(e, parts)...), 150)
	if len(found) != 2 || found[0].Where != "plate 1 and 1 more" || found[0].Severity != finding.Note || found[1].Severity != finding.Care {
		t.Fatalf("%+v", found)
	}
	for _, want := range []string{"two cups are closed", "tray 1 tile 1 on plate 1 (", "tray 1 tile 1 on plate 2 (", "from 3.00 to 5.00 mm"} {
		if !strings.Contains(found[0].What, want) {
			t.Errorf("no %q in %s", want, found[0].What)
		}
	}
	many := make([]Cup, 40)
	for i := range many {
		many[i] = Cup{Plate: i/4 + 1, Part: fmt.Sprint("part ", i), Suction: Suction{AreaMM2: 200}}
	}
	if found := JudgeCups(many, 150); len(found) != 1 || !strings.Contains(found[0].What, "and 34\u00a0more parts") || len(found[0].What) > 800 {
		t.Errorf("%+v", found)
	}
}

// A roof over four posts: the exposed area grows from 4 x 16 to 900 mm².
func TestJump(t *testing.T) {
	p := mask(60, 60)
	p.LayerMM = 0.5
	solids := []Solid{place(box3(t, 30, 30, 6, 8, 30, 30))}
	for _, c := range [][2]float64{{17, 17}, {43, 17}, {17, 43}, {43, 43}} {
		solids = append(solids, place(box3(t, 4, 4, 0, 6, c[0], c[1])))
	}
	e, err := Expose(ctx, stack(t, p, solids...), 150)
	if err != nil {
		t.Fatal(err)
	}
	if j := e.Jump(); j.Layer != 12 || math.Abs(j.FromMM2-64) > 1e-6 || math.Abs(j.GrownMM2-836) > 1e-6 || math.Abs(e.MaxMM2()-900) > 1e-6 {
		t.Errorf("jump %+v, largest %g", j, e.MaxMM2())
	}
}

// Eight pixels at a time and one at a time tell the same.
func TestBelow128(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	for n := range 65 {
		p := make([]uint8, n)
		var want uint64
		for i := range p {
			if p[i] = uint8(rng.Uint32()); p[i] < 128 {
				want |= 1 << i
			}
		}
		if got := below128(p); got != want {
			t.Fatalf("%d pixels %v: %064b, want %064b", n, p, got, want)
		}
	}
}
