package benchlog

import "testing"

// Where a cell says that there is no core, none is read; anything else names one.
func TestNoCore(t *testing.T) {
	for text, none := range map[string]bool{"0": true, "-": true, "none": true, "Air": true, "air core": true, "no core": true, "ohne": true, "out": true, "1": false, "rod": false, "outer": false, "00": false} {
		if noCore(text) != none {
			t.Errorf("%q: %v", text, !none)
		}
	}
}
