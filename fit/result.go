package fit

import "math"

// Result is what Solve found.
type Result struct {
	X          []float64 // the parameters
	Status     Status
	Iterations int // steps tried
	// Evaluations counts passes over all rows.
	Evaluations int
	// DataSquares and PriorSquares are Σr² of the standardised residuals at X,
	// by the stated uncertainties (whatever Scale is).
	DataSquares, PriorSquares float64
	// Objective is what was minimised: Σρ(r/Scale) over the data plus
	// PriorSquares.
	Objective                   float64
	DataRows, PriorRows, Params int
	AtBound                     []Bound // of each parameter
	// R is the upper triangle with RᵀR = JᵀJ at X, p × p, row after row, over
	// all rows, those of the data divided by Scale. With a robust loss the
	// data rows count by their efficiency (see Loss).
	R []float64
	// Scale is the factor S by which the stated uncertainties of the data were
	// enlarged; 1 from Solve.
	Scale float64
	// ScaleDegrees is the degrees of freedom with which the uncertainties of a
	// result are known: +Inf when they are the stated ones (see Scatter).
	ScaleDegrees float64

	loss       Loss
	pull       float64 // Σψ(r/Scale)² over the data
	inner      float64 // share of the data rows within the corner of the loss
	efficiency float64 // weight of the data rows in R, 1 for squares
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

// result reports where the solver stands.
func (v *solver) result() Result {
	p := v.p.Params
	room := make([]float64, p+p*p)
	r := Result{
		X: room[:p:p], R: room[p:], Status: v.status,
		Iterations: v.iterations, Evaluations: v.evaluations,
		DataRows: v.p.Data.N, PriorRows: v.p.Prior.N, Params: p,
		AtBound: make([]Bound, p),
		Scale:   1 / v.a.data, ScaleDegrees: math.Inf(1),
		loss: v.a.loss, efficiency: 1, inner: 1,
	}
	if n := v.p.Data.N; n > 0 && v.a.loss.k > 0 {
		r.inner = math.Max(v.sum.inner, 0.5) / float64(n)
	}
	if v.a.even > 0 {
		r.efficiency = v.a.even
	}
	copy(r.X, v.x)
	unit := 1 / v.a.row
	r.DataSquares = v.sum.data * unit * unit
	r.PriorSquares = v.sum.prior * unit * unit
	r.Objective = v.sum.objective * unit * unit
	r.pull = v.sum.pull * unit * unit
	for j := range p {
		for i, e := range v.here.column(j) {
			if v.status == StartNotFinite {
				break // no row says anything
			}
			r.R[i*p+j] = e * unit / v.a.column[j]
		}
		lower, upper := v.p.bounds(j)
		switch x := v.x[j]; {
		case x == lower:
			r.AtBound[j] = AtLower
		case x == upper:
			r.AtBound[j] = AtUpper
		}
	}
	return r
}
