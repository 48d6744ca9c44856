package record

import (
	"context"
	"fmt"
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

// Kinds are the kinds of entry that a person may tell on a command line, as written
// there: cure-test.
func Kinds() (out []string) {
	for _, k := range kinds {
		switch k.table {
		case "revision", "file", "heights", "photo", "plate", "laid":
		default:
			out = append(out, strings.ReplaceAll(k.table, "_", "-"))
		}
	}
	return out
}

// Told makes an entry of words as a person gives them: its kind, and key=value for its
// fields. The instant or day is now unless it is given; a reference to another entry is
// its id, its name or lot, or "last". photo=PATH keeps the photo. given holds fields to
// take where the words have none. What else is told with it (parts of a print, lots of
// a batch, contents of a box) follows in the same list, to be written together.
func (r *Record) Told(ctx context.Context, name string, words []string, given map[string]string) ([]Entry, error) {
	k, ok := kindNamed(strings.ReplaceAll(name, "-", "_"))
	if !ok || !slices.Contains(Kinds(), strings.ReplaceAll(k.table, "_", "-")) {
		return nil, &finding.Error{Found: fmt.Sprintf("nothing of the kind %.40q can be told", name), Allowed: strings.Join(Kinds(), ", "), Do: "take one of these"}
	}
	fields := map[string]string{}
	for _, w := range words {
		key, value, ok := strings.Cut(w, "=")
		if !ok {
			return nil, &finding.Error{Found: fmt.Sprintf("%.80q", w), Allowed: "key=value", Do: "for example outcome=clean; with spaces put it in quotes"}
		}
		fields[key] = value
	}
	all, err := r.Standing(ctx)
	if err != nil {
		return nil, err
	}
	e := reflect.New(k.typ)
	entry := e.Interface().(Entry)
	entry.head().ID = newID()
	for _, c := range k.columns {
		text, told := fields[c.name]
		delete(fields, c.name)
		if !told {
			text, told = given[c.name]
		}
		switch {
		case !told && (c.name == "at" || c.name == "from_at"):
			text = kept(r.now())
		case !told && c.name == "day":
			text = r.now().Format(time.DateOnly)
		case !told && len(all.Revisions) > 0 && c.name == "code" && k.table != "revision":
			text = all.Revisions[len(all.Revisions)-1].Code
		case !told && len(all.Revisions) > 0 && k.table == "print" && c.name == "revision":
			text = "last"
			if code := fields["code"]; code != "" { // the newest of that code
				i := len(all.Revisions) - 1
				for ; i >= 0 && all.Revisions[i].Code != code; i-- {
				}
				if i < 0 {
					continue
				}
				text = all.Revisions[i].ID
			}
		case !told && k.table == "clock":
			last, err := r.LastWritten(ctx)
			if err != nil {
				return nil, err
			}
			text = kept(last)
		case !told:
			continue
		}
		if c.name == "photo" {
			data, err := os.ReadFile(text)
			if err != nil {
				return nil, &finding.Error{File: text, Found: "the photo cannot be read", Err: err, Do: "see that the name is right and that you may read it"}
			}
			p, err := r.AddPhoto(ctx, filepath.Base(text), data, "")
			if err != nil {
				return nil, err
			}
			text = p.ID
		} else if c.ref {
			if text, err = all.find(c.tag.Get("ref"), text); err != nil {
				return nil, err
			}
		}
		if err := c.set(e.Elem(), k.table, text); err != nil {
			return nil, err
		}
	}
	with, err := all.toldWith(entry, fields)
	if err != nil {
		return nil, err
	}
	for key := range fields {
		var names []string
		for _, c := range k.columns {
			names = append(names, c.name)
		}
		return nil, &finding.Error{Key: strings.ReplaceAll(k.table, "_", "-"), Found: fmt.Sprintf("no field %.40q", key), Allowed: strings.Join(append(names, withKeys[k.table]...), ", "), Do: "take one of these"}
	}
	return append([]Entry{entry}, with...), nil
}

// planned fills in what the plan of its revision said of a plate, where it was not told.
func (e *Entries) planned(x *Print) {
	for _, p := range e.Plates {
		if p.Revision != x.Revision || p.Number != x.Plate {
			continue
		}
		if x.PlannedMin == 0 {
			x.PlannedMin = p.PlannedMin
		}
		if x.ResinML == 0 {
			x.ResinML = p.ResinML
		}
	}
}

// set puts a text into a field.
func (c column) set(entry reflect.Value, table, text string) error {
	v := entry.FieldByIndex(c.field)
	bad := func(allowed string) error {
		return &finding.Error{Key: table + "." + c.name, Found: fmt.Sprintf("%.80q", text), Allowed: allowed, Do: "write it so"}
	}
	switch {
	case c.typ == timeType:
		for _, form := range []string{time.RFC3339Nano, "2006-01-02 15:04", "2006-01-02T15:04", "2006-01-02"} {
			if t, err := time.ParseInLocation(form, text, time.Local); err == nil {
				v.Set(reflect.ValueOf(t))
				return nil
			}
		}
		return bad("an instant such as 2027-02-01 18:30")
	case c.typ == dateType:
		var d unit.Date
		if err := d.UnmarshalText([]byte(text)); err != nil {
			return bad("a day such as 2027-02-01")
		}
		v.Set(reflect.ValueOf(d))
	case c.typ.Kind() == reflect.Float64:
		x, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return bad("a number")
		}
		v.SetFloat(x)
	case c.typ.Kind() == reflect.Int:
		x, err := strconv.Atoi(text)
		if err != nil {
			return bad("a whole number")
		}
		v.SetInt(int64(x))
	case c.typ.Kind() == reflect.Bool:
		v.SetBool(text == "yes" || text == "true")
	default:
		v.SetString(text)
	}
	return nil
}

