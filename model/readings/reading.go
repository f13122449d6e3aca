package readings

import "math"

// Log is what was read in one session, in SI units: the readings in the order
// they were taken, and the parts that were put on the top of the coil.
type Log struct {
	Readings []Reading
	Parts    []Part
	// Moments says when each reading was taken: in hours, or else as a number in the
	// session; nil where they followed one another evenly.
	Moments []float64
	Hours   bool
}

// Part is one physical thing put on top of the coil. The same part in several
// readings has one error, which those readings share.
type Part struct {
	Name        string  // as the maker calls it, "4.7 pF" or "spike"
	Capacitance float64 // F, nominal; meaningless unless Known
	Uncertainty float64 // F, standard uncertainty of the nominal value; 0 means exact
	Known       bool    // false: no value anywhere, so the fit has to find it
	Default     bool    // Uncertainty is that of parts for which nobody stated any
	Lot         string  // parts of one lot err alike in part; "": by itself
	Rectangular bool    // the error lies within limits, of which Uncertainty is 1/√3, and no more is known
	Common      float64 // share of the error's variance in common with its lot, 0 to 1
}

// State is the condition of the coil for one reading or prediction.
type State struct {
	Parts    []int   // indexes into Log.Parts of all that is on the top
	Clip     bool    // an empty clip is on the top: its capacitance comes with parts anyway
	Exact    float64 // F on the top beside the parts, without any uncertainty
	Core     string  // name of the core inserted, "" for air
	From, To float64 // stretch of the winding the core covers, 0 = grounded end, 1 = top
	Hand     float64 // m, distance of a hand or grounded body from the top; +Inf when nobody is near
	Primary  Primary
}

// Reading is one resonance frequency read in a known state, or the mean of
// several of one state.
type Reading struct {
	State
	Line        int     // line of the log it stands on: the label it is reported by
	Frequency   float64 // Hz
	Uncertainty float64 // Hz, standard uncertainty
	FromDigits  bool    // Uncertainty follows from the digits written, not from a stated ±
	Amplitude   float64 // pickup amplitude, one arbitrary unit for all readings; NaN when not recorded
	Quality     float64 // quality factor; NaN when not recorded
	Use         bool    // false: shown with its residual, but left out of the fit
	Note        string

	Repeats *Repeats // of a mean; nil for a reading by itself
}

// Bare returns the state with nothing added, air inside and nobody near.
func Bare() State { return State{Hand: math.Inf(1)} }

// Repeats tells of the readings of one state behind their mean.
type Repeats struct {
	Count           int
	Last            int     // line of the last; the Line of the mean is that of the first
	Deviation       float64 // Hz, experimental standard deviation of one reading (JCGM 100:2008, 4.2.2)
	Slow            float64 // uncertainty of the mean over what it were if each reading varied by itself, ≥ 1
	Wanders         bool    // they vary so slowly that no mean settles: its uncertainty is that of a stretch
	Lowest, Highest Extreme
}

// Extreme is the lowest or the highest of repeated readings.
type Extreme struct {
	Line      int
	Frequency float64 // Hz
}

// Count is the number of readings that r stands for.
func (r *Reading) Count() int {
	if r.Repeats == nil {
		return 1
	}
	return r.Repeats.Count
}

// Count is the number of readings in log, those behind means counted.
func (log *Log) Count() (n int) {
	for i := range log.Readings {
		n += log.Readings[i].Count()
	}
	return n
}

// Primary says what was done with a primary while a frequency was read. The zero value
// is none, or an open one.
type Primary struct {
	Kind        PrimaryKind
	Capacitance float64 // F across it, of a tuned one
	Upper       bool    // with a tuned one: of the two resonances the upper
}

// PrimaryKind is what is across a primary.
type PrimaryKind int

// Kinds of primaries.
const (
	PrimaryOpen PrimaryKind = iota // or absent
	PrimaryShorted
	PrimaryTuned // a capacitor
)
