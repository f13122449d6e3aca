package ringing

// Reason says why a capture gives no frequency.
type Reason int

// Reasons for a refusal.
const (
	TooFewSamples Reason = iota
	BadInterval
	NotFinite
	Flat
	NoTone
	TooFewCycles
	TooMuchClipped
	NoFit
)

// Refusal is the error of a capture that does not determine a frequency.
type Refusal struct {
	Reason    Reason
	Got, Need float64 // what there was and what there should be, in the unit of the reason
	Index     int     // of the sample concerned, from 0
	Short     Short   // why there are too few cycles
}

// Short says why there are too few cycles.
type Short int

// Reasons for few cycles, each with a remedy of its own.
const (
	RecordEnds Short = iota // a tone goes on behind the end
	Dies                    // the ring has died away
	Slow                    // the strongest thing in the capture is slow: a tone, a step or a drift
	Over                    // what stands out is over before it has swung
)

// Error is for programmers; the words for people are the presenter's.
func (r *Refusal) Error() string { return "no frequency" }
