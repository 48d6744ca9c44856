package workshop

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"io"
	"math"
	"net/http"
	"strings"
	"testing"

	"mouldwright/internal/base/mesh"
)

const leafSVG = `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="10mm" viewBox="0 0 20 10"><ellipse cx="10" cy="5" rx="9" ry="4"/></svg>`

const orchard = "../../examples/orchard/job.toml"

// unpack reads an answer of octets as api.go describes it.
func unpack(t testing.TB, a *http.Response, head any) map[string]any {
	t.Helper()
	data, _ := io.ReadAll(a.Body)
	if a.StatusCode != 200 {
		t.Fatalf("answered %d: %.300q", a.StatusCode, data)
	}
	n := int(binary.LittleEndian.Uint32(data))
	if (4+n)%8 != 0 {
		t.Errorf("a head of %d bytes does not end on a multiple of 8", n)
	}
	var only struct{ Blocks []Block }
	for _, v := range []any{head, &only} {
		if err := json.Unmarshal(data[4:4+n], v); err != nil {
			t.Fatal(err)
		}
	}
	out := map[string]any{}
	for _, b := range only.Blocks {
		if b.At%8 != 0 {
			t.Errorf("block %s lies at %d", b.Name, b.At)
		}
		var v any
		switch b.Type {
		case "float32":
			v = make([]float32, b.Count)
		case "uint32":
			v = make([]uint32, b.Count)
		case "uint16":
			v = make([]uint16, b.Count)
		}
		if err := binary.Read(bytes.NewReader(data[b.At:]), binary.LittleEndian, v); err != nil {
			t.Fatal(err)
		}
		out[b.Name] = v
	}
	return out
}

// volumeOf sums a grid of heights.
func volumeOf(g Grid, z []uint16, above float64) float64 {
	sum := 0.0
	for _, v := range z {
		sum += math.Max(0, g.LowMM+g.StepMM*float64(v)-above)
	}
	return sum * g.PitchMM * g.PitchMM
}

// What travels is what the numbers say: heights, filling and mesh hold the volumes
// within one per cent. A fine piece's heights are sampled at about 1/1500 of its size.
func TestPieceHoldsItsVolume(t *testing.T) {
	v := opened(t, orchard)
	for _, path := range []string{"/api/piece/1", "/api/piece/2", "/api/piece/3", "/api/piece/4?row=5", "/api/piece/1?detail=fine", "/api/piece/4?row=26&detail=fine"} {
		var h PieceHead
		b := unpack(t, v.do("GET", path, nil, nil), &h)
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 0.01*want {
				t.Errorf("%s: %s %g, want %g", path, what, got, want)
			}
		}
		near("heights", volumeOf(h.Heights, b["heights"].([]uint16), 0), h.Numbers.VolumeMM3)
		near("filling", volumeOf(*h.Filling, b["filling"].([]uint16), h.CapMM), h.Numbers.FillingVolumeMM3)
		near("parts", h.Numbers.ShellVolumeMM3+h.Numbers.FillingVolumeMM3+h.Numbers.CapVolumeMM3, h.Numbers.VolumeMM3)
		near("mass", h.ShellG.Likely+h.FillingG.Likely+h.CapG.Likely, h.Numbers.MassG.Likely)
		s := mesh.Sheet{}
		for p := b["positions"].([]float32); len(p) > 0; p = p[3:] {
			s.V = append(s.V, [3]float32(p))
		}
		for p := b["triangles"].([]uint32); len(p) > 0; p = p[3:] {
			s.T = append(s.T, [3]uint32(p))
		}
		near("mesh", s.Volume(), h.Numbers.VolumeMM3)
		points := 0
		for _, n := range h.Rings {
			points += n
		}
		if got := len(b["rings"].([]float32)); got != 2*points || points < 4 {
			t.Errorf("%s: %d numbers for %d points", path, got, points)
		}
		if fine := strings.Contains(path, "fine"); fine != (h.Detail == "fine") || max(h.Heights.W, h.Heights.H) > textureMax+1 {
			t.Errorf("%s: detail %s, %d x %d heights", path, h.Detail, h.Heights.W, h.Heights.H)
		}
	}
}

