package fit

import "slices"

// Result is what Solve found.
type Result struct {
	X          []float64 // the parameters
	Status     Status
	Iterations int // steps tried
	// Evaluations counts passes over all rows.
	Evaluations int
	// DataSquares and PriorSquares are Σr² of the standardised residuals at X,
	// by the stated uncertainties (whatever Scale is), without the rows Forgotten.
	DataSquares, PriorSquares float64
	// Forgotten lists the data rows to which Redescending leaves no weight.
	Forgotten []int
	// Objective is what was minimised: Σρ(r/Scale) over the data plus
	// PriorSquares.
	Objective                   float64
	DataRows, PriorRows, Params int
	AtBound                     []Bound // of each parameter
	// R is the upper triangle with RᵀR = JᵀJ at X, p × p, row after row, over
	// all rows, those of the data divided by Scale. With a robust loss the
	// data rows count by their efficiency (see Loss). With own parameters it is
	// that of the common ones, after the others are eliminated.
	R []float64
	// OwnDiagonal and OwnRows are the rows of the triangle that belong to own
	// parameters: the diagonal element of each, and its elements at the common
	// parameters, row after row.
	OwnDiagonal, OwnRows []float64
	// Scale is the factor S by which the stated uncertainties of the data were
	// enlarged; 1 from Solve.
	Scale float64
	// ScaleDegrees is the degrees of freedom with which the uncertainties of a
	// result are known: +Inf when they are the stated ones (see Scatter).
	ScaleDegrees float64

	loss       Loss
	pull       float64   // Σψ(r/Scale)² over the data
	inner      float64   // share of the data rows within the corner of the loss
	efficiency float64   // weight of the data rows in R, 1 for squares
	alike      float64   // data rows whose errors are those of others
	weights    []float64 // of each data row besides, after a biweight; nil: 1
}

// coreRows returns the rows of the triangle of the common parameters, and those of own
// ones at a bound: these are constants, and their rows tell of the common ones.
func (r *Result) coreRows(active []bool) []float64 {
	m := r.Params - len(r.OwnDiagonal)
	rows := slices.Clip(r.R)
	for i := range r.OwnDiagonal {
		if active[m+i] {
			rows = append(rows, r.OwnRows[i*m:][:m]...)
		}
	}
	return rows
}

// ownRows returns what Covariance needs of own parameters; nil without any.
func (r *Result) ownRows(active []bool) *ownRows {
	n := len(r.OwnDiagonal)
	if n == 0 {
		return nil
	}
	m := r.Params - n
	o := &ownRows{n: n, m: m, d: r.OwnDiagonal, w: r.OwnRows, active: active[m:], at: make([]int, n)}
	for i := range o.at {
		o.at[i] = m + i
	}
	return o
}

// Bound says where a parameter stands with respect to its bounds.
type Bound int8

// The places of a parameter.
const (
	Free Bound = iota
	AtLower
	AtUpper
)

func (b Bound) String() string {
	switch b {
	case AtLower:
		return "at its lower bound"
	case AtUpper:
		return "at its upper bound"
	}
	return "free"
}

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
