package main

import (
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	if job := os.Getenv(tortured); job != "" {
		os.Exit(run([]string{"serve", "--no-open", job}, os.Stdout, os.Stderr))
	}
	testscript.Main(m, map[string]func(){"mouldwright": func() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }})
}

// TestSessions runs testdata/*.txt: what a person types and what they see.
func TestSessions(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata",
		Setup: func(e *testscript.Env) error {
			e.Setenv("SOURCE_DATE_EPOCH", "1795000000") // 18 November 2026, whatever the day
			return hostile(e.WorkDir)
		},
	})
}
