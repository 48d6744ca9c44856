// Package bitmap reads pictures: PNG, JPEG, WebP and TIFF become one brightness
// per pixel.
//
//	bytes --Read--> Image: 0 (black) to 1 (white), upright, over white
//
// Brightness is the sRGB-encoded luminance: luminance is the weighted sum of the
// linear channels (Rec. ITU-R BT.709 weights), and the sRGB curve brings it back to
// steps that look equal (IEC 61966-2-1). A grey pixel so keeps exactly the value
// the file stores, all 16 bits of it, and a photo gets the tones that the eye saw.
// Embedded colour profiles are not read; what they change is small beside the
// curve a person sets.
//
// Transparent pixels are laid over white, in encoded values, as viewers do.
// The orientation that a camera wrote (EXIF) is applied.
//
// The file comes from a stranger: sizes are read and bounded before any pixel is.
package bitmap

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"math"
	"strings"

	"golang.org/x/image/tiff"
	"golang.org/x/image/webp"

	"mouldwright/internal/base/finding"
)

// Limits on one file (our choice: what the largest cameras write, in a laptop's memory).
const (
	MaxBytes   = 512 << 20 // of the file
	MaxPixels  = 120e6     // width times height; the largest cameras have about 100 million
	MaxSide    = 65_535    // px
	MaxDecoded = 640 << 20 // bytes while decoding: 120 MP of 8-bit colour, 80 MP of 16-bit
)

// Image is brightness on pixels: V[y*W+x] is 0 (black) to 1 (white), rows from the
// top, x to the right.
type Image struct {
	W, H int
	V    []float32
	Bits int // of a channel in the file: 8 or 16
}

// kind is one format that is read.
type kind struct {
	name   string
	config func(io.Reader) (image.Config, error)
	decode func(io.Reader) (image.Image, error)
	exif   func([]byte) []byte // the EXIF block in the file, nil for none
}

var (
	kindPNG  = kind{"PNG", png.DecodeConfig, png.Decode, pngEXIF}
	kindJPEG = kind{"JPEG", jpeg.DecodeConfig, jpeg.Decode, jpegEXIF}
	kindWebP = kind{"WebP", webp.DecodeConfig, decodeWebP, webpEXIF}
	kindTIFF = kind{"TIFF", tiff.DecodeConfig, tiff.Decode, func(b []byte) []byte { return b }}
)

// kindOf tells the format by its first bytes; names of files are not trusted.
func kindOf(b []byte) *kind {
	switch {
	case bytes.HasPrefix(b, []byte("\x89PNG\r\n\x1a\n")):
		return &kindPNG
	case bytes.HasPrefix(b, []byte("\xff\xd8\xff")):
		return &kindJPEG
	case len(b) >= 12 && string(b[:4]) == "RIFF" && string(b[8:12]) == "WEBP":
		return &kindWebP
	case bytes.HasPrefix(b, []byte("II*\x00")), bytes.HasPrefix(b, []byte("MM\x00*")):
		return &kindTIFF
	}
	return nil
}

// Read reads a picture; name is used in findings and errors only. It refuses, with
// a *finding.Error, other formats, broken or cut files, and sizes beyond the limits.
func Read(name string, data []byte) (*Image, []finding.Finding, error) {
	refuse := func(found, allowed, do string) (*Image, []finding.Finding, error) {
		return nil, nil, &finding.Error{File: name, Found: found, Allowed: allowed, Do: do}
	}
	if len(data) == 0 {
		return refuse("an empty file", "a picture", "save the picture again")
	}
	if len(data) > MaxBytes {
		return refuse(fmt.Sprintf("%d bytes", len(data)), fmt.Sprintf("at most %d bytes", int(MaxBytes)), "make the picture smaller")
	}
	k := kindOf(data)
	if k == nil {
		return refuse("a format that is not read", "PNG, JPEG, WebP, TIFF", "save the picture as PNG")
	}
	cfg, err := guardConfig(k, data)
	if err != nil {
		return nil, nil, broken(name, k, err)
	}
	if cfg.Width < 1 || cfg.Height < 1 {
		return refuse(fmt.Sprintf("a %s of %d x %d pixels", k.name, cfg.Width, cfg.Height), "at least 1 x 1", "save the picture again")
	}
	pixels := float64(cfg.Width) * float64(cfg.Height)
	if pixels > MaxPixels || cfg.Width > MaxSide || cfg.Height > MaxSide || pixels*bytesPerPixel(cfg.ColorModel) > MaxDecoded {
		return refuse(fmt.Sprintf("a %s of %d x %d pixels (%.4g million)", k.name, cfg.Width, cfg.Height, pixels/1e6),
			fmt.Sprintf("at most %g million pixels (%g million with 16 bits and colour), no side above %d", MaxPixels/1e6, math.Floor(MaxDecoded/8e6), int(MaxSide)),
			"make the picture smaller: 50 pixels to the millimetre are plenty")
	}
	// Deflate packs at most 1032 to 1 (RFC 1951: 258 bytes in 2 bits), a pixel has
	// at least one bit.
	if k == &kindPNG && pixels/8 > 1032*float64(len(data)) {
		return refuse(fmt.Sprintf("a PNG that claims %d x %d pixels in %d bytes", cfg.Width, cfg.Height, len(data)), "a whole file", "save the picture again")
	}
	img, err := guardDecode(k, data)
	if err != nil {
		return nil, nil, broken(name, k, err)
	}
	out, clear := brightness(img)
	out.turn(orientation(k.exif(data)))
	var found []finding.Finding
	if clear {
		found = append(found, finding.Finding{Severity: finding.Note, Where: name, What: "transparent parts are taken as white", Do: "fill the background in the picture if it should be dark"})
	}
	return out, found, nil
}

// bytesPerPixel of the picture that the decoder will make.
func bytesPerPixel(m color.Model) float64 {
	switch m {
	case color.GrayModel, color.AlphaModel:
		return 1
	case color.Gray16Model, color.Alpha16Model:
		return 2
	case color.YCbCrModel:
		return 3
	case color.RGBA64Model, color.NRGBA64Model:
		return 8
	}
	if _, ok := m.(color.Palette); ok {
		return 1
	}
	return 4
}

// guardConfig and guardDecode turn a panic in a decoder into an error.
func guardConfig(k *kind, data []byte) (c image.Config, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%v", r)
		}
	}()
	return k.config(bytes.NewReader(data))
}

func guardDecode(k *kind, data []byte) (img image.Image, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%v", r)
		}
	}()
	img, err = k.decode(bytes.NewReader(data))
	if err == nil && img == nil {
		err = errors.New("no picture in the file")
	}
	return img, err
}

func broken(name string, k *kind, err error) error {
	e := &finding.Error{File: name, Found: "a " + k.name + " that cannot be read", Err: err, Do: "save the picture again, as 8- or 16-bit PNG"}
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		e.Found, e.Err, e.Do = "a "+k.name+" that ends too early", nil, "copy or save the picture again"
	}
	if e.Err != nil {
		e.Err = errors.New(strings.ToValidUTF8(err.Error(), "?"))
	}
	return e
}
