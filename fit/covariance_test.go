package fit_test

import (
	"math"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/near"
)

// product is y = exp(x0 + x1)·t, of which only the sum x0 + x1 can be known:
// the logarithms of an inductance and a capacitance and a resonance read.
// x2 occurs nowhere.
func product() fit.Problem {
	t := []float64{1, 2, 3, 4}
	y := []float64{6.1, 11.8, 18.2, 23.9} // invented
	return fit.Problem{Params: 3, Data: fit.Rows{N: 4, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			m := math.Exp(x[0]+x[1]) * t[first+i]
			r[i] = (y[first+i] - m) / 0.1
			if jac != nil {
				jac[3*i], jac[3*i+1], jac[3*i+2] = -m/0.1, -m/0.1, 0
			}
		}
	}}}
}

func TestUndeterminedDirectionIsTold(t *testing.T) {
	r := solve(t, product(), []float64{0.3, 0.7, 5}, fit.Settings{})
	// ŷ = Σty/Σt² = 179.9/30
	near.To(t, "x0 + x1", r.X[0]+r.X[1], math.Log(179.9/30), 1e-10)
	near.To(t, "x0 − x1 stays", r.X[0]-r.X[1], -0.4, 1e-10)
	near.To(t, "x2 stays", r.X[2], 5, 0)
	c := r.Covariance()
	if c.Rank() != 1 || r.DegreesOfFreedom() != 3 {
		t.Errorf("rank %d, %d degrees of freedom, want 1 and 3", c.Rank(), r.DegreesOfFreedom())
	}
	for _, g := range [][]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {1, 1, 1e-9}, {1, 1 + 1e-5, 0}} {
		if _, determined := c.Variance(g); determined {
			t.Errorf("%v is called determined", g)
		}
	}
	v, determined := c.Variance([]float64{1, 1, 0})
	if !determined {
		t.Error("x0 + x1 is called undetermined")
	}
	// u²(a) = u²/Σt² for y = a·t, and d ln a = da/a.
	near.To(t, "u²(x0 + x1)", v, 0.01/30/math.Pow(179.9/30, 2), 1e-15)
}

// What is known from elsewhere settles the direction that readings leave open.
func TestPriorDetermines(t *testing.T) {
	p := product()
	p.Prior = fit.Gaussians(3, []fit.Gaussian{{Param: 0, Mean: 0.5, Sigma: 0.02}, {Param: 2, Mean: 7, Sigma: 2}})
	r := solve(t, p, []float64{0, 0, 0}, fit.Settings{})
	near.To(t, "x0", r.X[0], 0.5, 1e-10)
	near.To(t, "x1", r.X[1], math.Log(179.9/30)-0.5, 1e-10)
	near.To(t, "x2", r.X[2], 7, 1e-10)
	c := r.Covariance()
	sum := 0.01 / 30 / math.Pow(179.9/30, 2)
	for j, want := range []float64{0.0004, 0.0004 + sum, 4} {
		v, determined := c.Variance(unit(3, j))
		near.To(t, "variance", v, want, 1e-12)
		if !determined {
			t.Errorf("parameter %d is called undetermined", j)
		}
		near.To(t, "prior share", priorShare(p, r, unit(3, j)), []float64{1, 0.0004 / (0.0004 + sum), 1}[j], 1e-9)
	}
	near.To(t, "covariance", c.Between(unit(3, 0), unit(3, 1)), -0.0004, 1e-12)
	near.To(t, "prior share of the sum", priorShare(p, r, []float64{1, 1, 0}), 0, 1e-12)
	if r.DegreesOfFreedom() != 3 {
		t.Errorf("%d degrees of freedom, want 4 + 2 − 3", r.DegreesOfFreedom())
	}
}

// priorShare is the share of the variance of gᵀx that the prior rows bring.
func priorShare(p fit.Problem, r fit.Result, g []float64) float64 {
	variance, _ := r.Covariance().Variance(g)
	if variance == 0 {
		return 0
	}
	sum := 0.0
	for _, s := range fit.Must(r.Covariance().Along(p.Prior, r.X, g)) {
		sum += s * s
	}
	return sum / variance
}

