package job

import (
	"strings"
	"testing"
	"testing/fstest"

	"mouldwright/internal/base/unit"
)

// small is the shortest job that is whole.
const small = `title = "Hazel evening"
needed = 2027-03-14

[chocolate.dark]

[[piece]]
name = "button"
chocolate = "dark"
outline = "round"
`

func TestSmallJobListsWhatItAssumed(t *testing.T) {
	j, err := Read("job.toml", []byte(small))
	if err != nil {
		t.Fatal(err)
	}
	if got := j.Choices.Needed; got != (unit.Date{Year: 2027, Month: 3, Day: 14}) {
		t.Errorf("needed = %v", got)
	}
	assumed := map[string]string{}
	for _, a := range j.Assumed {
		assumed[a.Key] = a.Value + " | " + a.Source
	}
	for key, want := range map[string]string{
		"piece[1].draft_deg":      "8 | default",
		"printer.pixel_mm":        `0.035 | class "small plate": common practice, no source`,
		"silicone.density_g_ml":   `1.05 / 1.08 / 1.12 | class "soft food-grade rubber": common practice, no source`,
		"chocolate.dark.kind":     "dark | default",
		"master.rubber_over_mm":   "9 | default",
		"chocolate.dark.yield_pa": `4 / 15 / 32 | class "dark": S. T. Beckett (ed.) 1999; Casson values as published for single samples`,
	} {
		if assumed[key] != want {
			t.Errorf("assumed %s: %q, want %q", key, assumed[key], want)
		}
	}
	for _, key := range []string{"piece[1].name", "piece[1].outline", "title"} {
		if v, ok := assumed[key]; ok {
			t.Errorf("%s was entered, yet stands under assumed as %s", key, v)
		}
	}
}

func TestOwnValuesBeatTheClass(t *testing.T) {
	j, err := Read("job.toml", []byte(small+"\n[printer]\nclass = \"large plate\"\npixel_mm = 0.05\n\n[silicone]\ndensity_g_ml = [1.0, 1.1, 1.2]\nworking_time_min = 12\n"))
	if err != nil {
		t.Fatal(err)
	}
	p, s := j.Choices.Printer, j.Choices.Silicone
	if p.PixelMM != 0.05 || p.PlateWidthMM != 280 || s.DensityGML != unit.Between(1, 1.1, 1.2) || s.WorkingTimeMin != unit.Sure(12) || s.RatioB != 1 {
		t.Errorf("printer %+v, silicone %+v", p, s)
	}
}

// Every mistake has its place and its remedy. The text is the small job with one
// line replaced or added.
func TestMistakes(t *testing.T) {
	for _, c := range []struct{ name, from, to, want string }{
		{"unknown key", "outline = ", "outlin = ", "job.toml:9:1: piece[1].outlin: unknown key\n  try: write outline"},
		{"unknown tables", "[chocolate.dark]", "[[guest]]\nname = \"Ottoline\"\n[chocolate.dark]", "job.toml:4:3: guest: unknown key"},
		{"case counts", "outline = ", "Outline = ", "piece[1].Outline: unknown key\n  try: write outline"},
		{"wrong type", `"round"`, "12", "job.toml:9:1: piece[1].outline: not text: 12"},
		{"no such word", `"round"`, `"rond"`, `piece[1].outline: found "rond"` + "\n  allowed: round, oval"},
		{"negative", `outline = "round"`, "width_mm = -3", "piece[1].width_mm: found -3\n  allowed: 4 to 300"},
		{"not a number", `outline = "round"`, "width_mm = nan", "piece[1].width_mm: found NaN"},
		{"endless", `outline = "round"`, "width_mm = inf", "piece[1].width_mm: found +Inf"},
		{"draft of 90", `outline = "round"`, "draft_deg = 90", "piece[1].draft_deg: found 90\n  allowed: 0 to 45"},
		{"text for number", `outline = "round"`, `draft_deg = "8"`, `piece[1].draft_deg: not a number: "8"`},
		{"missing", "title = \"Hazel evening\"", "", "title: missing"},
		{"quoted date", "2027-03-14", `"2027-03-14"`, "job.toml:2:1: needed: not a date"},
		{"no such day", "2027-03-14", "2027-02-30", "job.toml:2:"},
		{"syntax", `"round"`, `"round`, "job.toml:9:"},
		{"duplicate key", "outline = ", "name = \"b\"\noutline = ", "job.toml:9:"},
		{"no such chocolate", `chocolate = "dark"`, `chocolate = "milk"`, `piece[1].chocolate: no chocolate "milk"` + "\n  allowed: dark"},
		{"range out of order", "[chocolate.dark]", "[chocolate.dark]\nfat_pct = [40, 30, 50]", "chocolate.dark.fat_pct: out of order"},
		{"no such class", "[chocolate.dark]", "[printer]\nclass = \"tiny\"\n[chocolate.dark]", "printer.class: no class \"tiny\"\n  allowed: large plate, medium plate, small plate"},
		{"control character", `"button"`, `"but\u0007ton"`, "piece[1].name: control character U+0007"},
		{"variable without names", `outline = "round"`, "[[piece.art]]\ntext = \"{name}\"", "piece[1].art[1].text: \"{name}\" holds a variable"},
		{"neither text nor file", `outline = "round"`, "[[piece.art]]\ndepth_mm = 1", "piece[1].art[1]: needs either text or file"},
		{"pixel of zero", "[chocolate.dark]", "[printer]\npixel_mm = 0\n[chocolate.dark]", "printer.pixel_mm: found 0\n  allowed: 0.005 to 0.5"},
		{"margin eats plate", "[chocolate.dark]", "[printer]\nmargin_mm = 40\n[chocolate.dark]", "printer.margin_mm: margins of 40 mm leave nothing"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := strings.Replace(small, c.from, c.to, 1)
			if text == small {
				t.Fatalf("%q does not stand in the small job", c.from)
			}
			_, err := Read("job.toml", []byte(text))
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got:\n%v\nwant:\n%s", err, c.want)
			}
		})
	}
}

