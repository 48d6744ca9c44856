package bitmap

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"os"
	"strings"
	"testing"

	"golang.org/x/image/tiff"

	"mouldwright/internal/base/finding"
)

func pngBytes(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func mustRead(t *testing.T, data []byte) *Image {
	t.Helper()
	m, _, err := Read("test", data)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// Every 16-bit grey value comes back exactly, from PNG and TIFF.
func TestSixteenBitsKept(t *testing.T) {
	img := image.NewGray16(image.Rect(0, 0, 256, 256))
	for i := range 65536 {
		img.SetGray16(i%256, i/256, color.Gray16{Y: uint16(i)})
	}
	var tif bytes.Buffer
	if err := tiff.Encode(&tif, img, &tiff.Options{Compression: tiff.Deflate}); err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{"PNG": pngBytes(t, img), "TIFF": tif.Bytes()} {
		m := mustRead(t, data)
		if m.Bits != 16 || m.W != 256 || m.H != 256 {
			t.Fatalf("%s: %d x %d of %d bits", name, m.W, m.H, m.Bits)
		}
		for i, v := range m.V {
			if int(math.Round(float64(v)*65535)) != i || math.Abs(float64(v)*65535-float64(i)) > 0.01 {
				t.Fatalf("%s: value %d came back as %g", name, i, v*65535)
			}
		}
	}
}

// Grey in colour channels, 8 bits: the value itself, to the last digit.
func TestEightBitGrey(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 256, 1))
	for i := range 256 {
		img.SetNRGBA(i, 0, color.NRGBA{uint8(i), uint8(i), uint8(i), 255})
	}
	for i, v := range mustRead(t, pngBytes(t, img)).V {
		if v != float32(i*257)/65535 {
			t.Fatalf("value %d came back as %g", i, v*255)
		}
	}
}

// Luminance of the primaries in closed form: encode(weight), IEC 61966-2-1 and BT.709.
func TestColours(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 7, 1))
	for i, c := range []color.NRGBA{{255, 0, 0, 255}, {0, 255, 0, 255}, {0, 0, 255, 255}, {255, 255, 0, 255}, {0, 0, 0, 0}, {0, 0, 0, 128}, {200, 100, 50, 255}} {
		img.SetNRGBA(i, 0, c)
	}
	lin := func(v float64) float64 { return math.Pow((v/255+0.055)/1.055, 2.4) }
	enc := func(y float64) float64 { return 1.055*math.Pow(y, 1/2.4) - 0.055 }
	want := []float64{enc(0.2126), enc(0.7152), enc(0.0722), enc(0.9278), 1, 127.0 / 255,
		enc(0.2126*lin(200) + 0.7152*lin(100) + 0.0722*lin(50))}
	m := mustRead(t, pngBytes(t, img))
	for i, w := range want {
		if math.Abs(float64(m.V[i])-w) > 2e-6 { // a tenth of a 16-bit step
			t.Errorf("colour %d: %.7f, want %.7f", i, m.V[i], w)
		}
	}
	_, found, _ := Read("test", pngBytes(t, img))
	if len(found) != 1 || !strings.Contains(found[0].What, "transparent") {
		t.Errorf("findings %v", found)
	}
}

// The table of encode stays within a fortieth of a 16-bit step.
func TestEncodeTable(t *testing.T) {
	enc := encoded()
	worst := 0.0
	for i := range 1_000_001 {
		y := float64(i) / 1e6
		s := math.Sqrt(y) * encodedSteps
		k := int(s)
		got := float64(enc[k]) + (s-float64(k))*float64(enc[k+1]-enc[k])
		worst = math.Max(worst, math.Abs(got-encode(y)))
	}
	if worst > 4e-7 {
		t.Errorf("worst error %g", worst)
	}
}

