package sheet

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"io"
	"regexp"
)

// steady takes the clock out of what the PDF writer writes: the document's date, and
// the time of change that it puts into every typeface it cuts down, with what
// follows from that: the typeface's checksum, its packed length and its name's tag.
//
// It holds each object back until it is whole. The PDF writer counts the bytes that
// Write reports, to know where each object begins; so Write reports what was
// written, not what was given, and the table of places stays right.
type steady struct {
	w      io.Writer
	object []byte // held back; nil between objects
	tag    []byte // of the typeface written last
	err    error
}

const fixedDate = "(D:20000101000000Z)"

var (
	objectStart = regexp.MustCompile(`^\d+ 0 obj\n$`)
	objectDate  = regexp.MustCompile(`\(D:20\d{12}[^)]*\)`)
	packed      = regexp.MustCompile(`^(\d+ 0 obj\n<<)(.*?/Filter/FlateDecode.*?)/Length \d+(.*?>>stream\n)`)
	fontTag     = regexp.MustCompile(`/[A-Z]{6}\+`)
)

// Write holds objects back and lets everything else through.
func (s *steady) Write(b []byte) (int, error) {
	if s.object == nil && !objectStart.Match(b) {
		return s.out(b)
	}
	s.object = append(s.object, b...)
	if !bytes.Equal(b, []byte("\nendobj\n")) {
		return 0, s.err
	}
	o := s.object
	s.object = nil
	return s.out(s.steadied(o))
}

func (s *steady) out(b []byte) (int, error) {
	n, err := s.w.Write(b)
	if err != nil {
		s.err = err
	}
	return n, err
}

// steadied is an object without the clock's traces.
func (s *steady) steadied(o []byte) []byte {
	m := packed.FindSubmatchIndex(o)
	if m == nil {
		if bytes.Contains(o[:min(len(o), 200)], []byte("stream\n")) {
			return o // pictures that are not packed
		}
		o = objectDate.ReplaceAll(o, []byte(fixedDate))
		if s.tag != nil && bytes.Contains(o, []byte("/Type/Font")) {
			o = fontTag.ReplaceAll(o, append(append([]byte("/"), s.tag...), '+'))
		}
		return o
	}
	from, to := m[1], len(o)-len("\nendstream\nendobj\n")
	if to < from {
		return o
	}
	r, err := zlib.NewReader(bytes.NewReader(o[from:to]))
	if err != nil {
		return o
	}
	var head [4]byte
	if _, err := io.ReadFull(r, head[:]); err != nil || (string(head[:]) != "OTTO" && string(head[:]) != "\x00\x01\x00\x00") {
		return o
	}
	rest, err := io.ReadAll(r)
	if err != nil {
		return o
	}
	font := append(head[:], rest...)
	if !fixFontTime(font) {
		return o
	}
	s.tag = tagOf(font)
	var z bytes.Buffer
	zw := zlib.NewWriter(&z)
	_, _ = zw.Write(font) // a buffer takes everything
	_ = zw.Close()
	var out bytes.Buffer
	out.Write(o[m[2]:m[3]])
	out.Write(o[m[4]:m[5]])
	fmt.Fprintf(&out, "/Length %d", z.Len())
	out.Write(o[m[6]:m[7]])
	out.Write(z.Bytes())
	out.WriteString("\nendstream\nendobj\n")
	return out.Bytes()
}

// fixFontTime sets a typeface's time of change to the start of its epoch and
// renews its checksums (OpenType: the table directory, and head's
// checksumAdjustment and modified).
func fixFontTime(f []byte) bool {
	if len(f) < 12 {
		return false
	}
	n := int(binary.BigEndian.Uint16(f[4:]))
	if len(f) < 12+16*n {
		return false
	}
	for i := range n {
		e := f[12+16*i:]
		if string(e[:4]) != "head" {
			continue
		}
		at, l := int(binary.BigEndian.Uint32(e[8:])), int(binary.BigEndian.Uint32(e[12:]))
		if at < 0 || l < 36 || at+l > len(f) {
			return false
		}
		head := f[at : at+l]
		binary.BigEndian.PutUint32(head[8:], 0)
		binary.BigEndian.PutUint64(head[28:], 0)
		binary.BigEndian.PutUint32(e[4:], sum32(head))
		binary.BigEndian.PutUint32(head[8:], 0xB1B0AFBA-sum32(f))
		return true
	}
	return false
}

// sum32 adds big-endian words, the last one filled up with zeros.
func sum32(b []byte) (sum uint32) {
	for ; len(b) >= 4; b = b[4:] {
		sum += binary.BigEndian.Uint32(b)
	}
	var last [4]byte
	copy(last[:], b)
	return sum + binary.BigEndian.Uint32(last[:])
}

// tagOf is the six letters that stand before the name of a typeface cut down (PDF
// 32000-1, 9.6.4).
func tagOf(font []byte) []byte {
	c := crc32.ChecksumIEEE(font)
	tag := make([]byte, 6)
	for i := range tag {
		tag[i] = 'A' + byte(c%26)
		c /= 26
	}
	return tag
}
