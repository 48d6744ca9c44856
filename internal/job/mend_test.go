package job

import (
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
)

func TestMendKeepsCommentsAndTakesTheLargerChange(t *testing.T) {
	const text = "# the job\n[forecast] # rules\nfill = \"tap\" # as we do\n\n[[piece]]\ndraft_deg = 1 # steep\nfilling = \"x\"\n\n  [[piece.art]]\n  font = \"slab\" # light\n  width_mm = 20\n"
	got, made, err := Mend([]byte(text), []finding.Remedy{
		{}, finding.Set("piece[1].art[1].width_mm", 22.5), finding.Set("piece[1].art[1].width_mm", 30.0), finding.Set("piece[1].art[1].width_mm", 25.0),
		finding.Set("piece[1].draft_deg", 3.0), finding.Set("forecast.coat_mm", 0.05), finding.Set("piece[1].art[1].font", "slab bold"), {Key: "piece[1].filling"},
	})
	if err != nil {
		t.Fatal(err)
	}
	want := "# the job\n[forecast] # rules\nfill = \"tap\" # as we do\ncoat_mm = 0.05\n\n[[piece]]\ndraft_deg = 3 # steep\n\n  [[piece.art]]\n  font = \"slab bold\" # light\n  width_mm = 30\n"
	if string(got) != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	var words []string
	for _, m := range made {
		words = append(words, m.String())
	}
	if s := strings.Join(words, "; "); s != `piece[1].art[1].width_mm = 30 (was 20); piece[1].draft_deg = 3 (was 1); forecast.coat_mm = 0.05 (new); piece[1].art[1].font = "slab bold" (was "slab"); piece[1].filling taken out (was "x")` {
		t.Error(s)
	}
	if _, _, err = Mend([]byte(text), []finding.Remedy{{Key: "piece[1].nonsense", Value: "1"}}); err == nil {
		t.Error("an unknown key was taken")
	}
	if _, _, err = Mend([]byte(text), []finding.Remedy{{Key: "piece[1].draft_deg", Value: "steep"}}); err == nil {
		t.Error("a word was taken for a number")
	}
}
