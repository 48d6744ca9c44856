package forecast

import (
	"context"
	"math"

	"mouldwright/internal/base/field"
)

// A shaded relief has marks that stand on others: a leaf on its branch. Such a mark is
// looked at half-way between its foot, where it joins another, and its top; at
// the level of higher marks next to it one would see a sliver of its top only.

// lowShare is how much lower than the survey's a mark's own level must be to be looked
// at anew (our choice: less than a tenth is no other level).
const lowShare = 0.9

// ownLevel is half-way between a mark's foot and its top, and no higher than the survey.
func (s *survey) ownLevel(a int, foot float64) float64 {
	return math.Min(float64(s.t), (foot+float64(s.marked[a].depth))/2)
}

// isLow says whether a part is to be looked at at its own level.
func (s *survey) isLow(a int, foot float64) bool {
	return s.ownLevel(a, foot) < lowShare*float64(s.t)
}

// below judges part a, whose peak is the n-th, at its own level in a window of its own.
// Where it meets another mark there after all, what is known of it stays.
func (s *survey) below(ctx context.Context, a int, foot float64, peaks []int, n int, known []Mark) ([]Mark, error) {
	w, h := s.drawn.W, s.drawn.H
	level := float32(s.ownLevel(a, foot))
	i0, j0, i1, j1 := reached(s.drawn, level, peaks[n])
	r := int(math.Ceil(windowMM / s.drawn.PitchMM))
	i0, j0, i1, j1 = max(0, i0-r), max(0, j0-r), min(w-1, i1+r), min(h-1, j1+r)
	drawn, made := cut(s.drawn, i0, j0, i1, j1), cut(s.made, i0, j0, i1, j1)
	set := drawn.Above(level)
	own, err := newSurvey(ctx, s.side, drawn, made, level, set, label(set.On, set.W, set.H, true), s.need)
	if err != nil {
		return nil, err
	}
	part := func(peak int) int32 {
		i, j := peak%w-i0, peak/w-j0
		if i < 0 || j < 0 || i >= drawn.W || j >= drawn.H {
			return 0
		}
		return own.parts.of[j*drawn.W+i]
	}
	b := part(peaks[n])
	for k, p := range peaks {
		if k != n && part(p) == b {
			return known, nil
		}
	}
	list := own.marks(int(b), foot)
	list[0].GapMM = least(list[0].GapMM, known[0].GapMM)
	return list, nil
}

// reached is the box of what can be reached from a sample above a level.
func reached(f *field.Field, level float32, from int) (i0, j0, i1, j1 int) {
	w := f.W
	i0, j0, i1, j1 = from%w, from/w, from%w, from/w
	seen := map[int]bool{from: true}
	for todo := []int{from}; len(todo) > 0; {
		k := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		i, j := k%w, k/w
		i0, i1, j0, j1 = min(i0, i), max(i1, i), min(j0, j), max(j1, j)
		for dj := max(-1, -j); dj <= min(1, f.H-1-j); dj++ {
			for di := max(-1, -i); di <= min(1, w-1-i); di++ {
				if q := k + dj*w + di; f.Z[q] > level && !seen[q] {
					seen[q] = true
					todo = append(todo, q)
				}
			}
		}
	}
	return
}

// cut is a window of a field.
func cut(f *field.Field, i0, j0, i1, j1 int) *field.Field {
	o := f.XY(i0, j0)
	out := field.New(field.Grid{W: i1 - i0 + 1, H: j1 - j0 + 1, PitchMM: f.PitchMM, X0: o.X, Y0: o.Y})
	for j := range out.H {
		copy(out.Row(j), f.Row(j0 + j)[i0:i1+1])
	}
	return out
}

// footLevels is how finely feet are told, as parts of the highest that is possible
// (our choice: finer than a layer on art 1 mm high).
const footLevels = 64

// feetOf is for each peak the height at which what it stands on meets what another
// peak stands on, at most t; 0 where that is the body. Levels are let down one after
// the other and joined by union-find, which is how a tree of a field's level sets is
// built (H. Carr, J. Snoeyink, U. Axen, Computational Geometry 24, 2003, 75, from memory).
func feetOf(ctx context.Context, fine *field.Field, peaks []int, t float64) ([]float64, error) {
	every := max(1, int(sidePitchMM/fine.PitchMM+1e-9))
	f := thinned(fine, every)
	levelOf := func(z float32) int { return min(footLevels, int(float64(z)/t*footLevels)) }
	// Samples by their level, the highest first, by counting.
	var start [footLevels + 2]int
	for _, z := range f.Z {
		if l := levelOf(z); z > 0 && l > 0 {
			start[footLevels-l+1]++
		}
	}
	for l := range footLevels + 1 {
		start[l+1] += start[l]
	}
	order := make([]int32, start[footLevels])
	at := start
	for k, z := range f.Z {
		if l := levelOf(z); z > 0 && l > 0 {
			order[at[footLevels-l]] = int32(k)
			at[footLevels-l]++
		}
	}
	parent := make([]int32, len(f.Z)) // 0: not yet reached, else one more than the sample
	mark := map[int32]int{}           // of a root, one that stands on it
	feet := make([]float64, len(peaks))
	found := make([]bool, len(peaks))
	peak := map[int32]int{}
	for n, p := range peaks {
		i, j := min(f.W-1, (p%fine.W+every/2)/every), min(f.H-1, (p/fine.W+every/2)/every)
		peak[int32(j*f.W+i)] = n
	}
	root := func(k int32) int32 {
		for parent[k]-1 != k {
			parent[k] = parent[parent[k]-1]
			k = parent[k] - 1
		}
		return k
	}
	for n, k := range order {
		if n%(1<<16) == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		parent[k] = k + 1
		if p, ok := peak[k]; ok {
			mark[k] = p
		}
		level := float64(levelOf(f.Z[k])) / footLevels * t
		i, j := int(k)%f.W, int(k)/f.W
		for dj := max(-1, -j); dj <= min(1, f.H-1-j); dj++ {
			for di := max(-1, -i); di <= min(1, f.W-1-i); di++ {
				q := k + int32(dj*f.W+di)
				if parent[q] == 0 {
					continue
				}
				a, b := root(k), root(q)
				if a == b {
					continue
				}
				ma, inA := mark[a]
				mb, inB := mark[b]
				if inA && inB {
					for _, m := range [2]int{ma, mb} {
						if !found[m] {
							found[m], feet[m] = true, level
						}
					}
				}
				parent[max(a, b)] = min(a, b) + 1
				if inB && !inA {
					ma = mb
				}
				if inA || inB {
					mark[min(a, b)] = ma
				}
			}
		}
	}
	return feet, nil
}