func TestPieceRefusesAndRemembers(t *testing.T) {
	v := opened(t, orchard)
	for path, want := range map[string]int{
		"/api/piece/0": 404, "/api/piece/5": 404, "/api/piece/x": 404, "/api/piece/4?row=27": 404, "/api/piece/4?row=0": 404, "/api/piece/4?row=x": 404, "/api/piece/1?detail=finest": 400, "/api/item/99": 404, "/api/item/x": 404,
	} {
		status(t, v.do("GET", path, nil, nil), want, path)
	}
	a := v.do("GET", "/api/piece/1", nil, nil)
	tag := a.Header.Get("ETag")
	status(t, v.do("GET", "/api/piece/1", nil, map[string]string{"If-None-Match": tag}), http.StatusNotModified, "the same piece")
	status(t, v.do("GET", "/api/piece/2", nil, map[string]string{"If-None-Match": tag}), http.StatusOK, "another piece")
	status(t, v.do("GET", "/api/piece/1?detail=fine", nil, map[string]string{"If-None-Match": tag}), http.StatusOK, "the piece in detail")
}

// A design that a finding stops says why, and a changed number changes the volume.
func TestPieceFollowsAnEdit(t *testing.T) {
	v := opened(t, letters(t))
	volume := func() float64 {
		var h PieceHead
		unpack(t, v.do("GET", "/api/piece/1", nil, nil), &h)
		return h.Numbers.VolumeMM3
	}
	before := volume()
	s := v.edit(v.state().Version, Edit{Do: "set", Key: "piece[1].height_mm", Value: 14.0})
	if after := volume(); after < 1.1*before {
		t.Errorf("from 11 to 14 mm the volume goes from %g to %g", before, after)
	}
	s = v.edit(s.Version, Edit{Do: "set", Key: "shell.cap_mm", Value: 10.0}, Edit{Do: "set", Key: "shell.thickness_mm", Value: 6.0})
	var r Refusal
	v.want(422, "GET", "/api/piece/1", nil, &r)
	if !strings.Contains(r.Mistakes[0].Found, "no room for filling") {
		t.Errorf("refused with %+v", r)
	}
	var tray Tray
	v.want(200, "GET", "/api/tray", nil, &tray)
	if len(tray.Trays) != 0 {
		t.Error("a stopped job has trays")
	}
	s = v.state()
	if s.Sketched != s.Inputs || len(s.Findings) == 0 || s.Stages[0].Worst != "stop" || s.Findings[0].Stage != "pieces" {
		t.Errorf("findings %+v of %s, stages %+v", s.Findings, s.Sketched, s.Stages)
	}
}

func TestOutdatedPieceIsGivenUp(t *testing.T) {
	v := opened(t, orchard)
	ctx, stop := context.WithCancel(context.Background())
	q, _ := http.NewRequestWithContext(ctx, "GET", v.base+"/api/piece/1?detail=fine", nil)
	stop()
	if a, err := v.client.Do(q); err == nil {
		a.Body.Close()
		t.Error("a request that was given up is answered")
	}
	status(t, v.do("GET", "/api/piece/1?detail=fine", nil, nil), 200, "the same piece afterwards")
}

func TestTray(t *testing.T) {
	v := opened(t, orchard)
	var tray Tray
	v.want(200, "GET", "/api/tray", nil, &tray)
	if len(tray.Items) != 29 || len(tray.Plan.Pieces) != 29 || len(tray.Trays) == 0 || tray.Plan.Silicone.MassG.Likely < 100 {
		t.Fatalf("%d items, %d trays", len(tray.Items), len(tray.Trays))
	}
	cavities, tiles := 0, 0
	seen := map[[2]int]bool{}
	for _, one := range tray.Trays {
		placed := map[int]bool{}
		for _, p := range one.Placed {
			if key := [2]int{p.Item, p.Cavity}; p.Cavity < 1 || seen[key] || p.ByHand {
				t.Errorf("tray %d: %+v", one.Number, p)
			} else {
				seen[key] = true
			}
		}
		for _, tile := range one.Tiles {
			for _, k := range tile.Placed {
				placed[k] = true
			}
		}
		if len(placed) != len(one.Placed) {
			t.Errorf("tray %d: %d of %d pieces stand on a tile", one.Number, len(placed), len(one.Placed))
		}
		cavities, tiles = cavities+len(one.Placed), tiles+len(one.Tiles)
		for _, m := range one.Measures {
			if d := math.Hypot(m.To[0]-m.From[0], m.To[1]-m.From[1]); math.Abs(d-m.MM) > 0.001 || m.MM < m.WantMM-0.001 {
				t.Errorf("tray %d: %+v, its ends are %g apart", one.Number, m, d)
			}
		}
		if one.RubberMM <= one.HighMM || one.FrameMM <= one.RubberMM || len(one.Measures) != 2 {
			t.Errorf("tray %+v", one)
		}
	}
	if cavities != 3*6+26 {
		t.Errorf("%d cavities", cavities)
	}
	var h ItemHead
	b := unpack(t, v.do("GET", "/api/item/0", nil, nil), &h)
	if h.Shape != tray.Items[0].Shape || h.Name != "crest" || len(b["positions"].([]float32)) < 300 {
		t.Errorf("item %+v", h)
	}
	s := v.state()
	if s.Stages[0].Words != "4 designs, 29 pieces" || s.Stages[1].Words == "" || s.Stages[2].Words == "" {
		t.Errorf("stages %+v", s.Stages)
	}
}

