package record

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"mouldwright/internal/base/unit"
)

// anything makes an entry of any kind but those that a build makes, with any content
// that its rules allow; refs are taken from what came before.
func anything(t *rapid.T, before []Entry) Entry {
	text := rapid.StringN(1, 40, 200).Filter(func(s string) bool { return !strings.ContainsRune(s, 0) })
	at := rapid.Custom(func(t *rapid.T) time.Time {
		return time.UnixMilli(rapid.Int64Range(700000000000, 5000000000000).Draw(t, "at"))
	})
	mass := rapid.Float64Range(0, 1e6)
	maybe := rapid.OneOf(rapid.Just(""), text)
	ref := func(table string) string {
		var ids []string
		for _, e := range before {
			if k, _ := kindOf(e); k.table == table {
				ids = append(ids, e.head().ID)
			}
		}
		if len(ids) == 0 {
			return ""
		}
		return rapid.SampledFrom(ids).Draw(t, table)
	}
	switch n := rapid.IntRange(0, 10).Draw(t, "kind"); {
	case n == 1:
		return &Pour{At: at.Draw(t, "at"), Tray: 1, Silicone: text.Draw(t, "s"), Lot: maybe.Draw(t, "l"), RoomC: rapid.Float64Range(-20, 60).Draw(t, "c"), Note: maybe.Draw(t, "n")}
	case n == 2:
		return &Weighing{At: at.Draw(t, "at"), Pour: ref("pour"), What: text.Draw(t, "w"), MassG: mass.Draw(t, "m"), PlannedG: mass.Draw(t, "p")}
	case n == 3:
		return &Stock{At: at.Draw(t, "at"), What: text.Draw(t, "w"), Amount: mass.Draw(t, "m"), Unit: "g", Opened: unit.Date{Year: 2027, Month: 2, Day: rapid.IntRange(1, 28).Draw(t, "d")}}
	case n == 4 && ref("stock") != "":
		return &StockMove{At: at.Draw(t, "at"), Stock: ref("stock"), Amount: rapid.Float64Range(-1e6, 1e6).Draw(t, "m"), Why: maybe.Draw(t, "y")}
	case n == 5:
		return &Batch{At: at.Draw(t, "at"), Lot: text.Draw(t, "l"), What: text.Draw(t, "w"), Made: mass.Draw(t, "m"), Unit: "piece"}
	case n == 6 && ref("batch") != "":
		return &BatchLot{Batch: ref("batch"), What: text.Draw(t, "w"), Lot: text.Draw(t, "l"), MassG: mass.Draw(t, "m")}
	case n == 7 && len(before) > 0:
		return &Withdrawal{Entry: rapid.SampledFrom(before).Draw(t, "e").head().ID, Why: maybe.Draw(t, "y")}
	case n == 9 && len(before) > 0:
		return &Took{At: at.Draw(t, "at"), Step: "chill caps", Minutes: rapid.Float64Range(0.1, 1e4).Draw(t, "m"), Count: rapid.IntRange(0, 9).Draw(t, "c"), About: rapid.SampledFrom(before).Draw(t, "e").head().ID}
	case n == 8:
		return &Task{Name: text.Draw(t, "w"), FromAt: at.Draw(t, "at"), Failed: rapid.Bool().Draw(t, "f")}
	}
	return &Mould{At: at.Draw(t, "at"), Name: text.Draw(t, "n"), Pour: ref("pour"), Note: maybe.Draw(t, "o")}
}

