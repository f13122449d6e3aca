package main

import (
	"errors"
	"io"
	"syscall"
)

// closedPipe tells whether writing failed since the reader went away.
func closedPipe(err error) bool {
	const noData = syscall.Errno(232) // ERROR_NO_DATA: the pipe is being closed
	return errors.Is(err, syscall.ERROR_BROKEN_PIPE) || errors.Is(err, noData) || errors.Is(err, io.ErrClosedPipe)
}
