package field

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mathext"

	"fitcoil/internal/near"
)

// elliptic returns the complete integrals K and E of the parameter 1 − m1 by the arithmetic-geometric mean
// (Abramowitz and Stegun, 17.6).
func elliptic(m1 float64) (k, e float64) {
	a, b, sum, power := 1.0, math.Sqrt(m1), (1-m1)/2, 1.0
	for range 12 {
		c := (a - b) / 2
		a, b = (a+b)/2, math.Sqrt(a*b)
		sum += power * c * c
		power *= 2
	}
	return math.Pi / 2 / a, math.Pi / 2 / a * (1 - sum)
}

// K, what hangs on it, and what hangs on E, from rings that all but touch to those far off: the mean of 1/R over a ring,
// 2K/(π√((a + ρ)² + z²)), and Maxwell's mutual inductance.
func TestFromTouchingToFar(t *testing.T) {
	near.Times(t, "K of ½ (Abramowitz and Stegun, table 17.1)", completeK(0.5, 0.5), 1.85407467730137, 1e-14)
	for _, m1 := range []float64{1e-30, 1e-12, 0.9e-9, 1.1e-9, 1e-6, 0.01, 0.5, 0.99} {
		k, _ := elliptic(m1)
		near.Times(t, "K", completeK(1-m1, m1), k, 1e-8)
	}
	for _, b := range []float64{1, 0.999999, 1.00001, 0.5, 3} {
		for _, z := range []float64{1e-9, -1e-6, 6e-5, 7e-5, 1e-3, -0.3, 5} {
			square := (1+b)*(1+b) + z*z
			m := 4 * b / square
			k, e := elliptic(((1-b)*(1-b) + z*z) / square)
			near.Times(t, "mean of 1/R", ringMean(1, b, z), 2*k/math.Pi/math.Sqrt(square), 1e-8)
			kappa := math.Sqrt(m)
			want := 4e-7 * math.Pi * math.Sqrt(b) * ((2/kappa-kappa)*k - 2/kappa*e)
			near.Times(t, "mutual inductance", LoopMutual(1, b, z), want, 1e-7+1e-15/m/m)
		}
	}
	if !math.IsInf(LoopMutual(1, 1, 0), 1) {
		t.Errorf("of loops that coincide: %v", LoopMutual(1, 1, 0))
	}
	near.Times(t, "loop of wire", loopSelf(0.5, 1e-3), 4e-7*math.Pi*0.5*(math.Log(4000)-2), 1e-9)
}

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
