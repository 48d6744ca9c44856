// Command mouldwright takes one job file and computes everything from the art to
// the box of chocolates.
//
// Results go to stdout, progress and messages to stderr. Exit code 0: done; 1: the
// work has a finding that must be fixed; 2: wrong usage or unreadable input; 130:
// stopped by the person.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"reflect"
	"syscall"

	"github.com/alecthomas/kong"
)

// version is set by the build; "dev" marks a build from a working tree.
var version = "dev"

const (
	exitDone        = 0
	exitFinding     = 1
	exitUsage       = 2
	exitInterrupted = 130
)

type commands struct {
	New     newCommand     `cmd:"" help:"Make a folder with a first job to start from."`
	Check   checkCommand   `cmd:"" help:"Read a job and say what is wrong with it, writing nothing."`
	Build   buildCommand   `cmd:"" help:"Compute everything and write plan, plates, sheets and pictures."`
	Coupon  couponCommand  `cmd:"" help:"Print test parts, and let what you measure on them replace what was assumed."`
	Verify  verifyCommand  `cmd:"" help:"Say what a file or a code is: current, older, of another job, damaged, misread, unknown."`
	Record  recordCommand  `cmd:"" help:"What really happened: write it down, read it, trace it, keep it safe."`
	Serve   serveCommand   `cmd:"" help:"Open the workshop: the job as a page in the browser, on this machine only."`
	Version versionCommand `cmd:"" help:"Print the program's version."`
}

// errFinding ends a command whose work has a finding that must be fixed.
var errFinding = errors.New("the work has a finding that must be fixed")

// terminal is where a command reads and writes.
type terminal struct {
	ctx            context.Context
	stdout, stderr io.Writer
}

func main() {
	stayBelow("/")
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}

func run(args []string, stdout, stderr io.Writer) (code int) {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	var c commands
	exited := -1
	p, err := kong.New(&c, kong.Name("mouldwright"),
		kong.Description("From one job file to printed master, rubber mould and filled chocolates."),
		kong.Writers(stdout, stderr), kong.Exit(func(n int) { exited = n; panic(exitNow{}) }),
		kong.NamedMapper("job", kong.MapperFunc(jobArgument)), kong.ShortUsageOnError(), kong.Vars{"version": version})
	if err != nil {
		panic(err)
	}
	defer func() {
		if r := recover(); r != nil {
			if _, ok := r.(exitNow); !ok {
				panic(r)
			}
			code = exited
		}
	}()
	k, err := p.Parse(args)
	if err != nil {
		fmt.Fprintf(stderr, "mouldwright: %v\n  try: mouldwright --help\n", err)
		return exitUsage
	}
	err = k.Run(&terminal{ctx, stdout, stderr})
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errFinding):
		return exitFinding
	case ctx.Err() != nil:
		fmt.Fprintln(stderr, "mouldwright: stopped; earlier results are as they were")
		return exitInterrupted
	}
	fmt.Fprintln(stderr, "mouldwright: "+err.Error())
	return exitUsage
}

// jobName is the job file of a folder.
const jobName = "job.toml"

// jobIn is the job file that an argument names: itself, or that of a folder.
func jobIn(arg string) string {
	if info, err := os.Stat(arg); err == nil && info.IsDir() {
		return filepath.Join(arg, jobName)
	}
	return arg
}

// jobArgument takes the arguments of all commands that are of type job.
func jobArgument(ctx *kong.DecodeContext, target reflect.Value) error {
	var arg string
	if err := ctx.Scan.PopValueInto("job", &arg); err != nil {
		return err
	}
	target.SetString(jobIn(arg))
	return nil
}

// exitNow unwinds from kong's own exits, as after --help.
type exitNow struct{}

type versionCommand struct{}

func (versionCommand) Run(t *terminal) error {
	_, err := fmt.Fprintln(t.stdout, "mouldwright "+version)
	return err
}
