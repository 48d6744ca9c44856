package record

import (
	"context"
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"mouldwright/internal/base/finding"
)

func digestOf(data []byte) string { return fmt.Sprintf("%x", sha256.Sum256(data)) }

// Check looks for any damage: what SQLite itself finds, rows that refer to what is not
// there, entries whose content is not what their digest says, entries that are missing
// from the order of writing, photos that are missing or changed. An empty list is a
// sound record.
func Check(ctx context.Context, job string, opt Options) ([]finding.Finding, error) {
	r, err := OpenExisting(ctx, job, opt)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	var out []finding.Finding
	add := func(where, what, do string) {
		if len(out) < 200 {
			out = append(out, finding.Finding{Severity: finding.Stop, Where: where, What: what, Do: do})
		}
	}
	const restore = "put the last sound backup in its place: mouldwright record restore"
	said, err := texts(ctx, r, "PRAGMA integrity_check(50)")
	if err != nil {
		add(filepath.Base(Path(job)), "SQLite cannot read it: "+err.Error(), restore)
		return out, nil
	}
	for _, s := range said {
		if s != "ok" {
			add(filepath.Base(Path(job)), s, restore)
		}
	}
	lost, err := texts(ctx, r, `SELECT "table" || ' refers to a ' || parent || ' that is not there' FROM pragma_foreign_key_check`)
	if err != nil {
		return nil, r.explain(err)
	}
	for _, s := range lost {
		add(filepath.Base(Path(job)), s, restore)
	}
	sums, err := texts(ctx, r, "SELECT id || ' ' || kind || ' ' || sha256 FROM entry ORDER BY seq")
	if err != nil {
		return nil, r.explain(err)
	}
	e, err := r.All(ctx)
	if err != nil {
		add(filepath.Base(Path(job)), "its entries cannot be read: "+err.Error(), restore)
		return out, nil
	}
	want := map[string]string{}
	for _, s := range sums {
		f := strings.Fields(s)
		want[f[0]+" "+f[1]] = f[2]
	}
	for _, x := range e.List() {
		k, _ := kindOf(x)
		key := x.head().ID + " " + k.table
		switch sum, ok := want[key]; {
		case !ok:
			add("entry "+x.head().ID, "a "+k.table+" that the list of entries does not have as such", restore)
		case sum != contentSum(k, x):
			add(fmt.Sprintf("entry %d, %s", x.head().Seq, k.table), "its content is not what was written", restore)
		}
		delete(want, key)
	}
	for key := range want {
		add("entry "+key, "its content is missing", restore)
	}
	gaps, err := texts(ctx, r, "SELECT 'entry ' || (seq - 1) FROM entry WHERE seq > 1 AND seq - 1 NOT IN (SELECT seq FROM entry)")
	if err != nil {
		return nil, r.explain(err)
	}
	for _, g := range gaps {
		add(g, "it is missing from the order of writing", restore)
	}
	for i := range e.Photos {
		if _, err := r.ReadPhoto(&e.Photos[i]); err != nil {
			add("photo "+e.Photos[i].Words, err.Error(), "")
		}
	}
	list, err := os.ReadDir(PhotoDir(job))
	if err == nil {
		known := map[string]bool{}
		for _, p := range e.Photos {
			known[p.File] = true
		}
		for _, f := range list {
			if !known[f.Name()] {
				out = append(out, finding.Finding{Severity: finding.Note, Where: filepath.Join(filepath.Base(PhotoDir(job)), f.Name()), What: "a file that no entry names", Do: "take it out if you do not need it"})
			}
		}
	}
	return out, nil
}

// texts is the first column of an answer.
func texts(ctx context.Context, r *Record, query string) (out []string, err error) {
	rows, err := r.db.QueryContext(ctx, query)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		s := ""
		if err := rows.Scan(&s); err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, rows.Err()
}
