package flow

import (
	"path"
	"strings"
)

// Input is everything a build starts from: what a person decided, and the bytes of
// every file their job names. Nothing in flow opens a file.
type Input struct {
	Choices Choices
	Assumed []Assumed
	Rows    []Row
	Files   map[string][]byte // by the name that the job file uses
}

// Row is one row of the name list.
type Row struct {
	Label string            // what the piece is told apart by: the column "name", else the first one
	Vars  map[string]string // every column
}

// IsFontFile tells a font beside the job file from the name of a built-in one.
func IsFontFile(name string) bool {
	switch strings.ToLower(path.Ext(name)) {
	case ".ttf", ".otf", ".ttc":
		return true
	}
	return false
}
