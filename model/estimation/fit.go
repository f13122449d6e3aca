package estimation

import (
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/forward"
	"fitcoil/model/readings"
)

// Fit finds the coil that explains the readings of s best. It fails with
// ErrNoReadings, UnknownQuantityError or NotConvergedError.
func Fit(s Session) (*Result, error) {
	p, err := NewProblem(s)
	if err != nil {
		return nil, err
	}
	if len(p.Rows) == 0 {
		return nil, ErrNoReadings
	}
	settings := SolverSettings(s)
	r := &Result{Resonator: resonatorName(s), Problem: p, Session: s}
	for attempt := range anchorLevels + 1 {
		p.BenchFixed = attempt == anchorLevels
		p.Prior = p.Priors(min(attempt, anchorLevels-1))
		if attempt >= anchorLevels-1 && !p.SplitPairs() {
			settings.MaxIterations = patience
		}
		e, err := p.Enlarge(p.Start(s.Log), settings)
		if err != nil {
			return nil, err
		}
		if e, err = p.loosen(e, settings); err != nil {
			return nil, err
		}
		r.Solution, r.Scatter, r.Judged = e.Result, e.Judgement, e.Judged
		if r.Solution.Status.Converged() && (p.onBench(r.Solution.X) || attempt == anchorLevels) {
			r.SetCovariances()
			r.PartErrors = r.partSpread()
			r.summarise()
			return r, nil
		}
	}
	return nil, &NotConvergedError{r.Solution.Status, readings.Raised(&s.Log)}
}

// SetCovariances works out the covariance of the unknowns with the readings'
// uncertainties enlarged as their scatter asks, and with the stated ones, both at
// the solution: a gradient there meets no covariance of another place. An unknown at its bound counts as free there: its standing at the bound is no
// knowledge that should make other quantities look better known.
func (r *Result) SetCovariances() {
	free := make([]fit.Bound, r.Problem.N)
	scaled := r.Solution
	scaled.AtBound = free
	r.Covariance = scaled.Covariance()
	r.StatedCovariance = r.Covariance
	r.Apart = r.Scatter.Scale != 1 || r.Problem.Wide > 1
	if r.Apart {
		r.Problem.byStated(func() { r.StatedCovariance = fit.Must(r.Solution.Restated(r.Problem.Problem)) })
	}
	r.Shares = r.Problem.SharesOf(r.Covariance, r.Solution.X)
}

// summarise fills in all that a Result tells, from the solution.
func (r *Result) summarise() {
	parameters, derived := forward.Quantities(r.Problem.Model)
	for _, q := range append(parameters, r.Problem.DriftQuantities()...) {
		r.Parameters = append(r.Parameters, r.Estimate(q))
	}
	for _, q := range derived {
		r.Derived = append(r.Derived, r.Estimate(q))
	}
	r.forgetCouplings()
	if e, ok := r.stray(); ok {
		r.Derived = append(r.Derived, e)
	}
	r.Derived = append(r.Derived, r.losses()...)
	r.Contrasts = readings.Contrasts(r.Session.Log)
	r.Quality = r.quality()
	r.Readings = r.residuals()
	r.Assumed = r.assumptions()
}

func (r *Result) quality() Quality {
	q := Quality{
		Readings:         len(r.Problem.Rows),
		DegreesOfFreedom: r.Solution.DegreesOfFreedom(),
		ChiSquare:        r.Scatter.ChiSquare,
		PValue:           r.Scatter.PValue,
		Scale:            r.Scatter.Scale,
		Redundancy:       r.Scatter.Redundancy,
		PartScale:        r.Problem.Wide,
		Status:           r.Solution.Status,
		Converged:        r.Solution.Status.Converged(),
	}
	q.AICc = r.criterion()
	return q
}

// criterion returns AICc at the minimum by the stated uncertainties: that of scaled ones
// lies elsewhere where priors share the fit, and must not stand beside another model's. There
// is none for a robust fit, whose minimum is that of another sum.
func (r *Result) criterion() (c float64) {
	if r.Session.Robust {
		return math.NaN()
	}
	r.Problem.byStated(func() {
		stated := r.Judged
		if stated.Scale != 1 {
			var err error
			if stated, _, err = r.Problem.Solve(slices.Clone(r.Judged.X), false, SolverSettings(r.Session)); err != nil || !stated.Status.Converged() {
				c = math.NaN()
				return
			}
		}
		c = fit.Must(fit.AICc(r.Problem.Problem, stated))
	})
	return c
}
