package solve

import (
	"container/heap"
	"context"
	"fmt"

	"mouldwright/internal/base/finding"
)

// Cost is several costs of which an earlier one outweighs any amount of a later one.
type Cost [4]int64

// Plus is the sum with k times another cost.
func (c Cost) Plus(k int64, d Cost) Cost {
	for i := range c {
		c[i] += k * d[i]
	}
	return c
}

// Compare is -1, 0 or 1, as c is less, equal or more than d.
func (c Cost) Compare(d Cost) int {
	for i := range c {
		switch {
		case c[i] < d[i]:
			return -1
		case c[i] > d[i]:
			return 1
		}
	}
	return 0
}

// Arc leads from one node to another. Its first Width units cost Price each, its next
// Width units Price + Rise, then Price + 2 Rise, and so on up to Most: a convex cost.
type Arc struct {
	From, To    int
	Most, Width int64 // Width >= 1
	Price, Rise Cost  // >= 0
}

// price is what the unit after x units costs.
func (a *Arc) price(x int64) Cost { return a.Price.Plus(x/a.Width, a.Rise) }

// Network is nodes, joined by arcs, through which units are sent.
type Network struct {
	arcs  []Arc
	flow  []int64
	leave [][]int32 // by node: arc k as 2k where it begins, as 2k+1 where it ends
	rank  []Cost    // by node: potential; proves what was found to be least
}

// MaxArcs bounds a network (our choice: some hundred megabytes).
const MaxArcs = 4_000_000

// NewNetwork has so many nodes, numbered from 0.
func NewNetwork(nodes int) *Network {
	return &Network{leave: make([][]int32, nodes), rank: make([]Cost, nodes)}
}

// Add adds an arc and gives its number.
func (n *Network) Add(a Arc) int {
	k := len(n.arcs)
	n.arcs, n.flow = append(n.arcs, a), append(n.flow, 0)
	n.leave[a.From] = append(n.leave[a.From], int32(2*k))
	n.leave[a.To] = append(n.leave[a.To], int32(2*k+1))
	return k
}

// On is how many units an arc carries.
func (n *Network) On(arc int) int64 { return n.flow[arc] }

// Cost is what all units cost.
func (n *Network) Cost() Cost {
	var c Cost
	for k := range n.arcs {
		a, x := &n.arcs[k], n.flow[k]
		steps, rest := x/a.Width, x%a.Width
		c = c.Plus(x, a.Price).Plus(a.Width*(steps*(steps-1)/2)+rest*steps, a.Rise)
	}
	return c
}

// Bound is what no sending of so many units from one node to another can cost less
// than: the dual of the linear programme at the nodes' potentials. It holds for any
// potentials, so it is a proof that does not rest on how the flow was found.
func (n *Network) Bound(from, to int, units int64) Cost {
	rise := n.rank[to].Plus(-1, n.rank[from])
	var b Cost
	b = b.Plus(units, rise)
	for k := range n.arcs {
		a := &n.arcs[k]
		for x := int64(0); x < a.Most; x += a.Width {
			less := a.price(x).Plus(1, n.rank[a.From]).Plus(-1, n.rank[a.To])
			if less.Compare(Cost{}) >= 0 {
				break // dearer from here on
			}
			b = b.Plus(min(a.Width, a.Most-x), less)
		}
	}
	return b
}

// Send sends units by the cheapest ways and gives how many could be sent: once the least
// price of a way is known, all that can go at that price is sent at once (the primal-dual
// method; L. R. Ford, D. R. Fulkerson 1962, potentials after J. Edmonds and R. M. Karp 1972).
func (n *Network) Send(ctx context.Context, from, to int, units int64) (int64, error) {
	if len(n.arcs) > MaxArcs {
		return 0, &finding.Error{Found: fmt.Sprintf("a network of %d arcs", len(n.arcs)), Allowed: fmt.Sprintf("at most %d", MaxArcs), Do: "make the job in parts"}
	}
	sent := int64(0)
	d := &reach{n: n, far: make([]Cost, len(n.leave)), seen: make([]uint8, len(n.leave)), next: make([]int, len(n.leave))}
	for sent < units {
		if err := ctx.Err(); err != nil {
			return sent, err
		}
		if !d.search(from, to) {
			break
		}
		clear(d.seen)
		clear(d.next)
		for sent < units {
			got := d.along(from, to, units-sent)
			if got == 0 {
				break
			}
			sent += got
		}
	}
	return sent, nil
}

