package fit

import "math"

const (
	refitSettled = 1e-3 // of a standard uncertainty: steps to come that are not worth taking
	refitTries   = 8
	refitRows    = 1 << 20 // derivatives kept for the first guess
)

// refitter solves a problem again, with its rows shifted, from a solution nearby. It takes
// whole Gauss–Newton steps, which are few there; where they don't shrink, or would leave
// the bounds, Solve does the work.
type refitter struct {
	p           Problem // shifted
	r           Result
	set         Settings
	v           solver
	data, prior []float64 // what residuals are shifted by
	jac         []float64 // weighted rows at r.X; nil: none are kept
	quick       bool
	x, move     []float64
}

func newRefitter(p Problem, r Result, s Settings) *refitter {
	f := &refitter{r: r, data: make([]float64, p.Data.N), prior: make([]float64, p.Prior.N),
		x: make([]float64, p.Params), move: make([]float64, p.Params)}
	f.p = p
	f.p.Data, f.p.Prior = shifted(p.Data, f.data), shifted(p.Prior, f.prior)
	f.p = f.p.weighted(r.weights)
	f.set = s
	f.set.Loss = r.loss
	f.quick = p.Own == 0
	for j := range p.Params {
		f.quick = f.quick && r.AtBound[j] == Free && r.R[j*p.Params+j] != 0
	}
	if f.quick {
		f.v.prepare(&f.p, f.set.withDefaults())
		f.v.a.data, f.v.a.row = 1/r.Scale, 1
		for j := range f.v.a.column {
			f.v.a.column[j] = 1
		}
		f.keepRows()
	}
	return f
}

// shifted adds to the residuals of e.
func shifted(e Rows, by []float64) Rows {
	return Rows{N: e.N, Own: e.Own, Evaluate: func(x []float64, first int, r, jac []float64) {
		e.Evaluate(x, first, r, jac)
		for i := range r {
			r[i] += by[first+i]
		}
	}}
}

// keepRows keeps the rows at the solution, if they aren't too many.
func (f *refitter) keepRows() {
	if (f.p.Data.N+f.p.Prior.N)*f.p.Params > refitRows {
		return
	}
	for _, part := range f.r.parts(f.p) {
		rows(part.Rows, f.r.X, f.p.Params, func(_ int, _ float64, jac []float64) bool {
			for _, v := range jac {
				f.jac = append(f.jac, v*part.weight)
			}
			return true
		})
	}
}

// solve returns the solution for the present shifts; ok is false where none was found. What
// it returns is overwritten by the next call.
func (f *refitter) solve() (x []float64, ok bool) {
	if f.quick && f.steps() {
		return f.x, true
	}
	r := solveAt(f.p, f.r.X, f.set, f.r.Scale)
	return r.X, r.Status.Converged()
}

// steps takes Gauss–Newton steps until those to come don't matter.
func (f *refitter) steps() bool {
	copy(f.x, f.r.X)
	last := f.guess()
	for range refitTries {
		if !f.inside() {
			return false
		}
		t := f.v.here
		s := f.v.a.at(f.x, t, math.Inf(1))
		size := norm(t.q()) // of the step, in standard uncertainties
		if !(s.objective < math.Inf(1)) || !t.finite() || size > last {
			return false
		}
		if !f.backward(t) {
			return false
		}
		for j, m := range f.move {
			f.x[j] += m
		}
		if size == 0 || size*size <= refitSettled*last && !math.IsInf(last, 1) {
			return f.inside()
		}
		last = size
	}
	return false
}

// guess moves x to where it were if rows were straight, and returns how far that is, in
// standard uncertainties.
func (f *refitter) guess() (length float64) {
	p := f.p.Params
	if f.jac == nil {
		return math.Inf(1)
	}
	g := f.move
	clear(g)
	for i, e := range f.data {
		if f.r.weights != nil {
			e *= math.Sqrt(f.r.weights[i])
		}
		axpy(-e/f.r.Scale, f.jac[i*p:][:p], g)
	}
	for i, e := range f.prior {
		axpy(-e, f.jac[(len(f.data)+i)*p:][:p], g)
	}
	for j := range p { // Rᵀy = g
		for k := range j {
			g[j] -= f.r.R[k*p+j] * g[k]
		}
		g[j] /= f.r.R[j*p+j]
	}
	length = norm(g)
	for j := p - 1; j >= 0; j-- {
		g[j] -= dot(f.r.R[j*p+j+1:][:p-j-1], g[j+1:])
		g[j] /= f.r.R[j*p+j]
		f.x[j] += g[j]
	}
	return length
}

// backward solves R·move = −q.
func (f *refitter) backward(t triangle) bool {
	for j, v := range t.q() {
		f.move[j] = -v
	}
	for j := t.p - 1; j >= 0; j-- {
		c := t.column(j)
		if c[j] == 0 {
			return false
		}
		f.move[j] /= c[j]
		axpy(-f.move[j], c[:j], f.move[:j])
	}
	return true
}

// inside tells whether x is within the bounds.
func (f *refitter) inside() bool {
	for j, x := range f.x {
		if lower, upper := f.p.bounds(j); !(x > lower && x < upper) {
			return false
		}
	}
	return true
}
