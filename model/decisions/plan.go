package decisions

import (
	"errors"
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// plan is a fit with room for what candidates bring with them: the errors of parts
// not in the log, those of places of a core, cores or a hand never read, at guesses. The
// readings are the same, so that what they tell stays as it is.
type plan struct {
	measurand Measurand
	quantity  forward.Quantity   // that the measurand names, but for a frequency
	result    *estimation.Result // of the readings
	after     *estimation.Result // the same with that room
	now       quantities.Estimate
	same      quantities.Estimate // the same by after, but for its last digits
	gradient  []float64

	seen       readSoFar
	candidates []Candidate
	rows       []evidence // of each
}

var errNothing = errors.New("nothing in the log has to do with the measurand")

// newPlan makes room for candidates in the fit; it fails where the measurand has nothing to
// do with the log.
func newPlan(r *estimation.Result, want Measurand, candidates []Candidate, extra []readings.Part) (*plan, error) {
	var states []readings.State
	for i := range candidates {
		if !candidates[i].Kind.measures() {
			states = append(states, candidates[i].State)
		}
	}
	e, err := Extend(r, extra, states)
	if err != nil {
		return nil, err
	}
	p := &plan{result: r, after: e, seen: newReadSoFar(r)}
	if !p.aim(want, extra) {
		return nil, errNothing
	}
	for i := range candidates {
		p.add(candidates[i])
	}
	return p, nil
}

// aim makes want what the plan is for; ok is false where it has nothing to do with the
// log.
func (p *plan) aim(want Measurand, extra []readings.Part) (ok bool) {
	if p.gradient, ok = gradientOf(p.after, want); !ok {
		return false
	}
	p.measurand = want
	p.quantity, _ = quantity(p.after, want)
	p.same = EstimateOf(p.after, want)
	p.now = p.same
	if want.Name == "frequency" {
		if f := Predict(p.result, want.State, extra).Frequency; f.Determined == p.same.Determined {
			p.now = f
		}
	} else if o := p.result.Find(want.Key); o != nil && o.Bound == fit.Free {
		p.now = *o
	}
	return true
}

func (p *plan) add(c Candidate) {
	p.candidates, p.rows = append(p.candidates, c), append(p.rows, newEvidence(p.after, &c))
}

// of leaves only the candidates of list.
func (p *plan) of(list []Suggestion) {
	p.candidates, p.rows = nil, nil
	for i := range list {
		p.add(list[i].Candidate)
	}
}

// expect returns the estimate of the measurand once further rows are there: its value as
// now, its uncertainty as it would be, from the same code as any estimate.
func (p *plan) expect(rows ...evidence) quantities.Estimate {
	e := withRows(p.after, rows)
	out := p.estimate(e)
	if !out.Determined || !p.now.Determined || !p.same.Determined {
		return out
	}
	out.Value = p.now.Value
	out.Uncertainty *= p.now.Uncertainty / p.same.Uncertainty
	out.Stated *= p.now.Stated / p.same.Stated
	e.Cover(&out, p.measurand.Name == "frequency" || p.quantity.Positive)
	return out
}

// estimate is EstimateOf the measurand in a fit with the same quantities as that of the plan.
func (p *plan) estimate(e *estimation.Result) quantities.Estimate {
	if p.measurand.Name == "frequency" {
		return EstimateOf(e, p.measurand)
	}
	return e.Estimate(p.quantity)
}

// Extend makes room in the fit for further parts and states. Where the readings leave
// inductance and capacitance open, the fit stands anywhere; what is to be expected is then
// worked out at a capacitance that coils have, the anchor's.
func Extend(r *estimation.Result, extra []readings.Part, states []readings.State) (*estimation.Result, error) {
	s := r.Session
	s.Log.Parts = append(slices.Clone(s.Log.Parts), extra...)
	p, err := estimation.NewProblem(s, states...)
	if err != nil {
		return nil, err
	}
	p.BenchFixed, p.Loose = r.Problem.BenchFixed, r.Problem.Loose
	start := p.Start(s.Log)
	if r.SplitDetermined() {
		p.Prior = p.Priors(r.Problem.Anchors)
		common := r.Problem.Common()
		copy(start, r.Solution.X[:common])
		copy(start[p.Common():], r.Solution.X[common:])
	} else {
		p.Prior = p.Priors(max(r.Problem.Anchors, 1))
	}
	solved, err := p.Enlarge(start, estimation.SolverSettings(s))
	if err != nil {
		return nil, err
	}
	e := &estimation.Result{Problem: p, Session: s, Solution: solved.Result, Scatter: solved.Judgement, Judged: solved.Judged, PartErrors: r.PartErrors}
	e.Solution.AtBound = make([]fit.Bound, p.N)
	e.SetCovariances()
	return e, nil
}

// quantity finds the quantity that a measurand names, but for a frequency.
func quantity(r *estimation.Result, w Measurand) (forward.Quantity, bool) {
	for _, q := range r.Problem.Quantities() {
		if q.Key == w.Key {
			return q, true
		}
	}
	return forward.Quantity{}, false
}

// gradientOf returns the derivatives of the measurand; ok is false where there is no
// such quantity.
func gradientOf(r *estimation.Result, w Measurand) (grad []float64, ok bool) {
	f := r.Problem.Model
	grad = make([]float64, f.N)
	value := 0.0
	if w.Name == "frequency" {
		value = f.Frequency(r.Solution.X, &w.State, grad)
	} else if q, found := quantity(r, w); found {
		value = q.Value(f, r.Solution.X, grad)
	} else {
		return nil, false
	}
	return grad, quantities.Finite(value) && quantities.Finite(grad...)
}

// EstimateOf returns the estimate of the measurand.
func EstimateOf(r *estimation.Result, w Measurand) quantities.Estimate {
	if w.Name == "frequency" {
		return r.FrequencyAt(r.Problem.Model, r.Solution.X, &w.State)
	}
	q, _ := quantity(r, w)
	return r.Estimate(q)
}

// readSoFar is what the used readings have in them.
type readSoFar struct {
	states map[readings.StateKey][]*readings.State
	parts  map[int]bool
	most   float64 // largest capacitance on the top [F]
}

func newReadSoFar(r *estimation.Result) readSoFar {
	o := readSoFar{states: map[readings.StateKey][]*readings.State{}, parts: map[int]bool{}}
	for s := range r.Session.StatesRead() {
		o.states[s.Key()] = append(o.states[s.Key()], s)
		for _, p := range s.Parts {
			o.parts[p] = true
		}
		o.most = math.Max(o.most, r.Problem.Added(r.Solution.X, s))
	}
	return o
}

// state tells whether a used reading has the state s.
func (o *readSoFar) state(s *readings.State) bool {
	return slices.ContainsFunc(o.states[s.Key()], func(other *readings.State) bool { return readings.Same(other, s) })
}
