package field

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mathext"
)

func TestCel(t *testing.T) {
	for _, kc := range []float64{0.05, 0.4, 0.99} {
		for _, p := range []float64{1e-3, 0.5, 1, 2.5} {
			for _, cs := range [][2]float64{{1, 1}, {1, -0.3}, {0, 1}} {
				c, s := cs[0], cs[1]
				want := quad.Fixed(func(x float64) float64 {
					sin, cos := math.Sincos(x)
					return (c*cos*cos + s*sin*sin) / ((cos*cos + p*sin*sin) * math.Hypot(cos, kc*sin))
				}, 0, math.Pi/2, 3000, nil, 0)
				if got := cel(kc, p, c, s); !(math.Abs(got-want) <= 1e-11*math.Max(1, math.Abs(want))) {
					t.Errorf("cel(%g, %g, %g, %g) = %.14g, want %.14g", kc, p, c, s, got, want)
				}
			}
		}
		m := 1 - kc*kc
		if got, want := cel(kc, 1, 1, kc*kc), mathext.CompleteE(m); !(math.Abs(got/want-1) <= 1e-14) {
			t.Errorf("E(%g) = %.16g, want %.16g", m, got, want)
		}
		if b, d := completeBD(m); !(math.Abs((b+d)/mathext.CompleteK(m)-1) <= 1e-14) {
			t.Errorf("B + D ≠ K at %g", m)
		}
	}
}
