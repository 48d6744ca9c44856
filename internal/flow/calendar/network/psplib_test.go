package network

import (
	"bufio"
	"context"
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// instances is where the published instances lie: R. Kolisch, A. Sprecher, "PSPLIB",
// EJOR 96 (1997) 205-216, the set j30 with its proved optima.
const instances = "../../../../../shared/data/psplib-j30"

// The published instances, scheduled forward and counted back: never below the proved
// optimum, the bound never above it, and close to it: measured were 0.51 % on the
// mean and 3.53 % at worst, counted back; twice that is held. Rules of thumb alone are about 4 % above, good searches below 1 %
// (R. Kolisch, S. Hartmann, EJOR 174 (2006) 23-37, table for J30).
func TestPublishedInstances(t *testing.T) {
	f, err := os.Open(filepath.Join(instances, "optimum.csv"))
	if err != nil {
		t.Skipf("left out: the scheduler against published optima, since %s is missing", instances)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	sum, worst, exact := 0.0, 0.0, 0
	for _, r := range rows[1:] {
		p := readInstance(t, filepath.Join(instances, r[0]+".sm"))
		want, err := strconv.Atoi(r[1])
		if err != nil {
			t.Fatal(err)
		}
		there, err := p.Begin(context.Background(), 0)
		if err != nil {
			t.Fatal(err)
		}
		back, err := p.Count(context.Background(), 1000)
		if err != nil {
			t.Fatal(err)
		}
		verify(t, p, there)
		verify(t, p, back)
		for _, s := range []*Schedule{there, back} {
			if s.SpanMin < want || s.BoundMin > want {
				t.Errorf("%s: spans %d, bound %d, but the proved optimum is %d", r[0], s.SpanMin, s.BoundMin, want)
			}
		}
		gap := float64(back.SpanMin-want) / float64(want)
		sum, worst = sum+gap, max(worst, gap)
		if gap == 0 {
			exact++
		}
	}
	n := float64(len(rows) - 1)
	t.Logf("%d instances counted back: %d at the optimum, %.2f %% above it on the mean, %.2f %% at worst", len(rows)-1, exact, 100*sum/n, 100*worst)
	if sum/n > 0.0102 || worst > 0.0706 {
		t.Errorf("%.2f %% above the optimum on the mean, %.2f %% at worst", 100*sum/n, 100*worst)
	}
}

// readInstance reads one instance as the set has it.
func readInstance(t *testing.T, name string) *Problem {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	p, part := &Problem{}, ""
	for in := bufio.NewScanner(f); in.Scan(); {
		line := in.Text()
		var n []int
		for _, w := range strings.Fields(line) {
			if v, err := strconv.Atoi(w); err == nil {
				n = append(n, v)
			}
		}
		switch {
		case strings.HasPrefix(line, "PRECEDENCE"), strings.HasPrefix(line, "REQUESTS"), strings.HasPrefix(line, "RESOURCEAVAIL"):
			part = line[:3]
		case part == "PRE" && len(n) > 2:
			for len(p.Tasks) < n[0] {
				p.Tasks = append(p.Tasks, Task{})
			}
			for _, next := range n[3:] {
				for len(p.Tasks) < next {
					p.Tasks = append(p.Tasks, Task{})
				}
				p.Tasks[next-1].After = append(p.Tasks[next-1].After, Link{Task: n[0] - 1})
			}
		case part == "REQ" && len(n) == 7:
			task := &p.Tasks[n[0]-1]
			task.Body = n[2]
			for r, units := range n[3:] {
				task.Uses = append(task.Uses, Use{Resource: r, Units: units})
			}
		case part == "RES" && len(n) == 4 && len(strings.Fields(line)) == 4:
			p.Capacity = n
		}
	}
	if len(p.Tasks) != 32 || len(p.Capacity) != 4 {
		t.Fatalf("%s: %d tasks, capacities %v", name, len(p.Tasks), p.Capacity)
	}
	return p
}
