package record

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
)

// The tables of an export: a CSV (RFC 4180) for each kind, one row an entry. They carry
// everything, its order and digests with it, so that they may be taken in again where
// record.jsonl is not at hand.

// tableHead is the columns that every table begins with.
var tableHead = []string{"id", "seq", "written_at", "version", "struck", "entry_sha256"}

// table writes the entries of one kind.
func (e *Entries) table(k kind, w io.Writer) error {
	out := csv.NewWriter(w)
	head := slices.Clone(tableHead)
	for _, c := range k.columns {
		head = append(head, c.name)
	}
	out.Write(head)
	list := reflect.ValueOf(e).Elem().Field(k.at)
	for i := range list.Len() {
		v := list.Index(i)
		x := v.Addr().Interface().(Entry)
		h := x.head()
		row := []string{h.ID, fmt.Sprint(h.Seq), kept(h.WrittenAt), h.Version, h.Struck, contentSum(k, x)}
		for _, c := range k.columns {
			row = append(row, c.cell(v))
		}
		for i := range row {
			row[i] = shielded(row[i])
		}
		out.Write(row)
	}
	out.Flush()
	return out.Error()
}

// cell is a value as a table has it.
func (c column) cell(entry reflect.Value) string {
	v := entry.FieldByIndex(c.field)
	if c.typ.Kind() == reflect.Float64 {
		return strconv.FormatFloat(v.Float(), 'g', -1, 64)
	}
	x := c.value(entry)
	if x == nil {
		return ""
	}
	return fmt.Sprint(x)
}

