// Package finding holds what the program has to say about a person's work: a
// Finding is a remark about the work, an Error ends a computation.
//
// Both are data and are worded late, so that one finding reads the same on the
// command line, on a page and on paper. Both name the place, what was found, and
// what to do.
package finding

import (
	"fmt"
	"strconv"
	"strings"
)

// Severity says what a finding asks for.
type Severity string

const (
	Stop Severity = "stop" // must be fixed before the work goes on; exit code 1
	Care Severity = "care" // may spoil the work: look at it and decide
	Note Severity = "note" // good to know
)

// Finding is one remark about the work.
type Finding struct {
	Severity Severity `json:"severity"`
	Where    string   `json:"where"` // key in the job file ("piece[2].art[1].depth_mm") or part ("tile 2 of 4")
	What     string   `json:"what"`  // measured and allowed value, with units
	Do       string   `json:"do"`    // the remedy
	At       Place    `json:"at,omitzero" doc:"where on the piece; missing for what has no place"`
	Remedy   Remedy   `json:"remedy,omitzero" doc:"the change that mends it; missing where none is mechanical"`
}

// Place is a point on a piece, from its middle.
type Place struct {
	Piece string  `json:"piece" doc:"name of the piece, with its row for a named one"`
	XMM   float64 `json:"x_mm" doc:"to the right of its middle"`
	YMM   float64 `json:"y_mm" doc:"away from you"`
}

// Remedy is one change of the job file that mends a finding.
type Remedy struct {
	Key   string `json:"key" doc:"key in the job file, such as piece[2].art[1].depth_mm"`
	Value string `json:"value" doc:"what to write there, as the job file has it: 0.6; empty: take the key out"`
}

// Set is the remedy that gives a key a number or a text.
func Set(key string, value any) Remedy {
	switch v := value.(type) {
	case float64:
		return Remedy{key, strconv.FormatFloat(v, 'f', -1, 64)}
	case string:
		return Remedy{key, strconv.Quote(v)}
	}
	return Remedy{key, fmt.Sprint(value)}
}

// Mended is the finding with its remedy.
func (f Finding) Mended(r Remedy) Finding {
	f.Remedy = r
	return f
}

// String words the finding on up to three lines.
func (f Finding) String() string {
	s := f.Where + ": " + f.What
	if f.Do != "" {
		s += "\n  try: " + f.Do
	}
	return s
}

// Worst is the highest severity in the list, or "" for an empty one.
func Worst(list []Finding) Severity {
	worst := Severity("")
	for _, f := range list {
		switch {
		case f.Severity == Stop:
			return Stop
		case f.Severity == Care, worst == "":
			worst = f.Severity
		}
	}
	return worst
}

// Error is a clear refusal: where, what was found, what is allowed, what to do.
// Fields that do not apply stay empty.
type Error struct {
	File    string // name of the file as the person wrote it
	Line    int    // from 1; 0 when there is none
	Column  int    // from 1, in characters
	Key     string // "piece[2].draft_deg", or the element of a foreign file
	Found   string
	Allowed string
	Do      string
	Err     error // the cause, if any
}

// Error words the refusal: a first line with place and finding, then what is
// allowed and what to do on lines of their own.
func (e *Error) Error() string {
	var b strings.Builder
	if e.File != "" {
		b.WriteString(e.File)
		if e.Line > 0 {
			fmt.Fprintf(&b, ":%d", e.Line)
			if e.Column > 0 {
				fmt.Fprintf(&b, ":%d", e.Column)
			}
		}
		b.WriteString(": ")
	}
	if e.Key != "" {
		b.WriteString(e.Key + ": ")
	}
	b.WriteString(e.Found)
	if e.Err != nil {
		if e.Found != "" {
			b.WriteString(": ")
		}
		b.WriteString(e.Err.Error())
	}
	if e.Allowed != "" {
		b.WriteString("\n  allowed: " + e.Allowed)
	}
	if e.Do != "" {
		b.WriteString("\n  try: " + e.Do)
	}
	return b.String()
}

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Err }
