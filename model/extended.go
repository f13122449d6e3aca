package model

import (
	"errors"
	"math"
	"slices"

	"fitcoil/fit"
)

// plan is a fit with room for what candidates bring with them: the errors of parts
// not in the log, those of places of a core, cores or a hand never read, at guesses. The
// readings are the same, so that what they tell stays as it is.
type plan struct {
	wish     Wish
	result   *Result // of the readings
	after    *Result // the same with that room
	now      Estimate
	same     Estimate // the same by after, but for its last digits
	gradient []float64

	seen       readSoFar
	candidates []Candidate
	rows       []evidence // of each
}

// evidence is what a candidate adds to a fit: the gradient of a standardised residual,
// with the readings' uncertainties enlarged as now and as stated.
type evidence struct {
	now, stated []float64
	known       bool    // of a value measured, not of a reading
	hand        float64 // m, distance read; 0: none
}

var errNothing = errors.New("nothing in the log has to do with the wish")

// newPlan makes room for candidates in the fit; it fails where the wish has nothing to
// do with the log.
func (r *Result) newPlan(wish Wish, candidates []Candidate, extra []Part) (*plan, error) {
	var states []State
	for i := range candidates {
		if candidates[i].Kind.reads() {
			states = append(states, candidates[i].State)
		}
	}
	e, err := r.extend(extra, states)
	if err != nil {
		return nil, err
	}
	p := &plan{result: r, after: e, seen: r.readSoFar()}
	if !p.aim(wish, extra) {
		return nil, errNothing
	}
	for i := range candidates {
		p.add(candidates[i])
	}
	return p, nil
}

// aim makes wish what the plan is for; ok is false where it has nothing to do with the
// log.
func (p *plan) aim(wish Wish, extra []Part) (ok bool) {
	if p.gradient, ok = p.after.wishGradient(wish); !ok {
		return false
	}
	p.wish = wish
	p.same = p.after.wish(wish)
	p.now = p.same
	if wish.Name == "frequency" {
		if f := p.result.Predict(wish.State, extra).Frequency; f.Determined == p.same.Determined {
			p.now = f
		}
	} else if o := p.result.Find(wish.Name, wish.Core, wish.Part, wish.State.nearness()); o != nil && o.Bound == fit.Free {
		p.now = *o
	}
	return true
}

func (p *plan) add(c Candidate) {
	p.candidates, p.rows = append(p.candidates, c), append(p.rows, p.after.evidence(&c))
}

// of leaves only the candidates of list.
func (p *plan) of(list []Suggestion) {
	p.candidates, p.rows = nil, nil
	for i := range list {
		p.add(list[i].Candidate)
	}
}

// extend makes room in the fit for further parts and states. Where the readings leave
// inductance and capacitance open, the fit stands anywhere; what is to be expected is then
// worked out at a capacitance that coils have, the anchor's.
func (r *Result) extend(extra []Part, states []State) (*Result, error) {
	s := r.session
	s.Log.Parts = append(slices.Clone(s.Log.Parts), extra...)
	p, err := newProblem(s, states...)
	if err != nil {
		return nil, err
	}
	p.held, p.loose = r.problem.held, r.problem.loose
	start := p.start(s.Log)
	if r.splitDetermined() {
		p.Prior = p.priors(r.problem.anchors)
		common := r.problem.common()
		copy(start, r.fit.X[:common])
		copy(start[p.common():], r.fit.X[common:])
	} else {
		p.Prior = p.priors(max(r.problem.anchors, 1))
	}
	solved, err := p.enlarge(start, solverSettings(s))
	if err != nil {
		return nil, err
	}
	e := &Result{problem: p, session: s, fit: solved.Result, scatter: solved.scatter, judged: solved.judged}
	e.fit.AtBound = make([]fit.Bound, p.n)
	e.covariances()
	return e, nil
}

// quantity finds the quantity that a wish names, but for a frequency.
func (r *Result) quantity(w Wish) (quantity, bool) {
	for _, q := range r.problem.quantities() {
		if q.name == w.Name && q.part == w.Part && q.core == w.Core && q.hand == w.State.nearness() {
			return q, true
		}
	}
	return quantity{}, false
}

// wishGradient returns the derivatives of what is wished; ok is false where there is no
// such quantity.
func (r *Result) wishGradient(w Wish) (grad []float64, ok bool) {
	f := r.problem.forward
	grad = make([]float64, f.n)
	value := 0.0
	if w.Name == "frequency" {
		value = f.frequency(r.fit.X, &w.State, grad)
	} else if q, found := r.quantity(w); found {
		value = q.value(f, r.fit.X, grad)
	} else {
		return nil, false
	}
	return grad, finite(value) && finite(grad...)
}

