package job

import (
	"testing"

	"github.com/pelletier/go-toml/v2"
	"pgregory.net/rapid"

	"mouldwright/internal/base/unit"
)

const edited = `# a supper
title = "Hazel evening" # the name

[printer]
pixel_mm = 0.05    # measured

# the first piece
[[piece]]
name = "button"
width_mm = 20

  [[piece.art]]
  text = "B"   # bold

# the second piece
[[piece]]
name = "plaque"
`

func TestSetKeyKeepsTheRest(t *testing.T) {
	for _, c := range []struct {
		key   string
		value any
		want  string
	}{
		{"title", `The "old" barn`, "title = \"The \\\"old\\\" barn\" # the name\n"},
		{"printer.pixel_mm", 0.035, "pixel_mm = 0.035    # measured\n"},
		{"printer.layer_mm", 0.05, "pixel_mm = 0.05    # measured\nlayer_mm = 0.05\n"},
		{"piece[1].art[1].text", "C", "  text = \"C\"   # bold\n"},
		{"piece[1].art[1].depth_mm", 1.0, "  text = \"B\"   # bold\n  depth_mm = 1\n"},
		{"piece[1].height_mm", 9.5, "width_mm = 20\nheight_mm = 9.5\n\n  [[piece.art]]"},
		{"piece[2].count", 3, "name = \"plaque\"\ncount = 3\n"},
		{"needed", unit.Date{Year: 2027, Month: 3, Day: 14}, "# the name\nneeded = 2027-03-14\n"},
		{"resin.shrinkage", unit.Between(0.001, 0.002, 0.004), "\n[resin]\nshrinkage = [0.001, 0.002, 0.004]\n"},
	} {
		got, err := SetKey([]byte(edited), c.key, c.value)
		if err != nil {
			t.Fatal(err)
		}
		if !contains(got, c.want) {
			t.Errorf("SetKey %s: want %q in\n%s", c.key, c.want, got)
		}
		for _, comment := range []string{"# a supper", "# the first piece", "# the second piece"} {
			if !contains(got, comment) {
				t.Errorf("SetKey %s lost %q", c.key, comment)
			}
		}
	}
}

func contains(text []byte, s string) bool {
	return len(s) > 0 && string(text) != "" && indexOf(string(text), s) >= 0
}

func indexOf(text, s string) int {
	for i := 0; i+len(s) <= len(text); i++ {
		if text[i:i+len(s)] == s {
			return i
		}
	}
	return -1
}

func pieceNames(t *testing.T, text []byte) string {
	t.Helper()
	var tree struct{ Piece []struct{ Name string } }
	if err := toml.Unmarshal(text, &tree); err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	s := ""
	for _, p := range tree.Piece {
		s += p.Name + " "
	}
	return s
}

func TestItems(t *testing.T) {
	must := func(text []byte, err error) []byte {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return text
	}
	copied := must(CopyItem([]byte(edited), "piece", 1))
	if got := pieceNames(t, copied); got != "button button plaque " {
		t.Errorf("after a copy: %s\n%s", got, copied)
	}
	if got := pieceNames(t, must(CopyItem([]byte(edited), "piece", 2))); got != "button plaque plaque " {
		t.Errorf("after copying the last: %s", got)
	}
	if got := pieceNames(t, must(MoveItem([]byte(edited), "piece", 1, 2))); got != "plaque button " {
		t.Errorf("after moving down: %s", got)
	}
	back := must(MoveItem(must(MoveItem([]byte(edited), "piece", 2, 1)), "piece", 2, 1))
	if got := pieceNames(t, back); got != "button plaque " || !contains(back, "# the second piece\n[[piece]]\nname = \"plaque\"") {
		t.Errorf("after moving up twice:\n%s", back)
	}
	if got := must(RemoveItem([]byte(edited), "piece", 1)); pieceNames(t, got) != "plaque " || contains(got, "first piece") || contains(got, "art") {
		t.Errorf("after removing the first:\n%s", got)
	}
	if _, err := RemoveItem([]byte(edited), "piece", 3); err == nil {
		t.Error("removing a third of two pieces went through")
	}
	if got := RemoveKey([]byte(edited), "piece[1].width_mm"); contains(got, "width_mm") || !contains(got, "name = \"button\"\n\n  [[piece.art]]") {
		t.Errorf("after removing a key:\n%s", got)
	}
}

// Whatever text is set, reading the file gives it back, and setting the old value
// again gives the old file.
func TestSetKeyIsUndone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "text")
		text, err := SetKey([]byte(edited), "title", s)
		if err != nil {
			t.Fatal(err)
		}
		var tree map[string]any
		if err := toml.Unmarshal(text, &tree); err != nil || tree["title"] != s {
			t.Fatalf("set %q, read %q, %v", s, tree["title"], err)
		}
		back, err := SetKey(text, "title", "Hazel evening")
		if err != nil || string(back) != edited {
			t.Fatalf("after undoing: %v\n%s", err, back)
		}
	})
}
