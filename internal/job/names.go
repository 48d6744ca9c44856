package job

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow"
)

// maxNames bounds the name list (our choice: more than that is a factory's work).
const maxNames = 20000

// maxCell bounds one entry of the name list, in bytes (our choice: no name, and no
// address, is longer).
const maxCell = 400

// rows is the name list from wherever the job keeps it.
func (j *Job) rows(files map[string][]byte) ([]flow.Row, error) {
	n := j.Choices.Names
	var rows []flow.Row
	if n.File != "" {
		fromFile, err := readNames(n.File, files[n.File])
		if err != nil {
			return nil, err
		}
		rows = append(rows, fromFile...)
	}
	for i, name := range n.List {
		row := flow.Row{Label: strings.TrimSpace(name), Vars: map[string]string{"name": strings.TrimSpace(name)}}
		if err := j.checkRow(row, fmt.Sprintf("names.list[%d]", i+1)); err != nil {
			return nil, err
		}
		rows = append(rows, row)
	}
	for i, vars := range n.Rows {
		key := fmt.Sprintf("names.row[%d]", i+1)
		row := flow.Row{Label: vars["name"], Vars: vars}
		if row.Label == "" && len(vars) > 0 {
			row.Label = vars[sortedKeys(vars)[0]]
		}
		if err := j.checkRow(row, key); err != nil {
			return nil, err
		}
		rows = append(rows, row)
	}
	if len(rows) > maxNames {
		return nil, &finding.Error{File: j.Name, Key: "names", Found: fmt.Sprintf("%d names", len(rows)), Allowed: fmt.Sprintf("at most %d", maxNames), Do: "split the list into several jobs"}
	}
	seen := map[string]int{}
	for i, r := range rows {
		if first, twice := seen[r.Label]; twice {
			return nil, &finding.Error{File: j.Name, Key: "names", Found: fmt.Sprintf("%q stands at %d and at %d of the list", r.Label, first+1, i+1), Allowed: "each name once", Do: "take one out, or tell them apart (Orsolya B., Orsolya T.); for more pieces of one name set count"}
		}
		seen[r.Label] = i
	}
	return rows, nil
}

func (j *Job) checkRow(r flow.Row, key string) error {
	line, column := j.Where(key)
	e := &finding.Error{File: j.Name, Line: line, Column: column, Key: key}
	return checkRow(r, e)
}

// checkRow fills in e and returns it when a row cannot be used.
func checkRow(r flow.Row, e *finding.Error) error {
	if r.Label == "" {
		e.Found, e.Do = "an empty name", "write the name or take the row out"
		return e
	}
	for _, k := range sortedKeys(r.Vars) {
		v := r.Vars[k]
		if len(v) > maxCell {
			e.Found, e.Allowed, e.Do = fmt.Sprintf("%q has %d bytes", k, len(v)), fmt.Sprintf("at most %d bytes", maxCell), "shorten it"
			return e
		}
		at := 0
		for _, c := range v {
			at++
			if unicode.IsControl(c) {
				e.Found, e.Allowed, e.Do = fmt.Sprintf("control character U+%04X at character %d of %q", c, at, r.Label), "letters, marks, figures, spaces", "type the name anew"
				return e
			}
		}
	}
	return nil
}

// readNames reads a CSV file with a header line.
func readNames(file string, data []byte) ([]flow.Row, error) {
	data, err := asUTF8(file, data)
	if err != nil {
		return nil, err
	}
	data, comma := divider(data)
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma = comma
	r.TrimLeadingSpace = r.Comma != '\t'
	r.FieldsPerRecord = -1
	keys, err := r.Read()
	if err != nil {
		return nil, &finding.Error{File: file, Found: "no header line", Allowed: "a first line with the columns' names, such as: name,table", Do: "write that line above the names"}
	}
	seen := map[string]bool{}
	for i := range keys {
		keys[i] = strings.TrimSpace(keys[i])
		if keys[i] == "" || seen[keys[i]] {
			return nil, &finding.Error{File: file, Line: 1, Found: fmt.Sprintf("column %d has no name of its own", i+1), Allowed: "a different name for each column", Do: "name the column in the first line, or take it out"}
		}
		seen[keys[i]] = true
	}
	var rows []flow.Row
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			var pe *csv.ParseError
			if errors.As(err, &pe) {
				return nil, &finding.Error{File: file, Line: pe.Line, Column: pe.Column, Found: pe.Err.Error(), Do: "save the list again as \"CSV UTF-8\""}
			}
			return nil, &finding.Error{File: file, Found: "cannot be read", Err: err, Do: "save the list again as \"CSV UTF-8\""}
		}
		line, _ := r.FieldPos(0)
		if len(rows) >= maxNames {
			return nil, &finding.Error{File: file, Line: line, Found: "more names", Allowed: fmt.Sprintf("at most %d", maxNames), Do: "split the list into several jobs"}
		}
		if len(cells) != len(keys) {
			return nil, &finding.Error{File: file, Line: line, Found: fmt.Sprintf("%d columns", len(cells)), Allowed: fmt.Sprintf("%d, as in the header line", len(keys)), Do: "put text that holds a comma into double quotes"}
		}
		row := flow.Row{Vars: map[string]string{}}
		for i, c := range cells {
			row.Vars[keys[i]] = strings.TrimSpace(c)
		}
		row.Label = row.Vars[keys[0]]
		if seen["name"] {
			row.Label = row.Vars["name"]
		}
		if err := checkRow(row, &finding.Error{File: file, Line: line}); err != nil {
			return nil, err
		}
		rows = append(rows, row)
	}
}
