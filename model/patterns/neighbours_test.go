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

// Values of one sign have no runs to count: what is left is that they agree, of ρ√n. A zero counts as below.
func TestRunsOfOneSign(t *testing.T) {
	above := []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13}
	var below []float64
	for _, v := range above {
		below = append(below, -v)
	}
	for _, v := range [][]float64{above, below} {
		if p := fewRuns(v); p != 1 {
			t.Errorf("%v: runs as few by chance in %v", v, p)
		}
		rho, p := Neighbours(v)
		// Of 1 … 13: Σ over neighbours of (i − 7)(i − 6) is 4·35 = 140, Σ(i − 7)² is 182.
		if want := math.Erfc(rho * math.Sqrt(13) / math.Sqrt2); !(math.Abs(rho-140.0/182) <= 1e-12) || !(math.Abs(p-want) <= 1e-12) {
			t.Errorf("%v: ρ = %v, p = %v, want %v", v, rho, p, want)
		}
	}
	for _, zero := range []float64{0, -1e-9} { // 12 values, 5 above, in 5 runs, where 6.8333 ± √(70·58/(144·11)) are expected
		v := []float64{1, 2, zero, -1, 3, 1, -2, zero, -3, -1, 2, -1}
		if p, want := fewRuns(v), math.Erfc((70.0/12+1-5-1-0.5)/math.Sqrt(70*58.0/(144*11))/math.Sqrt2)/2; !(math.Abs(p-want) <= 1e-12) {
			t.Errorf("%v: %v, want %v", v, p, want)
		}
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
