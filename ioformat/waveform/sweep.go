package waveform

import (
	"io"

	"fitcoil/ioformat/cells"
)

// Sweep is a table of frequency and amplitude.
type Sweep struct{ Name string }

func (rd *reader) frequencies() (bool, *cells.Fault) { return false, nil }
func (rd *reader) sweep(r io.Reader) (*File, error)  { return nil, nil }
