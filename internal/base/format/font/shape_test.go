package font

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/go-text/typesetting/language"

	"mouldwright/internal/base/peer"
)

// words are samples of each script, with what makes it hard to shape.
var words = []struct {
	script language.Script
	iso    string
	rtl    bool
	fonts  []string
	words  []string
}{
	{language.Latin, "latn", false, []string{"sans", "sans bold", "serif", "serif bold", "slab", "slab bold", "script", "script bold", "display", "rounded"},
		[]string{"Orchard", "office ffl fi", "AVATAR To Ty", "Ysoline", "e\u0301te\u0301", "Žofie", "Ødegård", "n\u0303", "24", "a\u200db", "quince & plum"}},
	{language.Latin, "latn", false, []string{"sans", "sans bold", "serif", "serif bold"}, []string{"Nguyễn", "Ąžuolė", "Þóra", "a\u0323\u0302"}},
	{language.Greek, "grek", false, []string{"sans", "sans bold", "serif", "serif bold", "slab", "slab bold"}, []string{"Ελένη", "Ωρίων", "ε\u0301"}},
	{language.Cyrillic, "cyrl", false, []string{"sans", "sans bold", "serif", "serif bold", "slab", "slab bold"}, []string{"Жанна", "Йорданка", "и\u0306"}},
	{language.Arabic, "arab", true, []string{"sans arabic", "sans arabic bold", "serif arabic", "serif arabic bold", "display"},
		[]string{"نورهان", "محمد", "لا إله", "سَلَامٌ", "ک\u200cگ", "الله"}},
	{language.Hebrew, "hebr", true, []string{"sans hebrew", "sans hebrew bold", "serif hebrew", "serif hebrew bold"}, []string{"נעמי", "שָׁלוֹם", "יִשְׂרָאֵל"}},
	{language.Devanagari, "deva", false, []string{"sans devanagari", "sans devanagari bold", "serif devanagari", "serif devanagari bold"},
		[]string{"नाम", "श्रीकृष्ण", "क्षेत्र", "र्कि", "हिन्दी", "क्\u200dष", "ज़ोया"}},
	{language.Bengali, "beng", false, []string{"sans bengali", "sans bengali bold"}, []string{"অনন্যা", "শ্রী", "র্কি"}},
	{language.Tamil, "taml", false, []string{"sans tamil", "sans tamil bold"}, []string{"கமலா", "ஸ்ரீ", "கொ"}},
	{language.Thai, "thai", false, []string{"sans thai", "sans thai bold"}, []string{"ไพลิน", "น้ำ", "ปู่"}},
	{language.Armenian, "armn", false, []string{"sans armenian", "sans armenian bold"}, []string{"Նարե", "մեն"}},
	{language.Georgian, "geor", false, []string{"sans georgian", "sans georgian bold"}, []string{"ნინო", "ქეთევანი"}},
	{language.Hiragana, "hira", false, []string{"sans japanese"}, []string{"さくら", "か\u3099"}},
	{language.Katakana, "kana", false, []string{"sans japanese"}, []string{"チョコレート"}},
	{language.Han, "hani", false, []string{"sans japanese"}, []string{"花子", "桜"}},
}

// TestShape compares glyphs, advances and offsets with HarfBuzz's own hb-shape,
// the reference of OpenType shaping, glyph for glyph and in whole font units.
func TestShape(t *testing.T) {
	tool := peer.Tool(t, "hb-shape", "libharfbuzz-bin")
	dir := t.TempDir()
	s := NewShaper()
	tested := map[string]bool{}
	compared := 0
	for _, w := range words {
		for _, name := range w.fonts {
			f := Builtin(name)
			path := filepath.Join(dir, "font")
			if err := os.WriteFile(path, fileOf(t, name), 0o600); err != nil {
				t.Fatal(err)
			}
			tested[name] = true
			for _, word := range w.words {
				text := []rune(word)
				got, err := s.Shape(Run{Font: f, Text: text, End: len(text), Script: w.script, RTL: w.rtl})
				if err != nil {
					t.Fatal(err)
				}
				direction := "ltr"
				if w.rtl {
					direction = "rtl"
				}
				out, err := exec.Command(tool, "--output-format=json", "--no-glyph-names", "--language=und",
					"--script="+w.iso, "--direction="+direction, path, word).Output()
				if err != nil {
					t.Fatalf("hb-shape: %v", err)
				}
				var want []struct {
					G              GID
					Cl             int
					Dx, Dy, Ax, Ay float64
				}
				if err := json.Unmarshal(out, &want); err != nil {
					t.Fatalf("hb-shape wrote %q: %v", out, err)
				}
				same := len(got) == len(want)
				for i := 0; same && i < len(got); i++ {
					same = got[i] == Placed{Glyph: want[i].G, Cluster: want[i].Cl, X: want[i].Dx, Y: want[i].Dy, Advance: want[i].Ax}
				}
				if !same {
					t.Errorf("%s %q (%+q):\n got %+v\nwant %s", name, word, word, got, out)
				}
				compared++
			}
		}
	}
	for _, name := range Names() {
		if !tested[name] {
			t.Errorf("%s has no sample words here", name)
		}
	}
	t.Logf("%d words in %d fonts compared with hb-shape", compared, len(tested))
}

// fileOf is the file of a built-in font.
func fileOf(t testing.TB, name string) []byte {
	for i := range builtins {
		if builtins[i].name == name {
			data, err := files.ReadFile("files/" + builtins[i].file)
			if err != nil {
				t.Fatal(err)
			}
			return data
		}
	}
	t.Fatalf("no built-in font %q", name)
	return nil
}
