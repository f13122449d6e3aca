package estimation

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
