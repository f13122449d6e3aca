package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/repeat"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/resonator"
)

// covers simulates n sessions and returns, by quantity, how many 95 % intervals
// hold the truth, and the rms of how many of its stated standard uncertainties each is off. What Fit adds to fitOnly tells of the readings, and is left out for
// time.
func covers(t *testing.T, n int, make func(rng *rand.Rand) estimation.Session, truths map[string]float64, labels map[string][2]string) (hit map[string]int, z map[string]float64) {
	t.Helper()
	hit, z = map[string]int{}, map[string]float64{}
	squares, told := map[string]float64{}, map[string]float64{}
	failed := 0
	for i := range n {
		r, err := estimation.Fit(make(rand.New(rand.NewPCG(77, uint64(i)))))
		if err != nil {
			failed++
			continue
		}
		for name, want := range truths {
			e := r.Find(quantities.Key{Name: name, Core: labels[name][0], Part: labels[name][1]})
			if e.Determined && e.Interval[0] <= want && want <= e.Interval[1] {
				hit[name]++
			}
			if e.Determined {
				told[name]++
				squares[name] += math.Pow((e.Value-want)/e.Stated, 2)
				z[name] = math.Sqrt(squares[name] / told[name])
			}
		}
	}
	if failed > 0 {
		t.Errorf("%d of %d sessions failed", failed, n)
	}
	return hit, z
}

// checkCoverage simulates n sessions, or as many as there is time for, and
// expects 95 % of the intervals of each quantity to hold the truth.
func checkCoverage(t *testing.T, n int, make func(rng *rand.Rand) estimation.Session, truths map[string]float64, labels map[string][2]string) {
	t.Helper()
	done := repeat.Times(n)
	hit, _ := covers(t, done, make, truths, labels)
	for name := range truths {
		t.Logf("%s: %d of %d", name, hit[name], done)
		if !repeat.Covers95(hit[name], done, n) {
			t.Errorf("%s: %d of %d 95 %% intervals cover", name, hit[name], done)
		}
	}
}

// Simulated sessions of exact capacitors: the 95 % intervals of inductance and
// capacitance hold the truth in 95 % of them.
func TestCoverageOfInductanceAndCapacitance(t *testing.T) {
	c := simulated.Lighthouse()
	l, capacitance, _ := c.Bare()
	steps := []simulated.Step{simulated.Added(), simulated.Added(), simulated.Added(2.2), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(4.7), simulated.Added(10), simulated.Added(10), simulated.Added(22), simulated.Added(22)}
	checkCoverage(t, 2000, func(rng *rand.Rand) estimation.Session {
		return idealBench(estimation.Session{Log: c.Session(rng, 3e-4, 0, steps...)})
	}, map[string]float64{quantities.Inductance: c.L, quantities.WindingCapacitance: c.Cw, quantities.EffectiveInductance: l, quantities.EffectiveCapacitance: capacitance}, nil)
}

// Sessions in which each part is off its nominal value by its tolerance, in all
// readings alike: the intervals still hold. With the parts taken as exact they
// don't: that is what the shared error of a part is for.
func TestCoverageWithTolerances(t *testing.T) {
	c := simulated.Lighthouse()
	_, capacitance, _ := c.Bare()
	truths := map[string]float64{quantities.Inductance: c.L, quantities.EffectiveCapacitance: capacitance, quantities.CoreGain: c.Gain, quantities.PartCapacitance: c.Spike}
	labels := map[string][2]string{quantities.CoreGain: {"rod", ""}, quantities.PartCapacitance: {"", "spike"}}
	simulate := func(rng *rand.Rand) estimation.Session {
		// A core's capacitance is as the belief on it says: a belief that is
		// always nearly right would make intervals too wide for the truth.
		c := c
		c.Core = c.Cw * math.Expm1(estimation.CoreSigma*rng.NormFloat64())
		c.Moved = resonator.MovedMean * math.Exp(resonator.MovedSigma*rng.NormFloat64())
		return idealBench(estimation.Session{Log: c.Session(rng, 3e-4, 0.025, simulated.FullSession()...)})
	}
	// Three or four tolerances check one another here, too few to trust them without end:
	// intervals are wider for that, by their factor and not by their standard uncertainty, and cover
	// 95 to 99 %.
	all := 3000
	done := repeat.Times(all)
	hit, z := covers(t, done, simulate, truths, labels)
	for name := range truths {
		t.Logf("%s: %d of %d, off by %.3f stated standard uncertainties rms", name, hit[name], done, z[name])
		if !(math.Abs(z[name]-1) <= 0.05+3.5/math.Sqrt(float64(done))) {
			t.Errorf("%s is off by %.3f stated standard uncertainties rms", name, z[name])
		}
		if !repeat.Covers95(hit[name], done, all) && float64(hit[name]) < 0.95*float64(done) || float64(hit[name]) > 0.995*float64(done) {
			t.Errorf("%s: %d of %d 95 %% intervals cover", name, hit[name], done)
		}
	}
	n := repeat.Times(1000)
	ignored, _ := covers(t, n, func(rng *rand.Rand) estimation.Session {
		s := simulate(rng)
		for i := range s.Log.Parts {
			s.Log.Parts[i].Uncertainty = 0
		}
		return s
	}, truths, labels)
	if ignored[quantities.Inductance] > n*9/10 {
		t.Errorf("with the parts' errors ignored, %d of %d intervals of the inductance still cover", ignored[quantities.Inductance], n)
	}
}
