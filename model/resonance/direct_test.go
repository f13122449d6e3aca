package resonance

import (
	"math"
	"testing"
)

// The size of what reaches the probe directly, 0.3 + 0.4i, moves with each part by that part's share
// in it: u² = (0.6 · 0.01)² + (0.8 · 0.02)². Its interval doesn't begin below zero.
func TestDirectShare(t *testing.T) {
	var b blend
	b.value[directReal], b.value[directImaginary], b.u[directReal], b.u[directImaginary] = 0.3, 0.4, 0.01, 0.02
	e := b.direct(2)
	if u := math.Hypot(0.006, 0.016); !(math.Abs(e.Value-0.5) <= 1e-15) || !(math.Abs(e.Uncertainty-u) <= 1e-15) || !(math.Abs(e.Interval[0]-0.5+2*u) <= 1e-15) || !(math.Abs(e.Interval[1]-0.5-2*u) <= 1e-15) {
		t.Errorf("%+v", e)
	}
	if e = b.direct(40); e.Interval[0] != 0 {
		t.Errorf("%+v", e)
	}
}
