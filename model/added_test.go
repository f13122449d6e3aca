package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
)

// What is on the top is NaN with a part that nothing measures, and what the fit finds of a
// part that something does.
func TestAddedOnTop(t *testing.T) {
	c := simulated.Lighthouse()
	r := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(53, 2)), 1e-4, 0, simulated.Added(), simulated.Added(), simulated.Added(simulated.Spike))})
	if a := r.Added(r.Readings[2].State); !math.IsNaN(a) {
		t.Errorf("the part is %v, though only its product with L is known", a)
	}
	known := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(53, 3)), 1e-5, 0, simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(simulated.Spike, 2.2))})
	if a := known.Added(known.Readings[4].State); !(math.Abs(a/(c.Spike+2.2e-12)-1) <= 0.01) {
		t.Errorf("the part and 2.2 pF are %v, want %v", a, c.Spike+2.2e-12)
	}
}
