package shopping

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"mouldwright/internal/base/finding"
)

// columns of shopping.csv. Amounts are in unit.
var columns = []string{"group", "what", "need", "unit", "at_home", "buy", "packs", "pack", "price", "cost", "for", "shop"}

// WriteCSV writes the list as RFC 4180 has it, with a header line. What is not known is
// an empty cell. Text that a table program would take for a formula gets an apostrophe
// in front.
func (l *List) WriteCSV(w io.Writer) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	if err := out.Write(columns); err != nil {
		return err
	}
	for _, n := range l.Lines {
		pack, price, cost, packs := "", "", "", ""
		if n.PackAmount > 0 {
			pack, packs = figure(n.PackAmount), strconv.Itoa(n.Packs)
		}
		if n.Price != nil {
			price, cost = money(*n.Price), money(*n.Cost)
		}
		cells := []string{n.Group, guard(n.What), figure(n.Amount), n.Unit, figure(n.Home), figure(n.Buy), packs, pack, price, cost, guard(strings.Join(n.For, "; ")), guard(n.Shop)}
		if err := out.Write(cells); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// figure writes an amount to a hundredth.
func figure(v float64) string {
	return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64)
}

func money(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) }

// guard keeps a cell from being taken for a formula; unguard takes it off again. A cell
// that begins with an apostrophe gets one more, so that nothing is lost.
func guard(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r'", rune(s[0])) {
		return "'" + s
	}
	return s
}

func unguard(s string) string { return strings.TrimPrefix(s, "'") }

// Row is one line as ReadCSV finds it. Packs, Pack, Price and Cost are nil where the
// cell is empty.
type Row struct {
	Group, What, Unit, For, Shop string
	Need, Home, Buy              float64
	Packs, Pack, Price, Cost     *float64
}

// MaxBytes bounds a list that is read (our choice: MaxLines of some 800 bytes).
const MaxBytes = 4 << 20

// ReadCSV reads what WriteCSV wrote, perhaps with amounts changed by hand.
func ReadCSV(name string, r io.Reader) ([]Row, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, err
	}
	refuse := func(line int, found, allowed string) error {
		return &finding.Error{File: name, Line: line, Found: found, Allowed: allowed, Do: "bring it into the form of the shopping.csv that a build writes"}
	}
	if len(data) > MaxBytes {
		return nil, refuse(0, fmt.Sprintf("more than %d bytes", MaxBytes), "a shopping list")
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	if !utf8.ValidString(text) {
		return nil, refuse(0, "a character that is not UTF-8", "UTF-8")
	}
	in := csv.NewReader(strings.NewReader(text))
	head, err := in.Read()
	if err != nil || !slices.Equal(head, columns) {
		return nil, refuse(1, "another header line", strings.Join(columns, ","))
	}
	var out []Row
	for {
		cells, err := in.Read()
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		if err != nil {
			line := 0
			var pe *csv.ParseError
			if errors.As(err, &pe) {
				line = pe.Line
			}
			return nil, refuse(line, err.Error(), fmt.Sprintf("%d cells a line", len(columns)))
		}
		line, _ := in.FieldPos(0) // there are cells only without an error
		if len(out) >= MaxLines {
			return nil, refuse(line, "more lines", fmt.Sprintf("at most %d", MaxLines))
		}
		row := Row{Group: cells[0], What: unguard(cells[1]), Unit: cells[3], For: unguard(cells[10]), Shop: unguard(cells[11])}
		for k, into := range map[int]**float64{6: &row.Packs, 7: &row.Pack, 8: &row.Price, 9: &row.Cost} {
			if cells[k] != "" {
				*into = new(float64)
			}
		}
		for _, c := range []struct {
			k    int
			into *float64
		}{{2, &row.Need}, {4, &row.Home}, {5, &row.Buy}, {6, row.Packs}, {7, row.Pack}, {8, row.Price}, {9, row.Cost}} {
			if c.into == nil {
				continue
			}
			v, err := strconv.ParseFloat(cells[c.k], 64)
			if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
				return nil, refuse(line, fmt.Sprintf("%q under %s", cells[c.k], columns[c.k]), "a number with a point")
			}
			*c.into = v
		}
		out = append(out, row)
	}
}
