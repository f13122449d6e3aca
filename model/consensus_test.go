package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
)

// Four sessions of one coil with the same parts: what is read is known twice as well, what
// the tolerances of the parts bring stays. A coil that changed by a percent on one day makes
// a variance between sessions, and that day stands out.
func TestConsensusOfSessions(t *testing.T) {
	days := func(change float64) (list []*estimation.Result) {
		for seed := range uint64(4) {
			log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(73, seed)), 1e-4, 0, night()...)
			for i := range log.Parts {
				log.Parts[i].Uncertainty = 0.02 * log.Parts[i].Capacitance
			}
			for i := range log.Readings {
				if seed == 3 {
					log.Readings[i].Frequency *= 1 + change
				}
			}
			r := must.Get(estimation.Fit(estimation.Session{Log: log})).In(t)
			list = append(list, r)
		}
		return list
	}
	find := func(list []decisions.Agreed, name string) *decisions.Agreed {
		for i := range list {
			if list[i].Name == name {
				return &list[i]
			}
		}
		t.Fatalf("no consensus of %s", name)
		return nil
	}
	same := decisions.Agree(days(0))
	f, l := find(same, quantities.BareFrequency), find(same, quantities.EffectiveInductance)
	own, shared := f.Own[0], math.Sqrt(math.Pow(l.Sessions[0].Uncertainty, 2)-l.Own[0]*l.Own[0])
	if f.PValue < 0.01 || f.Uncertainty < 0.4*own || f.Uncertainty > 0.9*own {
		t.Errorf("frequency ± %g from sessions of ± %g, p = %g", f.Uncertainty, own, f.PValue)
	}
	if l.Uncertainty < 0.8*shared || l.Uncertainty > l.Sessions[0].Uncertainty {
		t.Errorf("inductance ± %g, of which the sessions share ± %g", l.Uncertainty, shared)
	}
	if !(math.Abs(l.Value-l.Sessions[0].Value) <= 3*l.Own[0]) {
		t.Errorf("consensus %g, first session %g", l.Value, l.Sessions[0].Value)
	}
	changed := find(decisions.Agree(days(0.01)), quantities.BareFrequency)
	if changed.PValue > 1e-6 || changed.Between < 0.002*changed.Value || changed.Between > 0.01*changed.Value || changed.Sigmas[3] < 1.4 {
		t.Errorf("a change of 1 %%: p = %g, between %g, the fourth session %g σ", changed.PValue, changed.Between/changed.Value, changed.Sigmas[3])
	}
}
