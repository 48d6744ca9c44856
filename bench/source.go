package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"strconv"
	"strings"
)

// source is something that gives numbers when it is run: a benchmark of a package of
// the project, or a peer's script, which prints JSON objects with a name.
type source struct {
	name string // of the benchmark, or of the script in peers/
	pkg  string // of the benchmark; empty for a script
	n    int    // times that the benchmark does its work in one turn
	once bool   // too long for more than one turn
}

// runner runs sources and keeps what they gave.
type runner struct {
	ctx context.Context
	dir string // for compiled benchmarks
	got map[source]map[string][]float64
}

func (r *runner) run(s source) error {
	if r.got[s] == nil {
		r.got[s] = map[string][]float64{}
	}
	if s.pkg == "" {
		return r.script(s)
	}
	return r.benchmark(s)
}

// benchmark runs a benchmark and keeps each of its numbers under its unit, seconds
// under "s"; those of a benchmark within it under "name/unit".
func (r *runner) benchmark(s source) error {
	program := filepath.Join(r.dir, path.Base(s.pkg)+".test")
	if _, err := os.Stat(program); err != nil {
		if _, err := r.output("..", "go", "test", "-c", "-o", program, "./"+s.pkg); err != nil {
			return err
		}
	}
	// A benchmark finds its files from its package's folder.
	out, err := r.output(filepath.Join("..", s.pkg), program, "-test.run=^$",
		"-test.bench=^"+s.name+"$", fmt.Sprintf("-test.benchtime=%dx", s.n), "-test.timeout=30m")
	if err != nil {
		return err
	}
	for text := range strings.Lines(string(out)) {
		f := strings.Fields(text)
		if len(f) < 4 || !strings.HasPrefix(f[0], s.name) {
			continue
		}
		within := strings.TrimPrefix(f[0], s.name)
		if k := strings.LastIndexByte(within, '-'); k >= 0 {
			within = within[:k] // the number of cores
		}
		within = strings.TrimPrefix(within, "/")
		for k := 2; k+1 < len(f); k += 2 {
			v, err := strconv.ParseFloat(f[k], 64)
			if err != nil {
				return fmt.Errorf("%q: %w", text, err)
			}
			unit := f[k+1]
			if unit == "ns/op" {
				v, unit = v/1e9, "s"
			}
			r.keep(s, path.Join(within, unit), v)
		}
	}
	if len(r.got[s]) == 0 {
		return fmt.Errorf("no numbers in:\n%s", out)
	}
	return nil
}

// script runs a peer and keeps each number of its JSON under "name/key".
func (r *runner) script(s source) error {
	with := "node"
	if strings.HasSuffix(s.name, ".py") {
		with = "/usr/bin/python3"
	}
	out, err := r.output("peers", with, s.name)
	if err != nil {
		return err
	}
	for d := json.NewDecoder(bytes.NewReader(out)); d.More(); {
		var object map[string]any
		if err := d.Decode(&object); err != nil {
			return err
		}
		for key, v := range object {
			if v, ok := v.(float64); ok {
				r.keep(s, fmt.Sprintf("%v/%s", object["name"], key), v)
			}
		}
	}
	return nil
}

func (r *runner) keep(s source, key string, v float64) { r.got[s][key] = append(r.got[s][key], v) }

func (r *runner) output(dir, name string, args ...string) ([]byte, error) {
	cmd := exec.CommandContext(r.ctx, name, args...)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "MOULDWRIGHT_PEERS=must") // a benchmark without its peer says what is missing
	var complaints bytes.Buffer
	cmd.Stderr = &complaints
	out, err := cmd.Output()
	if err != nil {
		err = fmt.Errorf("%w\n%s%s", err, out, complaints.Bytes())
	}
	return out, err
}
