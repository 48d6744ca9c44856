package record

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"image"
	pngs "image/png"
	"slices"
	"strings"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/format/threemf"
	"mouldwright/internal/base/mesh"
	"mouldwright/internal/flow"
	"mouldwright/internal/job"
)

// The vectors of FIPS 180-4 for SHA-256 as NIST publishes them (Cryptographic Standards
// and Guidelines, Examples with Intermediate Values: one block, two blocks), from
// memory, and the million letters a of the same page.
func TestDigestOnFIPSVectors(t *testing.T) {
	for text, want := range map[string]string{
		"":    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
		"abc": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
		"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq": "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
		strings.Repeat("a", 1_000_000):                             "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0",
	} {
		if got := digestOf([]byte(text)); got != want {
			t.Errorf("%.10q: %s, want %s", text, got, want)
		}
	}
}

const text = `title = "Two hearts"
needed = 2027-02-14
[chocolate.dark]
[[piece]]
name = "heart"
count = 2
chocolate = "dark"
outline = "heart"
width_mm = 30
height_mm = 9
`

// input reads a job's text.
func input(t testing.TB, text string) *flow.Input {
	t.Helper()
	j, err := job.Read("job.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return &flow.Input{Choices: j.Choices, Files: map[string][]byte{}}
}

// keep remembers a build of a text that made one plate.
func keep(t testing.TB, r *Record, text, program string, files map[string][]byte, made []byte) (*Revision, Present) {
	t.Helper()
	in := input(t, text)
	for n, f := range files {
		in.Files[n] = f
	}
	p := Present{Input: in, Program: program}
	plan := &flow.Plan{Title: in.Choices.Title, Revision: p.Code(), Digest: p.digest(), Version: program}
	b := Built{JobText: []byte(text), Input: in, Plan: plan}
	if made != nil {
		b.Made = []File{{Name: "plates/plate-01-" + p.Code() + ".3mf", SHA256: fmt.Sprintf("%x", sha256.Sum256(made)), Bytes: len(made)}}
	}
	v, err := r.KeepRevision(t.Context(), b)
	if err != nil {
		t.Fatal(err)
	}
	return v, p
}

// plateOf is a plate's file with the stamps of a revision.
func plateOf(t testing.TB, title string, p Present) []byte {
	t.Helper()
	tetra := &mesh.Mesh{V: [][3]float32{{0, 0, 0}, {9, 0, 0}, {0, 9, 0}, {0, 0, 9}}, T: [][3]uint32{{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {0, 3, 2}}}
	var b bytes.Buffer
	m := &threemf.Model{Title: title + ", plate 1", Metadata: []threemf.Meta{{Name: threemf.Revision, Value: p.Code()}, {Name: "Description", Value: "Made from the inputs with SHA-256 " + p.digest()}},
		Objects: []threemf.Object{{Name: "tile", Mesh: tetra}}, Items: []threemf.Item{{Object: 0, PartNumber: "tile", Transform: threemf.Move(0, 0, 0)}}}
	if err := threemf.Write(t.Context(), &b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestVerify(t *testing.T) {
	r := open(t, newJob(t))
	_, p1 := keep(t, r, text, "1.0", nil, []byte("no more than a name"))
	file1 := plateOf(t, "Two hearts", p1)
	keep(t, r, text, "1.0", nil, file1) // built again: the file is added
	lower := strings.Replace(text, "height_mm = 9", "height_mm = 8.5", 1)
	_, p2 := keep(t, r, lower, "1.0", nil, nil)
	file2 := plateOf(t, "Two hearts", p2)
	keep(t, r, lower, "1.0", nil, file2)
	other := Present{Input: input(t, strings.Replace(text, "Two hearts", "Three leaves", 1)), Program: "1.0"}
	name := func(p Present) string { return "plate-01-" + p.Code() + ".3mf" }

	flipped := bytes.Clone(file2)
	flipped[len(flipped)/2] ^= 1
	for _, c := range []struct {
		what, name string
		data       []byte
		kind, says string
	}{
		{"the present file", name(p2), file2, "current", "byte for byte"},
		{"the present file under another name", "x.3mf", file2, "current", "byte for byte"},
		{"an older file", name(p1), file1, "older", "not the job as it is now"},
		{"another job's", name(other), plateOf(t, "Three leaves", other), "other job", "Three leaves"},
		{"a flipped bit", name(p2), flipped, "damaged", p2.Code()},
		{"cut short", name(p2), file2[:len(file2)/2], "damaged", p2.Code()},
		{"saved anew by another program", name(p2), plateOf(t, "Two hearts, scaled", p2), "damaged", "none that were built"},
		{"a letter", "letter.txt", []byte("Dear Ysoline"), "unknown", "no mark"},
		{"nothing", "empty", nil, "unknown", "no mark"},
	} {
		v, err := VerifyFile(t.Context(), r, c.name, c.data, p2)
		if err != nil || v.Kind != c.kind || !strings.Contains(v.Words, c.says) {
			t.Errorf("%s: %+v, %v, want %s", c.what, v, err, c.kind)
		}
	}
	v, _ := VerifyFile(t.Context(), r, name(p1), file1, p2)
	if !slices.Equal(v.Changes, []string{"piece heart: height 9 -> 8.5 mm"}) {
		t.Errorf("since then: %q", v.Changes)
	}
	for code, kind := range map[string]string{p2.Code(): "current", strings.ToLower(p2.Code()): "current", p1.Code(): "older", other.Code(): "unknown", "hello": "unknown"} {
		if v, err := VerifyCode(t.Context(), r, code, p2); err != nil || v.Kind != kind {
			t.Errorf("code %s: %+v, %v, want %s", code, v, err, kind)
		}
	}
}

// One misread symbol, anywhere, is caught by the check symbol, and what was meant is
// among the plausible readings, first; so are two neighbours changed for each other,
// unless they are equal (D. Crockford, crockford.com/base32.html: the check symbol
// detects wrong-symbol and transposed-symbol errors).
func TestMisreadCode(t *testing.T) {
	r := open(t, newJob(t))
	_, now := keep(t, r, text, "1.0", nil, nil)
	code := now.Code()
	const symbols = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
	tried := 0
	ask := func(wrong string) {
		tried++
		v, err := VerifyCode(t.Context(), r, wrong, now)
		if err != nil || v.Kind != "misread" || len(v.Perhaps) == 0 || v.Perhaps[0] != code {
			t.Errorf("%s, read for %s: %+v, %v", wrong, code, v, err)
		}
	}
	for i := range code {
		for _, s := range symbols {
			if byte(s) != code[i] {
				ask(code[:i] + string(s) + code[i+1:])
			}
		}
	}
	for i := 1; i < len(code); i++ {
		if code[i] != code[i-1] {
			ask(code[:i-1] + string(code[i]) + string(code[i-1]) + code[i+1:])
		}
	}
	ask(code[:3] + code[4:])
	if tried < 200 {
		t.Errorf("only %d readings were tried", tried)
	}
}

func TestChanges(t *testing.T) {
	r := open(t, newJob(t))
	art := text + "\n  [[piece.art]]\n  file = \"a.svg\"\n  depth_mm = 0.8\n"
	keep(t, r, art, "1.0", map[string][]byte{"a.svg": []byte("<svg/>")}, nil)
	next := strings.Replace(art, "0.8", "1.0", 1) + "[[piece]]\nname = \"bee\"\nchocolate = \"dark\"\noutline = \"round\"\nwidth_mm = 20\n"
	next = strings.Replace(next, "[chocolate.dark]", "# a comment\nboxes = 3\n[resin]\nexposure_s = 3.5\n[chocolate.dark]", 1)
	v, _ := keep(t, r, next, "1.1", map[string][]byte{"a.svg": []byte("<svg> </svg>"), "b.svg": nil}, nil)
	got := strings.Split(v.Changes, "\n")
	for _, want := range []string{"program 1.0 -> 1.1", "boxes 1 -> 3", "piece heart: art 1 depth 0.8 -> 1 mm", "piece bee added", "file a.svg changed: 6 -> 12 bytes", "file b.svg added"} {
		if !slices.Contains(got, want) {
			t.Errorf("%q is not told; told is %q", want, got)
		}
	}
	if !strings.Contains(v.Changes, "resin: exposure ") || strings.Contains(v.Changes, "comment") {
		t.Errorf("told is %q", got)
	}
	v, _ = keep(t, r, art, "1.1", map[string][]byte{"a.svg": []byte("<svg> </svg>")}, nil)
	if !strings.Contains(v.Changes, "piece bee taken out") || !strings.Contains(v.Changes, "file b.svg taken out") {
		t.Errorf("back: %q", v.Changes)
	}
	again, _ := keep(t, r, art, "1.1", map[string][]byte{"a.svg": []byte("<svg> </svg>")}, nil)
	if again.ID != v.ID {
		t.Error("the same inputs made two revisions")
	}
}

// What changed in files and lists is told in words.
func TestChangesOfFiles(t *testing.T) {
	png := func(w, h int) []byte {
		var b bytes.Buffer
		if err := pngs.Encode(&b, image.NewGray(image.Rect(0, 0, w, h))); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	in := func(files map[string][]byte, rows ...flow.Row) made {
		i := input(t, text)
		i.Files, i.Rows, i.Choices.Names.File = files, rows, "guests.csv"
		i.Files["guests.csv"] = []byte(fmt.Sprint(rows))
		return madeNow(i, "1.0")
	}
	row := func(name string, more ...string) flow.Row {
		r := flow.Row{Label: name, Vars: map[string]string{"name": name}}
		for i := 0; i < len(more); i += 2 {
			r.Vars[more[i]] = more[i+1]
		}
		return r
	}
	a := in(map[string][]byte{"bee.svg": []byte(`<svg viewBox="0 0 10 10"><path d="M0 0L1 1Z m1 1"/><circle/></svg>`), "pears.png": png(20, 10), "x.ttf": {1, 2}},
		row("Ysoline", "allergies", "milk"), row("Bexhild", "table", "3"))
	b := in(map[string][]byte{"bee.svg": []byte(`<svg viewBox="0 0 12 10"><path d="M0 0L1 1Z"/><circle/><circle/></svg>`), "pears.png": png(20, 30), "x.ttf": {1, 3}},
		row("Ysoline", "allergies", "milk, nuts", "vegan", "yes"), row("Perrin", "table", "3"))
	want := []string{
		"file bee.svg changed: viewBox 0 0 10 10 -> 0 0 12 10; subpaths 2 -> 1; circles 1 -> 2",
		"file guests.csv changed: Ysoline, allergies milk -> milk, nuts; Ysoline, vegan none -> yes",
		"file pears.png changed: pixels 20 x 10, png -> 20 x 30, png",
		"file x.ttf changed: as long as before, with other content",
		"names added: Perrin", "names taken out: Bexhild",
	}
	if got := changes(a, b); !slices.Equal(got, want) {
		t.Errorf("%q\nwant %q", got, want)
	}
	if got := changes(a, in(map[string][]byte{"bee.svg": []byte(`<svg viewBox="0 0 10 10"><path d="M0 0L1 1Z m1 1"/><circle/></svg>`), "pears.png": png(20, 10), "x.ttf": {1, 2}}, row("Ysoline", "allergies", "milk"))); !slices.Equal(got, []string{"names taken out: Bexhild"}) {
		t.Errorf("%q", got)
	}
}

// A dome's heights come back to a step, and what was taken off it is what is seen.
func TestHeights(t *testing.T) {
	f := field.New(field.Grid{W: 300, H: 200, PitchMM: 0.05, X0: -7.5, Y0: -5})
	g := field.New(f.Grid)
	for j := range f.H {
		for i := range f.W {
			p := f.XY(i, j)
			f.Z[j*f.W+i] = float32(max(0, 8-0.1*(p.X*p.X+p.Y*p.Y)))
			g.Z[j*f.W+i] = f.Z[j*f.W+i]
			if p.X > 0 {
				g.Z[j*f.W+i] = max(0, g.Z[j*f.W+i]-0.5)
			}
		}
	}
	a, err := HeightsOf("dome", f)
	if err != nil {
		t.Fatal(err)
	}
	b, _ := HeightsOf("dome", g)
	if a.SHA256 == b.SHA256 || a.PitchMM != 0.2 {
		t.Errorf("pitch %g", a.PitchMM)
	}
	fa, err := a.Field()
	if err != nil {
		t.Fatal(err)
	}
	fb, _ := b.Field()
	for j := range fa.H {
		for i := range fa.W {
			// Half a step of height, and float32's rounding of a height of 8 mm.
			if d := float64(fa.At(i, j) - f.At(4*i, 4*j)); d > 0.00051 || d < -0.00051 {
				t.Fatalf("%d %d: %g off", i, j, d)
			}
		}
	}
	d := Difference(fa, fb)
	for j := range d.H {
		for i := range d.W {
			p, want := d.XY(i, j), float32(0)
			if p.X > 0.21 {
				want = -0.5
			}
			if p.X > -0.21 && p.X <= 0.21 || p.X < -7 || p.X > 7 || p.Y < -4.7 || p.Y > 4.7 || nearest(fa, p.X, p.Y) < 0.6 {
				continue
			}
			if e := d.At(i, j) - want; e > 0.0011 || e < -0.0011 {
				t.Fatalf("%v: %g, want %g", p, d.At(i, j), want)
			}
		}
	}
}