// A piece that is dragged to another place stands there by hand.
func TestPlacedByHand(t *testing.T) {
	v := opened(t, letters(t))
	s := v.edit(v.state().Version, Edit{Do: "add", Key: "master.place", Value: map[string]any{"piece": "heart", "number": 4.0, "x_mm": 130.0, "y_mm": 100.0, "turn_deg": 30.0}})
	var tray Tray
	v.want(200, "GET", "/api/tray", nil, &tray)
	var by []Placed
	for _, p := range tray.Trays[0].Placed {
		if p.ByHand {
			by = append(by, p)
		}
	}
	if len(by) != 1 || by[0].Cavity != 4 || by[0].XMM != 130 || by[0].YMM != 100 || by[0].TurnDeg != 30 || tray.Items[by[0].Item].Name != "heart" {
		t.Errorf("by hand: %+v", by)
	}
	s = v.edit(s.Version, Edit{Do: "set", Key: "master.place[1].x_mm", Value: 120.0})
	v.edit(s.Version, Edit{Do: "remove", Key: "master.place[1]"})
}

func TestFiles(t *testing.T) {
	v := opened(t, letters(t))
	var f JobFile
	v.want(200, "PUT", "/api/files/my%20leaf.svg", []byte(leafSVG), &f)
	if f.Name != "my leaf.svg" || f.Kind != "vector" || f.Words == "" || f.Used {
		t.Errorf("%+v", f)
	}
	for name, data := range map[string]string{"a.svg": "<svg", "a.png": "no picture", "a.stl": "no mesh", "a.ttf": "no font", "a.csv": "\xff", "b.svg": ""} {
		v.want(422, "PUT", "/api/files/"+name, []byte(data), nil)
	}
	// A picture of few bytes and many pixels.
	v.want(422, "PUT", "/api/files/huge.png", hugePNG(), nil)
	if n := names(t, v.dir); n != "job.toml my leaf.svg" {
		t.Errorf("the folder holds %s", n)
	}
	v.edit(v.state().Version, Edit{Do: "add", Key: "piece[2].art", Value: map[string]any{"file": "my leaf.svg", "width_mm": 12.0}})
	var list Files
	v.want(200, "GET", "/api/files", nil, &list)
	if len(list.Files) != 1 || !list.Files[0].Used {
		t.Errorf("%+v", list)
	}
	a := v.do("GET", "/api/files/my%20leaf.svg", nil, nil)
	data, _ := io.ReadAll(a.Body)
	if string(data) != leafSVG || !strings.Contains(a.Header.Get("Content-Security-Policy"), "sandbox") || a.Header.Get("Content-Type") != "image/svg+xml" {
		t.Errorf("%s, %v", data, a.Header)
	}
	var fonts Fonts
	v.want(200, "GET", "/api/fonts", nil, &fonts)
	if len(fonts.Names) < 3 {
		t.Errorf("%+v", fonts)
	}
	var rules Rules
	v.want(200, "GET", "/api/rules", nil, &rules)
	found := map[string]Rule{}
	for _, r := range rules.Rules {
		found[r.Key] = r
	}
	if r := found["piece[].draft_deg"]; r.Kind != "number" || r.Unit != "deg" || *r.Max != 45 || r.Default != "8" {
		t.Errorf("%+v", r)
	}
	if r := found["filling.*.density_g_ml"]; r.Kind != "range" || r.Unit != "g/ml" {
		t.Errorf("%+v", r)
	}
	if r := found["printer.pixel_mm"]; !r.Class || r.Unit != "mm" {
		t.Errorf("%+v", r)
	}
	if r := found["silicone.viscosity_pa_s"]; r.Unit != "Pa s" {
		t.Errorf("%+v", r)
	}
}

// hugePNG is the head of a picture of 60,000 x 60,000 pixels.
func hugePNG() []byte {
	b := []byte("\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\xea\x60\x00\x00\xea\x60\x08\x00\x00\x00\x00")
	return binary.BigEndian.AppendUint32(b, crc(b[12:]))
}
