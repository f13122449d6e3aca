package waveform

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"

	"fitcoil/internal/golden"
)

// readOne reads a file of one capture.
func readOne(r io.Reader, name string, opt Options) (*Capture, error) {
	f, err := Read(r, name, opt)
	if err != nil {
		return nil, err
	}
	if len(f.Captures) != 1 {
		return nil, fmt.Errorf("%d captures, want one", len(f.Captures))
	}
	return f.Captures[0], nil
}

// answer is all that a maker is told of a capture.
func answer(content []byte) string {
	f, err := Read(bytes.NewReader(content), "scope.csv", Options{})
	if err != nil {
		return err.Error() + "\n"
	}
	var b strings.Builder
	for _, c := range f.Captures {
		for _, n := range c.Notes {
			b.WriteString("note: " + n + "\n")
		}
		fmt.Fprintf(&b, "read %d samples of %s", len(c.Signal.Samples), c.Column)
		if c.Segment > 0 {
			fmt.Fprintf(&b, ", segment %d", c.Segment)
		}
		b.WriteString("\n")
	}
	return b.String()
}

// TestBroken compares the answer to each broken capture with the text beside
// it.
func TestBroken(t *testing.T) {
	golden.Broken(t, "../../testdata/broken/capture", 45, answer)
}
