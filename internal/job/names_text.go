package job

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"

	"mouldwright/internal/base/finding"
)

// asUTF8 is the text of a list as UTF-8: a byte order mark is taken off, UTF-16, which
// some spreadsheets write, is turned into it. Text of one byte for each letter is
// refused, since nothing says of which language it is; the refusal shows how the line
// would read as the most common one.
func asUTF8(file string, data []byte) ([]byte, error) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if order := utf16Order(data); order != nil {
		if len(data)%2 != 0 {
			return nil, &finding.Error{File: file, Found: "UTF-16 that is cut off within a letter", Do: "save the list again as \"CSV UTF-8\""}
		}
		units := make([]uint16, len(data)/2)
		for i := range units {
			units[i] = order.Uint16(data[2*i:])
		}
		return bytes.TrimPrefix([]byte(string(utf16.Decode(units))), []byte("\ufeff")), nil
	}
	if utf8.Valid(data) {
		return data, nil
	}
	line, from, at := 1, 0, 0
	for at < len(data) {
		r, n := utf8.DecodeRune(data[at:])
		if r == utf8.RuneError && n == 1 {
			break
		}
		if r == '\n' {
			line, from = line+1, at+1
		}
		at += n
	}
	to := len(data)
	if n := bytes.IndexAny(data[at:], "\r\n"); n >= 0 {
		to = at + n
	}
	const most = 60
	e := &finding.Error{File: file, Line: line, Found: "a character that is not UTF-8", Allowed: "UTF-8 or UTF-16", Do: "save the list again as \"CSV UTF-8\""}
	if s, err := charmap.Windows1252.NewDecoder().Bytes(data[from:min(to, from+most)]); err == nil {
		e.Found += fmt.Sprintf("; as Windows-1252 the line would read %q", s)
	}
	return nil, e
}

// utf16Order is the byte order of UTF-16, by its mark or by the zeros of its first
// letters; nil for other text.
func utf16Order(data []byte) binary.ByteOrder {
	switch {
	case len(data) < 4:
		return nil
	case data[0] == 0xff && data[1] == 0xfe:
		return binary.LittleEndian
	case data[0] == 0xfe && data[1] == 0xff:
		return binary.BigEndian
	case data[0] != 0 && data[1] == 0 && data[2] != 0 && data[3] == 0:
		return binary.LittleEndian
	case data[0] == 0 && data[1] != 0 && data[2] == 0 && data[3] != 0:
		return binary.BigEndian
	}
	return nil
}

// divider is what parts the columns: what a first line "sep=;" says, as some
// spreadsheets write it, else what the header line has most of.
func divider(data []byte) (rest []byte, by rune) {
	header, after, _ := bytes.Cut(data, []byte("\n"))
	if d := bytes.TrimRight(header, "\r"); len(d) == 5 && bytes.EqualFold(d[:4], []byte("sep=")) && bytes.ContainsAny(d[4:], ",;\t") {
		return after, rune(d[4])
	}
	by = ','
	for _, c := range ";\t" {
		if bytes.Count(header, []byte(string(c))) > bytes.Count(header, []byte(string(by))) {
			by = c
		}
	}
	return data, by
}
