package record

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"time"
	"unicode/utf8"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
)

// Bounds of what is written at once and of one text.
const (
	MaxAtOnce = 20_000
	maxText   = 64 << 10
	maxLong   = 4 << 20
)

// backwards is how far a clock may be behind the last entry: clocks that are set by the
// network step back by less.
const backwards = 2 * time.Minute

// Write writes entries, all or none, and gives each its head. When it returns without
// error they are on the disk. An entry whose ID and content are there already is left
// alone, so that a request may be repeated.
func (r *Record) Write(ctx context.Context, entries ...Entry) error {
	if len(entries) > MaxAtOnce {
		return &finding.Error{Found: fmt.Sprintf("%d entries at once", len(entries)), Allowed: fmt.Sprintf("at most %d", MaxAtOnce), Do: "write them in several parts"}
	}
	for _, e := range entries {
		if err := check(e); err != nil {
			return err
		}
	}
	return r.within(ctx, func(tx *sql.Tx) error { return r.writeAll(ctx, tx, entries) })
}

// within does something in one transaction.
func (r *Record) within(ctx context.Context, do func(*sql.Tx) error) error {
	tx, err := r.db.BeginTx(ctx, nil)
	if err != nil {
		return r.explain(err)
	}
	defer tx.Rollback()
	if err := do(tx); err != nil {
		return r.explain(err)
	}
	return r.explain(tx.Commit())
}

func (r *Record) writeAll(ctx context.Context, tx *sql.Tx, entries []Entry) error {
	now := r.now().UTC().Truncate(time.Millisecond)
	if err := r.checkClock(ctx, tx, now, entries); err != nil {
		return err
	}
	for _, e := range entries {
		h := e.head()
		if h.ID == "" {
			h.ID = newID()
		}
		h.WrittenAt, h.Version = now, r.version
		if err := insert(ctx, tx, e); err != nil {
			return err
		}
	}
	return nil
}

// checkClock refuses to write when the clock is behind the last entry, since every
// question about what was first would get a wrong answer then.
func (r *Record) checkClock(ctx context.Context, tx *sql.Tx, now time.Time, entries []Entry) error {
	if len(entries) == 1 {
		if _, ok := entries[0].(*Clock); ok {
			return nil
		}
	}
	last := ""
	err := tx.QueryRowContext(ctx, `SELECT coalesce(max(written_at), '') FROM entry
		WHERE seq >= coalesce((SELECT max(seq) FROM entry WHERE kind = 'clock'), 0)`).Scan(&last)
	if err != nil {
		return err
	}
	t, err := time.Parse(time.RFC3339Nano, last)
	if last == "" || err != nil || !now.Add(backwards).Before(t) {
		return nil
	}
	return &finding.Error{File: Path(r.job), Key: "clock", Found: fmt.Sprintf("this machine's clock says %s, and the last entry was written at %s", now.Format(time.DateTime), t.Format(time.DateTime)),
		Do: "set the clock right and try again; if it is right now and was wrong then, say so: mouldwright record add clock. Nothing was written"}
}

// LastWritten is the newest instant at which an entry was written; for a Clock.
func (r *Record) LastWritten(ctx context.Context) (time.Time, error) {
	last := ""
	err := r.db.QueryRowContext(ctx, "SELECT coalesce(max(written_at), '') FROM entry").Scan(&last)
	if err != nil || last == "" {
		return time.Time{}, r.explain(err)
	}
	return time.Parse(time.RFC3339Nano, last)
}

// insert writes one entry; one that is there already is left alone.
func insert(ctx context.Context, tx *sql.Tx, e Entry) error {
	k, err := kindOf(e)
	if err != nil {
		return err
	}
	h, sum := e.head(), contentSum(k, e)
	was := ""
	switch err := tx.QueryRowContext(ctx, "SELECT sha256 FROM entry WHERE id = ?", h.ID).Scan(&was); {
	case err == nil && was == sum:
		return nil
	case err == nil:
		return &finding.Error{Key: k.table + " " + h.ID, Found: "another entry of the same name is there already", Do: "leave its id out; nothing was written"}
	case err != sql.ErrNoRows:
		return err
	}
	res, err := tx.ExecContext(ctx, "INSERT INTO entry (id, kind, written_at, version, sha256) VALUES (?, ?, ?, ?, ?)", h.ID, k.table, kept(h.WrittenAt), h.Version, sum)
	if err != nil {
		return err
	}
	seq, err := res.LastInsertId()
	if err != nil {
		return err
	}
	h.Seq = int(seq)
	names, marks, values := []string{"id"}, []string{"?"}, []any{h.ID}
	v := reflect.ValueOf(e).Elem()
	for _, c := range k.columns {
		names, marks = append(names, `"`+c.name+`"`), append(marks, "?")
		values = append(values, c.value(v))
	}
	_, err = tx.ExecContext(ctx, fmt.Sprintf(`INSERT INTO "%s" (%s) VALUES (%s)`, k.table, strings.Join(names, ", "), strings.Join(marks, ", ")), values...)
	return err
}

