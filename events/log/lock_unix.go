//go:build unix

package log

import (
	"errors"
	"fmt"
	"os"
	"syscall"
)

// lockFile takes the lock that keeps a second process out of the folder. The
// operating system frees it when the process ends, however it ends.
func lockFile(path string) (*os.File, error) {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, fmt.Errorf("open lock: %w", err)
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		if errors.Is(err, syscall.EWOULDBLOCK) {
			err = fmt.Errorf("%w: another marram process has it open", ErrLocked)
		}
		return nil, errors.Join(err, f.Close())
	}
	return f, nil
}
