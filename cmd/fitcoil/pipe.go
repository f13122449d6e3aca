//go:build !windows

package main

import (
	"errors"
	"io"
	"syscall"
)

// closedPipe tells whether writing failed since the reader went away.
func closedPipe(err error) bool {
	return errors.Is(err, syscall.EPIPE) || errors.Is(err, io.ErrClosedPipe)
}
