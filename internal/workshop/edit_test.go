package workshop

import (
	"bufio"
	"encoding/json"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func TestEdit(t *testing.T) {
	v := opened(t, letters(t))
	s := v.state()
	if !s.Begun || s.File != "job.toml" || s.Folder != "gifts" || s.at("piece", 0, "height_mm") != 11.0 || s.Undo != 0 {
		t.Fatalf("state %+v", s)
	}
	text := v.text()
	s2 := v.edit(s.Version, Edit{Do: "set", Key: "piece[1].height_mm", Value: 12.5})
	if s2.at("piece", 0, "height_mm") != 12.5 || s2.Undo != 1 || s2.Version == s.Version {
		t.Errorf("after an edit: %v, %d steps back", s2.at("piece", 0, "height_mm"), s2.Undo)
	}
	if want := strings.Replace(text, "height_mm = 11", "height_mm = 12.5", 1); v.text() != want {
		t.Errorf("the file is\n%s", v.text())
	}
	// All kinds of edits, as one step.
	s3 := v.edit(s2.Version,
		Edit{Do: "copy", Key: "piece[1]"}, Edit{Do: "set", Key: "piece[2].name", Value: "second"},
		Edit{Do: "move", Key: "piece[3]", To: 1}, Edit{Do: "unset", Key: "piece[1].rise_mm"},
		Edit{Do: "add", Key: "piece[1].art", Value: map[string]any{"text": "&", "height_mm": 10.0}},
		Edit{Do: "add", Key: "filling.pear jelly", Value: map[string]any{"density_g_ml": map[string]any{"low": 1.2, "likely": 1.3, "high": 1.35}}},
		Edit{Do: "set", Key: "piece[1].filling", Value: "pear jelly"}, Edit{Do: "set", Key: "needed", Value: "2027-06-01"}, Edit{Do: "set", Key: "boxes", Value: 9.0})
	if got := s3.at("piece", 0, "name"); got != "heart" || s3.at("piece", 2, "name") != "second" || s3.at("piece", 0, "art", 0, "text") != "&" || s3.at("needed") != "2027-06-01" {
		t.Errorf("after many edits: %v", s3.Values)
	}
	if s3.Undo != 2 {
		t.Errorf("%d steps back, want 2", s3.Undo)
	}
	// Refused: nothing is saved.
	was := v.text()
	for _, e := range [][]Edit{
		{{Do: "set", Key: "piece[1].height_mm", Value: 500.0}},
		{{Do: "set", Key: "piece[1].height_mm", Value: "tall"}},
		{{Do: "set", Key: "piece[1].heigth_mm", Value: 5.0}},
		{{Do: "set", Key: "piece[9].height_mm", Value: 5.0}},
		{{Do: "set", Key: "piece[1].art[1].file", Value: "../../etc/passwd"}},
		{{Do: "set", Key: "title", Value: "good"}, {Do: "set", Key: "boxes", Value: 0.5}},
		{{Do: "remove", Key: "piece[7]"}}, {{Do: "move", Key: "piece[1]", To: 9}}, {{Do: "remove", Key: "piece"}}, {{Do: "burn", Key: "piece[1]"}},
		{{Do: "remove", Key: "piece[1]"}, {Do: "remove", Key: "piece[1]"}, {Do: "remove", Key: "piece[1]"}},
		{},
	} {
		var r Refusal
		v.want(422, "POST", "/api/edit", EditRequest{s3.Version, e}, &r)
		if len(r.Mistakes) == 0 || r.Mistakes[0].Found == "" {
			t.Errorf("%+v is refused without a word", e)
		}
	}
	if v.text() != was || v.state().Version != s3.Version {
		t.Error("a refused edit has changed the file")
	}
	// Back and forward.
	var s4 seen
	v.want(200, "POST", "/api/undo", StepRequest{s3.Version}, &s4)
	v.want(200, "POST", "/api/undo", StepRequest{s4.Version}, &s4)
	if v.text() != text || s4.Undo != 0 || s4.Redo != 2 || s4.Version != s.Version {
		t.Errorf("after two steps back: %d back, %d forward, text\n%s", s4.Undo, s4.Redo, v.text())
	}
	v.want(422, "POST", "/api/undo", StepRequest{s4.Version}, nil)
	v.want(200, "POST", "/api/redo", StepRequest{s4.Version}, &s4)
	if s4.Version != s2.Version {
		t.Error("forward does not lead to where back came from")
	}
	if n := names(t, v.dir); n != ".job.toml.lock job.toml" { // the lock stays, empty
		t.Errorf("the folder holds %s", n)
	}
}

// events opens the stream of events.
func (v *visit) events() func(name string) map[string]any {
	v.t.Helper()
	a, err := v.client.Get(v.base + "/api/events")
	if err != nil {
		v.t.Fatal(err)
	}
	v.t.Cleanup(func() { a.Body.Close() })
	if a.StatusCode != 200 || a.Header.Get("Content-Type") != "text/event-stream" {
		v.t.Fatalf("events: %s, %s", a.Status, a.Header.Get("Content-Type"))
	}
	lines := bufio.NewScanner(a.Body)
	stop := time.AfterFunc(60*time.Second, func() { a.Body.Close() })
	v.t.Cleanup(func() { stop.Stop() })
	return func(name string) map[string]any {
		v.t.Helper()
		for lines.Scan() {
			if lines.Text() != "event: "+name || !lines.Scan() {
				continue
			}
			var data map[string]any
			if err := json.Unmarshal([]byte(strings.TrimPrefix(lines.Text(), "data: ")), &data); err != nil {
				v.t.Fatal(err)
			}
			return data
		}
		v.t.Fatalf("no event %s came within a minute", name)
		return nil
	}
}

func (v *visit) until(next func(string) map[string]any, by string) {
	v.t.Helper()
	for next("state")["by"] != by {
	}
}

func TestTextEditor(t *testing.T) {
	v := opened(t, letters(t))
	next := v.events()
	s := v.state()
	theirs := strings.Replace(v.text(), "boxes  = 6", "boxes  = 7", 1)
	v.writes(theirs)
	v.until(next, "editor")
	s2 := v.state()
	if s2.at("boxes") != 7.0 || s2.Undo != 1 || s2.Clash != nil {
		t.Fatalf("after a change outside: %v boxes, %d steps back, clash %+v", s2.at("boxes"), s2.Undo, s2.Clash)
	}
	// An edit made on the old text waits, and the person chooses.
	for _, take := range []string{"theirs", "mine"} {
		var c seen
		v.want(409, "POST", "/api/edit", EditRequest{s.Version, []Edit{{Do: "set", Key: "title", Value: "Mine"}}}, &c)
		if c.Version != s2.Version || c.Clash == nil || len(c.Clash.Edits) != 1 || strings.Join(c.Clash.Keys, " ") != "boxes" {
			t.Fatalf("clash %+v", c.Clash)
		}
		if v.text() != theirs {
			t.Fatal("a stale edit was written")
		}
		v.want(400, "POST", "/api/settle", SettleRequest{c.Version, "both"}, nil)
		v.want(200, "POST", "/api/settle", SettleRequest{c.Version, take}, &c)
		title := map[string]string{"theirs": "A letter", "mine": "Mine"}[take]
		if c.Clash != nil || c.at("title") != title || c.at("boxes") != 7.0 {
			t.Errorf("taking %s: title %v, %v boxes, clash %+v", take, c.at("title"), c.at("boxes"), c.Clash)
		}
	}
	// An editor that began before the page's edits writes over them: they wait too.
	v.writes(strings.Replace(theirs, "A letter", "Theirs", 1))
	v.until(next, "editor")
	if c := v.state().Clash; c != nil { // title was changed by both: theirs is no return to what was
		t.Errorf("both changed the title, clash %+v", c)
	}
	s3 := v.state()
	s4 := v.edit(s3.Version, Edit{Do: "set", Key: "piece[1].height_mm", Value: 13.0}, Edit{Do: "copy", Key: "piece[2]"}, Edit{Do: "set", Key: "piece[3].name", Value: "third"})
	mine := v.text()
	v.writes(strings.Replace(theirs, "A letter", "Theirs again", 1))
	v.until(next, "editor")
	s5 := v.state()
	if s5.Clash == nil || len(s5.Clash.Edits) != 3 || s5.at("title") != "Theirs again" {
		t.Fatalf("clash %+v, title %v", s5.Clash, s5.at("title"))
	}
	var s6 seen
	v.want(200, "POST", "/api/undo", StepRequest{s5.Version}, &s6)
	if v.text() != mine || s6.Version != s4.Version {
		t.Error("one step back does not bring back what was written over")
	}
	v.want(200, "POST", "/api/redo", StepRequest{s6.Version}, &s6)
	v.want(200, "POST", "/api/settle", SettleRequest{s6.Version, "mine"}, &s6)
	if s6.at("title") != "Theirs again" || s6.at("piece", 0, "height_mm") != 13.0 || s6.at("piece", 2, "name") != "third" {
		t.Errorf("both together: %v", s6.Values)
	}
}

func TestTextThatCannotBeUsed(t *testing.T) {
	v := opened(t, letters(t))
	good := v.text()
	for _, c := range []struct {
		text, key string
		line      int
	}{
		{strings.Replace(good, "boxes  = 6", "boxes  = ", 1), "", 6},
		{strings.Replace(good, "boxes  = 6", "boxes  = -6", 1), "boxes", 6},
		{good + "\n[[piece.art]]\nfile = \"later.svg\"\nheight_mm = 5\n", "piece[2].art[1].file", 56},
	} {
		next := v.events()
		v.writes(c.text)
		v.until(next, "editor")
		s := v.state()
		if len(s.Mistakes) != 1 || s.Mistakes[0].Line != c.line || s.Mistakes[0].Key != c.key || s.at("boxes") != 6.0 {
			t.Errorf("mistakes %+v, %v boxes", s.Mistakes, s.at("boxes"))
		}
		v.want(200, "GET", "/api/piece/1", nil, nil) // the last good one is still shown
		v.want(422, "POST", "/api/build", BuildRequest{s.Version, "A4"}, nil)
		if c.key == "" {
			v.want(422, "POST", "/api/edit", EditRequest{s.Version, []Edit{{Do: "set", Key: "boxes", Value: 3.0}}}, nil)
		}
	}
	next := v.events()
	if err := os.WriteFile(filepath.Join(v.dir, "later.svg"), []byte(leafSVG), 0o644); err != nil {
		t.Fatal(err)
	}
	v.until(next, "editor")
	if s := v.state(); len(s.Mistakes) != 0 || s.at("piece", 1, "art", 0, "file") != "later.svg" {
		t.Errorf("after the missing file has come: %+v", s.Mistakes)
	}
	// A file that changes is seen too.
	next = v.events()
	if err := os.WriteFile(filepath.Join(v.dir, "later.svg"), []byte("no drawing"), 0o644); err != nil {
		t.Fatal(err)
	}
	v.until(next, "editor")
	v.until(next, "sketch")
	if s := v.state(); len(s.Mistakes) != 1 || s.Mistakes[0].File != "later.svg" {
		t.Errorf("after the art was broken: %+v", s.Mistakes)
	}
}

// An edit that cannot be written leaves job and history as they were.
func TestEditOnAFullDisk(t *testing.T) {
	v := opened(t, letters(t))
	s, text := v.state(), v.text()
	if err := os.Mkdir(filepath.Join(v.dir, ".job.toml.saving"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(v.dir, ".job.toml.saving", "x"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	v.want(422, "POST", "/api/edit", EditRequest{s.Version, []Edit{{Do: "set", Key: "boxes", Value: 3.0}}}, nil)
	if s2 := v.state(); s2.Undo != 0 || s2.Version != s.Version || s2.at("boxes") != 6.0 || v.text() != text {
		t.Errorf("after an edit that cannot be saved: %d steps back, %v boxes", s2.Undo, s2.at("boxes"))
	}
}

func TestChangedKeys(t *testing.T) {
	a := []byte("title = \"a\"\n[[piece]]\nname = \"x\"\nlist = [1, 2]\n[[piece]]\nname = \"y\"\n")
	b := []byte("title = \"a\"\n[[piece]]\nname = \"x\"\nlist = [1, 3]\n[[piece]]\nname = \"z\"\nnew = 1\n")
	if got := strings.Join(changedKeys(a, b), " "); got != "piece[1].list piece[2].name piece[2].new" {
		t.Errorf("changed: %s", got)
	}
	if n := count(leaves(a), "piece"); n != 2 {
		t.Errorf("%d pieces", n)
	}
}

func TestBeginning(t *testing.T) {
	path := filepath.Join(t.TempDir(), "new", "gifts", "job.toml")
	v := opened(t, path)
	if s := v.state(); s.Begun || s.Folder != "gifts" || s.Values != nil {
		t.Errorf("before the beginning: %+v", s)
	}
	for _, p := range []string{"tray", "piece/1", "files", "plan"} {
		v.want(404, "GET", "/api/"+p, nil, nil)
	}
	var b Beginnings
	v.want(200, "GET", "/api/begin", nil, &b)
	if len(b.Sets) != 3 || len(b.Art) != 4 || len(b.Printers) != 3 {
		t.Errorf("beginnings %+v", b)
	}
	v.want(422, "POST", "/api/begin", map[string]any{"art": "no such", "needed": "2027-01-02", "boxes": 3}, nil)
	v.want(400, "POST", "/api/begin", map[string]any{"art": b.Art[0], "needed": "soon"}, nil)
	var s seen
	v.want(200, "POST", "/api/begin", map[string]any{"art": b.Art[1], "title": "For Ysoline", "needed": "2027-05-06", "printer": b.Printers[0], "boxes": 5}, &s)
	if !s.Begun || s.at("title") != "For Ysoline" || s.at("boxes") != 5.0 {
		t.Errorf("after the beginning: %+v", s.Values)
	}
	v.want(200, "GET", "/api/piece/1", nil, nil)
	v.want(http.StatusConflict, "POST", "/api/begin", map[string]any{"set": "names", "needed": "2027-05-06"}, nil)
}

// A slider that is dragged sends an edit for each place it passes: one step takes them
// all back, and another key begins a step of its own.
func TestDragIsOneStep(t *testing.T) {
	v := opened(t, letters(t))
	s := v.state()
	was := v.text()
	for _, mm := range []float64{11.5, 12, 12.5} {
		s = v.edit(s.Version, Edit{Do: "set", Key: "piece[1].height_mm", Value: mm})
	}
	s = v.edit(s.Version, Edit{Do: "set", Key: "piece[1].draft_deg", Value: 9.0})
	if s.Undo != 2 {
		t.Fatalf("%d steps back after a drag and another edit, want 2", s.Undo)
	}
	for range 2 {
		v.want(200, "POST", "/api/undo", StepRequest{s.Version}, &s)
	}
	if v.text() != was || s.Undo != 0 || s.Redo != 2 {
		t.Errorf("after two steps back: %d back, %d forward, the file is\n%s", s.Undo, s.Redo, v.text())
	}
	v.want(200, "POST", "/api/redo", StepRequest{s.Version}, &s)
	if s.at("piece", 0, "height_mm") != 12.5 {
		t.Errorf("after one step forward the height is %v", s.at("piece", 0, "height_mm"))
	}
}
