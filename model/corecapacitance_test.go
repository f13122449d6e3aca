package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
)

// What a core adds to the winding's capacitance is one number, whatever it is found
// with: sessions of six coils as the field model has them, fitted with the line and with
// the coupled sections of the winding.
func TestCoreCapacitanceIsOneQuantity(t *testing.T) {
	steps := []simulated.Step{simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added().Rod(1), simulated.Added(2.2).Rod(1), simulated.Added(4.7).Rod(1), simulated.Added(10).Rod(1), simulated.Added()}
	squares, n, seen := map[string]float64{}, map[string]int{}, 0
	for i, c := range fieldCoils(t) {
		for seed := range uint64(5) {
			p := c.play(rand.New(rand.NewPCG(150+uint64(i), seed)), goodBench(), steps)
			want := c.ladder.CoreCapacitance() + p.core
			seen++
			for mode, s := range map[string]estimation.Session{
				"line":   {Log: p.log},
				"ladder": {Log: p.log, Ladder: c.ladder},
			} {
				e := mustFit(t, s).Find(quantities.Key{Name: quantities.CoreCapacitance, Core: "rod"})
				if !e.Determined {
					continue
				}
				z := (e.Value - want) / e.Uncertainty
				squares[mode] += z * z
				n[mode]++
			}
		}
	}
	for mode, limit := range map[string]float64{"line": 1.5, "ladder": 1.3} {
		if rms := math.Sqrt(squares[mode] / float64(n[mode])); rms > limit || n[mode] < seen/3 {
			t.Errorf("%s: %d of %d determined, off by %.2f standard uncertainties (rms)", mode, n[mode], seen, rms)
		}
	}
}

// The lumped circuit finds it too, where a coil is one: nearly all of its capacitance
// is at the top, so that the voltage rises evenly, whole coverage or half.
func TestCoreCapacitanceOfALumpedCoil(t *testing.T) {
	c := simulated.Lighthouse()
	c.Cw, c.Ct, c.Core = 1e-16, 4e-12, 0.2e-12
	for _, covered := range []float64{1, 0.6} {
		c.Gain = 1 + (covered-0.6)*2 // partly in, the line's ends would count; no gain has none
		steps := []simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added().Rod(covered), simulated.Added(4.7).Rod(covered), simulated.Added(10).Rod(covered)}
		r := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(151, 1)), 1e-5, 0, steps...), Lumped: true})
		e := r.Find(quantities.Key{Name: quantities.CoreCapacitance, Core: "rod"})
		if !e.Determined || !(math.Abs(e.Value/c.Core-1) <= 0.03) {
			t.Errorf("%v covered: %v ± %v F, want %v", covered, e.Value, e.Uncertainty, c.Core)
		}
	}
}
