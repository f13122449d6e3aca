package field

import (
	"math"
	"testing"
)

// Rosa 1906; Rosa and Grover 1912; Circular 74, tables 11 and 12.
func TestRosa(t *testing.T) {
	for _, c := range []struct{ ratio, a float64 }{
		{1, 0.556853}, {0.9, 0.451492}, {0.8, 0.333709}, {0.7, 0.200178}, {0.6, 0.046027},
		{0.5, -0.136294}, {0.4, -0.359438}, {0.3, -0.647120}, {0.2, -1.052585}, {0.1, -1.745732},
	} {
		if got := rosaA(c.ratio); !(math.Abs(got-c.a) <= 5.1e-7) {
			t.Errorf("A(%g) = %.7f, want %.6f", c.ratio, got, c.a)
		}
	}
	for _, c := range []struct{ turns, b float64 }{
		{1, 0}, {2, 0.11371}, {3, 0.16626}, {4, 0.19728}, {5, 0.21799}, {6, 0.23293}, {7, 0.24426},
		{8, 0.25318}, {9, 0.26042}, {10, 0.26641}, {15, 0.28573}, {20, 0.29637}, {30, 0.30795},
		{50, 0.31822}, {100, 0.32689}, {200, 0.33181}, {500, 0.33514}, {1000, 0.33639}, {1e6, 0.337876},
	} {
		if got := rosaB(c.turns); !(math.Abs(got-c.b) <= 5.1e-6) {
			t.Errorf("B(%g) = %.6f, want %.5f", c.turns, got, c.b)
		}
	}
	if got := rosaB(2.5); !(math.Abs(got-(rosaB(2)+rosaB(3))/2) <= 1e-12) {
		t.Errorf("B(2.5) = %g", got)
	}
	for _, turns := range []float64{0.3, 1.5} {
		if got := rosaB(turns); !(got >= 0 && got < rosaB(2)) {
			t.Errorf("B(%g) = %g", turns, got)
		}
	}
}

// 500 turns, 50 mm across, 250 mm long, wire of 0.8 pitches.
func TestRoundWire(t *testing.T) {
	if got := RoundWire(500, 0.05, 0.25, 0.8*0.25/500); !(math.Abs(got-10.506e-6) <= 5e-10) {
		t.Errorf("correction %g, want 10.506 µH", got)
	}
}
