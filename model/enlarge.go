package model

import (
	"math"
	"slices"

	"fitcoil/fit"
)

// enlarged is a fit with the readings' uncertainties enlarged as their scatter
// asks.
type enlarged struct {
	fit.Result             // Scale: what the model's own uncertainty in a state is enlarged by
	scatter    fit.Scatter // by the stated uncertainties; Scale: what the readings' are enlarged by, Redundancy: that this rests on
	judged     fit.Result  // with that scale for all alike, by which the model is judged
}

// mostReweighed is how often the model's own uncertainty is taken anew at most; once or
// twice is enough where the readings determine the core's gain.
const mostReweighed = 5

// enlarge solves p from x with the readings' uncertainties enlarged as their
// scatter asks.
//
// Where the model adds an uncertainty of its own, as for a winding partly covered,
// only readings without it can tell how much more than stated readings scatter; it
// is no reading that errs there. They are asked first, and what is left over then
// enlarges all: a counter's readings, stated to a millionth, would else enlarge an
// uncertainty of a thousandth by what the line is off. Where that makes them no
// better than the model, one misread value is the likelier reason, and all are
// enlarged alike.
func (p *problem) enlarge(x []float64, s fit.Settings) (e enlarged, err error) {
	p.spread(1)
	if e.Result, e.scatter, err = p.solve(x, true, s); err != nil {
		return e, err
	}
	for range mostReweighed {
		if !e.Status.Converged() || !p.reweigh(e.X) {
			break
		}
		if e.Result, e.scatter, err = p.solve(slices.Clone(e.X), true, s); err != nil {
			return e, err
		}
	}
	e.judged = e.Result
	if !e.Status.Converged() || e.scatter.Scale == 1 {
		return e, nil
	}
	plain := p.withoutModel()
	if plain == nil {
		return e, nil
	}
	first, scatter, err := plain.solve(slices.Clone(e.X), true, s)
	if err != nil || !first.Status.Converged() || !(scatter.Scale > 1) || !p.finer(scatter.Scale) {
		return e, nil
	}
	p.spread(scatter.Scale)
	second, rest, err := p.solve(slices.Clone(e.X), true, s)
	if err != nil || !second.Status.Converged() {
		p.spread(1)
		return e, nil
	}
	second.ScaleDegrees = math.Min(first.ScaleDegrees, second.ScaleDegrees)
	e.Result, e.scatter.Scale, e.scatter.Redundancy = second, scatter.Scale*rest.Scale, scatter.Redundancy
	return e, nil
}

// reweigh takes what the model adds to the readings' uncertainties from where a fit
// has come to, and tells whether that changes anything.
func (p *problem) reweigh(x []float64) (changed bool) {
	const little = 1e-3
	for k, i := range p.rows {
		r := &p.log.Readings[i]
		if !r.State.partly() {
			continue
		}
		if p.place(&r.State) >= 0 {
			if m := p.modelUncertainty(x, &r.State); finite(m) && math.Abs(m-p.model[k]) > little*p.model[k] {
				p.model[k], changed = m, true
			}
		}
		u := p.among(x, k)
		if finite(u) && math.Abs(u-p.weighed[k]) > little*p.weighed[k] {
			p.weighed[k], changed = u, true
			p.stated = nil
		}
	}
	return changed
}

// finer tells whether all readings, enlarged by scale, err by no more than a quarter of
// what the model adds to them, where it does.
func (p *problem) finer(scale float64) bool {
	for k, i := range p.rows {
		o := &p.log.Readings[i]
		u := p.factor(k) * o.Uncertainty
		model := math.Sqrt(math.Max(0, p.weighed[k]*p.weighed[k]-u*u))
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
func (p *problem) spread(scale float64) {
	if scale == 1 {
		if p.stated != nil {
			copy(p.weighed, p.stated)
		}
		return
	}
	if p.stated == nil {
		p.stated = slices.Clone(p.weighed)
	}
	for k, i := range p.rows {
		u := p.factor(k) * p.log.Readings[i].Uncertainty
		p.weighed[k] = math.Sqrt(p.stated[k]*p.stated[k] + (scale*scale-1)*u*u)
	}
}

// byStated does what has to be done by the stated uncertainties.
func (p *problem) byStated(do func()) {
	if p.stated == nil {
		do()
		return
	}
	now := slices.Clone(p.weighed)
	copy(p.weighed, p.stated)
	do()
	copy(p.weighed, now)
}

// withoutModel returns p with only the readings to whose uncertainty the model adds
// nothing; nil where these are none or all.
func (p *problem) withoutModel() *problem {
	q := *p
	q.rows, q.weighed, q.stated, q.model, q.alike = nil, nil, nil, nil, nil
	for k, i := range p.rows {
		if r := &p.log.Readings[i]; !r.State.partly() {
			q.rows = append(q.rows, i)
			q.weighed = append(q.weighed, p.weighed[k])
			if p.model != nil {
				q.model = append(q.model, p.model[k])
			}
			if p.alike != nil {
				q.alike = append(q.alike, p.alike[k])
			}
		}
	}
	if len(q.rows) == 0 || len(q.rows) == len(p.rows) {
		return nil
	}
	if p.table != nil {
		q.table = newStateTable(p.log, q.rows)
	}
	q.countAlike()
	q.byOwn()
	return &q
}

// byOwn gives a copy of a problem its own rows and weights, the stated ones.
func (p *problem) byOwn() {
	if p.stated != nil {
		p.weighed, p.stated = p.stated, nil
	}
	p.weighed = slices.Clone(p.weighed)
	p.Data = p.dataRows()
}
