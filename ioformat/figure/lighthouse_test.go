package figure

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// reach describes one state of the invented lighthouse coil: capacitors on the
// top in pF, share covered by the rod, distance of the hand in metres.
type bench struct {
	parts   []float64
	covered float64
	hand    float64
}

// lighthouse simulates a session with an invented coil in a model lighthouse:
// 1.25 mH, 6.8 pF, a rod that adds 60 % of inductance, a hand at the lantern.
// The frequencies are those of the uniform line.
func lighthouse(noise float64, states []bench) readings.Log {
	rng := rand.New(rand.NewPCG(3, 14))
	var log readings.Log
	index := map[float64]int{}
	for i, b := range states {
		s := readings.Bare()
		w := resonator.Winding{Inductance: 1.25e-3, Capacitance: 4e-12, Top: 1.5e-12}
		for _, pF := range b.parts {
			k, ok := index[pF]
			if !ok {
				k = len(log.Parts)
				index[pF] = k
				log.Parts = append(log.Parts, readings.Part{Name: partName(pF), Capacitance: pF * 1e-12, Uncertainty: 0.025 * pF * 1e-12, Known: true})
			}
			s.Parts = append(s.Parts, k)
			w.Top += pF * 1e-12
		}
		if b.covered > 0 {
			s.Core, s.To = "rod", b.covered
			w.Cores = []resonator.Stretch{{To: b.covered, Gain: 1.6, Capacitance: 0.1e-12 * b.covered}}
		}
		if b.hand > 0 {
			s.Hand = b.hand
			w.Top += 2.6e-15 / (b.hand + 0.045) / (b.hand + 0.045)
		}
		var r resonator.Resonance
		(&resonator.Line{}).Resonate(w, &r)
		f := r.Omega / (2 * math.Pi)
		log.Readings = append(log.Readings, readings.Reading{
			State: s, Line: i + 2, Use: true, Frequency: f * (1 + noise*rng.NormFloat64()), Uncertainty: f * noise,
			Amplitude: math.NaN(), Quality: math.NaN(),
		})
	}
	return log
}

func partName(pF float64) string { return fixed(pF, 1) + " pF" }

// night is a whole session: air, rod, hand.
func night() []bench {
	return []bench{
		{}, {parts: []float64{2.2}}, {parts: []float64{4.7}}, {parts: []float64{10}}, {parts: []float64{4.7, 10}}, {parts: []float64{22}},
		{covered: 1}, {covered: 1, parts: []float64{4.7}}, {covered: 1, parts: []float64{10}}, {covered: 1, parts: []float64{22}},
		{covered: 0.6}, {covered: 0.6, parts: []float64{4.7}},
		{hand: 0.5}, {hand: 0.2}, {hand: 0.1}, {hand: 0.05}, {hand: 0.1, parts: []float64{4.7}},
		{covered: 1, hand: 0.1}, {}, {parts: []float64{10}},
	}
}

func solved(t testing.TB, log readings.Log) *model.Result {
	t.Helper()
	return must.Get(model.Fit(estimation.Session{Log: log})).In(t)
}
