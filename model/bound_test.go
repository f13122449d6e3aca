package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/fit"
)

// A coil with nothing on its top: half of all sessions would like its top capacitance
// below zero. How far above it may then be is where χ², with all else fitted anew, has
// risen by k² over its value at the bound. It is sought here without a profile: by fits
// that are told the top capacitance, however curved the way to it.
func TestLimitAtBoundIsWhereChiSquareHasRisen(t *testing.T) {
	c := lighthouse()
	c.ct = 0
	steps := []step{added(), added(), added(1), added(2.2), added(4.7), added(10), added(22)}
	for _, noise := range []float64{1e-5, 1e-3, 4e-3} {
		tried := 0
		for seed := uint64(1); seed < 80 && tried < 4; seed++ {
			s := idealBench(Session{Log: c.session(rand.New(rand.NewPCG(56, seed)), noise, 0.02, steps...)})
			r := mustFit(t, s)
			e := r.Find(TopCapacitance, "", "", 0)
			if e.Bound != fit.AtLower || r.scatter.Scale != 1 {
				continue
			}
			tried++
			k := r.coverageFactor(e.Budget)
			s.Known = append(s.Known, Known{Name: TopCapacitance, Value: e.Interval[1], Uncertainty: 1e-6 * e.Interval[1]})
			p, err := newProblem(s)
			if err != nil {
				t.Fatal(err)
			}
			told, _, err := p.solve(p.start(s.Log), false, solverSettings(s))
			if err != nil {
				t.Fatal(err)
			}
			rise := told.DataSquares + told.PriorSquares - r.fit.DataSquares - r.fit.PriorSquares
			if e.Interval[0] != 0 || math.Abs(rise/(k*k)-1) > 0.01 {
				t.Errorf("noise %v, seed %d: top capacitance in %v, where χ² is higher by %v, want %v", noise, seed, e.Interval, rise, k*k)
			}
			if e.Value != 0 || !math.IsNaN(e.Uncertainty) {
				t.Errorf("seed %d: %v ± %v at the bound", seed, e.Value, e.Uncertainty)
			}
		}
		if tried < 4 {
			t.Errorf("noise %v: %d sessions at the bound", noise, tried)
		}
	}
}
