package workshop

import (
	"bytes"
	"encoding/json"
	"image"
	"image/png"
	"io"
	"testing"
	"time"

	"mouldwright/internal/record"
)

// The page tells what happened; another program writes into the same record; neither
// loses the other's entries, and the page hears of them.
func TestRecord(t *testing.T) {
	path := letters(t)
	v := opened(t, path)
	var r Recorded
	v.want(200, "GET", "/api/record", nil, &r)
	if len(r.Points) != 0 || r.Now == "" {
		t.Errorf("before anything happened: %+v", r)
	}
	next := v.events()
	point := json.RawMessage(`{"points": [{"id": "0b5cf3a8-2d1e", "words": "the window is shut"}]}`)
	v.want(200, "POST", "/api/record", point, &r)
	v.want(200, "POST", "/api/record", point, &r) // the request is repeated
	if len(r.Points) != 1 {
		t.Errorf("%d points", len(r.Points))
	}
	other, err := record.Open(t.Context(), path, record.Options{Version: "other"})
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	if err := other.Write(t.Context(), &record.Mould{At: time.Now(), Name: "first"}); err != nil {
		t.Fatal(err)
	}
	v.until(next, "told") // a new mould changes nothing in the plan
	v.want(200, "GET", "/api/record", nil, &r)
	if len(r.Points) != 1 || len(r.MouldStates) != 1 {
		t.Errorf("%d points, %d moulds", len(r.Points), len(r.MouldStates))
	}
	v.want(422, "POST", "/api/record", json.RawMessage(`{"cure_tests": [{"outcome": "fine"}]}`), nil)
	v.want(400, "POST", "/api/record", json.RawMessage(`{"revisions": [{}]}`), nil)
	v.want(400, "POST", "/api/record", json.RawMessage(`{"spells": []}`), nil)

	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 20, 10))); err != nil {
		t.Fatal(err)
	}
	var p record.Photo
	v.want(200, "POST", "/api/record/photo?name=pad.png&words=pad", b.Bytes(), &p)
	a := v.do("GET", "/api/record/photo/"+p.ID, nil, nil)
	if data, _ := io.ReadAll(a.Body); !bytes.Equal(data, b.Bytes()) || a.Header.Get("Content-Type") != "image/png" {
		t.Errorf("another photo came back, %s", a.Header.Get("Content-Type"))
	}
	v.want(422, "POST", "/api/record/photo?name=page.png", []byte("<html>no photo</html>"), nil)
	v.want(422, "GET", "/api/record/photo/nosuch", nil, nil)

	var verdict record.Verdict
	v.want(200, "GET", "/api/verify?code="+r.Now, nil, &verdict)
	if verdict.Kind != "current" {
		t.Errorf("the present code is %+v", verdict)
	}
	v.want(200, "POST", "/api/verify?name=letter.txt", []byte("Dear Ysoline"), &verdict)
	if verdict.Kind != "unknown" {
		t.Errorf("a letter is %+v", verdict)
	}
	var tr record.Trace
	v.want(200, "GET", "/api/trace?asked=B1", nil, &tr)
	if tr.What != "nothing" {
		t.Errorf("%+v", tr)
	}
}
