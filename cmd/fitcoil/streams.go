package main

import (
	"errors"
	"io"
	"sync"

	"fitcoil/ioformat/outfile"
)

// streams is where a command reads and writes: results go to out, all else to
// err.
type streams struct {
	in       io.Reader
	out, err io.Writer
	bar      io.Writer // standard error for progress, which moves the cursor

	// writing is held while files are written, so that an interrupt can wait
	// for them to be whole.
	writing *sync.Mutex
	// terminal tells that err is a terminal, on which progress may be shown; screen that
	// out is one.
	terminal, screen bool
	width            int // columns of the terminal that out is; 0 if it is none
}

// results is the standard output of a verb. Its errors say what can't be
// written.
type results struct{ w io.Writer }

// errClosedPipe means that nobody reads the results any more, which is no
// reason for words.
var errClosedPipe = errors.New("nobody reads the output")

func (r results) Write(p []byte) (int, error) {
	n, err := r.w.Write(p)
	switch {
	case err == nil:
	case closedPipe(err):
		err = &outfile.Error{Path: "standard output", Cause: outfile.Failed, Err: errClosedPipe}
	default:
		err = &outfile.Error{Path: "standard output", Cause: outfile.Failed, Err: systemReason(err)}
	}
	return n, err
}
