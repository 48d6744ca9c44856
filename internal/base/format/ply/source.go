package ply

import (
	"bytes"
	"encoding/binary"
	"math"
	"strconv"
)

// source gives the numbers after the header one by one.
type source interface {
	next(kind string) (v float64, ok bool) // ok is false at the end, or at a word that is no number
	left() int                             // bytes
	least(e element) int                   // bytes that one item of e takes at least
}

func newSource(h header, body []byte) source {
	switch h.layout {
	case "binary_little_endian":
		return &binarySource{body, binary.LittleEndian}
	case "binary_big_endian":
		return &binarySource{body, binary.BigEndian}
	}
	return &textSource{body}
}

type textSource struct{ rest []byte }

func (s *textSource) left() int { return len(s.rest) + 1 } // the last number needs no space behind it

func (s *textSource) least(e element) int { return max(1, 2*len(e.properties)) }

func (s *textSource) next(string) (float64, bool) {
	b := bytes.TrimLeft(s.rest, " \t\r\n\v\f")
	end := bytes.IndexAny(b, " \t\r\n\v\f")
	if end < 0 {
		end = len(b)
	}
	s.rest = b[end:]
	v, err := strconv.ParseFloat(string(b[:end]), 64)
	return v, err == nil
}

type binarySource struct {
	rest  []byte
	order binary.ByteOrder
}

func (s *binarySource) left() int { return len(s.rest) }

func (s *binarySource) least(e element) int {
	n := 0
	for _, p := range e.properties {
		if p.isList {
			n += sizes[p.countKind]
		} else {
			n += sizes[p.kind]
		}
	}
	return n
}

func (s *binarySource) next(kind string) (float64, bool) {
	n := sizes[kind]
	if len(s.rest) < n {
		return 0, false
	}
	b := s.rest[:n]
	s.rest = s.rest[n:]
	switch kind {
	case "char", "int8":
		return float64(int8(b[0])), true
	case "uchar", "uint8":
		return float64(b[0]), true
	case "short", "int16":
		return float64(int16(s.order.Uint16(b))), true
	case "ushort", "uint16":
		return float64(s.order.Uint16(b)), true
	case "int", "int32":
		return float64(int32(s.order.Uint32(b))), true
	case "uint", "uint32":
		return float64(s.order.Uint32(b)), true
	case "float", "float32":
		return float64(math.Float32frombits(s.order.Uint32(b))), true
	}
	return math.Float64frombits(s.order.Uint64(b)), true
}
