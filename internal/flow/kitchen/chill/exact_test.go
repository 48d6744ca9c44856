package chill

import (
	"math"
	"testing"

	"mouldwright/internal/base/solve"
)

// rod is n cubes in a row whose first face is held at the air's temperature: a film
// so good that only half a cube lies between.
func rod(n int, cellMM, wmk, jm3k, startC, airC, film float64) *mould {
	m := &mould{block: newBlock(1, 1, n), cellMM: cellMM, airC: airC}
	h := cellMM / 1000
	conductivity, matter := make([]float32, len(m.u)), make([]float32, len(m.u))
	m.cubeHeat, m.parts = make([]float64, len(m.u)), make([]parts, len(m.u))
	for k := range n {
		p := m.at(0, 0, k)
		m.cubeHeat[p] = jm3k * h * h * h
		m.inv[p], m.u[p] = float32(1/m.cubeHeat[p]), float32(startC-airC)
		conductivity[p], matter[p] = float32(wmk), 1
		m.parts[p].shell = 1
	}
	m.join(conductivity, matter, cellMM)
	m.air[m.at(0, 0, 0)] = float32(h * h / (1/film + h/2/wmk))
	m.limit()
	return m
}

// stefan is λ of the one-phase problem: λ exp(λ²) erf(λ) = Ste/√π (H. S. Carslaw, J. C.
// Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, ch. XI; J. Crank, Free and Moving
// Boundary Problems, 1984, eq. 3.14).
func stefan(ste float64) float64 {
	l, err := solve.Root(func(l float64) float64 { return l*math.Exp(l*l)*math.Erf(l) - ste/math.Sqrt(math.Pi) }, 0, 3, 1e-14)
	if err != nil {
		panic(err)
	}
	return l
}

// The table is computed from the formula; 0.6201 at Ste = 1 is what textbooks print
// (from memory).
func TestStefanNumber(t *testing.T) {
	for ste, want := range map[float64]float64{0.01: 0.070593, 0.05: 0.156821, 0.1: 0.220016, 0.2: 0.306424, 0.5: 0.464786, 1: 0.620063, 2: 0.800601, 5: 1.059687} {
		if got := stefan(ste); math.Abs(got-want) > 1e-6 {
			t.Errorf("Ste %g: λ = %.6f, want %.6f", ste, got, want)
		}
	}
}

// neumann is λ of the two-phase problem (Carslaw and Jaeger, 1959, sec. 11.2; Crank
// eq. 3.11-3.13).
func neumann(ks, kl, as, al, cs, latent, ts, tm, ti float64) float64 {
	l, err := solve.Root(func(l float64) float64 {
		r := math.Sqrt(as / al)
		return math.Exp(-l*l)/math.Erf(l) - kl/ks*r*(ti-tm)/(tm-ts)*math.Exp(-l*l*as/al)/math.Erfc(l*r) - l*latent*math.Sqrt(math.Pi)/(cs*(tm-ts))
	}, 1e-6, 2, 1e-14)
	if err != nil {
		panic(err)
	}
	return l
}

func TestNeumannNumber(t *testing.T) {
	ks, kl, rho, cs, cl := 2.22, 0.556, 917.0, 2050.0, 4217.0
	for ti, want := range map[float64]float64{0: 0.173532, 4: 0.165943} {
		got := neumann(ks, kl, ks/rho/cs, kl/rho/cl, cs, 333600, -10, 0, ti)
		if math.Abs(got-want) > 1e-5 {
			t.Errorf("from %g °C: λ = %.6f, want %.6f", ti, got, want)
		}
		if front := 2 * got * math.Sqrt(ks/rho/cs*3600) * 1000; math.Abs(front-map[float64]float64{0: 22.630, 4: 21.640}[ti]) > 2e-3 {
			t.Errorf("from %g °C: front at %.3f mm", ti, front)
		}
	}
	// A liquid at its melting point is the one-phase problem.
	a := 0.26 / 1300 / 1590
	if got := neumann(0.26, 0.26, a, a, 1590, 46e3, 12, 30, 30); math.Abs(got-0.510573) > 1e-6 {
		t.Errorf("λ = %.6f, want 0.510573", got)
	}
}

// freeze runs a rod that melts sharply at tm and returns the seconds until the front
// has passed x mm.
func freeze(t *testing.T, n int, cellMM, xMM, ts, tm, ti, stepS float64) float64 {
	const wmk, jm3k, meltingJM3 = 0.26, 1300 * 1590.0, 1300 * 46e3
	m := rod(n, cellMM, wmk, jm3k, ti, ts, 1e9)
	sharp := curve{{tm - 0.02, 1}, {tm + 0.02, 0}} // 0.04 K stand for a sharp melting point
	shares := make([]float64, n)
	rise := meltingJM3 / jm3k
	frozen := func() (x float64) {
		for _, s := range shares {
			x += s * cellMM
		}
		return x
	}
	for now := 0.0; now < 1e5; now += stepS {
		was := frozen()
		m.step(stepS)
		for k := range n {
			p := m.at(0, 0, k)
			s := Kinetics{}.settle(sharp, shares[k], float64(m.u[p])+ts, rise, stepS)
			m.u[p] += float32(rise * (s - shares[k]))
			shares[k] = s
		}
		if x := frozen(); x >= xMM {
			return now + stepS*(xMM-was)/(x-was)
		}
	}
	t.Fatal("never frozen")
	return 0
}

