package sheet

// assumedPages list every value that was not entered: what to replace first with
// one's own.
func (b *book) assumedPages() {
	cols := []column{
		{"in the job file", 60, atLeft, (*faces).labelStyle, false},
		{"taken", 34, atLeft, (*faces).textStyle, false},
		{"from", 52, atLeft, (*faces).labelStyle, false},
		{"your own", 26, atLeft, (*faces).textStyle, true},
	}
	var cells [][]string
	for _, a := range b.r.Plan.Assumed {
		cells = append(cells, []string{a.Key, a.Value, a.Source, ""})
	}
	b.listPages("assumed", "Taken for granted until you enter your own", cols, cells)
}
