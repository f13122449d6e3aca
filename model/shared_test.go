package model

import (
	"math/rand/v2"
	"runtime"
	"testing"
)

// many is a session with a hand at another distance in each reading.
func many() Log {
	rng := rand.New(rand.NewPCG(4, 4))
	steps := fullSession()
	for range manyRows {
		steps = append(steps, added([]float64{0, 2.2, 4.7, 10}[rng.IntN(4)]).near(0.05+0.5*rng.Float64()))
	}
	return lighthouse().session(rng, 3e-4, 0.02, steps...)
}

// However many processors share the readings, the answer is the same to the bit, and
// it is the truth that the session was made of.
func TestSharedReadingsGiveOneAnswer(t *testing.T) {
	log := many()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	var first *Answer
	for _, n := range []int{1, 2, 3} {
		runtime.GOMAXPROCS(n)
		r := mustFit(t, Session{Log: log})
		if !r.problem.shares() {
			t.Fatal("the readings aren't shared")
		}
		if first == nil {
			first = r
			continue
		}
		for i, x := range r.fit.X {
			if x != first.fit.X[i] || r.fit.DataSquares != first.fit.DataSquares {
				t.Errorf("on %d processors x[%d] = %v, on one %v", n, i, x, first.fit.X[i])
			}
		}
	}
	for _, c := range []struct {
		name string
		want float64
	}{{Inductance, 1.25e-3}, {HandExponent, 2}, {HandOffset, 0.045}} {
		e := first.Find(c.name, "", "", 0)
		if d := e.Value - c.want; !e.Determined || d > 4*e.Uncertainty || -d > 4*e.Uncertainty {
			t.Errorf("%s = %v ± %v, want %v", c.name, e.Value, e.Uncertainty, c.want)
		}
	}
}
