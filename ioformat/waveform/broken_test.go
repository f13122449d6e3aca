package waveform

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// answer is all that a maker is told of a capture.
func answer(content []byte) string {
	c, err := Read(bytes.NewReader(content), "scope.csv", Options{})
	if err != nil {
		return err.Error() + "\n"
	}
	var b strings.Builder
	for _, n := range c.Notes {
		b.WriteString("note: " + n + "\n")
	}
	fmt.Fprintf(&b, "read %d samples of %s\n", len(c.Signal.Samples), c.Column)
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
