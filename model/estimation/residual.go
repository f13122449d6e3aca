package estimation

import (
	"math"

	"fitcoil/fit"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// residuals compares every reading with the fitted model, as its row of the fit has it; those left
// out of the fit too.
func (r *Result) residuals() []ReadingResult {
	p := r.Problem
	log := r.Session.Log
	out := make([]ReadingResult, len(log.Readings))
	for i, reading := range log.Readings {
		out[i] = ReadingResult{
			Reading: reading, Fitted: math.NaN(), Residual: math.NaN(), Weighed: r.Weighed(&reading),
			Standardised: math.NaN(), Leverage: math.NaN(), Cook: math.NaN(),
		}
		if reading.Use {
			continue
		}
		f, u, determined := r.expected(i)
		out[i].Fitted, out[i].Residual = f, reading.Frequency-f
		if determined {
			out[i].Standardised = out[i].Residual / math.Hypot(out[i].Weighed, u)
		}
	}
	for k, d := range fit.Must(fit.Diagnose(p.Problem, r.Solution))[:len(p.Rows)] {
		o := &out[p.Rows[k]]
		o.Fitted = r.DriftAt(p.Rows[k]) * p.state(r.Solution.X, k, &o.State, make([]float64, p.Width()))
		o.Residual = o.Frequency - o.Fitted
		o.Standardised, o.Leverage, o.Cook = d.Studentised, d.Leverage, d.Cooks
		if f := p.Factor(k); f > 1 { // those that share one error are one reading
			o.Standardised = d.Residual * f / math.Sqrt(1-f*f*d.Leverage)
			if !(f*f*d.Leverage < 1-1e-9) {
				o.Standardised = math.NaN()
			}
		}
	}
	return out
}

// DriftAt returns the factor by which the coil's frequencies had drifted when reading i was
// taken, from the middle of the session.
func (r *Result) DriftAt(i int) float64 {
	f, _ := r.Problem.Drifted(r.Solution.X, r.Problem.moments[i])
	return f
}

// expected returns the frequency of reading i, which is left out, at its moment [Hz], the standard
// uncertainty, with that of parts which no other reading has, and whether it is determined.
func (r *Result) expected(i int) (hz, u float64, determined bool) {
	p, o := r.Problem, &r.Session.Log.Readings[i]
	drift, slope := p.Drifted(r.Solution.X, p.moments[i])
	f, x := r.With(nil)
	grad := make([]float64, f.N)
	hz = drift * f.Frequency(x, &o.State, grad)
	if p.Drift >= 0 {
		grad[p.Drift] = slope
	}
	if !quantities.Finite(hz) || !quantities.Finite(grad...) {
		return hz, u, false
	}
	variance, determined := r.Covariance.Variance(grad)
	return hz, hz * math.Sqrt(variance), determined
}

// Weighed returns the standard uncertainty of a reading, scatter and that of the
// model included [Hz].
func (r *Result) Weighed(o *readings.Reading) float64 {
	model := r.Problem.Alone(r.Solution.X, &o.State) * o.Frequency
	return math.Hypot(o.Uncertainty*r.Scatter.Scale, model*r.Solution.Scale)
}
