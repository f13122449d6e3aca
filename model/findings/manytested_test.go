package findings

import (
	"math"
	"slices"
	"testing"

	"fitcoil/fit"
)

// A suspect is one that the others leave a chance below 1 % among all that are tested (Bonferroni), and
// that stands off by 3.5 of its own uncertainties.
func TestSuspectAmongAllTested(t *testing.T) {
	flagged, spared := 0, 0
	for i, off := range []float64{4, 4.6, 5, 6, 8, 12} {
		s := sessionOf(93, append(full(), full()...)...)
		o := &s.Log.Readings[10*(i%2)]
		o.Frequency += off * o.Uncertainty
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
				t.Errorf("off by %v, line %d: z %v of others, chance %v: flagged %v", off, got.Line, z, chance, got.Flagged)
			}
			if want {
				flagged++
			} else if chance/float64(len(r.Problem.Rows)) < 0.01 {
				spared++
			}
		}
	}
	if flagged == 0 || spared == 0 {
		t.Errorf("%d flagged, %d spared: the test needs both", flagged, spared)
	}
}
