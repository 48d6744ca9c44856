package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/workshop"
)

type serveCommand struct {
	Job  string `arg:"" optional:"" help:"The job file, or a folder; without it job.toml here, or a new folder gifts to begin in."`
	Port int    `default:"0" help:"Port to listen on; 0 takes a free one."`
	Open bool   `default:"true" negatable:"" help:"Open the page in the browser."`
	Home bool   `name:"home-network" help:"Let tablets on the home network in, each with a code that this machine shows. What they send is not encrypted: only in a network that you trust."`
}

// shutdown is how long open requests may take to end.
const shutdown = 3 * time.Second

func (c *serveCommand) Run(t *terminal) error {
	path, err := servedJob(c.Job)
	if err != nil {
		return err
	}
	host, addresses := "127.0.0.1", []string(nil)
	if c.Home {
		if host, addresses = "", homeAddresses(); len(addresses) == 0 {
			return &finding.Error{Key: "--home-network", Found: "this machine has no address on a home network", Do: "connect it, or leave the flag out"}
		}
	}
	listener, err := net.Listen("tcp", net.JoinHostPort(host, strconv.Itoa(c.Port)))
	if err != nil {
		return &finding.Error{Key: "--port", Found: "cannot listen", Err: err, Do: "take another port"}
	}
	port := strconv.Itoa(listener.Addr().(*net.TCPAddr).Port)
	s, err := workshop.New(t.ctx, workshop.Options{Version: version, Job: path, Port: port, Home: c.Home, Addresses: addresses})
	if err != nil {
		listener.Close()
		return err
	}
	address := "http://127.0.0.1:" + port + "/open?token=" + s.Token()
	fmt.Fprintln(t.stdout, address)
	fmt.Fprintln(t.stderr, "the workshop is open for this machine; Ctrl-C closes it")
	if c.Home {
		fmt.Fprintln(t.stderr, "open to the home network, not encrypted: on a tablet go to")
		for _, a := range addresses {
			fmt.Fprintf(t.stderr, "  http://%s/\n", net.JoinHostPort(a, port))
		}
		fmt.Fprintf(t.stderr, "and type the code %s\n", s.Code())
	}
	if c.Open {
		openBrowser(address)
	}
	server := s.HTTP()
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(listener) }()
	select {
	case err = <-ended:
	case <-t.ctx.Done():
	}
	s.Close() // first, so that event streams end
	ctx, stop := context.WithTimeout(context.Background(), shutdown)
	defer stop()
	if server.Shutdown(ctx) != nil {
		server.Close()
	}
	if err != nil && !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	fmt.Fprintln(t.stderr, "the workshop is closed; everything is saved")
	return nil
}

// servedJob finds the job file that a person means; it need not be there.
func servedJob(arg string) (string, error) {
	if arg == "" {
		if _, err := os.Stat(jobName); err == nil {
			return jobName, nil
		}
		return filepath.Join(freeFolder("gifts"), jobName), nil
	}
	switch _, err := os.Stat(arg); {
	case err == nil:
		return jobIn(arg), nil
	case filepath.Ext(arg) == ".toml":
		return "", &finding.Error{File: arg, Found: "no such file", Do: "name a job file, or a new folder to begin in"}
	}
	return filepath.Join(arg, jobName), nil
}

// freeFolder is a folder that is not there yet or holds a job already.
func freeFolder(name string) string {
	for k := 1; ; k++ {
		dir := name
		if k > 1 {
			dir = fmt.Sprintf("%s-%d", name, k)
		}
		if _, err := os.Stat(dir); err != nil {
			return dir
		}
		if _, err := os.Stat(filepath.Join(dir, jobName)); err == nil {
			return dir
		}
	}
}

// homeAddresses are this machine's addresses in private networks (RFC 1918, RFC 4193).
func homeAddresses() []string {
	list, err := net.InterfaceAddrs()
	if err != nil {
		return nil
	}
	var out []string
	for _, a := range list {
		if n, ok := a.(*net.IPNet); ok && n.IP.IsPrivate() {
			out = append(out, n.IP.String())
		}
	}
	return out
}

// openBrowser opens an address where there is a display; elsewhere the printed line
// must do.
func openBrowser(address string) {
	var c *exec.Cmd
	switch runtime.GOOS {
	case "darwin":
		c = exec.Command("open", address)
	case "windows":
		c = exec.Command("rundll32", "url.dll,FileProtocolHandler", address)
	default:
		if os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
			return
		}
		c = exec.Command("xdg-open", address)
	}
	if c.Start() == nil {
		go func() { _ = c.Wait() }() // so that it is not left behind as a zombie
	}
}
