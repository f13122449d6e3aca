package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/known"
	"fitcoil/ioformat/outfile"
	"fitcoil/ioformat/report"
	"fitcoil/ioformat/suggest"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// Exit codes, one for each class of failure.
const (
	exitAnswered     = 0
	exitInternal     = 1
	exitUsage        = 2
	exitBadData      = 3
	exitUnreadable   = 4
	exitUnwritable   = 5
	exitUnanswerable = 6
	exitInterrupted  = 130
)

// usageError is a command line that can't be understood.
type usageError struct{ text string }

func (e *usageError) Error() string { return e.text }

func usagef(format string, args ...any) error {
	return &usageError{fmt.Sprintf(format, args...)}
}

// unreadableError is an input that can't be opened or read.
type unreadableError struct {
	name string
	err  error
}

func (e *unreadableError) Error() string {
	return fmt.Sprintf("can't read %s: %s", shown(e.name), e.reason())
}

func (e *unreadableError) Unwrap() error { return e.err }

// reason says what the system answered, in words that are the same on all.
func (e *unreadableError) reason() string {
	switch {
	case errors.Is(e.err, fs.ErrNotExist):
		if near, ok := neighbour(e.name); ok {
			return "there is no such file; did you mean " + near + "?"
		}
		return "there is no such file; name one that exists, or - for standard input"
	case errors.Is(e.err, syscall.EISDIR):
		return errFolder.Error()
	case errors.Is(e.err, fs.ErrPermission):
		return "you have no permission; ask its owner for it"
	}
	return systemReason(e.err).Error()
}

// systemReason is what the system answered, without the names of its call and
// of the file.
func systemReason(err error) error {
	if inPath, ok := errors.AsType[*fs.PathError](err); ok {
		return inPath.Err
	}
	return err
}

// errFolder stands for a folder given as a file.
var errFolder = errors.New("it is a folder; name a file in it")

// neighbour finds the file beside name that was perhaps meant.
func neighbour(name string) (near string, ok bool) {
	folder, base := filepath.Split(name)
	entries, _ := os.ReadDir(filepath.Clean(folder))
	var files []string
	for _, e := range entries {
		if !e.IsDir() {
			files = append(files, e.Name())
		}
	}
	near, ok = suggest.Nearest(base, files)
	return folder + near, ok
}

// readFault tells an input at fault from one that can't be read.
func readFault(name string, err error) error {
	if _, ok := errors.AsType[cells.Faults](err); ok {
		return err
	}
	if inner := errors.Unwrap(err); inner != nil {
		err = inner // without the name that the reader put before it
	}
	return &unreadableError{name, err}
}

// internalError is a fault of the program.
type internalError struct{ fault any }

func (e *internalError) Error() string {
	return "this is a fault of fitcoil, not of yours: please report it with the command and its input (" +
		strings.Join(strings.Fields(fmt.Sprint(e.fault)), " ") + ")"
}

// panicked makes an error of a panic, with the place where it happened: the
// caller of what the runtime has on top of the stack.
func panicked(fault any) error {
	callers := make([]uintptr, 32)
	frames := runtime.CallersFrames(callers[:runtime.Callers(2, callers)])
	frame, more := frames.Next() // the deferred function
	for more {
		if frame, more = frames.Next(); !strings.HasPrefix(frame.Function, "runtime.") {
			fault = fmt.Sprintf("%v, at %s:%d", fault, filepath.Base(frame.File), frame.Line)
			break
		}
	}
	return &internalError{fault}
}

// outcome returns the exit code for err, and what the user is told about it: lines without an end; ""
// for nothing.
func outcome(err error) (code int, message string) {
	var (
		usage      *usageError
		unreadable *unreadableError
		unknown    *quantities.UnknownQuantityError
		unsettled  *estimation.NotConvergedError
		faults     cells.Faults
		word       *benchlog.WordError
		sheet      *sheetError
		silent     *captureError
		outside    *outfile.Error
		internal   *internalError
	)
	message = err.Error()
	switch {
	case errors.As(err, &usage):
		code = exitUsage
	case errors.As(err, &unknown):
		code, message = exitUsage, known.Sentence(unknown)
	case errors.As(err, &word):
		code, message = exitUsage, "in the state: "+word.Error()
	case errors.As(err, &faults):
		return exitBadData, faults.Error() // its lines begin with the place, as editors want it
	case errors.As(err, &sheet):
		code = exitBadData
	case errors.As(err, &unreadable):
		code = exitUnreadable
	case errors.Is(err, errClosedPipe):
		return exitUnwritable, ""
	case errors.As(err, &outside):
		code = exitUnwritable
	case errors.As(err, &unsettled):
		code, message = exitUnanswerable, report.Unsettled(unsettled)
	case errors.Is(err, estimation.ErrNoReadings):
		code, message = exitUnanswerable, "every reading is marked as not used; set use to yes for those to fit"
	case errors.As(err, &silent):
		code = exitUnanswerable
	case errors.As(err, &internal):
		code = exitInternal
	default:
		code, message = exitInternal, (&internalError{err}).Error()
	}
	return code, "fitcoil: " + message
}
