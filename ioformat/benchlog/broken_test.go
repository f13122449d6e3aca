package benchlog

import (
	"bytes"
	"strings"
	"testing"

	"fitcoil/internal/golden"
)

// answer is all that a maker is told of a log.
func answer(content []byte) string {
	l, err := Read(bytes.NewReader(content), "log.csv", Options{})
	if err != nil {
		return err.Error() + "\n"
	}
	var b strings.Builder
	for _, n := range l.Notices {
		b.WriteString("notice: " + n + "\n")
	}
	if len(l.Notices) == 0 {
		b.WriteString("read without a word\n")
	}
	return b.String()
}

// TestBroken compares the answer to each broken log with the text beside it.
func TestBroken(t *testing.T) {
	golden.Broken(t, "../../testdata/broken/log", 60, answer)
}
