package relief

import (
	"context"
	"math"
	"slices"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"

	"pgregory.net/rapid"
)

func constant(w, h int, v float32) *field.Field {
	f := field.New(field.Grid{W: w, H: h, PitchMM: pitch})
	for i := range f.Z {
		f.Z[i] = v
	}
	return f
}

// A picture of one tone is a frustum of a pyramid with 0 at its border:
// V = h (A1 + A2 + sqrt(A1 A2))/3 for similar ends; here the ends are squares.
func TestToneOfOneBrightnessIsAFrustum(t *testing.T) {
	const n, depth, draft, tone = 201, 1.0, 40.0, 0.5
	f, err := FromTone(context.Background(), constant(n, n, tone), depth, draft, nil)
	if err != nil {
		t.Fatal(err)
	}
	side := (n - 1) * pitch
	h := tone * depth
	top := side - 2*h*math.Tan(draft*math.Pi/180)*longest // see lean: walls along the axes lean that much more
	// Foot and edge each cost a twelfth of pitch² times slope times length: 0.02 %.
	within(t, "volume", volume(f), h*(side*side+top*top+side*top)/3, 3e-4)
}

func TestToneKeepsToItsMask(t *testing.T) {
	tone := constant(161, 161, 1)
	mask := geom.Circle(1.5).Transform(geom.Move(2, 2))
	f, err := FromTone(context.Background(), tone, 0.5, 30, mask)
	if err != nil {
		t.Fatal(err)
	}
	for j := range f.H {
		for i := range f.W {
			p := f.XY(i, j)
			if r := math.Hypot(p.X-2, p.Y-2); r > 1.5 && f.At(i, j) != 0 {
				t.Fatalf("height %g outside the mask", f.At(i, j))
			}
		}
	}
	if got := slices.Max(f.Z); got != 0.5 {
		t.Errorf("highest %g, want 0.5", got)
	}
}

func TestToneRefusesNoNumbers(t *testing.T) {
	tone := constant(9, 9, 0.5)
	tone.Z[40] = float32(math.NaN())
	if _, err := FromTone(context.Background(), tone, 1, 10, nil); err == nil {
		t.Error("NaN is taken")
	}
}

func TestHeightsOfAMeshReachFromNothingToDepth(t *testing.T) {
	view := constant(101, 101, 0)
	for j := 30; j <= 70; j++ {
		for i := 30; i <= 70; i++ {
			view.Z[j*101+i] = 8
		}
	}
	view.Z[0] = float32(math.NaN())
	f, err := FromHeights(context.Background(), view, 0.6, 20)
	if err != nil {
		t.Fatal(err)
	}
	if f.At(50, 50) != 0.6 || f.Z[0] != 0 || f.At(29, 50) != 0 {
		t.Errorf("middle %g, corner %g, beside %g", f.At(50, 50), f.Z[0], f.At(29, 50))
	}
	if _, err := FromHeights(context.Background(), constant(5, 5, 3), 1, 10); err == nil {
		t.Error("a level view is taken")
	}
}

// Against the definition with straight distances: never steeper, and nowhere lower
// than walls that lean 2.75 % more.
func TestLeanAgainstDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := field.Grid{W: rapid.IntRange(1, 14).Draw(t, "w"), H: rapid.IntRange(1, 14).Draw(t, "h"), PitchMM: 0.5}
		slope := rapid.Float64Range(0.5, 6).Draw(t, "slope")
		f := field.New(g)
		for i := range f.Z {
			f.Z[i] = rapid.Float32Range(0, 4).Draw(t, "z")
		}
		got := field.New(g)
		copy(got.Z, f.Z)
		if err := lean(context.Background(), got, slope); err != nil {
			t.Fatal(err)
		}
		for k := range f.Z {
			high, low := math.Inf(1), math.Inf(1)
			for q, z := range f.Z {
				d := g.XY(k%g.W, k/g.W).Sub(g.XY(q%g.W, q/g.W)).Len()
				high = math.Min(high, float64(z)+slope*d)
				low = math.Min(low, float64(z)+slope*d/longest)
			}
			if z := float64(got.Z[k]); z > high+1e-5 || z < low-1e-5 {
				t.Fatalf("%g, want %g to %g", z, low, high)
			}
		}
	})
}

func TestUnionIsThatOfSets(t *testing.T) {
	draw := func(t *rapid.T, name string) *field.Field {
		g := field.Grid{W: rapid.IntRange(1, 9).Draw(t, "w"), H: rapid.IntRange(1, 9).Draw(t, "h"), PitchMM: pitch,
			X0: pitch * float64(rapid.IntRange(-9, 9).Draw(t, "x")), Y0: pitch * float64(rapid.IntRange(-9, 9).Draw(t, "y"))}
		f := field.New(g)
		for i := range f.Z {
			f.Z[i] = rapid.Float32Range(0, 2).Draw(t, name)
		}
		return f
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := draw(t, "a"), draw(t, "b"), draw(t, "c")
		union := func(list ...*field.Field) *field.Field {
			u, err := Union(list...)
			if err != nil {
				t.Fatal(err)
			}
			return u
		}
		same := func(what string, x, y *field.Field) {
			// Grids agree in size; origins are sums of the pitch in different order.
			if x.W != y.W || x.H != y.H || math.Abs(x.X0-y.X0) > 1e-9 || math.Abs(x.Y0-y.Y0) > 1e-9 || !slices.Equal(x.Z, y.Z) {
				t.Fatalf("not %s", what)
			}
		}
		same("idempotent", union(a, a), union(a))
		same("commutative", union(a, b), union(b, a))
		same("associative", union(union(a, b), c), union(a, union(b, c)))
	})
	if _, err := Union(constant(3, 3, 1), field.New(field.Grid{W: 3, H: 3, PitchMM: pitch, X0: pitch / 2})); err == nil {
		t.Error("grids that lie between each other's samples are taken")
	}
}
