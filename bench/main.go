// Command bench measures this project beside general-purpose libraries and prints one
// table.
//
//	lines (table.go) name sources: a Go benchmark, or a peer's script (source.go)
//	sources, each run in turns --> numbers, the median of all turns
//	numbers --> one line each: ours, the peer's, how many times faster, the goal
//
// Every source runs once in each turn, so that a slow moment of the machine falls on
// all alike. The ratio is what counts; seconds depend on the machine.
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"runtime"
	"slices"
	"strings"
)

func main() {
	rounds := flag.Int("rounds", 3, "turns; of each number the median is shown")
	only := flag.String("only", "", "measure only the lines whose words hold this")
	grown := flag.String("growth", "", "measure how cost grows instead, and draw it into this SVG file")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := measure(ctx, *rounds, *only, *grown); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

func measure(ctx context.Context, rounds int, only, grown string) error {
	dir, err := os.MkdirTemp("", "mouldwright-bench-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	r := &runner{ctx: ctx, dir: dir, got: map[source]map[string][]float64{}}
	if grown != "" {
		return r.grow(os.Stdout, grown)
	}
	wanted := slices.DeleteFunc(slices.Clone(lines), func(l line) bool { return !strings.Contains(l.what, only) })
	var sources []source
	for _, l := range wanted {
		for _, n := range []*number{&l.ours, l.peer} {
			if n != nil && !slices.Contains(sources, n.from) {
				sources = append(sources, n.from)
			}
		}
	}
	for round := range rounds {
		for _, s := range sources {
			if round > 0 && s.once {
				continue
			}
			fmt.Fprintf(os.Stderr, "turn %d of %d: %s\n", round+1, rounds, s.name)
			if err := r.run(s); err != nil {
				return fmt.Errorf("%s: %w", s.name, err)
			}
		}
	}
	fmt.Printf("%d cores, load %s, medians of %d turns\n\n", runtime.NumCPU(), load(), rounds)
	return r.print(os.Stdout, wanted)
}

// load is how many programs wanted a core in the last 1, 5 and 15 minutes, where the
// system tells.
func load() string {
	text, err := os.ReadFile("/proc/loadavg")
	f := strings.Fields(string(text))
	if err != nil || len(f) < 3 {
		return "unknown"
	}
	return strings.Join(f[:3], " ")
}
