package model

import (
	"math"
	"slices"

	"fitcoil/fit"
)

// Where readings contradict that there is hardly a lead or a drift, they are believed: the
// prior then is looser by a factor, lest it take a real drift for scatter.
const (
	looser      = 40
	contradicts = 0.954 // level of confidence with which readings contradict a prior: two standard deviations
)

// rulesOut tells whether it is known that there is exactly none of a quantity of the bench.
func rulesOut(known []Known, name string) bool {
	return slices.ContainsFunc(known, func(k Known) bool { return k.Name == name && k.Value == 0 && k.Uncertainty == 0 })
}

// believe gives p the priors on lead and drift of another fit of the same log.
func (p *problem) believe(other *problem) {
	p.held, p.loose = other.held, nil
	for _, k := range other.loose {
		switch k {
		case other.lead:
			p.loose = append(p.loose, p.lead)
		case other.drift:
			p.loose = append(p.loose, p.drift)
		}
	}
	p.Prior = p.priors(other.anchors)
}

// room returns the standard deviation of the prior of unknown k, in its own units. Readings
// so muddled that no fit converges are tried again with next to none.
func (p *problem) room(k int) float64 {
	switch {
	case p.held:
		return 1e-3
	case slices.Contains(p.loose, k):
		return looser
	}
	return 1
}

// loosen fits again with looser priors on lead and drift where e contradicts them: where
// it moved them far, or the readings scatter, since a prior that is held for true may cost
// scatter instead.
func (p *problem) loosen(e enlarged, s fit.Settings) (enlarged, error) {
	if !e.Status.Converged() || p.held {
		return e, nil
	}
	for _, k := range []int{p.drift, p.lead} {
		if k < 0 || k == p.drift && p.knows(Drift) || k == p.lead && p.knows(LeadCapacitance) {
			continue
		}
		if e.scatter.PValue >= 0.05 && !p.contradicted(e, k) {
			continue
		}
		p.loose = append(p.loose, k)
		p.Prior = p.priors(p.anchors)
		other, err := p.enlarge(slices.Clone(e.X), s)
		if err != nil {
			return e, err
		}
		if other.Status.Converged() && p.contradicted(other, k) {
			e = other
			continue
		}
		p.loose = p.loose[:len(p.loose)-1]
		p.Prior = p.priors(p.anchors)
		if e, err = p.enlarge(e.X, s); err != nil { // its weights again
			return e, err
		}
	}
	return e, nil
}

// contradicted tells whether e contradicts that unknown k is near nil, by the scatter of the
// readings; where they are so few that they tell nothing of their scatter, it doesn't.
func (p *problem) contradicted(e enlarged, k int) bool {
	v, u := p.byReadings(e, k)
	return e.scatter.Redundancy >= 1 && math.Abs(v) > fit.CoverageFactor(contradicts, e.ScaleDegrees)*math.Hypot(u, 1)
}

// byReadings returns what all but its own prior make of unknown k, with its standard
// uncertainty: with h the prior's leverage, the share of the prior's variance that is left,
// x/(1 − h) and √(h/(1 − h)), both in units of the prior's standard deviation.
func (p *problem) byReadings(e enlarged, k int) (v, u float64) {
	variance, _ := e.Covariance().Variance(unit(p.n, k))
	room := p.room(k)
	h := math.Min(variance/(room*room), 1-1e-12)
	return e.X[k] / (1 - h), room * math.Sqrt(h/(1-h))
}

// benchPriors adds what is believed of lots, lead and drift.
func (p *problem) benchPriors(add func(o origin, a Assumption, at int, mean, sigma float64)) {
	for _, l := range p.lots {
		add(fromCommon, p.assumedCommon(l), l.at, 0, 1)
	}
	if p.lead >= 0 && !p.knows(LeadCapacitance) {
		room := p.room(p.lead)
		add(fromBench, assume(AssumedLead, 0, room*leadSigma), p.lead, 0, room)
	}
	if p.drift >= 0 && !p.knows(Drift) {
		room := p.room(p.drift)
		add(fromBench, assume(AssumedDrift, 0, room*driftSigma), p.drift, 0, room)
	}
}