// along sends up to so many units from u on by one way that costs nothing more at the
// present potentials, and gives how many. A node that leads nowhere stays marked.
func (d *reach) along(u, to int, most int64) int64 {
	if u == to {
		return most
	}
	n := d.n
	d.seen[u] = 1
	for ; d.next[u] < len(n.leave[u]); d.next[u]++ {
		k := n.leave[u][d.next[u]]
		v, room := n.end(k), n.room(k)
		if d.seen[v] != 0 || room <= 0 || n.reduced(k) != (Cost{}) {
			continue
		}
		got := d.along(v, to, min(most, room))
		if got == 0 {
			continue
		}
		if k&1 == 0 {
			n.flow[k/2] += got
		} else {
			n.flow[k/2] -= got
		}
		d.seen[u] = 0
		return got
	}
	return 0
}

// end is the node to which an arc leads, forward or back.
func (n *Network) end(e int32) int {
	if e&1 == 0 {
		return n.arcs[e/2].To
	}
	return n.arcs[e/2].From
}

// reduced is what a unit along an arc that has room costs at the present potentials, >= 0.
func (n *Network) reduced(e int32) (c Cost) {
	a, x, sign := &n.arcs[e/2], n.flow[e/2], int64(1)
	if e&1 != 0 {
		x, sign = x-1, -1
	}
	step, from, to := x/a.Width, &n.rank[a.From], &n.rank[a.To]
	for i := range c {
		c[i] = sign * (a.Price[i] + step*a.Rise[i] + from[i] - to[i])
	}
	return c
}

// room is how many units go along at the present price.
func (n *Network) room(e int32) int64 {
	a, x := &n.arcs[e/2], n.flow[e/2]
	if e&1 == 0 {
		return min(a.Most-x, a.Width-x%a.Width)
	}
	if x == 0 {
		return 0
	}
	return (x-1)%a.Width + 1
}

// reach searches the cheapest way (E. W. Dijkstra 1959) by reduced prices.
type reach struct {
	n    *Network
	far  []Cost
	seen []uint8 // 1 reached, 2 settled
	wait queue
	same []int // reached at no more than the last one settled: next in turn
	next []int // by node: the first of its arcs that was not tried at this price
}

func (d *reach) search(from, to int) bool {
	clear(d.seen)
	d.far[from], d.seen[from] = Cost{}, 1
	d.wait, d.same = d.wait[:0], append(d.same[:0], from)
	n := d.n
	for len(d.same)+len(d.wait) > 0 {
		var u int
		if last := len(d.same) - 1; last >= 0 {
			u, d.same = d.same[last], d.same[:last]
		} else {
			u = heap.Pop(&d.wait).(entry).node
		}
		if d.seen[u] == 2 {
			continue
		}
		d.seen[u] = 2
		if u == to {
			break
		}
		for _, k := range n.leave[u] {
			v := n.end(k)
			if d.seen[v] == 2 || n.room(k) <= 0 {
				continue
			}
			more := n.reduced(k)
			far := d.far[u].Plus(1, more)
			if d.seen[v] != 0 && far.Compare(d.far[v]) >= 0 {
				continue
			}
			d.far[v], d.seen[v] = far, 1
			if more == (Cost{}) {
				d.same = append(d.same, v)
			} else {
				heap.Push(&d.wait, entry{far, v})
			}
		}
	}
	if d.seen[to] != 2 {
		return false
	}
	for v := range n.rank {
		if d.seen[v] == 2 && d.far[v].Compare(d.far[to]) < 0 {
			n.rank[v] = n.rank[v].Plus(1, d.far[v])
		} else {
			n.rank[v] = n.rank[v].Plus(1, d.far[to])
		}
	}
	return true
}

type entry struct {
	far  Cost
	node int
}

type queue []entry

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, j int) bool {
	if c := q[i].far.Compare(q[j].far); c != 0 {
		return c < 0
	}
	return q[i].node < q[j].node
}
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(e any)   { *q = append(*q, e.(entry)) }
func (q *queue) Pop() any {
	old := *q
	e := old[len(old)-1]
	*q = old[:len(old)-1]
	return e
}
