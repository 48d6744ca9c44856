//go:build !linux

package output

import "errors"

// exchange is not known on this system.
func exchange(string, string) error { return errors.ErrUnsupported }
