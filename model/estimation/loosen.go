package estimation

import (
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/quantities"
)

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
