package finding

// Slips counts the slips of the pen between two words: letters put in, left out or
// exchanged, and neighbours swapped (the optimal string alignment distance: no letter is
// touched twice).
func Slips(a, b string) int {
	x, y := []rune(a), []rune(b)
	var before, above []int // the rows of i-2 and i-1
	row := make([]int, len(y)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(x); i++ {
		before, above, row = above, row, make([]int, len(y)+1)
		row[0] = i
		for j := 1; j <= len(y); j++ {
			other := 0
			if x[i-1] != y[j-1] {
				other = 1
			}
			row[j] = min(above[j]+1, row[j-1]+1, above[j-1]+other)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
	}
	return row[len(y)]
}
