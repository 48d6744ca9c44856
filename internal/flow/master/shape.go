package master

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"math"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
)

// shaper gives the digests by which parts of two builds are told to be the same. Each is
// of everything that a part is made from, by its own name, but for the engraved code:
// the mould rules, printer and resin, its tray's measures, its outline, and the surface
// and place of every piece on it. It may differ where the part would not; it never is
// the same where the part would differ.
type shaper struct {
	rules []byte
	items [][32]byte // surfaces, grown
}

func newShaper(m *maker, asked Choices) *shaper {
	asked.Place = nil // it shows in the places
	rules, err := json.Marshal(struct {
		Choices
		Print
		Letters bool
	}{asked, m.print, m.letters != nil})
	if err != nil {
		panic("master: choices that JSON cannot hold: " + err.Error()) // NaN is refused by the job's reader
	}
	s := &shaper{rules: rules}
	for i, it := range m.items {
		s.items = append(s.items, sumOf(m.sheets[i], it.Outline, it.HeightMM))
	}
	return s
}

func sumOf(s *mesh.Sheet, o geom.Outline, heightMM float64) (d [32]byte) {
	h := sha256.New()
	buf := make([]byte, 0, 1<<16)
	put := func(bits ...uint32) {
		if len(buf)+4*len(bits) > cap(buf) {
			h.Write(buf)
			buf = buf[:0]
		}
		for _, b := range bits {
			buf = binary.LittleEndian.AppendUint32(buf, b)
		}
	}
	put(uint32(len(s.V)), uint32(len(s.T)), uint32(len(s.Rings)), math.Float32bits(float32(heightMM)))
	for _, v := range s.V {
		put(math.Float32bits(v[0]), math.Float32bits(v[1]), math.Float32bits(v[2]))
	}
	for _, t := range s.T {
		put(t[:]...)
	}
	h.Write(buf)
	h.Write(pointsOf(o))
	h.Sum(d[:0])
	return d
}

func pointsOf(o geom.Outline) (out []byte) {
	for _, r := range o {
		out = binary.LittleEndian.AppendUint32(out, uint32(len(r)))
		for _, p := range r {
			out = binary.LittleEndian.AppendUint64(out, math.Float64bits(p.X))
			out = binary.LittleEndian.AppendUint64(out, math.Float64bits(p.Y))
		}
	}
	return out
}

// part is the digest of one part of a tray.
func (s *shaper) part(t *Tray, p *Part) (d [32]byte) {
	h := sha256.New()
	h.Write(s.rules)
	enc := json.NewEncoder(h)
	put := func(v any) {
		if err := enc.Encode(v); err != nil {
			panic("master: a part that JSON cannot hold: " + err.Error()) // measures are finite
		}
	}
	put([]any{p.Name, p.Kind, p.Copies, p.WidthMM, p.DepthMM, p.HeightMM, t.WidthMM, t.DepthMM, t.RubberMM, t.FrameMM})
	h.Write(pointsOf(p.Outline))
	place := func(pl Placed) {
		put([]any{pl.Number, pl.XMM, pl.YMM, pl.TurnDeg})
		h.Write(s.items[pl.Item][:])
	}
	switch p.Kind {
	case "tile":
		for _, tile := range t.Tiles {
			if tile.Number == p.Number {
				h.Write(pointsOf(tile.Outline))
				for _, k := range tile.Placed {
					place(t.Placed[k])
				}
			}
		}
	case "piece":
		for _, pl := range t.Placed {
			if pl.Number == p.Number {
				put(pl.Number)
				h.Write(s.items[pl.Item][:])
			}
		}
	}
	h.Sum(d[:0])
	return d
}
