package waveform

import "testing"

// Of two intervals that agree, the one with more digits counts, and one with a unit before one without.
func TestFinestIntervalStated(t *testing.T) {
	coarse := stated{line: 1, interval: 4e-9, digit: 0.25, named: true}
	fine := stated{line: 2, interval: 4.0001e-9, digit: 2.5e-5, named: true}
	bare := stated{line: 3, interval: 4.0001e-9, digit: 1e-9}
	for _, list := range [][]stated{{coarse, fine}, {fine, coarse}, {bare, coarse, fine}, {fine, bare, coarse}} {
		if best, fault := settleStated(list); fault != nil || best.line != 2 {
			t.Errorf("%+v: line %d, %v", list, best.line, fault)
		}
	}
	other := stated{line: 4, interval: 5e-9, digit: 2e-3, named: true}
	if _, fault := settleStated([]stated{fine, other}); fault == nil || fault.Line != 4 {
		t.Errorf("another interval is taken: %v", fault)
	}
}
