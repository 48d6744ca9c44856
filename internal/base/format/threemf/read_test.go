package threemf_test

import (
	"archive/zip"
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"mouldwright/internal/base/format"
	"mouldwright/internal/base/format/formattest"
	"mouldwright/internal/base/format/threemf"
)

// part is one entry of an archive made by hand.
type part struct{ name, text string }

const (
	goodRels = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="a" Target="/3D/3dmodel.model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>`
	core     = `xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"`
)

func archive(t testing.TB, parts ...part) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, p := range parts {
		w, err := z.Create(p.name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write([]byte(p.text)); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func ofModel(t testing.TB, model string) []byte {
	t.Helper()
	return archive(t, part{"_rels/.rels", goodRels}, part{"3D/3dmodel.model", model})
}

// tetra is the text of a mesh: the corner of a cube, volume 1/6.
const tetra = `<mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="1" y="0" z="0"/><vertex x="0" y="1" z="0"/><vertex x="0" y="0" z="1"/></vertices>` +
	`<triangles><triangle v1="0" v2="2" v3="1"/><triangle v1="0" v2="1" v3="3"/><triangle v1="0" v2="3" v3="2"/><triangle v1="1" v2="2" v3="3"/></triangles></mesh>`

func model(attrs, resources, build string) string {
	return `<?xml version="1.0" encoding="UTF-8"?><model ` + core + ` ` + attrs + `><metadata name="Title">a test</metadata><resources>` +
		resources + `</resources><build>` + build + `</build></model>`
}

func TestUnits(t *testing.T) {
	for unit, mm := range map[string]float64{`unit="micron"`: 0.001, `unit="millimeter"`: 1, ``: 1, `unit="centimeter"`: 10, `unit="inch"`: 25.4, `unit="foot"`: 304.8, `unit="meter"`: 1000} {
		data := ofModel(t, model(unit, `<object id="7">`+tetra+`</object>`, `<item objectid="7" transform="2 0 0 0 1 0 0 0 1 3 0 0"/>`))
		m, err := threemf.Read("a.3mf", data, format.Usual())
		if err != nil {
			t.Fatal(unit, err)
		}
		got := m.Merged()
		formattest.Check(t, got, formattest.Facts{V: 4, E: 6, F: 4, Volume: 2 * mm * mm * mm / 6})
		if x := float64(got.V[0][0]); math.Abs(x-3*mm) > 1e-6*mm {
			t.Errorf("%s: the first vertex lies at x = %g, want %g", unit, x, 3*mm)
		}
	}
}

func TestComponentsAreResolved(t *testing.T) {
	data := ofModel(t, model("",
		`<object id="1" name="corner">`+tetra+`</object>`+
			`<object id="2"><components><component objectid="1"/><component objectid="1" transform="-1 0 0 0 1 0 0 0 1 0 0 0"/></components></object>`+
			`<object id="3" type="support">`+tetra+`</object>`+
			`<object id="4"><components><component objectid="2" transform="1 0 0 0 1 0 0 0 1 10 0 0"/><component objectid="3"/></components></object>`,
		`<item objectid="4" transform="1 0 0 0 1 0 0 0 2 0 0 5" partnumber="P"/><item objectid="1"/>`))
	m, err := threemf.Read("a.3mf", data, format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	if len(m.Objects) != 1 || m.Objects[0].Name != "corner" || len(m.Items) != 3 || m.Items[0].PartNumber != "P" {
		t.Fatalf("%+v", m)
	}
	if got, want := m.Items[1].Transform, (threemf.Transform{-1, 0, 0, 0, 1, 0, 0, 0, 2, 10, 0, 5}); got != want {
		t.Errorf("transform %v, want %v", got, want)
	}
	// Two corners stretched to twice their height, one of them a mirror, and a plain one.
	formattest.Check(t, m.Merged(), formattest.Facts{V: 12, E: 18, F: 12, Volume: (2 + 2 + 1) / 6.0})
}

func TestPrefixedNamespaceAndForeignElements(t *testing.T) {
	text := strings.NewReplacer("</", "</c:", "<", "<c:").Replace(`<object id="1">` + tetra + `</object>`)
	data := ofModel(t, `<c:model xmlns:c="http://schemas.microsoft.com/3dmanufacturing/core/2015/02" xmlns:x="urn:other"><c:resources>`+
		`<x:object id="1"><mesh/></x:object>`+text+`</c:resources><c:build><c:item objectid="1"/></c:build></c:model>`)
	m, err := threemf.Read("a.3mf", data, format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	formattest.Check(t, m.Merged(), formattest.Facts{V: 4, E: 6, F: 4, Volume: 1 / 6.0})
}

func TestReadRefusals(t *testing.T) {
	object, item := `<object id="1">`+tetra+`</object>`, `<item objectid="1"/>`
	good := model("", object, item)
	doubled := object // each level holds the one below twice: 2^40 instances, or too deep
	for k := 2; k <= 40; k++ {
		doubled += fmt.Sprintf(`<object id="%d"><components><component objectid="%d"/><component objectid="%d"/></components></object>`, k, k-1, k-1)
	}
	wide := object + `<object id="2"><components>` + strings.Repeat(`<component objectid="1"/>`, 5000) + `</components></object>`
	bomb := model("", object, item) + strings.Repeat("<!-- nothing -->", 4<<20)
	for _, c := range []struct {
		name string
		data []byte
		says []string
	}{
		{"empty", nil, []string{"a.3mf: the file is empty"}},
		{"not a ZIP", []byte("PK\x03\x04 but no more"), []string{"not a ZIP archive"}},
		{"cut short", ofModel(t, good)[:300], []string{"not a ZIP archive, or is cut short"}},
		{"no relationships", archive(t, part{"3D/3dmodel.model", good}), []string{"_rels/.rels", "no such part"}},
		{"no model", archive(t, part{"_rels/.rels", goodRels}), []string{"/3D/3dmodel.model", "does not have"}},
		{"relationship of another type", archive(t, part{"_rels/.rels", strings.Replace(goodRels, "3dmodel\"", "other\"", 1)}), []string{"no relationship names the model"}},
		{"name that climbs", archive(t, part{"../../etc/passwd", "x"}, part{"_rels/.rels", goodRels}), []string{"leads elsewhere"}},
		{"name from the root", archive(t, part{"/3D/3dmodel.model", good}, part{"_rels/.rels", goodRels}), []string{"leads elsewhere"}},
		{"name with a backslash", archive(t, part{"3D\\3dmodel.model", good}, part{"_rels/.rels", goodRels}), []string{"leads elsewhere"}},
		{"same part twice", archive(t, part{"_rels/.rels", goodRels}, part{"3D/3dmodel.model", good}, part{"3D/3DModel.model", good}), []string{"same part twice"}},
		{"target that climbs", archive(t, part{"_rels/.rels", strings.Replace(goodRels, "/3D/", "/../../3D/../../etc/", 1)}), []string{"does not have"}},
		{"bomb", ofModel(t, bomb), []string{"grows too large"}},
		{"bomb of relationships", archive(t, part{"_rels/.rels", goodRels + strings.Repeat(" ", 8<<20)}), []string{"_rels/.rels", "grows too large"}},
		{"DTD", ofModel(t, `<!DOCTYPE model [<!ENTITY a "b">]>`+good), []string{"document type definition"}},
		{"entity", ofModel(t, strings.Replace(good, "a test", "&a;", 1)), []string{"not well-formed", "line 1"}},
		{"not XML", ofModel(t, "hello"), []string{"not well-formed", "text outside"}},
		{"cut XML", ofModel(t, good[:len(good)-30]), []string{"not well-formed"}},
		{"deep XML", ofModel(t, strings.Replace(good, "<resources>", "<resources>"+strings.Repeat("<a>", 100), 1)), []string{"nested too deeply"}},
		{"other namespace", ofModel(t, strings.Replace(good, "core/2015/02", "core/1999/01", 1)), []string{"no element <model>"}},
		{"model inside a foreign element", ofModel(t, "<a>"+strings.TrimPrefix(good, `<?xml version="1.0" encoding="UTF-8"?>`)+"</a>"), []string{"no element <model>"}},
		{"unknown unit", ofModel(t, model(`unit="parsec"`, object, item)), []string{"parsec", "inch"}},
		{"unknown extension", ofModel(t, model(`xmlns:s="urn:secret" requiredextensions="s"`, object, item)), []string{"urn:secret"}},
		{"mesh in another part", ofModel(t, model(`xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06" requiredextensions="p"`, object,
			`<item objectid="1" p:path="/3D/other.model"/>`)), []string{"another part", "/3D/other.model"}},
		{"no build", ofModel(t, model("", object, "")), []string{"no triangles"}},
		{"no such object", ofModel(t, model("", object, `<item objectid="9"/>`)), []string{"object \"9\"", "not there"}},
		{"object twice", ofModel(t, model("", object+object, item)), []string{"object \"1\"", "twice"}},
		{"object in itself", ofModel(t, model("", `<object id="1"><components><component objectid="1"/></components></object>`, item)), []string{"hold themselves"}},
		{"doubled components", ofModel(t, model("", doubled, `<item objectid="40"/>`)), []string{"too many instances"}},
		{"many instances", ofModel(t, model("", wide, strings.Repeat(`<item objectid="2"/>`, 100))), []string{"too many instances"}},
		{"index out of range", ofModel(t, strings.Replace(good, `v3="1"`, `v3="4"`, 1)), []string{"object \"1\"", "triangle 0", "\"4\" of 4"}},
		{"negative index", ofModel(t, strings.Replace(good, `v3="1"`, `v3="-1"`, 1)), []string{"\"-1\" of 4"}},
		{"vertex twice in a triangle", ofModel(t, strings.Replace(good, `v3="1"`, `v3="2"`, 1)), []string{"names a vertex twice"}},
		{"NaN", ofModel(t, strings.Replace(good, `x="1"`, `x="NaN"`, 1)), []string{"vertex 1", "NaN"}},
		{"Inf", ofModel(t, strings.Replace(good, `x="1"`, `x="INF"`, 1)), []string{"vertex 1", "+Inf"}},
		{"no number", ofModel(t, strings.Replace(good, `x="1"`, `x="one"`, 1)), []string{"vertex 1", "no number x"}},
		{"short transform", ofModel(t, model("", object, `<item objectid="1" transform="1 0 0"/>`)), []string{"12 numbers"}},
		{"flat transform", ofModel(t, model("", object, `<item objectid="1" transform="1 0 0 0 1 0 0 0 0 0 0 0"/>`)), []string{"flattens"}},
		{"transform with NaN", ofModel(t, model("", object, `<item objectid="1" transform="NaN 0 0 0 1 0 0 0 1 0 0 0"/>`)), []string{"flattens"}},
		{"two meshes in one object", ofModel(t, model("", `<object id="1">`+tetra+tetra+`</object>`, item)), []string{"second mesh"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := threemf.Read("a.3mf", c.data, format.Usual())
			formattest.Refused(t, err, c.says...)
		})
	}
	data := ofModel(t, model("", object, item+item+item))
	_, err := threemf.Read("a.3mf", data, format.Limits{Bytes: 1 << 20, Vertices: 100, Triangles: 11})
	formattest.Refused(t, err, "at most 11") // three instances of four
	_, err = threemf.Read("a.3mf", data, format.Limits{Bytes: 1 << 20, Vertices: 3, Triangles: 100})
	formattest.Refused(t, err, "at most 3")
}

// A size in the archive's list that is too small must not let more through.
func TestLyingSizeInTheArchive(t *testing.T) {
	data := ofModel(t, model("", `<object id="1">`+tetra+`</object>`, `<item objectid="1"/>`)+strings.Repeat("<!-- nothing -->", 2<<20))
	at := bytes.LastIndex(data, []byte("PK\x01\x02")) // the model's entry in the central list
	copy(data[at+24:], []byte{100, 0, 0, 0})          // uncompressed size
	_, err := threemf.Read("a.3mf", data, format.Usual())
	formattest.Refused(t, err, "a.3mf")
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(model("", `<object id="1">`+tetra+`</object>`, `<item objectid="1" transform="1 0 0 0 1 0 0 0 1 0 0 0"/>`)), false)
	f.Add([]byte(model("", `<object id="1">`+tetra+`</object><object id="2"><components><component objectid="1"/></components></object>`, `<item objectid="2"/>`)), false)
	f.Add(ofModel(f, model("", `<object id="1">`+tetra+`</object>`, `<item objectid="1"/>`)), true)
	f.Fuzz(func(t *testing.T, data []byte, whole bool) {
		if !whole { // the model's text alone, so that the fuzzer need not learn to pack
			data = ofModel(t, string(data))
		}
		lim := format.Limits{Bytes: 1 << 20, Vertices: 1 << 14, Triangles: 1 << 14}
		threemf.ReadMetadata("a.3mf", data, lim)
		m, err := threemf.Read("a.3mf", data, lim)
		if err != nil {
			return
		}
		for _, o := range m.Objects {
			formattest.Sound(t, o.Mesh)
		}
		if n := len(m.Merged().T); n == 0 || n > lim.Triangles {
			t.Fatalf("%d triangles", n)
		}
	})
}
