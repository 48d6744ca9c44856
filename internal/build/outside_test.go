package build

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"image/png"
	"io/fs"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"golang.org/x/text/unicode/norm"

	"mouldwright/internal/base/format"
	"mouldwright/internal/base/format/stl"
	"mouldwright/internal/base/format/threemf"
	"mouldwright/internal/base/peer"
	"mouldwright/internal/flow"
)

// TestFromOutside builds the example, cut down, in both ways of printing pieces, and
// has everything that was written judged by others. A build on one core must give the
// bytes of one on two.
func TestFromOutside(t *testing.T) {
	for _, c := range []struct {
		name string
		more string // mould rules
	}{
		{"tiles", ""},
		{"loose", "layout = \"packed\"\nbuild = \"loose\"\n[plate]\nstl = true\n"},
		{"own boards", "frame = \"own boards\"\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := orchard(t, guests, append(slices.Clone(small), master(c.more))...)
			defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(2))
			dir, in, r := built(t, path)
			if len(r.Plan.Plates) == 0 {
				t.Fatal("no plates")
			}
			t.Run("files", func(t *testing.T) { checkFiles(t, dir, r) })
			t.Run("plan", func(t *testing.T) { checkPlan(t, dir) })
			t.Run("sheets", func(t *testing.T) { checkSheets(t, dir, &r.Plan) })
			t.Run("plates", func(t *testing.T) { checkPlates(t, dir, in, &r.Plan) })
			if c.name == "tiles" {
				runtime.GOMAXPROCS(1)
				one, _, _ := built(t, path)
				same(t, one, dir)
			}
		})
	}
}

// checkFiles wants every file that the plan names, with its digest, and no other.
func checkFiles(t *testing.T, dir string, r *flow.Result) {
	want := []string{"pictures/all.png", "plan.json", "calendar.ics", "shopping.csv", "sheets/calendar.pdf",
		"sheets/bench.pdf", "sheets/job.pdf", "sheets/kitchen.pdf", "sheets/boxes.pdf", "sheets/cards.pdf", "sheets/labels.pdf"}
	for _, p := range r.Plan.Plates {
		data, err := os.ReadFile(filepath.Join(dir, p.File))
		if err != nil {
			t.Fatal(err)
		}
		if got := fmt.Sprintf("%x", sha256.Sum256(data)); got != p.SHA256 {
			t.Errorf("%s has SHA-256 %s, the plan says %s", p.File, got, p.SHA256)
		}
		want = append(want, p.File)
		if r.Choices.Plate.STL {
			want = append(want, p.STL)
		}
	}
	slices.Sort(want)
	if got := names(t, dir); !slices.Equal(got, want) {
		t.Errorf("the folder holds\n %v, want\n %v", got, want)
	}
}

// planKeys are the keys that anyone who reads plan.json may rely on.
var planKeys = map[string]string{
	"":           "revision assumed findings pieces masters plates silicone chocolate filling_mass_g",
	"findings[]": "severity where what do",
	"pieces[]":   "name count volume_mm3 solid_mass_g shell_volume_mm3 filling_volume_mm3 cap_volume_mm3 min_draft_deg undercut_volume_mm3",
	"masters[]":  "tiles width_mm depth_mm height_mm solid_volume_mm3",
	"boxes[]":    "person cells allergens best_before net_g",
	"plates[]":   "file sha256 layers print_time_min resin_ml",
	"silicone":   "volume_mm3 mass_g part_a_g part_b_g",
	"chocolate":  "shell_mass_g cap_mass_g melt_mass_g",
}

