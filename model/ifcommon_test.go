package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
)

// Where all parts err alike, an answer is as uncertain as it moves when the values of all parts
// are written one standard uncertainty larger, beside what is not their tolerance. So the factor
// told is found by a second fit, with other values in the log.
func TestFactorIfAllPartsErrAlike(t *testing.T) {
	const step = 0.01 // of a standard uncertainty
	steps := append(benchSteps(), simulated.Added(simulated.Spike, 10))
	for k, c := range fieldCoils(t)[1:4] {
		p := c.play(rand.New(rand.NewPCG(77, uint64(k))), goodBench(), steps)
		s := estimation.Session{Log: p.log}
		r := mustFit(t, s)
		s.Log.Parts = append(s.Log.Parts[:0:0], s.Log.Parts...)
		for i := range s.Log.Parts {
			part := &s.Log.Parts[i]
			part.Capacitance += step * part.Uncertainty
			part.Uncertainty *= part.Capacitance / (part.Capacitance - step*part.Uncertainty)
		}
		moved := mustFit(t, s)
		most := 1.0
		for _, key := range []quantities.Key{{Name: quantities.Inductance}, {Name: quantities.EffectiveInductance}, {Name: quantities.EffectiveCapacitance}, {Name: quantities.PartCapacitance, Part: "spike"}} {
			e := r.Find(key)
			shift := (moved.Find(key).Value - e.Value) / step / e.Uncertainty * r.Quality.PartScale
			want := math.Sqrt(1 - e.Budget.Tolerance + shift*shift)
			got := r.IfCommon(e)
			if math.Abs(got/want-1) > 0.03 {
				t.Errorf("%s, %v: × %.3f told, × %.3f by a second fit", c.name, key, got, want)
			}
			if got < 1.1 {
				t.Errorf("%s, %v: × %.3f, nothing to tell", c.name, key, got)
			}
			most = math.Max(most, got)
		}
		if got := r.MostIfCommon(); got != most {
			t.Errorf("%s: × %.3f told at most, want × %.3f", c.name, got, most)
		}
		for i := range s.Log.Parts {
			s.Log.Parts[i].Common = 1
		}
		if got := mustFit(t, s).MostIfCommon(); got != 1 {
			t.Errorf("%s: × %.3f told though all is said", c.name, got)
		}
	}
}
