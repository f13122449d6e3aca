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

// evidence is what a candidate adds to a fit: the gradient of a standardised residual,
// with the readings' uncertainties enlarged as now and as stated.
type evidence struct {
	now, stated []float64
	known       bool    // of a value measured, not of a reading
	hand        float64 // m, distance read; 0: none
}

// newEvidence returns what candidate c adds to the fit.
func newEvidence(r *estimation.Result, c *Candidate) evidence {
	p := r.Problem
	row := make([]float64, p.N)
	switch c.Kind {
	case MeasurePart: // its value takes the place of the tolerance, whose row is 1 over what it is enlarged by
		if k := p.PartAt[c.Part]; k >= 0 {
			row[k] = p.Relative(c.Part) / c.Relative
			if l := p.LotAt[c.Part]; l >= 0 { // the lot's error is in it too
				own, common := p.Split(c.Part)
				row[l] = common * row[k]
				row[k] *= own
			} else if p.Parts[c.Part].Known {
				row[k] = math.Sqrt(math.Max(0, row[k]*row[k]-1/square(p.Wide)))
			}
		}
		return evidence{row, row, true, 0}
	case MeasureWinding:
		row[forward.AtL] = 1 / c.Relative
		return evidence{row, row, true, 0}
	}
	s := c.State
	bought := math.Sqrt(c.New[0] * c.New[1]) // the middle of a range
	s.Exact += bought
	s.Clip = s.Clip || bought > 0
	f := p.Frequency(r.Solution.X, &s, row)
	if p.Drift >= 0 {
		_, row[p.Drift] = p.Drifted(r.Solution.X, p.Afterwards())
	}
	m := p.Alone(r.Solution.X, &s)
	own := 0.0
	if c.Kind == ReadNew { // nothing else has its error
		p.At(r.Solution.X, &s)
		own = p.Resonance.PerTop * bought * c.Relative
	}
	switch {
	case !quantities.Finite(f, own) || !quantities.Finite(row...):
		clear(row)
	case c.Kind == ReadState && readInDigits(r, &s): // only the difference of the two is new
		drift := 0.0
		if p.Drift >= 0 {
			drift = row[p.Drift] / math.Sqrt2
		}
		clear(row)
		if p.Drift >= 0 {
			row[p.Drift] = drift
		}
	}
	over := func(u float64) []float64 {
		out := slices.Clone(row)
		for i := range out {
			out[i] /= -math.Hypot(math.Hypot(u, m), own)
		}
		return out
	}
	u := r.TypicalUncertainty()
	return evidence{over(u), over(u / r.Scatter.Scale), false, s.Nearness()}
}

// readInDigits tells whether s was read, and is as uncertain as the digits written: where
// readings scatter no more than stated, another one has the same rounding error.
func readInDigits(r *estimation.Result, s *readings.State) (found bool) {
	if r.Scatter.Scale > 1 {
		return false
	}
	for _, i := range r.Problem.Rows {
		if o := &r.Session.Log.Readings[i]; readings.Same(&o.State, s) {
			if !o.FromDigits || o.Repeats != nil {
				return false
			}
			found = true
		}
	}
	return found
}

// withRows returns r as it would be with further rows.
func withRows(r *estimation.Result, rows []evidence) *estimation.Result {
	e := *r
	var now, stated [][]float64
	for _, o := range rows {
		now, stated = append(now, o.now), append(stated, o.stated)
	}
	e.Covariance, e.StatedCovariance, e.Apart = fit.Must(r.Covariance.With(now...)), fit.Must(r.StatedCovariance.With(stated...)), true
	e.Shares = r.Problem.SharesOf(e.Covariance, e.Solution.X)
	for _, o := range rows {
		if o.hand > 0 { // the law is then read there
			e.Problem = readAt(e.Problem, o.hand)
		}
		if o.known {
			if err := e.Shares.Add(o.now, int(estimation.FromKnown)); err != nil {
				panic(err)
			}
		}
	}
	return &e
}

// readAt returns p with one more distance of a hand read.
func readAt(p *estimation.Problem, d float64) *estimation.Problem {
	q, f := *p, *p.Model
	f.Distances = append(slices.Clip(f.Distances), d)
	slices.Sort(f.Distances)
	f.Distances = slices.Compact(f.Distances)
	q.Model = &f
	return &q
}
