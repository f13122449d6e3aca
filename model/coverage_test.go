package model

import (
	"math"
	"math/rand/v2"
	"testing"
)

// covers simulates n sessions and returns, by quantity, how many 95 % intervals
// hold the truth. What Fit adds to fitOnly tells of the readings, and is left out for
// time.
func covers(t *testing.T, n int, make func(rng *rand.Rand) Session, truths map[string]float64, labels map[string][2]string) map[string]int {
	t.Helper()
	hit := map[string]int{}
	failed := 0
	for i := range n {
		r, err := fitOnly(make(rand.New(rand.NewPCG(77, uint64(i)))))
		if err != nil {
			failed++
			continue
		}
		for name, want := range truths {
			e := r.Find(name, labels[name][0], labels[name][1], 0)
			if e.Determined && e.Interval[0] <= want && want <= e.Interval[1] {
				hit[name]++
			}
		}
	}
	if failed > 0 {
		t.Errorf("%d of %d sessions failed", failed, n)
	}
	return hit
}

// checkCoverage simulates n sessions, or as many as there is time for, and
// expects 95 % of the intervals of each quantity to hold the truth.
func checkCoverage(t *testing.T, n int, make func(rng *rand.Rand) Session, truths map[string]float64, labels map[string][2]string) {
	t.Helper()
	done := repetitions(n)
	hit := covers(t, done, make, truths, labels)
	for name := range truths {
		t.Logf("%s: %d of %d", name, hit[name], done)
		if !covers95(hit[name], done, n) {
			t.Errorf("%s: %d of %d 95 %% intervals cover", name, hit[name], done)
		}
	}
}

// Simulated sessions of exact capacitors: the 95 % intervals of inductance and
// capacitance hold the truth in 95 % of them.
func TestCoverageOfInductanceAndCapacitance(t *testing.T) {
	c := lighthouse()
	l, capacitance, _ := c.bare()
	steps := []step{added(), added(), added(2.2), added(2.2), added(4.7), added(4.7), added(10), added(10), added(22), added(22)}
	checkCoverage(t, 2000, func(rng *rand.Rand) Session {
		return idealBench(Session{Log: c.session(rng, 3e-4, 0, steps...)})
	}, map[string]float64{Inductance: c.l, WindingCapacitance: c.cw, EffectiveInductance: l, EffectiveCapacitance: capacitance}, nil)
}

// Sessions in which each part is off its nominal value by its tolerance, in all
// readings alike: the intervals still hold. With the parts taken as exact they
// don't: that is what the shared error of a part is for.
func TestCoverageWithTolerances(t *testing.T) {
	c := lighthouse()
	_, capacitance, _ := c.bare()
	truths := map[string]float64{Inductance: c.l, EffectiveCapacitance: capacitance, CoreGain: c.gain, PartCapacitance: c.spike}
	labels := map[string][2]string{CoreGain: {"rod", ""}, PartCapacitance: {"", "spike"}}
	simulate := func(rng *rand.Rand) Session {
		// A core's capacitance is as the belief on it says: a belief that is
		// always nearly right would make intervals too wide for the truth.
		c := c
		c.core = c.cw * math.Expm1(coreSigma*rng.NormFloat64())
		c.gain = 1 + (c.gain-1)*(1+couplingMean+couplingSigma*rng.NormFloat64())
		return idealBench(Session{Log: c.session(rng, 3e-4, 0.025, fullSession()...)})
	}
	checkCoverage(t, 3000, simulate, truths, labels)
	n := repetitions(1000)
	ignored := covers(t, n, func(rng *rand.Rand) Session {
		s := simulate(rng)
		for i := range s.Log.Parts {
			s.Log.Parts[i].Uncertainty = 0
		}
		return s
	}, truths, labels)
	if ignored[Inductance] > n*9/10 {
		t.Errorf("with the parts' errors ignored, %d of %d intervals of the inductance still cover", ignored[Inductance], n)
	}
}
