package page

import (
	"math"
	"testing"
)

// e^x = I₀(1) + 2 Σ I_k(1) T_k(x) (Abramowitz and Stegun, Handbook of Mathematical
// Functions, 9.6.34), with the modified Bessel functions of table 9.8 and 9.9.
func TestExpandExponential(t *testing.T) {
	axes := []axis{{From: -1, To: 1, N: 12}}
	var values []float64
	grid(axes, func(x []float64) { values = append(values, math.Exp(x[0])) })
	expand(axes, values)
	for k, want := range []float64{1.2660658778, 2 * 0.5651591040, 2 * 0.1357476698, 2 * 0.0221684249} {
		if !(math.Abs(values[k]-want) <= 3e-10) {
			t.Errorf("coefficient %d is %.10f, want %.10f", k, values[k], want)
		}
	}
}

// T₂(x)·T₃(y) is a single term, x the outer axis.
func TestExpandProduct(t *testing.T) {
	axes := []axis{{From: -1, To: 1, N: 4}, {From: -1, To: 1, N: 5}}
	var values []float64
	grid(axes, func(x []float64) {
		values = append(values, (2*x[0]*x[0]-1)*(4*x[1]*x[1]*x[1]-3*x[1]))
	})
	expand(axes, values)
	for i, c := range values {
		want := 0.0
		if i == 2*5+3 {
			want = 1
		}
		if !(math.Abs(c-want) <= 1e-14) {
			t.Errorf("coefficient %d is %g, want %g", i, c, want)
		}
	}
	if got := evaluate(axes, values, []float64{0.5, -1}); !(math.Abs(got-0.5) <= 1e-14) {
		t.Errorf("T₂(½)·T₃(−1) is %g, want ½", got)
	}
}

// Maps, and their inverses, over ranges that sliders have.
func TestAxisMaps(t *testing.T) {
	for _, a := range []axis{
		{From: 0, To: 40e-12, Shift: 5e-12, N: 9},
		{From: 0.05, To: 0.8, Shift: 0.05, N: 9},
		{From: 0, To: 1, N: 9},
		{N: 3, Values: []float64{0.2, 0.4, 0.8}},
	} {
		if a.Values == nil && (!(math.Abs(a.at(-1)-a.From) <= 1e-12*a.To) || !(math.Abs(a.at(1)/a.To-1) <= 1e-12)) {
			t.Errorf("%+v: ends at %g and %g", a, a.at(-1), a.at(1))
		}
		for k := range a.N {
			basis, x := a.basis(a.node(k)), a.node(k)
			if a.Values == nil {
				theta := math.Pi * (float64(k) + 0.5) / float64(a.N)
				for j, b := range basis {
					if !(math.Abs(b-math.Cos(float64(j)*theta)) <= 1e-9) {
						t.Errorf("%+v: T_%d at node %d is %g", a, j, k, b)
					}
				}
			} else if basis[k] != 1 || basis[(k+1)%a.N] != 0 {
				t.Errorf("%+v: at %g the basis is %v", a, x, basis)
			}
		}
	}
}
