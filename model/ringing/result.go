package ringing

import "fitcoil/model/quantities"

// Kind says what was found.
type Kind int

// The kinds of signal.
const (
	Steady Kind = iota // a tone whose decay, if any, can't be told from none
	Decay              // one decaying burst or several
)

func (k Kind) String() string {
	if k == Decay {
		return "decaying"
	}
	return "steady"
}

// Result is what a capture says.
type Result struct {
	Kind Kind
	// Resonance is the frequency at which the coil would ring without losses:
	// the undamped frequency of a decay, the frequency of a steady tone. It is
	// the one for a bench log.
	Resonance quantities.Estimate
	// Frequency is that of the zero crossings, the damped frequency.
	Frequency quantities.Estimate
	Quality   quantities.Estimate
	// QualityAtLeast is exceeded by the quality factor with 95 % confidence;
	// it is also known where Quality is not.
	QualityAtLeast float64
	Damping        quantities.Estimate // 1/s, of the envelope exp(−αt)
	Amplitude      quantities.Estimate // at the beginning of the loudest burst
	Offset         quantities.Estimate

	Tones []Tone // of the loudest burst, the strongest first
	// Modes are those of the tones that decay and are no harmonics, with the
	// covariance of their frequencies and quality factors; none of a steady tone.
	Modes      []Tone
	Covariance Covariance
	Bursts     []Burst // in order of time
	Found      int     // bursts that there are, those too short, without a tone or not among the loudest included
	// Unclaimed tells that no estimate has an uncertainty: see [quantities.Estimate].
	Unclaimed bool

	Noise    Noise
	Clipping Clipping
	Used     float64 // share of the capture that was fitted
	Left     []Left  // what wasn't
	Notes    []Note

	SamplesPerCycle float64
	Drawing         Drawing
}

// Tone is one component of a burst.
type Tone struct {
	Relation       Relation
	Harmonic       int // for a harmonic: 2, 3, …
	Frequency      quantities.Estimate
	Natural        quantities.Estimate // undamped frequency
	Damping        quantities.Estimate
	Quality        quantities.Estimate
	QualityAtLeast float64
	Amplitude      quantities.Estimate // at the first sample of the burst
}

// Relation is how a tone stands to the strongest one.
type Relation int

// Relations of tones.
const (
	Strongest Relation = iota
	Harmonic           // a multiple
	Folded             // a multiple above half the sample rate, seen where it folds to
	Near               // so near that the two beat
	Steadily           // steady beside a ring: a drive's, or a station's
	Other
)

func (r Relation) String() string {
	return [...]string{
		Strongest: "strongest",
		Harmonic:  "harmonic",
		Folded:    "folded harmonic",
		Near:      "beating",
		Steadily:  "steady",
		Other:     "other tone",
	}[r]
}

// Burst is one stretch that was fitted.
type Burst struct {
	Start, End float64 // s, in the time of the capture
	Cycles     float64 // that stand out of the noise
	Skipped    float64 // cycles left out between the onset and Start
	Tone       Tone    // the strongest
	Apart      bool    // it rings at another frequency than the loudest, and is left out
}

// Noise is what the fit leaves in the loudest burst.
type Noise struct {
	RMS float64 // V, of the residuals of single samples
	// AtTone is the density of the noise at the tone over its mean density:
	// 1 for white noise. The uncertainties are made with it.
	AtTone float64
}
