package model

import (
	"math"
	"slices"

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
		out[i] = ReadingResult{
			Reading: reading, Fitted: f, Residual: reading.Frequency - f, Weighed: r.weighed(&reading),
			Standardised: math.NaN(), Leverage: math.NaN(), Cook: math.NaN(),
		}
		if variance, determined := r.cov.Variance(grad); !reading.Use && determined && finite(f) {
			out[i].Standardised = out[i].Residual / math.Hypot(out[i].Weighed, f*math.Sqrt(variance))
		}
	}
	limit := r.suspicious()
	for k, d := range fit.Diagnose(p.Problem, r.fit)[:len(p.rows)] {
		o := &out[p.rows[k]]
		o.Standardised, o.Leverage, o.Cook = d.Studentised, d.Leverage, d.Cooks
		o.Flagged = math.Abs(d.Studentised) > limit && math.Abs(o.Residual) > leastSuspect*p.uncertainty(r.fit.X, &o.Reading)
	}
	return out
}

// weighed returns the standard uncertainty of a reading, scatter and that of the
// model included [Hz].
func (r *Result) weighed(o *Reading) float64 {
	model := r.problem.alone(r.fit.X, &o.State) * o.Frequency
	return math.Hypot(o.Uncertainty*r.scatter.Scale, model*r.fit.Scale)
}

// suspicious returns the size from which a studentised residual is larger than
// chance allows in as many readings: by the test on the deleted residual,
// t = r √((ν−1)/(ν−r²)), at 1 % over all of them (Bonferroni; Cook & Weisberg,
// Residuals and Influence in Regression, 1982, § 2.2.2).
func (r *Result) suspicious() float64 {
	level, nu := 1-0.01/float64(len(r.problem.rows)), r.scatter.Redundancy
	if r.scatter.Scale <= 1 { // the stated uncertainties hold: a normal deviate
		return fit.CoverageFactor(level, math.Inf(1))
	}
	if nu < 1.01 { // the largest that can be is √ν
		return math.Inf(1)
	}
	t := fit.CoverageFactor(level, nu-1)
	return t * math.Sqrt(nu/(nu-1+t*t))
}

// leastSuspect is how many of its own stated uncertainties a reading is off before
// it is suspect, however well the others agree: one unit of a last digit is √12
// standard uncertainties of it (JCGM 100:2008, 4.3.7), and no mistake.
const leastSuspect = 3.5

// mostLeftOut is the number of suspect readings whose effect is worked out.
const mostLeftOut = 5

// leaveOut fits again without each suspect reading, to tell what hangs on it.
func (r *Result) leaveOut() {
	if len(r.problem.rows) >= manyRows {
		return // none of so many matters by itself
	}
	done := 0
	for i := range r.Readings {
		if !r.Readings[i].Flagged || done == mostLeftOut {
			continue
		}
		done++
		s := r.session
		s.Log.Readings = slices.Clone(s.Log.Readings)
		s.Log.Readings[i].Use = false
		other, err := fitOnly(s)
		if err != nil {
			continue
		}
		r.Readings[i].Without = &Without{
			Inductance:  *other.Find(Inductance, "", "", 0),
			Effective:   *other.Find(EffectiveInductance, "", "", 0),
			Capacitance: *other.Find(EffectiveCapacitance, "", "", 0),
		}
	}
}