// exifBlock is the smallest EXIF block with an orientation.
func exifBlock(order binary.ByteOrder, value uint16) []byte {
	b := make([]byte, 8+2+12+4)
	copy(b, "MM")
	if order == binary.LittleEndian {
		copy(b, "II")
	}
	order.PutUint16(b[2:], 42)
	order.PutUint32(b[4:], 8)
	order.PutUint16(b[8:], 1)
	order.PutUint16(b[10:], orientationTag)
	order.PutUint16(b[12:], 3)
	order.PutUint32(b[14:], 1)
	order.PutUint16(b[18:], value)
	return b
}

func jpegWith(t testing.TB, img image.Image, exif []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 98}); err != nil {
		t.Fatal(err)
	}
	body := append([]byte("Exif\x00\x00"), exif...)
	seg := append([]byte{0xff, 0xe1, byte((len(body) + 2) >> 8), byte(len(body) + 2)}, body...)
	return append(append(append([]byte{}, b.Bytes()[:2]...), seg...), b.Bytes()[2:]...)
}

// visual is a picture without symmetry: 48 x 32, brighter to the right and (less)
// to the bottom.
func visual(x, y int) uint8 { return uint8(3*x + 2*y) }

// stored lays the picture out as the standard words each orientation: which side
// of the picture row 0 is, and which side column 0 is (CIPA DC-008, 4.6.5.1 C).
func stored(orientation int) *image.Gray {
	side := [...][2]string{1: {"top", "left"}, 2: {"top", "right"}, 3: {"bottom", "right"}, 4: {"bottom", "left"},
		5: {"left", "top"}, 6: {"right", "top"}, 7: {"right", "bottom"}, 8: {"left", "bottom"}}[orientation]
	const w, h = 48, 32
	sw, sh := w, h
	if orientation >= 5 {
		sw, sh = h, w
	}
	img := image.NewGray(image.Rect(0, 0, sw, sh))
	for r := range sh {
		for c := range sw {
			x, y := 0, 0
			for i, n := range [...]int{r, c} {
				switch side[i] {
				case "top":
					y = n
				case "bottom":
					y = h - 1 - n
				case "left":
					x = n
				case "right":
					x = w - 1 - n
				}
			}
			img.SetGray(c, r, color.Gray{Y: visual(x, y)})
		}
	}
	return img
}

func TestOrientation(t *testing.T) {
	check := func(name string, data []byte, tol float64) {
		t.Helper()
		m := mustRead(t, data)
		if m.W != 48 || m.H != 32 {
			t.Fatalf("%s: %d x %d", name, m.W, m.H)
		}
		for y := range m.H {
			for x := range m.W {
				if e := math.Abs(float64(m.V[y*m.W+x])*255 - float64(visual(x, y))); e > tol {
					t.Fatalf("%s: pixel (%d, %d) is off by %g of 255", name, x, y, e)
				}
			}
		}
	}
	for o := 1; o <= 8; o++ {
		name := "orientation " + string(rune('0'+o))
		check(name+" JPEG, Motorola", jpegWith(t, stored(o), exifBlock(binary.BigEndian, uint16(o))), 3) // JPEG is lossy
		check(name+" JPEG, Intel", jpegWith(t, stored(o), exifBlock(binary.LittleEndian, uint16(o))), 3)
		p := pngBytes(t, stored(o))
		check(name+" PNG", append(append(append([]byte{}, p[:33]...), chunk("eXIf", exifBlock(binary.BigEndian, uint16(o)))...), p[33:]...), 0.01)
	}
	check("orientation out of range", jpegWith(t, stored(1), exifBlock(binary.BigEndian, 9)), 3)
}

func chunk(name string, body []byte) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	b = append(append(b, name...), body...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

// hugePNG has a right header that claims w x h pixels, and no pixels.
func hugePNG(w, h uint32) []byte {
	head := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, w), h)
	head = append(head, 8, 0, 0, 0, 0)
	return append(append([]byte("\x89PNG\r\n\x1a\n"), chunk("IHDR", head)...), chunk("IDAT", []byte{0x78, 0x9c})...)
}

