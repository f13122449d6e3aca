package estimation

import (
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Enlarged is a fit with the readings' uncertainties enlarged as their scatter
// asks.
type Enlarged struct {
	fit.Result             // Scale: what the model's own uncertainty in a state is enlarged by
	Judgement  fit.Scatter // by the stated uncertainties; Scale: what the readings' are enlarged by, Redundancy: that this comes from
	Judged     fit.Result  // with that scale for all alike, by which the model is judged
}

// mostReweighed is how often the model's own uncertainty is taken anew at most; once or
// twice is enough where the readings determine the core's gain.
const mostReweighed = 5

// Enlarge solves p from x with the readings' uncertainties enlarged as their
// scatter asks.
//
// Where the model adds an uncertainty of its own, as for a winding partly covered,
// only readings without it can tell how much more than stated readings scatter; it
// is no reading that errs there. They are asked first, and what is left over then
// enlarges all: a counter's readings, stated to a millionth, would else enlarge an
// uncertainty of a thousandth by what the line is off. Where that makes them no
// better than the model, one misread value is the likelier reason, and all are
// enlarged alike.
func (p *Problem) Enlarge(x []float64, s fit.Settings) (e Enlarged, err error) {
	p.spread(1)
	if e.Result, e.Judgement, err = p.Solve(x, true, s); err != nil {
		return e, err
	}
	for range mostReweighed {
		if !e.Status.Converged() || !p.Reweigh(e.X) {
			break
		}
		if e.Result, e.Judgement, err = p.Solve(slices.Clone(e.X), true, s); err != nil {
			return e, err
		}
	}
	e.Judged = e.Result
	if !e.Status.Converged() || e.Judgement.Scale == 1 {
		return e, nil
	}
	plain := p.withoutModel()
	if plain == nil {
		return e, nil
	}
	first, scatter, err := plain.Solve(slices.Clone(e.X), true, s)
	if err != nil || !first.Status.Converged() || !(scatter.Scale > 1) || !p.finer(scatter.Scale) {
		return e, nil
	}
	p.spread(scatter.Scale)
	second, rest, err := p.Solve(slices.Clone(e.X), true, s)
	if err != nil || !second.Status.Converged() {
		p.spread(1)
		return e, nil
	}
	second.ScaleDegrees = math.Min(first.ScaleDegrees, second.ScaleDegrees)
	e.Result, e.Judgement.Scale, e.Judgement.Redundancy = second, scatter.Scale*rest.Scale, scatter.Redundancy
	return e, nil
}

// Reweigh takes what the model adds to the readings' uncertainties from where a fit
// has come to, and tells whether that changes anything.
func (p *Problem) Reweigh(x []float64) (changed bool) {
	const little = 2e-4
	for k, i := range p.Rows {
		r := &p.Log.Readings[i]
		if !r.State.Partly() && r.Primary.Kind == readings.PrimaryOpen {
			continue
		}
		if p.Place(&r.State) >= 0 {
			if m := p.ModelUncertainty(x, &r.State); quantities.Finite(m) && math.Abs(m-p.model[k]) > little*p.model[k] {
				p.model[k], changed = m, true
			}
		}
		u := p.among(x, k)
		if quantities.Finite(u) && math.Abs(u-p.Weighed[k]) > little*p.Weighed[k] {
			p.Weighed[k], changed = u, true
			p.stated = nil
		}
	}
	return changed
}

// finer tells whether all readings, enlarged by scale, err by no more than a quarter of
// what the model adds to them, where it does.
func (p *Problem) finer(scale float64) bool {
	for k, i := range p.Rows {
		o := &p.Log.Readings[i]
		u := p.Factor(k) * o.Uncertainty
		model := math.Sqrt(math.Max(0, p.Weighed[k]*p.Weighed[k]-u*u))
		if p.model != nil {
			model = math.Max(model, p.model[k]*o.Frequency)
		}
		if model > 0 && scale*u > model/4 {
			return false
		}
	}
	return true
}

// spread makes the readings' uncertainties scale times those stated, and leaves the
// model's own as it is.
func (p *Problem) spread(scale float64) {
	if scale == 1 {
		if p.stated != nil {
			copy(p.Weighed, p.stated)
		}
		return
	}
	if p.stated == nil {
		p.stated = slices.Clone(p.Weighed)
	}
	for k, i := range p.Rows {
		u := p.Factor(k) * p.Log.Readings[i].Uncertainty
		p.Weighed[k] = math.Sqrt(p.stated[k]*p.stated[k] + (scale*scale-1)*u*u)
	}
}

// byStated does what has to be done by the stated uncertainties.
func (p *Problem) byStated(do func()) {
	now, wide := slices.Clone(p.Weighed), p.Wide
	if p.stated != nil {
		copy(p.Weighed, p.stated)
	}
	if wide > 1 {
		p.Wide = 1
		p.Prior = p.Priors(p.Anchors)
	}
	do()
	copy(p.Weighed, now)
	if wide > 1 {
		p.Wide = wide
		p.Prior = p.Priors(p.Anchors)
	}
}

// withoutModel returns p with only the readings to whose uncertainty the model adds
// nothing; nil where these are none or all.
func (p *Problem) withoutModel() *Problem {
	q := *p
	q.Rows, q.Weighed, q.stated, q.model, q.factors = nil, nil, nil, nil, nil
	for k, i := range p.Rows {
		if r := &p.Log.Readings[i]; !r.State.Partly() {
			q.Rows = append(q.Rows, i)
			q.Weighed = append(q.Weighed, p.Weighed[k])
			if p.model != nil {
				q.model = append(q.model, p.model[k])
			}
			if p.factors != nil {
				q.factors = append(q.factors, p.factors[k])
			}
		}
	}
	if len(q.Rows) == 0 || len(q.Rows) == len(p.Rows) {
		return nil
	}
	if p.table != nil {
		q.table = newStateTable(p.Log, q.Rows)
	}
	q.countAlike()
	q.ByOwn()
	return &q
}

// ByOwn gives a copy of a problem its own rows and weights, the stated ones.
func (p *Problem) ByOwn() {
	if p.stated != nil {
		p.Weighed, p.stated = p.stated, nil
	}
	p.Weighed = slices.Clone(p.Weighed)
	p.model = slices.Clone(p.model)
	p.Data = p.dataRows()
}

// loosen fits again with looser priors on lead and drift where e contradicts them: where
// it moved them far, or the readings scatter, since a prior that is held for true may cost
// scatter instead.
func (p *Problem) loosen(e Enlarged, s fit.Settings) (Enlarged, error) {
	if !e.Status.Converged() || p.BenchFixed {
		return e, nil
	}
	for _, k := range []int{p.Drift, p.Lead} {
		if k < 0 || k == p.Drift && p.Knows(quantities.Drift) || k == p.Lead && p.Knows(quantities.LeadCapacitance) {
			continue
		}
		if e.Judgement.PValue >= 0.05 && !p.contradicted(e, k) {
			continue
		}
		p.Loose = append(p.Loose, k)
		p.Prior = p.Priors(p.Anchors)
		other, err := p.Enlarge(slices.Clone(e.X), s)
		if err != nil {
			return e, err
		}
		if other.Status.Converged() && p.contradicted(other, k) {
			e = other
			continue
		}
		p.Loose = p.Loose[:len(p.Loose)-1]
		p.Prior = p.Priors(p.Anchors)
		if e, err = p.Enlarge(e.X, s); err != nil { // its weights again
			return e, err
		}
	}
	return e, nil
}

// contradicted tells whether e contradicts that unknown k is near zero, by the scatter of the
// readings; where they are so few that they tell nothing of their scatter, it doesn't.
func (p *Problem) contradicted(e Enlarged, k int) bool {
	v, u := p.ByReadings(e, k)
	return e.Judgement.Redundancy >= 1 && math.Abs(v) > fit.CoverageFactor(contradicts, e.ScaleDegrees)*math.Hypot(u, 1)
}

// ByReadings returns what all but its own prior make of unknown k, with its standard
// uncertainty: with h the prior's leverage, the share of the prior's variance that is left,
// x/(1 − h) and √(h/(1 − h)), both in units of the prior's standard deviation.
func (p *Problem) ByReadings(e Enlarged, k int) (v, u float64) {
	variance, _ := e.Covariance().Variance(Unit(p.N, k))
	room := p.room(k)
	h := math.Min(variance/(room*room), 1-1e-12)
	return e.X[k] / (1 - h), room * math.Sqrt(h/(1-h))
}
