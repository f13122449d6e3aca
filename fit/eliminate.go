package fit

import "math"

// elimination takes own parameters out of a fit. At any point of the common ones, each
// own parameter is brought to its best value, which no other has a say in, and the
// rows are rotated so that only one of them has that parameter's column: the solver
// sees the others, of which the least sum of squares, its gradient and its Gauss–Newton
// step as to the common parameters are those of the whole problem (variable projection:
// G. H. Golub and V. Pereyra, SIAM J. Numer. Anal. 10, 1973, 413–432, from memory).
type elimination struct {
	n       int
	from    *ownBlock // where the search for best values begins
	at      []float64 // the common parameters there
	final   bool      // stay there, and eliminate those at a bound as well
	settled float64   // of a standard uncertainty, at which a search ends
	whole   []float64 // all parameters of the problem
	trial   []ownTry

	lower, upper []float64 // nil: none
}

func newElimination(p *Problem, offset float64) *elimination {
	m := p.common()
	e := &elimination{n: p.Own, whole: make([]float64, p.Params), trial: make([]ownTry, p.Own),
		settled: math.Max(ownSettled, ownOffset*offset)}
	if p.Lower != nil {
		e.lower = p.Lower[m:]
	}
	if p.Upper != nil {
		e.upper = p.Upper[m:]
	}
	return e
}

// limits returns the bounds of own parameter i.
func (e *elimination) limits(i int) [2]float64 {
	limits := [2]float64{math.Inf(-1), math.Inf(1)}
	if e.lower != nil {
		limits[0] = e.lower[i]
	}
	if e.upper != nil {
		limits[1] = e.upper[i]
	}
	return limits
}

// ownBlock holds the own parameters at one point, and their rows of the triangle.
type ownBlock struct {
	x    []float64
	d, q []float64 // the diagonal, and the right-hand side
	w    []float64 // n × p, row after row
	p    int
}

func newOwnBlock(n, p int) *ownBlock {
	store := make([]float64, n*(3+p))
	return &ownBlock{x: store[:n], d: store[n:][:n], q: store[2*n:][:n], w: store[3*n:], p: p}
}

// norm returns the length of column j above the triangle.
func (o *ownBlock) norm(j int) float64 {
	sum := 0.0
	for k := j; k < len(o.w); k += o.p {
		sum += o.w[k] * o.w[k]
	}
	return math.Sqrt(sum)
}

// ownTry is the search for the best value of one own parameter.
type ownTry struct {
	sum, d, q float64 // at x, and then at x + step
	least     float64 // sum at x
	step      float64
	active    bool
	atBound   bool // at a bound that it would pass
}

const (
	ownSettled = 1e-7 // of a standard uncertainty: what is left is linear, and is projected out
	ownOffset  = 0.01 // of Settings.Offset: likewise
	ownPasses  = 60
	ownNear    = 1 // standard uncertainties, within which its rows are about linear
)

// eliminated is at for a problem with own parameters.
func (a *assembler) eliminated(x []float64, t triangle) sums {
	e, o := a.own, t.own
	copy(e.whole, x)
	if o != e.from {
		copy(o.x, e.from.x)
	}
	copy(e.whole[a.params:], o.x)
	if !e.final {
		if o != e.from {
			a.foretell(x)
		}
		a.settle(o)
	}
	clear(o.d)
	clear(o.q)
	clear(o.w)
	var s sums
	for kind := range a.rows {
		rows := &a.rows[kind]
		for i := 0; i < rows.N; i += a.ld {
			m := min(a.ld, rows.N-i)
			s.add(a.load(e.whole, kind, i, m, 0))
			for k := range m {
				if own := rows.own(i + k); own >= 0 && (e.final || !e.trial[own].atBound) {
					o.rotate(own, &a.room, k, a.ld)
				}
			}
			t.fold(a.room.block, a.ld, m)
		}
	}
	return s
}

// foretell moves own parameters from their best values where the search begins to where these
// are at x, if the rows are linear. Far away they are not.
func (a *assembler) foretell(x []float64) {
	e := a.own
	own, from := e.whole[a.params:], e.from
	for i, d := range from.d {
		if d == 0 {
			continue
		}
		w, shift := from.w[i*from.p:][:from.p], from.q[i]
		for j, v := range w {
			shift += v * (x[j] - e.at[j]) / a.column[j]
		}
		if math.Abs(shift) <= ownNear {
			limits := e.limits(i)
			own[i] = math.Min(math.Max(own[i]-shift/d, limits[0]), limits[1])
		}
	}
}

