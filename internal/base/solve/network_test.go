package solve

import (
	"context"
	"math/rand"
	"testing"
)

// A transport problem whose least cost is known by hand: two sources of 3 and 2, two
// sinks of 2 and 3, prices 1 4 / 2 1. All of the first sink from the first source, one
// unit of it across: 2*1 + 1*4 + 2*1 = 8.
func TestTransport(t *testing.T) {
	n := NewNetwork(6)
	arc := func(from, to int, most, price int64) int {
		return n.Add(Arc{From: from, To: to, Most: most, Width: 1, Price: Cost{price}})
	}
	arc(0, 1, 3, 0)
	arc(0, 2, 2, 0)
	arc(1, 3, 9, 1)
	across := arc(1, 4, 9, 4)
	arc(2, 3, 9, 2)
	arc(2, 4, 9, 1)
	arc(3, 5, 2, 0)
	arc(4, 5, 3, 0)
	sent, err := n.Send(context.Background(), 0, 5, 99)
	if err != nil || sent != 5 || n.Cost() != (Cost{8}) || n.On(across) != 1 {
		t.Errorf("sent %d at %v, %d across (%v); want 5 at 8, 1 across", sent, n.Cost(), n.On(across), err)
	}
	if b := n.Bound(0, 5, sent); b != n.Cost() {
		t.Errorf("bound %v, cost %v", b, n.Cost())
	}
}

// Against trying everything, on small networks of two layers with convex costs in two
// ranks. The bound must be met each time: the problem is integral.
func TestSendAgainstBruteForce(t *testing.T) {
	r := rand.New(rand.NewSource(7))
	for trial := range 300 {
		kinds, boxes := 1+r.Intn(3), 1+r.Intn(3)
		n := NewNetwork(2 + kinds + boxes)
		var supply, want []int64
		var arcs []Arc
		for k := range kinds {
			supply = append(supply, int64(r.Intn(4)))
			n.Add(Arc{From: 0, To: 2 + k, Most: supply[k], Width: 1, Rise: Cost{0, 1}})
		}
		units := int64(0)
		for b := range boxes {
			want = append(want, int64(r.Intn(3)))
			units += want[b]
			n.Add(Arc{From: 2 + kinds + b, To: 1, Most: want[b], Width: 1})
		}
		for k := range kinds {
			for b := range boxes {
				a := Arc{From: 2 + k, To: 2 + kinds + b, Most: int64(r.Intn(3)), Width: int64(1 + r.Intn(2)), Price: Cost{int64(r.Intn(2)), int64(r.Intn(3))}, Rise: Cost{0, int64(r.Intn(3))}}
				arcs = append(arcs, a)
				n.Add(a)
			}
		}
		sent, err := n.Send(context.Background(), 0, 1, units)
		if err != nil {
			t.Fatal(err)
		}
		best, bestSent := Cost{}, int64(-1)
		x := make([]int64, len(arcs))
		var try func(i int)
		try = func(i int) {
			if i == len(arcs) {
				out, in, total := make([]int64, kinds), make([]int64, boxes), int64(0)
				var c Cost
				for j, a := range arcs {
					out[a.From-2] += x[j]
					in[a.To-2-kinds] += x[j]
					total += x[j]
					for u := range x[j] {
						c = c.Plus(1, a.price(u))
					}
				}
				for k := range kinds {
					if out[k] > supply[k] {
						return
					}
					c[1] += out[k] * (out[k] - 1) / 2
				}
				for b := range boxes {
					if in[b] > want[b] {
						return
					}
				}
				if total > bestSent || total == bestSent && c.Compare(best) < 0 {
					best, bestSent = c, total
				}
				return
			}
			for x[i] = 0; x[i] <= arcs[i].Most; x[i]++ {
				try(i + 1)
			}
			x[i] = 0
		}
		try(0)
		if sent != bestSent || n.Cost() != best {
			t.Fatalf("trial %d: sent %d at %v; trying all: %d at %v", trial, sent, n.Cost(), bestSent, best)
		}
		if b := n.Bound(0, 1, sent); b != best {
			t.Fatalf("trial %d: bound %v, least cost %v", trial, b, best)
		}
	}
}
