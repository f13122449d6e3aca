package coilsheet

import (
	"bytes"
	"testing"

	"fitcoil/internal/golden"
)

// TestBroken compares the answer to each broken sheet with the text beside it.
func TestBroken(t *testing.T) {
	golden.Broken(t, "../../testdata/broken/sheet", 25, func(content []byte) string {
		_, err := Read(bytes.NewReader(content), "coil.csv")
		if err == nil {
			return "read without a word"
		}
		return err.Error() + "\n"
	})
}
