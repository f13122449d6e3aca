//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package outfile

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// On these systems a file is held by a lock on itself (flock), which ends with
// the process. A file system that knows no such locks counts as free: what is
// left then is the comparison just before a file is replaced.

// tryHold holds the file path, or fails with errBusy.
func tryHold(path string) (held, error) {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return held{}, err
	}
	info, err := f.Stat()
	if err == nil {
		err = tryLock(f)
	}
	if err != nil {
		f.Close()
		return held{}, err
	}
	return held{info, func() { f.Close() }}, nil
}

// tryLock locks f, or fails with errBusy.
func tryLock(f *os.File) error {
	for {
		switch err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); {
		case errors.Is(err, syscall.EINTR):
		case errors.Is(err, syscall.EWOULDBLOCK):
			return errBusy
		default:
			return nil
		}
	}
}

// claim marks the new file f as in use, and tells whether it is still there:
// another run that clears up may have been faster.
func claim(f *os.File) bool {
	for errors.Is(syscall.Flock(int(f.Fd()), syscall.LOCK_EX), syscall.EINTR) {
	}
	info, err := f.Stat()
	now, gone := os.Lstat(f.Name())
	return err == nil && gone == nil && os.SameFile(info, now)
}

// clear removes the file path unless a process has it in use. own is a file
// that the caller holds, perhaps under this name too.
func clear(path string, own fs.FileInfo) {
	if info, err := os.Lstat(path); err != nil || !info.Mode().IsRegular() {
		return
	} else if own != nil && os.SameFile(info, own) {
		os.Remove(path)
		return
	}
	f, err := os.OpenFile(path, os.O_RDWR|syscall.O_NOFOLLOW, 0)
	if err != nil {
		return
	}
	defer f.Close()
	if tryLock(f) == nil {
		os.Remove(path)
	}
}

// keepsOpen says that a file which is in use may take another's name.
const keepsOpen = true
