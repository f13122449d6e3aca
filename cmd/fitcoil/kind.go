package main

import (
	"errors"
	"io"
	"os"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/coilsheet"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/waveform"
)

// A file that one command can't read is perhaps meant for another.

// rememberer keeps the beginning of what is read through it: standard input
// can't be opened again.
type rememberer struct {
	io.Reader
	start []byte
}

func (r *rememberer) Read(p []byte) (int, error) {
	n, err := r.Reader.Read(p)
	r.start = append(r.start, p[:min(n, waveform.KindSize-len(r.start))]...)
	return n, err
}

// beginning returns the beginning of an input, nil when it can't be had again.
func (c *call) beginning(name string) []byte {
	if name == "-" {
		if r, ok := c.in.(*rememberer); ok {
			return r.start
		}
		return nil
	}
	f := regular(name)
	if f == nil {
		return nil
	}
	defer f.Close()
	start := make([]byte, waveform.KindSize)
	n, _ := io.ReadFull(f, start)
	return start[:n]
}

// regular opens a file that is no folder, pipe or device; it returns nil where there is none.
func regular(name string) *os.File {
	if info, err := os.Stat(name); err != nil || !info.Mode().IsRegular() {
		return nil
	}
	f, err := os.Open(name)
	if err != nil {
		return nil
	}
	return f
}

// notALog returns err, met in reading a log, or better where the file is a
// capture.
func (c *call) notALog(name string, err error) error {
	if start := c.beginning(name); errors.As(err, new(cells.Faults)) {
		if coilsheet.IsSheet(start) {
			return misplaced(cells.Fault{File: shown(name), Problem: "this is a coil sheet, not a bench log",
				Do: "compute the coil with: fitcoil coil " + word(name) + ", or give it beside a log with --coil"})
		}
		if _, log := benchlog.IsLog(start); !log && waveform.IsCapture(start) {
			return misplaced(cells.Fault{File: shown(name), Problem: "this looks like a capture of the oscilloscope (time and voltage), not like a bench log",
				Do: "find its frequency with: fitcoil capture " + word(name)})
		}
	}
	return err
}

// notACapture returns err, met in reading a capture, or better where the file
// is a log.
func (c *call) notACapture(name string, err error) error {
	if line, log := benchlog.IsLog(c.beginning(name)); log {
		return misplaced(cells.Fault{File: shown(name), Line: line, Problem: "this is a bench log, not a capture of the oscilloscope",
			Do: "fit it with: fitcoil fit " + word(name)})
	}
	return err
}

func misplaced(f cells.Fault) error { return cells.Faults{List: []cells.Fault{f}} }

// word is how a file is named on the command line.
func word(name string) string {
	if strings.ContainsAny(name, " \t'\"\\$&;()") {
		return "FILE"
	}
	return quantity.Visible(name)
}
