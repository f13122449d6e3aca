package estimation

import (
	"math"
	"testing"

	"fitcoil/model/resonator"
)

// From lumped values far off, refine finds an invented line again, as near as
// its guess of the frequency allows; from one state alone it finds nothing.
func TestStartOfLine(t *testing.T) {
	const l, c, share = 1.7e-3, 9e-12, 0.15
	var line resonator.Line
	var r resonator.Resonance
	var readings []plainReading
	for _, added := range []float64{0, 1e-12, 2.2e-12, 4.7e-12, 10e-12, 22e-12, 47e-12} {
		line.Resonate(resonator.Winding{Inductance: l, Capacitance: (1 - share) * c, Top: share*c + added}, &r)
		readings = append(readings, plainReading{added, 1 / (r.Omega * r.Omega), 1e8})
	}
	s := lineStart{1.4e-3, 6e-12, shareMean}
	if !s.refine(readings) {
		t.Fatal("no start")
	}
	if !(math.Abs(s.l/l-1) <= 1e-4) || !(math.Abs(s.c/c-1) <= 1e-3) || !(math.Abs(s.share-share) <= 1e-3) {
		t.Errorf("start %+v, want %v H, %v F, share %v", s, l, c, share)
	}
	s = lineStart{1.4e-3, 6e-12, shareMean}
	if s.refine(readings[:1]) {
		t.Errorf("a start from one state: %+v", s)
	}
}
