package font

import (
	"encoding/binary"
	"errors"
	"fmt"
)

// wanted are the tables that are read, by their tag in the OpenType specification.
var wanted = map[string]bool{
	"head": true, "maxp": true, "cmap": true, "hhea": true, "hmtx": true, "OS/2": true,
	"glyf": true, "loca": true, "CFF ": true,
	"GDEF": true, "GSUB": true, "GPOS": true, "kern": true,
}

// directory is the table of contents of a font file (OpenType 1.9, "Organization
// of an OpenType font"), with every table inside the file.
type directory struct {
	version uint32
	tags    []string
	tables  [][]byte
}

func readDirectory(data []byte) (*directory, error) {
	be := binary.BigEndian
	at := 0
	if len(data) < 12 {
		return nil, fmt.Errorf("%d bytes, too short for a font", len(data))
	}
	if string(data[:4]) == "ttcf" {
		if len(data) < 16 || be.Uint32(data[8:]) == 0 {
			return nil, errors.New("an empty font collection")
		}
		first := be.Uint32(data[12:])
		if uint64(first)+12 > uint64(len(data)) {
			return nil, fmt.Errorf("a collection whose first face lies at byte %d of %d", first, len(data))
		}
		at = int(first)
	}
	d := &directory{version: be.Uint32(data[at:])}
	switch d.version {
	case 0x00010000, 0x74727565, 0x4F54544F: // 1.0, "true", "OTTO"
	case 0x774F4646, 0x774F4632: // "wOFF", "wOF2"
		return nil, errors.New("a web font (WOFF)")
	default:
		return nil, fmt.Errorf("a file that begins with % x, which no font does", data[at:at+4])
	}
	n := int(be.Uint16(data[at+4:]))
	if n > maxTables {
		return nil, fmt.Errorf("%d tables, more than %d", n, maxTables)
	}
	if at+12+16*n > len(data) {
		return nil, fmt.Errorf("a font cut off in its table of contents (%d tables, %d bytes)", n, len(data))
	}
	for i := range n {
		e := data[at+12+16*i:]
		tag := string(e[:4])
		off, length := uint64(be.Uint32(e[8:])), uint64(be.Uint32(e[12:]))
		if !wanted[tag] || d.has(tag) {
			continue
		}
		if off+length > uint64(len(data)) {
			return nil, fmt.Errorf("table %q lies at bytes %d to %d of a file of %d", tag, off, off+length, len(data))
		}
		d.tags = append(d.tags, tag)
		d.tables = append(d.tables, data[off:off+length])
	}
	return d, nil
}

func (d *directory) has(tag string) bool { return d.table(tag) != nil }

func (d *directory) table(tag string) []byte {
	for i, t := range d.tags {
		if t == tag {
			return d.tables[i]
		}
	}
	return nil
}

// rebuild writes a font file of the wanted tables alone, so that the shaper's
// reader sees no offset and no table that was not looked at here.
func (d *directory) rebuild() []byte {
	be := binary.BigEndian
	n := len(d.tags)
	out := be.AppendUint32(nil, d.version)
	out = be.AppendUint16(out, uint16(n))
	out = append(out, 0, 0, 0, 0, 0, 0) // search hints, which readers ignore
	off := 12 + 16*n
	for i, tag := range d.tags {
		out = append(out, tag...)
		out = be.AppendUint32(out, 0) // checksum, which readers ignore
		out = be.AppendUint32(out, uint32(off))
		out = be.AppendUint32(out, uint32(len(d.tables[i])))
		off += (len(d.tables[i]) + 3) &^ 3
	}
	for _, t := range d.tables {
		out = append(out, t...)
		for len(out)%4 != 0 {
			out = append(out, 0)
		}
	}
	return out
}
