//go:build darwin || freebsd || linux

package output

import (
	"os"
	"syscall"
)

// hold opens a folder and holds it against other processes until the file is closed or
// the process ends, however it ends. free is false while somebody else holds it.
func hold(dir string) (f *os.File, free bool) {
	f, err := os.Open(dir)
	if err != nil {
		return nil, true // gone meanwhile
	}
	if syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) == syscall.EWOULDBLOCK {
		f.Close()
		return nil, false
	}
	return f, true
}