// The two WebP files hold the picture of visual; an independent library wrote them
// (OpenCV 4.6 with libwebp), lossless and at quality 90.
func TestWebP(t *testing.T) {
	for name, tol := range map[string]float64{"ramp_lossless.webp": 0.01, "ramp_lossy.webp": 8} {
		data, err := os.ReadFile("testdata/" + name)
		if err != nil {
			t.Fatal(err)
		}
		m := mustRead(t, data)
		if m.W != 48 || m.H != 32 {
			t.Fatalf("%s: %d x %d", name, m.W, m.H)
		}
		for i, v := range m.V {
			if want := float64(visual(i%48, i/48)); math.Abs(float64(v)*255-want) > tol {
				t.Fatalf("%s: pixel %d is %g, want %g", name, i, v*255, want)
			}
		}
	}
}

func TestRefusals(t *testing.T) {
	whole := pngBytes(t, stored(1))
	jpg := jpegWith(t, stored(1), nil)
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"empty":               {nil, "an empty file"},
		"not a picture":       {[]byte("hello"), "a format that is not read"},
		"10^9 pixels":         {hugePNG(40_000, 25_000), "40000 x 25000 pixels (1000 million)"},
		"2^31 wide":           {hugePNG(1<<31-1, 1), "pixels"},
		"100 MP in 70 bytes":  {hugePNG(10_000, 10_000), "claims 10000 x 10000 pixels in"},
		"cut PNG":             {whole[:len(whole)/2], "a PNG that"},
		"cut JPEG":            {jpg[:len(jpg)/2], "a JPEG that"},
		"header only":         {whole[:20], "a PNG that ends too early"},
		"TIFF of two bytes":   {[]byte("II*\x00\xff\xff"), "a TIFF that"},
		"WebP without pixels": {[]byte("RIFF\x04\x00\x00\x00WEBP"), "a WebP that"},
	} {
		_, _, err := Read("art.png", c.data)
		var e *finding.Error
		if !errors.As(err, &e) || e.File != "art.png" {
			t.Errorf("%s: %v is no finding.Error with the file's name", name, err)
			continue
		}
		if !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %q does not say %q", name, err, c.want)
		}
	}
}

// FuzzRead: whatever the bytes, there is an image of its size with values in 0..1,
// or a finding.Error.
func FuzzRead(f *testing.F) {
	f.Add(pngBytes(f, stored(1)))
	f.Add(jpegWith(f, stored(6), exifBlock(binary.LittleEndian, 6)))
	var tif bytes.Buffer
	if err := tiff.Encode(&tif, stored(1), nil); err != nil {
		f.Fatal(err)
	}
	f.Add(tif.Bytes())
	for _, name := range [...]string{"ramp_lossless.webp", "ramp_lossy.webp"} {
		w, err := os.ReadFile("testdata/" + name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(w)
	}
	f.Add(hugePNG(40_000, 25_000))
	f.Fuzz(func(t *testing.T, data []byte) {
		if k := kindOf(data); k != nil { // keep the fuzzer's memory small
			if c, err := guardConfig(k, data); err == nil && c.Width*c.Height > 1e6 && c.Width*c.Height < 1e8 {
				return
			}
		}
		m, _, err := Read("fuzz", data)
		var e *finding.Error
		switch {
		case err != nil && !errors.As(err, &e):
			t.Fatalf("%T: %v", err, err)
		case err != nil:
			return
		case m.W < 1 || m.H < 1 || len(m.V) != m.W*m.H:
			t.Fatalf("%d x %d with %d values", m.W, m.H, len(m.V))
		}
		for _, v := range m.V {
			if !(v >= 0 && v <= 1) {
				t.Fatalf("value %g", v)
			}
		}
	})
}

func BenchmarkRead(b *testing.B) {
	img := image.NewRGBA(image.Rect(0, 0, 4000, 3000))
	for i := range img.Pix {
		img.Pix[i] = uint8(i * i >> 7)
		if i%4 == 3 {
			img.Pix[i] = 255
		}
	}
	b.SetBytes(12e6)
	for b.Loop() {
		brightness(img)
	}
}