// checkPlan has plan.json validated by the package jsonschema of Python (Debian's
// 4.10.3, draft 2020-12), and looks for the promised keys.
func checkPlan(t *testing.T, dir string) {
	text, err := os.ReadFile(filepath.Join(dir, "plan.json"))
	if err != nil {
		t.Fatal(err)
	}
	if says, ok := validate(t, text); !ok {
		t.Errorf("plan.json does not follow its schema:\n%s", says)
	}
	// The judge itself refuses a key too many, a wrong type and a key too few.
	for _, wrong := range [][2]string{
		{`"revision":`, `"revisoin": "", "revision":`},
		{`"filling_mass_g": `, `"filling_mass_g": "much", "was": `},
		{`"needed":`, `"wanted":`},
	} {
		if _, ok := validate(t, bytes.Replace(text, []byte(wrong[0]), []byte(wrong[1]), 1)); ok {
			t.Errorf("the schema lets pass %s", wrong[1])
		}
	}

	var plan map[string]any
	if err := json.Unmarshal(text, &plan); err != nil {
		t.Fatal(err)
	}
	for place, keys := range planKeys {
		for _, object := range at(plan, place) {
			for _, key := range strings.Fields(keys) {
				if _, there := object[key]; !there {
					t.Errorf("plan.json: %s has no %s", place, key)
				}
			}
		}
	}
}

// at is the objects at a place of the plan: "" itself, "silicone" one, "pieces[]" many.
func at(plan map[string]any, place string) []map[string]any {
	if place == "" {
		return []map[string]any{plan}
	}
	name, many := strings.CutSuffix(place, "[]")
	if !many {
		object, _ := plan[name].(map[string]any)
		return []map[string]any{object}
	}
	var out []map[string]any
	list, _ := plan[name].([]any)
	for _, v := range list {
		object, _ := v.(map[string]any)
		out = append(out, object)
	}
	return out
}

