package artwork

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format"
	"mouldwright/internal/base/format/formattest"
	"mouldwright/internal/base/format/ply"
	"mouldwright/internal/base/format/stl"
	"mouldwright/internal/base/mesh"
)

func top(t testing.TB, tri Triangles, v View) *Top {
	t.Helper()
	got, err := TopView(context.Background(), "a.stl", tri, v)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func near(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.8g, want %.8g within %.2g", what, got, want, tol)
	}
}

// lathe turns a closed profile of (radius, height) corners about the z axis in n
// steps: a solid whose silhouette and hollows are regular n-gons. The profile runs
// counter-clockwise in the (r, z) plane, starting and ending at r = 0.
func lathe(profile [][2]float64, n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	ring := func(p [2]float64) []uint32 {
		ids := make([]uint32, n)
		for k := range ids {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			ids[k] = uint32(len(m.V))
			m.V = append(m.V, [3]float32{float32(p[0] * cos), float32(p[0] * sin), float32(p[1])})
			if p[0] == 0 {
				for j := range ids {
					ids[j] = ids[k]
				}
				break
			}
		}
		return ids
	}
	below := ring(profile[0])
	for _, p := range profile[1:] {
		above := ring(p)
		for k := range n {
			l := (k + 1) % n
			a, b, c, d := below[k], below[l], above[l], above[k]
			if a != b {
				m.T = append(m.T, [3]uint32{a, b, c})
			}
			if c != d {
				m.T = append(m.T, [3]uint32{a, c, d})
			}
		}
		below = above
	}
	return m
}

// ngon is the area of a regular n-gon on a circle: the closed form behind lathe.
func ngon(r float64, n int) float64 {
	return float64(n) / 2 * r * r * math.Sin(2*math.Pi/float64(n))
}

// counted is how far the area of a circle may be missed by counting samples: the
// lattice point problem of Gauss, where the error is about the root of the radius in
// samples; three times that.
func counted(r, pitch float64) float64 { return 3 * math.Sqrt(r/pitch) * pitch * pitch }

// A mushroom: a stem of radius 3 and height 4 under a flat cap of radius 8 and height
// 2. What an open mould fills is the ring under the cap: (A(8) - A(3)) * 4.
func TestMushroomUndercut(t *testing.T) {
	const n = 96
	m := lathe([][2]float64{{0, 0}, {3, 0}, {3, 4}, {8, 4}, {8, 6}, {0, 6}}, n)
	stem, cap := ngon(3, n), ngon(8, n)
	got := top(t, OfMesh(m), View{PitchMM: 0.05})
	if !got.Closed {
		t.Error("said to be open")
	}
	near(t, "volume", got.VolumeMM3, 4*stem+2*cap, 1e-4)
	near(t, "undercut", got.UndercutMM3, 4*(cap-stem), 4*counted(8, 0.05))
	near(t, "height", got.HeightMM, 6, 1e-6)
	for k, inside := range got.Inside {
		p := got.Height.XY(k%got.Height.W, k/got.Height.W)
		r := math.Hypot(p.X, p.Y)
		want := [2]float64{0, 0} // height and undercut
		switch {
		case r < 3*math.Cos(math.Pi/n)-0.001:
			want = [2]float64{6, 0}
		case r > 3.001 && r < 8*math.Cos(math.Pi/n)-0.001:
			want = [2]float64{6, 4}
		case r <= 8.001:
			continue // between the circle and the polygon
		}
		if h, u := float64(got.Height.Z[k]), float64(got.Undercut.Z[k]); math.Abs(h-want[0]) > 1e-5 || math.Abs(u-want[1]) > 1e-5 || inside != (want[0] > 0) {
			t.Fatalf("at %v: height %g, undercut %g, inside %v; want %v", p, h, u, inside, want)
		}
	}
	if len(got.Findings) != 0 {
		t.Errorf("findings %v", got.Findings)
	}
	// The rubber reaches in from the cap's rim to the stem: 8 - 3 mm, on samples of
	// hollowPitchMM at either end.
	near(t, "depth of the undercut", got.Deepest.DepthMM, 5, 2*hollowPitchMM)
	near(t, "height of the undercut", got.Deepest.HeightMM, 4, 1e-5)
}

