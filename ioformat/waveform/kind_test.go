package waveform

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// TestIsCapture: whatever instruments write is known for a capture, whatever a
// log looks like is not.
func TestIsCapture(t *testing.T) {
	n := 0
	for _, c := range slices.Concat(layoutsNamed(), layoutsKnown(), layoutsSegmented()) {
		n++
		if !IsCapture([]byte(c.text)) {
			t.Errorf("%s is no capture:\n%.300s", c.name, c.text)
		}
	}
	if n < 25 {
		t.Errorf("only %d layouts", n)
	}
	logs, _ := filepath.Glob("../../testdata/formats/log/*.csv")
	broken, _ := filepath.Glob("../../testdata/broken/log/*.csv")
	sheets, _ := filepath.Glob("../../testdata/formats/sheet/*.csv")
	for _, file := range slices.Concat(logs, broken, sheets) {
		content := must.Get(os.ReadFile(file)).In(t)
		if IsCapture(content) && !strings.HasPrefix(filepath.Base(file), "capture") {
			t.Errorf("%s is a capture", file)
		}
	}
}
