package flow

import (
	"fmt"
	"testing"

	"mouldwright/internal/base/finding"
)

func TestGatherJoinsWhatIsSaidOfSeveralNames(t *testing.T) {
	say := func(where, what string) finding.Finding {
		return finding.Finding{Severity: finding.Care, Where: where, What: what}
	}
	got := gather([]finding.Finding{
		say("piece[1].art[1].width_mm", "1 of 20 marks will break"),
		say("piece[4].art[1].width_mm (plaque: Orla)", "2 of 14 marks will break, the worst 0.36 mm"),
		say("piece[4].art[1].width_mm (plaque: Perrin)", "1 of 11 marks will break, the worst 0.41 mm"),
		say("piece[4].art[1].width_mm (plaque: Tamsel)", "1 of 11 marks close"),
		say("piece[4].art[1] (Perrin)", "'نور' set in arabic"),
		say("piece[4].art[1] (Orla)", "'זהר' set in hebrew"),
	}, nil)
	want := []string{
		"piece[1].art[1].width_mm: 1 of 20 marks will break",
		"piece[4].art[1].width_mm: 2 names, Orla the first: 2 of 14 marks will break, the worst 0.36 mm",
		"piece[4].art[1].width_mm (plaque: Tamsel): 1 of 11 marks close",
		"piece[4].art[1] (Perrin): 'نور' set in arabic",
		"piece[4].art[1] (Orla): 'זהר' set in hebrew",
	}
	remarks(t, got, want)
}

// remarks compares remarks, as they are printed, with what is wanted.
func remarks(t *testing.T, got []finding.Finding, want []string) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%d remarks, want %d: %v", len(got), len(want), got)
	}
	for i := range want {
		if s := fmt.Sprint(got[i]); s != want[i] {
			t.Errorf("remark %d: %s\nwant %s", i, s, want[i])
		}
	}
}

func TestGatherPieces(t *testing.T) {
	list := []finding.Finding{
		{Severity: finding.Stop, Where: "leaf", What: "35 x 25 mm, allowed 18 x 18 mm"},
		{Severity: finding.Stop, Where: "tag: Ulvhild", What: "61 x 21 mm, allowed 18 x 18 mm"},
		{Severity: finding.Stop, Where: "tag: Tamsel", What: "60 x 21 mm, allowed 18 x 18 mm"},
		{Severity: finding.Note, Where: "tag: Tamsel", What: "too thin"},
	}
	got := gather(list, []string{"tag"})
	if len(got) != 3 || got[0] != list[0] || got[1].Where != "tag" || got[1].What != "2 names, Ulvhild the first: 61 x 21 mm, allowed 18 x 18 mm" || got[2] != list[3] {
		t.Errorf("%+v", got)
	}
}
