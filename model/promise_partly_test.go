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

// A reading with the core partly in, with a large capacitor, may stand above the same capacitor
// on the bare coil. Where it does, it does more: each is read from the true coil, and the log
// is fitted anew. What is promised of either is what comes of it, to a tenth.
func TestRankOfTheCorePartlyIn(t *testing.T) {
	const noise, tolerance = 3e-4, 0.025
	steps := []simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added().Rod(1), simulated.Added(4.7).Rod(1),
		simulated.Added().Rod(0.5), simulated.Added(10).Rod(0.5)}
	c := simulated.Lighthouse()
	n, above, better := 0.0, 0, 0
	promised := map[bool]float64{} // ln of what came of it over that, by whether the core is in
	for seed := range uint64(30) {
		log, actual := c.SessionOf(rand.New(rand.NewPCG(205, seed)), noise, tolerance, steps...)
		log.Parts = append(log.Parts, readings.Part{Name: "47", Capacitance: 47e-12, Uncertainty: tolerance * 47e-12, Known: true})
		actual = append(actual, 47e-12)
		r := mustFit(t, estimation.Session{Log: log})
		plain, partly := readings.Bare(), readings.Bare()
		plain.Parts = []int{len(log.Parts) - 1}
		partly.Parts, partly.Core, partly.To = plain.Parts, "rod", 0.5
		wish := decisions.Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}}
		expected, got := map[bool]float64{}, map[bool]float64{}
		next := decisions.Next(r.Result, wish, []decisions.Candidate{{Kind: decisions.ReadState, State: plain}, {Kind: decisions.ReadState, State: partly}}, nil, 1)
		for i := range next.Ranked {
			s := &next.Ranked[i]
			in := s.State.Core != ""
			then := mustFit(t, done(c, rand.New(rand.NewPCG(206, seed)), log, actual, noise, &s.Candidate)).Find(wish.Key)
			expected[in], got[in] = s.After.Uncertainty/s.After.Value, then.Uncertainty/then.Value
			promised[in] += math.Log(got[in] / expected[in])
		}
		n++
		if expected[true] < expected[false] {
			above++
			if got[true] < 1.02*got[false] {
				better++
			}
		}
	}
	t.Logf("core partly in above in %d of %v, better in %d of these; %+.3f plain, %+.3f with it, ln of what came of it over what was promised", above, n, better, promised[false]/n, promised[true]/n)
	for in, sum := range promised { // the factor on tolerances is found anew, with one part more
		if !(math.Abs(sum/n) <= 0.12) || !(math.Abs(sum-promised[false])/n <= 0.03) {
			t.Errorf("core partly in %v: %v of what is promised", in, math.Exp(sum/n))
		}
	}
	if above < 10 || float64(better) < 0.9*float64(above) {
		t.Errorf("above in %d, but better in %d", above, better)
	}
}
