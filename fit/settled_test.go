package fit

import (
	"math"
	"testing"

	"fitcoil/internal/near"
)

// Trials end once twice the standard deviation of each average over h batches, √(Σ(· − mean)²/(h(h − 1))), is at most
// a fifth of the tolerance of the standard uncertainty (JCGM 101:2008, 7.9.4): of the mean, of the standard
// uncertainty and of both ends, of all quantities; and not before four batches.
func TestWhenTrialsAreSettled(t *testing.T) {
	const u, digits = 0.4, 1 // δ = 0.05, a fifth of it 0.01: an average may have 0.005
	batch := func(off [4]float64) Sample {
		steady := []float64{-1, 0, 1}
		return Sample{Level: 0.9, Values: [][]float64{steady, {5 + off[2], 6, 7 + off[3]}},
			mean: []float64{0, 6 + off[0]}, deviation: []float64{u, u + off[1]}}
	}
	if lo, hi := batch([4]float64{2: 0.1, 3: 0.2}).Interval(1, 0.9); lo != 5.1 || hi != 7.2 {
		t.Errorf("interval from %v to %v", lo, hi)
	}
	for _, h := range []int{2, 3, 4, 5, 9} {
		for kind := range 4 {
			for _, c := range []struct {
				times   float64 // of the limit
				settled bool
			}{{0.98, h >= 4}, {1.02, false}} {
				var rule stopping
				var got bool
				// Of h batches the first is off by a, the second by −a: Σ of squares 2a².
				a := c.times * 0.005 * math.Sqrt(float64(h*(h-1))/2)
				for i := range h {
					var off [4]float64
					if i < 2 {
						off[kind] = a * float64(1-2*i)
					}
					got = rule.settled(batch(off), digits)
				}
				if got != c.settled {
					t.Errorf("%d batches, kind %d scatters %v times as much as it may: settled %v", h, kind, c.times, got)
				}
			}
		}
	}
	// A quantity without a variance is settled by its ends, of which half the distance is k of its uncertainty.
	for times, want := range map[float64]bool{0.98: true, 1.02: false} {
		var rule stopping
		var got bool
		for i := range 4 {
			off := 0.0
			if i < 2 {
				off = times * math.Sqrt(6) * 0.005 * float64(1-2*i)
			}
			got = rule.settled(Sample{Level: 0.9, Values: [][]float64{{-0.658 + off, 0, 0.658}}, mean: []float64{math.NaN()}, deviation: []float64{math.NaN()}}, 1)
		}
		near.To(t, "k", CoverageFactor(0.9, math.Inf(1)), 1.644854, 1e-6) // 0.658/1.644854 = 0.40003
		if got != want {
			t.Errorf("ends scatter %v times as much as they may: settled %v", times, got)
		}
	}
}
