package fit

import "gonum.org/v1/gonum/floats"

const (
	quadraticStep = 0.5     // standard uncertainties over which derivatives are compared
	quadraticRoom = 1e-3    // least of these
	quadraticSize = 1 << 20 // second derivatives kept
)

// quadratic is what rows are to second order at a solution x: the derivatives J of all, and the
// second ones T (packed) of those that are curved. With these a shifted problem is solved nearly
// to second order.
type quadratic struct {
	p      int
	jac    []float64 // row after row, those of the data first
	at     []int     // the rows that are curved
	t      []float64 // packed for each of them
	rest   []float64 // Σ J Jᵀ of the priors, packed
	square []float64 // of the length of each column of R
}

// newQuadratic takes second derivatives from differences of the first along the principal axes
// of the triangle R, whose diagonal has no zeros: rows may be far straighter along a valley
// than across. They are left out if there are too many, or bounds too near.
func newQuadratic(a *assembler, p *Problem, x, r []float64) *quadratic {
	n, m := p.Params, p.Data.N+p.Prior.N
	b := &quadratic{p: n, jac: make([]float64, m*n)}
	b.load(a, x, b.jac)
	if m*n*n <= quadraticSize {
		b.keep(b.differences(a, p, x, r))
	}
	b.rest, b.square = make([]float64, packed(n)), make([]float64, n)
	for j := range n {
		for i := range j + 1 {
			b.square[j] += r[i*n+j] * r[i*n+j]
		}
	}
	for i := p.Data.N; i < m; i++ {
		row := b.jac[i*n:][:n]
		for j, v := range row {
			axpy(v, row[:j+1], b.rest[packed(j):])
		}
	}
	return b
}

// load writes the derivatives of all rows at x.
func (b *quadratic) load(a *assembler, x, jac []float64) {
	at := 0
	a.blocks(x, func(_ int, r []float64) {
		for j := range b.p {
			for i, v := range a.loaded(j, len(r)) {
				jac[(at+i)*b.p+j] = v
			}
		}
		at += len(r)
	})
}

// differences returns the second derivatives of all rows; nil where bounds are too near.
func (b *quadratic) differences(a *assembler, p *Problem, x, r []float64) []float64 {
	n, m := b.p, len(b.jac)
	t := make([]float64, m*n)
	high, low := make([]float64, m), make([]float64, m)
	axis, y := make([]float64, n), make([]float64, n)
	for k := range n {
		clear(axis)
		axis[k] = 1
		substitute(r, axis)
		up, down := p.room(x, axis, quadraticStep), p.room(x, axis, -quadraticStep)
		if !(up-down >= quadraticRoom) {
			return nil
		}
		move(y, x, axis, up)
		b.load(a, y, high)
		move(y, x, axis, down)
		b.load(a, y, low)
		for i := range m {
			axpy((high[i]-low[i])/(up-down), r[k*n:][:n], t[i*n:][:n])
		}
	}
	return t
}

// room returns the part of a step along an axis that stays within the bounds.
func (p *Problem) room(x, axis []float64, step float64) float64 {
	for j, v := range axis {
		lower, upper := p.bounds(j)
		if to := x[j] + step*v; to < lower {
			step = (lower - x[j]) / v
		} else if to > upper {
			step = (upper - x[j]) / v
		}
	}
	return step
}

func move(to, x, axis []float64, step float64) {
	for j, v := range axis {
		to[j] = x[j] + step*v
	}
}

// keep keeps those of the rows that are curved, made symmetrical.
func (b *quadratic) keep(t []float64) {
	n := b.p
	own := make([]float64, packed(n))
	for i := 0; i*n*n < len(t); i++ {
		all, found := t[i*n*n:][:n*n], false
		for j := range n {
			for k := range j + 1 {
				mean := (all[j*n+k] + all[k*n+j]) / 2
				own[packed(j)+k] = mean
				found = found || mean != 0
			}
		}
		if found {
			b.at = append(b.at, i)
			b.t = append(b.t, own...)
		}
	}
}

// packed is where row j of a lower triangle begins, kept row after row.
func packed(j int) int { return j * (j + 1) / 2 }

// along adds to g, −½ dᵀT d times the derivatives of each row: minus half the gradient of
// what curvature adds to rows along a step d, were they straight.
func (b *quadratic) along(d, g, room []float64) {
	pairs(d, room)
	for k, i := range b.at {
		axpy(-b.curved(k, room), b.jac[i*b.p:][:b.p], g)
	}
}

// each calls visit with J d and ½ dᵀT d of each curved row.
func (b *quadratic) each(d, room []float64, visit func(straight, curved float64)) {
	pairs(d, room)
	for k, i := range b.at {
		visit(dot(b.jac[i*b.p:][:b.p], d), b.curved(k, room))
	}
}

// pairs writes the products of two elements of d, packed, half of the squares.
func pairs(d, to []float64) {
	for j, v := range d {
		row := to[packed(j):][:j+1]
		for k := range j {
			row[k] = v * d[k]
		}
		row[j] = v * v / 2
	}
}

// curved returns ½ dᵀT d of the k-th curved row.
func (b *quadratic) curved(k int, pairs []float64) float64 {
	return floats.Dot(b.t[k*len(pairs):][:len(pairs)], pairs)
}

// add adds Σ r T to h.
func (b *quadratic) add(r, h []float64) {
	for k, i := range b.at {
		floats.AddScaled(h, r[i], b.t[k*len(h):][:len(h)])
	}
}
