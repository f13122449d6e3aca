package fit_test

import (
	"math"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/near"
)

// without returns the problem less one row, the data counted first.
func without(p fit.Problem, row int) fit.Problem {
	drop := func(e fit.Rows) fit.Rows {
		return fit.Rows{N: e.N - 1, Evaluate: func(x []float64, first int, r, jac []float64) {
			for i := range r {
				at := first + i
				if at >= row {
					at++
				}
				var j []float64
				if jac != nil {
					j = jac[i*len(x):][:len(x)]
				}
				e.Evaluate(x, at, r[i:i+1], j)
			}
		}}
	}
	if row < p.Data.N {
		p.Data = drop(p.Data)
	} else {
		row -= p.Data.N
		p.Prior = drop(p.Prior)
	}
	return p
}

// The leverage of a straight line is 1/n + (t − t̄)²/Σ(t − t̄)².
func TestLeverageOfLine(t *testing.T) {
	p := line(lineT, lineY, constant(6, 0.1))
	r := solve(t, p, []float64{0, 0}, fit.Settings{})
	for i, d := range fit.Must(fit.Diagnose(p, r)) {
		near.To(t, "leverage", d.Leverage, 1/6.0+(lineT[i]-2.5)*(lineT[i]-2.5)/17.5, 1e-12)
		res := (lineY[i] - r.X[0] - r.X[1]*lineT[i]) / 0.1
		near.To(t, "residual", d.Residual, res, 1e-12)
		near.To(t, "studentised", d.Studentised, res/math.Sqrt(1-d.Leverage), 1e-12)
	}
}

// Every row of a problem with priors is taken out in turn and the rest solved
// again: Cook's distance must be what the formula said beforehand. The data's
// scatter is scaled.
func TestRowsLeftOut(t *testing.T) {
	p := line(lineT, lineY, constant(6, 0.02))
	p.Prior = fit.Gaussians(2, []fit.Gaussian{{Param: 0, Mean: 1, Sigma: 0.1}, {Param: 1, Mean: 0.4, Sigma: 0.1}})
	r, _ := scaled(t, p, []float64{0, 0}, fit.Settings{})
	if r.Scale < 1.5 {
		t.Fatalf("S = %g: the test needs one that matters", r.Scale)
	}
	sum := 0.0
	for i, d := range fit.Must(fit.Diagnose(p, r)) {
		sum += d.Leverage
		// The same S, by dividing data rows by it beforehand.
		q := p
		q.Data = fit.Rows{N: 6, Evaluate: func(x []float64, first int, res, jac []float64) {
			p.Data.Evaluate(x, first, res, jac)
			for i := range res {
				res[i] /= r.Scale
			}
			for i := range jac {
				jac[i] /= r.Scale
			}
		}}
		w := solve(t, without(q, i), r.X, fit.Settings{})
		// Cook's D = (Δx)ᵀ(JᵀJ)(Δx)/p
		a, b := w.X[0]-r.X[0], w.X[1]-r.X[1]
		cook := 0.0
		for _, row := range [][]float64{r.R[:2], r.R[2:]} {
			s := row[0]*a + row[1]*b
			cook += s * s / 2
		}
		near.To(t, "Cook's distance", d.Cooks, cook, 1e-10*(1+cook))
	}
	near.To(t, "sum of leverages", sum, 2, 1e-12)
}

// A row that alone fixes a parameter has no studentised residual.
func TestRowThatStandsAlone(t *testing.T) {
	p := line([]float64{1, 1, 1, 4}, []float64{2, 2.1, 1.9, 5}, constant(4, 0.1))
	r := solve(t, p, []float64{0, 0}, fit.Settings{})
	d := fit.Must(fit.Diagnose(p, r))[3]
	near.To(t, "leverage", d.Leverage, 1, 1e-12)
	if !math.IsNaN(d.Studentised) || !math.IsNaN(d.Cooks) {
		t.Errorf("%+v", d)
	}
}

// The squares of what all rows contribute add up to the variance; for a mean of two
// readings each contributes wu.
func TestContributions(t *testing.T) {
	p := fit.Problem{Params: 1,
		Data:  fit.Gaussians(1, []fit.Gaussian{{Mean: 10, Sigma: 1}}),
		Prior: fit.Gaussians(1, []fit.Gaussian{{Mean: 13, Sigma: 2}}),
	}
	r := solve(t, p, []float64{0}, fit.Settings{})
	want := map[fit.Row]float64{{Index: 0}: 0.8, {Prior: true, Index: 0}: 0.4}
	for row, v := range fit.Must(fit.Contributions(p, r, r.Covariance(), []float64{1})) {
		near.To(t, "contribution", math.Abs(v), want[row], 1e-14)
	}
	q := decay(600, 0.01)
	r = solve(t, q, decayStart, fit.Settings{})
	g := []float64{1, -2, 3, 0.5}
	sum := 0.0
	for _, v := range fit.Must(fit.Contributions(q, r, r.Covariance(), g)) {
		sum += v * v
	}
	v, _ := r.Covariance().Variance(g)
	near.To(t, "sum of contributions", sum/v, 1, 1e-9)
}
