package model

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
)

// What no reading speaks of has no number, though a prior would give it one: a law's
// exponent from one distance, a core's capacitance from its frequency alone, the split
// of a coil's capacitance from two capacitors of 5 %.
func TestPriorsAloneGiveNoNumber(t *testing.T) {
	c := simulated.Lighthouse()
	log := c.Session(rand.New(rand.NewPCG(140, 1)), 3e-4, 0.025, simulated.Added(), simulated.Added(4.7), simulated.Added().Rod(1), simulated.Added().Near(0.1))
	r := mustFit(t, estimation.Session{Log: log})
	for _, e := range []*quantities.Estimate{
		r.Find(quantities.Key{Name: quantities.HandExponent}), r.Find(quantities.Key{Name: quantities.HandOffset}), r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"}), r.Find(quantities.Key{Name: quantities.CoreCapacitance, Core: "rod"}),
		r.Find(quantities.Key{Name: quantities.WindingCapacitance}), r.Find(quantities.Key{Name: quantities.TopCapacitance}),
	} {
		if e.Determined || !math.IsNaN(e.Value) {
			t.Errorf("%s %v ± %v", e.Name, e.Value, e.Uncertainty)
		}
	}
	for _, e := range []*quantities.Estimate{r.Find(quantities.Key{Name: quantities.Inductance}), r.Find(quantities.Key{Name: quantities.RatioGain, Core: "rod"}), r.Find(quantities.Key{Name: quantities.HandFrequencyDrop, Hand: 0.1})} {
		if !e.Determined {
			t.Errorf("%s is undetermined", e.Name)
		}
	}
	for _, want := range []findings.Gap{findings.GapShape, findings.GapCore, findings.GapHandLaw} {
		if !slices.ContainsFunc(r.Undetermined, func(u findings.Undetermined) bool { return u.What == want }) {
			t.Errorf("gaps %+v, want %v", r.Undetermined, want)
		}
	}
}

// The remedy for an open split of the capacitance determines it: a capacitor that
// brings the frequency to a third, and an empty clip, with parts known to 2 %.
func TestMuchLargerCapacitorTellsTheShape(t *testing.T) {
	open, closed := 0, 0
	for seed := range uint64(40) {
		c := simulated.Lighthouse()
		r := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(141, seed)), 3e-4, 0.05/1.96, simulated.Added(), simulated.Added(2.2), simulated.Added(4.7))})
		if slices.ContainsFunc(r.Undetermined, func(u findings.Undetermined) bool {
			return u.What == findings.GapShape && u.Advice == findings.AddMuchLargerAndClip
		}) {
			open++
		}
		r = mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(142, seed)), 3e-4, 0.02/1.96, simulated.Added(), simulated.EmptyClip(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(33))})
		if r.Find(quantities.Key{Name: quantities.WindingCapacitance}).Determined {
			closed++
		}
	}
	if open < 20 || closed < 38 {
		t.Errorf("open in %d of 40 sessions without, determined in %d of 40 with", open, closed)
	}
}

// What a fit assumes has its share in the variance of the inductance, and together
// they are what its budget has from priors, from digits and from tolerances.
func TestAssumptionsAddUp(t *testing.T) {
	c := simulated.Lighthouse()
	log := c.Session(rand.New(rand.NewPCG(143, 1)), 3e-4, 0.05/1.96, simulated.Added(), simulated.Added(2.2), simulated.Added(10), simulated.Added().Rod(1), simulated.Added(10).Rod(1), simulated.Added().Near(0.1), simulated.Added().Near(0.3))
	for i := range log.Parts {
		log.Parts[i].Default = i != 1
	}
	for i := range log.Readings {
		log.Readings[i].FromDigits = true
	}
	r := mustFit(t, estimation.Session{Log: log})
	kinds := map[estimation.AssumptionKind]float64{}
	sum := 0.0
	for i, a := range r.Assumed {
		kinds[a.Kind] = a.Share
		if a.Kind != estimation.AssumedDigits && a.Kind != estimation.AssumedTolerance {
			sum += a.Share
		}
		if i > 0 && a.Share > r.Assumed[i-1].Share+0.01 {
			t.Errorf("%+v after %+v", a, r.Assumed[i-1])
		}
		if a.Kind == estimation.AssumedTolerance && (a.Count != 1 || len(a.Names) != 1 || a.Names[0] != log.Parts[0].Name || math.Abs(a.Spread/(0.05/1.96)-1) > 1e-12) {
			t.Errorf("of two parts, one with a stated tolerance: %+v", a)
		}
	}
	if want := []estimation.AssumptionKind{estimation.AssumedDigits, estimation.AssumedTolerance, estimation.AssumedShare, estimation.AssumedCoreCapacitance, estimation.AssumedEnds, estimation.AssumedMoved, estimation.AssumedHandOffset, estimation.AssumedHandExponent, estimation.AssumedLead, estimation.AssumedDrift}; len(r.Assumed) != len(want) || len(kinds) != len(want) {
		t.Errorf("assumed %+v", r.Assumed)
	}
	b := r.Find(quantities.Key{Name: quantities.EffectiveInductance}).Budget
	if !(math.Abs(sum-b.Assumed) <= 1e-9) || !(math.Abs(kinds[estimation.AssumedDigits]-b.Readings) <= 1e-9) || !(kinds[estimation.AssumedTolerance] > 0.01 && kinds[estimation.AssumedTolerance] < b.Tolerance) {
		t.Errorf("priors %v, digits %v, default tolerance %v of %+v", sum, kinds[estimation.AssumedDigits], kinds[estimation.AssumedTolerance], b)
	}
	// Nothing of it is assumed where somebody said it, and without an inductance
	// there is no share.
	for i := range log.Parts {
		log.Parts[i].Default = false
	}
	log.Readings[0].FromDigits = false
	for _, a := range mustFit(t, estimation.Session{Log: log}).Assumed {
		if a.Kind == estimation.AssumedTolerance || a.Kind == estimation.AssumedDigits && a.Count != len(log.Readings)-1 {
			t.Errorf("%+v", a)
		}
	}
	for _, a := range mustFit(t, estimation.Session{Log: plainLog([2]float64{2.5e6, 0})}).Assumed {
		if !math.IsNaN(a.Share) {
			t.Errorf("%+v", a)
		}
	}
}

// A stated uncertainty is never above the enlarged one, however the readings scatter.
func TestStatedIsNeverAboveEnlarged(t *testing.T) {
	seen := 0
	for seed := range uint64(30) {
		rng := rand.New(rand.NewPCG(144, seed))
		c := simulated.Lighthouse()
		steps, _ := identifiable(rng)
		steps = append(steps, simulated.Added().Rod(0.5), simulated.Added(2.2), simulated.Added(22))
		log := c.Session(rng, 1e-4, 0.025, steps...)
		for i := range log.Readings {
			log.Readings[i].Frequency *= math.Exp(6e-4 * rng.NormFloat64())
		}
		r := must.Get(estimation.Fit(estimation.Session{Log: log, Robust: seed%3 == 0, Lumped: seed%5 == 0})).In(t)
		for _, e := range slices.Concat(r.Parameters, r.Derived) {
			if !e.Determined || math.IsNaN(e.Uncertainty) {
				continue
			}
			seen++
			if e.Stated > e.Uncertainty*(1+1e-9) {
				t.Errorf("seed %d: %s stated ± %v, enlarged ± %v", seed, e.Name, e.Stated, e.Uncertainty)
			}
		}
	}
	if seen < 300 {
		t.Error(fmt.Sprint("only ", seen, " quantities seen"))
	}
}
