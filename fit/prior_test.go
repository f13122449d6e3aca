package fit_test

import (
	"math"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/near"
)

// One quantity read as 1.0 ± 0.3 and believed to be 2.0 ± 0.4: the weighted mean
// is 1.36 ± 0.24 (by the inverse squares of 3-4-5), and a profile keeps to that
// as long as the belief counts with every further row.
func believed() fit.Problem {
	return fit.Problem{Params: 1,
		Data: fit.Rows{N: 1, Evaluate: func(x []float64, _ int, r, jac []float64) {
			for i := range r {
				r[i] = (1 - x[0]) / 0.3
			}
			for i := range jac {
				jac[i] = -1 / 0.3
			}
		}},
		Prior: fit.Gaussians(1, []fit.Gaussian{{Mean: 2, Sigma: 0.4}}),
	}
}

func TestProfileWithPrior(t *testing.T) {
	p := believed()
	r := solve(t, p, []float64{0}, fit.Settings{})
	near.To(t, "mean", r.X[0], 1.36, 1e-9)
	in := fit.Must(fit.Profile(p, r, fit.Settings{}, element(0), 0.95))
	near.To(t, "lower end", in.Lo, 1.36-1.959963985*0.24, 1e-6)
	near.To(t, "upper end", in.Hi, 1.36+1.959963985*0.24, 1e-6)

	// A bound that comes first is the end.
	p.Lower, p.Upper = []float64{1.2}, []float64{math.Inf(1)}
	r = solve(t, p, []float64{1.5}, fit.Settings{})
	in = fit.Must(fit.Profile(p, r, fit.Settings{}, element(0), 0.95))
	near.To(t, "bounded end", in.Lo, 1.2, 1e-9)
}

// A sample in which nothing was solved has no interval.
func TestIntervalOfNothing(t *testing.T) {
	lo, hi := fit.Sample{Values: make([][]float64, 1)}.Interval(0, 0.95)
	if !math.IsNaN(lo) || !math.IsNaN(hi) {
		t.Errorf("[%v, %v]", lo, hi)
	}
}