func TestFilesBesideTheJobOnly(t *testing.T) {
	for _, c := range []struct{ file, want string }{
		{"../secret.svg", "lies outside the job's folder"},
		{"/etc/hostname", "lies outside the job's folder"},
		{"missing.svg", `job.toml:11:1: piece[1].art[1].file: no file "missing.svg"`},
		{"empty.svg", "is empty"},
		{"folder", "is no ordinary file"},
	} {
		j, err := Read("job.toml", []byte(small+"[[piece.art]]\nfile = \""+c.file+"\"\n"))
		if err != nil {
			t.Fatal(err)
		}
		_, err = j.Input(t.Context(), fstest.MapFS{"empty.svg": {}, "folder/a.svg": {Data: []byte("x")}})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %s", c.file, err, c.want)
		}
	}
}

func TestNames(t *testing.T) {
	rows, err := readNames("guests.csv", []byte("\ufeffname;table\nYsoline Marrowby;3\n\"Quillon, the elder\";4\n"))
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 2 || rows[0].Label != "Ysoline Marrowby" || rows[0].Vars["table"] != "3" || rows[1].Label != "Quillon, the elder" {
		t.Errorf("rows = %+v", rows)
	}
	for _, c := range []struct{ text, want string }{
		{"", "no header line"},
		{"name,\nA,b\n", "column 2 has no name of its own"},
		{"name\nJos\xe9\n", "guests.csv:2: a character that is not UTF-8"},
		{"name,table\nA\n", "guests.csv:2: 1 columns\n  allowed: 2"},
		{"name\nA\u0007b\n", "guests.csv:2: control character U+0007 at character 2"},
		{"name\n\"\"\n", "an empty name"},
		{"name\n" + strings.Repeat("x", 500), "has 500 bytes"},
	} {
		if _, err := readNames("guests.csv", []byte(c.text)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v, want %s", c.text, err, c.want)
		}
	}
}

func TestDuplicateNamesAreRefused(t *testing.T) {
	j, err := Read("job.toml", []byte(small+"[names]\nlist = [\"Orla\", \"Bexley\", \"Orla\"]\n"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := j.Input(t.Context(), fstest.MapFS{}); err == nil || !strings.Contains(err.Error(), `"Orla" stands at 1 and at 3`) {
		t.Errorf("duplicate names: %v", err)
	}
}

// Whatever a file holds, Read ends with a job or an error, and every place that it
// indexed lies inside the text.
func FuzzRead(f *testing.F) {
	f.Add([]byte(small))
	f.Add([]byte("a = [[1, 2], {b = \"]\"}] # x\n[c.d]\n\"e f\" = '''\n]'''\n[[g]]\n[[g.h]]\ni.j = {k = 1}\n"))
	f.Add([]byte("names = { row = [ { name = \"x\" } ] }\npiece = [ { name = 1 } ]\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		j, err := Read("job.toml", text)
		if err != nil {
			return
		}
		for key, p := range j.ix {
			if p.valueLo < 0 || p.valueHi > len(text) || p.valueLo > p.valueHi || p.line < 1 {
				t.Errorf("%s at %+v of %d bytes", key, p, len(text))
			}
		}
	})
}

func TestIndexFindsValues(t *testing.T) {
	text := []byte("a = [1, \"]\", 3] # [\n[t]\nb = {c = 1, d = \"}\"}\n[[p]]\nx = 'q'\n[[p]]\nx.y = \"\"\"m\n\"\"\"\n[[p.s]]\nz = 1.5\n")
	ix := indexKeys(text)
	for key, want := range map[string]string{
		"a": `[1, "]", 3]`, "t.b": `{c = 1, d = "}"}`, "t.b.c": "1", "p[1].x": "'q'", "p[2].x.y": "\"\"\"m\n\"\"\"", "p[2].s[1].z": "1.5",
	} {
		p, ok := ix[key]
		if got := string(text[p.valueLo:p.valueHi]); !ok || got != want {
			t.Errorf("%s: %q, want %q", key, got, want)
		}
	}
	if p := ix["p[2].s[1].z"]; p.line != 10 || p.column != 1 {
		t.Errorf("p[2].s[1].z at %d:%d", p.line, p.column)
	}
}
