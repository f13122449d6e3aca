package outfile

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"syscall"

	"fitcoil/ioformat/quantity"
)

// Error says why a file was not written.
type Error struct {
	Path  string // as the caller gave it
	Cause Cause
	Err   error // what the system answered; only when Cause is Failed
}

// Cause is the class of an Error.
type Cause int

const (
	Failed  Cause = iota // the system refused: folder, permission, space
	Exists               // the target exists, and overwriting was not asked for
	IsInput              // the target is an input of the same run
	Changed              // the target is no longer what was read
)

// Error is one line for the user.
func (e *Error) Error() string {
	path := quantity.Visible(e.Path)
	switch e.Cause {
	case Exists:
		return fmt.Sprintf("can't write %s: it exists; choose another name, or overwrite it with --force", path)
	case IsInput:
		return fmt.Sprintf("can't write %s: it is an input of this run; choose another name", path)
	case Changed:
		return fmt.Sprintf("can't write %s: it was changed since it was read; try again", path)
	}
	return fmt.Sprintf("can't write %s: %s", path, reason(e.Err))
}

// reason says what the system answered, and what to do, in words that are the
// same on all systems; answers that are rare keep their own.
func reason(err error) string {
	switch {
	case errors.Is(err, fs.ErrPermission):
		return "you have no permission; choose another place"
	case errors.Is(err, fs.ErrNotExist):
		return "its folder doesn't exist; make it first"
	case errors.Is(err, syscall.ENOTDIR):
		return "a file stands where a folder is needed; choose another name"
	case errors.Is(err, syscall.ENOSPC):
		return "no space is left; free some, or choose another place"
	case errors.Is(err, syscall.EROFS):
		return "nothing can be written there; choose another place"
	}
	return err.Error()
}

// Unwrap returns what the system answered.
func (e *Error) Unwrap() error { return e.Err }

// failed makes an Error of what the system answered about path. The name that
// the system mentions may be a temporary one, so only the reason is kept.
func failed(path string, err error) error {
	var own *Error
	var inPath *fs.PathError
	var inLink *os.LinkError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &own):
		return err
	case errors.As(err, &inPath):
		err = inPath.Err
	case errors.As(err, &inLink):
		err = inLink.Err
	}
	return &Error{Path: path, Cause: Failed, Err: err}
}
