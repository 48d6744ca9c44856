package forecast

// labels numbers the connected parts of a set, row-major; 0 is outside the set, parts
// count from 1 in the order of their first sample.
type labels struct {
	w, h int
	of   []int32
	n    int // parts
}

// label finds the parts of {in}; corners connects samples that touch at corners only.
// Two passes with union-find (A. Rosenfeld, J. L. Pfaltz, J. ACM 13, 1966, 471, from
// memory).
func label(in []bool, w, h int, corners bool) labels {
	l := labels{w: w, h: h, of: make([]int32, len(in))}
	parent := []int32{0}
	find := func(a int32) int32 {
		for parent[a] != a {
			parent[a] = parent[parent[a]]
			a = parent[a]
		}
		return a
	}
	for j := range h {
		row := l.of[j*w : (j+1)*w]
		var above []int32
		if j > 0 {
			above = l.of[(j-1)*w : j*w]
		}
		for i, on := range in[j*w : (j+1)*w] {
			if !on {
				continue
			}
			var got int32
			meet := func(o int32) {
				switch {
				case o == 0 || o == got:
				case got == 0:
					got = o
				default:
					if a, b := find(got), find(o); a != b {
						parent[max(a, b)] = min(a, b)
					}
				}
			}
			if i > 0 {
				meet(row[i-1])
			}
			if above != nil {
				meet(above[i])
				if corners {
					if i > 0 {
						meet(above[i-1])
					}
					if i+1 < w {
						meet(above[i+1])
					}
				}
			}
			if got == 0 {
				got = int32(len(parent))
				parent = append(parent, got)
			}
			row[i] = got
		}
	}
	number := make([]int32, len(parent))
	for a := 1; a < len(parent); a++ { // a root is the least of its part
		if r := find(int32(a)); r == int32(a) {
			l.n++
			number[a] = int32(l.n)
		} else {
			number[a] = number[r]
		}
	}
	for i, a := range l.of {
		if a != 0 {
			l.of[i] = number[a]
		}
	}
	return l
}
