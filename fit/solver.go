package fit

import "math"

// prepare makes room for a problem of p's size.
func (v *solver) prepare(p *Problem, set Settings) {
	n := p.common()
	rows := p.Data.N + p.Prior.N
	v.p, v.set = *p, set
	v.p.Params = n // own parameters are the assembler's
	v.bounded = p.Lower != nil || p.Upper != nil
	v.a = assembler{params: n, width: p.width(), rows: [2]Rows{dataRows: p.Data, priorRows: p.Prior}, loss: set.Loss, ld: max(min(rows, set.BlockRows), 1)}
	a := &v.a
	if p.Own > 0 {
		a.own = newElimination(p, set.Offset)
	}
	tri, block := n*(n+1), blockRoom(a.ld, n, a.width)
	store := make([]float64, 2*tri+stepperRoom(n)+8*n+block)
	cut := func(k int) []float64 {
		c := store[:k:k]
		store = store[k:]
		return c
	}
	index := make([]int, n)
	flags := make([]bool, 2*n)
	v.active, v.fixed = flags[:n], flags[n:]
	v.here, v.there = triangle{p: n, a: cut(tri)}, triangle{p: n, a: cut(tri)}
	v.step = newStepper(n, cut(stepperRoom(n)), index)
	v.x, v.trial, v.d, v.inverse = cut(n), cut(n), cut(n), cut(n)
	v.norms, v.move, v.floors, a.column = cut(n), cut(n), cut(n), cut(n)
	a.room = newBuffer(a.ld, n, a.width, cut(block))
	if a.own != nil {
		v.here.own, v.there.own = newOwnBlock(p.Own, n), newOwnBlock(p.Own, n)
	}
}

// begin evaluates the start and sets the first radius. It reports whether the
// start is finite.
func (v *solver) begin() bool {
	v.size = math.Inf(1)
	v.a.poison = true
	defer func() { v.a.poison = false }()
	v.sum = v.evaluate(v.x, v.here, math.Inf(1))
	if !v.comfortable() {
		v.a.probe(v.x, v.here.own)
		v.evaluations++
		v.sum = v.evaluate(v.x, v.here, math.Inf(1))
	}
	if !(v.sum.objective < math.Inf(1)) || !v.here.finite() {
		return false
	}
	rows := float64(max(1, v.p.Data.N+v.p.Prior.N))
	v.floor = math.Min(v.a.row, math.Sqrt(v.sum.objective/rows))
	for j := range v.floors {
		v.floors[j] = v.floor
	}
	v.scale()
	// A start so near zero that it says nothing about the size of the
	// parameters leaves the size of the residuals to go by.
	v.radius = v.set.FirstRadius * math.Max(v.scaledNorm(), 0.01*math.Sqrt(v.sum.objective))
	return true
}

// comfortable reports whether the squares at the start are so far from
// overflow and underflow that no scaling is needed.
func (v *solver) comfortable() bool {
	in := func(s float64) bool { return s > 1e-160 && s < 1e160 }
	if !in(v.sum.objective) {
		return false
	}
	for j := range v.p.Params {
		c := v.here.column(j)
		if !in(dot(c, c)) {
			return false
		}
	}
	return true
}

// scale takes the column norms at x and keeps the running maximum. It reports
// whether a unit of convergence had to be dropped.
func (v *solver) scale() (dropped bool) {
	for j := range v.d {
		before := v.norms[j]
		now := norm(v.here.column(j))
		if o := v.here.own; o != nil {
			now = math.Hypot(now, o.norm(j))
		}
		v.norms[j] = now
		if v.size < telling && (now > 2*before || now < before/2) && v.floors[j] > 0 {
			v.floors[j] = 0
			dropped = true
		}
		if now > v.d[j] {
			v.d[j] = now
			v.inverse[j] = 1 / now
		} else if v.d[j] == 0 {
			v.inverse[j] = 1
		}
	}
	return dropped
}

// afresh forgets the largest column norms met so far, which the trust region is
// measured with, and the radius that came of them. Where a long way has led to
// columns of quite another size, steps measured by the old ones crawl.
func (v *solver) afresh() {
	clear(v.d)
	v.scale()
	v.radius = v.set.FirstRadius * math.Max(v.scaledNorm(), 0.01*math.Sqrt(v.sum.objective))
	v.lambda = 0
	v.last = math.Inf(1)
	v.refused = 0
}

func (v *solver) scaledNorm() float64 {
	sum := 0.0
	for j, x := range v.x {
		z := v.d[j] * x / v.a.column[j]
		sum += z * z
	}
	return math.Sqrt(sum)
}

// accept makes the trial the present x, and returns the size of the step as it
// looks from there.
func (v *solver) accept(got sums) (size float64) {
	v.x, v.trial = v.trial, v.x
	v.here, v.there = v.there, v.here
	v.sum = got
	if v.scale() {
		v.measure()
	}
	return v.size
}
