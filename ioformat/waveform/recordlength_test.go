package waveform

import "testing"

// Scopes write how many samples they took in whole numbers, in thousands or in millions of points.
func TestRecordLengths(t *testing.T) {
	for text, want := range map[string]int{"2500": 2500, "2500 points": 2500, "10k": 10_000, "1.25K": 1250, "2M": 2_000_000, "0.5M": 500_000, "12.5": 0, "1": 0, "10k us": 0, "many": 0} {
		n, _, ok := (&layout{}).recordLength([]setting{{name: "recordlength", behind: []neighbour{{text: text}}}})
		if ok != (want > 0) || n != want {
			t.Errorf("%q: %d %v, want %d", text, n, ok, want)
		}
	}
}