// The mean of a reading and a prior is weighted by 1/u².
func TestPriorAgainstWeightedMean(t *testing.T) {
	p := fit.Problem{Params: 1,
		Data:  fit.Gaussians(1, []fit.Gaussian{{Mean: 10, Sigma: 1}}),
		Prior: fit.Gaussians(1, []fit.Gaussian{{Mean: 13, Sigma: 2}}),
	}
	r := solve(t, p, []float64{0}, fit.Settings{})
	near.To(t, "mean", r.X[0], (10+13.0/4)/(1+0.25), 1e-14)
	v, _ := r.Covariance().Variance([]float64{1})
	near.To(t, "variance", v, 0.8, 1e-14)
	near.To(t, "prior share", priorShare(p, r, []float64{1}), 0.2, 1e-14)
	near.To(t, "data squares", r.DataSquares, 0.36, 1e-13)
	near.To(t, "prior squares", r.PriorSquares, 1.44, 1e-13)
}

// Columns that differ by 10^24 in scale, as farads and pure numbers do, change
// neither the way nor the answer.
func TestColumnScaleDoesNotMatter(t *testing.T) {
	plain := decay(20, 0.01)
	want := solve(t, plain, decayStart, fit.Settings{})
	wantVar, _ := want.Covariance().Variance([]float64{1, 1, 1, 1})
	for _, scale := range [][]float64{{1e12, 1, 1e-12, 1}, {1e-12, 1e12, 1, 1e-12}, {1e-100, 1e100, 1, 1}} {
		p := plain
		p.Data.Evaluate = func(x []float64, first int, r, jac []float64) {
			b := make([]float64, 4)
			for j := range b {
				b[j] = x[j] / scale[j]
			}
			plain.Data.Evaluate(b, first, r, jac)
			for i := range jac {
				jac[i] /= scale[i%4]
			}
		}
		start := make([]float64, 4)
		g := make([]float64, 4)
		for j := range start {
			start[j] = decayStart[j] * scale[j]
			g[j] = 1 / scale[j]
		}
		r := solve(t, p, start, fit.Settings{})
		for j := range r.X {
			near.To(t, "parameter", r.X[j]/scale[j]/want.X[j], 1, 1e-10)
		}
		if d := r.Iterations - want.Iterations; d < -1 || d > 1 {
			t.Errorf("%d steps, %d without scaling", r.Iterations, want.Iterations)
		}
		v, determined := r.Covariance().Variance(g)
		near.To(t, "variance", v/wantVar, 1, 1e-8)
		if !determined {
			t.Errorf("scale %v: called undetermined", scale)
		}
	}
}

// The covariance against (JᵀJ)⁻¹ by elimination.
func TestCovarianceAgainstNormalEquations(t *testing.T) {
	p := decay(20, 0.01)
	r := solve(t, p, decayStart, fit.Settings{})
	res, jac := make([]float64, 20), make([]float64, 80)
	p.Data.Evaluate(r.X, 0, res, jac)
	c := r.Covariance()
	for j := range 4 {
		// Column j of the inverse solves JᵀJ x = e_j: the least-squares
		// solution of R x = R⁻ᵀe_j, here found as that of JᵀJ alone.
		h := make([]float64, 16)
		for a := range 4 {
			for b := range 4 {
				for i := range 20 {
					h[4*a+b] += jac[4*i+a] * jac[4*i+b]
				}
			}
		}
		x := make([]float64, 4)
		normalEquations(h, unit(4, j), x, []int{0, 1, 2, 3})
		for k := range 4 {
			got := c.Between(unit(4, j), unit(4, k))
			near.To(t, "covariance", got, x[k], 1e-5*math.Abs(x[k]))
		}
	}
}

func TestBlocksDoNotMatter(t *testing.T) {
	p := decay(5000, 0.01)
	p.Prior = fit.Gaussians(4, []fit.Gaussian{{Param: 0, Mean: 2, Sigma: 0.01}})
	want := solve(t, p, decayStart, fit.Settings{BlockRows: 10000})
	for _, block := range []int{1, 7, 256, 5000} {
		r := solve(t, p, decayStart, fit.Settings{BlockRows: block})
		for j := range r.X {
			near.To(t, "parameter", r.X[j]/want.X[j], 1, 1e-11)
			for k := range r.X {
				near.To(t, "covariance", r.Covariance().Between(unit(4, j), unit(4, k)),
					want.Covariance().Between(unit(4, j), unit(4, k)), 1e-14)
			}
		}
		near.To(t, "squares", r.DataSquares/want.DataSquares, 1, 1e-12)
	}
}
