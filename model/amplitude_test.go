package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/readings"
)

// Two coupled circuits of lumped parts, one with the current I of the drive: the voltage at
// the top of the other at its resonance is Q·ωM·I = Q·k·√(L1/C)·I (textbook). A core that takes
// L to 2 L, Q to half, k from 0.1 to 0.13 and C to 1.05 C changes it by ½ · 1.3/√1.05; what
// the pickup adds, a tenth here, is left.
func TestAmplitudeShares(t *testing.T) {
	const inductance, c0, extra, gain = 1e-3, 4e-12, 1.05, 2.0
	k := map[string]float64{"": 0.1, "rod": 0.13}
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(1, 1)), 1e-6, 0, simulated.Added(), simulated.Added(), simulated.Added(10), simulated.Added(22), simulated.Added(10).Rod(1),
		simulated.Added(22).Rod(1), simulated.Added().Rod(1), simulated.Added().Rod(1))
	for i := range log.Readings {
		o := &log.Readings[i]
		l, c, q, pickup := inductance, c0, 200.0, 1.0
		if o.Core != "" {
			l, c, q, pickup = gain*l, extra*c, q/2, 1.1
		}
		for _, p := range o.Parts {
			c += log.Parts[p].Capacitance
		}
		o.Frequency = 1 / (2 * math.Pi * math.Sqrt(l*c))
		o.Uncertainty = 1e-6 * o.Frequency
		if i == 1 || i == 7 { // shorted
			o.Primary = readings.Primary{Kind: readings.PrimaryShorted}
			o.Frequency /= math.Sqrt(1 - k[o.Core]*k[o.Core])
			continue
		}
		o.Quality = q
		if len(o.Parts) > 0 {
			o.Quality *= 3 // a loaded coil's says nothing of the bare one's
			o.Amplitude = 7
			continue
		}
		o.Amplitude = pickup * q * k[o.Core] / math.Sqrt(c)
	}
	r := mustFit(t, idealBench(estimation.Session{Log: log, Lumped: true}))
	s, ok := r.AmplitudeShares("rod")
	if !ok {
		t.Fatal("no shares")
	}
	for what, pair := range map[string][2]float64{"amplitude": {s.Amplitude, 0.5 * 1.3 / math.Sqrt(extra) * 1.1}, "quality": {s.Quality, 0.5}, "coupling": {s.Coupling, 1.3},
		"capacitance": {s.Capacitance, 1 / math.Sqrt(extra)}, "rest": {s.Rest, 1.1}} {
		if !(math.Abs(pair[0]/pair[1]-1) <= 0.01) {
			t.Errorf("%s: %g, want %g", what, pair[0], pair[1])
		}
	}

}
