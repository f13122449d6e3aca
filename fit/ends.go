package fit

import "math"

// Ends foretells the ends of profile-likelihood intervals to second order, from how the rows
// bend at a solution, for a small part of the work of Profile. With v the direction in
// which a quantity Q has its steepest rise, of the length of its standard uncertainty σ by the
// whole Hessian JᵀJ + Σ r T, T the second derivatives of a row, the objective along the profile is
// s² where
//
//	Q = Q̂ + σ s + ½ s² (vᵀQ″v − σ Σ (J v)(vᵀT v))
//
// to second order in s (after D. M. Bates and D. G. Watts, Nonlinear Regression Analysis,
// 1988, ch. 6; the expansion is our own).
type Ends struct {
	f          *refitter
	x, v, room []float64
}

// NewEnds prepares them; ok is false where parameters are own or at a bound, or the Hessian
// is none of a minimum. It is an error if r is of another problem.
func NewEnds(p Problem, r Result, s Settings) (e *Ends, ok bool, err error) {
	if err := r.solves(p); err != nil {
		return nil, false, err
	}
	f := newRefitter(p, r, s)
	if !f.quick || len(f.bend.at) == 0 {
		return nil, false, nil
	}
	copy(f.x, r.X)
	if !f.slope(true, true) || !f.decompose() {
		return nil, false, nil
	}
	n := p.Params
	return &Ends{f, make([]float64, n), make([]float64, n), make([]float64, packed(n))}, true, nil
}

// Of returns the ends at the distance k, a coverage factor.
func (e *Ends) Of(quantity Quantity, k float64) (lo, hi float64) {
	f := e.f
	value := quantity(f.r.X, f.gradient)
	copy(e.v, f.gradient)
	f.step() // leaves −H⁻¹g
	sigma := math.Sqrt(-dot(e.v, f.move))
	for j, m := range f.move {
		e.v[j] = -m / sigma
	}
	bent := 0.0
	f.bend.each(e.v, e.room, func(straight, curved float64) { bent += 2 * straight * curved })
	at := func(s float64) float64 {
		for j, v := range e.v {
			e.x[j] = f.r.X[j] + s*v
		}
		return quantity(e.x, nil)
	}
	curve := (at(k) + at(-k) - 2*value) / (k * k)
	shift := k * k / 2 * (curve - sigma*bent)
	return value - k*sigma + shift, value + k*sigma + shift
}
