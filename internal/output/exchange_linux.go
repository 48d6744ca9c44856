package output

import (
	"errors"
	"fmt"

	"golang.org/x/sys/unix"
)

// exchange swaps two folders in one step, so that whoever looks, and at whatever instant
// the process is killed, one of them is in its place. errors.ErrUnsupported when the file
// system cannot, fs.ErrNotExist when one of them is not there.
func exchange(a, b string) error {
	err := unix.Renameat2(unix.AT_FDCWD, a, unix.AT_FDCWD, b, unix.RENAME_EXCHANGE)
	if errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOSYS) || errors.Is(err, unix.ENOTSUP) {
		return fmt.Errorf("%w: %w", errors.ErrUnsupported, err)
	}
	return err
}
