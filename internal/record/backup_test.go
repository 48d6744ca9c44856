package record

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func TestBackupAndRestore(t *testing.T) {
	job := newJob(t)
	r := open(t, job)
	write(t, r, cleanTest())
	if _, err := Restore(t.Context(), job, "", noon); err == nil {
		t.Error("restored from no backup")
	}
	if _, err := r.Backup(t.Context()); err != nil {
		t.Fatal(err)
	}
	write(t, r, &Mould{At: noon, Name: "after the backup"})
	if _, err := Restore(t.Context(), job, "", noon); err == nil || !strings.Contains(err.Error(), "is open") {
		t.Errorf("restored under an open record: %v", err)
	}
	r.Close()
	replaced, err := Restore(t.Context(), job, "", noon)
	if err != nil {
		t.Fatal(err)
	}
	e, err := open(t, job).All(t.Context())
	if err != nil || len(e.CureTests) != 1 || len(e.Moulds) != 0 {
		t.Errorf("restored %+v, %v", e, err)
	}
	// What was replaced can be put back.
	os.WriteFile(Path(job)+"-x", nil, 0o644)
	if err := whole(t.Context(), replaced); err != nil {
		t.Error(err)
	}
	// A damaged record is replaced too.
	job2 := newJob(t)
	r2 := open(t, job2)
	write(t, r2, cleanTest())
	r2.Backup(t.Context())
	r2.Close()
	os.WriteFile(Path(job2), []byte(strings.Repeat("garbage ", 999)), 0o644)
	if _, err := Restore(t.Context(), job2, "", noon); err != nil {
		t.Fatal(err)
	}
	if l, err := List[CureTest](t.Context(), open(t, job2)); err != nil || len(l) != 1 {
		t.Errorf("%v, %v", l, err)
	}
}

func TestDailyBackup(t *testing.T) {
	job := newJob(t)
	r := open(t, job)
	write(t, r, cleanTest())
	r.Close()
	for range 3 {
		open(t, job).Close()
	}
	list, err := Backups(job)
	if err != nil || len(list) != 1 || list[0].Name != "2026-11-02.record" {
		t.Errorf("%v, %v", list, err)
	}
	// The oldest make room: all days of a year before are there, and the next one begins.
	for k := range keepBackups + 3 {
		name := noon.AddDate(0, 0, -400+k).Format(time.DateOnly) + ".record"
		if err := os.WriteFile(filepath.Join(BackupDir(job), name), nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Remove(filepath.Join(BackupDir(job), "2026-11-02.record")); err != nil {
		t.Fatal(err)
	}
	open(t, job).Close()
	left, err := os.ReadDir(BackupDir(job))
	if err != nil || len(left) != keepBackups {
		t.Errorf("%d backups are left, %v; %d are kept", len(left), err, keepBackups)
	}
}
