package plate

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"image/png"
	"math"
	"runtime"
	"runtime/debug"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/master"
)

// An archive read back by Go's own readers: every image is the layer, the index says
// what stands in it, and the summed images are the cone's volume by the closed form.
func TestArchive(t *testing.T) {
	p := mask(40, 30)
	p.PixelMM, p.LayerMM = 0.1, 0.1
	r := resin
	r.BottomLayers, r.BottomExposureS, r.ExposureS = 2, 30, 2.5
	s := stack(t, p, place(prism(t, at(geom.Circle(12), 20, 15), 3)))
	var out, again bytes.Buffer
	if err := WriteArchive(ctx, &out, s, "4T7QK2M", "plate 1", r); err != nil {
		t.Fatal(err)
	}
	was := runtime.GOMAXPROCS(1)
	err := WriteArchive(ctx, &again, s, "4T7QK2M", "plate 1", r)
	runtime.GOMAXPROCS(was)
	if err != nil || !bytes.Equal(out.Bytes(), again.Bytes()) {
		t.Fatal("archives differ on one and two cores", err)
	}
	z, err := zip.NewReader(bytes.NewReader(out.Bytes()), int64(out.Len()))
	if err != nil {
		t.Fatal(err)
	}
	f, err := z.Open("index.json")
	if err != nil {
		t.Fatal(err)
	}
	var in Index
	if err := json.NewDecoder(f).Decode(&in); err != nil {
		t.Fatal(err)
	}
	if in.Format != LayerFormat || in.Revision != "4T7QK2M" || in.WidthPx != 400 || in.DepthPx != 300 || len(in.Layers) != 30 || len(z.File) != 31 {
		t.Fatalf("index %+v, %d files", in, len(z.File))
	}
	sum := 0.0
	for k, l := range in.Layers {
		f, err := z.Open(l.File)
		if err != nil {
			t.Fatal(err)
		}
		im, err := png.Decode(f)
		if err != nil || im.Bounds().Dx() != 400 || im.Bounds().Dy() != 300 {
			t.Fatal(l.File, err)
		}
		for j := range 300 {
			for i := range 400 {
				v, _, _, _ := im.At(i, j).RGBA()
				sum += float64(v) / 65535
			}
		}
		want := 2.5
		if k < 2 {
			want = 30
		}
		if l.ExposureS != want || math.Abs(l.BottomMM-float64(k)/10) > 1e-9 || math.Abs(l.AreaMM2-s.AreaMM2(k)) > 0.005 {
			t.Errorf("layer %d: %+v", k, l)
		}
	}
	// The polygon lies inside the circle by up to geom.FlattenMM, 1e-4 of this area.
	if got, want := sum*0.1*0.1*0.1, math.Pi*12*12*3; math.Abs(got/want-1) > 1e-3 {
		t.Errorf("images of %g mm3, closed form %g mm3", got, want)
	}
}

// TestOneImageInMemory draws layers of 8000 x 5000 pixels into an archive: 40 MB of
// pixels each, 120 MB for these three. What lives at once, the stack included, stays
// below 200 MB whatever the number of layers.
func TestOneImageInMemory(t *testing.T) {
	p := mask(280, 175)
	p.PixelMM, p.LayerMM = 0.035, 1
	s := stack(t, p, place(prism(t, at(geom.RoundedRectangle(270, 165, 20), 140, 87.5), 3)))
	if s.WidthPx != 8000 || s.DepthPx != 5000 {
		t.Fatalf("%d x %d pixels", s.WidthPx, s.DepthPx)
	}
	defer debug.SetGCPercent(debug.SetGCPercent(20))
	most := &heapMeter{}
	if err := WriteArchive(ctx, most, s, "4T7QK2M", "plate 1", resin); err != nil {
		t.Fatal(err)
	}
	t.Logf("%.0f MB of heap at most, %.1f MB of archive", float64(most.most)/1e6, float64(most.n)/1e6)
	if most.most > 200e6 {
		t.Errorf("%.0f MB of heap, allowed 200 MB", float64(most.most)/1e6)
	}
}

// heapMeter looks at the heap whenever something is written to it.
type heapMeter struct {
	n    int
	most uint64
}

func (h *heapMeter) Write(b []byte) (int, error) {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	h.most = max(h.most, m.HeapAlloc)
	h.n += len(b)
	return len(b), nil
}

func TestOnly(t *testing.T) {
	var parts []master.Part
	for i := range 9 {
		p := partOf(cornered(geom.Rectangle(60, 40)), float64(5+i), 1)
		p.Name = string(rune('a' + i))
		parts = append(parts, p)
	}
	got, found, err := Only(ctx, parts, []int{7, 3, 7}, Choices{GapMM: 3}, printer, resin)
	if err != nil || len(found) > 0 {
		t.Fatal(found, err)
	}
	if len(got.Plates) != 1 || len(got.Plates[0].Items) != 2 || got.Plates[0].Items[0].Part != 6 || got.Plates[0].Items[1].Part != 2 {
		t.Fatalf("plates %+v", got.Plates)
	}
	if got.Plates[0].HeightMM != 11 {
		t.Errorf("a plate of %g mm, the taller part has 11 mm", got.Plates[0].HeightMM)
	}
	for _, bad := range [][]int{nil, {0}, {10}} {
		var e *finding.Error
		if _, _, err := Only(ctx, parts, bad, Choices{GapMM: 3}, printer, resin); err == nil {
			t.Errorf("parts %v: no error", bad)
		} else if ok := asError(err, &e); !ok || e.Key != "only" || !strings.Contains(e.Allowed, "9") {
			t.Errorf("parts %v: %v", bad, err)
		}
	}
}

func asError(err error, to **finding.Error) bool {
	e, ok := err.(*finding.Error)
	*to = e
	return ok
}
