package model

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Sessions of one coil with the same parts, whose tolerances the two logs state alike or
// not, and with one known value: differences scatter as told (Monte Carlo, the parts' true
// values common to both), by about one standard uncertainty; and by chance hardly any
// is called moved. The tolerances differing in a digit hardly matters.
func TestDifferencesScatterAsTold(t *testing.T) {
	const noise, sessions = 2e-4, 60
	equal := 0.0
	c := lighthouse()
	steps := []step{added(), added(2.2), added(4.7), added(10), added(22), added(4.7, 10), added(), added().rod(1), added(10).rod(1)}
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
			log, actual := c.sessionOf(rng, noise, 0.025*k.factor, steps...) // true values as the better statement has them
			second := log
			second.Readings = append([]Reading(nil), log.Readings...)
			for j := range second.Readings {
				o := &second.Readings[j]
				o.Frequency = c.frequency(o.State, actual) * (1 + noise*rng.NormFloat64())
			}
			log.Parts = append([]Part(nil), log.Parts...)
			for j := range log.Parts {
				log.Parts[j].Uncertainty /= k.factor
			}
			a, b := Session{Log: log}, Session{Log: second}
			if k.known {
				l := []Known{{Name: Inductance, Value: c.l * (1 + 0.02*rng.NormFloat64()), Uncertainty: 0.02 * c.l}}
				a.Known, b.Known = l, l
			}
			compared := Compare(mustFit(t, a).Result, mustFit(t, b).Result)
			for _, change := range compared.Changes {
				d := change.Difference
				if change.A.Name == EffectiveInductance {
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
		if math.Abs(mean/equal-1) > k.apart {
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
	c := lighthouse()
	log := func(seed uint64) Log {
		l := c.session(rand.New(rand.NewPCG(112, seed)), 1e-3, 0, added(), added(), added(4.7), added(10), added(22), added(4.7))
		for i := range l.Readings {
			l.Readings[i].Uncertainty /= 20
		}
		return l
	}
	a, b := mustFit(t, Session{Log: log(1)}), mustFit(t, Session{Log: log(2)})
	for _, change := range Compare(a.Result, b.Result).Changes {
		if change.A.Name != BareFrequency {
			continue
		}
		k := (change.Difference.Interval[1] - change.Difference.Value) / change.Difference.Uncertainty
		of := func(r *Answer, e *Estimate) float64 { return r.coverageFactor(e.Budget) }
		if worst := math.Max(of(a, &change.A), of(b, &change.B)); !(k > 1.96 && k < 0.95*worst) {
			t.Errorf("coverage factor %v, of each %v and %v", k, of(a, &change.A), of(b, &change.B))
		}
		return
	}
	t.Error("no bare frequency")
}
