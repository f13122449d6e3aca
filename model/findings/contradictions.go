package findings

import (
	"cmp"
	"math"
	"slices"

	"fitcoil/model/estimation"
	"fitcoil/stable"
)

// Contradictions tells which parts and known values disagree with the readings, and first
// whether these leave the coil no capacitance.
func Contradictions(r *estimation.Result) []Finding {
	pulls := pulls(r)
	if f, found := contradictingPrior(r); found {
		pulls = append(slices.DeleteFunc(pulls, func(g Finding) bool { return g.Kind == f.Kind && g.Name == f.Name }), f)
	}
	if f, found := tolerancesContradicted(r); found && len(pulls) == 0 {
		pulls = append(pulls, f)
	}
	stable.Sort(pulls, func(a, b Finding) int { return cmp.Compare(math.Abs(b.Other), math.Abs(a.Other)) }) // the likeliest cause first
	if f, found := checkBelowZero(r); found {
		pulls = append([]Finding{f}, pulls...)
	}
	return pulls
}