// A ball is undercut below its equator: its top view fills a cylinder of height r
// less half a ball, pi r^3 (1 - 2/3).
func TestBallUndercut(t *testing.T) {
	const r = 5.0
	got := top(t, OfMesh(formattest.Sphere(r, 200_000)), View{PitchMM: 0.02})
	near(t, "volume", got.VolumeMM3, 4.0/3*math.Pi*r*r*r, 0.05) // facets cut off (pi/223)^2/2 of it or so
	near(t, "undercut", got.UndercutMM3, math.Pi*r*r*r/3, 0.05+r*counted(r, 0.02))
	worst := 0.0
	for k, inside := range got.Inside {
		if p := got.Height.XY(k%got.Height.W, k/got.Height.W); inside {
			if d := r*r - p.X*p.X - p.Y*p.Y; d > 0.01 {
				worst = math.Max(worst, math.Abs(float64(got.Height.Z[k])-r-math.Sqrt(d))*math.Sqrt(d)/r) // across the surface
			}
		}
	}
	// A facet of 2 pi r / 447 by pi r / 223 hangs below the ball by an eighth of its
	// diagonal squared over r.
	if allowed := (math.Pow(2*math.Pi*r/447, 2) + math.Pow(math.Pi*r/223, 2)) / 8 / r * 1.1; worst > allowed {
		t.Errorf("the top lies %g mm off the ball, allowed %g", worst, allowed)
	}
	// From the point that it stands on to its equator, but for the strip around the
	// point where it stands less than leastHollowMM above the ground: its radius there
	// is sqrt(2 r h).
	strip := math.Sqrt(2 * r * leastHollowMM)
	if d := got.Deepest.DepthMM; d < r-strip-2*hollowPitchMM || d > r+2*hollowPitchMM {
		t.Errorf("the ball is undercut by %.2f mm, want %g less up to %.2f", d, r, strip)
	}
}

// A frustum with drafted sides has no undercut, and its volume under the top view is
// that of the closed form h/3 (A1 + A2 + sqrt(A1 A2)).
func TestFrustumHasNoUndercut(t *testing.T) {
	const n = 64
	m := lathe([][2]float64{{0, 0}, {10, 0}, {8, 5}, {0, 5}}, n)
	want := 5.0 / 3 * (ngon(10, n) + ngon(8, n) + math.Sqrt(ngon(10, n)*ngon(8, n)))
	got := top(t, OfMesh(m), View{PitchMM: 0.05})
	near(t, "signed volume", got.VolumeMM3, want, 1e-3)
	near(t, "undercut", got.UndercutMM3, 0, 1e-3) // float32 heights
	sum := 0.0
	for _, z := range got.Height.Z {
		sum += float64(z)
	}
	near(t, "volume under the top", sum*0.05*0.05, want, 1e-4*want)
	if len(got.Findings) != 0 {
		t.Errorf("findings %v", got.Findings)
	}
}

