package estimation

import (
	"math"

	"fitcoil/model/quantities"
)

// The priors on a coil before the first reading. They are broad:
// they give way to any reading that says something on the matter, and what
// is determined by them is reported as such. They are choices, held against six coils that
// are 2 to 40 diameters long, with a hand as a sphere (TestPriorsSpanTheField, computed).
const (
	// A slim winding with a small ball holds most of its capacitance along
	// itself (0.03 to 0.06 at the top computed, with a ball of 18 mm); a squat one with a
	// large top does not.
	shareMean, shareSigma = 0.3, 0.3
	// A core of insulating ferrite changes the winding's capacitance somewhat:
	// the logarithm of the factor (0 to 0.03 computed).
	CoreSigma = 0.1
	// A hand is not a point: its offset is some centimetres, within a factor e (8.5 to 10 cm
	// computed from 5 to 40 cm, together with the exponent).
	offsetMean, offsetSigma = 0.07, 1
	// A grounded body lowers the frequency as some inverse power: 2.5 to 3.1 computed, from 5 to
	// 40 cm; with 2 the law is off by less than 600 ppm from 2 to 50 cm (TestHandLawAgainstFields).
	// With offset and exponent together, 10 and 40 cm differ by a factor of 11, within 2.4;
	// published laws have 1.4 to 43.
	exponentMean, exponentSigma = 2.4, 0.6
	// Where nothing tells inductance from capacitance, a solver needs some
	// ground under its feet: winding and top together are about 8 pF, within a
	// factor of seven. It is used only then, and far too weak to make anything
	// determined.
	AnchorMean, anchorSigma = 8e-12, 2
	// Where an unknown part can't be told from the coil either, it is some
	// picofarads, within twenty powers of e.
	partMean, partSigma = 3e-12, 10
	// Nor a hand: at 10 cm it is some tens of femtofarads, likewise.
	handMean, handSigma, handAt = 5e-14, 10, 0.1

	anchorLevels = 3 // none, the coil, the coil and its unknown parts and hand
)

// Assumption is something that a fit takes as given because neither the log nor
// a known value says it.
type Assumption struct {
	Kind   AssumptionKind
	Names  []string // the core or the parts it speaks of, if any
	Count  int      // how many readings or parts it is assumed of
	Value  float64  // SI; see the kind
	Spread float64  // its standard uncertainty; see the kind
	// Share is the part of the variance of the inductance in air that comes from
	// it, 0 to 1; NaN while that is undetermined.
	Share float64
	// Moved is by how many of its standard uncertainties the fit has moved the prior, and
	// Left the standard uncertainty that is left, as a fraction of that of the prior; NaN for
	// what is no single prior.
	Moved, Left float64
}

// AssumptionKind says what is assumed, and what Value and Spread hold.
type AssumptionKind int

// Assumptions. Where Spread is called a factor, the logarithm of the value has the
// standard uncertainty ln Spread.
const (
	NotAssumed             AssumptionKind = iota
	AssumedTolerance                      // of parts for which none is stated: relative standard uncertainty in Spread
	AssumedDigits                         // uncertainty of readings, from their digits
	AssumedShare                          // of the top in the coil's capacitance
	AssumedCoreCapacitance                // F, what the core adds, as drawn; Spread is a fraction of the winding's
	AssumedEnds                           // how far the ends reach, a fraction of the winding; Spread is a factor
	AssumedMoved                          // share of the winding's capacitance that a core moves in the equivalent line; Spread is a factor
	AssumedHandOffset                     // m; Spread is a factor
	AssumedHandExponent
	AssumedCommon      // share of a tolerance's variance in common with the other parts
	AssumedLead        // F
	AssumedDrift       // relative, from the first reading to the last
	AssumedCapacitance // F, of winding and top; Spread is a factor
	AssumedHand        // F, of the hand at the middle of the distances read; Spread is a factor
	AssumedPrimary     // the primary is at the grounded end, as the mode of the core's state sees it
	AssumedCoupled     // ln(f_short/f_open) of a primary; Names: the core, "" for none
	AssumedPart        // F, of a part without a value; Spread is a factor
	AssumedEarlier     // Count readings of an earlier session, which Names[0] holds; the rest of Names: cores and parts in them
	AssumedStray       // F, on the bench of an earlier session more than here
)

// assume makes an assumption of names, or of the whole coil.
func assume(kind AssumptionKind, value, spread float64, names ...string) Assumption {
	return Assumption{Kind: kind, Value: value, Spread: spread, Names: names, Count: max(1, len(names))}
}

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
