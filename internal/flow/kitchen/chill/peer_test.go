package chill

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"mouldwright/internal/base/peer"
)

// sciPyRun is what bench/peers/scipy-chill.py says of an hour.
type sciPyRun struct {
	Seconds float64
	History [][3]float64 // minutes, mean °C of the chocolate, least crystallised share
}

// sciPy chills a mould for an hour by SciPy, in steps of stepS, whose equations it solves
// to a residual.
func sciPy(t testing.TB, m *mould, c Conditions, stepS, residual float64) (r sciPyRun) {
	t.Helper()
	python := peer.Python(t, "scipy", "python3-scipy")
	dir := t.TempDir()
	chocolate, counts := make([]float32, len(m.u)), make([]float32, len(m.cells))
	for p, v := range m.parts {
		chocolate[p] = v.shell + v.cap
	}
	for n, yes := range m.counts {
		if yes {
			counts[n] = 1
		}
	}
	for name, a := range map[string]any{"u": m.u, "inv": m.inv, "gx": m.gx, "gy": m.gy, "gz": m.gz, "air": m.air,
		"cells": m.cells, "share": m.share, "rise": m.rise, "chocolate": chocolate, "counts": counts} {
		bytes, err := binary.Append(nil, binary.LittleEndian, a)
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, name), bytes, 0o600)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	var curve [][2]float64
	for _, p := range melting {
		curve = append(curve, [2]float64{p.c, p.share})
	}
	text, err := json.Marshal(map[string]any{"row": m.nx, "layer": m.nx * m.ny, "air_c": m.airC, "melts_c": MeltsC, "time_min": c.Kinetics.TimeMin, "curve": curve})
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, "problem.json"), text, 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(python, filepath.Join(peer.Folder(), "scipy-chill.py"), dir, fmt.Sprint(stepS), fmt.Sprint(residual)).CombinedOutput()
	if err == nil {
		err = json.Unmarshal(out, &r)
	}
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return r
}

// referenceHour is the reference piece, filled and capped, in cubes of 1 mm, and the
// conditions of an hour of it.
func referenceHour(t testing.TB) (*mould, Conditions) {
	t.Helper()
	st := kitchen()
	c := st.conditions(Cap, likely)
	c.FirmShare = 1 // never reached within the hour
	m, err := newMould(reference(t), c, Cap, 1)
	if err != nil {
		t.Fatal(err)
	}
	return m, c
}

// ours is the history of the reference's hour in steps of stepS.
func ours(t testing.TB, stepS float64) (list [][3]float64) {
	t.Helper()
	m, c := referenceHour(t)
	c.StepS = stepS
	r, err := m.run(context.Background(), c, 60)
	if err != nil {
		t.Fatal(err)
	}
	for _, h := range r.History[1:] {
		list = append(list, [3]float64{h.Min, h.ChocolateC, h.LeastShare})
	}
	return list
}

// apart is how far two histories are from each other at most: mean temperature, K, and
// least crystallised share.
func apart(t testing.TB, a, b [][3]float64) (kelvin, share float64) {
	t.Helper()
	if len(a) != len(b) {
		t.Fatalf("%d and %d moments", len(a), len(b))
	}
	for i := range a {
		if math.Abs(a[i][0]-b[i][0]) > 1e-6 {
			t.Fatalf("moments %v and %v", a[i], b[i])
		}
		kelvin, share = math.Max(kelvin, math.Abs(a[i][1]-b[i][1])), math.Max(share, math.Abs(a[i][2]-b[i][2]))
	}
	return kelvin, share
}

// mostApartK is how far a history may be from that of steps of 0.25 s, ours or SciPy's in
// steps of 12 s: a hundredth of the 12 K that the chocolate cools in the hour, and far below
// what a fridge's range of 4 K does.
const mostApartK = 0.12

// Another method for conduction, written apart, gives the same history: SciPy's in steps of
// 3 s and ours of 1 s are each some 0.03 and 0.01 K from where both go with shorter steps.
func TestChillsAsSciPy(t *testing.T) {
	m, c := referenceHour(t)
	kelvin, share := apart(t, ours(t, 1), sciPy(t, m, c, 3, 1e-5).History)
	t.Logf("%.3f K, a share of %.4f apart", kelvin, share)
	if kelvin > 0.06 || share > 0.005 {
		t.Errorf("%.3f K, a share of %.4f apart", kelvin, share)
	}
}

// BenchmarkHourIn1MMSciPy is the peer of BenchmarkHourIn1MM: how long SciPy takes, and how
// far both are from steps of 0.25 s.
func BenchmarkHourIn1MMSciPy(b *testing.B) {
	m, c := referenceHour(b)
	fine := ours(b, 0.25)
	mine, _ := apart(b, fine, ours(b, 0))
	for b.Loop() {
		r := sciPy(b, m, c, 12, 1e-4) // to 1e-5 it takes twice as long for 0.002 K
		theirs, _ := apart(b, fine, r.History)
		if max(mine, theirs) > mostApartK {
			b.Fatalf("ours is %.3f K from steps of 0.25 s, SciPy's %.3f K", mine, theirs)
		}
		b.ReportMetric(r.Seconds, "s-of-scipy")
		b.ReportMetric(mine, "K-of-ours")
		b.ReportMetric(theirs, "K-of-scipy")
	}
}
