package model

import (
	"math/rand/v2"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// many is a session with a hand at another distance in each reading.
func many() readings.Log {
	rng := rand.New(rand.NewPCG(4, 4))
	steps := simulated.FullSession()
	for range 2000 {
		steps = append(steps, simulated.Added([]float64{0, 2.2, 4.7, 10}[rng.IntN(4)]).Near(0.05+0.5*rng.Float64()))
	}
	return simulated.Lighthouse().Session(rng, 3e-4, 0.02, steps...)
}

// Of many readings, each in a state of its own, the answer is the truth that they were made
// of.
func TestManyStates(t *testing.T) {
	r := mustFit(t, estimation.Session{Log: many()})
	for _, c := range []struct {
		name string
		want float64
	}{{quantities.Inductance, 1.25e-3}, {quantities.HandExponent, 2}, {quantities.HandOffset, 0.045}} {
		e := r.Find(quantities.Key{Name: c.name})
		if d := e.Value - c.want; !e.Determined || d > 4*e.Uncertainty || -d > 4*e.Uncertainty {
			t.Errorf("%s = %v ± %v, want %v", c.name, e.Value, e.Uncertainty, c.want)
		}
	}
}
