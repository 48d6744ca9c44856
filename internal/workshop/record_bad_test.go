package workshop

import (
	"bytes"
	"database/sql"
	"encoding/binary"
	"encoding/json"
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"mouldwright/internal/record"
)

// What is wrong with a record is said on the page in so many words, for reading and for
// writing, and the original stays as it was.
func TestRecordsThatAreRefused(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func([]byte) []byte
		says  string
	}{
		"a diary": {func([]byte) []byte { return []byte("Dear diary, today we printed a plate.") }, "the record is damaged"},
		"cut":     {func(b []byte) []byte { return b[:len(b)/3] }, "the record is damaged"},
		// The user version and the application id: offsets 60 and 68 of the SQLite file
		// format, section 1.3 (sqlite.org/fileformat2.html).
		"newer":   {func(b []byte) []byte { binary.BigEndian.PutUint32(b[60:], 99); return b }, "a record of a newer program"},
		"foreign": {func(b []byte) []byte { binary.BigEndian.PutUint32(b[68:], 7); return b }, "a file of another program"},
	} {
		path := letters(t)
		r, err := record.Open(t.Context(), path, record.Options{Version: "other"})
		if err != nil {
			t.Fatal(err)
		}
		if err := r.Write(t.Context(), &record.Point{Words: "the window is shut"}); err != nil {
			t.Fatal(err)
		}
		r.Close()
		whole, err := os.ReadFile(record.Path(path))
		if err != nil {
			t.Fatal(err)
		}
		spoilt := c.spoil(whole)
		if err := os.WriteFile(record.Path(path), spoilt, 0o644); err != nil {
			t.Fatal(err)
		}
		v := opened(t, path)
		for _, ask := range []struct {
			method, address string
			body            any
		}{
			{"GET", "/api/record", nil},
			{"POST", "/api/record", json.RawMessage(`{"points": [{"words": "x"}]}`)},
			{"GET", "/api/trace?asked=B1", nil},
		} {
			a := v.do(ask.method, ask.address, ask.body, nil)
			said, _ := io.ReadAll(a.Body)
			if a.StatusCode < 400 || a.StatusCode >= 500 || !strings.Contains(string(said), c.says) || !strings.Contains(string(said), "as it was") && name != "foreign" {
				t.Errorf("%s: %s %s answers %s: %s", name, ask.method, ask.address, a.Status, said)
			}
		}
		if after, _ := os.ReadFile(record.Path(path)); !bytes.Equal(after, spoilt) {
			t.Errorf("%s: the original was touched", name)
		}
	}
}

// A clock that ran backwards, a record that another program holds: nothing is written, and
// the page is told why; when that is over, the same request is kept.
func TestRecordThatCannotBeWrittenNow(t *testing.T) {
	path := letters(t)
	future := time.Now().AddDate(0, 0, 3)
	r, err := record.Open(t.Context(), path, record.Options{Version: "other", Now: func() time.Time { return future }})
	if err != nil {
		t.Fatal(err)
	}
	if err := r.Write(t.Context(), &record.Point{Words: "the window is shut"}); err != nil {
		t.Fatal(err)
	}
	r.Close()
	v := opened(t, path)
	point := json.RawMessage(`{"points": [{"id": "0b5cf3a8-2d1e", "words": "x"}]}`)
	refused := func(says string) {
		t.Helper()
		a := v.do("POST", "/api/record", point, nil)
		if said, _ := io.ReadAll(a.Body); a.StatusCode != 422 || !strings.Contains(string(said), says) {
			t.Errorf("%s: %s, want %q", a.Status, said, says)
		}
	}
	refused("this machine's clock says")
	v.want(200, "POST", "/api/record", json.RawMessage(`{"clocks": [{"was_at": "2026-01-01T00:00:00Z"}]}`), nil)
	db, err := sql.Open("sqlite", "file:"+record.Path(path)+"?_txlock=immediate")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	tx, err := db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	refused("does not let go")
	if err := tx.Rollback(); err != nil {
		t.Fatal(err)
	}
	var out Recorded
	v.want(200, "POST", "/api/record", point, &out)
	if len(out.Points) != 2 {
		t.Errorf("%d points", len(out.Points))
	}
}
