package job

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode"
	"unicode/utf8"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
)

//go:embed starter
var starterFiles embed.FS

// Set is a job to start from, with its art.
type Set struct {
	Name  string
	Art   string // the answer to "what art?" that leads to it
	Title string
	Words string // what is in it
}

// Sets are the starting sets in the order of their offer.
var Sets = []Set{
	{"names", "a name for each", "First gifts", "A plaque for each name, and hearts with an ampersand."},
	{"leaf", "a drawing", "Leaves for a supper", "Ovals with a drawn leaf, and small domed buttons to go with them."},
	{"rosette", "a picture", "Rosettes", "Round ones with a flower modelled from a picture, and plain six-cornered ones."},
	{"letter", "a letter", "A letter", "Medals with a letter, and hearts to go with them."},
}

// Answers is what a person with nothing says before the first job.
type Answers struct {
	Set     string // a set's name; empty: the one that Art leads to
	Art     string
	Title   string // for whom; empty: the set's
	Needed  unit.Date
	Printer string // a class of printers; empty: the set's
	Boxes   int    // 0: the set's
	Names   []string
}

// Bounds of the answers (our choice: a title fits a page, and more boxes are a factory's).
const (
	maxTitle = 80
	maxBoxes = 2000
)

// Start makes a new folder with the first starting set in it. The folder must not
// exist or must be empty.
func Start(dir string) error { return Begin(dir, Answers{Set: Sets[0].Name}) }

// Begin makes a new folder with a first job as the answers want it: job.toml and its
// art. The folder must not exist or must be empty. Every set gives each box the same
// pieces, so that counts grow with the boxes.
func Begin(dir string, a Answers) error {
	set, err := a.set()
	if err != nil {
		return err
	}
	files, err := fs.Sub(starterFiles, "starter/"+set.Name)
	if err != nil {
		return err
	}
	text, err := fs.ReadFile(files, "job.toml")
	if err != nil {
		return err
	}
	if text, err = a.write(text); err != nil {
		return err
	}
	if _, err := Read("job.toml", text); err != nil {
		return err
	}
	if err := newFolder(dir); err != nil {
		return err
	}
	return fs.WalkDir(files, ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := fs.ReadFile(files, name)
		if err != nil {
			return err
		}
		if name == "job.toml" {
			data = text
		}
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			return &finding.Error{File: dir, Found: "cannot be written", Err: err, Do: "see whether you may write there, or name another folder"}
		}
		return nil
	})
}

func (a Answers) set() (Set, error) {
	var names, arts []string
	for _, s := range Sets {
		if a.Set != "" && a.Set == s.Name || a.Set == "" && a.Art == s.Art {
			return s, nil
		}
		names, arts = append(names, s.Name), append(arts, s.Art)
	}
	if a.Set != "" {
		return Set{}, &finding.Error{Key: "set", Found: fmt.Sprintf("no starting set %q", a.Set), Allowed: strings.Join(names, ", "), Do: "take one of these"}
	}
	return Set{}, &finding.Error{Key: "art", Found: fmt.Sprintf("%q", a.Art), Allowed: strings.Join(arts, ", "), Do: "take one of these"}
}

// write puts the answers into a set's text.
func (a Answers) write(text []byte) ([]byte, error) {
	j, err := Read("job.toml", text)
	if err != nil {
		return nil, err
	}
	set := func(key string, value any) {
		if err == nil {
			text, err = SetKey(text, key, value)
		}
	}
	if title := strings.TrimSpace(a.Title); title != "" {
		if n := utf8.RuneCountInString(title); n > maxTitle {
			return nil, &finding.Error{Key: "title", Found: fmt.Sprintf("%d characters", n), Allowed: fmt.Sprintf("at most %d", maxTitle), Do: "shorten it; the job has room for more"}
		}
		set("title", title)
		if first := firstLetter(title); len(j.Choices.Pieces[0].Art) == 1 && j.Choices.Pieces[0].Art[0].Text == "A" && first != "" {
			set("piece[1].art[1].text", first)
		}
	}
	if a.Needed != (unit.Date{}) {
		set("needed", a.Needed)
	}
	if a.Printer != "" {
		if _, err := material.FromClass(material.Printers, a.Printer); err != nil {
			return nil, err
		}
		set("printer.class", a.Printer)
	}
	if a.Boxes < 0 || a.Boxes > maxBoxes {
		return nil, &finding.Error{Key: "boxes", Found: fmt.Sprint(a.Boxes), Allowed: fmt.Sprintf("1 to %d", maxBoxes), Do: "write how many boxes or guests there are"}
	}
	if a.Boxes > 0 {
		set("boxes", a.Boxes)
		for i, p := range j.Choices.Pieces {
			if !p.Names {
				set(fmt.Sprintf("piece[%d].count", i+1), p.Count/j.Choices.Boxes*a.Boxes)
			}
		}
	}
	if len(a.Names) > 0 && len(j.Choices.Names.List) > 0 {
		set("names.list", a.Names)
	}
	return text, err
}

func firstLetter(s string) string {
	for _, r := range s {
		if unicode.IsLetter(r) {
			return string(unicode.ToUpper(r))
		}
	}
	return ""
}

// newFolder makes a folder, or takes an empty one.
func newFolder(dir string) error {
	list, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return &finding.Error{File: dir, Found: "cannot be used", Err: err, Do: "name a new folder"}
	}
	if len(list) > 0 {
		return &finding.Error{File: dir, Found: "is not empty", Allowed: "a new or an empty folder", Do: "name another folder"}
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return &finding.Error{File: dir, Found: "cannot be made", Err: err, Do: "name a folder that you may write to"}
	}
	return nil
}
