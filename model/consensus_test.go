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
	list := decisions.Agree(days(0.01))
	changed := find(list, quantities.BareFrequency)
	if at, session := decisions.Furthest(list); at < 0 || list[at].PValue > changed.PValue || session != 3 || !changed.Differs {
		t.Errorf("the fourth session stands out, not %d", session)
	}
	if changed.PValue > 1e-6 || changed.Between < 0.002*changed.Value || changed.Between > 0.01*changed.Value || changed.Sigmas[3] < 1.4 {
		t.Errorf("a change of 1 %%: p = %g, between %g, the fourth session %g σ", changed.PValue, changed.Between/changed.Value, changed.Sigmas[3])
	}
}

// Sessions of unlike readings, one with all parts and one with two, know these parts and the
// inductance differently well, and what a part is off by shifts them differently. That is no
// change of the coil: of 40 pairs of sessions with the same kit at most two may be called one.
// In each there is a consensus on what only one session has, as that session's own.
func TestSessionsOfUnlikeReadings(t *testing.T) {
	few := []simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added()}
	const pairs = 40
	differ := 0
	for seed := range uint64(pairs) {
		rng := rand.New(rand.NewPCG(seed, 67))
		kit := map[float64]float64{}
		for _, pF := range []float64{4.7, 10, 22} {
			kit[pF] = 0.03 * rng.NormFloat64()
		}
		var list []*estimation.Result
		for _, steps := range [][]simulated.Step{night(), few} {
			r, err := estimation.Fit(estimation.Session{Log: simulated.Lighthouse().With(kit).Session(rng, 1e-4, 0.03, steps...)})
			if err != nil {
				t.Fatal(err)
			}
			list = append(list, r)
		}
		agreed := decisions.Agree(list)
		if at, session := decisions.Furthest(agreed); at >= 0 {
			differ++
			t.Logf("%d: %s differs, p = %g", seed, agreed[at].Name, agreed[at].PValue)
			if session >= 0 {
				t.Error("one of two stands out")
			}
		}
		for _, a := range agreed {
			own := list[0].Find(a.Key)
			if a.Name == quantities.CoreGain && (a.Count() != 1 || a.Sessions[1] != nil || a.Value != own.Value || a.Uncertainty != own.Uncertainty || !math.IsNaN(a.PValue) || a.Differs) {
				t.Errorf("%d: gain %+v", seed, a)
			}
			if a.Name == quantities.Inductance && a.Between == 0 && list[0].Problem.Wide == list[1].Problem.Wide && !(a.Uncertainty <= 1.0001*math.Min(own.Uncertainty, list[1].Find(a.Key).Uncertainty)) {
				t.Errorf("%d: inductance ± %g of ± %g and ± %g", seed, a.Uncertainty, own.Uncertainty, list[1].Find(a.Key).Uncertainty)
			}
		}
	}
	t.Logf("%d of %d pairs differ", differ, pairs)
	if differ > 2 {
		t.Errorf("%d of %d pairs of one coil are said to differ", differ, pairs)
	}
}
