package bitmap

import "encoding/binary"

// The orientation is tag 0x0112 of the first directory of an EXIF block, which is
// built like a TIFF file (EXIF 2.32 = CIPA DC-008, 4.6.2 and 4.6.5.1). Whatever is
// out of order means "upright": a picture is not refused for its notes.

// The tag is Exif's, after TIFF 6.0 (from memory). The limits are our choice: cameras write
// some dozens.
const (
	orientationTag = 0x0112
	maxSegments    = 1000 // of a JPEG, PNG or WebP before the pixels
	maxEntries     = 1000 // of a directory
)

// orientation reads 1..8 from an EXIF block; 1, upright, when there is none.
func orientation(b []byte) int {
	if len(b) < 8 {
		return 1
	}
	var order binary.ByteOrder = binary.BigEndian
	switch string(b[:2]) {
	case "II":
		order = binary.LittleEndian
	case "MM":
	default:
		return 1
	}
	if order.Uint16(b[2:]) != 42 {
		return 1
	}
	at := uint64(order.Uint32(b[4:]))
	if at+2 > uint64(len(b)) {
		return 1
	}
	n := min(int(order.Uint16(b[at:])), maxEntries)
	for i := range n {
		e := at + 2 + 12*uint64(i)
		if e+12 > uint64(len(b)) {
			return 1
		}
		const short = 3
		if order.Uint16(b[e:]) == orientationTag && order.Uint16(b[e+2:]) == short && order.Uint32(b[e+4:]) == 1 {
			if v := int(order.Uint16(b[e+8:])); v >= 1 && v <= 8 {
				return v
			}
			return 1
		}
	}
	return 1
}

// jpegEXIF finds the APP1 segment with EXIF (ITU-T T.81, B.1.1.4; CIPA DC-008, 4.7.2).
func jpegEXIF(b []byte) []byte {
	at := 2
	for range maxSegments {
		for at < len(b) && b[at] == 0xff && at+1 < len(b) && b[at+1] == 0xff {
			at++ // fill bytes
		}
		if at+4 > len(b) || b[at] != 0xff {
			return nil
		}
		mark := b[at+1]
		n := int(binary.BigEndian.Uint16(b[at+2:]))
		if mark == 0xda || mark == 0xd9 || n < 2 || at+2+n > len(b) {
			return nil
		}
		if body := b[at+4 : at+2+n]; mark == 0xe1 && len(body) > 6 && string(body[:6]) == "Exif\x00\x00" {
			return body[6:]
		}
		at += 2 + n
	}
	return nil
}

// pngEXIF finds the eXIf chunk (PNG, third edition, 11.3.4.5).
func pngEXIF(b []byte) []byte {
	at := 8
	for range maxSegments {
		if at+12 > len(b) {
			return nil
		}
		n := uint64(binary.BigEndian.Uint32(b[at:]))
		if uint64(at)+12+n > uint64(len(b)) {
			return nil
		}
		if string(b[at+4:at+8]) == "eXIf" {
			return b[at+8 : uint64(at)+8+n]
		}
		at += 12 + int(n)
	}
	return nil
}

// webpEXIF finds the EXIF chunk of the RIFF container (RFC 9649, 2.7.1.5). Some
// writers put JPEG's six bytes before it.
func webpEXIF(b []byte) []byte {
	at := 12
	for range maxSegments {
		if at+8 > len(b) {
			return nil
		}
		n := uint64(binary.LittleEndian.Uint32(b[at+4:]))
		if uint64(at)+8+n > uint64(len(b)) {
			return nil
		}
		if string(b[at:at+4]) == "EXIF" {
			body := b[at+8 : uint64(at)+8+n]
			if len(body) > 6 && string(body[:6]) == "Exif\x00\x00" {
				body = body[6:]
			}
			return body
		}
		at += 8 + int(n+n&1)
	}
	return nil
}

// turn brings stored rows and columns upright (CIPA DC-008, 4.6.5.1 C).
func (m *Image) turn(orientation int) {
	if orientation <= 1 || orientation > 8 {
		return
	}
	w, h := m.W, m.H
	out := Image{W: w, H: h, V: make([]float32, len(m.V)), Bits: m.Bits}
	if orientation >= 5 {
		out.W, out.H = h, w
	}
	for y := range out.H {
		row := out.V[y*out.W : (y+1)*out.W]
		for x := range row {
			sx, sy := x, y
			if orientation >= 5 {
				sx, sy = y, x
			}
			switch orientation {
			case 2, 8:
				sx = w - 1 - sx
			case 4, 6:
				sy = h - 1 - sy
			case 3, 7:
				sx, sy = w-1-sx, h-1-sy
			}
			row[x] = m.V[sy*w+sx]
		}
	}
	*m = out
}
