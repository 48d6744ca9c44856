package record

import (
	"context"
	"database/sql"
	"fmt"
	"reflect"
	"strings"
	"time"

	"mouldwright/internal/base/unit"
)

// asker is a database or a transaction of it.
type asker interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
}

// All is everything that was ever written, struck out or not.
func (r *Record) All(ctx context.Context) (*Entries, error) {
	tx, err := r.db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true}) // one state of all tables
	if err != nil {
		return nil, r.explain(err)
	}
	defer tx.Rollback()
	out := &Entries{}
	v := reflect.ValueOf(out).Elem()
	for _, k := range kinds {
		if err := k.read(ctx, tx, v.Field(k.at)); err != nil {
			return nil, r.explain(fmt.Errorf("%s: %w", k.table, err))
		}
	}
	return out, nil
}

// Standing is everything that was not struck out.
func (r *Record) Standing(ctx context.Context) (*Entries, error) {
	e, err := r.All(ctx)
	if err != nil {
		return nil, err
	}
	return e.Standing(), nil
}

// Standing leaves out what was struck out.
func (e *Entries) Standing() *Entries {
	out := &Entries{}
	from, to := reflect.ValueOf(e).Elem(), reflect.ValueOf(out).Elem()
	for _, k := range kinds {
		l := to.Field(k.at)
		l.Set(reflect.MakeSlice(l.Type(), 0, 0))
		for i := range from.Field(k.at).Len() {
			if x := from.Field(k.at).Index(i); x.Addr().Interface().(Entry).head().Struck == "" {
				l.Set(reflect.Append(l, x))
			}
		}
	}
	return out
}

// List is every standing entry of one kind, in the order of writing.
func List[T any](ctx context.Context, r *Record) ([]T, error) {
	for _, k := range kinds {
		if k.typ != reflect.TypeFor[T]() {
			continue
		}
		var all, out []T
		if err := k.read(ctx, r.db, reflect.ValueOf(&all).Elem()); err != nil {
			return nil, r.explain(err)
		}
		for i := range all {
			if any(&all[i]).(Entry).head().Struck == "" {
				out = append(out, all[i])
			}
		}
		return out, nil
	}
	return nil, fmt.Errorf("record: %s is no kind of entry", reflect.TypeFor[T]())
}

// struck is why an entry was struck out, or empty. A withdrawal may be struck out itself.
const struck = `coalesce((SELECT max(CASE w.why WHEN '' THEN 'a mistake' ELSE w.why END) FROM withdrawal w
	WHERE w.entry = e.id AND w.id NOT IN (SELECT entry FROM withdrawal)), '')`

// read fills a list with the rows of a kind.
func (k kind) read(ctx context.Context, q asker, list reflect.Value) error {
	names := []string{"e.id", "e.seq", "e.written_at", "e.version", struck}
	for _, c := range k.columns {
		name := `t."` + c.name + `"`
		if c.ref {
			name = "coalesce(" + name + ", '')"
		}
		names = append(names, name)
	}
	rows, err := q.QueryContext(ctx, fmt.Sprintf(`SELECT %s FROM "%s" t JOIN entry e ON e.id = t.id ORDER BY e.seq`, strings.Join(names, ", "), k.table))
	if err != nil {
		return err
	}
	defer rows.Close()
	list.Set(reflect.MakeSlice(list.Type(), 0, 0))
	for rows.Next() {
		v := reflect.New(k.typ).Elem()
		if err := k.scan(rows, v); err != nil {
			return err
		}
		list.Set(reflect.Append(list, v))
	}
	return rows.Err()
}

// readInto fills the list of a kind.
func (k kind) readInto(ctx context.Context, q asker, e *Entries) error {
	return k.read(ctx, q, reflect.ValueOf(e).Elem().Field(k.at))
}

func (k kind) scan(rows *sql.Rows, v reflect.Value) error {
	h := v.Addr().Interface().(Entry).head()
	written, texts := "", make([]string, len(k.columns))
	into := []any{&h.ID, &h.Seq, &written, &h.Version, &h.Struck}
	for i, c := range k.columns {
		if c.typ == timeType || c.typ == dateType {
			into = append(into, &texts[i])
		} else {
			into = append(into, v.FieldByIndex(c.field).Addr().Interface())
		}
	}
	err := rows.Scan(into...)
	if err != nil {
		return err
	}
	if h.WrittenAt, err = time.Parse(time.RFC3339Nano, written); err != nil {
		return err
	}
	for i, c := range k.columns {
		if texts[i] == "" {
			continue
		}
		switch c.typ {
		case timeType:
			t, err := time.Parse(time.RFC3339Nano, texts[i])
			if err != nil {
				return err
			}
			v.FieldByIndex(c.field).Set(reflect.ValueOf(t))
		case dateType:
			var d unit.Date
			if err := d.UnmarshalText([]byte(texts[i])); err != nil {
				return err
			}
			v.FieldByIndex(c.field).Set(reflect.ValueOf(d))
		}
	}
	return nil
}
