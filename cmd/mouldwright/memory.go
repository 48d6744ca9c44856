package main

import (
	"os"
	"path"
	"runtime/debug"
	"strconv"
	"strings"
)

// stayBelow keeps the program's memory below what its container gives it, so that a build
// on a small board slows down instead of being killed. GOMEMLIMIT comes first.
func stayBelow(root string) {
	if os.Getenv("GOMEMLIMIT") != "" {
		return
	}
	if limit := containerLimit(root); limit > 0 {
		debug.SetMemoryLimit(limit / 10 * 9) // a tenth for what the runtime does not count
	}
}

// containerLimit is the memory in bytes that Linux gives to this process's control group,
// of either version; 0 when there is no limit. root is "/" but in tests. Sources: the
// kernel's documents cgroup-v2.rst (memory.max) and cgroup-v1/memory.rst
// (memory.limit_in_bytes).
func containerLimit(root string) int64 {
	groups, err := os.ReadFile(path.Join(root, "proc/self/cgroup"))
	if err != nil {
		return 0
	}
	const unlimited = 1 << 50 // version 1 writes nearly 2⁶³ for no limit
	for line := range strings.Lines(string(groups)) {
		f := strings.SplitN(strings.TrimSpace(line), ":", 3)
		if len(f) != 3 {
			continue
		}
		base, file := "sys/fs/cgroup", "memory.max"
		if f[1] == "memory" {
			base, file = "sys/fs/cgroup/memory", "memory.limit_in_bytes"
		} else if f[1] != "" {
			continue
		}
		// Within a container the group is mounted as the root.
		for _, dir := range []string{f[2], "/"} {
			text, err := os.ReadFile(path.Join(root, base, dir, file))
			if err != nil {
				continue
			}
			if n, err := strconv.ParseInt(strings.TrimSpace(string(text)), 10, 64); err == nil && 0 < n && n < unlimited {
				return n
			}
			break
		}
	}
	return 0
}
