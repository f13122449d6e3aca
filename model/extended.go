package model

import (
	"math"
	"slices"

	"fitcoil/fit"
)

// extended is a fit with room for what candidate readings bring with them: the
// errors of parts not in the log, and cores or a hand never read, at guesses.
type extended struct {
	*problem
	result *Result
	x      []float64
	fit    fit.Result
	cov    fit.Covariance

	factor float64 // of the 95 % interval
	seen   readSoFar
}

// extend makes room in the fit for the states of candidates. The readings are
// the same, so what they tell stays as it is.
func (r *Result) extend(extra []Part, candidates []Candidate) (*extended, error) {
	s := r.session
	s.Log.Parts = append(slices.Clone(s.Log.Parts), extra...)
	states := make([]State, len(candidates))
	for i := range candidates {
		states[i] = candidates[i].State
	}
	p, err := newProblem(s, states...)
	if err != nil {
		return nil, err
	}
	p.Prior = p.priors(r.problem.anchors)
	start := p.start(s.Log)
	common := r.problem.common()
	copy(start, r.fit.X[:common])
	copy(start[p.common():], r.fit.X[common:])
	e := &extended{problem: p, result: r}
	solved, err := p.enlarge(start, solverSettings(s))
	if err != nil {
		return nil, err
	}
	e.fit = solved.Result
	e.x = e.fit.X
	e.fit.AtBound = make([]fit.Bound, p.n)
	e.cov = e.fit.Covariance()
	e.factor = fit.CoverageFactor(0.95, e.fit.ScaleDegrees)
	e.look()
	return e, nil
}

// wish finds the quantity asked for.
func (e *extended) wish(w Wish) (quantity, bool) {
	if w.Name == "frequency" {
		return quantity{name: w.Name, unit: "Hz", positive: true, value: exponential(
			func(f *forward, x, grad []float64) float64 {
				return math.Log(f.frequency(x, &w.State, grad))
			})}, true
	}
	parameters, derived := quantities(e.forward)
	for _, q := range append(parameters, derived...) {
		if q.name == w.Name && q.part == w.Part && q.core == w.Core && q.hand == w.State.nearness() {
			return q, true
		}
	}
	return quantity{}, false
}

// nearness returns the distance of the hand, or 0 when nobody is near.
func (s *State) nearness() float64 {
	if math.IsInf(s.Hand, 1) {
		return 0
	}
	return s.Hand
}

// row returns the gradient of the standardised residual that a reading of s
// would have.
func (e *extended) row(s *State) []float64 {
	row := make([]float64, e.n)
	f := e.frequency(e.x, s, row)
	u := e.result.typicalUncertainty()
	for i := range row {
		row[i] /= -u
	}
	if !finite(f) || !finite(row...) {
		clear(row)
	}
	return row
}

// expect returns the estimate of q at the present solution once the further
// rows are read: its value as now, its uncertainty as it would be.
func (e *extended) expect(q quantity, value float64, grad []float64, further [][]float64) Estimate {
	out := Estimate{Name: q.name, Core: q.core, Part: q.part, Hand: q.hand, Unit: q.unit}
	cov := e.cov.With(further...)
	var shares [origins]float64
	variance, determined := e.sharesOf(cov, e.x).Of(grad, shares[:])
	u := math.Sqrt(variance)
	if !determined || !q.deserves(value, u, relative(cov, e.n, atC) <= vague, newBudget(shares, variance).Assumed) {
		return out.forget()
	}
	return e.known(q, value, variance)
}

// known returns the estimate of a determined quantity.
func (e *extended) known(q quantity, value, variance float64) Estimate {
	u := math.Sqrt(variance)
	return Estimate{Name: q.name, Core: q.core, Part: q.part, Hand: q.hand, Unit: q.unit,
		Value: value, Uncertainty: u, Stated: u, Determined: true, Interval: interval(value, u, e.factor, q.positive)}
}

// readSoFar is what the used readings have in them.
type readSoFar struct {
	states map[stateKey][]*State
	parts  map[int]bool
	most   float64 // largest capacitance on the top [F]
}

func (e *extended) look() {
	e.seen = readSoFar{states: map[stateKey][]*State{}, parts: map[int]bool{}}
	for s := range e.result.session.Log.used() {
		e.seen.states[s.key()] = append(e.seen.states[s.key()], s)
		for _, p := range s.Parts {
			e.seen.parts[p] = true
		}
		e.seen.most = math.Max(e.seen.most, e.added(e.x, s))
	}
}

// state tells whether a used reading has the state s.
func (o *readSoFar) state(s *State) bool {
	return slices.ContainsFunc(o.states[s.key()], func(other *State) bool { return same(other, s) })
}
