package estimation

import (
	"cmp"
	"math"
	"slices"

	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Source is one thing that the variance of a quantity comes from.
type Source struct {
	Kind       SourceKind
	Part       string     // of a PartSource
	Known      string     // name of the quantity known, of a KnownSource; see EarlierSource
	Assumption Assumption // of an AssumptionSource, and of a CommonSource that nobody stated
	Count      int        // readings, of those kinds
	Share      float64    // of the variance, 0 to 1
}

// SourceKind says what a Source is.
type SourceKind int

// Kinds of sources. A reading counts with the first of these that it has: a hand, a core,
// something added.
const (
	BareReadings SourceKind = iota
	AddedReadings
	CoreReadings
	HandReadings
	PartSource   // the tolerance of a part, as far as it is its own
	CommonSource // what the tolerances of several parts have in common
	KnownSource
	EarlierSource // readings of an earlier session, Known is where they were found
	AssumptionSource
	ModelSource // what the model errs by with a core partly in
	kinds       // how many there are
)

// Sources lists what the variance of e comes from, the largest first; the shares sum to 1.
// It is the summary of Budget: readings by what was read, and what the model errs by in one
// line. It is empty where e is undetermined.
func (r *Result) Sources(e *quantities.Estimate) (list []Source) {
	for _, in := range Summary(r.Budget(e)) {
		list = append(list, in.Source)
	}
	return list
}

// Summary puts the lines of a budget together that are of one kind, readings by what was read,
// and sorts by share. A line that stands for several has no value, and the root of the sum of
// squares for its contribution.
func Summary(budget []Input) (list []Input) {
	var at [kinds]int // where a kind stands in list, plus 1
	for _, in := range budget {
		if in.Kind != ModelSource && in.Kind > HandReadings || at[in.Kind] == 0 {
			list = append(list, in)
			at[in.Kind] = len(list)
			continue
		}
		sum := &list[at[in.Kind]-1]
		*sum = Input{
			Source:       Source{Kind: in.Kind, Count: sum.Count + in.Count, Share: sum.Share + in.Share},
			Contribution: math.Hypot(sum.Contribution, in.Contribution), Unit: in.Unit, Degrees: in.Degrees,
			Value: math.NaN(), Uncertainty: math.NaN(), Sensitivity: math.NaN(),
		}
	}
	slices.SortStableFunc(list, func(a, b Input) int { return cmp.Compare(b.Share, a.Share) })
	return list
}

func source(s *readings.State) SourceKind {
	switch {
	case s.Nearness() > 0:
		return HandReadings
	case s.Core != "":
		return CoreReadings
	case len(s.Parts) > 0 || s.Exact > 0 || s.Clip:
		return AddedReadings
	}
	return BareReadings
}
