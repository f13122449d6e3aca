package model

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/repeat"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// 256 settings of one bank, of which neighbours err alike (autocorrelation 0.6, invented):
// the pattern is named, and intervals cover. In sessions without one it isn't, in mixed
// order and along the bank.
func TestNeighboursThatErrAlike(t *testing.T) {
	c := simulated.Lighthouse()
	for _, alike := range []float64{0, 0.6} {
		named, l, lc := 0, &tally{}, &tally{}
		n := repeat.Times(24)
		for seed := range n {
			rng := rand.New(rand.NewPCG(157, uint64(seed)))
			log, e := readings.Log{}, rng.NormFloat64()
			for i := range 256 {
				s := readings.Bare()
				s.Exact = float64(i) * 0.1e-12
				f := c.Frequency(s, nil)
				e = alike*e + math.Sqrt(1-alike*alike)*rng.NormFloat64()
				log.Readings = append(log.Readings, readings.Reading{State: s, Line: i + 2, Use: true, Frequency: f * (1 + 2e-4*e), Uncertainty: 2e-4 * f, Amplitude: math.NaN(), Quality: math.NaN()})
			}
			rng.Shuffle(256, func(i, k int) { log.Readings[i], log.Readings[k] = log.Readings[k], log.Readings[i] })
			r := mustFit(t, idealBench(estimation.Session{Log: log}))
			if slices.ContainsFunc(r.Findings, func(f findings.Finding) bool {
				return f.Kind == findings.NeighboursAlike && f.Name == findings.AddedOrder
			}) {
				named++
			}
			l.add(r.Find(quantities.Key{Name: quantities.Inductance}), c.L)
			lc.add(r.Find(quantities.Key{Name: quantities.BareFrequency}), c.Frequency(readings.Bare(), nil))
		}
		t.Logf("autocorrelation %v: named in %d of %d, rms z of L %.2f, of the bare frequency %.2f", alike, named, n, l.z(), lc.z())
		if alike > 0 && (named < n || l.z() > 1.5 || lc.z() > 1.5) || alike == 0 && named > 1 {
			t.Errorf("autocorrelation %v: named in %d of %d, rms z of L %.2f, of the bare frequency %.2f", alike, named, n, l.z(), lc.z())
		}
	}
}
