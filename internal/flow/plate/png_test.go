package plate

import (
	"bytes"
	"image"
	"image/png"
	"runtime"
	"testing"

	"mouldwright/internal/base/geom"
)

func TestPNG(t *testing.T) {
	for _, size := range [][2]float64{{1, 1}, {40, 32}, {131, 33}, {70, 65}, {64, 300}} {
		w, d := size[0], size[1]
		s := stack(t, mask(w, d), place(prism(t, at(geom.Ellipse(w, d/3), w/2, d/2), 2)))
		want := layer(t, s, 1)
		var runs [2][]byte
		for i := range runs {
			was := runtime.GOMAXPROCS(i + 1)
			var out bytes.Buffer
			err := s.WritePNG(ctx, 1, &out)
			again := layer(t, s, 1)
			runtime.GOMAXPROCS(was)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(again.Pix, want.Pix) {
				t.Errorf("%g x %g: images differ on %d cores", w, d, i+1)
			}
			runs[i] = out.Bytes()
		}
		if !bytes.Equal(runs[0], runs[1]) {
			t.Errorf("%g x %g: files differ on one and two cores", w, d)
		}
		got, err := png.Decode(bytes.NewReader(runs[0]))
		if err != nil {
			t.Errorf("%g x %g: %v", w, d, err)
			continue
		}
		if g, ok := got.(*image.Gray); !ok || g.Rect != want.Rect || !bytes.Equal(g.Pix, want.Pix) {
			t.Errorf("%g x %g: read back as something else", w, d)
		}
		// pHYs stands behind signature, IHDR and two heads: 1000 pixels of 1 mm to the metre.
		if at := bytes.Index(runs[0], []byte("pHYs")); at < 0 || !bytes.Equal(runs[0][at+4:at+13], []byte{0, 0, 3, 232, 0, 0, 3, 232, 1}) {
			t.Error("no size in the file")
		}
	}
}
