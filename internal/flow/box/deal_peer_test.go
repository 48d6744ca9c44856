package box

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"mouldwright/internal/base/peer"
	"mouldwright/internal/base/solve"
)

// rival is the party of BenchmarkDeal500 as it is given to others' solvers: everybody has
// one piece of their own, the cells left are for the 12 designs.
type rival struct {
	guests []Guest
	kinds  []Kind
	free   int
	least  solve.Cost // what our dealing costs
}

func rivals(b *testing.B) *rival {
	guests, kinds := party(b)
	const cells, shared = 9, 12
	r := &rival{guests: guests, kinds: kinds[:shared], free: cells - 1}
	ours, _, err := Deal(context.Background(), guests, kinds, cells)
	if err != nil {
		b.Fatal(err)
	}
	x := r.none()
	for _, box := range ours.Boxes {
		for _, k := range box.Kinds[1:] { // after one's own
			x[box.Guest][k]++
		}
	}
	r.least = ours.Cost
	r.judge(b, "our dealing", x)
	return r
}

// none is a dealing of nothing: how many of each kind each guest gets.
func (r *rival) none() [][]int {
	x := make([][]int, len(r.guests))
	for i := range x {
		x[i] = make([]int, len(r.kinds))
	}
	return x
}

// judge counts a dealing's costs afresh: it keeps the rules and costs what ours costs.
func (r *rival) judge(b *testing.B, whose string, x [][]int) {
	b.Helper()
	if c, ok := costOf(x, r.guests, r.kinds, r.free); !ok || c != r.least {
		b.Fatalf("%s costs %v (allowed %v), our dealing is said to cost %v", whose, c, ok, r.least)
	}
}

// BenchmarkDeal500LEMON solves the party of BenchmarkDeal500 by LEMON's network simplex
// ("s-of-peer": from the network in its memory to the flow). It needs one cost for each arc:
// the four are weighted so that no sum of a later one reaches a single unit of an earlier
// one, which 500 guests leave just room for in 64 bits.
func BenchmarkDeal500LEMON(b *testing.B) {
	r := rivals(b)
	dir := b.TempDir()
	in, out := filepath.Join(dir, "deal.min"), filepath.Join(dir, "flow")
	pieces := len(r.guests) * r.free
	even := 1
	equal := even * (1 + pieces*pieces/2)
	disliked := equal * (1 + len(r.guests)*r.free*r.free/2)
	empty := disliked * (1 + pieces)
	const source, sink, nothing, first = 1, 2, 3, 4
	var arcs bytes.Buffer
	var pairs [][2]int // guest and kind of each arc; of the others {-1, -1}
	arc := func(from, to, most, cost, guest, kind int) {
		fmt.Fprintln(&arcs, "a", from, to, 0, most, cost)
		pairs = append(pairs, [2]int{guest, kind})
	}
	may := make([]int, len(r.kinds))
	arc(source, nothing, pieces, empty, -1, -1)
	for i := range r.guests {
		box := first + len(r.kinds) + i
		arc(box, sink, r.free, 0, -1, -1)
		arc(nothing, box, r.free, 0, -1, -1)
		for k := range r.kinds {
			if len(r.kinds[k].bars(&r.guests[i])) > 0 {
				continue
			}
			cost := 0
			if r.kinds[k].disliked(&r.guests[i]) {
				cost = disliked
			}
			for u := range r.free {
				arc(first+k, box, 1, cost+u*equal, i, k)
			}
			may[k] += r.free
		}
	}
	for k, most := range may {
		for u := range most {
			arc(source, first+k, 1, u*even, -1, -1)
		}
	}
	text := fmt.Sprintf("p min %d %d\nn %d %d\nn %d %d\n%s", first-1+len(r.kinds)+len(r.guests), len(pairs), source, pieces, sink, -pieces, arcs.Bytes())
	if err := os.WriteFile(in, []byte(text), 0o600); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		says, content := peer.Built(b, "mincost", in, out)
		var took float64
		if _, err := fmt.Sscanf(says, "seconds=%g", &took); err != nil || !content {
			b.Fatal(says)
		}
		b.ReportMetric(took, "s-of-peer")
	}
	flow, err := os.ReadFile(out)
	if err != nil {
		b.Fatal(err)
	}
	x := r.none()
	for k, word := range strings.Fields(string(flow)) {
		n, err := strconv.Atoi(word)
		if err != nil {
			b.Fatal(err)
		}
		if p := pairs[k]; p[0] >= 0 {
			x[p[0]][p[1]] += n
		}
	}
	r.judge(b, "LEMON's dealing", x)
}

// BenchmarkDeal500Cbc solves the party of BenchmarkDeal500 by the integer programming of Cbc
// ("s-of-peer": the sum over its four runs of the time that it says it took to solve, without
// reading). Floating point cannot hold the four costs in one, so each is made least in turn,
// with those before it held.
func BenchmarkDeal500Cbc(b *testing.B) {
	cbc := peer.Tool(b, "cbc", "coinor-cbc")
	p := programme{rival: rivals(b)}
	for b.Loop() {
		seconds := 0.0
		var held solve.Cost
		for rank := range held {
			seconds += p.run(b, cbc, rank, &held)
		}
		b.ReportMetric(seconds, "s-of-peer")
	}
	p.judge(b, "Cbc's dealing", p.found)
}

