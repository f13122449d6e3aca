package ringing

import "math"

// Signal is a voltage sampled at equal intervals.
type Signal struct {
	Start    float64 // s, time of the first sample
	Interval float64 // s, between samples
	// IntervalUncertainty is the standard uncertainty of Interval in s, as far
	// as the digits of the capture limit it.
	IntervalUncertainty float64
	Samples             []float64 // V
}

// overload is what instruments write for a reading that went over the range
// or is missing (SCPI-1999, volume 1, 7.2.1.4).
const overload = 9.9e37

const fewestSamples = 16

// check refuses what cannot be analysed at all.
func (s *Signal) check() error {
	if n := len(s.Samples); n < fewestSamples {
		return &Refusal{Reason: TooFewSamples, Got: float64(n), Need: fewestSamples}
	}
	if !(s.Interval > 0) || math.IsInf(s.Interval, 0) || !(s.IntervalUncertainty >= 0) || math.IsInf(s.IntervalUncertainty, 0) {
		return &Refusal{Reason: BadInterval, Got: s.Interval}
	}
	for i, y := range s.Samples {
		if !(math.Abs(y) < overload) { // catches NaN too
			return &Refusal{Reason: NotFinite, Got: y, Index: i}
		}
	}
	return nil
}

// time returns when sample i was taken [s]. What is nothing but rounding beside the
// interval is zero, which would else show a digit that depends on the processor.
func (s Signal) time(i float64) float64 {
	t := s.Start + i*s.Interval
	if math.Abs(t) < 1e-6*s.Interval {
		return 0
	}
	return t
}
