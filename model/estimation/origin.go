package estimation

import (
	"math"

	"fitcoil/model/quantities"
)

// Origin tells where a row of the fit comes from.
type Origin int

// IsPrior tells of a prior that nobody stated.
func (o Origin) IsPrior() bool { return o == fromAssumption || o == fromBench }

const (
	fromReading   Origin = iota
	FromTolerance        // of one part, as far as it is its own
	FromCommon           // what the tolerances of a lot have in common
	FromKnown
	FromEarlier    // readings of earlier sessions
	fromAssumption // on the coil, its core or a hand
	fromBench      // on the bench, whatever the coil
	fromModel      // what the resonator errs by
	Origins        // how many there are
)

// NewBudget splits the variance of a quantity, of which each kind of prior row
// contributes its share, and the readings the rest.
func NewBudget(shares [Origins]float64, variance float64) (b quantities.Budget) {
	if !(variance > 0) {
		return b
	}
	part := func(o Origin) float64 { return math.Min(math.Max(shares[o]/variance, 0), 1) } // but for rounding
	b.Common = part(FromCommon)
	b.Bench = part(fromBench)
	b.Earlier = part(FromEarlier)
	b.Tolerance, b.Known, b.Assumed, b.Model = part(FromTolerance)+b.Common, part(FromKnown)+b.Earlier, part(fromAssumption)+b.Bench, part(fromModel)
	b.Readings = math.Max(0, 1-b.Tolerance-b.Known-b.Assumed-b.Model)
	return b
}
