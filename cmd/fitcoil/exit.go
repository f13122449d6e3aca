package main

import (
	"errors"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/outfile"
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

// classify returns the exit code for err.
func classify(err error) int {
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
	)
	switch {
	case errors.As(err, &usage), errors.As(err, &unknown), errors.As(err, &word):
		return exitUsage
	case errors.As(err, &faults), errors.As(err, &sheet):
		return exitBadData
	case errors.As(err, &unreadable):
		return exitUnreadable
	case errors.As(err, &outside):
		return exitUnwritable
	case errors.As(err, &unsettled), errors.As(err, &silent), errors.Is(err, estimation.ErrNoReadings):
		return exitUnanswerable
	}
	return exitInternal
}