// rotate brings the column of an own parameter in row i of the block into that
// parameter's own row.
func (o *ownBlock) rotate(own int, b *buffer, i, ld int) {
	v := b.own[i]
	if v == 0 {
		return
	}
	h := math.Hypot(o.d[own], v)
	c, s := o.d[own]/h, v/h
	o.d[own] = h
	w := o.w[own*o.p:][:o.p]
	for j := range w {
		at := &b.block[j*ld+i]
		w[j], *at = c*w[j]+s**at, c**at-s*w[j]
	}
	at := &b.block[o.p*ld+i]
	o.q[own], *at = c*o.q[own]+s**at, c**at-s*o.q[own]
}

// settle brings each own parameter to where its rows have the least sum, by
// Gauss–Newton steps that are shortened where the sum doesn't fall.
func (a *assembler) settle(o *ownBlock) {
	e := a.own
	own := e.whole[a.params:]
	for i := range e.trial {
		e.trial[i] = ownTry{active: true, least: math.Inf(1)}
	}
	for range ownPasses {
		a.tryOwn()
		open := false
		for i := range e.trial {
			t := &e.trial[i]
			if !t.active {
				continue
			}
			t.next(&own[i], &o.x[i], e.limits(i), e.settled)
			open = open || t.active
		}
		if !open {
			break
		}
	}
	copy(own, o.x)
}

// next takes the value tried if the sum fell, and sets the next to try.
func (t *ownTry) next(at, best *float64, limits [2]float64, settled float64) {
	small := math.Abs(t.step)*t.d <= settled
	switch {
	case t.sum <= t.least || small && !math.IsNaN(t.sum):
		*best, t.least = *at, t.sum
		if t.d == 0 || math.IsNaN(t.q/t.d) {
			t.active = false
			return
		}
		t.step = -t.q / t.d
		t.active = math.Abs(t.q) > settled
	default:
		t.step /= 4
	}
	*at = math.Min(math.Max(*best+t.step, limits[0]), limits[1])
	t.active = t.active && *at != *best
	t.atBound = *best <= limits[0] && t.step < 0 || *best >= limits[1] && t.step > 0
}

// tryOwn sums up the rows of the own parameters that are still searched for.

func (a *assembler) tryOwn() {
	e := a.own
	for i := range e.trial {
		t := &e.trial[i]
		if t.active {
			t.sum, t.d, t.q = 0, 0, 0
		}
	}
	for kind := range a.rows {
		rows := &a.rows[kind]
		for i := 0; i < rows.N && rows.Own != nil; i += a.ld {
			m := min(a.ld, rows.N-i)
			if !e.concerns(rows.Own[i : i+m]) {
				continue
			}
			a.load(e.whole, kind, i, m, 0)
			r := a.room.block[a.params*a.ld:][:m]
			for k := range m {
				own := rows.Own[i+k]
				if own < 0 || !e.trial[own].active {
					continue
				}
				t := &e.trial[own]
				t.sum += a.loss.weighed(r[k], a.row, kind)
				if v := a.room.own[k]; v != 0 {
					h := math.Hypot(t.d, v)
					t.q = (t.d*t.q + v*r[k]) / h
					t.d = h
				}
			}
		}
	}
}

// concerns tells whether any of the rows hangs on a parameter still searched for.
func (e *elimination) concerns(own []int) bool {
	for _, k := range own {
		if k >= 0 && e.trial[k].active {
			return true
		}
	}
	return false
}

// weighed returns ρ of a row, given its residual with the weight of the loss.
func (l Loss) weighed(r, unit float64, kind int) float64 {
	square, corner := r*r, l.k*l.k*unit*unit
	if kind == dataRows && l.k > 0 && square > corner {
		return 2*square - corner
	}
	return square
}

// settleOwn takes the last, linear, step of the own parameters. Those at a bound are
// kept there while the fit goes on, and eliminated like the others for its result, which
// leaves it to Covariance to hold them.
func (v *solver) settleOwn() {
	if v.a.own == nil || v.status == StartNotFinite {
		return
	}
	o, e := v.here.own, v.a.own
	for i, d := range o.d {
		if d != 0 {
			limits := e.limits(i)
			o.x[i] = math.Min(math.Max(o.x[i]-o.q[i]/d, limits[0]), limits[1])
		}
	}
	e.final = true
	v.sum = v.evaluate(v.x, v.here, math.Inf(1))
}
