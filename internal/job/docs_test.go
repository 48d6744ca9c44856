package job

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var fence = regexp.MustCompile("(?s)```toml\n(.*?)```")

// Every TOML example in the docs is read, with what it leaves out put around it: a
// title and a day, a chocolate and a filling, a piece where it begins with art.
func TestDocsExamples(t *testing.T) {
	read := 0
	err := filepath.WalkDir("../../docs", func(path string, d fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(path) != ".md" {
			return err
		}
		page, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		for _, m := range fence.FindAllSubmatch(page, -1) {
			read++
			if _, err := Read(path, []byte(around(string(m[1])))); err != nil {
				t.Errorf("example %d: %v", read, err)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if read < 4 {
		t.Errorf("only %d examples found in docs", read)
	}
}

func around(example string) string {
	head := "title = \"x\"\nneeded = 2027-03-14\n[chocolate.dark]\n[filling.caramel]\n"
	piece := "[[piece]]\nname = \"p\"\nchocolate = \"dark\"\n"
	if !strings.Contains(example, "[names]") {
		head += "[names]\nlist = [\"Orla\"]\n"
	}
	if strings.HasPrefix(strings.TrimSpace(example), "[[piece.art]]") {
		return head + piece + "names = true\n" + example
	}
	if !strings.Contains(example, "[[piece]]") {
		return head + piece + example
	}
	return head + example
}
