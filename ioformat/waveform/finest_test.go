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

// An interval is that of the times where it differs by a thousandth at most, or by what their digits hide.
func TestIntervalOfTheTimes(t *testing.T) {
	c := clock{n: 1001, first: 0, last: 4e-6, firstDigit: 1e-12, lastDigit: 1e-12}
	for interval, want := range map[float64]bool{4e-9: true, 4.003e-9: true, 3.997e-9: true, 4.01e-9: false, 3.99e-9: false, 4.2e-9: false} {
		if c.agrees(interval) != want {
			t.Errorf("%v s: %v", interval, !want)
		}
	}
	c.lastDigit = 1e-7 // of 4 µs: u = 1e-7/√12/1000
	if !c.agrees(4.1e-9) || c.agrees(4.2e-9) {
		t.Error("times of few digits")
	}
}
