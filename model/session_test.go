package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// coil is an invented coil that simulated sessions read.
var coil = struct{ l, cw, ct float64 }{1.25e-3, 5.9e-12, 0.9e-12}

// session makes a log of readings with the given parts on the top (nominal
// values in pF). The parts' true values scatter by tolerance (relative,
// standard), the frequencies by noise (relative).
func session(rng *rand.Rand, added []float64, noise, tolerance float64) readings.Log {
	var log readings.Log
	index := map[float64]int{}
	truth := []float64{}
	var line resonator.Line
	var r resonator.Resonance
	for i, a := range added {
		s := readings.Bare()
		top := coil.ct
		if a > 0 {
			k, ok := index[a]
			if !ok {
				k = len(log.Parts)
				index[a] = k
				log.Parts = append(log.Parts, readings.Part{Capacitance: a * 1e-12, Uncertainty: tolerance * a * 1e-12, Known: true})
				truth = append(truth, a*1e-12*(1+tolerance*rng.NormFloat64()))
			}
			s.Parts = []int{k}
			top += truth[k]
		}
		line.Resonate(resonator.Winding{Inductance: coil.l, Capacitance: coil.cw, Top: top}, &r)
		f := r.Omega / (2 * math.Pi)
		log.Readings = append(log.Readings, readings.Reading{State: s, Line: i + 2, Use: true,
			Frequency: f * (1 + noise*rng.NormFloat64()), Uncertainty: f * noise})
	}
	return log
}

func TestSessionRecoversTheCoil(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	log := session(rng, []float64{0, 0, 2.2, 4.7, 6.8, 10, 15, 22, 33}, 1e-6, 0)
	r := must.Get(Fit(idealBench(estimation.Session{Log: log}))).In(t)
	for name, want := range map[string]float64{quantities.Inductance: coil.l, quantities.WindingCapacitance: coil.cw, quantities.TopCapacitance: coil.ct} {
		e := r.Find(quantities.Key{Name: name})
		t.Logf("%s %v ± %v, want %v", name, e.Value, e.Uncertainty, want)
		if !(math.Abs(e.Value-want) <= 4*e.Uncertainty) || e.Uncertainty > 1e-3*want {
			t.Errorf("%s %v ± %v, want %v", name, e.Value, e.Uncertainty, want)
		}
	}
}
