package model

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"fitcoil/internal/must"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// scaling is the power of s with which a quantity scales when all capacitances
// are s times as large and the frequencies are the same: 1/ω² = LC.
func scaling(name string) (power float64) {
	switch name {
	case quantities.WindingCapacitance, quantities.TopCapacitance, quantities.CoreCapacitance, quantities.PartCapacitance, quantities.EffectiveCapacitance, quantities.HandStrength, quantities.HandCapacitance:
		return 1
	case quantities.Inductance, quantities.EffectiveInductance, quantities.InductanceWithCore, quantities.Impedance:
		return -1
	}
	return 0
}

// No belief on an absolute capacitance is in a fit that determines inductance and
// capacitance: with all capacitances added or known s times as large, known
// inductances 1/s times and the frequencies as they were, each capacitance comes
// out s times as large and each inductance 1/s times, with their uncertainties
// and intervals; gains, the hand's law, frequencies and predictions stay. As a
// fit may stop some thousandths of a standard uncertainty from its minimum, that
// is how closely it holds.
func TestScaleOfCapacitances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		steps, _ := identifiable(rng)
		c := simulated.Lighthouse()
		c.L *= math.Exp(rng.NormFloat64())
		c.Cw *= math.Exp(0.3 * rng.NormFloat64())
		s := idealBench(estimation.Session{Log: c.Session(rng, 2e-4, 0.025, steps...), Robust: rapid.Bool().Draw(t, "robust")})
		if rapid.Bool().Draw(t, "known") {
			s.Known = append(s.Known,
				quantities.Known{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.01 * c.L, Uncertainty: 0.02 * c.L},
				quantities.Known{Key: quantities.Key{Name: quantities.TopCapacitance}, Value: 0.9 * c.Ct, Uncertainty: 0.2 * c.Ct})
		}
		factor := math.Exp(rapid.Float64Range(-4, 4).Draw(t, "ln s"))
		scaled := s
		scaled.Log.Parts = slices.Clone(s.Log.Parts)
		for i := range scaled.Log.Parts {
			scaled.Log.Parts[i].Capacitance *= factor
			scaled.Log.Parts[i].Uncertainty *= factor
		}
		scaled.Known = slices.Clone(s.Known)
		for i := range scaled.Known {
			k := math.Pow(factor, scaling(scaled.Known[i].Name))
			scaled.Known[i].Value *= k
			scaled.Known[i].Uncertainty *= k
		}
		fit := func(s estimation.Session) *Result {
			r := must.Get(Fit(s)).In(t)
			if r.Problem.Anchors > 0 {
				t.Fatalf("a determined session leans on beliefs of level %d", r.Problem.Anchors)
			}
			return r
		}
		a, b := fit(s), fit(scaled)
		compare := func(e, f *quantities.Estimate) {
			k := math.Pow(factor, scaling(e.Name))
			if e.Determined != f.Determined || e.Bound != f.Bound {
				t.Fatalf("%s %s%s is %+v, and by %v %+v", e.Name, e.Core, e.Part, e, factor, f)
			}
			if !e.Determined {
				return
			}
			room := math.Max(e.Uncertainty, (e.Interval[1]-e.Interval[0])/4)
			if math.IsNaN(room) {
				room = e.Interval[1] / 2
			}
			for _, v := range [][2]float64{{e.Value, f.Value}, {e.Uncertainty, f.Uncertainty}, {e.Stated, f.Stated}, {e.Interval[0], f.Interval[0]}, {e.Interval[1], f.Interval[1]}} {
				if math.IsNaN(v[0]) && math.IsNaN(v[1]) { // at a bound
					continue
				}
				if !(math.Abs(v[1]/k-v[0]) <= 5e-3*room) {
					t.Errorf("%s %s%s is %v ± %v, and %v ± %v by %v (%.2g u)", e.Name, e.Core, e.Part, e.Value, e.Uncertainty, f.Value/k, f.Uncertainty/k, factor, math.Abs(v[1]/k-v[0])/room)
				}
			}
		}
		for i := range a.Parameters {
			compare(&a.Parameters[i], &b.Parameters[i])
		}
		for i := range a.Derived {
			compare(&a.Derived[i], &b.Derived[i])
		}
		state := readings.Bare()
		state.Exact = 3.3e-12
		p := decisions.Predict(a.Result, state, nil)
		state.Exact *= factor
		q := decisions.Predict(b.Result, state, nil)
		compare(&p.Frequency, &q.Frequency)
	})
}
