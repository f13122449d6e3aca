package findings

import (
	"math"
	"slices"
	"testing"

	"fitcoil/fit"
	"fitcoil/model/internal/simulated"
)

// A suspect is one that the others leave a chance below 1 % among all that are tested (Bonferroni), and
// that stands off by 3.5 of its own uncertainties.
func TestSuspectAmongAllTested(t *testing.T) {
	flagged, spared, near, below, few := 0, 0, 0, 0, 0
	fewer, twice, often := append(full(), simulated.Added(), simulated.Added(10), simulated.Added(22), simulated.Added(4.7)), append(full(), full()...), full()
	for range 14 {
		often = append(often, simulated.Added(), simulated.Added(10))
	}
	for _, c := range []struct {
		steps []simulated.Step
		i     int
		off   float64
	}{
		{twice, 0, 4}, {twice, 10, 4.6}, {twice, 0, 5}, {twice, 10, 6}, {twice, 0, 8}, {twice, 10, -12}, {twice, 0, -8}, {twice, 10, -6},
		{often, 4, 11}, {often, 5, 9}, {often, 4, -11}, {fewer, 0, 6}, {fewer, 0, -6}, {fewer, 10, 5}, {fewer, 3, 7}, {fewer, 13, -5},
	} {
		s := sessionOf(93, c.steps...)
		o := &s.Log.Readings[c.i]
		o.Frequency += c.off * o.Uncertainty
		r := fitted(t, s)
		FlagSuspects(r, nil)
		for _, k := range r.Problem.Rows {
			got := &r.Readings[k]
			if !(math.Abs(got.Standardised) > 2) {
				continue
			}
			without := s
			without.Log.Readings = slices.Clone(s.Log.Readings)
			without.Log.Readings[k].Use = false
			others := fitted(t, without)
			z := others.Readings[k].Standardised
			chance := fit.Chance(z, others.Scatter.Redundancy) * float64(len(r.Problem.Rows))
			want := chance < 0.01 && math.Abs(got.Residual) > 3.5*r.Problem.Uncertainty(r.Solution.X, &got.Reading)
			if got.Flagged != want {
				t.Errorf("off by %v, line %d: z %v of others, chance %v: flagged %v", c.off, got.Line, z, chance, got.Flagged)
			}
			if chance < 0.01 && !want {
				near++
			}
			if !want && fit.Chance(z, statedDegrees(others, 1))*float64(len(r.Problem.Rows)) < 0.01 && math.Abs(got.Residual) > 3.6*r.Problem.Uncertainty(r.Solution.X, &got.Reading) {
				few++
			}
			if want {
				flagged++
				if z < 0 {
					below++
				}
			} else if chance/float64(len(r.Problem.Rows)) < 0.01 {
				spared++
			}
		}
	}
	if flagged == 0 || spared == 0 || near == 0 || below == 0 || few == 0 {
		t.Errorf("%d flagged, %d below, %d spared, %d near, %d of few: the test needs all", flagged, below, spared, near, few)
	}
}
