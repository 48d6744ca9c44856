package workshop

import (
	"fmt"
	"net/http"
	"os"
	"sync"
	"testing"

	"mouldwright/internal/job"
)

// A thousand edits, one behind the other as fast as they are answered: the last one
// stands, the steps back stay bounded, and the memory of texts too.
func TestThousandEdits(t *testing.T) {
	v := opened(t, letters(t))
	s := v.state()
	for k := range 1000 {
		key := "piece[1].height_mm"
		if k%2 == 1 { // two keys in turn, so that no edit is taken for the same drag
			key = "piece[1].draft_deg"
		}
		s = v.edit(s.Version, Edit{Do: "set", Key: key, Value: 8 + float64(k)/500})
	}
	if s.at("piece", 0, "height_mm") != 8+998.0/500 || s.at("piece", 0, "draft_deg") != 8+999.0/500 {
		t.Errorf("the last edits are %v and %v", s.at("piece", 0, "height_mm"), s.at("piece", 0, "draft_deg"))
	}
	if s.Undo > maxSteps {
		t.Errorf("%d steps back, more than %d", s.Undo, maxSteps)
	}
	for range 10 {
		v.want(200, "POST", "/api/undo", StepRequest{s.Version}, &s)
	}
	if s.at("piece", 0, "draft_deg") != 8+989.0/500 {
		t.Errorf("ten steps back the draft is %v", s.at("piece", 0, "draft_deg"))
	}
}

// Two workshops are open on one job, and both change it at once. An edit of an old text
// is told so and made again; none that was answered with 200 is lost.
func TestTwoWorkshopsOnOneJob(t *testing.T) {
	path := letters(t)
	a, b := opened(t, path), opened(t, path)
	const each = 60
	var wg sync.WaitGroup
	for w, v := range []*visit{a, b} {
		wg.Go(func() {
			for k := range each {
				for {
					answer := v.do("POST", "/api/edit", EditRequest{v.state().Version, []Edit{{Do: "add", Key: fmt.Sprintf("filling.w%dk%d", w, k), Value: map[string]any{"density_g_ml": 1.25}}}}, nil)
					if answer.StatusCode == http.StatusOK {
						break
					}
					if answer.StatusCode != http.StatusConflict {
						t.Errorf("workshop %d, edit %d answers %s", w, k, answer.Status)
						return
					}
					v.do("POST", "/api/settle", SettleRequest{v.state().Version, "theirs"}, nil)
				}
			}
		})
	}
	wg.Wait()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	j, err := job.Read(path, text)
	if err != nil {
		t.Fatal(err)
	}
	for w := range 2 {
		for k := range each {
			if _, ok := j.Choices.Filling[fmt.Sprintf("w%dk%d", w, k)]; !ok {
				t.Errorf("the edit %d of workshop %d was answered and is gone", k, w)
			}
		}
	}
}
