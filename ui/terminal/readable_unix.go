//go:build unix

package terminal

import (
	"errors"
	"os"
	"time"

	"golang.org/x/sys/unix"
)

// readable reports whether f has bytes to read, or has ended, within wait. It
// asks select and not poll, which refuses terminals on macOS. A descriptor
// beyond what select can hold is taken as silent.
func readable(f *os.File, wait time.Duration) bool {
	fd := int(f.Fd())
	deadline := time.Now().Add(wait)
	for fd >= 0 && fd < unix.FD_SETSIZE {
		var set unix.FdSet
		set.Set(fd)
		left := unix.NsecToTimeval(max(0, time.Until(deadline)).Nanoseconds())
		n, err := unix.Select(fd+1, &set, nil, nil, &left)
		if !errors.Is(err, unix.EINTR) {
			return err == nil && n > 0
		}
	}
	return false
}
