package flow

import (
	"path"
	"strings"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow/calendar"
	"mouldwright/internal/flow/pour"
	"mouldwright/internal/flow/shopping"
)

// Input is everything a build starts from: what a person decided, and the bytes of
// every file their job names. Nothing in flow opens a file.
type Input struct {
	Choices  Choices
	Assumed  []Assumed
	Measured []Measured        // what took the place of assumed values, and what did not
	Found    []finding.Finding // what the coupons' readings lack
	Rows     []Row
	Files    map[string][]byte // by the name that the job file uses
	Past     Past
}

// Past is what happened on the bench before, as the record has it. It decides whether
// rubber may be poured, and is no part of the revision: no printed part depends on it.
type Past struct {
	CureTests    []pour.CureTest
	Learned      Learned
	RetiredAfter []int     // casts after which earlier moulds were put away
	Now          time.Time // by the person's clock; zero: nothing is judged by it
	Happened     []calendar.Happened
	Stock        []shopping.Stock
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
