package estimation

import (
	"iter"
	"math"

	"fitcoil/fit"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Result is what the readings of a session say.
type Result struct {
	Resonator  string // "line", "ladder" or "lumped"
	Parameters []quantities.Estimate
	Derived    []quantities.Estimate
	Contrasts  []readings.Contrast
	Quality    Quality
	Readings   []ReadingResult
	Assumed    []Assumption // what the fit takes as given because nothing says it

	// What all of that, and each prediction, is worked out from.
	Problem          *Problem
	Session          Session
	Solution         fit.Result
	Scatter          fit.Scatter    // by the stated uncertainties; Scale: what the readings' are enlarged by
	Judged           fit.Result     // with that scale for all alike, by which the model is judged
	PartErrors       partSpread     // against their tolerances
	Covariance       fit.Covariance // of the unknowns, by the enlarged uncertainties
	StatedCovariance fit.Covariance // by the stated ones
	Apart            bool           // these two differ
	Shares           *fit.Shares    // of a variance by Covariance, by the origin of prior rows

	further struct { // what With returns for no extra parts, made when first asked for
		*forward.Model
		x []float64
	}
}

// Quality tells how well the model describes the readings.
type Quality struct {
	Readings         int     // used
	DegreesOfFreedom int     // rows, priors included, less parameters
	ChiSquare        float64 // at the stated uncertainties
	PValue           float64 // NaN without degrees of freedom
	Scale            float64 // factor on the readings' uncertainties that their scatter requires, ≥ 1
	Redundancy       float64 // degrees of freedom of that factor
	PartScale        float64 // factor on the tolerances of parts that their errors ask for, ≥ 1
	Status           fit.Status
	Converged        bool
	AICc             float64 // +Inf with too few readings, NaN for a robust fit
}

// ReadingResult is one reading beside the fitted model.
type ReadingResult struct {
	readings.Reading
	Fitted       float64 // Hz; NaN where the fit can't say
	Residual     float64 // Hz, read − fitted
	Weighed      float64 // Hz, standard uncertainty that the fit gave it: scatter and that of the model included
	Standardised float64 // residual over its own standard deviation (internally studentised)
	Leverage     float64
	Cook         float64
	Flagged      bool
	Deleted      float64  // of a flagged one: reading less what all others predict, in standard uncertainties of that
	Moves        *Moved   // what leaving it out moves by more than its uncertainty, where it stands out
	Without      *Without // what leaving a flagged reading out would do
}

// Moved is a quantity that moves when a reading is left out.
type Moved struct {
	*quantities.Estimate
	By float64 // in its standard uncertainties
}

// Without is what the coil would be with one reading left out.
type Without struct {
	Inductance  quantities.Estimate // in air
	Effective   quantities.Estimate // inductance that goes with
	Capacitance quantities.Estimate // the effective one
}

// Parts returns the parts that states refer to by index.
func (r *Result) Parts() []readings.Part { return r.Session.Log.Parts }

// Log returns the log that was fitted.
func (r *Result) Log() readings.Log { return r.Session.Log }

// All goes through all estimates, parameters first.
func (r *Result) All() iter.Seq[*quantities.Estimate] {
	return func(yield func(*quantities.Estimate) bool) {
		for _, list := range [][]quantities.Estimate{r.Parameters, r.Derived} {
			for i := range list {
				if !yield(&list[i]) {
					return
				}
			}
		}
	}
}

// Find returns the estimate of k, or nil.
func (r *Result) Find(k quantities.Key) *quantities.Estimate {
	for e := range r.All() {
		if e.Key == k {
			return e
		}
	}
	return nil
}

// Relative returns the standard uncertainty of x[i], a logarithm; +Inf when
// nothing fixes it.
func (r *Result) Relative(i int) float64 { return relative(r.Covariance, r.Problem.N, i) }

// relative is the same by the covariance c of n unknowns.
func relative(c fit.Covariance, n, i int) float64 {
	variance, determined := c.Variance(Unit(n, i))
	if !determined {
		return math.Inf(1)
	}
	return math.Sqrt(variance)
}

// Vague is the relative standard uncertainty above which a positive quantity is
// called undetermined: its 95 % interval then spans a factor of seven, and the
// linear law of propagation means nothing.
const Vague = 0.5

// SplitDetermined tells whether the readings tell inductance from capacitance.
func (r *Result) SplitDetermined() bool { return r.splits(r.Covariance) }

// splits is splitDetermined by the covariance c.
func (r *Result) splits(c fit.Covariance) bool {
	return relative(c, r.Problem.N, forward.AtC) <= Vague && r.Solution.AtBound[forward.AtC] == fit.Free && r.Solution.AtBound[forward.AtL] == fit.Free
}

// Unit returns the i-th of n unit vectors.
func Unit(n, i int) []float64 {
	u := make([]float64, n)
	u[i] = 1
	return u
}

// Cores lists the cores that r knows of, in the order of its parameters.
func (r *Result) Cores() (names []string) {
	for i := range r.Parameters {
		if e := &r.Parameters[i]; e.Name == quantities.CoreGain {
			names = append(names, e.Core)
		}
	}
	return names
}

// partSpread is by how much the parts miss their stated values, against their tolerances.
type partSpread struct {
	Factor     float64 // on the tolerances, at least 1
	Redundancy float64 // number of tolerances that this rests on
	Chance     float64 // of as large an error of the parts, or a larger one; 1 where that can't be told
}