// shielded and bare keep a text whole in a table: readers of CSV take \r\n within a
// field for \n, and so a carriage return is written as \r, a backslash as \\. What a
// spreadsheet would take for a formula begins with a backslash and a space.
func shielded(s string) string {
	s = strings.NewReplacer(`\`, `\\`, "\r", `\r`).Replace(s)
	if _, err := strconv.ParseFloat(s, 64); err != nil && s != "" && strings.ContainsRune("=+-@\t", rune(s[0])) {
		return `\ ` + s
	}
	return s
}

func bare(s string) (string, error) {
	s = strings.TrimPrefix(s, `\ `)
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] != '\\' {
			b.WriteByte(s[i])
			continue
		}
		if i++; i == len(s) {
			return "", errors.New(`a \ at the end`)
		}
		switch s[i] {
		case 'r':
			b.WriteByte('\r')
		case '\\':
			b.WriteByte('\\')
		default:
			return "", fmt.Errorf(`\%c, which means nothing`, s[i])
		}
	}
	return b.String(), nil
}

// readTables reads the tables of a folder, in the order in which their entries were
// written.
func readTables(dir string) ([]Entry, error) {
	var all []Entry
	seqs := map[string]int{}
	some := false
	for _, k := range kinds {
		path := filepath.Join(dir, k.table+".csv")
		f, err := os.Open(path)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		} else if err != nil {
			return nil, &finding.Error{File: path, Found: "cannot be read", Err: err, Do: "see whether you may read it"}
		}
		some = true
		list, err := readTable(path, k, f, seqs)
		f.Close()
		if err != nil {
			return nil, err
		}
		if all = append(all, list...); len(all) > maxLines {
			return nil, &finding.Error{File: dir, Found: fmt.Sprintf("more than %d entries", maxLines), Do: "nothing was written"}
		}
	}
	if !some {
		return nil, &finding.Error{File: dir, Found: "no " + linesName + " and no table of a record", Allowed: "a folder that record export made", Do: "name such a folder"}
	}
	slices.SortStableFunc(all, func(a, b Entry) int { return seqs[a.head().ID] - seqs[b.head().ID] })
	return all, nil
}

// readTable reads one table and checks every entry of it. seqs is told the number of
// each, by its id.
func readTable(name string, k kind, r io.Reader, seqs map[string]int) (out []Entry, err error) {
	in := csv.NewReader(bufio.NewReader(io.LimitReader(r, maxTable)))
	bad := func(found string, err error) error {
		line, _ := in.FieldPos(0)
		return &finding.Error{File: name, Line: line, Found: found, Err: err, Do: "nothing was written"}
	}
	head, err := in.Read()
	if err != nil {
		return nil, &finding.Error{File: name, Found: "no table of a record", Err: err, Do: "nothing was written"}
	}
	head[0] = strings.TrimPrefix(head[0], "\ufeff") // a spreadsheet's mark of UTF-8
	at := map[string]int{}
	for i, h := range head {
		if _, twice := at[h]; twice {
			return nil, bad(fmt.Sprintf("two columns %.40q", h), nil)
		}
		at[h] = i
	}
	known := slices.Clone(tableHead)
	for _, c := range k.columns {
		known = append(known, c.name)
	}
	for _, h := range head {
		if !slices.Contains(known, h) {
			return nil, bad(fmt.Sprintf("a column that this program does not know: %.40q", h), nil)
		}
	}
	for _, need := range []string{"id", "seq", "written_at", "version", "entry_sha256"} {
		if _, ok := at[need]; !ok {
			return nil, bad("no column "+need, nil)
		}
	}
	for {
		row, err := in.Read()
		if err == io.EOF {
			return out, nil
		} else if err != nil {
			return nil, &finding.Error{File: name, Found: "no table that can be read to its end", Err: err, Do: "nothing was written"}
		}
		if len(out) >= maxLines {
			return nil, bad(fmt.Sprintf("more than %d entries", maxLines), nil)
		}
		for i := range row {
			if row[i], err = bare(row[i]); err != nil {
				return nil, bad(head[i], err)
			}
		}
		e := reflect.New(k.typ).Interface().(Entry)
		h := e.head()
		h.ID, h.Version = row[at["id"]], row[at["version"]]
		seq, err := strconv.Atoi(row[at["seq"]])
		if err != nil || seq < 1 {
			return nil, bad(fmt.Sprintf("seq %.20q", row[at["seq"]]), err)
		}
		if h.WrittenAt, err = time.Parse(time.RFC3339Nano, row[at["written_at"]]); err != nil {
			return nil, bad("written_at", err)
		}
		for _, c := range k.columns {
			i, there := at[c.name]
			if !there || row[i] == "" {
				continue
			}
			if err := c.fromCell(reflect.ValueOf(e).Elem(), row[i]); err != nil {
				return nil, bad(c.name, err)
			}
		}
		if h.ID == "" {
			return nil, bad("a "+k.table+" without id", nil)
		}
		if err := check(e); err != nil {
			return nil, bad("", err)
		}
		if contentSum(k, e) != row[at["entry_sha256"]] {
			return nil, bad("a "+k.table+" whose content is not what its digest says", nil)
		}
		seqs[h.ID] = seq
		out = append(out, e)
	}
}

// maxTable bounds the bytes that are read of one table.
const maxTable = 1 << 30

// fromCell puts a cell's text into a field.
func (c column) fromCell(entry reflect.Value, text string) error {
	v := entry.FieldByIndex(c.field)
	switch {
	case c.typ == timeType:
		t, err := time.Parse(time.RFC3339Nano, text)
		if err != nil {
			return err
		}
		v.Set(reflect.ValueOf(t))
	case c.typ == dateType:
		var d unit.Date
		if err := d.UnmarshalText([]byte(text)); err != nil {
			return err
		}
		v.Set(reflect.ValueOf(d))
	case c.typ.Kind() == reflect.Float64:
		x, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return err
		}
		v.SetFloat(x)
	case c.typ.Kind() == reflect.Int:
		n, err := strconv.ParseInt(text, 10, 64)
		if err != nil {
			return err
		}
		v.SetInt(n)
	case c.typ.Kind() == reflect.Bool:
		v.SetBool(text == "1")
	default:
		v.SetString(text)
	}
	return nil
}
