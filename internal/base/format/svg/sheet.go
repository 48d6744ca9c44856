package svg

import "mouldwright/internal/base/geom"

// patch is an outer ring of the sheet with its holes.
type patch struct {
	rings geom.Outline
	box   geom.Rect
}

// sheet is what has been painted so far: settled patches that do not overlap.
type sheet []patch

// take removes the patches whose boxes meet b and gives their rings. A coat of
// paint changes these alone, so that many small shapes cost no more than they are.
func (s *sheet) take(b geom.Rect) (near geom.Outline) {
	far := (*s)[:0]
	for _, p := range *s {
		if p.box.Max.X < b.Min.X || p.box.Min.X > b.Max.X || p.box.Max.Y < b.Min.Y || p.box.Min.Y > b.Max.Y {
			far = append(far, p)
		} else {
			near = append(near, p.rings...)
		}
	}
	*s = far
	return near
}

// put adds a settled outline, in which each outer ring is followed by its holes.
func (s *sheet) put(o geom.Outline) {
	for i, from := 0, 0; i < len(o); i++ {
		if i+1 == len(o) || o[i+1].Area() > 0 {
			*s = append(*s, patch{o[from : i+1], o[from : i+1].Bounds()})
			from = i + 1
		}
	}
}
