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

// concerns tells whether any of the rows hangs on a parameter still searched for.
func (e *elimination) concerns(own []int) bool {
	for _, k := range own {
		if k >= 0 && e.trial[k].active {
			return true
		}
	}
	return false
}

// ownTry is the search for the best value of one own parameter.
type ownTry struct {
	sum, d, q float64 // at x, and then at x + step
	least     float64 // sum at x
	step      float64
	active    bool
	atBound   bool // at a bound that it would pass
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
