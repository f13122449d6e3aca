package fit

import (
	"fmt"
	"math"
)

// Interval is a coverage interval of a quantity. Where the bounds of the parameters let it go no
// further, it ends there, with the sum of squares still below the limit. An end is infinite where
// the quantity goes on without end, or the sum flattens out below the limit, and NaN where the
// solver did not converge on the way.
type Interval struct {
	Lo, Hi float64
	// Better is not nil when the search happened on a lower minimum than the
	// result it started from; the interval is then void.
	Better []float64
}

// Quantity is a smooth function of the parameters, which writes its gradient
// to grad when that is not nil.
type Quantity func(x, grad []float64) float64

const (
	pullStiffness = 10   // 1/pull row's uncertainty, in those of the quantity
	profileTries  = 60   // solutions a side
	profileFar    = 1e4  // in k standard uncertainties, beyond which an end is open
	profileClose  = 1e-6 // of k
)

// Profile returns the profile-likelihood interval of a quantity Q: all values q
// for which the least objective among the x with Q(x) = q exceeds that of the
// result by no more than k², with k the CoverageFactor of the level and of the
// result's ScaleDegrees (D. M. Bates and D. G. Watts, Nonlinear Regression
// Analysis, 1988, ch. 6). It needs no linearity, keeps to the bounds, and is
// as asymmetric as the readings make it. With a robust loss the limit k² is
// multiplied by the ratio in which the loss rises to the information it leaves,
// mean ψ'/a (see Loss), as if no prior took part. It is an error if r is of another problem,
// or the level isn't between 0 and 1.
//
// Points of the profile are found by a further row (Q(x) − τ)/w: whatever τ
// and w are, the solution with it is the best x for the value of Q it reaches,
// and the lag τ − Q gives the slope dζ/dQ = (τ − Q)/(w² ζ) of the root ζ of the
// rise, so that Newton's method leads to ζ = k.
func Profile(p Problem, r Result, s Settings, quantity Quantity, level float64) (Interval, error) {
	if err := r.solves(p); err != nil {
		return Interval{}, err
	}
	if !(level > 0 && level < 1) || quantity == nil {
		return Interval{}, fmt.Errorf("fit: no interval of level %g of a quantity", level)
	}
	p = p.whole().weighted(r.weights) // whole, since a quantity may hang on several own parameters
	g := make([]float64, p.Params)
	q := quantity(r.X, g)
	variance, determined := r.covariance(make([]bool, p.Params)).Variance(g)
	k := CoverageFactor(level, r.ScaleDegrees)
	if !determined || math.IsInf(k, 1) {
		return Interval{Lo: math.Inf(-1), Hi: math.Inf(1)}, nil
	}
	in := Interval{Lo: q, Hi: q}
	if variance == 0 {
		return in, nil
	}
	k *= math.Sqrt(r.inner / r.efficiency)
	v := profiler{p: p, r: r, set: s, quantity: quantity, q: q, k: k, sigma: math.Sqrt(variance)}
	in.Lo = v.search(-1)
	if v.better == nil {
		in.Hi = v.search(1)
	}
	in.Better = v.better
	return in, nil
}

type profiler struct {
	p           Problem
	r           Result
	set         Settings
	quantity    Quantity
	q, k, sigma float64
	better      []float64
}

// search follows the profile to one side, in distances from the best value.
func (v *profiler) search(side float64) float64 {
	w := v.sigma / pullStiffness
	x := v.r.X
	inside, outside := 0.0, math.Inf(1) // targets with ζ < k and ζ ≥ k
	target := v.k * v.sigma * (1 + 1/(pullStiffness*pullStiffness))
	before := -1.0
	for range profileTries {
		got, ok := v.pulled(x, v.q+side*target, w)
		if !ok {
			outside = target // as if too far: come closer
			target = (inside + target) / 2
			if target-inside < 1e-6*target {
				break
			}
			continue
		}
		rise := got.Objective - v.r.Objective
		if rise < -v.slack() {
			v.better = got.X
			return math.NaN()
		}
		zeta := math.Sqrt(math.Max(0, rise))
		at := side * (v.quantity(got.X, nil) - v.q)
		if math.Abs(zeta-v.k) <= profileClose*v.k || outside-inside <= profileClose*v.sigma {
			return v.q + side*at
		}
		if zeta < v.k {
			inside, x = target, got.X
			if math.Abs(at-before) <= 1e-9*math.Max(at, v.sigma*1e-3) && math.IsInf(outside, 1) {
				return v.q + side*at // at a bound
			}
			before = at
		} else {
			outside = target
		}
		slope := (target - at) / (w * w * zeta)
		next := at + (v.k-zeta)/slope + w*w*v.k*slope
		if far := profileFar * v.k * v.sigma; math.IsInf(outside, 1) && inside >= far {
			return side * math.Inf(1)
		}
		next = math.Min(next, 10*target)
		if !(next > inside && next < outside) {
			next = 3 * target
			if !math.IsInf(outside, 1) {
				next = (inside + outside) / 2
			}
		}
		target = next
	}
	return math.NaN()
}

// slack returns the rise of the objective that rounding, or a fit that stopped
// within Settings.Offset, can feign.
func (v *profiler) slack() float64 {
	return 1e-6 + 1e-10*v.r.Objective + 4*v.set.Offset*v.set.Offset
}

// pulled solves with the further row (Q(x) − target)/w and returns the
// objective without it.
func (v *profiler) pulled(start []float64, target, w float64) (Result, bool) {
	return v.constrained(start, 1, func(x []float64, _ int, grad []float64) float64 {
		r := (v.quantity(x, grad) - target) / w
		for j := range grad {
			grad[j] /= w
		}
		return r
	})
}

// constrained solves with m further rows, which row returns and whose gradients it writes, and
// returns the objective without them.
func (v *profiler) constrained(start []float64, m int, row func(x []float64, i int, grad []float64) float64) (Result, bool) {
	p := v.p
	p.Prior = Join(p.Params, p.Prior, Rows{N: m, Evaluate: func(x []float64, first int, r, jac []float64) {
		clear(jac)
		for i := range r {
			var grad []float64
			if jac != nil {
				grad = jac[i*p.Params:][:p.Params]
			}
			r[i] = row(x, first+i, grad)
		}
	}})
	set := v.set
	set.Loss = v.r.loss
	got := solveAt(p, start, set, v.r.Scale)
	for i := range m {
		pull := row(got.X, i, nil)
		got.Objective -= pull * pull
	}
	return got, got.Status == Converged || got.Status == RoundingLimited
}
