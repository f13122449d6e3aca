package model

import (
	"math/rand/v2"
	"runtime"
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
	for range estimation.ManyRows {
		steps = append(steps, simulated.Added([]float64{0, 2.2, 4.7, 10}[rng.IntN(4)]).Near(0.05+0.5*rng.Float64()))
	}
	return simulated.Lighthouse().Session(rng, 3e-4, 0.02, steps...)
}

// However many processors share the readings, the answer is the same to the bit, and
// it is the truth that the session was made of.
func TestSharedReadingsGiveOneAnswer(t *testing.T) {
	log := many()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	var first *Result
	for _, n := range []int{1, 2, 3} {
		runtime.GOMAXPROCS(n)
		r := mustFit(t, estimation.Session{Log: log})
		if !r.Problem.Shared() {
			t.Fatal("the readings aren't shared")
		}
		if first == nil {
			first = r
			continue
		}
		for i, x := range r.Solution.X {
			if x != first.Solution.X[i] || r.Solution.DataSquares != first.Solution.DataSquares {
				t.Errorf("on %d processors x[%d] = %v, on one %v", n, i, x, first.Solution.X[i])
			}
		}
	}
	for _, c := range []struct {
		name string
		want float64
	}{{quantities.Inductance, 1.25e-3}, {quantities.HandExponent, 2}, {quantities.HandOffset, 0.045}} {
		e := first.Find(quantities.Key{Name: c.name})
		if d := e.Value - c.want; !e.Determined || d > 4*e.Uncertainty || -d > 4*e.Uncertainty {
			t.Errorf("%s = %v ± %v, want %v", c.name, e.Value, e.Uncertainty, c.want)
		}
	}
}
