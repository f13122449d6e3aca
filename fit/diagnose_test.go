package fit_test

import (
	"math"
	"testing"

	"fitcoil/fit"
)

// without returns the problem less one row.
func without(p fit.Problem, row fit.Row) fit.Problem {
	drop := func(e fit.Rows) fit.Rows {
		return fit.Rows{N: e.N - 1, Evaluate: func(x []float64, first int, r, jac []float64) {
			for i := range r {
				at := first + i
				if at >= row.Index {
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
	if row.Prior {
		p.Prior = drop(p.Prior)
	} else {
		p.Data = drop(p.Data)
	}
	return p
}

// The leverage of a straight line is 1/n + (t − t̄)²/Σ(t − t̄)².
func TestLeverageOfLine(t *testing.T) {
	p := line(lineT, lineY, constant(6, 0.1))
	r := solve(t, p, []float64{0, 0}, fit.Settings{})
	for i, d := range fit.Diagnose(p, r) {
		near(t, "leverage", d.Leverage, 1/6.0+(lineT[i]-2.5)*(lineT[i]-2.5)/17.5, 1e-12)
		res := (lineY[i] - r.X[0] - r.X[1]*lineT[i]) / 0.1
		near(t, "residual", d.Residual, res, 1e-12)
		near(t, "studentised", d.Studentised, res/math.Sqrt(1-d.Leverage), 1e-12)
	}
}

// Every row of a problem with priors is taken out in turn and the rest solved
// again: Cook's distance and the shift and variance of a sum of parameters must
// be what the formulas said beforehand. The data's scatter is scaled.
func TestRowsLeftOut(t *testing.T) {
	p := line(lineT, lineY, constant(6, 0.02))
	p.Prior = fit.Gaussians(2, []fit.Gaussian{{Param: 0, Mean: 1, Sigma: 0.1}, {Param: 1, Mean: 0.4, Sigma: 0.1}})
	r, _ := scaled(t, p, []float64{0, 0}, fit.Settings{})
	if r.Scale < 1.5 {
		t.Fatalf("S = %g: the test needs one that matters", r.Scale)
	}
	g := []float64{1, 3}
	sum := 0.0
	for _, d := range fit.Diagnose(p, r) {
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
		w := solve(t, without(q, d.Row), r.X, fit.Settings{})
		shift, variance, determined := fit.WithoutRow(p, r, d.Row, g)
		near(t, "shift", shift, w.X[0]-r.X[0]+3*(w.X[1]-r.X[1]), 1e-11)
		v, _ := w.Covariance().Variance(g)
		near(t, "variance", variance, v, 1e-12)
		if !determined {
			t.Error("called undetermined")
		}
		// Cook's D = (Δx)ᵀ(JᵀJ)(Δx)/p
		a, b := w.X[0]-r.X[0], w.X[1]-r.X[1]
		cook := 0.0
		for _, row := range [][]float64{r.R[:2], r.R[2:]} {
			s := row[0]*a + row[1]*b
			cook += s * s / 2
		}
		near(t, "Cook's distance", d.Cooks, cook, 1e-10*(1+cook))
	}
	near(t, "sum of leverages", sum, 2, 1e-12)
	total := 0.0
	for _, c := range fit.Contributions(p, r, r.Covariance(), g) {
		total += c * c
	}
	v, _ := r.Covariance().Variance(g)
	near(t, "sum of contributions", total/v, 1, 1e-12)
}

// To first order also where the model is not linear.
func TestRowLeftOutOfCurve(t *testing.T) {
	p := decay(20, 0.001)
	r := solve(t, p, decayStart, fit.Settings{})
	for i := range 20 {
		row := fit.Row{Index: i}
		w := solve(t, without(p, row), r.X, fit.Settings{})
		shift, _, _ := fit.WithoutRow(p, r, row, unit(4, 1))
		near(t, "shift", shift, w.X[1]-r.X[1], 0.02*math.Abs(shift)+1e-7)
	}
}

// A robust fit without a misread row, and without one of its neighbours.
func TestRowLeftOutOfRobustFit(t *testing.T) {
	x, y := make([]float64, 40), make([]float64, 40)
	for i := range x {
		x[i] = float64(i) / 40
		y[i] = 2 * math.Sin(float64(i*i)) // invented noise
	}
	y[35] += 30
	p := line(x, y, constant(40, 1))
	p.Prior = fit.Gaussians(2, []fit.Gaussian{{Param: 0, Mean: 1, Sigma: 1}, {Param: 1, Mean: 1, Sigma: 1}})
	s := fit.Settings{Loss: fit.Huber(1.345)}
	r := solve(t, p, []float64{0, 0}, s)
	for _, row := range []fit.Row{{Index: 35}, {Index: 0}, {Index: 39}, {Prior: true, Index: 1}} {
		w := solve(t, without(p, row), r.X, s)
		shift, variance, determined := fit.WithoutRow(p, r, row, unit(2, 1))
		near(t, "shift", shift, w.X[1]-r.X[1], 1e-8)
		v, _ := w.Covariance().Variance(unit(2, 1))
		near(t, "variance", variance, v, 1e-8)
		if !determined {
			t.Errorf("%v: called undetermined", row)
		}
	}
}

// A row that alone fixes a parameter has no studentised residual, and without
// it the parameter is not determined; what does not need it still is.
func TestRowThatStandsAlone(t *testing.T) {
	p := line([]float64{1, 1, 1, 4}, []float64{2, 2.1, 1.9, 5}, constant(4, 0.1))
	r := solve(t, p, []float64{0, 0}, fit.Settings{})
	d := fit.Diagnose(p, r)[3]
	near(t, "leverage", d.Leverage, 1, 1e-12)
	if !math.IsNaN(d.Studentised) || !math.IsNaN(d.Cooks) {
		t.Errorf("%+v", d)
	}
	if _, _, determined := fit.WithoutRow(p, r, d.Row, unit(2, 1)); determined {
		t.Error("the slope is called determined by repeats at one place")
	}
	shift, variance, determined := fit.WithoutRow(p, r, d.Row, []float64{1, 1})
	near(t, "shift at 1", shift, 0, 1e-12)
	near(t, "variance at 1", variance, 0.01/3, 1e-12)
	if !determined {
		t.Error("the value at 1 is called undetermined")
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
	for row, v := range fit.Contributions(p, r, r.Covariance(), []float64{1}) {
		near(t, "contribution", math.Abs(v), want[row], 1e-14)
	}
	q := decay(600, 0.01)
	r = solve(t, q, decayStart, fit.Settings{})
	g := []float64{1, -2, 3, 0.5}
	sum := 0.0
	for _, v := range fit.Contributions(q, r, r.Covariance(), g) {
		sum += v * v
	}
	v, _ := r.Covariance().Variance(g)
	near(t, "sum of contributions", sum/v, 1, 1e-9)
}

func TestDiagnosticsStop(t *testing.T) {
	p := decay(600, 0.01)
	r := solve(t, p, decayStart, fit.Settings{})
	n := 0
	for range fit.Diagnostics(p, r) {
		if n++; n == 300 {
			break
		}
	}
	if n != 300 {
		t.Errorf("%d rows visited", n)
	}
}

// Welch–Satterthwaite, JCGM 100:2008, G.4.1, by hand.
func TestDegreesOfMixedUncertainty(t *testing.T) {
	r, _ := scaled(t, repeats([]float64{1, 2, 3, 4, 5}, 0.5), []float64{0}, fit.Settings{Uncertainty: fit.Relative})
	// Half the variance from 4 degrees of freedom, half from infinitely many.
	near(t, "degrees of freedom", r.Degrees(0.5), 1/(0.25/4), 1e-9)
	near(t, "degrees of freedom", r.Degrees(0), 4, 1e-9)
}
