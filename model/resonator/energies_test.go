package resonator

import (
	"math"
	"testing"
)

// The means of cos², (sin/φ)² and cos·sin/φ along a stretch, by Simpson's rule:
// on both sides of where the closed forms give way to their series.
func TestMeanSquaresAgainstSimpson(t *testing.T) {
	for _, phi := range []float64{0, 1e-8, 1e-3, 0.03, 0.0999999, 0.1, 0.1000001, 0.5, 1.5, 3} {
		sinc := func(x float64) float64 {
			if phi == 0 {
				return x
			}
			return math.Sin(phi*x) / phi
		}
		const n = 2000
		var want [3]float64
		for i := range n + 1 {
			x := float64(i) / n
			w := 2 + 2*float64(i%2)
			if i == 0 || i == n {
				w = 1
			}
			c, s := math.Cos(phi*x), sinc(x)
			for k, v := range [3]float64{c * c, s * s, c * s} {
				want[k] += w * v / (3 * n)
			}
		}
		sin, cos := math.Sincos(phi)
		var got [3]float64
		got[0], got[1], got[2] = meanSquares(phi, sin, cos)
		for k := range got {
			if !(math.Abs(got[k]-want[k]) <= 1e-12) {
				t.Errorf("φ = %v, mean %d: %.16g, by Simpson's rule %.16g", phi, k, got[k], want[k])
			}
		}
	}
}

// On a uniform line V = Vtop sin(θx)/sin θ and I = Vtop cos(θx)/(Z sin θ), with
// Z = √(L/C) of the winding: at the base I = Vtop/(Z sin θ). With all
// capacitance on the top it is ω C Vtop.
func TestBaseCurrent(t *testing.T) {
	const l, cd = 2.3e-3, 7e-12
	var line Line
	var r Resonance
	for _, row := range uniformLine {
		line.Resonate(Winding{Inductance: l, Capacitance: cd, Top: row.ratio * cd}, &r)
		want := math.Sqrt(cd/l) / math.Sin(row.theta)
		if !(math.Abs(r.BaseCurrent/want-1) <= 1e-7) {
			t.Errorf("Ct/Cd = %v: base current %v A/V, want %v", row.ratio, r.BaseCurrent, want)
		}
	}
	line.Resonate(Winding{Inductance: l, Top: cd}, &r)
	if want := math.Sqrt(cd / l); !(math.Abs(r.BaseCurrent/want-1) <= 1e-12) {
		t.Errorf("lumped: base current %v A/V, want %v", r.BaseCurrent, want)
	}
}
