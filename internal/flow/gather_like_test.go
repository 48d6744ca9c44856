package flow

import (
	"testing"

	"mouldwright/internal/base/finding"
)

func TestGatherLikeJoinsWhatIsSaidOfSeveralThings(t *testing.T) {
	say := func(where, what, do string, r finding.Remedy) finding.Finding {
		return finding.Finding{Severity: finding.Note, Where: where, What: what, Do: do, Remedy: r}
	}
	coat := finding.Set("forecast.coat_mm", 0.05)
	got := gatherLike([]finding.Finding{
		say("crest: printer.layer_mm", "steps on 6 %", "seal it, or change the edge", coat),
		say("piece[1].art", "four hollows", "brush", finding.Remedy{}),
		say("bee: printer.layer_mm", "steps on 17 %", "seal it, or change the top", coat),
		say("pear: printer.layer_mm", "steps on 11 %", "seal it, print finer", finding.Set("forecast.coat_mm", 0.03)),
		say("mould of tray 1", "lets out 48 g", "seal the foot", finding.Remedy{}),
		say("mould of tray 2", "lets out 46 g", "seal the foot", finding.Remedy{}),
		say("mould of tray 3", "lets out 47 g", "seal the foot", finding.Remedy{}),
		say("mould of tray 3", "sags", "keep a board", finding.Remedy{}),
	})
	want := []string{
		"crest: printer.layer_mm: steps on 6 %; nearly the same of bee\n  try: seal it",
		"piece[1].art: four hollows\n  try: brush",
		"pear: printer.layer_mm: steps on 11 %\n  try: seal it, print finer",
		"mould of tray 1: lets out 48 g; nearly the same of mould of tray 2 and mould of tray 3\n  try: seal the foot",
		"mould of tray 3: sags\n  try: keep a board",
	}
	remarks(t, got, want)
}
