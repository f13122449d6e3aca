package resonance

import (
	"math"

	"fitcoil/model/quantities"
)

// Point is one reading of a sweep.
type Point struct {
	Frequency      float64 // Hz
	Amplitude      float64 // any unit, above 0
	FrequencyDigit float64 // Hz, worth of its last digit; 0 where it is exact
	AmplitudeDigit float64 // the same of the amplitude
}

// Result is what a sweep says.
type Result struct {
	Resonance quantities.Estimate // Hz, f₀
	Quality   quantities.Estimate
	Peak      quantities.Estimate // amplitude at f₀
	// Direct is what reaches the probe directly, as a share of the peak.
	Direct quantities.Estimate

	// Constant tells that the noise is the same at all frequencies; else it is
	// in proportion to the amplitude.
	Constant bool
	Scatter  float64 // standard deviation of a reading, as a share of the peak or of the reading
	Degrees  float64 // of freedom

	Points []Point   // in the order of frequency
	Fitted []float64 // amplitude of the curve at each
	Notes  []Note

	line [parameters]float64
}

// At returns the amplitude of the curve at a frequency in Hz.
func (r *Result) At(frequency float64) float64 { return math.Exp(line(frequency, r.line[:], nil)) }

// Note is something to know beside the numbers.
type Note struct {
	Kind  Kind
	Value float64
}

// Kind is the kind of a note.
type Kind int

// Kinds of notes, with their values.
const (
	Pattern   Kind = iota // the residuals follow a pattern (correlation of neighbours)
	FewInPeak             // readings within the half-power width
	Below                 // no reading below the peak that fell to 70 % of it (lowest share)
	Above                 // the same above the peak
	FewDigits             // the frequencies are written too coarsely (Hz, worth of a last digit)
	Coupled               // much reaches the probe directly (share of the peak)
)

// Reason says why a sweep gives no resonance.
type Reason int

// Reasons for a refusal.
const (
	TooFew   Reason = iota // readings at different frequencies
	BelowAll               // the peak is below all frequencies
	AboveAll               // the peak is above all frequencies
	Slip                   // one reading is far from both its neighbours; at the first of Frequencies
	NoPeak                 // the readings scatter as much as the curve rises (probability that it is chance)
	TwoPeaks               // at the frequencies of Refusal
	NoWidth                // the width of the line is not determined
	NoLine                 // no line fits
)

// Refusal is the error of a sweep that determines no resonance.
type Refusal struct {
	Reason      Reason
	Got, Need   float64
	Frequencies [2]float64 // Hz, of two peaks, or of the ends of the sweep
}

// Error is for programmers; the words for people are the presenter's.
func (r *Refusal) Error() string { return "no resonance" }