// Whatever is written comes back from an export, by folder and by lines alone, into an
// empty record and once more into the same: property test.
func TestExportAndImport(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		dir, err := os.MkdirTemp(t.TempDir(), "x")
		if err != nil {
			rt.Fatal(err)
		}
		from := open(t, filepath.Join(dir, "job.toml"))
		var list []Entry
		for range rapid.IntRange(0, 12).Draw(rt, "n") {
			e := anything(rt, list)
			if err := from.Write(t.Context(), e); err != nil {
				rt.Fatal(err)
			}
			list = append(list, e)
		}
		if err := from.Export(t.Context(), filepath.Join(dir, "out")); err != nil {
			rt.Fatal(err)
		}
		to := open(t, filepath.Join(dir, "other.toml"))
		n, err := to.Import(t.Context(), filepath.Join(dir, "out"))
		if err != nil || n.New != len(list) || n.There != 0 {
			rt.Fatalf("%+v of %d, %v", n, len(list), err)
		}
		if n, err = to.Import(t.Context(), filepath.Join(dir, "out", "record.jsonl")); err != nil || n.New != 0 || n.There != len(list) {
			rt.Fatalf("a second time: %+v, %v", n, err)
		}
		var a, b bytes.Buffer
		if err := from.Lines(t.Context(), &a); err != nil {
			rt.Fatal(err)
		}
		if err := to.Lines(t.Context(), &b); err != nil {
			rt.Fatal(err)
		}
		if a.String() != b.String() {
			rt.Fatalf("\n%s\n%s", a.String(), b.String())
		}
		if found, err := Check(t.Context(), filepath.Join(dir, "other.toml"), Options{Now: ticking()}); err != nil || len(found) > 0 {
			rt.Fatalf("%v, %v", found, err)
		}
		// The tables alone carry as much.
		if err := os.Remove(filepath.Join(dir, "out", linesName)); err != nil {
			rt.Fatal(err)
		}
		third := open(t, filepath.Join(dir, "third.toml"))
		if len(list) > 0 {
			if n, err := third.Import(t.Context(), filepath.Join(dir, "out")); err != nil || n.New != len(list) {
				rt.Fatalf("from the tables: %+v of %d, %v", n, len(list), err)
			}
			if n, err := to.Import(t.Context(), filepath.Join(dir, "out")); err != nil || n.New != 0 || n.There != len(list) {
				rt.Fatalf("from the tables, where all is there: %+v, %v", n, err)
			}
		}
		b.Reset()
		if err := third.Lines(t.Context(), &b); err != nil {
			rt.Fatal(err)
		}
		if a.String() != b.String() {
			rt.Fatalf("by tables\n%s\n%s", a.String(), b.String())
		}
		from.Close()
		to.Close()
		third.Close()
	})
}

// An export whose tables are edited, cut or of another program refuses the whole.
func TestImportOfTablesRefuses(t *testing.T) {
	from := open(t, newJob(t))
	for _, k := range kinds { // every table has its own columns
		if err := (&Entries{}).table(k, io.Discard); err != nil {
			t.Fatal(err)
		}
		for _, c := range k.columns {
			if slices.Contains(tableHead, c.name) {
				t.Errorf("table %s has two columns %s", k.table, c.name)
			}
		}
	}
	write(t, from, cleanTest(), &Mould{At: noon, Name: "=1+1\r\n\\ second \"line\""})
	out := filepath.Join(t.TempDir(), "out")
	if err := from.Export(t.Context(), out); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(filepath.Join(out, linesName)); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(out, "mould.csv")
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(whole), `\ =1+1\r`) {
		t.Errorf("a spreadsheet would reckon: %s", whole)
	}
	for what, c := range map[string]struct{ text, says string }{
		"edited":          {strings.Replace(string(whole), "second", "third", 1), "not what its digest says"},
		"cut":             {string(whole[:len(whole)-9]), "no table that can be read"},
		"no heading":      {"", "no table of a record"},
		"another heading": {strings.Replace(string(whole), "note", "notes", 1), "a column that this program does not know"},
		"a column less":   {strings.Replace(string(whole), "entry_sha256", "note", 1), "two columns"},
		"another order":   {strings.Replace(string(whole), ",2,2026", ",two,2026", 1), "seq"},
	} {
		if err := os.WriteFile(path, []byte(c.text), 0o644); err != nil {
			t.Fatal(err)
		}
		to := open(t, newJob(t))
		_, err := to.Import(t.Context(), out)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q", what, err, c.says)
		}
		if e, _ := to.All(t.Context()); len(e.List()) != 0 {
			t.Errorf("%s: %d entries were written", what, len(e.List()))
		}
	}
	if _, err := from.Import(t.Context(), t.TempDir()); err == nil || !strings.Contains(err.Error(), "no table of a record") {
		t.Errorf("an empty folder: %v", err)
	}
}

