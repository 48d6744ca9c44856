package workshop

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"mouldwright/internal/flow"
	"mouldwright/internal/flow/piece"
)

// A word too fine for chocolate is told without its page being opened, among the
// remarks of the pieces, with its place and the change that mends it.
func TestOutlookTellsWhatNobodyAskedFor(t *testing.T) {
	path := filepath.Join(t.TempDir(), "job.toml")
	text := `title = "x"
needed = 2027-03-14
[chocolate.dark]
[[piece]]
name = "plaque"
chocolate = "dark"
width_mm = 30
depth_mm = 14
height_mm = 6
  [[piece.art]]
  text = "thin"
  font = "sans"
  width_mm = 9
`
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	v := opened(t, path)
	for deadline := time.Now().Add(time.Minute); ; time.Sleep(200 * time.Millisecond) {
		var st State
		if err := json.NewDecoder(v.do("GET", "/api/state", nil, nil).Body).Decode(&st); err != nil {
			t.Fatal(err)
		}
		later := false // a remark of another stage came before
		for _, f := range st.Findings {
			if f.Stage != "pieces" {
				later = true
			}
			if !strings.Contains(f.What, "of thin") {
				continue
			}
			if later || f.Stage != "pieces" || f.At.Piece != "plaque" || f.Remedy.Key == "" {
				t.Errorf("%+v", f)
			}
			return
		}
		if time.Now().After(deadline) {
			t.Fatalf("nothing was told: %+v", st.Findings)
		}
	}
}

// Of a piece with names the first and the longest are looked at.
func TestOutlookLooksAtTheLongestName(t *testing.T) {
	in := &flow.Input{Rows: []flow.Row{{Label: "Ysoline"}, {Label: "Oda"}, {Label: "Theophania"}, {Label: "Żywomira"}}}
	in.Choices.Pieces = []piece.Choices{{}, {Names: true}}
	got := looked(in)
	want := []lookedAt{{0, -1}, {1, 0}, {1, 2}}
	if len(got) != len(want) {
		t.Fatalf("%v, want %v", got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("%v, want %v", got, want)
		}
	}
}
