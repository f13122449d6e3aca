package fit

// solver is the state of one fit. Inside, parameter j is counted in units of
// a.column[j], an exact power of two that is nearly always one.
type solver struct {
	p    Problem
	set  Settings
	a    assembler
	step stepper

	x, trial      []float64
	here, there   triangle  // at x and at trial
	sum           sums      // at x
	d, inverse    []float64 // largest column norms so far, and 1/d
	norms         []float64 // column norms at x
	move          []float64 // the step
	active, fixed []bool
	bounded       bool
	clipped       bool // whether a bound was met by the step

	radius, lambda float64
	floor          float64   // residual that counts as small, see Solve
	floors         []float64 // the same for each parameter, or 0, see unit
	size           float64   // of the step that led to trial
	fewestLost     int       // directions without hold, at the x that had fewest

	last    float64 // size of the Gauss–Newton step before; +Inf if it was none
	refused int     // steps in a row
	newtons int     // calls of newton

	status                  Status
	iterations, evaluations int
}

// proposal is a step that the trust-region model proposes.
type proposal struct {
	length    float64 // of the scaled step
	predicted float64 // reduction of the objective
	size      float64 // as Solve measures convergence
	whole     bool    // the Gauss–Newton step, neither shortened nor clipped
	level     bool    // the objective is too flat to show the reduction
}