// Two triangles that share an edge never leave a crack and never cover a sample twice:
// a square cut into random triangles, corners off and on the samples, covers exactly
// the samples of the half-open square once, whichever way it is turned.
func TestNoCracks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const side = 24
		place := rapid.OneOf(
			rapid.Map(rapid.IntRange(1, side-1), func(v int) float32 { return float32(v) }), // on samples
			rapid.Float32Range(0.01, side-0.01))
		// A point inside, and one on each side: a fan of eight triangles, cut again.
		x, y := place.Draw(t, "x"), place.Draw(t, "y")
		rim := [][3]float32{{0, 0, 1}, {place.Draw(t, "b"), 0, 1}, {side, 0, 1}, {side, place.Draw(t, "r"), 1},
			{side, side, 1}, {place.Draw(t, "t"), side, 1}, {0, side, 1}, {0, place.Draw(t, "l"), 1}}
		m := &mesh.Mesh{V: append(rim, [3]float32{x, y, 1}, [3]float32{-8, 0, 0}, [3]float32{-8, 1, 0}, [3]float32{-7, 0, 0})}
		for k := range uint32(8) {
			m.T = append(m.T, [3]uint32{8, k, (k + 1) % 8})
		}
		m.T = append(m.T, [3]uint32{9, 10, 11}) // down-facing, sets the mesh on z = 0
		turn := rapid.SampledFrom([]float64{0, 90, 180, 270, 17, 45}).Draw(t, "turn")
		got, err := TopView(context.Background(), "a", OfMesh(m), View{PitchMM: 1, TurnDeg: turn})
		if err != nil {
			t.Fatal(err)
		}
		sin, cos := sinCos(turn)
		for k := range got.Inside {
			p := got.Height.XY(k%got.Height.W, k/got.Height.W)
			// Back into the square's own axes; the box of the mesh is -8..24 by 0..24.
			px, py := cos*p.X+sin*p.Y+8, -sin*p.X+cos*p.Y+12
			within := math.Min(math.Min(px, side-px), math.Min(py, side-py))
			switch covered := -(got.Undercut.Z[k] - got.Height.Z[k]); { // +1 for each covering
			case within > 0.01 && covered != 1:
				t.Fatalf("(%g, %g) is covered %g times", px, py, covered)
			case within < -0.01 && px > 0 && got.Inside[k]:
				t.Fatalf("(%g, %g) is covered, but lies outside", px, py)
			}
		}
		if turn == 0 || turn == 90 || turn == 180 || turn == 270 { // half-open: exactly side^2 samples
			n := 0
			for k, inside := range got.Inside {
				if inside && got.Height.Z[k] > 0.5 {
					n++
				}
			}
			if n != side*side {
				t.Fatalf("%d samples, want %d", n, side*side)
			}
		}
	})
}

func TestUpTurnsTheMesh(t *testing.T) {
	// A box of 1 x 2 x 3 with a pin on top: which face looks up, and where the pin stands.
	box := formattest.Box([3]float32{0, 0, 0}, [3]float32{1, 2, 3})
	for up, want := range map[string][3]float64{"z": {1, 2, 3}, "-z": {1, 2, 3}, "y": {1, 3, 2}, "-y": {1, 3, 2}, "x": {2, 3, 1}, "-x": {2, 3, 1}} {
		got := top(t, OfMesh(box), View{Up: up, PitchMM: 0.1})
		if d := [3]float64{got.WidthMM, got.DepthMM, got.HeightMM}; d != want {
			t.Errorf("%s: %v, want %v", up, d, want)
		}
		near(t, up+" volume keeps its sign", got.VolumeMM3, 6, 1e-9)
		near(t, up+" undercut", got.UndercutMM3, 0, 1e-9)
	}
	// A wedge that is high at one end tells left from right: its high edge lies at
	// +axis, and up must bring it to the top.
	for up, axis := range map[string][3]float32{"z": {0, 0, 1}, "-z": {0, 0, -1}, "y": {0, 1, 0}, "-y": {0, -1, 0}, "x": {1, 0, 0}, "-x": {-1, 0, 0}} {
		ball := formattest.Sphere(1, 2000)
		tip := uint32(0)
		for k, p := range ball.V {
			q := ball.V[tip]
			if p[0]*axis[0]+p[1]*axis[1]+p[2]*axis[2] > q[0]*axis[0]+q[1]*axis[1]+q[2]*axis[2] {
				tip = uint32(k)
			}
		}
		ball.V[tip] = [3]float32{4 * axis[0], 4 * axis[1], 4 * axis[2]}
		got := top(t, OfMesh(ball), View{Up: up, PitchMM: 0.02})
		near(t, up+": height", got.HeightMM, 5, 0.01)
		high := float32(0)
		for _, z := range got.Height.Z {
			high = max(high, z)
		}
		if high < 4 { // the spike's tip, less what its steep sides lose between samples
			t.Errorf("%s: the highest sample is %g: the spike does not look up", up, high)
		}
	}
}

