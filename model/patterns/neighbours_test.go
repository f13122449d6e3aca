package patterns

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The lag-1 autocorrelation that NIST's Statistical Reference Datasets certify for NumAcc1
// (univariate summary statistics; from memory, and by hand: deviations −1, 1, 0), and the
// runs of a sequence worked by hand: 12 values, 6 above, in 2 runs, where 7 ± √(72·60/
// (144·11)) are expected.
func TestNeighbours(t *testing.T) {
	if rho := autocorrelation([]float64{10000001, 10000003, 10000002}); !(math.Abs(rho+0.5) <= 1e-9) {
		t.Errorf("NumAcc1: %v, want −0.5", rho)
	}
	two := []float64{1, 1, 1, 1, 1, 1, -1, -1, -1, -1, -1, -1}
	if p := fewRuns(two); !(math.Abs(p/0.0032162-1) <= 1e-4) { // normal beyond 4.5/1.65145
		t.Errorf("two runs: %v", p)
	}
	if rho, p := Neighbours(two); p > 0.02 || rho < 0.7 {
		t.Errorf("two runs: %v, %v", rho, p)
	}
}

// Without a pattern, p is below a level in no more than that share of sequences.
func TestNeighboursByChance(t *testing.T) {
	rng := rand.New(rand.NewPCG(156, 1))
	for _, n := range []int{12, 18, 60, 256} {
		alarms := 0
		v := make([]float64, n)
		const trials = 4000
		for range trials {
			for i := range v {
				v[i] = rng.NormFloat64()
			}
			if _, p := Neighbours(v); p < 0.01 {
				alarms++
			}
		}
		if share := float64(alarms) / trials; share > 0.014 {
			t.Errorf("%d values: %v below 0.01", n, share)
		}
	}
}
