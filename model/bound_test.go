package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
)

// A coil with nothing on its top: half of all sessions would like its top capacitance
// below zero. How far above it may then be is where χ², with all else fitted anew, has
// risen by k² over its value at the bound. It is sought here without a profile: by fits
// that are told the top capacitance, however curved the way to it.
func TestLimitAtBoundIsWhereChiSquareHasRisen(t *testing.T) {
	c := simulated.Lighthouse()
	c.Ct = 0
	steps := []simulated.Step{simulated.Added(), simulated.Added(), simulated.Added(1), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22)}
	for _, noise := range []float64{1e-5, 1e-3, 4e-3} {
		tried := 0
		for seed := uint64(1); seed < 80 && tried < 4; seed++ {
			s := idealBench(estimation.Session{Log: c.Session(rand.New(rand.NewPCG(56, seed)), noise, 0.02, steps...)})
			r := mustFit(t, s)
			e := r.Find(quantities.Key{Name: quantities.TopCapacitance})
			if e.Bound != fit.AtLower || r.Scatter.Scale != 1 {
				continue
			}
			tried++
			k := e.Coverage
			s = r.Session // tolerances as they were enlarged
			s.Known = append(s.Known, quantities.Known{Key: quantities.Key{Name: quantities.TopCapacitance}, Value: e.Interval[1], Uncertainty: 1e-6 * e.Interval[1]})
			p := must.Get(estimation.NewProblem(s)).In(t)
			told, _, err := p.Solve(p.Start(s.Log), false, estimation.SolverSettings(s))
			if err != nil {
				t.Fatal(err)
			}
			rise := told.DataSquares + told.PriorSquares - r.Solution.DataSquares - r.Solution.PriorSquares
			if e.Interval[0] != 0 || !(math.Abs(rise/(k*k)-1) <= 0.01) {
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
