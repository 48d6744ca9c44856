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
	if len(cells) == 0 {
		return
	}
	blocks := []block{b.textBlock("These values are not yours: they came with the program, or from the kind of material you named. Enter your own where you have them; what is written here by hand is soonest typed from here.", b.f.text())}
	b.flowing("assumed", "Taken for granted", nil, append(blocks, b.tableBlocks(cols, cells)...))
}