// value is what stands in a column.
func (c column) value(entry reflect.Value) any {
	v := entry.FieldByIndex(c.field)
	switch {
	case c.typ == timeType:
		return kept(v.Interface().(time.Time))
	case c.typ == dateType:
		return dateText(v.Interface().(unit.Date))
	case c.ref && v.IsZero():
		return nil
	case c.typ.Kind() == reflect.Bool:
		if v.Bool() {
			return 1
		}
		return 0
	}
	return v.Interface()
}

// content is an entry as JSON without its head, its instants as they are kept: what its
// digest is of, and what an export carries.
func content(e Entry) []byte {
	h := e.head()
	was := *h
	*h = Head{}
	defer func() { *h = was }()
	v := reflect.ValueOf(e).Elem()
	for i := range v.NumField() {
		switch x := v.Field(i).Interface().(type) {
		case time.Time:
			v.Field(i).Set(reflect.ValueOf(x.UTC().Truncate(time.Millisecond)))
		case float64:
			v.Field(i).SetFloat(x + 0) // SQLite keeps no -0
		}
	}
	b, err := json.Marshal(e)
	if err != nil {
		panic("record: an entry that JSON cannot hold: " + err.Error()) // check refuses NaN
	}
	return b
}

func contentSum(k kind, e Entry) string {
	h := sha256.New()
	fmt.Fprintf(h, "%s %s\n", k.table, e.head().ID)
	h.Write(content(e))
	return fmt.Sprintf("%x", h.Sum(nil))
}

// check holds an entry to the rules that stand beside its fields.
func check(e Entry) error {
	k, err := kindOf(e)
	if err != nil {
		return err
	}
	if id := e.head().ID; id != "" && (len(id) < 8 || len(id) > 64 || strings.ContainsFunc(id, func(c rune) bool { return (c < 'a' || c > 'z') && (c < '0' || c > '9') && c != '-' })) {
		return &finding.Error{Key: k.table + ".id", Found: fmt.Sprintf("%.80q", id), Allowed: "8 to 64 small letters, figures and hyphens", Do: "leave the id out: one is made"}
	}
	v := reflect.ValueOf(e).Elem()
	for _, c := range k.columns {
		if err := c.check(k.table, v.FieldByIndex(c.field)); err != nil {
			return err
		}
	}
	return nil
}

func (c column) check(table string, v reflect.Value) error {
	bad := func(found, allowed string) error {
		return &finding.Error{Key: table + "." + c.name, Found: found, Allowed: allowed, Do: "nothing was written"}
	}
	if c.tag.Get("need") != "" && v.IsZero() {
		return bad("is missing", c.tag.Get("doc"))
	}
	switch c.typ.Kind() {
	case reflect.String:
		s, most := v.String(), maxText
		if c.tag.Get("long") != "" {
			most = maxLong
		}
		switch enum := c.tag.Get("enum"); {
		case enum != "" && !contains(strings.Split(enum, ","), s):
			return bad(fmt.Sprintf("%.80q", s), strings.ReplaceAll(enum, ",", ", "))
		case len(s) > most:
			return bad(fmt.Sprintf("%d bytes", len(s)), fmt.Sprintf("at most %d", most))
		case !utf8.ValidString(s) || strings.ContainsRune(s, 0):
			return bad("text that is not UTF-8", "UTF-8")
		}
	case reflect.Int, reflect.Float64:
		x := 0.0
		if c.typ.Kind() == reflect.Int {
			x = float64(v.Int())
		} else {
			x = v.Float()
		}
		least, most := c.bound("min", -1e15), c.bound("max", 1e15)
		if !(x >= least && x <= most) { // also NaN
			return bad(fmt.Sprintf("%g", x), fmt.Sprintf("%g to %g", least, most))
		}
	}
	if c.typ == timeType {
		if t := v.Interface().(time.Time); !t.IsZero() && (t.Year() < 1990 || t.Year() > 2200) {
			return bad(t.Format(time.RFC3339), "an instant from 1990 to 2200")
		}
	}
	return nil
}

func (c column) bound(name string, none float64) float64 {
	x := none
	if s := c.tag.Get(name); s != "" {
		if _, err := fmt.Sscan(s, &x); err != nil {
			panic("record: tag " + name + " of " + c.name + ": " + err.Error())
		}
	}
	return x
}

func contains(list []string, s string) bool {
	for _, l := range list {
		if l == s {
			return true
		}
	}
	return false
}