// programme is a party as an integer programme. x_i_k is how many of kind k guest i gets,
// e_i how many cells stay empty, y_i_k_u is 1 when there is a piece number u of a kind in a
// box, and s_k_u when there is one in all boxes.
type programme struct {
	*rival
	found [][]int
}

// write words the programme in which the cost of this rank is made least and those before it
// are held.
func (p *programme) write(rank int, held solve.Cost) []byte {
	sums := make([][]string, len(held))
	var rows, most, whole bytes.Buffer
	of := make([][]string, len(p.kinds))
	for i := range p.guests {
		in := []string{fmt.Sprintf("e_%d", i)}
		sums[rankEmpty] = append(sums[rankEmpty], in[0])
		for k := range p.kinds {
			if len(p.kinds[k].bars(&p.guests[i])) > 0 {
				continue
			}
			x := fmt.Sprintf("x_%d_%d", i, k)
			in, of[k] = append(in, x), append(of[k], x)
			fmt.Fprintf(&most, "%s <= %d\n", x, p.free)
			fmt.Fprintln(&whole, x)
			if p.kinds[k].disliked(&p.guests[i]) {
				sums[rankDisliked] = append(sums[rankDisliked], x)
			}
			if rank < rankEqual {
				continue
			}
			fmt.Fprint(&rows, x)
			for u := range p.free {
				y := fmt.Sprintf("y_%d_%d_%d", i, k, u)
				fmt.Fprintf(&rows, " - %s", y)
				fmt.Fprintf(&most, "%s <= 1\n", y)
				sums[rankEqual] = append(sums[rankEqual], fmt.Sprintf("%d %s", u, y))
			}
			fmt.Fprintln(&rows, " = 0")
		}
		fmt.Fprintf(&rows, "%s = %d\n", strings.Join(in, " + "), p.free)
	}
	if rank == rankEven {
		for k := range p.kinds {
			fmt.Fprint(&rows, strings.Join(of[k], "\n+ "))
			for u := range p.free * len(of[k]) {
				s := fmt.Sprintf("s_%d_%d", k, u)
				fmt.Fprintf(&rows, "\n- %s", s)
				fmt.Fprintf(&most, "%s <= 1\n", s)
				sums[rankEven] = append(sums[rankEven], fmt.Sprintf("%d %s", u, s))
			}
			fmt.Fprintln(&rows, " = 0")
		}
	}
	var out bytes.Buffer
	fmt.Fprintf(&out, "Minimize\n%s\nSubject To\n", strings.Join(sums[rank], "\n+ "))
	for r := range rank {
		fmt.Fprintf(&out, "%s <= %d\n", strings.Join(sums[r], "\n+ "), held[r])
	}
	fmt.Fprintf(&out, "%sBounds\n%sGenerals\n%sEnd\n", rows.String(), most.String(), whole.String())
	return out.Bytes()
}

// run lets Cbc make one cost least, holds it, and gives the seconds. Preparing for integers,
// cutting and guessing are switched off: the first relaxation is whole already, and with
// them the last run alone takes fifteen times as long.
func (p *programme) run(b *testing.B, cbc string, rank int, held *solve.Cost) float64 {
	b.Helper()
	dir := b.TempDir()
	in, out := filepath.Join(dir, "deal.lp"), filepath.Join(dir, "deal.sol")
	if err := os.WriteFile(in, p.write(rank, *held), 0o600); err != nil {
		b.Fatal(err)
	}
	says, err := exec.Command(cbc, in, "-presolve", "off", "-preprocess", "off", "-cutsOnOff", "off", "-heuristicsOnOff", "off", "-solve", "-solution", out).CombinedOutput()
	if err != nil {
		b.Fatalf("%v\n%s", err, says)
	}
	_, after, _ := strings.Cut(string(says), "\nTime (Wallclock seconds):")
	var seconds float64
	if _, err := fmt.Sscan(after, &seconds); err != nil {
		b.Fatalf("%v\n%s", err, says)
	}
	text, err := os.ReadFile(out)
	if err != nil || !strings.HasPrefix(string(text), "Optimal") {
		b.Fatalf("%v\n%s", err, says)
	}
	p.found = p.none()
	for line := range strings.Lines(string(text)) {
		var n, i, k int
		var v float64
		if f := strings.Fields(line); len(f) == 4 && strings.HasPrefix(f[1], "x_") {
			if _, err := fmt.Sscanf(strings.Join(f, " "), "%d x_%d_%d %g", &n, &i, &k, &v); err != nil {
				b.Fatalf("%q: %v", line, err)
			}
			p.found[i][k] = int(math.Round(v))
		}
	}
	c, _ := costOf(p.found, p.guests, p.kinds, p.free)
	held[rank] = c[rank]
	return seconds
}
