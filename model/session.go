package model

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/field"
)

// Session is all that goes into one fit.
type Session struct {
	Log    Log
	Known  []Known
	Lumped bool          // force the lumped circuit: all capacitance at the top
	Ladder *field.Ladder // of the winding, where its shape is known: it then replaces the line
	Drawn  *Drawn        // what the drawing says, where there is one: its values enter as known
	Robust bool          // Huber's loss, so that a single misread value pulls less

	open  []string // known values of these quantities don't count
	alike float64  // autocorrelation of the readings' errors
}

// ErrNoReadings means that no reading is left to fit.
var ErrNoReadings = errors.New("no reading is marked for use")

// NotConvergedError means that the fit found no minimum it could vouch for.
type NotConvergedError struct{ Status fit.Status }

func (e *NotConvergedError) Error() string {
	return fmt.Sprintf("the fit did not converge: %v", e.Status)
}

func resonatorName(s Session) string {
	switch {
	case s.Lumped:
		return "lumped"
	case s.Ladder != nil:
		return "ladder"
	}
	return "line"
}

// resonator makes the resonator of s.
func (s Session) resonator() Resonator {
	if s.Lumped || s.Ladder == nil {
		return &Line{}
	}
	return newLadder(s.Ladder, s.Drawn.core())
}

// fitOnly finds the coil that explains the readings of s best. It fails with
// ErrNoReadings, UnknownQuantityError or NotConvergedError.
func fitOnly(s Session) (*Result, error) {
	p, err := newProblem(s)
	if err != nil {
		return nil, err
	}
	if len(p.rows) == 0 {
		return nil, ErrNoReadings
	}
	settings := solverSettings(s)
	r := &Result{Resonator: resonatorName(s), problem: p, session: s}
	for attempt := range anchorLevels + 1 {
		p.held = attempt == anchorLevels
		p.Prior = p.priors(min(attempt, anchorLevels-1))
		if attempt >= anchorLevels-1 {
			settings.MaxIterations = patience
		}
		e, err := p.enlarge(p.start(s.Log), settings)
		if err != nil {
			return nil, err
		}
		if e, err = p.loosen(e, settings); err != nil {
			return nil, err
		}
		r.fit, r.scatter, r.judged = e.Result, e.scatter, e.judged
		if r.fit.Status.Converged() && (p.onBench(r.fit.X) || attempt == anchorLevels) {
			r.covariances()
			r.summarise()
			return r, nil
		}
	}
	return nil, &NotConvergedError{r.fit.Status}
}

// solverSettings returns how s is to be solved.
func solverSettings(s Session) fit.Settings {
	settings := fit.Settings{Offset: offset, FirstRadius: firstRadius}
	if s.Robust {
		settings.Loss = fit.Redescending(huber, biweight)
	}
	return settings
}

// offset is how far a fit may stop from its minimum, in standard uncertainties: a
// hundredth of the last digit printed.
const offset = 1e-3

// firstRadius keeps the first step within about one unit of the logarithms that
// the unknowns are, whose size is that of ln(1 pF) = −28.
const firstRadius = 0.03

// patience is the number of steps for the last attempt at readings that leave a
// long curved valley, which a solver walks in small steps.
const patience = 20000

// huber is the corner of the robust loss, in standard uncertainties: for normal
// errors it keeps 95 % of the efficiency of least squares (Huber, Robust
// Statistics, 1981, § 4.5, with the usual 1.345 from memory).
const huber = 1.345

// biweight is the corner of the loss that a robust fit ends with, in standard
// uncertainties: likewise 95 % (from memory).
const biweight = 4.685

// covariances works out the covariance of the unknowns with the readings'
// uncertainties enlarged as their scatter asks, and with the stated ones, both at
// the solution: a gradient there meets no covariance of another place. An unknown at its bound counts as free there: its standing at the bound is no
// knowledge that should make other quantities look better known.
func (r *Result) covariances() {
	free := make([]fit.Bound, r.problem.n)
	scaled := r.fit
	scaled.AtBound = free
	r.cov = scaled.Covariance()
	r.stated = r.cov
	r.apart = r.scatter.Scale != 1
	if r.apart {
		r.problem.byStated(func() { r.stated = r.fit.Restated(r.problem.Problem) })
	}
	r.shares = r.problem.sharesOf(r.cov, r.fit.X)
}

// summarise fills in all that a Result tells, from the solution.
func (r *Result) summarise() {
	parameters, derived := quantities(r.problem.forward)
	for _, q := range append(parameters, r.problem.driftQuantities()...) {
		r.Parameters = append(r.Parameters, r.estimate(q))
	}
	for _, q := range derived {
		r.Derived = append(r.Derived, r.estimate(q))
	}
	if e, ok := r.stray(); ok {
		r.Derived = append(r.Derived, e)
	}
	r.Contrasts = contrasts(r.session.Log)
	r.Quality = r.quality()
	r.Readings = r.residuals()
	r.Assumed = r.assumptions()
}

func (r *Result) quality() Quality {
	q := Quality{
		Readings:         len(r.problem.rows),
		Unknowns:         r.problem.n,
		DegreesOfFreedom: r.fit.DegreesOfFreedom(),
		ChiSquare:        r.scatter.ChiSquare,
		PValue:           r.scatter.PValue,
		Scale:            r.scatter.Scale,
		Redundancy:       r.scatter.Redundancy,
		Status:           r.fit.Status,
		Converged:        r.fit.Status.Converged(),
	}
	q.AICc = r.criterion()
	return q
}

// criterion returns AICc at the minimum by the stated uncertainties: that of scaled ones
// lies elsewhere where priors share the fit, and must not stand beside another model's.
func (r *Result) criterion() (c float64) {
	r.problem.byStated(func() {
		stated := r.judged
		if stated.Scale != 1 || r.session.Robust {
			var err error
			if stated, _, err = r.problem.solve(slices.Clone(r.judged.X), false, solverSettings(r.session)); err != nil || !stated.Status.Converged() {
				c = math.NaN()
				return
			}
		}
		c = fit.AICc(r.problem.Problem, stated)
	})
	return c
}

// Find returns the estimate of that name and labels, or nil.
func (r *Result) Find(name, core, part string, hand float64) *Estimate {
	for _, list := range [][]Estimate{r.Parameters, r.Derived} {
		for i := range list {
			if e := &list[i]; e.Name == name && e.Core == core && e.Part == part && e.Hand == hand {
				return e
			}
		}
	}
	return nil
}

// relative returns the standard uncertainty of x[i], a logarithm; +Inf when
// nothing fixes it.
func (r *Result) relative(i int) float64 { return relative(r.cov, r.problem.n, i) }

// relative is the same by the covariance c of n unknowns.
func relative(c fit.Covariance, n, i int) float64 {
	grad := make([]float64, n)
	grad[i] = 1
	variance, determined := c.Variance(grad)
	if !determined {
		return math.Inf(1)
	}
	return math.Sqrt(variance)
}
