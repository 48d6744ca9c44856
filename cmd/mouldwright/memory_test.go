package main

import (
	"os"
	"path/filepath"
	"testing"
)

// The limit is read where either version of control groups keeps it.
func TestContainerLimit(t *testing.T) {
	for _, c := range []struct {
		name  string
		files map[string]string
		want  int64
	}{
		{"version 2", map[string]string{"proc/self/cgroup": "0::/user.slice/a\n", "sys/fs/cgroup/user.slice/a/memory.max": "536870912\n"}, 512 << 20},
		{"version 2 without a limit", map[string]string{"proc/self/cgroup": "0::/\n", "sys/fs/cgroup/memory.max": "max\n"}, 0},
		{"version 1", map[string]string{"proc/self/cgroup": "9:name=systemd:/\n4:memory:/box\n0::/\n", "sys/fs/cgroup/memory/box/memory.limit_in_bytes": "268435456\n"}, 256 << 20},
		{"version 1 seen from within", map[string]string{"proc/self/cgroup": "4:memory:/box/77\n", "sys/fs/cgroup/memory/memory.limit_in_bytes": "268435456\n"}, 256 << 20},
		{"version 1 without a limit", map[string]string{"proc/self/cgroup": "4:memory:/\n", "sys/fs/cgroup/memory/memory.limit_in_bytes": "9223372036854771712\n"}, 0},
		{"another system", nil, 0},
		{"nonsense", map[string]string{"proc/self/cgroup": "memory\n:::\n0::/x\n", "sys/fs/cgroup/x/memory.max": "-3\n"}, 0},
	} {
		root := t.TempDir()
		for name, text := range c.files {
			file := filepath.Join(root, name)
			if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if got := containerLimit(root); got != c.want {
			t.Errorf("%s: %d bytes, want %d", c.name, got, c.want)
		}
	}
}
