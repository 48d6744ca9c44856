package field

import (
	"context"
	"encoding/binary"
	"errors"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/peer"
)

// Against the definition: the nearest sample that is on, over all of them.
func TestDistanceAgainstDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := Grid{W: rapid.IntRange(1, 40).Draw(t, "w"), H: rapid.IntRange(1, 40).Draw(t, "h"), PitchMM: 0.025}
		m := NewMask(g)
		switch rapid.IntRange(0, 2).Draw(t, "kind") {
		case 0:
			for range rapid.IntRange(0, 6).Draw(t, "points") {
				m.On[rapid.IntRange(0, len(m.On)-1).Draw(t, "k")] = true
			}
		case 1:
			for i := range m.On {
				m.On[i] = rapid.IntRange(0, 3).Draw(t, "on") == 0
			}
		case 2:
			for i := range m.On {
				m.On[i] = i%7 < 4
			}
		}
		got, err := SquaredDistance(context.Background(), m)
		if err != nil {
			t.Fatal(err)
		}
		mm, err := Distance(context.Background(), m)
		if err != nil {
			t.Fatal(err)
		}
		for p := range m.On {
			want := int32(math.MaxInt32)
			for q, on := range m.On {
				if dx, dy := int32(p%g.W-q%g.W), int32(p/g.W-q/g.W); on {
					want = min(want, dx*dx+dy*dy)
				}
			}
			if got[p] != want {
				t.Fatalf("sample %d: %d, want %d", p, got[p], want)
			}
			d := 0.025 * math.Sqrt(float64(want))
			if want == math.MaxInt32 {
				d = math.Inf(1)
			}
			// Three roundings of 2^-24 each.
			if z := float64(mm.Z[p]); z != d && !(math.Abs(z-d) <= 3*d/(1<<24)) {
				t.Fatalf("sample %d: %g mm, want %g", p, z, d)
			}
		}
	})
}

// The longest sides: squared distances still fit.
func TestDistanceLongSides(t *testing.T) {
	m := NewMask(Grid{W: MaxSide, H: 3, PitchMM: 1})
	m.On[0] = true
	d, err := SquaredDistance(context.Background(), m)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := d[len(d)-1], int32((MaxSide-1)*(MaxSide-1)+4); got != want {
		t.Errorf("far corner: %d, want %d", got, want)
	}
	var fe *finding.Error
	if _, err := Distance(context.Background(), NewMask(Grid{W: 1, H: MaxSide + 1, PitchMM: 1})); !errors.As(err, &fe) {
		t.Errorf("a side above the limit: %v", err)
	}
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Distance(gone, m); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

// speckle is a mask with one sample in 2^shift on, by a formula that
// bench/peers/opencv-distance.py repeats: the top bits of a multiplied counter
// (Knuth's multiplicative hash).
func speckle(g Grid, shift uint) *Mask {
	m := NewMask(g)
	for k := range m.On {
		x := uint32(k) * 2654435761
		x ^= x >> 15
		x *= 2246822519
		m.On[k] = x>>(32-shift) == 0
	}
	return m
}

func TestDistanceIsDeterministic(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	m := speckle(Grid{W: 700, H: 500, PitchMM: 0.025}, 10)
	var first []float32
	for _, n := range []int{1, 2, 5} {
		runtime.GOMAXPROCS(n)
		f, err := Distance(context.Background(), m)
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = f.Z
		}
		if !slices.Equal(first, f.Z) {
			t.Fatalf("%d cores give another result", n)
		}
	}
}

// Against cv2.distanceTransform of OpenCV with DIST_L2 and DIST_MASK_PRECISE.
func TestDistanceAgainstOpenCV(t *testing.T) {
	python := peer.Python(t, "cv2", "python3-opencv")
	m := speckle(Grid{W: 431, H: 367, PitchMM: 1}, 9)
	f, err := Distance(context.Background(), m)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	in := make([]byte, len(m.On))
	for i, on := range m.On {
		if !on {
			in[i] = 1 // OpenCV measures to the nearest zero
		}
	}
	if err := os.WriteFile(filepath.Join(dir, "in"), in, 0o600); err != nil {
		t.Fatal(err)
	}
	script := `import cv2, numpy as np
m = np.fromfile("in", np.uint8).reshape(367, 431)
cv2.distanceTransform(m, cv2.DIST_L2, cv2.DIST_MASK_PRECISE).astype("<f4").tofile("out")`
	cmd := exec.Command(python, "-c", script)
	cmd.Dir = dir
	if msg, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, msg)
	}
	out, err := os.ReadFile(filepath.Join(dir, "out"))
	if err != nil {
		t.Fatal(err)
	}
	if len(out) != 4*len(f.Z) {
		t.Fatalf("OpenCV gave %d bytes", len(out))
	}
	for i, z := range f.Z {
		cv := math.Float32frombits(binary.LittleEndian.Uint32(out[4*i:]))
		// Both round a square root to float32; OpenCV may do so by a fast root.
		if math.Abs(float64(cv-z)) > 1e-6*float64(z) {
			t.Fatalf("sample %d: %g, OpenCV %g", i, z, cv)
		}
	}
}

func BenchmarkDistance4000x2500(b *testing.B) {
	m := speckle(Grid{W: 4000, H: 2500, PitchMM: 0.025}, 10)
	b.SetBytes(int64(len(m.On))) // so that MB/s reads as samples per microsecond
	for b.Loop() {
		if _, err := Distance(context.Background(), m); err != nil {
			b.Fatal(err)
		}
	}
}

// The same for what masks of this program look like: large areas.
func BenchmarkDistance4000x2500Areas(b *testing.B) {
	m := NewMask(Grid{W: 4000, H: 2500, PitchMM: 0.025})
	for k := range m.On {
		x, y := float64(k%4000%1000)-500, float64(k/4000%1250)-600
		m.On[k] = x*x+y*y < 350*350
	}
	b.SetBytes(int64(len(m.On)))
	for b.Loop() {
		if _, err := Distance(context.Background(), m); err != nil {
			b.Fatal(err)
		}
	}
}
