package sheet

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// keep writes a PDF into the folder MOULDWRIGHT_PICTURES, when it is set, to be looked at.
func keep(t *testing.T, name string, b []byte) {
	if dir := os.Getenv("MOULDWRIGHT_PICTURES"); dir != "" {
		if err := os.WriteFile(filepath.Join(dir, name), b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func TestSheetsStayOnTheirPages(t *testing.T) {
	j := made(t, 24, 0.08)
	s := j.sketched(t)
	for paper, size := range Papers {
		b, err := newBook(j.result, s, size)
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if err := b.write(t.Context(), &out); err != nil {
			t.Fatal(err)
		}
		for _, x := range b.spilled {
			t.Error(paper, x)
		}
		keep(t, paper+".pdf", out.Bytes())
	}
}
