package geom

// Simplify drops points of a settled outline so that no edge moves by more than
// tolMM: every dropped point lies within tolMM of the new edge that replaces it.
// Rings still do not cross, keep their order and their way round, and stay inside
// or outside each other; where tolMM would break that, the rings concerned are
// simplified less. Kept points are points of the input.
func Simplify(o Outline, tolMM float64) Outline {
	if !(tolMM > 0) {
		return o
	}
	uses := map[Vec]int{}
	for _, r := range o {
		for _, p := range r {
			uses[p]++
		}
	}
	tol := make([]float64, len(o))
	out := make(Outline, len(o))
	for i, r := range o {
		tol[i] = tolMM
		out[i] = thin(r, tolMM, uses)
	}
	for {
		bad := disturbed(o, out)
		if len(bad) == 0 {
			return out
		}
		for i := range o {
			if bad[i] {
				if tol[i] /= 4; tol[i] < SettleMM {
					out[i], tol[i] = o[i], 0
				} else {
					out[i] = thin(o[i], tol[i], uses)
				}
			}
		}
	}
}

// disturbed tells which rings of out cross, have turned over, or lie on the
// other side of a ring than before, leaving aside those that are unchanged.
func disturbed(o, out Outline) map[int]bool {
	bad := map[int]bool{}
	changed := func(i int) bool { return len(out[i]) != len(o[i]) }
	t := newTree(out)
	t.join(t, 0, func(i, j int) float64 {
		a, b := int(t.edges[i].ring), int(t.edges[j].ring)
		if (changed(a) && !bad[a] || changed(b) && !bad[b]) && crossing(t.edges[i], t.edges[j]) {
			bad[a], bad[b] = changed(a), changed(b)
		}
		return 0
	})
	box := make([]Rect, len(o))
	for i := range o {
		box[i] = Outline{o[i]}.Bounds()
	}
	for i, r := range out {
		if len(r) < 3 || (r.Area() > 0) != (o[i].Area() > 0) {
			bad[i] = changed(i)
			continue
		}
		for j := range out {
			p := r[0] // a point of o[i] as well
			if i != j && changed(j) && box[j].distance2(p) == 0 && out[j].winding(p) != o[j].winding(p) {
				bad[j] = true
			}
		}
	}
	for i, b := range bad {
		if !b {
			delete(bad, i)
		}
	}
	return bad
}

// thin drops points by the method of Ramer (1972) and of Douglas and Peucker
// (1973), from two fixed points far apart. Points where rings touch are kept.
func thin(r Ring, tol float64, uses map[Vec]int) Ring {
	n := len(r)
	if n < 4 {
		return r
	}
	keep := make([]bool, n)
	for i, p := range r {
		keep[i] = uses[p] > 1
	}
	far, d := 0, -1.0
	for i, p := range r {
		if e := p.Sub(r[0]).Len(); e > d {
			far, d = i, e
		}
	}
	keep[0], keep[far] = true, true
	// Spans between points kept so far; the second ends at the start again.
	type span struct{ from, to int }
	var spans []span
	last := 0
	for i := 1; i <= n; i++ {
		if i == n || keep[i] {
			spans = append(spans, span{last, i})
			last = i
		}
	}
	for len(spans) > 0 {
		s := spans[len(spans)-1]
		spans = spans[:len(spans)-1]
		a, b := r[s.from], r[s.to%n]
		worst, at := tol, -1
		for i := s.from + 1; i < s.to; i++ {
			if e := onSegment(r[i], a, b).Sub(r[i]).Len(); e > worst {
				worst, at = e, i
			}
		}
		if at >= 0 {
			keep[at] = true
			spans = append(spans, span{s.from, at}, span{at, s.to})
		}
	}
	out := make(Ring, 0, n)
	for i, p := range r {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out
}