// validate asks jsonschema whether text follows the schema of plan.json.
func validate(t *testing.T, text []byte) (says string, ok bool) {
	t.Helper()
	python := peer.Python(t, "jsonschema", "python3-jsonschema")
	dir := t.TempDir()
	for name, data := range map[string][]byte{"plan.json": text, "schema.json": flow.Schema()} {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.Command(python, "-c", `
import json, sys, jsonschema
schema = json.load(open("schema.json"))
Judge = jsonschema.Draft202012Validator
Judge.check_schema(schema)
wrong = list(Judge(schema, format_checker=jsonschema.FormatChecker()).iter_errors(json.load(open("plan.json"))))
for e in wrong: print(e.json_path, e.message)
sys.exit(3 if wrong else 0)`)
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	if err != nil && cmd.ProcessState.ExitCode() != 3 {
		t.Fatalf("%v\n%s", err, out)
	}
	return string(out), err == nil
}

// checkSheets opens the PDF with poppler and the picture with the standard library.
func checkSheets(t *testing.T, dir string, plan *flow.Plan) {
	cmd := exec.Command(peer.Tool(t, "pdftotext", "poppler-utils"), filepath.Join(dir, "sheets/job.pdf"), "-")
	var out, complaints bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &complaints
	if err := cmd.Run(); err != nil || complaints.Len() > 0 {
		t.Errorf("pdftotext: %v\n%s", err, complaints.String())
	}
	words := strings.Join(strings.Fields(out.String()), " ")
	pages := strings.Count(out.String(), "\f")
	for _, want := range []string{plan.Title, plan.Revision, "Ysoline", "Żywomira", "Θεανώρα", fmt.Sprintf("page %d of %d", pages, pages)} {
		if !strings.Contains(words, want) {
			t.Errorf("the sheets' text has no %q", want)
		}
	}
	for _, s := range []string{"boxes", "cards", "labels"} {
		got, err := exec.Command(peer.Tool(t, "pdftotext", "poppler-utils"), filepath.Join(dir, "sheets", s+".pdf"), "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range plan.Boxes {
			if !strings.Contains(norm.NFC.String(string(got)), norm.NFC.String(b.Person)) {
				t.Errorf("the text of sheets/%s.pdf has no %q", s, b.Person)
			}
		}
	}
	f, err := os.Open(filepath.Join(dir, "pictures/all.png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if _, err := png.Decode(f); err != nil {
		t.Error(err)
	}
}

// checkPlates has every plate read by lib3mf in strict mode, and every part in it
// judged by our own checks, by manifold-3d and by CGAL. The resin of each plate is
// compared with the volumes that CGAL measures.
func checkPlates(t *testing.T, dir string, in *flow.Input, plan *flow.Plan) {
	parts, count := t.TempDir(), 0
	var files []string
	volume := make([]float64, len(plan.Plates)) // by CGAL, below
	type copies struct{ plate, n int }
	used := map[string]copies{}
	for k, p := range plan.Plates {
		file := filepath.Join(dir, p.File)
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		m, err := threemf.Read(p.File, data, format.Usual())
		if err != nil {
			t.Fatal(err)
		}
		triangles := 0
		for i, o := range m.Objects {
			triangles += len(o.Mesh.T)
			if err := o.Mesh.Check().Err(); err != nil {
				t.Errorf("%s, %s: %v", p.File, o.Name, err)
			}
			if pairs, err := o.Mesh.SelfTouching(t.Context()); err != nil || len(pairs) > 0 {
				t.Errorf("%s, %s: %d pairs of triangles touch (%v)", p.File, o.Name, len(pairs), err)
			}
			var b bytes.Buffer
			if err := stl.Write(&b, o.Mesh, ""); err != nil {
				t.Fatal(err)
			}
			name := filepath.Join(parts, fmt.Sprintf("plate-%02d-part-%02d.stl", k+1, i))
			if err := os.WriteFile(name, b.Bytes(), 0o600); err != nil {
				t.Fatal(err)
			}
			files = append(files, name)
			n := 0
			for _, it := range m.Items {
				if it.Object == i {
					n++
				}
			}
			used[name] = copies{k, n}
		}
		count += len(m.Objects)
		says, content := peer.Built(t, "read3mf", file)
		want := fmt.Sprintf("warnings=0 objects=%d triangles=%d solid=yes items=%d", len(m.Objects), triangles, len(p.Parts))
		if !content || !strings.Contains(says, want) {
			t.Errorf("lib3mf says: %swant %s", says, want)
		}
	}
	if says, content := peer.Node(t, "manifold-check.mjs", files...); !content {
		t.Errorf("manifold-3d says:\n%s", faults(says, `"status":"NoError"`))
	}
	says, content := peer.Built(t, "checkmesh", files...)
	if !content {
		t.Errorf("CGAL says:\n%s", faults(says, "closed=yes outward=yes degenerate=0 crossing=0"))
	}
	lines := strings.Split(strings.TrimSpace(says), "\n")
	for i, line := range lines {
		_, v, _ := strings.Cut(line, "volume=")
		var mm3 float64
		if _, err := fmt.Sscan(v, &mm3); err != nil {
			t.Fatalf("CGAL says %q", line)
		}
		c := used[files[i]]
		volume[c.plate] += mm3 * float64(c.n)
	}
	for k, p := range plan.Plates {
		// The plan counts with each part's own volume before its corners are rounded to
		// float32: differences are far below a millionth.
		want := volume[k] / 1000 * (1 + in.Choices.Resin.LossShare)
		if math.Abs(p.ResinML-want) > 1e-5*want {
			t.Errorf("%s takes %g ml of resin, CGAL's volumes give %g ml", p.File, p.ResinML, want)
		}
	}
	t.Logf("%d plates, %d different parts", len(plan.Plates), count)
}

// faults are the lines of a judge that lack its word of content.
func faults(says, content string) string {
	var out []string
	for line := range strings.Lines(says) {
		if !strings.Contains(line, content) {
			out = append(out, line)
		}
	}
	return strings.Join(out, "")
}

// same compares two folders byte for byte.
func same(t *testing.T, a, b string) {
	t.Helper()
	list := names(t, a)
	if other := names(t, b); !slices.Equal(list, other) {
		t.Fatalf("%v and %v", list, other)
	}
	for _, name := range list {
		x, err := os.ReadFile(filepath.Join(a, name))
		if err != nil {
			t.Fatal(err)
		}
		y, err := os.ReadFile(filepath.Join(b, name))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(x, y) {
			t.Errorf("%s differs", name)
		}
	}
}

// names lists the files below a folder.
func names(t *testing.T, dir string) (list []string) {
	t.Helper()
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			rel, _ := filepath.Rel(dir, path)
			list = append(list, filepath.ToSlash(rel))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	slices.Sort(list)
	return list
}
