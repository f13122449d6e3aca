package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Sessions of one coil with the same parts, whose tolerances the two logs state alike or
// not, and with one known value: differences scatter as told (Monte Carlo, the parts' true
// values common to both), by about one standard uncertainty; and by chance hardly any
// is called moved. The tolerances differing in a digit hardly matters.
func TestDifferencesScatterAsTold(t *testing.T) {
	const noise, sessions = 2e-4, 60
	equal := 0.0
	c := simulated.Lighthouse()
	steps := []simulated.Step{simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(4.7, 10), simulated.Added(), simulated.Added().Rod(1), simulated.Added(10).Rod(1)}
	for _, k := range []struct {
		what   string
		factor float64 // of B's tolerances
		known  bool
		apart  float64 // how far the uncertainty may be from that with equal tolerances
	}{
		{"equal tolerances", 1, false, 0},
		{"4.9 for 5 %", 0.98, false, 0.03},
		{"2 for 5 %", 0.4, false, 5},
		{"one known inductance", 1, true, 0.3},
	} {
		var mean, squares, alone, moved, tested, n float64
		for i := range uint64(sessions) {
			rng := rand.New(rand.NewPCG(111, i))
			log, actual := c.SessionOf(rng, noise, 0.025*k.factor, steps...) // true values as the better statement has them
			second := log
			second.Readings = append([]readings.Reading(nil), log.Readings...)
			for j := range second.Readings {
				o := &second.Readings[j]
				o.Frequency = c.Frequency(o.State, actual) * (1 + noise*rng.NormFloat64())
			}
			log.Parts = append([]readings.Part(nil), log.Parts...)
			for j := range log.Parts {
				log.Parts[j].Uncertainty /= k.factor
			}
			a, b := estimation.Session{Log: log}, estimation.Session{Log: second}
			if k.known {
				l := []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: c.L * (1 + 0.02*rng.NormFloat64()), Uncertainty: 0.02 * c.L}}
				a.Known, b.Known = l, l
			}
			compared := decisions.Compare(mustFit(t, a).Result, mustFit(t, b).Result)
			for _, change := range compared.Changes {
				d := change.Difference
				if change.A.Name == quantities.EffectiveInductance {
					squares += change.Sigmas * change.Sigmas
					n++
					mean += d.Uncertainty / sessions
				}
				if d.Determined && !(d.Stated <= d.Uncertainty && d.Stated > 0) {
					t.Errorf("%s, %s: ± %v stated, ± %v enlarged", k.what, d.Name, d.Stated, d.Uncertainty)
				}
				if change.Alone {
					alone++
				}
				if change.Moved {
					moved++
				}
			}
			tested += float64(compared.Tested)
		}
		if equal == 0 {
			equal = mean
		}
		if !(math.Abs(mean/equal-1) <= k.apart) {
			t.Errorf("%s: ± %v on average, with equal tolerances ± %v", k.what, mean, equal)
		}
		rms := math.Sqrt(squares / n)
		t.Logf("%s: effective inductance off by %.2f σ rms; of %v differences %v outside their interval, %v called moved", k.what, rms, tested, alone, moved)
		if rms < 0.7 || rms > 1.25 {
			t.Errorf("%s: differences off by %v σ rms", k.what, rms)
		}
		if alone > 0.08*tested || moved > 0.006*tested {
			t.Errorf("%s: of %v differences %v outside their interval, %v called moved", k.what, tested, alone, moved)
		}
	}
}

// The degrees of freedom of a difference are those of both together: with readings that
// scatter in both sessions, more than of the poorer alone (JCGM 100:2008, G.4.1).
func TestDifferenceHasItsOwnCoverageFactor(t *testing.T) {
	c := simulated.Lighthouse()
	log := func(seed uint64) readings.Log {
		l := c.Session(rand.New(rand.NewPCG(112, seed)), 1e-3, 0, simulated.Added(), simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(4.7))
		for i := range l.Readings {
			l.Readings[i].Uncertainty /= 20
		}
		return l
	}
	a, b := mustFit(t, estimation.Session{Log: log(1)}), mustFit(t, estimation.Session{Log: log(2)})
	for _, change := range decisions.Compare(a.Result, b.Result).Changes {
		if change.A.Name != quantities.BareFrequency {
			continue
		}
		k := (change.Difference.Interval[1] - change.Difference.Value) / change.Difference.Uncertainty
		of := func(_ *Result, e *quantities.Estimate) float64 { return e.Coverage }
		if worst := math.Max(of(a, &change.A), of(b, &change.B)); !(k > 1.96 && k < 0.95*worst) {
			t.Errorf("coverage factor %v, of each %v and %v", k, of(a, &change.A), of(b, &change.B))
		}
		return
	}
	t.Error("no bare frequency")
}
