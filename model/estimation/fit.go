package estimation

import (
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
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

// stray is the top's capacitance beyond what the drawing knows of: mount, bench,
// wires.
func (r *Result) stray() (quantities.Estimate, bool) {
	d := r.Session.Drawn
	top := r.Find(quantities.Key{Name: quantities.TopCapacitance})
	if d == nil || top == nil || d.Drawing.Coil.Ball == 0 {
		return quantities.Estimate{}, false
	}
	own := d.Find(quantities.TopCapacitance)
	e := *top
	e.Name = quantities.StrayCapacitance
	if !e.Determined || !quantities.Finite(e.Uncertainty) {
		return e.Forget(), true
	}
	e.Value -= own.Value
	e.Uncertainty, e.Stated = math.Hypot(e.Uncertainty, own.Uncertainty), math.Hypot(e.Stated, own.Uncertainty)
	share := own.Uncertainty / e.Uncertainty
	scale := 1 - share*share
	e.Budget = e.Budget.Scaled(scale)
	e.Budget.Known += 1 - scale
	r.Cover(&e, false)
	return e, true
}

// forgetCouplings leaves couplings undetermined whose coil, in the same state of the core and
// the primary open, has no frequency: what peaks or a shorted primary say of them is then the
// prior. And those of windings whose coupling at resonance, from which they follow, is.
func (r *Result) forgetCouplings() {
	for i := range r.Problem.Couplings {
		c := &r.Problem.Couplings[i]
		open := c.Reference()
		known := r.Frequency(open, nil).Determined
		for k := range r.Derived {
			e := &r.Derived[k]
			if e.Core != c.Core || !quantities.OfCoupling(e.Name) {
				continue
			}
			if at := r.Find(quantities.Key{Name: quantities.CouplingAtResonance, Core: e.Core}); !known || !at.Determined {
				*e = e.Forget()
			}
		}
	}
}

// Alternative tells how well the resonator that wasn't chosen describes the
// readings, at their stated uncertainties.
type Alternative struct {
	Resonator string
	Quality   Quality
}

// NewAlternative fits the readings with the other resonator, by the stated
// uncertainties, each as in this fit so that the two compare: nil for a robust fit, which
// gives each model other weights.
func (r *Result) NewAlternative() *Alternative {
	if r.Session.Robust {
		return nil
	}
	s := r.Session
	s.Lumped = !s.Lumped
	p, err := NewProblem(s)
	if err != nil {
		return nil
	}
	r.Problem.byStated(func() { p.Weighed, p.model = slices.Clone(r.Problem.Weighed), r.Problem.model })
	p.adoptPriors(r.Problem)
	solution, _, err := p.Solve(p.Start(s.Log), false, SolverSettings(s))
	if err != nil || !solution.Status.Converged() {
		return nil
	}
	other := Result{Problem: p, Session: s, Solution: solution, Scatter: solution.Scatter(), Judged: solution}
	return &Alternative{resonatorName(s), other.quality()}
}
