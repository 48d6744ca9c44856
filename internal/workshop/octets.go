package workshop

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"math"

	"mouldwright/internal/base/field"
)

// octets is an answer of a head and blocks in the making; see Block.
type octets struct {
	blocks []Block
	data   []any // []float32, []uint32 or []uint16, one for each block
}

func (o *octets) add(name string, numbers any) {
	b := Block{Name: name}
	switch v := numbers.(type) {
	case []float32:
		b.Type, b.Count = "float32", len(v)
	case []uint32:
		b.Type, b.Count = "uint32", len(v)
	case []uint16:
		b.Type, b.Count = "uint16", len(v)
	default:
		panic(fmt.Sprintf("workshop: a block of %T", numbers))
	}
	o.blocks, o.data = append(o.blocks, b), append(o.data, numbers)
}

func eight(n int) int { return (n + 7) &^ 7 }

// write places the blocks, lets fill put them into the head, and writes all.
func (o *octets) write(w io.Writer, fill func([]Block) any) error {
	head, err := json.Marshal(fill(o.blocks))
	if err != nil {
		return err
	}
	start := eight(4 + len(head) + 12*len(o.blocks)) // places have up to ten figures more than the 0 now there
	end := start
	for i := range o.blocks {
		b := &o.blocks[i]
		b.At = end
		size := 4
		if b.Type == "uint16" {
			size = 2
		}
		end = eight(end + size*b.Count)
	}
	if head, err = json.Marshal(fill(o.blocks)); err != nil {
		return err
	}
	out := make([]byte, start, end)
	binary.LittleEndian.PutUint32(out, uint32(start-4))
	for i := 4 + copy(out[4:], head); i < start; i++ {
		out[i] = ' '
	}
	for _, v := range o.data {
		if out, err = binary.Append(out, binary.LittleEndian, v); err != nil {
			return err
		}
		for len(out)%8 != 0 {
			out = append(out, 0)
		}
	}
	_, err = w.Write(out)
	return err
}

// levels turns heights into numbers of 16 bits; what lies below 0 becomes 0. The
// error is at most half a step, 0.1 µm for a piece of 12 mm.
func levels(f *field.Field) ([]uint16, Grid) {
	top := float32(0)
	for _, z := range f.Z {
		top = max(top, z)
	}
	g := Grid{W: f.W, H: f.H, PitchMM: f.PitchMM, X0MM: f.X0, Y0MM: f.Y0, StepMM: math.Max(float64(top), 1e-3) / math.MaxUint16}
	out := make([]uint16, len(f.Z))
	scale := float32(1 / g.StepMM)
	for i, z := range f.Z {
		out[i] = uint16(min(max(z, 0)*scale+0.5, math.MaxUint16))
	}
	return out, g
}
