package fit

import "math"

// Solve minimises the sum over all rows from start.
//
// Converged means that every free parameter is settled to 1e-8 of itself or,
// near zero, to 1e-8 of the change that moves the residuals by one standard
// uncertainty (or by their root mean square at the start, if that is less):
// the last Gauss–Newton step, and the steps that its rate of shrinking lets
// expect, add up to less. Directions that no row fixes stay where the shortest
// steps left them; they do not stand in the way of convergence but are named
// by Covariance.
//
// An error means that the problem is malformed. All else is told by the
// Status of the result.
func Solve(p Problem, start []float64, s Settings) (Result, error) {
	if err := check(p, start, s); err != nil {
		return Result{}, err
	}
	return solveAt(p, start, s, 1), nil
}

// solveAt solves a checked problem with the uncertainties of the data
// multiplied by scale.
func solveAt(p Problem, start []float64, s Settings, scale float64) Result {
	var v solver
	v.prepare(&p, s.withDefaults())
	return v.solve(start, scale)
}

const (
	settled    = 1e-8  // what Converged promises
	polished   = 1e-10 // steps still to come that are not worth taking
	negligible = 4e-16 // a relative step that changes nothing
	noise      = 1e-12 // relative change of the objective that is rounding
)

// solver is the state of one fit. Inside, parameter j is counted in units of
// a.column[j], an exact power of two that is nearly always one.
type solver struct {
	p    *Problem
	set  Settings
	a    assembler
	step stepper

	x, trial    []float64
	here, there triangle  // at x and at trial
	sum         sums      // at x
	d, inverse  []float64 // largest column norms so far, and 1/d
	norms       []float64 // column norms at x
	move        []float64 // the step
	held, fixed []bool
	bounded     bool
	bent        bool // whether a bound was met by the step

	radius, lambda float64
	floor          float64 // residual that counts as small, see Solve
	fewestLost     int     // directions without hold, at the x that had fewest

	status                  Status
	iterations, evaluations int
}

// prepare makes room for a problem of p's size.
func (v *solver) prepare(p *Problem, set Settings) {
	n := p.Params
	rows := p.Data.N + p.Prior.N
	v.p, v.set = p, set
	v.bounded = p.Lower != nil || p.Upper != nil
	v.a = assembler{params: n, rows: [2]Rows{p.Data, p.Prior}, loss: set.Loss, ld: max(min(rows, set.BlockRows), 1), n: 1}
	a := &v.a
	if rows > set.BlockRows {
		a.parts = make([]part, min(chunks, (p.Data.N+a.ld-1)/a.ld))
		a.ld = max(set.BlockRows, n)
		a.n = max(1, min(set.Workers, len(a.parts)))
	}
	tri, block := n*(n+1), blockRoom(a.ld, n)
	store := make([]float64, (2+len(a.parts))*tri+stepperRoom(n)+7*n+a.n*block)
	cut := func(k int) []float64 {
		c := store[:k:k]
		store = store[k:]
		return c
	}
	index := make([]int, n)
	flags := make([]bool, 2*n)
	v.held, v.fixed = flags[:n], flags[n:]
	v.here, v.there = triangle{n, cut(tri)}, triangle{n, cut(tri)}
	v.step = newStepper(n, cut(stepperRoom(n)), index)
	v.x, v.trial, v.d, v.inverse = cut(n), cut(n), cut(n), cut(n)
	v.norms, v.move, a.column = cut(n), cut(n), cut(n)
	a.others = make([]buffer, a.n-1)
	for i := range a.n {
		*a.buffer(i) = newBuffer(a.ld, n, cut(block))
	}
	for i := range a.parts {
		a.parts[i].t = triangle{n, cut(tri)}
	}
}

// solve runs from start, once.
func (v *solver) solve(start []float64, scale float64) Result {
	v.a.data, v.a.row = 1/scale, 1
	for j := range v.a.column {
		v.a.column[j] = 1
	}
	copy(v.x, start)
	v.fewestLost = v.p.Params
	v.run()
	v.forgive()
	v.settleWeights()
	return v.result()
}