// wish returns the estimate of what is wished.
func (r *Result) wish(w Wish) Estimate {
	if w.Name == "frequency" {
		return r.frequency(r.problem.forward, r.fit.X, &w.State)
	}
	q, _ := r.quantity(w)
	return r.estimate(q)
}

// nearness returns the distance of the hand, or 0 when nobody is near.
func (s *State) nearness() float64 {
	if math.IsInf(s.Hand, 1) {
		return 0
	}
	return s.Hand
}

// evidence returns what candidate c adds to the fit.
func (r *Result) evidence(c *Candidate) evidence {
	p := r.problem
	row := make([]float64, p.n)
	switch c.Kind {
	case MeasurePart: // its value takes the place of the tolerance, whose row is 1
		if k := p.partAt[c.Part]; k >= 0 {
			row[k] = p.relative(c.Part) / c.Relative
			if l := p.lotAt[c.Part]; l >= 0 { // the lot's error is in it too
				own, common := p.split(c.Part)
				row[l] = common * row[k]
				row[k] *= own
			} else if p.parts[c.Part].Known {
				row[k] = math.Sqrt(math.Max(0, row[k]*row[k]-1))
			}
		}
		return evidence{row, row, true, 0}
	case MeasureWinding:
		row[atL] = 1 / c.Relative
		return evidence{row, row, true, 0}
	}
	s := c.State
	bought := math.Sqrt(c.New[0] * c.New[1]) // the middle of a range
	s.Exact += bought
	s.Clip = s.Clip || bought > 0
	f := p.frequency(r.fit.X, &s, row)
	if p.drift >= 0 {
		_, row[p.drift] = p.drifted(r.fit.X, p.afterwards())
	}
	m := p.alone(r.fit.X, &s)
	own := 0.0
	if c.Kind == ReadNew { // nothing else has its error
		p.at(r.fit.X, &s)
		own = p.resonance.PerTop * bought * c.Relative
	}
	if !finite(f, own) || !finite(row...) {
		clear(row)
	}
	over := func(u float64) []float64 {
		out := slices.Clone(row)
		for i := range out {
			out[i] /= -math.Hypot(math.Hypot(u, m), own)
		}
		return out
	}
	u := r.typicalUncertainty()
	return evidence{over(u), over(u / r.scatter.Scale), false, s.nearness()}
}

// withRows returns r as it would be with further rows.
func (r *Result) withRows(rows []evidence) *Result {
	e := *r
	var now, stated [][]float64
	for _, o := range rows {
		now, stated = append(now, o.now), append(stated, o.stated)
	}
	e.cov, e.stated, e.apart = r.cov.With(now...), r.stated.With(stated...), true
	e.shares = r.problem.sharesOf(e.cov, e.fit.X)
	for _, o := range rows {
		if o.hand > 0 { // the law is then read there
			e.problem = e.problem.readAt(o.hand)
		}
		if o.known {
			e.shares.Add(o.now, int(fromKnown))
		}
	}
	return &e
}

// readAt returns p with one more distance of a hand read.
func (p *problem) readAt(d float64) *problem {
	q, f := *p, *p.forward
	f.distances = append(slices.Clip(f.distances), d)
	slices.Sort(f.distances)
	f.distances = slices.Compact(f.distances)
	q.forward = &f
	return &q
}

// expect returns the estimate of the wish once further rows are there: its value as
// now, its uncertainty as it would be, from the same code as any estimate.
func (p *plan) expect(rows ...evidence) Estimate {
	e := p.after.withRows(rows)
	out := e.wish(p.wish)
	if !out.Determined || !p.now.Determined || !p.same.Determined {
		return out
	}
	out.Value = p.now.Value
	out.Uncertainty *= p.now.Uncertainty / p.same.Uncertainty
	out.Stated *= p.now.Stated / p.same.Stated
	positive := p.wish.Name == "frequency"
	if q, ok := e.quantity(p.wish); ok {
		positive = q.positive
	}
	out.Interval = interval(out.Value, out.Uncertainty, e.coverageFactor(out.Budget), positive)
	return out
}

// readSoFar is what the used readings have in them.
type readSoFar struct {
	states map[stateKey][]*State
	parts  map[int]bool
	most   float64 // largest capacitance on the top [F]
}

func (r *Result) readSoFar() readSoFar {
	o := readSoFar{states: map[stateKey][]*State{}, parts: map[int]bool{}}
	for s := range r.session.Log.used() {
		o.states[s.key()] = append(o.states[s.key()], s)
		for _, p := range s.Parts {
			o.parts[p] = true
		}
		o.most = math.Max(o.most, r.problem.added(r.fit.X, s))
	}
	return o
}

// state tells whether a used reading has the state s.
func (o *readSoFar) state(s *State) bool {
	return slices.ContainsFunc(o.states[s.key()], func(other *State) bool { return same(other, s) })
}
