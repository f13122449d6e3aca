package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/fit"
)

// A coil with nothing on its top: half of all sessions would like its top
// capacitance below zero. How far above it may then be is where χ², with all
// else fitted anew, has risen by k² over its value at the bound: the profile of
// the share, which takes nothing for linear.
func TestLimitAtBoundIsThatOfTheProfile(t *testing.T) {
	c := lighthouse()
	c.ct = 0
	steps := []step{added(), added(), added(1), added(2.2), added(4.7), added(10), added(22)}
	tried := 0
	for seed := uint64(1); seed < 40 && tried < 5; seed++ {
		s := Session{Log: c.session(rand.New(rand.NewPCG(56, seed)), 1e-5, 0, steps...)}
		r := mustFit(t, s)
		e := r.Find(TopCapacitance, "", "", 0)
		if e.Bound != fit.AtLower || r.scatter.Scale != 1 {
			continue
		}
		tried++
		p := r.problem
		in := fit.Profile(p.Problem, r.fit, solverSettings(s), func(x, grad []float64) float64 {
			clear(grad)
			if grad != nil {
				grad[p.share] = 1
			}
			return x[p.share]
		}, 0.95)
		want := in.Hi * math.Exp(r.fit.X[atC])
		if in.HiEnd != fit.Crossed || e.Interval[0] != 0 || math.Abs(e.Interval[1]/want-1) > 0.02 {
			t.Errorf("seed %d: top capacitance in %v, by profile up to %v (%v)", seed, e.Interval, want, in.HiEnd)
		}
		if e.Value != 0 || !math.IsNaN(e.Uncertainty) {
			t.Errorf("seed %d: %v ± %v at the bound", seed, e.Value, e.Uncertainty)
		}
	}
	if tried < 5 {
		t.Errorf("%d sessions at the bound", tried)
	}
}
