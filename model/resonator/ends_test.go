package resonator

import (
	"math"
	"testing"
)

// The derivative of what a core shows against central differences, and its limits: all
// of it where all is covered, nothing but a little of it for the shortest stretch.
func TestCovered(t *testing.T) {
	for _, s := range [][2]float64{{0, 0.01}, {0, 0.2}, {0, 0.97}, {0.3, 0.4}, {0.3, 1}, {0.9, 1}} {
		for _, e := range []float64{EndsLeast, -2, -0.3, 0, 1, 2.6} {
			const h = 1e-4
			up, _ := Covered(s[0], s[1], e+h)
			down, _ := Covered(s[0], s[1], e-h)
			k, per := Covered(s[0], s[1], e)
			if want := (up - down) / (2 * h); !(math.Abs(per-want) <= 1e-6*k) || !(k > 0 && k < 2.5) {
				t.Errorf("%v, %v: %v, ∂/∂e %v, central difference %v", s, e, k, per, want)
			}
		}
	}
	if k, per := Covered(0, 1, 0.7); k != 1 || per != 0 {
		t.Errorf("all covered: %v, %v", k, per)
	}
	if k, _ := Covered(0, 1e-6, 0); !(k > 0 && k < 0.01) {
		t.Errorf("next to nothing covered: %v", k)
	}
	// Evaluated apart from this code, from the formula in docs/mathematics.md.
	for _, c := range []struct{ from, to, want float64 }{{0, 0.2, 0.715486}, {0.5, 1, 0.986102}, {0.45, 0.55, 0.903318}} {
		if k, _ := Covered(c.from, c.to, 0); !(math.Abs(k-c.want) <= 1e-5) {
			t.Errorf("%v to %v covered shows %v, want %v", c.from, c.to, k, c.want)
		}
	}
	if long, _ := Covered(0, 0.5, EndsLeast); !(math.Abs(long-1) <= 0.02) {
		t.Errorf("ends that reach nowhere: %v", long)
	}
}
