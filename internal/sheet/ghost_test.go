package sheet

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/text/unicode/norm"

	"mouldwright/internal/base/peer"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/box"
)

// scripts are invented names and words in the scripts that the built-in fonts have.
var scripts = map[string]string{
	"Latin": "Ysoline Żywomira Œnorah", "Greek": "Θεοκλέα Λυσίνικη", "Cyrillic": "Радосвета Всемилка", "Hebrew": "נועמית אביטובה",
	"Arabic": "زهرلين نورشاد", "Devanagari": "मृणालिनिका हेमचित्रा", "Bengali": "মৃণালিকা", "Tamil": "பூங்குழலியா",
	"Thai": "มาลัยรัตน์", "Armenian": "Արեգնազան", "Georgian": "მზექალინა", "Japanese": "花緒里 はなおり",
}

// What is set is what comes out of the PDF again, by an independent reader
// (poppler's pdftotext), in every script.
func TestTextComesOutAgain(t *testing.T) {
	tool := peer.Tool(t, "pdftotext", "poppler-utils")
	for script, text := range scripts {
		f, err := newFaces()
		if err != nil {
			t.Fatal(err)
		}
		b := &book{r: &flow.Result{}, f: f, size: box.Papers["A4"]}
		b.add("overview", func(p *page) error {
			p.text(30, 60, text, p.f.text(), atLeft)
			p.text(30, 90, text, p.f.labelBold(), atLeft)
			return nil
		})
		var out bytes.Buffer
		if err := b.write(context.Background(), &out); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "one.pdf")
		if err := os.WriteFile(file, out.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		got, err := exec.Command(tool, file, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for _, l := range strings.Split(norm.NFC.String(string(got)), "\n") {
			if strings.Contains(clean(l), norm.NFC.String(text)) {
				n++
			}
		}
		if n != 2 {
			t.Errorf("%s: %q came out %d times of 2; all of it: %q", script, text, n, got)
		}
	}
}

// clean takes the marks of direction out that pdftotext puts around text that runs to
// the left.
func clean(s string) string {
	return strings.NewReplacer("\u202a", "", "\u202b", "", "\u202c", "", "\u200e", "", "\u200f", "").Replace(s)
}