// Chocolate-like matter without the delay of crystals against the exact solution: 10 mm
// frozen from a wall. The front jumps from cube to cube, so that errors fall with the
// cubes' size.
func TestFreezesAsStefan(t *testing.T) {
	for _, c := range []struct{ tm, ts, want float64 }{{30, 12, 762.4}, {30, 5, 580.8}, {28, 15, 1010.3}} {
		l := stefan(1590 * (c.tm - c.ts) / 46e3)
		exact := math.Pow(0.01/(2*l), 2) / (0.26 / 1300 / 1590)
		if math.Abs(exact/c.want-1) > 1e-3 {
			t.Errorf("exact: %.2f s, want %.1f", exact, c.want)
		}
		var off []float64
		for _, cell := range []float64{0.5, 0.25} {
			got := freeze(t, int(30/cell), cell, 10, c.ts, c.tm, c.tm+0.02, 0.05)
			off = append(off, got/exact-1)
		}
		t.Logf("%g to %g °C: off by %.3f %% at 0.5 mm, %.3f %% at 0.25 mm", c.tm, c.ts, 100*off[0], 100*off[1])
		if math.Abs(off[0]) > 0.01 || math.Abs(off[1]) > 0.006 {
			t.Errorf("%g to %g °C: off by %.3f %% and %.3f %%", c.tm, c.ts, 100*off[0], 100*off[1])
		}
	}
}

// The same from 34 °C, warmer than the melting point: Neumann's two-phase solution.
func TestFreezesAsNeumann(t *testing.T) {
	a := 0.26 / 1300 / 1590
	l := neumann(0.26, 0.26, a, a, 1590, 46e3, 12, 30, 34)
	exact := math.Pow(0.006/(2*l), 2) / a
	got := freeze(t, 160, 0.25, 6, 12, 30, 34, 0.05)
	t.Logf("6 mm: %.2f s, exact %.2f s", got, exact)
	if math.Abs(got/exact-1) > 0.01 {
		t.Errorf("6 mm: %.2f s, exact %.2f s", got, exact)
	}
}

// oneTerm is the plane wall with convection: z1 tan z1 = Bi, C1 = 4 sin z1 / (2 z1 + sin
// 2 z1) (F. P. Incropera et al., Fundamentals of Heat and Mass Transfer, sec. 5.5-5.6).
func oneTerm(bi float64) (z, c float64) {
	z, err := solve.Root(func(z float64) float64 { return z*math.Sin(z) - bi*math.Cos(z) }, 1e-9, math.Pi/2, 1e-14)
	if err != nil {
		panic(err)
	}
	return z, 4 * math.Sin(z) / (2*z + math.Sin(2*z))
}

// Table 5.1 of the same book (digits computed, agree with the printed ones from memory).
func TestOneTermTable(t *testing.T) {
	for bi, want := range map[float64][2]float64{0.01: {0.0998, 1.0017}, 0.1: {0.3111, 1.0161}, 0.2: {0.4328, 1.0311}, 0.3: {0.5218, 1.0450}, 0.5: {0.6533, 1.0701},
		1: {0.8603, 1.1191}, 2: {1.0769, 1.1785}, 5: {1.3138, 1.2402}, 10: {1.4289, 1.2620}, 100: {1.5552, 1.2731}} {
		z, c := oneTerm(bi)
		if math.Abs(z-want[0]) > 6e-5 || math.Abs(c-want[1]) > 6e-5 {
			t.Errorf("Bi %g: %.5f, %.5f, want %v", bi, z, c, want)
		}
	}
}

// The worked example 5.4 of the same book: a steel wall of 40 mm, h 500, from -20 °C in
// 60 °C for 480 s. The book reads 42.9 °C at the insulated face and 2.73e7 J/m² from its
// rounded table; the exact roots give 43.02 °C, 45.36 °C at the wetted face, 2.7255e7.
func TestPlaneWallWithConvection(t *testing.T) {
	const n = 80
	m := rod(n, 0.5, 63.9, 7832*434, -20, 60, 500)
	j := 0.0
	for range 1920 {
		j += m.step(0.25)
	}
	inner := float64(m.u[m.at(0, 0, n-1)]) + 60
	if math.Abs(inner-43.02) > 0.05 || math.Abs(inner-42.9) > 0.2 {
		t.Errorf("insulated face %.3f °C, want 43.02", inner)
	}
	if q := -j / 0.25e-6 * math.Pi; math.Abs(q/2.7255e7-1) > 1e-3 { // the example is a pipe of 1 m: π m² a metre
		t.Errorf("%.5g J/m, want 2.7255e7", q)
	}
	wet := float64(m.u[m.at(0, 0, 0)])
	flux := wet / (1.0/500 + 0.25e-3/63.9)
	if math.Abs(flux/-7318-1) > 0.01 || math.Abs(flux/-7360-1) > 0.015 {
		t.Errorf("flux %.0f W/m², want -7318", flux)
	}
}

