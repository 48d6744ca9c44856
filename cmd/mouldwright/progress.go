package main

import (
	"fmt"
	"io"
	"os"

	"golang.org/x/term"
)

// progress rewrites one line on a terminal, and says nothing anywhere else.
type progress struct {
	w    io.Writer
	last string
}

func newProgress(w io.Writer) *progress {
	if f, ok := w.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		return &progress{w: w}
	}
	return &progress{}
}

func (p *progress) show(stage string, done, total int) {
	if p.w == nil {
		return
	}
	line := fmt.Sprintf("%s %d of %d", stage, done, total)
	if line != p.last {
		fmt.Fprintf(p.w, "\r\x1b[K%s", line)
		p.last = line
	}
}

func (p *progress) clear() {
	if p.w != nil && p.last != "" {
		fmt.Fprint(p.w, "\r\x1b[K")
	}
}
