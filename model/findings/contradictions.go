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
	pulls, repeats := pulls(r), repeatScatter(r)
	if f, found := contradictingPrior(r, repeats); found {
		pulls = append(slices.DeleteFunc(pulls, func(g Finding) bool { return g.Kind == f.Kind && g.Name == f.Name }), f)
	}
	stable.Sort(pulls, func(a, b Finding) int { return cmp.Compare(math.Abs(b.Other), math.Abs(a.Other)) }) // the likeliest cause first
	pulls = causes(r, pulls, repeats)
	if f, found := tolerancesContradicted(r); found && len(pulls) == 0 {
		pulls = append(pulls, f)
	}
	if f, found := checkBelowZero(r); found {
		pulls = append([]Finding{f}, pulls...)
	}
	return pulls
}

// causes leaves of several parts and known values that are off those of which one alone explains
// why all are: with it left open, none is off, and the readings don't scatter more for it. Where
// there is no such one, all stay.
func causes(r *estimation.Result, all []Finding, repeats *Repeats) (some []Finding) {
	if len(all) < 2 || len(all) > mostSuspect {
		return all
	}
	for _, f := range all {
		o := opened(r, f.row)
		if o == nil || o.Scatter.Scale > math.Max(calm, r.Scatter.Scale) || len(pulls(o)) > 0 {
			continue
		}
		if _, another := contradictingPrior(o, repeats); !another {
			some = append(some, f)
		}
	}
	if some == nil {
		return all
	}
	return some
}