// A slab of chocolate cooled from 31 to 18 °C in air of 12 °C on both faces: half a slab
// against the one-term solution (1301 s for h 10 and 10 mm; 265.7 s for h 25 and 5 mm).
func TestSlabOfChocolate(t *testing.T) {
	for _, c := range []struct{ film, halfMM, want float64 }{{10, 5, 1301}, {25, 2.5, 265.7}} {
		n := int(c.halfMM / 0.125)
		m := rod(n, 0.125, 0.26, 1300*1590, 31, 12, c.film)
		now := 0.0
		for float64(m.u[m.at(0, 0, n-1)]) > 6 {
			m.step(0.5)
			now += 0.5
		}
		if math.Abs(now-c.want) > 0.004*c.want {
			t.Errorf("h %g: %.1f s, want %.1f", c.film, now, c.want)
		}
	}
}

// A long stretched step must end where many short ones do: the decay of the slowest
// mode, and nothing may swing below the air.
func TestStretchedSteps(t *testing.T) {
	short, long := rod(40, 0.25, 0.26, 1300*1590, 31, 12, 20), rod(40, 0.25, 0.26, 1300*1590, 31, 12, 20)
	for range 6000 {
		short.step(0.1)
	}
	for range 100 {
		long.step(6)
	}
	for k := range 40 {
		a, b := short.u[short.at(0, 0, k)], long.u[long.at(0, 0, k)]
		if math.Abs(float64(a-b)) > 0.05 || b < 0 {
			t.Fatalf("cube %d: %.4f with short steps, %.4f with long ones", k, a, b)
		}
	}
}

// The melting points of the crystal forms rise strictly, and a working temperature lies
// above form IV and below V (R. L. Wille, E. S. Lutton, JAOCS 43 (1966) 491, as quoted).
func TestMeltingCurve(t *testing.T) {
	if s, _, _, _ := melting.at(MeltsC); s != 0 {
		t.Errorf("%g of the crystals stay at %g °C", s, MeltsC)
	}
	for i := 1; i < len(melting); i++ {
		if !(melting[i].c > melting[i-1].c && melting[i].share < melting[i-1].share) {
			t.Errorf("the curve does not fall at %g °C", melting[i].c)
		}
	}
	for _, share := range []float64{0.05, 0.3, 0.75, 0.9} {
		if got, _, _, _ := melting.at(SolidC(share)); math.Abs(got-share) > 1e-12 {
			t.Errorf("%g of the crystals: %g at %g °C", share, got, SolidC(share))
		}
	}
}

func TestDecay(t *testing.T) {
	for x := 0.0; x < 20; x += 0.001 {
		if d := decay(x) + math.Expm1(-x); math.Abs(d) > 2e-11 {
			t.Fatalf("%g: off by %g", x, d)
		}
	}
}

// Well-seeded cocoa butter at 16 °C does most of its contraction within half an hour
// (N. V. Lovegren, R. O. Feuge, JAOCS 42 (1965)); at its working temperature chocolate
// stays workable for a quarter of an hour at least (common practice, no source).
func TestKineticsHoldObservations(t *testing.T) {
	for _, k := range []float64{timeMin.Low, timeMin.Likely, timeMin.High} {
		s, work := seedShare, seedShare
		for range 30 * 60 {
			s = Kinetics{k}.settle(melting, s, 16, 0, 1)
		}
		for range 15 * 60 {
			work = Kinetics{k}.settle(melting, work, 31, 0, 1)
		}
		if s < 0.5 {
			t.Errorf("τ %g min: %.2f after half an hour", k, s)
		}
		if work > firmShare.Low {
			t.Errorf("τ %g min: %.2f set in the bowl after a quarter of an hour", k, work)
		}
	}
	// A step of any length ends between the old share and equilibrium.
	if s := (Kinetics{8}).settle(melting, 0.03, 10, 30, 1e6); !(s > 0.6 && s < 1) {
		t.Errorf("a very long step: %g", s)
	}
	if s := (Kinetics{8}).settle(melting, 0.9, 40, 30, 1); s < 0.55 || s > 0.9 { // its own melting cools it
		t.Errorf("melting: %g", s)
	}
}