func TestScaleAndTurn(t *testing.T) {
	box := OfMesh(formattest.Box([3]float32{-3, 5, 2}, [3]float32{1, 7, 3})) // 4 x 2 x 1
	for _, c := range []struct {
		v    View
		size [3]float64
		vol  float64
	}{
		{View{WidthMM: 8}, [3]float64{8, 4, 2}, 64},
		{View{HeightMM: 1}, [3]float64{2, 1, 0.5}, 1},
		{View{WidthMM: 8, HeightMM: 3}, [3]float64{6, 3, 1.5}, 27},
		{View{WidthMM: 8, DepthMM: 0.6}, [3]float64{8, 4, 0.6}, 8 * 4 * 0.6},
		{View{WidthMM: 8, TurnDeg: 90}, [3]float64{4, 8, 2}, 64},
		{View{TurnDeg: 45}, [3]float64{6 / math.Sqrt2, 6 / math.Sqrt2, 1}, 8},
	} {
		c.v.PitchMM = 0.05
		got := top(t, box, c.v)
		near(t, "width", got.WidthMM, c.size[0], 1e-12)
		near(t, "depth", got.DepthMM, c.size[1], 1e-12)
		near(t, "height", got.HeightMM, c.size[2], 1e-12)
		near(t, "volume", got.VolumeMM3, c.vol, 1e-9)
		sum, mx, my, n := 0.0, 0.0, 0.0, 0.0
		for k, inside := range got.Inside {
			if inside {
				p := got.Height.XY(k%got.Height.W, k/got.Height.W)
				sum += float64(got.Height.Z[k])
				mx, my, n = mx+p.X, my+p.Y, n+1
			}
		}
		near(t, "middle x", mx/n, 0, 0.03) // half a pitch, for samples on the edge
		near(t, "middle y", my/n, 0, 0.03)
		near(t, "volume under the top", sum*0.0025, c.vol, 0.02*c.vol)
	}
}

// Far from the origin nothing is lost but what float32 loses: 2^20 + 3 is a float32.
func TestFarFromTheOrigin(t *testing.T) {
	const far = 1 << 20
	box := formattest.Box([3]float32{far, -far, far}, [3]float32{far + 3, -far + 2, far + 1})
	got := top(t, OfMesh(box), View{WidthMM: 30, PitchMM: 0.1})
	near(t, "volume", got.VolumeMM3, 6000, 1e-9)
	near(t, "undercut", got.UndercutMM3, 0, 1e-3)
	if !got.Closed || len(got.Findings) != 0 {
		t.Errorf("closed %v, findings %v", got.Closed, got.Findings)
	}
}

