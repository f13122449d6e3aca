package fit

import "math"

// undeterminedRank is the singular value of the column-scaled triangle, as a
// share of the largest, below which a direction is not fixed by any row.
const undeterminedRank = 1e-10

// Covariance is the covariance (JᵀJ)⁻¹ of the parameters, kept as the singular
// values of the triangle with columns scaled to length one, so that directions
// that the rows do not fix are set apart and never inverted. Parameters at a
// bound have neither variance nor covariance.
//
// Own parameters are kept apart (see ownRows): the rest, the core, is decomposed
// by what the rows say once those are eliminated.
type Covariance struct {
	p, rank int
	fixed   int       // rank of the core
	m       int       // parameters of the core, the first m but for those promoted
	rows    []float64 // what the core was made of, m elements each
	active  []bool
	inverse []float64 // 1/norm of each column
	free    []int     // of the core, neither at a bound nor without a column
	blank   []int     // of the core, not at a bound and in no row, or not in finite numbers
	s       singular  // of the free columns
	own     *ownRows  // nil without own parameters
	added   []rankOne // rows that the decomposition doesn't hold
}

// Covariance returns the covariance of the parameters at the solution, by the
// stated uncertainties times Scale. That of a result that no solver wrote determines
// nothing.
func (r Result) Covariance() Covariance {
	if !r.wellFormed() {
		return Covariance{}
	}
	active := make([]bool, r.Params)
	for j, b := range r.AtBound {
		active[j] = b != Free
	}
	return r.covariance(active)
}

func (r Result) covariance(active []bool) Covariance {
	m := r.Params - len(r.OwnDiagonal)
	return newOwnCovariance(r.coreRows(active), m, active[:m], r.ownRows(active))
}

// newOwnCovariance decomposes rows of p elements, with what was eliminated. A
// column's length is that before the elimination, so that one of which nothing but
// rounding is left isn't taken for information.
func newOwnCovariance(rows []float64, p int, active []bool, own *ownRows) Covariance {
	c := Covariance{p: p, m: p, rows: rows, active: active, inverse: make([]float64, p), own: own}
	m := len(rows) / p
	var a []float64
	for j := range p {
		if active != nil && active[j] {
			continue
		}
		largest := 0.0
		for i := range m {
			largest = math.Max(largest, math.Abs(rows[i*p+j]))
		}
		gone := own.norm(j)
		largest = math.Max(largest, gone)
		if !(largest > 0 && largest <= math.MaxFloat64) {
			c.blank = append(c.blank, j)
			continue
		}
		col := make([]float64, m)
		for i := range m {
			col[i] = rows[i*p+j] / largest
		}
		n := math.Hypot(norm(col), gone/largest)
		for i := range col {
			col[i] /= n
		}
		c.inverse[j] = 1 / n / largest
		c.free = append(c.free, j)
		a = append(a, col...)
	}
	c.s = newSingular(a, m, len(c.free))
	c.fixed = c.s.rank(undeterminedRank)
	c.rank = c.fixed
	if own != nil {
		for c.fixed > 0 && c.s.sigma[c.fixed-1] <= undeterminedRank {
			c.fixed--
		}
		c.p = p - len(own.promoted) + own.n
		c.rank = c.fixed + own.determined()
	}
	return c
}

// Rank returns the number of directions that the rows fix.
func (c Covariance) Rank() int { return c.rank }

// project writes to y, of c.length() elements, the components of g along the
// directions that the rows fix, own parameters last, in standard uncertainties, so that the
// covariance of gᵀx and hᵀx is the scalar product of their projections. It
// reports whether g lies within those directions.
func (c Covariance) project(g, y []float64) (determined bool) {
	_, determined = c.split(g, y)
	return determined
}

// length is the number of components of a projection.
func (c *Covariance) length() int {
	if c.own == nil {
		return c.fixed
	}
	return c.fixed + len(c.own.at)
}

// split is project that also returns the share of g outside, as a part of its
// length in scaled parameters.
func (c Covariance) split(g, y []float64) (share float64, determined bool) {
	if len(g) != c.p {
		for i := range y {
			y[i] = math.NaN()
		}
		return 1, false
	}
	if c.own == nil {
		return c.splitCore(g, y)
	}
	g, open := c.reduce(g, y[c.fixed:])
	share, determined = c.splitCore(g, y[:c.fixed])
	if open {
		return 1, false
	}
	return share, determined
}

