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
	rows := r.R[:len(r.R):len(r.R)]
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

// result reports where the solver stands.
func (v *solver) result() Result {
	p := v.p.Params
	n := p + v.p.Own
	room := make([]float64, n+p*p)
	r := Result{
		X: room[:n:n], R: room[n:], Status: v.status,
		Iterations: v.iterations, Evaluations: v.evaluations,
		DataRows: v.p.Data.N, PriorRows: v.p.Prior.N, Params: n,
		AtBound: make([]Bound, n),
		Scale:   1 / v.a.data, ScaleDegrees: math.Inf(1),
		loss: v.a.loss, efficiency: 1, inner: 1, alike: v.p.Alike,
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
	}
	if v.a.own != nil {
		v.ownResult(&r)
	}
	for j, x := range r.X {
		switch lower, upper := v.p.bounds(j); x {
		case lower:
			r.AtBound[j] = AtLower
		case upper:
			r.AtBound[j] = AtUpper
		}
	}
	return r
}

// ownResult reports where own parameters stand.
func (v *solver) ownResult(r *Result) {
	o, p := v.here.own, v.p.Params
	unit := 1 / v.a.row
	copy(r.X[p:], o.x)
	r.OwnDiagonal, r.OwnRows = make([]float64, len(o.d)), make([]float64, len(o.w))
	if v.status == StartNotFinite {
		return
	}
	for i, d := range o.d {
		r.OwnDiagonal[i] = d * unit
		for j := range p {
			r.OwnRows[i*p+j] = o.w[i*p+j] * unit / v.a.column[j]
		}
	}
}
