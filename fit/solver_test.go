package fit

import (
	"math"
	"testing"
)

// For a linear problem the reduction predicted is the one had, also for a
// damped step and one clipped at a bound.
func TestPredictionOfLinearProblem(t *testing.T) {
	a := []float64{1, 2, -1, 0.5, 3, 1}
	b := []float64{1, -2, 4}
	p := Problem{Params: 2, Data: Rows{N: 3, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			row := a[2*(first+i):][:2]
			r[i] = row[0]*x[0] + row[1]*x[1] - b[first+i]
			copy(jac[2*i:], row)
		}
	}}, Lower: []float64{-9, -0.1}}
	for _, radius := range []float64{1e-3, 0.3, 100} {
		var v solver
		v.prepare(&p, Settings{}.withDefaults())
		v.a.data, v.a.row = 1, 1
		v.a.column[0], v.a.column[1] = 1, 1
		v.fewestLost = 2
		if !v.begin() {
			t.Fatal("not finite")
		}
		v.radius = radius
		s := v.propose()
		if s.length > 1.1*radius {
			t.Errorf("step of %g in a radius of %g", s.length, radius)
		}
		got, ratio := v.try(s)
		if !(math.Abs(ratio-1) <= 1e-9) || got.objective >= v.sum.objective {
			t.Errorf("radius %g: ratio %g", radius, ratio)
		}
	}
}

// Newton's method refuses a maximum, which it would run up to.
func TestNewtonRefusesMaximum(t *testing.T) {
	p := Problem{Params: 1, Data: Rows{N: 2, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			r[i], jac[i] = x[0]*x[0]-1, 2*x[0]
			if first+i == 1 {
				r[i], jac[i] = 0.3*x[0], 0.3
			}
		}
	}}}
	for _, c := range []struct {
		start float64
		want  bool
	}{{0, false}, {1e-3, false}, {math.Sqrt(0.955) + 1e-4, true}} { // slope 4x(x² − 1) + 0.18x
		var v solver
		v.prepare(&p, Settings{}.withDefaults())
		v.a.data, v.a.row, v.a.column[0] = 1, 1, 1
		v.x[0], v.fewestLost = c.start, 1
		if !v.begin() {
			t.Fatal("not finite")
		}
		v.propose()
		if got := v.newton(); got != c.want {
			t.Errorf("from %g to %g: %v", c.start, v.x[0], got)
		}
	}
}

// Rows 10⁹ times as heavy as those folded in later leave these their digits:
// the triangle of (10⁹ 10⁹), (1, 2) is (10⁹ 10⁹; 0 1) but for signs and 10⁻⁹.
func TestFoldOfUnequalRows(t *testing.T) {
	for _, sign := range []float64{1, -1} {
		tri := triangle{p: 2, a: make([]float64, 6)}
		tri.fold([]float64{sign * 1e9, sign * 1e9, 3e9}, 1, 1)
		tri.fold([]float64{1, 2, 5}, 1, 1)
		for i, want := range []float64{1e9, 0, 1e9, 1, 3e9, 5 - sign*3} {
			if got := math.Abs(tri.a[i]); !(math.Abs(got-want) <= 1e-7*math.Max(1, want*1e-9)) {
				t.Errorf("sign %g: element %d is %.12g, want %g", sign, i, got, want)
			}
		}
	}
}
