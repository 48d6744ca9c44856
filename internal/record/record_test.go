package record

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/peer"
	"mouldwright/internal/base/unit"
)

// noon is when the tests' clock begins.
var noon = time.Date(2026, 11, 2, 12, 0, 0, 0, time.UTC)

// ticking is a clock that goes on by a second each time it is looked at.
func ticking() func() time.Time {
	var mu sync.Mutex
	t := noon
	return func() time.Time {
		mu.Lock()
		defer mu.Unlock()
		t = t.Add(time.Second)
		return t
	}
}

// newJob is a job in a folder whose name has signs that mean something to patterns and
// addresses.
func newJob(t testing.TB) string {
	dir := filepath.Join(t.TempDir(), "gifts [2027] 50% #1?")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	return filepath.Join(dir, "job.toml")
}

func open(t testing.TB, job string) *Record {
	t.Helper()
	r, err := Open(t.Context(), job, Options{Version: "test", Now: ticking()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	return r
}

func write(t testing.TB, r *Record, e ...Entry) {
	t.Helper()
	if err := r.Write(t.Context(), e...); err != nil {
		t.Fatal(err)
	}
}

func cleanTest() *CureTest {
	return &CureTest{Day: unit.Date{Year: 2026, Month: 11, Day: 1}, Resin: "grey", Treatment: "washed", Coating: "none", Silicone: "soft", Outcome: "clean"}
}

func TestWrittenIsReadBack(t *testing.T) {
	job := newJob(t)
	r := open(t, job)
	p := &Pour{At: noon, Tray: 1, Silicone: "soft", RoomC: 21.5}
	write(t, r, p, cleanTest())
	write(t, r, &Weighing{At: noon, Pour: p.ID, Cup: 1, What: "part A", MassG: 412.25, PlannedG: 412}, &Timer{At: noon, Name: "working time", Minutes: 35, Pour: p.ID})
	r.Close()
	again := open(t, job)
	e, err := again.Standing(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(e.Pours) != 1 || len(e.Weighings) != 1 || len(e.Timers) != 1 || e.Weighings[0].MassG != 412.25 || e.Weighings[0].Pour != p.ID || !e.Timers[0].At.Equal(noon) {
		t.Errorf("read back %+v", e)
	}
	past, err := again.Past(t.Context())
	if err != nil || len(past.CureTests) != 1 || past.CureTests[0].Outcome != "clean" {
		t.Errorf("past %+v, %v", past, err)
	}
}

func TestStruckOutStaysReadable(t *testing.T) {
	r := open(t, newJob(t))
	c := cleanTest()
	write(t, r, c)
	w := &Withdrawal{Entry: c.ID}
	write(t, r, w)
	if p, _ := r.Past(t.Context()); len(p.CureTests) != 0 {
		t.Error("a test that was struck out releases a pour")
	}
	e, err := r.All(t.Context())
	if err != nil || e.CureTests[0].Struck != "a mistake" {
		t.Errorf("all: %+v, %v", e.CureTests, err)
	}
	write(t, r, &Withdrawal{Entry: w.ID, Why: "it was right"})
	if p, _ := r.Past(t.Context()); len(p.CureTests) != 1 {
		t.Error("what was struck out by mistake does not stand again")
	}
}

// A request that is repeated writes once; another content under the same name is refused.
func TestRepeatedRequest(t *testing.T) {
	r := open(t, newJob(t))
	one, two, other := cleanTest(), cleanTest(), cleanTest()
	one.ID, two.ID, other.ID, other.Outcome = "abcdefgh1", "abcdefgh1", "abcdefgh1", "gummy"
	write(t, r, one)
	write(t, r, two)
	if err := r.Write(t.Context(), other); err == nil || !strings.Contains(err.Error(), "is there already") {
		t.Errorf("another content under the same name: %v", err)
	}
	if l, _ := List[CureTest](t.Context(), r); len(l) != 1 {
		t.Errorf("%d entries", len(l))
	}
}

func TestRefusals(t *testing.T) {
	r := open(t, newJob(t))
	for name, c := range map[string]struct {
		e    Entry
		says string
	}{
		"missing":    {&Mould{At: noon}, "mould.name"},
		"word":       {&Part{Print: "x", Name: "tile 1", Outcome: "so so"}, "good, flawed, failed"},
		"range":      {&Weighing{At: noon, What: "part A", MassG: -3}, "0 to 1e+06"},
		"no such":    {&MouldUse{At: noon, Mould: "nosuchmould", What: "cast"}, "does not fit"},
		"id":         {&Point{Head: Head{ID: "A'; --"}, Words: "x"}, "small letters"},
		"not a text": {&Point{Words: "a\xffb"}, "UTF-8"},
		"year":       {&Mould{At: noon.AddDate(400, 0, 0), Name: "m"}, "1990"},
	} {
		err := r.Write(t.Context(), &Point{Words: "kept only with the other"}, c.e)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q", name, err, c.says)
		}
	}
	if e, _ := r.All(t.Context()); len(e.Points) != 0 {
		t.Errorf("%d entries were half written", len(e.Points))
	}
}

func TestClockRanBackwards(t *testing.T) {
	job := newJob(t)
	write(t, open(t, job), cleanTest())
	r := open(t, job)
	r.now = func() time.Time { return noon.AddDate(0, 0, -3) }
	err := r.Write(t.Context(), cleanTest())
	var e *finding.Error
	if !errors.As(err, &e) || e.Key != "clock" {
		t.Fatalf("written by a clock that ran backwards: %v", err)
	}
	last, _ := r.LastWritten(t.Context())
	write(t, r, &Clock{WasAt: last})
	write(t, r, cleanTest())
}

// Two windows and a command line write at once; every entry that was confirmed is there.
func TestManyWriters(t *testing.T) {
	job := newJob(t)
	open(t, job)
	const writers, each = 4, 15
	var wg sync.WaitGroup
	for w := range writers {
		r := open(t, job)
		r.now = func() time.Time { return noon }
		wg.Go(func() {
			for i := range each {
				if err := r.Write(context.Background(), &Point{Words: fmt.Sprint(w, i)}); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	l, err := List[Point](t.Context(), open(t, job))
	if err != nil || len(l) != writers*each {
		t.Errorf("%d entries, %v", len(l), err)
	}
	for i, p := range l {
		if p.Seq != i+1 {
			t.Fatalf("entry %d has number %d", i, p.Seq)
		}
	}
}

func TestFilesThatAreRefused(t *testing.T) {
	kept := func(t *testing.T, job, says string) {
		t.Helper()
		before, err := os.ReadFile(Path(job))
		if err != nil {
			t.Fatal(err)
		}
		_, err = Open(t.Context(), job, Options{BusyMS: 50})
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%v, want %q", err, says)
		}
		if after, _ := os.ReadFile(Path(job)); !bytes.Equal(before, after) {
			t.Error("the original was touched")
		}
	}
	// closed is a record with an entry that lies whole in its file.
	closed := func(t *testing.T) string {
		job := newJob(t)
		r := open(t, job)
		write(t, r, cleanTest())
		r.Close()
		return job
	}
	t.Run("newer", func(t *testing.T) {
		job := closed(t)
		debians(t, job, "PRAGMA user_version = 7")
		kept(t, job, "newer program")
	})
	t.Run("another program's", func(t *testing.T) {
		job := closed(t)
		debians(t, job, "PRAGMA application_id = 42")
		kept(t, job, "another program")
	})
	t.Run("no database", func(t *testing.T) {
		job := newJob(t)
		os.WriteFile(Path(job), []byte("Dear diary, today we printed a plate."), 0o644)
		kept(t, job, "damaged")
	})
	t.Run("cut short", func(t *testing.T) {
		job := closed(t)
		whole, _ := os.ReadFile(Path(job))
		os.WriteFile(Path(job), whole[:len(whole)/3], 0o644)
		kept(t, job, "damaged")
	})
	// A folder that one may not write to: by root's test as another user, since nothing is
	// read-only to root.
	t.Run("read-only", func(t *testing.T) {
		job := closed(t)
		before, err := os.ReadFile(Path(job))
		if err != nil {
			t.Fatal(err)
		}
		os.RemoveAll(BackupDir(job))
		said := asReader(t, job)
		for _, want := range []string{"the record cannot be written", "copy the job's folder to where you may write", "as it was"} {
			if !strings.Contains(said, want) {
				t.Errorf("%q, want %q", said, want)
			}
		}
		if after, _ := os.ReadFile(Path(job)); !bytes.Equal(before, after) {
			t.Error("the original was touched")
		}
		if list, _ := os.ReadDir(filepath.Dir(job)); len(list) != 1 {
			t.Errorf("%d files beside the job file", len(list))
		}
	})
	t.Run("locked", func(t *testing.T) {
		job := closed(t)
		holder := open(t, job)
		tx, err := holder.db.Begin()
		if err != nil {
			t.Fatal(err)
		}
		defer tx.Rollback()
		r, err := Open(t.Context(), job, Options{BusyMS: 50, Now: ticking()})
		if err != nil {
			t.Fatal(err)
		}
		defer r.Close()
		if err := r.Write(t.Context(), cleanTest()); err == nil || !strings.Contains(err.Error(), "does not let go") {
			t.Errorf("%v", err)
		}
	})
}

// debians runs a statement with Debian's own program.
func debians(t testing.TB, job, statement string) string {
	t.Helper()
	out, err := exec.Command(peer.Tool(t, "sqlite3", "sqlite3"), Path(job), statement).CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return strings.TrimSpace(string(out))
}

// Debian's sqlite3 opens what we write, finds it whole, and reads the same.
func TestDebiansSQLite(t *testing.T) {
	job := newJob(t)
	r := open(t, job)
	c := cleanTest()
	write(t, r, c, &Mould{At: noon, Name: "first"})
	for statement, want := range map[string]string{
		"PRAGMA integrity_check":                                "ok",
		"PRAGMA foreign_key_check":                              "",
		"PRAGMA journal_mode":                                   "wal",
		"SELECT outcome || ' ' || day FROM cure_test":           "clean 2026-11-01",
		"SELECT count(*) FROM entry WHERE kind = 'mould'":       "1",
		"SELECT id = '" + c.ID + "' FROM entry WHERE seq = 1":   "1",
		"SELECT count(*) FROM pragma_table_list WHERE strict=1": fmt.Sprint(len(kinds) + 1),
	} {
		if got := debians(t, job, statement); got != want {
			t.Errorf("%s: %q, want %q", statement, got, want)
		}
	}
}

// insertAsThen writes an entry with the columns that its table had.
func insertAsThen(t *testing.T, db *sql.DB, e Entry) {
	t.Helper()
	k, _ := kindOf(e)
	if _, err := db.Exec("INSERT INTO entry (id, kind, written_at, version, sha256) VALUES (?, ?, '2026-10-01T10:00:00.000Z', '0.1', ?)", e.head().ID, k.table, contentSum(k, e)); err != nil {
		t.Fatal(err)
	}
	names, marks, values := "id", "?", []any{e.head().ID}
	for _, c := range k.columns {
		there := false
		if err := db.QueryRow(`SELECT EXISTS (SELECT 1 FROM pragma_table_info(?) WHERE name = ?)`, k.table, c.name).Scan(&there); err != nil {
			t.Fatal(err)
		}
		if there {
			names, marks, values = names+`, "`+c.name+`"`, marks+", ?", append(values, c.value(reflect.ValueOf(e).Elem()))
		}
	}
	if _, err := db.Exec(fmt.Sprintf(`INSERT INTO "%s" (%s) VALUES (%s)`, k.table, names, marks), values...); err != nil {
		t.Fatal(err)
	}
}

// Every earlier form is brought to the present one, with a backup that still has it.
func TestMigrations(t *testing.T) {
	for from := 1; from < schemaVersion; from++ {
		job := newJob(t)
		db := connect(Path(job), "DELETE", 0)
		if _, err := db.Exec(fmt.Sprintf("PRAGMA application_id = %d", applicationID)); err != nil {
			t.Fatal(err)
		}
		if err := migrate(t.Context(), db, from); err != nil {
			t.Fatal(err)
		}
		// A row as the program of that form wrote it.
		c := cleanTest()
		c.ID = "writtenlongago"
		k, _ := kindOf(c)
		for _, s := range []string{
			fmt.Sprintf("INSERT INTO entry (id, kind, written_at, version, sha256) VALUES ('%s', 'cure_test', '2026-10-01T10:00:00.000Z', '0.1', '%s')", c.ID, contentSum(k, c)),
			fmt.Sprintf("INSERT INTO cure_test VALUES ('%s', '2026-11-01', 'grey', 'washed', 'none', 'soft', 'clean', '', NULL)", c.ID),
		} {
			if _, err := db.Exec(s); err != nil {
				t.Fatal(err)
			}
		}
		// Rows of the tables that later forms have widened: their digests stay.
		v := &Revision{Head: Head{ID: "arevision"}, At: noon, Code: "48GHPWK", Digest: strings.Repeat("0", 64), Program: "0.1", Title: "x", JobText: "title"}
		for _, e := range []Entry{v, &File{Head: Head{ID: "afileofit"}, Revision: v.ID, Role: "made", Name: "plan.json", SHA256: strings.Repeat("1", 64), Bytes: 3},
			&Print{Head: Head{ID: "aprintofit"}, At: noon, Plate: 1, Code: "48GHPWK", Minutes: 200, PlannedMin: 190, ResinML: 40},
			&Weighing{Head: Head{ID: "aweighing"}, At: noon, Cup: 1, What: "part A", MassG: 3}, &Batch{Head: Head{ID: "abatchofit"}, At: noon, Lot: "K", What: "bee", Made: 3, Unit: "piece"}} {
			insertAsThen(t, db, e)
		}
		db.Close()
		r := open(t, job)
		if v, _ := userVersion(t.Context(), r.db); v != schemaVersion {
			t.Errorf("form %d was brought to %d", from, v)
		}
		write(t, r, &Timer{At: noon, Name: "cure", Minutes: 3})
		if l, err := List[CureTest](t.Context(), r); err != nil || len(l) != 1 || l[0].Version != "0.1" {
			t.Errorf("from form %d: %+v, %v", from, l, err)
		}
		if found, err := Check(t.Context(), job, Options{Now: ticking()}); err != nil || len(found) > 0 {
			t.Errorf("from form %d: %v, %v", from, found, err)
		}
		if list, err := Backups(job); err != nil || len(list) == 0 || !strings.Contains(list[0].Name, "-before-form-") {
			t.Errorf("backups %v, %v", list, err)
		} else {
			b := connect(filepath.Join(BackupDir(job), list[0].Name), "DELETE", 0)
			if v, err := userVersion(t.Context(), b); v != from {
				t.Errorf("the backup has form %d, %v", v, err)
			}
			b.Close()
		}
	}
}

func picture(t testing.TB) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 40, 30))); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestPhotos(t *testing.T) {
	job := newJob(t)
	r := open(t, job)
	p, err := r.AddPhoto(t.Context(), "tile.png", picture(t), "tile 2")
	if err != nil || p.WidthPX != 40 || p.HeightPX != 30 {
		t.Fatalf("%+v, %v", p, err)
	}
	if data, err := r.ReadPhoto(p); err != nil || !bytes.Equal(data, picture(t)) {
		t.Error("another photo came back", err)
	}
	if again, err := r.AddPhoto(t.Context(), "same.png", picture(t), ""); err != nil || again.ID != p.ID {
		t.Errorf("the same photo twice: %+v, %v", again, err)
	}
	for name, data := range map[string][]byte{
		"text.jpg": []byte("no photo at all"), "half.png": picture(t)[:60], "page.html": []byte("<html><script>alert(1)</script>"), "empty.png": nil,
	} {
		if _, err := r.AddPhoto(t.Context(), name, data, ""); err == nil {
			t.Errorf("%s was taken for a photo", name)
		}
	}
	if list, _ := os.ReadDir(PhotoDir(job)); len(list) != 1 {
		t.Errorf("%d files among the photos", len(list))
	}
	if err := os.WriteFile(filepath.Join(PhotoDir(job), p.File), []byte("other"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := r.ReadPhoto(p); err == nil {
		t.Error("a changed photo was given as the kept one")
	}
}

func TestStockAndMoulds(t *testing.T) {
	r := open(t, newJob(t))
	s := &Stock{At: noon, What: "soft food-grade rubber", Amount: 1000, Unit: "g", Lot: "L7"}
	m := &Mould{At: noon, Name: "first"}
	write(t, r, s, m)
	write(t, r, &StockMove{At: noon, Stock: s.ID, Amount: -300, Opened: unit.Date{Year: 2026, Month: 11, Day: 2}},
		&MouldUse{At: noon, Mould: m.ID, What: "cast", Casts: 12}, &MouldUse{At: noon, Mould: m.ID, What: "cast", Casts: 30}, &MouldUse{At: noon, Mould: m.ID, What: "put away"})
	p, err := r.Past(t.Context())
	if err != nil || len(p.Stock) != 1 || p.Stock[0].Amount != 700 || p.Stock[0].Opened.Day != 2 {
		t.Errorf("stock %+v, %v", p.Stock, err)
	}
	if len(p.RetiredAfter) != 1 || p.RetiredAfter[0] != 42 {
		t.Errorf("moulds %v", p.RetiredAfter)
	}
}
