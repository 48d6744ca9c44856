package sheet

import (
	"fmt"
	"strings"
	"unicode"

	"github.com/boombuler/barcode/qr"
	"github.com/tdewolff/canvas"
)

// quiet is the blank rim of a QR code in modules: ISO/IEC 18004, 6.3.8 (from memory).
const quiet = 4

// code draws a text as a QR code into a square of so many mm, with its quiet rim. Level
// M mends 15 % of damage, as a fingermark of chocolate makes. Text that no code holds (2
// kB and more) is an error.
func (p *page) code(x, y, size float64, text string) error {
	// A code of bytes does not say which letters they are, and readers guess; a byte order
	// mark ahead makes them see UTF-8.
	if strings.ContainsFunc(text, func(r rune) bool { return r > unicode.MaxASCII }) {
		text = "\ufeff" + text
	}
	m, err := qr.Encode(text, qr.M, qr.Unicode)
	if err != nil {
		return fmt.Errorf("sheet: QR code of %d bytes: %w", len(text), err)
	}
	n := m.Bounds().Dx()
	s := size / float64(n+2*quiet)
	path := &canvas.Path{}
	dark := func(i, j int) bool {
		r, _, _, _ := m.At(i, j).RGBA()
		return r < 0x8000
	}
	for j := range n {
		for i := 0; i < n; i++ {
			if !dark(i, j) {
				continue
			}
			to := i
			for to < n && dark(to, j) {
				to++
			}
			x0, x1 := x+s*float64(quiet+i), x+s*float64(quiet+to)
			y0, y1 := p.height-(y+s*float64(quiet+j)), p.height-(y+s*float64(quiet+j+1))
			path.MoveTo(x0, y0)
			path.LineTo(x1, y0)
			path.LineTo(x1, y1)
			path.LineTo(x0, y1)
			path.Close()
			i = to
		}
	}
	p.c.SetFill(canvas.Paint{Color: canvas.Black})
	p.c.SetStroke(canvas.Paint{})
	p.c.DrawPath(0, 0, path)
	return nil
}
