package findings

import "fitcoil/model/estimation"

// Finding is something the user should know before believing the numbers.
type Finding struct {
	Kind      FindingKind
	Line      int    // of the log, where it concerns one reading
	Name      string // quantity, part or core, where it concerns one
	Core      string // of that quantity, where it is one of a core
	Lines     []int  // where it concerns several
	Moves     *estimation.Moved
	Mistake   *Mistake
	Value     float64 // see the kind
	Other     float64
	Slip      *Slip // of unit, that would explain it
	OrScatter bool  // of Drifts: few readings show how much they scatter, which may be all
	Hourly    bool
	Drawn     bool // a known value that the drawing gave
	Robust    bool // a robust fit may tell more
	Pattern   Pattern
	Repeats   *Repeats // of ScatterExceeds, where repeats scatter more than stated

	row int // of the prior that is off, of a part or known value
}

// FindingKind says what a Finding is about, and what its Value and Other hold.
type FindingKind int

// Findings.
const (
	ScatterExceeds         FindingKind = iota // Value: factor on the stated uncertainties, Other: p-value
	NothingToTest                             // the readings are too few to test the model or what is stated of them
	ReadingSuspect                            // Line; Value: standard uncertainties from what the others predict
	ReadingDecisive                           // Line; Moves: quantity; Value: its shift without the reading, in its standard uncertainties; Other: studentised residual
	ReadingForgotten                          // Line, Mistake: a robust fit gives the reading no weight
	LikelyMistake                             // Slip: one edit that makes the log consistent
	ReadingsUnchecked                         // Lines: readings that determine something alone, so that nothing checks them
	TooGood                                   // Value: p-value; the readings scatter less than stated
	PartOffTolerance                          // Name: part; Value: in F, by all else than its stated value, Other: pull in standard deviations
	KnownContradicts                          // Name, Core: quantity; Value: known value, Other: pull in standard uncertainties
	CapacitanceBelowZero                      // Value: capacitance of the coil [F], −Inf where more on the top raises the frequency, Other: its standard uncertainty
	EarlierContradicts                        // Name: log of the last earlier session; Value: p-value
	AtBound                                   // Name: quantity at the limit of the possible
	ShapeAssumed                              // how the capacitance is shared comes from a broad prior
	NeighboursAlike                           // Name: order along which they are neighbours; Value: lag-1 autocorrelation, Other: p-value
	RunOrderTrend                             // Value: rank correlation of residuals with run order, Other: p-value
	ReadingApart                              // Line; Value: standard deviations from the mean of the readings in its state, Other: how many these are
	ReadingsSlow                              // Line: of the first; Value: uncertainty of their mean over what it were if each varied by itself
	ReadingsWander                            // Line: of the first; Value: the same, where no mean settles
	TolerancesContradicted                    // Value: p-value with the readings as uncertain as they scatter; Pattern
	Drifts                                    // Value: drift, Other: its standard uncertainty, as among the estimates; Hourly: both an hour
	CoreDisperses                             // Name: core; Value: relative change of its gain over the frequencies read with it, Other: most over least of its permeability
	ModelUncertainty                          // Value: relative standard uncertainty given to readings with a partly covered winding
	FitsNoCoil                                // Value: relative residuals, root mean square; Lines: of the largest
	Implausible                               // Value: inductance [H] of no coil on a bench, or one with Other, its impedance [Ω]; Slip
)

// Undermines tells whether a finding makes all numbers doubtful, so that it has to be
// read before them.
func (f Finding) Undermines() bool {
	return f.Kind == KnownContradicts || f.Kind == CapacitanceBelowZero || f.Kind == EarlierContradicts || f.Kind == PartOffTolerance || f.Kind == TolerancesContradicted || f.Kind == LikelyMistake || f.Kind == FitsNoCoil || f.Kind == Implausible
}

// Pattern says how parts are off that contradict their tolerances together.
type Pattern int

// Patterns.
const (
	Apart     Pattern = iota // each in its own way
	SmallHigh                // the smaller a part, the more it is above its value: something comes with each
	SmallLow                 // the smaller, the more below
	AllHigh                  // all above
	AllLow                   // all below
)

// Mistake is one edit of a log that would make readings that contradict each other
// consistent: what probably went wrong when it was written.
type Mistake struct {
	Kind    MistakeKind
	Lines   []int   // of the readings it would change
	Part    string  // of MistakenPart
	Read    float64 // as it stands: Hz, or F for a part
	Meant   float64 // as it would fit: a number that a slip of the pen makes of Read; NaN if none does
	Predict float64 // Hz, what all others predict for a single reading
	Within  float64 // Hz, standard uncertainty of that

	OrScatter bool // the others may agree by chance though all scatter more than stated, as much as they do with it

	Drift, DriftWithin float64 // of MistakenOneOf: what would make the readings consistent as well; 0 for none
	Hourly             bool    // these are per hour
}

// MistakeKind says what may have gone wrong.
type MistakeKind int

// Mistakes.
const (
	MistakenReading MistakeKind = iota // one reading: misread, or in another state than written
	MistakenRows                       // two neighbouring rows have each other's frequencies
	MistakenPart                       // a part's value is off by a power of ten
	MistakenOneOf                      // in one of several readings, and nothing tells which, or in one and little shows it
)

// Slip is a unit that was mistaken in a whole log: with the values times Factor, the
// coil would be an ordinary one.
type Slip struct {
	Added      bool // of the capacitances added; else of the frequencies
	Factor     float64
	Inductance float64 // H, then
	Impedance  float64 // Ω, then
}
