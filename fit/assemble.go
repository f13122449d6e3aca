package fit

import "math"

// The two kinds of rows.
const (
	dataRows = iota
	priorRows
)

// assembler walks over all rows of a problem at a given x, weights them and
// folds them into a triangle.
type assembler struct {
	params int          // those that are not own
	width  int          // derivatives in a row
	own    *elimination // nil without own parameters
	rows   [2]Rows      // by kind
	loss   Loss
	data   float64   // weight of a data row, 1/Scale
	even   float64   // > 0: the same weight for all data rows, not the loss's
	column []float64 // exact powers of two that bring the columns near one
	row    float64   // the same for all rows together
	ld     int
	poison bool // residuals and derivatives are NaN until Evaluate writes them
	room   buffer
}

// buffer is the room for a block of rows.
type buffer struct{ jac, block, own []float64 }

// sums are taken over all rows.
type sums struct {
	data, prior float64 // Σr², by stated uncertainties
	objective   float64
	pull        float64 // Σψ(r/Scale)² over the data, ψ = ρ'/2
	inner       float64 // number of data rows within the corner of the loss
}

func (s *sums) add(o sums) {
	s.data += o.data
	s.prior += o.prior
	s.objective += o.objective
	s.pull += o.pull
	s.inner += o.inner
}

// blockRoom is the number of float64 that a buffer for n rows takes.
func blockRoom(n, p, width int) int { return n * (width + (p + 1) + (width - p)) }

func newBuffer(n, p, width int, store []float64) buffer {
	return buffer{jac: store[:n*width], block: store[n*width:][:n*(p+1)], own: store[n*(width+p+1):][:n*(width-p)]}
}

// small reports whether all rows fit in one block.
func (a *assembler) small() bool { return a.rows[dataRows].N+a.rows[priorRows].N <= a.ld }

// run folds the rows of a kind into t, block by block.
func (a *assembler) run(x []float64, kind int, t triangle) sums {
	var s sums
	for i := 0; i < a.rows[kind].N; i += a.ld {
		m := min(a.ld, a.rows[kind].N-i)
		s.add(a.load(x, kind, i, m, 0))
		t.fold(a.room.block, a.ld, m)
	}
	return s
}

// blocks evaluates all rows at x, those of the data first, and calls visit after each block
// with its kind and residuals.
func (a *assembler) blocks(x []float64, visit func(kind int, r []float64)) {
	for kind, rows := range a.rows {
		for i := 0; i < rows.N; i += a.ld {
			m := min(a.ld, rows.N-i)
			a.load(x, kind, i, m, 0)
			visit(kind, a.loaded(a.params, m))
		}
	}
}

// loaded is column j of the m rows in the block; the residuals are the last.
func (a *assembler) loaded(j, m int) []float64 { return a.room.block[j*a.ld:][:m] }

// load evaluates m rows of a kind into the block, column after column from row
// at on, weighted and scaled.
func (a *assembler) load(x []float64, kind, first, m, at int) sums {
	if m == 0 {
		return sums{}
	}
	p, width, b := a.params, a.width, &a.room
	jac := b.jac[:m*width]
	last := b.block[p*a.ld+at:][:m]
	a.evaluate(kind, x, first, last, jac)
	weight := a.row
	if kind == dataRows {
		weight *= a.data
	}
	for j := range p {
		col := b.block[j*a.ld+at:][:m]
		f := a.column[j] * weight
		k := j
		for i := range col {
			col[i] = jac[k] * f
			k += width
		}
	}
	for i := range b.own[:min(m, len(b.own))] {
		b.own[i] = jac[i*width+p] * weight
	}
	var s sums
	if kind == priorRows {
		s.prior = a.squares(last, weight)
		s.objective = s.prior
		return s
	}
	if a.loss.k > 0 {
		return a.weigh(at, m)
	}
	s.objective = a.squares(last, weight)
	s.data = s.objective / (a.data * a.data)
	s.pull = s.objective
	s.inner = float64(m)
	return s
}

// evaluate calls Evaluate of a kind of rows.
func (a *assembler) evaluate(kind int, x []float64, first int, r, jac []float64) {
	if a.poison {
		poison(r, jac)
	}
	a.rows[kind].Evaluate(x, first, r, jac)
}

// squares scales the residuals r in place and returns their sum of squares.
func (a *assembler) squares(r []float64, weight float64) float64 {
	sum := 0.0
	for i, v := range r {
		v *= weight
		r[i] = v
		sum += v * v
	}
	return sum
}

// weigh applies the loss to the m data rows of the block from row at on, whose
// Jacobian is scaled and whose residuals are not yet.
func (a *assembler) weigh(at, m int) sums {
	b := &a.room
	var s sums
	p := a.params
	r := b.block[p*a.ld+at:][:m]
	for i, v := range r {
		z := v * a.data
		rho, w := a.loss.of(z, a.row)
		s.data += (v * a.row) * (v * a.row)
		s.objective += rho
		s.pull += (w * z * a.row) * (w * z * a.row)
		if w == 1 {
			s.inner++
		}
		if a.even > 0 {
			w = a.even
		}
		w = math.Sqrt(w)
		r[i] = z * a.row * w
		for j := range p {
			b.block[j*a.ld+at+i] *= w
		}
		if len(b.own) > 0 {
			b.own[i] *= w
		}
	}
	return s
}

// probe sets the scales from the largest residual and the largest element of
// each column at x, both of which lie so far from one that squaring them may
// overflow or vanish.
func (a *assembler) probe(x []float64, own *ownBlock) {
	p := a.params
	if own != nil {
		copy(a.own.whole, x)
		copy(a.own.whole[p:], own.x)
		x = a.own.whole
	}
	largest := make([]float64, p+1)
	b := &a.room
	for kind, rows := range a.rows {
		for i := 0; i < rows.N; i += a.ld {
			m := min(a.ld, rows.N-i)
			a.evaluate(kind, x, i, b.block[:m], b.jac[:m*a.width])
			for k := range m {
				largest[p] = math.Max(largest[p], math.Abs(b.block[k]))
				for j := range p {
					largest[j] = math.Max(largest[j], math.Abs(b.jac[k*a.width+j]))
				}
			}
		}
	}
	a.row = powerOfTwo(largest[p])
	for j := range p {
		a.column[j] = powerOfTwo(largest[j] * a.row)
	}
}

// unscaled has a take rows as they are, those of data weighted.
func (a *assembler) unscaled(data float64) {
	a.data, a.row = data, 1
	for j := range a.column {
		a.column[j] = 1
	}
}

// powerOfTwo returns the power of two that brings v to about one, or 1 when
// there is nothing to bring.
func powerOfTwo(v float64) float64 {
	if v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return 1
	}
	_, e := math.Frexp(v)
	return math.Ldexp(1, max(-1000, min(1000, -e)))
}