// find gives the id of an entry of a table that a person means: by id, by name or lot,
// or the last one.
func (e *Entries) find(table, said string) (string, error) {
	last, names := "", []string{}
	for _, x := range slices.Backward(e.List()) {
		k, _ := kindOf(x)
		if k.table != table && table != "entry" {
			continue
		}
		id, called := x.head().ID, ""
		for _, c := range k.columns {
			if c.name == "name" || c.name == "lot" || c.name == "what" && called == "" || c.name == "code" && table == "revision" {
				called = reflect.ValueOf(x).Elem().FieldByIndex(c.field).String()
			}
		}
		if id == said || called != "" && plain(called) == plain(said) {
			return id, nil
		}
		if last == "" {
			last = id
		}
		if called != "" && len(names) < 8 {
			names = append(names, called)
		}
	}
	if said == "last" && last != "" {
		return last, nil
	}
	allowed := "last, or " + strings.Join(names, ", ")
	if last == "" {
		allowed = ""
	}
	return "", &finding.Error{Key: table, Found: fmt.Sprintf("there is no %s %.80q", table, said), Allowed: allowed, Do: "mouldwright record show lists what there is"}
}

// withKeys is what may be told together with an entry.
var withKeys = map[string][]string{
	"print": {"good", "flawed", "failed"},
	"batch": {"lots", "lost"},
	"box":   {"holds"},
}

// toldWith makes the entries that are told with another, and takes their keys out:
//
//	print: good="tray 1 tile 1; tray 1 tile 2" failed="tray 1 tile 3: came off the plate"
//	batch: lots="dark chocolate=L12:500, cream=C9" lost="cracked=3"
//	box:   holds="2 crest of K7, 1 bee of B3"
func (e *Entries) toldWith(entry Entry, fields map[string]string) (out []Entry, err error) {
	take := func(key, between string) (list []string) {
		for s := range strings.SplitSeq(fields[key], between) {
			if s = strings.TrimSpace(s); s != "" {
				list = append(list, s)
			}
		}
		delete(fields, key)
		return list
	}
	bad := func(found, allowed string) error {
		return &finding.Error{Found: fmt.Sprintf("%.80q", found), Allowed: allowed, Do: "nothing was written"}
	}
	switch x := entry.(type) {
	case *Print:
		e.planned(x)
		for _, outcome := range []string{"good", "flawed", "failed"} {
			for _, s := range take(outcome, ";") {
				name, why, _ := strings.Cut(s, ":")
				name = strings.TrimSpace(name)
				if on := e.partsOn(x.Revision, x.Plate); len(on) > 0 && !slices.Contains(on, name) {
					return nil, bad(name, strings.Join(on, "; "))
				}
				out = append(out, &Part{Print: x.ID, Name: name, Outcome: outcome, Why: strings.TrimSpace(why)})
			}
		}
		if x.Plate == 0 && len(out) == 0 {
			return nil, &finding.Error{Key: "print", Found: "neither a plate nor a part", Allowed: "plate=1, or good, flawed or failed with the names of parts", Do: "nothing was written"}
		}
	case *Batch:
		for _, s := range take("lots", ",") {
			what, lot, ok := strings.Cut(s, "=")
			lot, mass, weighed := strings.Cut(lot, ":")
			l := &BatchLot{Batch: x.ID, What: what, Lot: lot}
			if weighed {
				if l.MassG, err = strconv.ParseFloat(mass, 64); err != nil {
					ok = false
				}
			}
			if !ok {
				return nil, bad(s, "what=lot, or what=lot:grams")
			}
			out = append(out, l)
		}
		for _, s := range take("lost", ",") {
			why, n, _ := strings.Cut(s, "=")
			amount, err := strconv.ParseFloat(n, 64)
			if err != nil {
				return nil, bad(s, "why=amount")
			}
			out = append(out, &Loss{Batch: x.ID, What: x.What, Amount: amount, Unit: x.Unit, Why: why})
		}
	case *Box:
		for _, s := range take("holds", ",") {
			n, rest, _ := strings.Cut(s, " ")
			what, lot, ok := strings.Cut(rest, " of ")
			count, err := strconv.Atoi(n)
			if err != nil || !ok {
				return nil, bad(s, "2 crest of K7")
			}
			batch, err := e.find("batch", strings.TrimSpace(lot))
			if err != nil {
				return nil, err
			}
			out = append(out, &Content{Box: x.ID, Batch: batch, What: strings.TrimSpace(what), Count: count})
		}
	}
	return out, nil
}
