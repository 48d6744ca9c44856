package plate

import (
	"bytes"
	"compress/flate"
	"context"
	"encoding/binary"
	"hash/adler32"
	"hash/crc32"
	"io"
	"math"
)

// packed is a band's rows as a piece of a zlib stream that can stand anywhere in it:
// whole bytes, and nothing refers to what came before.
type packed struct {
	data []byte
	sum  uint32 // Adler-32 of the rows
	raw  int    // bytes of the rows
}

// packer compresses bands.
type packer struct {
	rows  []byte
	flate *flate.Writer
}

// pack compresses rows at the fastest level: a mask is long runs of one value.
func (p *packer) pack(rows []byte) (packed, error) {
	var out bytes.Buffer
	if p.flate == nil {
		w, err := flate.NewWriter(&out, flate.BestSpeed)
		if err != nil {
			return packed{}, err
		}
		p.flate = w
	} else {
		p.flate.Reset(&out)
	}
	if _, err := p.flate.Write(rows); err != nil {
		return packed{}, err
	}
	if err := p.flate.Flush(); err != nil {
		return packed{}, err
	}
	return packed{out.Bytes(), adler32.Checksum(rows), len(rows)}, nil
}

// packBlanks packs what most of a plate is: bands that no part reaches.
func (s *Stack) packBlanks() error {
	for i, rows := range [...]int{min(bandRows, s.DepthPx), (s.DepthPx-1)%bandRows + 1} {
		var err error
		if s.blank[i], err = new(packer).pack(make([]byte, rows*(s.WidthPx+1))); err != nil {
			return err
		}
	}
	return nil
}

// WritePNG writes the image of layer k, from 0, as PNG with 8 bits of grey (ISO/IEC
// 15948) and its size in pixels to the metre. The image is never held whole. The bytes
// are the same on any number of cores.
func (s *Stack) WritePNG(ctx context.Context, k int, w io.Writer) error {
	d, err := s.open(k)
	if err != nil {
		return err
	}
	defer s.drawing.Put(d)
	bands := make([]packed, len(d.start)-1)
	failed := make([]error, len(bands))
	err = s.bands(ctx, d, func(p *pen, band, j0, j1 int) {
		if d.start[band] == d.start[band+1] {
			bands[band] = s.blank[0]
			if band == len(bands)-1 {
				bands[band] = s.blank[1]
			}
			return
		}
		// Every row begins with a byte for its filter: none. Runs need no other.
		stride := s.WidthPx + 1
		if p.rows == nil {
			p.rows = make([]byte, bandRows*stride)
		}
		rows := p.rows[:(j1-j0)*stride]
		clear(rows)
		p.draw(d, band, j0, j1, rows[1:], stride)
		bands[band], failed[band] = p.pack(rows)
	})
	if err != nil {
		return err
	}
	for _, err := range failed {
		if err != nil {
			return err
		}
	}
	if err := d.closed(k); err != nil {
		return err
	}
	return s.writeChunks(w, bands)
}

// writeChunks writes a PNG of the packed bands.
func (s *Stack) writeChunks(w io.Writer, bands []packed) error {
	if _, err := io.WriteString(w, "\x89PNG\r\n\x1a\n"); err != nil {
		return err
	}
	head := binary.BigEndian.AppendUint32(nil, uint32(s.WidthPx))
	head = binary.BigEndian.AppendUint32(head, uint32(s.DepthPx))
	head = append(head, 8, 0, 0, 0, 0) // 8 bits, grey, deflate, filters, not interlaced
	perMetre := uint32(math.Round(1000 / s.PixelMM))
	size := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, perMetre), perMetre)
	data := [][]byte{{0x78, 0x01}} // zlib: deflate, window of 32 KiB, fastest
	sum := uint32(1)
	for _, b := range bands {
		data = append(data, b.data)
		sum = joinAdler(sum, b.sum, b.raw)
	}
	data = append(data, []byte{3, 0}, binary.BigEndian.AppendUint32(nil, sum)) // an empty last block
	for _, c := range [...]struct {
		kind string
		data [][]byte
	}{{"IHDR", [][]byte{head}}, {"pHYs", [][]byte{append(size, 1)}}, {"IDAT", data}, {"IEND", nil}} {
		if err := writeChunk(w, c.kind, c.data); err != nil {
			return err
		}
	}
	return nil
}

func writeChunk(w io.Writer, kind string, parts [][]byte) error {
	n := 0
	for _, p := range parts {
		n += len(p)
	}
	if _, err := w.Write(append(binary.BigEndian.AppendUint32(nil, uint32(n)), kind...)); err != nil {
		return err
	}
	crc := crc32.ChecksumIEEE([]byte(kind))
	for _, p := range parts {
		crc = crc32.Update(crc, crc32.IEEETable, p)
		if _, err := w.Write(p); err != nil {
			return err
		}
	}
	_, err := w.Write(binary.BigEndian.AppendUint32(nil, crc))
	return err
}

// joinAdler is the Adler-32 (RFC 1950) of two stretches of bytes, from that of each and
// the length of the second. Its low half is one more than the sum of the bytes, its
// high half the sum of the low half after each byte, both modulo 65521.
func joinAdler(first, second uint32, secondLen int) uint32 {
	const mod = 65521
	a1, b1, a2, b2 := uint64(first&0xffff), uint64(first>>16), uint64(second&0xffff), uint64(second>>16)
	n := uint64(secondLen) % mod
	a := (a1 + a2 + mod - 1) % mod
	b := (b1 + b2 + n*(a1+mod-1)) % mod
	return uint32(b<<16 | a)
}
