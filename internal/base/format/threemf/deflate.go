package threemf

import (
	"bytes"
	"compress/flate"
	"context"
	"hash/crc32"
	"runtime"
	"sync"
)

// packed is a deflate stream in segments, with what a ZIP says about it.
type packed struct {
	segments           [][]byte
	bytes, packedBytes uint64
	sum                uint32
}

// deflate makes and packs the texts side by side. Each text is compressed on its own
// and ends on a byte boundary (a flush, in deflate's words), so the segments one after
// another are one valid stream; the last one ends it. Memory: the packed bytes, and a
// few texts for each core.
func deflate(ctx context.Context, texts []func([]byte) []byte) (*packed, error) {
	type result struct {
		segment []byte
		n       int
		sum     uint32
	}
	results := make([]result, len(texts))
	var mu sync.Mutex
	next := 0
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(texts)) {
		wg.Go(func() {
			var text []byte
			var out bytes.Buffer
			z, err := flate.NewWriter(&out, flate.BestSpeed)
			if err != nil {
				panic(err) // BestSpeed is a level
			}
			for ctx.Err() == nil {
				mu.Lock()
				k := next
				next++
				mu.Unlock()
				if k >= len(texts) {
					return
				}
				text = texts[k](text[:0])
				out.Reset()
				z.Reset(&out)
				z.Write(text) // a bytes.Buffer does not fail
				if k == len(texts)-1 {
					z.Close()
				} else {
					z.Flush()
				}
				results[k] = result{bytes.Clone(out.Bytes()), len(text), crc32.ChecksumIEEE(text)}
			}
		})
	}
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	p := &packed{}
	for _, r := range results {
		p.segments = append(p.segments, r.segment)
		p.packedBytes += uint64(len(r.segment))
		p.bytes += uint64(r.n)
		p.sum = joinCRC(p.sum, r.sum, r.n)
	}
	return p, nil
}

// joinCRC is the CRC-32 of two texts one after the other, from the sums of each and
// the length of the second: a CRC is a remainder of polynomials over two values, so
// the first sum is multiplied by x^(8 n) and the second added (as zlib's crc32_combine).
func joinCRC(first, second uint32, n int) uint32 {
	power, base := uint32(1<<31), uint32(1<<30) // x^0 and x^1, lowest power in the top bit
	for bits := uint64(n) * 8; bits > 0; bits >>= 1 {
		if bits&1 == 1 {
			power = timesMod(power, base)
		}
		base = timesMod(base, base)
	}
	return timesMod(first, power) ^ second
}

// timesMod multiplies two polynomials modulo the CRC's.
func timesMod(a, b uint32) uint32 {
	p := uint32(0)
	for bit := uint32(1 << 31); bit != 0; bit >>= 1 {
		if a&bit != 0 {
			p ^= b
		}
		if b&1 == 1 {
			b = b>>1 ^ crc32.IEEE
		} else {
			b >>= 1
		}
	}
	return p
}
