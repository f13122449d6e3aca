package waveform

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
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
	files, err := filepath.Glob("../../testdata/broken/capture/*.csv")
	if err != nil || len(files) < 45 {
		t.Fatalf("found %d broken captures (%v)", len(files), err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".csv"), func(t *testing.T) {
			content, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			got := answer(content)
			golden := strings.TrimSuffix(file, ".csv") + ".txt"
			if updating() {
				if err := os.WriteFile(golden, []byte(got), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("got:\n%swant:\n%s", got, want)
			}
		})
	}
}