// run iterates until a status is reached.
func (v *solver) run() {
	if !v.begin() {
		v.status = StartNotFinite
		return
	}
	last := math.Inf(1) // size of the Gauss–Newton step before
	refused := 0
	for v.iterations < v.set.MaxIterations {
		v.hold()
		length, predicted, size := v.propose()
		v.fewestLost = min(v.fewestLost, v.step.lost())
		whole := v.lambda == 0 && !v.bent
		if whole && size <= negligible {
			v.finish(size)
			return
		}
		v.iterations++
		// Where the objective cannot show a difference, the steps must.
		blind := v.lambda == 0 && predicted <= noise*v.sum.objective
		limit := v.sum.objective
		if blind {
			limit *= 1 + 1e-9
		}
		got := v.evaluate(v.trial, v.there, limit)
		ratio := -1.0
		switch ok := got.objective < limit && v.there.finite(); {
		case ok && blind && (v.bent || size <= 0.9*last):
			ratio = 1
		case ok && !blind:
			ratio = (v.sum.objective - got.objective) / predicted
		}
		good := ratio >= 1e-4
		if !good && whole && (blind || size <= settled) {
			v.finish(math.Max(size, v.remaining(size, last)))
			return
		}
		if !blind {
			v.adjust(ratio, length, predicted)
		}
		if !good {
			if refused++; blind || refused > 100 || v.radius <= negligible*v.scaledNorm() {
				v.fail()
				return
			}
			continue
		}
		refused = 0
		v.accept(got)
		if rest := v.remaining(size, last); whole && blind && rest <= polished {
			v.finish(rest)
			return
		}
		last = math.Inf(1)
		if whole {
			last = size
		}
	}
	v.status = IterationLimit
}

// begin evaluates the start and sets the first radius. It reports whether the
// start is finite.
func (v *solver) begin() bool {
	v.sum = v.evaluate(v.x, v.here, math.Inf(1))
	if !v.comfortable() {
		v.a.probe(v.x)
		v.evaluations++
		v.sum = v.evaluate(v.x, v.here, math.Inf(1))
	}
	if !(v.sum.objective < math.Inf(1)) || !v.here.finite() {
		return false
	}
	rows := float64(max(1, v.p.Data.N+v.p.Prior.N))
	v.floor = math.Min(v.a.row, math.Sqrt(v.sum.objective/rows))
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

func (v *solver) evaluate(x []float64, t triangle, limit float64) sums {
	v.evaluations++
	return v.a.at(x, t, limit)
}

// scale takes the column norms at x and keeps the running maximum.
func (v *solver) scale() {
	for j := range v.d {
		v.norms[j] = norm(v.here.column(j))
		if v.norms[j] > v.d[j] {
			v.d[j] = v.norms[j]
			v.inverse[j] = 1 / v.d[j]
		} else if v.d[j] == 0 {
			v.inverse[j] = 1
		}
	}
}

func (v *solver) scaledNorm() float64 {
	sum := 0.0
	for j, x := range v.x {
		z := v.d[j] * x / v.a.column[j]
		sum += z * z
	}
	return math.Sqrt(sum)
}

// accept makes the trial the present x.
func (v *solver) accept(got sums) {
	v.x, v.trial = v.trial, v.x
	v.here, v.there = v.there, v.here
	v.sum = got
	v.scale()
}

// adjust sets the radius and the next guess of λ from the ratio of the actual
// to the predicted reduction. A bad step is shortened to the minimum of the
// parabola through what is known along it.
func (v *solver) adjust(ratio, length, predicted float64) {
	if v.iterations == 1 {
		v.radius = math.Min(v.radius, length)
	}
	switch {
	case ratio < 0.25:
		shrink := 0.1
		if ratio > -10 { // NaN and −Inf keep 0.1
			slope := v.slope()
			shrink = math.Max(0.1, math.Min(0.5, 0.5*slope/(slope-ratio*predicted)))
		}
		v.radius = shrink * math.Min(v.radius, 10*length)
		v.lambda /= shrink
	case ratio > 0.75 || v.lambda == 0:
		v.radius = 2 * length
		v.lambda /= 2
	}
}

// slope returns −d‖r‖²/dt along the step, −2 qᵀR·move.
func (v *solver) slope() float64 {
	sum := 0.0
	for j, m := range v.move {
		sum -= 2 * m * dot(v.here.column(j), v.here.q())
	}
	return sum
}

// remaining returns what the undamped steps to come will add up to, if they go
// on shrinking as the last did, from the size before; if that is not known, as
// much as the last.
func (v *solver) remaining(last, before float64) float64 {
	if last <= negligible || math.IsInf(before, 1) {
		return last
	}
	rate := math.Min(last/before, 0.99)
	return last * rate / (1 - rate)
}

// finish tells a converged fit from one that stopped short, by what the steps
// not taken would add up to.
func (v *solver) finish(rest float64) {
	switch {
	case v.ranAway():
		v.status = Runaway
	case rest <= settled:
		v.status = Converged
	default:
		v.status = RoundingLimited
	}
}

// fail names why no step is left.
func (v *solver) fail() {
	v.status = Stalled
	if v.ranAway() {
		v.status = Runaway
	}
}