func FuzzReadTable(f *testing.F) {
	f.Add("id,seq,written_at,version,struck,entry_sha256,words\nabcdefgh,1,2026-11-02T12:00:00.000Z,t,,0,x\n")
	f.Add("\ufeffid,seq,written_at,version,entry_sha256,words\r\n\"a\",-1,,,,\\r\n")
	k, _ := kindNamed("point")
	f.Fuzz(func(t *testing.T, data string) {
		list, err := readTable("fuzz", k, strings.NewReader(data), map[string]int{})
		for _, e := range list {
			if err == nil && e.(*Point).Words == "" {
				t.Error("a point without words")
			}
		}
	})
}

func TestImportRefuses(t *testing.T) {
	from := open(t, newJob(t))
	write(t, from, cleanTest(), &Mould{At: noon, Name: "m"})
	var b bytes.Buffer
	if err := from.Lines(t.Context(), &b); err != nil {
		t.Fatal(err)
	}
	good := b.String()
	for name, text := range map[string]string{
		"changed content": strings.Replace(good, `"outcome":"clean"`, `"outcome":"gummy"`, 1),
		"unknown kind":    strings.Replace(good, `"kind":"mould"`, `"kind":"spell"`, 1),
		"unknown field":   strings.Replace(good, `"name":"m"`, `"name":"m","colour":"red"`, 1),
		"wrong word":      strings.Replace(good, "clean", "fine", 1),
		"cut short":       good[:len(good)-30],
		"no JSON":         "id,kind\n1,2\n",
		"two in a line":   strings.Replace(good, "\n", " ", 1),
	} {
		to := open(t, newJob(t))
		path := filepath.Join(t.TempDir(), "record.jsonl")
		os.WriteFile(path, []byte(text), 0o600)
		if _, err := to.Import(t.Context(), path); err == nil || !strings.Contains(err.Error(), "nothing was written") {
			t.Errorf("%s: %v", name, err)
		}
		if e, _ := to.All(t.Context()); len(e.List()) != 0 {
			t.Errorf("%s: half written", name)
		}
	}
	// The same name with another content, in a record that has it.
	other := strings.ReplaceAll(good, "clean", "gummy")
	path := filepath.Join(t.TempDir(), "record.jsonl")
	list, err := readLines("x", strings.NewReader(good))
	if err != nil {
		t.Fatal(err)
	}
	list[0].(*CureTest).Outcome = "gummy"
	k, _ := kindOf(list[0])
	other = strings.Replace(other, contentSum(k, cureWith(list[0].(*CureTest), "clean")), contentSum(k, list[0]), 1)
	os.WriteFile(path, []byte(other), 0o600)
	if _, err := from.Import(t.Context(), path); err == nil || !strings.Contains(err.Error(), "another entry of the same name") {
		t.Errorf("a duplicate with another content: %v", err)
	}
}

func cureWith(c *CureTest, outcome string) *CureTest {
	o := *c
	o.Outcome = outcome
	return &o
}

