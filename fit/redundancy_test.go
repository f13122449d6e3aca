package fit

import (
	"math"
	"testing"
)

// Two readings of one thing, among others that fix one thing each, with and
// without the help of a prior, are redundant by one: their scatter scales,
// whatever rounding makes of the leverages.
func TestOneRepeatScales(t *testing.T) {
	for i := range 200 {
		c := math.Exp(0.17 * float64(i-100))
		rows := [][4]float64{{1, 0, 0, 0}, {1, c, 0, 0}, {1, c, 0, 0}, {1, c / 3, c, 0.7}}
		y := []float64{2, 3, 3.004, 5}
		p := Problem{Params: 4, Data: Rows{N: 4, Evaluate: func(x []float64, first int, r, jac []float64) {
			for k := range r {
				a := rows[first+k]
				r[k] = y[first+k] / 1e-3
				for j := range a {
					r[k] -= a[j] * x[j] / 1e-3
					if jac != nil {
						jac[4*k+j] = -a[j] / 1e-3
					}
				}
			}
		}}}
		p.Prior = Gaussians(4, []Gaussian{{Param: 3, Mean: 1, Sigma: 0.3}})
		r, sc, err := SolveScaled(p, []float64{0, 0, 0, 0}, Settings{})
		if err != nil || !r.Status.Converged() {
			t.Fatalf("%v: %v, %v", c, r.Status, err)
		}
		// Residuals of ± 2 of their uncertainties: S² = 2²+2².
		if want := math.Sqrt(8); !(math.Abs(r.Scale/want-1) <= 1e-6) || !(math.Abs(sc.Redundancy-1) <= 1e-9) {
			t.Fatalf("%v: S = %v, want %v; redundancy 1 %+g", c, r.Scale, want, sc.Redundancy-1)
		}
	}
}

// Rows that a biweight forgets don't count, and of rows that err alike one: of ten rows of
// half the weight, two of which are alike, there are four.
func TestCountedRows(t *testing.T) {
	half := make([]float64, 10)
	for i := range half {
		half[i] = 0.5
	}
	for _, c := range []struct {
		r    Result
		want float64
	}{{Result{DataRows: 10}, 10}, {Result{DataRows: 10, alike: 2}, 8}, {Result{DataRows: 10, weights: half}, 5}, {Result{DataRows: 10, alike: 2, weights: half}, 4}} {
		if got := c.r.counted(); got != c.want {
			t.Errorf("%+v: %v rows", c.r, got)
		}
	}
}
