package model

import (
	"math"

	"fitcoil/fit"
)

// residuals compares every reading with the fitted model; those left out of
// the fit too.
func (r *Result) residuals() []ReadingResult {
	p := r.problem
	log := r.session.Log
	out := make([]ReadingResult, len(log.Readings))
	grad := make([]float64, p.n)
	for i, reading := range log.Readings {
		f := p.frequency(r.fit.X, &reading.State, grad)
		drift, slope := p.drifted(r.fit.X, p.moments[i])
		f *= drift
		if p.drift >= 0 {
			grad[p.drift] = slope
		}
		out[i] = ReadingResult{
			Reading: reading, Fitted: f, Residual: reading.Frequency - f, Weighed: r.weighed(&reading),
			Standardised: math.NaN(), Leverage: math.NaN(), Cook: math.NaN(),
		}
		if variance, determined := r.cov.Variance(grad); !reading.Use && determined && finite(f) {
			out[i].Standardised = out[i].Residual / math.Hypot(out[i].Weighed, f*math.Sqrt(variance))
		}
	}
	for k, d := range fit.Diagnose(p.Problem, r.fit)[:len(p.rows)] {
		o := &out[p.rows[k]]
		o.Standardised, o.Leverage, o.Cook = d.Studentised, d.Leverage, d.Cooks
		if f := p.factor(k); f > 1 { // those that share one error are one reading
			o.Standardised = d.Residual * f / math.Sqrt(1-f*f*d.Leverage)
			if !(f*f*d.Leverage < 1-1e-9) {
				o.Standardised = math.NaN()
			}
		}
	}
	return out
}

// weighed returns the standard uncertainty of a reading, scatter and that of the
// model included [Hz].
func (r *Result) weighed(o *Reading) float64 {
	model := r.problem.alone(r.fit.X, &o.State) * o.Frequency
	return math.Hypot(o.Uncertainty*r.scatter.Scale, model*r.fit.Scale)
}
