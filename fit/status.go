package fit

// Status says how a fit ended.
type Status int

const (
	// Unsolved is the status of a result that no solver wrote.
	Unsolved Status = iota
	// Converged: the last step was too small to matter (see Solve).
	Converged
	// RoundingLimited: steps no longer shrink, but are still too large to
	// vouch for the digits that Converged promises.
	RoundingLimited
	// IterationLimit: MaxIterations steps were made and more were needed.
	IterationLimit
	// Stalled: no step, however short, lowers the sum of squares, although
	// the derivatives say that one should.
	Stalled
	// Runaway: a parameter went where the residuals no longer depend on it.
	Runaway
	// StartNotFinite: residuals or derivatives at the start are infinite, not
	// a number, or too large to be squared.
	StartNotFinite
)

// Converged reports whether the parameters can be used.
func (s Status) Converged() bool { return s == Converged }

func (s Status) String() string {
	if s < Unsolved || s > StartNotFinite {
		return "unknown status"
	}
	return [...]string{
		Unsolved:        "not solved",
		Converged:       "converged",
		RoundingLimited: "limited by rounding: the steps stopped shrinking before the digits settled",
		IterationLimit:  "iteration limit: the steps allowed were used up before the digits settled",
		Stalled:         "stalled: no step lowers the sum of squares although its slope is not zero; the model may be discontinuous, undefined nearby, or have wrong derivatives",
		Runaway:         "runaway: a parameter went where the residuals no longer depend on it; another start or a bound is needed",
		StartNotFinite:  "no start: the residuals or their derivatives at the start are not finite",
	}[s]
}
