package main

import (
	"errors"
	"fmt"
	"io/fs"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/outfile"
	"fitcoil/model"
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
)

// usageError is a command line that can't be understood.
type usageError struct{ text string }

func (e *usageError) Error() string { return e.text }

func usagef(format string, args ...any) error {
	return &usageError{fmt.Sprintf(format, args...)}
}

// unreadableError is an input that can't be opened or read.
type unreadableError struct{ err error }

func (e *unreadableError) Error() string {
	var path *fs.PathError
	if errors.As(e.err, &path) {
		return fmt.Sprintf("can't read %s: %v", path.Path, path.Err)
	}
	return fmt.Sprintf("can't read: %v", e.err)
}

func (e *unreadableError) Unwrap() error { return e.err }

// readFault tells a log at fault from one that can't be read.
func readFault(err error) error {
	var faults *cells.Faults
	if errors.As(err, &faults) {
		return err
	}
	return &unreadableError{err}
}

// internalError is a fault of the program.
type internalError struct{ fault any }

func (e *internalError) Error() string {
	return fmt.Sprintf("internal fault (please report it with the command and the log): %v", e.fault)
}

// classify returns the exit code for err.
func classify(err error) int {
	var (
		usage      *usageError
		unreadable *unreadableError
		unknown    *model.UnknownQuantityError
		unsettled  *model.NotConvergedError
		faults     *cells.Faults
		word       *benchlog.WordError
		outside    *outfile.Error
	)
	switch {
	case errors.As(err, &usage), errors.As(err, &unknown), errors.As(err, &word):
		return exitUsage
	case errors.As(err, &faults):
		return exitBadData
	case errors.As(err, &unreadable):
		return exitUnreadable
	case errors.As(err, &outside):
		return exitUnwritable
	case errors.As(err, &unsettled), errors.Is(err, model.ErrNoReadings):
		return exitUnanswerable
	}
	return exitInternal
}
