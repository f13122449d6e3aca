package ringing

// Left is a part of the capture that no fit used.
type Left struct {
	Start, End float64 // s, in the time of the capture
	Why        Why
}

// Why says why a part was left out.
type Why int

// Reasons to leave a part out.
const (
	BeforeRing   Why = iota // nothing rings yet, or a drive does
	FirstCycles             // they don't follow the decay
	DiedAway                // behind the last ring fitted: nothing is left of it, or what follows could not be fitted
	BetweenRings            // a drive, or bursts too short or too irregular to be fitted
	OtherRing               // bursts at another frequency
)

func (w Why) String() string {
	return [...]string{
		BeforeRing:   "before the ring",
		FirstCycles:  "beginning that doesn't follow the decay",
		DiedAway:     "behind the last ring that was fitted",
		BetweenRings: "between the rings",
		OtherRing:    "ringing at another frequency",
	}[w]
}

// Covariance is that of the modes' undamped frequencies [Hz] and quality
// factors, f₁, Q₁, f₂, Q₂, …
type Covariance [][]float64
