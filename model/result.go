package model

import "fitcoil/fit"

// Result is what the readings of a session say.
type Result struct {
	Resonator  string // "line", "ladder" or "lumped"
	Parameters []Estimate
	Derived    []Estimate
	Contrasts  []Contrast
	Quality    Quality
	Readings   []ReadingResult
	Assumed    []Assumption // what the fit takes as given because nothing says it

	problem *problem
	session Session
	fit     fit.Result
	scatter fit.Scatter // Scale: see enlarged
	judged  fit.Result  // see enlarged
	cov     fit.Covariance
	stated  fit.Covariance

	apart   bool // stated is another than cov
	shares  *fit.Shares
	further further // see with
}

// Estimate is one quantity with what is known of it. Only the name, the unit
// and the labels mean anything unless Determined.
type Estimate struct {
	Name string
	Core string  // the core it belongs to, if any
	Part string  // the part it belongs to, if any
	Hand float64 // m, the distance of the hand it belongs to, 0 if none

	Value       float64
	Unit        string  // SI
	Uncertainty float64 // standard uncertainty, scatter included; NaN at a bound
	Stated      float64 // the same from the stated uncertainties alone
	Interval    [2]float64
	Determined  bool
	Equivalent  bool      // of a uniform line that rings alike, not of the winding and its top themselves
	Bound       fit.Bound // at which limit of the possible it stands
	Budget      Budget

	scattered bool // undetermined only since the readings scatter more than stated
}

// Budget tells where the variance of an estimate comes from, as fractions of
// the whole.
type Budget struct {
	Readings  float64 // frequencies as read
	Tolerance float64 // of the parts put on the top
	Common    float64 // of that, what parts of one lot have in common
	Known     float64 // values known from elsewhere
	Assumed   float64 // broad priors on coils of this kind and on the bench
	Bench     float64 // of that, those on the bench: lead and drift
	Model     float64 // what the resonator errs by, with a core partly in
}

// scaled returns b as a part of a variance of which it has the given share.
func (b Budget) scaled(share float64) Budget {
	return Budget{b.Readings * share, b.Tolerance * share, b.Common * share, b.Known * share, b.Assumed * share, b.Bench * share, b.Model * share}
}

// HeldByPrior tells whether more than half of the variance of the estimate doesn't
// come from the readings, but from tolerances, known values and priors together. It
// is the same for every quantity: an inductance with 97 % from tolerances is as well
// known as the capacitors are, however well the frequencies were read.
func (e *Estimate) HeldByPrior() bool {
	return e.Budget.Tolerance+e.Budget.Known+e.Budget.Assumed > 0.5
}

// Quality tells how well the model describes the readings.
type Quality struct {
	Readings         int     // used
	Unknowns         int     // parameters of the fit
	DegreesOfFreedom int     // rows, priors included, less parameters
	ChiSquare        float64 // at the stated uncertainties
	PValue           float64 // NaN without degrees of freedom
	Scale            float64 // factor on the readings' uncertainties that their scatter asks for, ≥ 1
	Redundancy       float64 // degrees of freedom of that factor
	Status           fit.Status
	Converged        bool
	AICc             float64 // NaN with too few readings
}

// ReadingResult is one reading beside the fitted model.
type ReadingResult struct {
	Reading
	Fitted       float64 // Hz; NaN where the fit can't say
	Residual     float64 // Hz, read − fitted
	Weighed      float64 // Hz, standard uncertainty that the fit gave it: scatter and that of the model included
	Standardised float64 // residual over its own standard deviation (internally studentised)
	Leverage     float64
	Cook         float64
	Flagged      bool
	Deleted      float64  // of a flagged one: reading less what all others predict, in standard uncertainties of that
	Moves        *Moved   // what leaving it out moves by more than its uncertainty, where it stands out
	Without      *Without // what leaving a flagged reading out would do
}

// Moved is a quantity that moves when a reading is left out.
type Moved struct {
	*Estimate
	By float64 // in its standard uncertainties
}

// Without is what the coil would be with one reading left out.
type Without struct {
	Inductance  Estimate // in air
	Effective   Estimate // inductance that goes with
	Capacitance Estimate // the effective one
}

// Undetermined is a quantity, or several, that the readings leave open.
type Undetermined struct {
	What   Gap
	Core   string
	Part   string
	Names  []string // the quantities concerned
	Advice Advice
	// Together tells that the advice helps together with that of the first gap, which is
	// that inductance and capacitance are not known apart.
	Together bool
}

// Gap names what the readings leave open.
type Gap int

// What readings can leave open.
const (
	GapSplit       Gap = iota // only the product of inductance and capacitance is fixed
	GapSpread                 // the added capacitances differ too little
	GapCoreAlways             // the core is in every reading
	GapCore                   // the core's gain
	GapHandLaw                // the hand's strength and offset, from too few distances
	GapHandCoarse             // the same, from readings too coarse for it
	GapHandCore               // the hand, since it was read only with a core that was never read without
	GapPart                   // a part without a value
	GapScatter                // what the readings would tell if they agreed as well as stated
	GapNeverPlain             // an unknown part or a hand is in every reading
	GapShape                  // how the capacitance is shared between winding and top
	GapCoreAdds               // what a core adds in capacitance, its gain being known
	GapNegative               // the coil's capacitance: that of the readings is below zero
	GapCapacitance            // the coil's capacitance, small beside all that was added
	GapLead                   // what clips and leads bring
	GapDrift                  // how far frequencies drift in a session
	GapOther
)

// Advice names the remedy.
type Advice int

// Remedies.
const (
	AddKnownCapacitor Advice = iota
	AddLargerCapacitor
	ReadWithoutCore
	ReadCoreWithCapacitor
	ReadMoreDistances
	RepeatDistances
	ReadPartWithKnown
	MoreReadings
	FindMisread
	ReadPlain
	ReadHandAlone
	ReadEmptyClip
	ReadFirstAgain
	AddMuchLarger
	AddMuchLargerAndClip
	CheckParts
	ReadBareOrSmall
)

// Parts returns the parts that states refer to by index.
func (r *Result) Parts() []Part { return r.session.Log.Parts }

// Log returns the log that was fitted.
func (r *Result) Log() Log { return r.session.Log }
