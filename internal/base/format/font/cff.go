package font

import (
	"errors"
	"fmt"

	ps "github.com/go-text/typesetting/font/cff/interpreter"
)

var errEndless = errors.New("endless")

// checkCFF refuses a CFF table (Adobe Technical Note 5176) in which a glyph's
// program (Note 5177, Type 2 charstrings) runs through more than maxGlyphPoints
// operators. Real letters run some hundred; ten levels of subroutines that call
// each other many times could run for years.
func checkCFF(b []byte) error {
	if len(b) < 4 {
		return errors.New("a cut-off CFF table")
	}
	at := int(b[2])
	var index [4][][]byte // names, top dictionaries, strings, global subroutines
	var err error
	for i := range index {
		if index[i], at, err = cffIndex(b, at); err != nil {
			return err
		}
	}
	if len(index[1]) == 0 {
		return errors.New("a CFF table without a font")
	}
	top, err := cffDict(index[1][0])
	if err != nil {
		return err
	}
	glyphs, _, err := cffIndex(b, top.offset(17))
	if err != nil {
		return err
	}
	privates := []dict{top}
	if _, cid := top[12<<8|36]; cid { // FDArray: one private dictionary for each group of glyphs
		fonts, _, err := cffIndex(b, top.offset(12<<8|36))
		if err != nil {
			return err
		}
		privates = privates[:0]
		for _, f := range fonts {
			d, err := cffDict(f)
			if err != nil {
				return err
			}
			privates = append(privates, d)
		}
	}
	// Every glyph is run with every group's subroutines, so that it does not matter
	// which group a glyph claims; the largest fonts have some twenty groups.
	const maxGroups = 64
	if len(privates) > maxGroups {
		return fmt.Errorf("%d groups of glyphs in the CFF table, more than %d", len(privates), maxGroups)
	}
	for _, p := range privates {
		local, err := localSubrs(b, p)
		if err != nil {
			return err
		}
		for g, program := range glyphs {
			var m ps.Machine
			// Any other error shows when the glyph is drawn.
			if err := m.Run(program, local, index[3], &counter{}); err == errEndless {
				return fmt.Errorf("glyph %d is drawn in more than %d steps", g, maxGlyphPoints)
			}
		}
	}
	return nil
}

func localSubrs(b []byte, p dict) ([][]byte, error) {
	v := p[18] // size and offset of the private dictionary
	if len(v) < 2 {
		return nil, nil
	}
	size, off := v[0], v[1]
	if size < 0 || off < 0 || off+size > len(b) {
		return nil, errors.New("a CFF private dictionary outside its table")
	}
	private, err := cffDict(b[off : off+size])
	if err != nil {
		return nil, err
	}
	if len(private[19]) == 0 {
		return nil, nil
	}
	subrs, _, err := cffIndex(b, off+private.offset(19))
	return subrs, err
}

// cffIndex reads an INDEX at a place and gives its items and the place after it.
func cffIndex(b []byte, at int) ([][]byte, int, error) {
	damaged := errors.New("a CFF table with a damaged index")
	if at < 0 || at+2 > len(b) {
		return nil, 0, damaged
	}
	n := int(b[at])<<8 | int(b[at+1])
	if n == 0 {
		return nil, at + 2, nil
	}
	if at+3 > len(b) {
		return nil, 0, damaged
	}
	size := int(b[at+2])
	offsets := at + 3
	data := offsets + (n+1)*size - 1
	if size < 1 || size > 4 || data+1 > len(b) {
		return nil, 0, damaged
	}
	offset := func(i int) int {
		v := 0
		for _, c := range b[offsets+i*size : offsets+(i+1)*size] {
			v = v<<8 | int(c)
		}
		return v
	}
	items := make([][]byte, n)
	from := offset(0)
	for i := range items {
		to := offset(i + 1)
		if from < 1 || to < from || data+to > len(b) {
			return nil, 0, damaged
		}
		items[i] = b[data+from : data+to]
		from = to
	}
	return items, data + from, nil
}

// dict holds a CFF dictionary's whole-number operands by operator (12<<8|n for
// the escaped ones).
type dict map[int][]int

// offset is the operand of an operator that has one, 0 (which no table has
// anything at) when it is missing.
func (d dict) offset(op int) int {
	if v := d[op]; len(v) > 0 {
		return v[len(v)-1]
	}
	return 0
}

func cffDict(b []byte) (dict, error) {
	d := dict{}
	var args []int
	for i := 0; i < len(b); {
		c := b[i]
		switch {
		case c <= 21:
			op := int(c)
			if c == 12 {
				if i++; i >= len(b) {
					return nil, errors.New("a cut-off CFF dictionary")
				}
				op = 12<<8 | int(b[i])
			}
			d[op] = args
			args = nil
			i++
		case c == 30: // a real number, two digits to a byte, ended by the digit f
			for i++; i < len(b) && b[i]&0xf != 0xf && b[i]>>4 != 0xf; i++ {
			}
			i++
			args = append(args, 0)
		default:
			v, n := cffInt(b[i:])
			if n == 0 {
				return nil, errors.New("a damaged CFF dictionary")
			}
			args = append(args, v)
			i += n
		}
	}
	return d, nil
}

// cffInt reads a whole number and its length in bytes, 0 when there is none.
func cffInt(b []byte) (v, n int) {
	switch c := int(b[0]); {
	case c >= 32 && c <= 246:
		return c - 139, 1
	case c >= 247 && c <= 250 && len(b) > 1:
		return (c-247)*256 + int(b[1]) + 108, 2
	case c >= 251 && c <= 254 && len(b) > 1:
		return -(c-251)*256 - int(b[1]) - 108, 2
	case c == 28 && len(b) > 2:
		return int(int16(uint16(b[1])<<8 | uint16(b[2]))), 3
	case c == 29 && len(b) > 4:
		return int(int32(uint32(b[1])<<24 | uint32(b[2])<<16 | uint32(b[3])<<8 | uint32(b[4]))), 5
	}
	return 0, 0
}

// counter runs a program without drawing it, only to see that it ends.
type counter struct {
	ps.CharstringReader
	steps int
}

func (*counter) Context() ps.Context { return ps.Type2Charstring }

func (c *counter) Apply(m *ps.Machine, op ps.Operator) error {
	if c.steps++; c.steps > maxGlyphPoints {
		return errEndless
	}
	if !op.IsEscaped {
		switch op.Operator {
		case 10: // callsubr
			return ps.LocalSubr(m)
		case 29: // callgsubr
			return ps.GlobalSubr(m)
		case 11: // return
			return m.Return()
		case 14: // endchar
			return ps.ErrInterrupt
		case 1, 18: // hstem, hstemhm
			c.Hstem(m)
		case 3, 23: // vstem, vstemhm
			c.Vstem(m)
		case 19, 20: // hintmask, cntrmask
			c.Hintmask(m)
			return nil
		}
	}
	m.ArgStack.Clear()
	return nil
}
