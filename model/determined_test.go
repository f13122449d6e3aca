package model

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// What no reading speaks of has no number, though a prior would give it one: a law's
// exponent from one distance, a core's capacitance from its frequency alone, the split
// of a coil's capacitance from two capacitors of 5 %.
func TestPriorsAloneGiveNoNumber(t *testing.T) {
	c := lighthouse()
	log := c.session(rand.New(rand.NewPCG(140, 1)), 3e-4, 0.025, added(), added(4.7), added().rod(1), added().near(0.1))
	r := mustFit(t, Session{Log: log})
	for _, e := range []*Estimate{
		r.Find(HandExponent, "", "", 0), r.Find(HandOffset, "", "", 0), r.Find(CoreGain, "rod", "", 0), r.Find(CoreCapacitance, "rod", "", 0),
		r.Find(WindingCapacitance, "", "", 0), r.Find(TopCapacitance, "", "", 0),
	} {
		if e.Determined || !math.IsNaN(e.Value) {
			t.Errorf("%s %v ± %v", e.Name, e.Value, e.Uncertainty)
		}
	}
	for _, e := range []*Estimate{r.Find(Inductance, "", "", 0), r.Find(RatioGain, "rod", "", 0), r.Find(HandFrequencyDrop, "", "", 0.1)} {
		if !e.Determined {
			t.Errorf("%s is undetermined", e.Name)
		}
	}
	for _, want := range []Gap{GapShape, GapCore, GapHandLaw} {
		if !slices.ContainsFunc(r.Undetermined, func(u Undetermined) bool { return u.What == want }) {
			t.Errorf("gaps %+v, want %v", r.Undetermined, want)
		}
	}
}

// The remedy for an open split of the capacitance determines it: a capacitor that
// brings the frequency to a third, and an empty clip, with parts known to 2 %.
func TestMuchLargerCapacitorTellsTheShape(t *testing.T) {
	open, closed := 0, 0
	for seed := range uint64(40) {
		c := lighthouse()
		r := mustFit(t, Session{Log: c.session(rand.New(rand.NewPCG(141, seed)), 3e-4, 0.05/1.96, added(), added(2.2), added(4.7))})
		if slices.ContainsFunc(r.Undetermined, func(u Undetermined) bool { return u.What == GapShape && u.Advice == AddMuchLargerAndClip }) {
			open++
		}
		r = mustFit(t, Session{Log: c.session(rand.New(rand.NewPCG(142, seed)), 3e-4, 0.02/1.96, added(), emptyClip(), added(2.2), added(4.7), added(33))})
		if r.Find(WindingCapacitance, "", "", 0).Determined {
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
	c := lighthouse()
	log := c.session(rand.New(rand.NewPCG(143, 1)), 3e-4, 0.05/1.96, added(), added(2.2), added(10), added().rod(1), added(10).rod(1), added().near(0.1), added().near(0.3))
	for i := range log.Parts {
		log.Parts[i].Default = i != 1
	}
	for i := range log.Readings {
		log.Readings[i].FromDigits = true
	}
	r := mustFit(t, Session{Log: log})
	kinds := map[AssumptionKind]float64{}
	sum, ofEffective := 0.0, 0.0
	for i, a := range r.Assumed {
		kinds[a.Kind] = a.Share
		if a.Kind != AssumedDigits && a.Kind != AssumedTolerance {
			sum += a.Share
			ofEffective += a.Effective
		}
		if i > 0 && a.Share > r.Assumed[i-1].Share+0.01 {
			t.Errorf("%+v after %+v", a, r.Assumed[i-1])
		}
		if a.Kind == AssumedTolerance && (a.Count != 1 || len(a.Names) != 1 || a.Names[0] != log.Parts[0].Name || math.Abs(a.Spread/(0.05/1.96)-1) > 1e-12) {
			t.Errorf("of two parts, one with a stated tolerance: %+v", a)
		}
	}
	if want := []AssumptionKind{AssumedDigits, AssumedTolerance, AssumedShare, AssumedCoreCapacitance, AssumedEnds, AssumedCoupling, AssumedHandOffset, AssumedHandExponent, AssumedLead, AssumedDrift}; len(r.Assumed) != len(want) || len(kinds) != len(want) {
		t.Errorf("assumed %+v", r.Assumed)
	}
	b := r.Find(Inductance, "", "", 0).Budget
	if math.Abs(sum-b.Assumed) > 1e-9 || math.Abs(kinds[AssumedDigits]-b.Readings) > 1e-9 || !(kinds[AssumedTolerance] > 0.01 && kinds[AssumedTolerance] < b.Tolerance) {
		t.Errorf("priors %v, digits %v, default tolerance %v of %+v", sum, kinds[AssumedDigits], kinds[AssumedTolerance], b)
	}
	if e := r.Find(EffectiveInductance, "", "", 0).Budget; math.Abs(ofEffective-e.Assumed) > 1e-9 || math.Abs(ofEffective-sum) < 1e-4 {
		t.Errorf("priors bring %v to the effective inductance, its budget %+v", ofEffective, e)
	}
	// Nothing of it is assumed where somebody said it, and without an inductance
	// there is no share.
	for i := range log.Parts {
		log.Parts[i].Default = false
	}
	log.Readings[0].FromDigits = false
	for _, a := range mustFit(t, Session{Log: log}).Assumed {
		if a.Kind == AssumedTolerance || a.Kind == AssumedDigits && a.Count != len(log.Readings)-1 {
			t.Errorf("%+v", a)
		}
	}
	for _, a := range mustFit(t, Session{Log: plainLog([2]float64{2.5e6, 0})}).Assumed {
		if !math.IsNaN(a.Share) || !math.IsNaN(a.Effective) {
			t.Errorf("%+v", a)
		}
	}
}

// A stated uncertainty is never above the enlarged one, however the readings scatter.
func TestStatedIsNeverAboveEnlarged(t *testing.T) {
	seen := 0
	for seed := range uint64(30) {
		rng := rand.New(rand.NewPCG(144, seed))
		c := lighthouse()
		steps, _ := identifiable(rng)
		steps = append(steps, added().rod(0.5), added(2.2), added(22))
		log := c.session(rng, 1e-4, 0.025, steps...)
		for i := range log.Readings {
			log.Readings[i].Frequency *= math.Exp(6e-4 * rng.NormFloat64())
		}
		r, err := fitOnly(Session{Log: log, Robust: seed%3 == 0, Lumped: seed%5 == 0})
		if err != nil {
			t.Fatal(err)
		}
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
