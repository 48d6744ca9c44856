package box

import (
	"cmp"
	"fmt"
	"slices"
)

// Placer puts the pieces of boxes into cells. Boxes with the same pieces are alike.
type Placer struct {
	Cells  []Cell
	Fits   func(kind, cell int) bool
	Looks  func(kind int) int // pieces with the same number look alike
	middle []int              // cells, the nearest to the middle first
	known  map[string]placing
}

type placing struct {
	cells []int // index of the piece in the cell, or -1
	equal int
	ok    bool
}

// maxTries bounds the search for one arrangement; what was best by then is taken (our
// choice: a box of the usual size is settled long before).
const maxTries = 20_000

// Place gives for each cell the kind that lies in it (-1: empty), and how many pairs of
// neighbours look alike. The first own pieces go nearest to the middle. ok is false when
// some piece fits no free cell.
func (p *Placer) Place(kinds []int, own int) (cells []int, equal int, ok bool) {
	if p.known == nil {
		p.known = map[string]placing{}
		e := Extent(p.Cells).Center()
		for i := range p.Cells {
			p.middle = append(p.middle, i)
		}
		far := func(i int) float64 { return p.Cells[i].Box.Center().Sub(e).Len() }
		slices.SortStableFunc(p.middle, func(a, b int) int {
			if d := far(a) - far(b); d < -1e-6 || d > 1e-6 {
				return cmp.Compare(far(a), far(b))
			}
			return 0
		})
	}
	// An own piece stands for its design: arrangements are kept by what they look like.
	looks := make([]int, len(kinds))
	for i, k := range kinds {
		looks[i] = p.Looks(k)
	}
	key := fmt.Sprint(own, looks)
	got, seen := p.known[key]
	if !seen || !p.still(got, kinds) {
		got = p.search(kinds, looks, own)
		p.known[key] = got
	}
	cells = make([]int, len(p.Cells))
	for c, i := range got.cells {
		cells[c] = -1
		if i >= 0 {
			cells[c] = kinds[i]
		}
	}
	return cells, got.equal, got.ok
}

// still tells whether an arrangement of alike pieces holds for these.
func (p *Placer) still(g placing, kinds []int) bool {
	for c, i := range g.cells {
		if i >= 0 && !p.Fits(kinds[i], c) {
			return false
		}
	}
	return true
}

// search fills the cells one after the other, the piece that is there most often first,
// and goes back where neighbours would be alike; each round allows one pair more.
func (p *Placer) search(kinds, looks []int, own int) placing {
	n := len(p.Cells)
	at := make([]int, n)
	for c := range at {
		at[c] = -1
	}
	used := make([]bool, len(kinds))
	for i := range min(own, len(kinds)) {
		for _, c := range p.middle {
			if at[c] < 0 && p.Fits(kinds[i], c) {
				at[c], used[i] = i, true
				break
			}
		}
	}
	fixed := slices.Clone(at)
	alike := func(c, look int) int {
		n := 0
		for _, b := range p.Cells[c].Beside {
			if at[b] >= 0 && looks[at[b]] == look {
				n++
			}
		}
		return n
	}
	left := map[int]int{}
	total := 0
	for i := range kinds {
		if !used[i] {
			left[looks[i]]++
			total++
		}
	}
	free := 0
	for c := range at {
		if at[c] < 0 {
			free++
		}
	}
	empty := free - total // negative: more pieces than cells
	best := placing{equal: 1 << 30}
	tries := 0
	var fill func(c, equal, empty, most int) bool
	fill = func(c, equal, empty, most int) bool {
		if tries++; tries > maxTries {
			return false
		}
		if c == n {
			if equal < best.equal {
				best = placing{slices.Clone(at), equal, true}
			}
			return true
		}
		if fixed[c] >= 0 {
			return fill(c+1, equal, empty, most)
		}
		var order []int // unused pieces, one of each look
		for i := range kinds {
			if !used[i] && !slices.ContainsFunc(order, func(o int) bool { return looks[o] == looks[i] }) {
				order = append(order, i)
			}
		}
		slices.SortStableFunc(order, func(a, b int) int { return left[looks[b]] - left[looks[a]] })
		for _, i := range order {
			e := equal + alike(c, looks[i])
			if e > most || !p.Fits(kinds[i], c) {
				continue
			}
			at[c], used[i] = i, true
			left[looks[i]]--
			done := fill(c+1, e, empty, most)
			at[c], used[i] = -1, false
			left[looks[i]]++
			if done {
				return true
			}
		}
		return empty > 0 && fill(c+1, equal, empty-1, most)
	}
	start := 0
	for c := range fixed {
		if fixed[c] >= 0 {
			at[c] = -1
			start += alike(c, looks[fixed[c]])
			at[c] = fixed[c]
		}
	}
	start /= 2
	pairs := 0
	for c := range p.Cells {
		pairs += len(p.Cells[c].Beside)
	}
	for most := start; empty >= 0 && most <= pairs/2+start; most++ {
		tries = 0
		if fill(0, start, empty, most) {
			return best
		}
		if tries > maxTries && most > start+2 {
			tries = 0
			fill(0, start, empty, pairs) // anything that fits
			break
		}
	}
	if !best.ok {
		best = placing{cells: fixed}
		for i := range kinds { // whatever has room, so that the rest can be seen
			for c := range best.cells {
				if !slices.Contains(best.cells, i) && best.cells[c] < 0 && p.Fits(kinds[i], c) {
					best.cells[c] = i
				}
			}
		}
	}
	return best
}