// splitCore is split of what is left of a gradient once own parameters are
// eliminated.
func (c *Covariance) splitCore(g, y []float64) (share float64, determined bool) {
	// The largest element is taken out so that no square overflows.
	largest := 0.0
	for _, j := range c.free {
		largest = math.Max(largest, math.Abs(g[j]*c.inverse[j]))
	}
	for _, j := range c.blank {
		if g[j] != 0 {
			share = 1
		}
	}
	if largest == 0 {
		clear(y)
		return share, share == 0
	}
	inside, outside := 0.0, 0.0
	for k := range c.free {
		v := c.s.right(k)
		sum := 0.0
		for i, j := range c.free {
			sum += v[i] * (g[j] * c.inverse[j] / largest)
		}
		if k < c.fixed {
			y[k] = sum / c.s.sigma[k] * largest
			inside += sum * sum
		} else {
			outside += sum * sum
		}
	}
	for _, a := range c.added {
		a.apply(y)
	}
	if outside == 0 || share > 0 {
		return share, share == 0
	}
	share = math.Sqrt(outside / (inside + outside))
	// Rounding mixes the two spaces the more, the smaller the gap between.
	return share, share <= 1e-8+1e-12*c.s.sigma[0]/c.s.sigma[c.fixed-1]
}

// Variance returns the variance of gᵀx, and whether the rows determine it:
// if not, the number is the part of the variance that they do determine; NaN for a gradient
// that hasn't as many elements as there are parameters.
func (c Covariance) Variance(gradient []float64) (variance float64, determined bool) {
	if len(gradient) != c.p || c.p == 0 {
		return math.NaN(), false
	}
	y := make([]float64, c.length())
	determined = c.project(gradient, y)
	return dot(y, y), determined
}

// Between returns the covariance of gᵀx and hᵀx within the directions that the
// rows determine; NaN for wrong lengths, as Variance.
func (c Covariance) Between(g, h []float64) float64 {
	y, z := make([]float64, c.length()), make([]float64, c.length())
	c.project(g, y)
	c.project(h, z)
	return dot(y, z)
}

// Matrix returns the covariance matrix of gᵀx for several gradients g, row after row (see
// Between).
func (c Covariance) Matrix(gradients [][]float64) []float64 {
	n := len(gradients)
	y := make([][]float64, n)
	for i, g := range gradients {
		y[i] = make([]float64, c.length())
		c.project(g, y[i])
	}
	v := make([]float64, n*n)
	for i := range n {
		for j := range i + 1 {
			v[i*n+j] = dot(y[i], y[j])
			v[j*n+i] = v[i*n+j]
		}
	}
	return v
}

// allBlank lists the parameters that occur in no row.
func (c *Covariance) allBlank() []int {
	if c.own == nil {
		return c.blank
	}
	list := c.own.blank()
	common := c.m - len(c.own.promoted)
	for _, j := range c.blank {
		if j >= common {
			j = c.own.promoted[j-common]
		}
		list = append(list, j)
	}
	return list
}

// reduce writes the components of g that belong to own parameters to y and returns
// what is left of the others. open tells whether g needs one that no row knows.
func (c *Covariance) reduce(g, y []float64) (rest []float64, open bool) {
	o := c.own
	rest = make([]float64, c.m)
	common := c.m - len(o.promoted)
	copy(rest, g[:common])
	for k, j := range o.promoted {
		rest[common+k] = g[j]
	}
	for i, j := range o.at {
		y[i] = 0
		switch v := g[j]; {
		case v == 0 || o.active[i]:
		case o.d[i] == 0:
			open = true
		default:
			y[i] = v / o.d[i]
			axpy(-y[i], o.row(i), rest)
		}
	}
	return rest, open
}

// projectRow is project for a row of a problem, which has one own parameter or
// none: y gets c.fixed components, and what is returned is that of own.
func (c *Covariance) projectRow(jac []float64, own int, y, work []float64) (ownPart float64) {
	if c.own == nil {
		c.splitCore(jac, y)
		return 0
	}
	o := c.own
	common := c.m - len(o.promoted)
	copy(work, jac[:common])
	clear(work[common:])
	switch row, k := o.find(own); {
	case k >= 0:
		work[common+k] = jac[common]
	case row >= 0 && o.d[row] != 0 && !o.active[row]:
		ownPart = jac[common] / o.d[row]
		axpy(-ownPart, o.row(row), work)
	}
	c.splitCore(work[:c.m], y)
	return ownPart
}

// rankOne is one more row, z in the coordinates in which the information before it is
// I. That with it is I + zzᵀ, of which the inverse root is I − f·zzᵀ.
type rankOne struct {
	z []float64
	f float64
}

// newRankOne takes over z.
func newRankOne(z []float64) rankOne {
	root := math.Sqrt(1 + dot(z, z))
	return rankOne{z, 1 / (root * (1 + root))} // (1 − 1/root)/zᵀz
}

func (a *rankOne) apply(y []float64) { axpy(-a.f*dot(a.z, y), a.z, y) }
