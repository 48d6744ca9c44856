package job

import (
	"encoding/binary"
	"errors"
	"strings"
	"testing"
	"unicode/utf16"

	"golang.org/x/text/encoding/charmap"

	"mouldwright/internal/base/finding"
)

const odd = "name;allergies\r\nÁsvörn;milk\r\nЖивомира;\r\n"

// A list reads the same in every encoding that says which it is.
func TestNamesInOddEncodings(t *testing.T) {
	wide := func(order binary.AppendByteOrder, mark bool) []byte {
		s := odd
		if mark {
			s = "\ufeff" + s
		}
		var b []byte
		for _, u := range utf16.Encode([]rune(s)) {
			b = order.AppendUint16(b, u)
		}
		return b
	}
	for what, data := range map[string][]byte{
		"UTF-8": []byte(odd), "UTF-8 with a mark": []byte("\ufeff" + odd), "commas": []byte(strings.ReplaceAll(odd, ";", ",")),
		"tabs": []byte(strings.ReplaceAll(odd, ";", "\t")), "a line that names the divider": []byte("sep=;\r\n" + odd),
		"UTF-16, little end first": wide(binary.LittleEndian, true), "UTF-16, big end first": wide(binary.BigEndian, true),
		"UTF-16 without a mark": wide(binary.LittleEndian, false), "UTF-16, big end first, without a mark": wide(binary.BigEndian, false),
	} {
		rows, err := readNames("guests.csv", data)
		if err != nil || len(rows) != 2 || rows[0].Label != "Ásvörn" || rows[1].Label != "Живомира" || rows[0].Vars["allergies"] != "milk" {
			t.Errorf("%s: %v, %v", what, rows, err)
		}
	}
}

func TestNamesOfOneByteAreRefused(t *testing.T) {
	data, err := charmap.Windows1252.NewEncoder().String("name\nYsoline\nÁsvörn\n")
	if err != nil {
		t.Fatal(err)
	}
	var e *finding.Error
	if _, err := readNames("guests.csv", []byte(data)); !errors.As(err, &e) || e.Line != 3 || !strings.Contains(e.Found, `"Ásvörn"`) {
		t.Errorf("%v", err)
	}
}

func FuzzReadNames(f *testing.F) {
	f.Add([]byte(odd))
	f.Add([]byte("\xff\xfen\x00a\x00"))
	f.Add([]byte("sep=,\nname\n\"x"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if rows, err := readNames("guests.csv", data); err == nil && len(rows) > maxNames {
			t.Errorf("%d rows", len(rows))
		}
	})
}