func TestSameViewOnAnyNumberOfCores(t *testing.T) {
	bunny, err := ply.Read("bunny.ply", formattest.Data(t, "bunny.ply"), format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	cores := runtime.GOMAXPROCS(0)
	defer runtime.GOMAXPROCS(cores)
	var first *Top
	for _, n := range []int{1, 2, 5} {
		runtime.GOMAXPROCS(n)
		got := top(t, OfMesh(bunny), View{Up: "y", WidthMM: 30, TurnDeg: 12, PitchMM: 0.1})
		if first == nil {
			first = got
		}
		if !reflect.DeepEqual(got, first) {
			t.Errorf("%d cores give another view", n)
		}
	}
}

func TestBunnyFromEveryKindOfFile(t *testing.T) {
	bunny, err := ReadMesh("bunny.ply", formattest.Data(t, "bunny.ply"))
	if err != nil {
		t.Fatal(err)
	}
	want := top(t, OfMesh(bunny), View{Up: "y", PitchMM: 0.05})
	near(t, "volume", want.VolumeMM3, formattest.Bunny.Volume, 1e-5*formattest.Bunny.Volume)
	if want.UndercutMM3 <= 0 || !want.Closed {
		t.Errorf("undercut %g, closed %v", want.UndercutMM3, want.Closed)
	}
	for name, data := range files(t, bunny) {
		tri, err := OpenMesh(name, data)
		if err != nil {
			t.Fatal(name, err)
		}
		got := top(t, tri, View{Up: "y", PitchMM: 0.05})
		if !reflect.DeepEqual(got.Height, want.Height) || got.Closed != want.Closed {
			t.Errorf("%s: another view", name)
		}
		m, err := ReadMesh(name, data)
		if err != nil {
			t.Fatal(name, err)
		}
		formattest.Check(t, m, formattest.Bunny)
	}
}

func TestOpenMeshSaysSo(t *testing.T) {
	teapot, err := ReadMesh("teapot.ply", formattest.Data(t, "teapot.ply"))
	if err != nil {
		t.Fatal(err)
	}
	got := top(t, OfMesh(teapot), View{Up: "y", PitchMM: 0.05})
	if got.Closed || got.UndercutMM3 != 0 || len(got.Findings) != 1 || !strings.Contains(got.Findings[0].What, "open") || got.Findings[0].Severity != finding.Care {
		t.Errorf("closed %v, undercut %g, findings %v", got.Closed, got.UndercutMM3, got.Findings)
	}
	// One triangle less opens the rabbit; its vertices given twice do not.
	bunny, err := ReadMesh("bunny.ply", formattest.Data(t, "bunny.ply"))
	if err != nil {
		t.Fatal(err)
	}
	bunny.T = bunny.T[1:]
	got = top(t, OfMesh(bunny), View{Up: "y", PitchMM: 0.2})
	if got.Closed || !strings.Contains(got.Findings[0].What, "open along 3 edges, the first at x ") {
		t.Errorf("closed %v, findings %v", got.Closed, got.Findings)
	}
}

// Corners that are one but for rounding make no hole; those a hundredth of the mesh apart do.
func TestSeamsAreNoHoles(t *testing.T) {
	whole := formattest.Box([3]float32{}, [3]float32{4, 4, 4})
	for apart, closed := range map[float32]bool{0: true, 1e-6: true, 3e-5: true, 1e-4: false, 0.04: false} {
		m := &mesh.Mesh{}
		for k, tri := range whole.T { // every triangle has corners of its own
			for i, c := range tri {
				p := whole.V[c]
				if k%3 == i {
					p[i] += apart
				}
				m.V = append(m.V, p)
			}
			n := uint32(3 * k)
			m.T = append(m.T, [3]uint32{n, n + 1, n + 2})
		}
		got := top(t, OfMesh(m), View{PitchMM: 0.1})
		if got.Closed != closed {
			t.Errorf("corners %g mm apart: closed %v, findings %v", apart, got.Closed, got.Findings)
		}
		if closed {
			near(t, "volume", got.VolumeMM3, 64, 1e-4)
		}
	}
}

func TestInsideOutAndOverlap(t *testing.T) {
	box := formattest.Box([3]float32{}, [3]float32{4, 4, 4})
	for k := range box.T {
		box.T[k][0], box.T[k][1] = box.T[k][1], box.T[k][0]
	}
	got := top(t, OfMesh(box), View{PitchMM: 0.1})
	near(t, "volume", got.VolumeMM3, -64, 1e-9)
	if len(got.Findings) != 1 || !strings.Contains(got.Findings[0].What, "inside out") {
		t.Errorf("findings %v", got.Findings)
	}
	two := formattest.Box([3]float32{}, [3]float32{4, 4, 4})
	other := formattest.Box([3]float32{2, 2, 0}, [3]float32{6, 6, 3})
	for _, k := range other.T {
		two.T = append(two.T, [3]uint32{k[0] + 8, k[1] + 8, k[2] + 8})
	}
	two.V = append(two.V, other.V...)
	got = top(t, OfMesh(two), View{PitchMM: 0.1})
	if len(got.Findings) != 1 || !strings.Contains(got.Findings[0].What, "overlap") {
		t.Errorf("findings %v", got.Findings)
	}
}

func files(t testing.TB, m *mesh.Mesh) map[string][]byte {
	t.Helper()
	var bin, obj bytes.Buffer
	if err := stl.Write(&bin, m, ""); err != nil {
		t.Fatal(err)
	}
	for _, p := range m.V {
		fmt.Fprintln(&obj, "v", p[0], p[1], p[2])
	}
	for _, k := range m.T {
		fmt.Fprintln(&obj, "f", k[0]+1, k[1]+1, k[2]+1)
	}
	return map[string][]byte{"b.stl": bin.Bytes(), "b.OBJ": obj.Bytes(), "b.3mf": threemfOf(t, m), "b.ply": formattest.Data(t, "bunny.ply")}
}