// Check finds what was changed behind the record's back.
func TestCheckFindsDamage(t *testing.T) {
	for statement, says := range map[string]string{
		"UPDATE cure_test SET outcome = 'gummy'":                                                     "not what was written",
		"PRAGMA foreign_keys = 0; DELETE FROM mould":                                                 "content is missing",
		"PRAGMA foreign_keys = 0; DELETE FROM entry WHERE seq = 2":                                   "",
		"PRAGMA foreign_keys = 0; DELETE FROM mould; DELETE FROM entry WHERE seq = 2":                "missing from the order",
		"PRAGMA foreign_keys = 0; UPDATE mould_use SET mould = 'another one'":                        "refers to",
		"PRAGMA writable_schema = 1; UPDATE sqlite_schema SET rootpage = 3 WHERE name = 'cure_test'": "",
	} {
		job := newJob(t)
		r := open(t, job)
		m := &Mould{At: noon, Name: "m"}
		write(t, r, cleanTest(), m)
		write(t, r, &MouldUse{At: noon, Mould: m.ID, What: "cast", Casts: 1})
		r.Close()
		if list, err := Check(t.Context(), job, Options{Now: ticking()}); err != nil || len(list) != 0 {
			t.Fatalf("a sound record: %v, %v", list, err)
		}
		debians(t, job, statement)
		list, err := Check(t.Context(), job, Options{Now: ticking()})
		if err == nil && len(list) == 0 || !strings.Contains(fmt.Sprint(list, err), says) {
			t.Errorf("%s: %v, %v", statement, list, err)
		}
	}
	job := newJob(t)
	r := open(t, job)
	p, err := r.AddPhoto(t.Context(), "a.png", picture(t), "a")
	if err != nil {
		t.Fatal(err)
	}
	os.WriteFile(filepath.Join(PhotoDir(job), p.File), []byte("other"), 0o644)
	if list, _ := Check(t.Context(), job, Options{Now: ticking()}); len(list) != 1 || !strings.Contains(list[0].What, "not what it was") {
		t.Errorf("a changed photo: %v", list)
	}
}

// Every byte of a page that SQLite itself does not watch over is watched over by the
// entries' digests: a flipped bit anywhere in the rows is found, or the file refused.
func TestCheckFindsFlippedBits(t *testing.T) {
	job := newJob(t)
	r := open(t, job)
	for i := range 8 {
		write(t, r, &Point{Words: strings.Repeat(fmt.Sprint("point ", i), 40)})
	}
	r.Close()
	whole, err := os.ReadFile(Path(job))
	if err != nil {
		t.Fatal(err)
	}
	flips := 0
	for at := 0; at+10 < len(whole); at++ {
		if string(whole[at:at+6]) != "point " || at%7 != 0 {
			continue
		}
		flips++
		bad := bytes.Clone(whole)
		bad[at+3] ^= 4
		if err := os.WriteFile(Path(job), bad, 0o644); err != nil {
			t.Fatal(err)
		}
		if list, err := Check(t.Context(), job, Options{Now: ticking()}); err == nil && len(list) == 0 {
			t.Fatalf("a bit flipped at %d was not found", at)
		}
	}
	if flips < 20 {
		t.Errorf("only %d bits were flipped", flips)
	}
}

func FuzzReadLines(f *testing.F) {
	f.Add([]byte(`{"kind":"point","id":"abcdefgh","written_at":"2026-11-02T12:00:00Z","version":"t","sha256":"","entry":{"words":"x"}}`))
	f.Add([]byte("{}\n\n[]"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if list, err := readLines("fuzz", bytes.NewReader(data)); err == nil && len(list) > 0 && len(data) < 20 {
			t.Error("an entry of less than twenty bytes")
		}
	})
}

func TestNoNumberIsLost(t *testing.T) {
	r := open(t, newJob(t))
	for _, x := range []float64{0, 0.1, 1e-300, 123456.789012345, math.Nextafter(1, 2)} {
		write(t, r, &Weighing{At: noon, What: "x", MassG: x})
		l, err := List[Weighing](t.Context(), r)
		if err != nil || l[len(l)-1].MassG != x {
			t.Errorf("%v came back as %v", x, l[len(l)-1].MassG)
		}
	}
}
