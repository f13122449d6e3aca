package findings

import (
	"math"

	"gonum.org/v1/gonum/stat"

	"fitcoil/fit"
	"fitcoil/model/estimation"
)

// improbable is the probability below which tolerances are called contradicted: what is left
// of chance after a reading session on each evening of a few years. None of 1000 good sessions
// is told so, and with 1e-5 or 1e-2 the same is told of others (TestWhatIsTold).
const improbable = 1e-3

// apartLevel is the share of sessions with true tolerances in which chance may have the parts
// miss their values by so much that the tolerances are called contradicted.
const apartLevel = 0.01

// tolerancesContradicted tells whether readings, as uncertain as they scatter, and the
// tolerances together are too improbable, and the rest without these is not; or the errors of
// the parts alone. It tells how the parts are off.
func tolerancesContradicted(r *estimation.Result) (f Finding, found bool) {
	p := r.Problem
	var rows []int
	for i, o := range p.Origins {
		if o == estimation.FromTolerance {
			rows = append(rows, i)
		}
	}
	nu := r.Solution.DegreesOfFreedom()
	if len(rows) == 0 || nu == 0 {
		return f, false
	}
	scale := r.Solution.Scale
	all := r.Solution.DataSquares/(scale*scale) + r.Solution.PriorSquares
	rest := all // of what is no tolerance
	for _, i := range rows {
		k := p.PartAt[p.PriorOf[i]]
		rest -= r.Solution.X[k] * r.Solution.X[k]
	}
	for _, l := range p.Lots {
		rest -= r.Solution.X[l.At] * r.Solution.X[l.At]
	}
	chance := fit.ChiSquareSurvival(all, float64(nu))
	if !(chance < improbable) || fit.ChiSquareSurvival(rest, float64(nu)) < improbable {
		if chance = r.PartErrors.Chance; !(chance < apartLevel) {
			return f, false
		}
	}
	return Finding{Kind: TolerancesContradicted, Value: chance, Pattern: pattern(r, rows)}, true
}

// pattern compares how far parts are off, in their own uncertainties, with how large they
// are.
func pattern(r *estimation.Result, rows []int) Pattern {
	p := r.Problem
	if len(rows) < 3 {
		return Apart
	}
	var off, size []float64
	high, low := 0, 0
	// Plain choices, of words alone: no number, nor whether there is a finding, hangs on them.
	const clearly, together = 0.5, 0.7 // in a part's own uncertainty; correlation of error and size
	for _, i := range rows {
		k := p.PriorOf[i]
		e := p.PartError(r.Solution.X, k)
		off, size = append(off, e), append(size, -math.Log(p.Parts[k].Capacitance))
		switch {
		case e > clearly:
			high++
		case e < -clearly:
			low++
		}
	}
	switch rho := stat.Correlation(size, off, nil); {
	case rho > together:
		return SmallHigh
	case rho < -together:
		return SmallLow
	case high > 0 && low == 0:
		return AllHigh
	case low > 0 && high == 0:
		return AllLow
	}
	return Apart
}
