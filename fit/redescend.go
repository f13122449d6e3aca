package fit

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// Redescending returns Huber's loss of corner k, after which SolveScaled ends with Tukey's
// biweight ρ = (c²/3)(1 − (1 − (r/c)²)³), constant beyond c: an MM-estimate (V. J. Yohai,
// Ann. Statist. 15, 1987, 642–656). Of a row far off, Huber's loss keeps a pull of k
// standard uncertainties; the biweight forgets it. Its minima are many, so that it begins
// at Huber's. The customary c = 4.685 costs 5 % of the information when all rows are
// normal (from memory). Solve returns an error unless 0 < k < c.
func Redescending(k, c float64) Loss {
	if !(k < c) {
		k = math.NaN() // see check
	}
	l := Huber(k)
	l.end = c
	return l
}

const (
	endRounds  = 100
	endSettled = 1e-6 // change of a weight that moves nothing
)

// redescend goes on from the solution by Huber's loss to that by the biweight; where it
// doesn't get there, the former stands. First S is that of Huber's loss, which a row far
// off has enlarged; then, once,
//
//	S² = b Σ w r² / (Σ w − Σ h),   b = E w / E w z² = (1 − 2/c² + 3/c⁴)/(1 − 6/c² + 15/c⁴)
//
// for normal z, with c so large that next to none lie beyond. More rounds might let S
// shrink with the rows that still count.
func redescend(p Problem, huber Result, s Settings, sc Scatter) (Result, Scatter) {
	q := 1 / (s.Loss.end * s.Loss.end)
	first, squares, ok := huber.biweight(p, s)
	if !ok {
		return huber, sc
	}
	redundancy := first.redundancy(p)
	birge := math.Sqrt((1 - 2*q + 3*q*q) / (1 - 6*q + 15*q*q) * squares / redundancy)
	scale, _ := chooseScale(birge, 1, redundancy, s.Uncertainty)
	first.Scale = math.Min(scale, huber.Scale)
	r, _, ok := first.biweight(p, s)
	if !ok {
		return huber, sc
	}
	sc = r.Scatter()
	sc.Redundancy, sc.Birge, sc.Scale = redundancy, birge, r.Scale
	if s.Uncertainty == Stated {
		_, r.ScaleDegrees = chooseScale(r.Scale, 1, redundancy, Stated)
	}
	return r, sc
}

// biweight goes on from r with its Scale: least squares with the rows weighted by
// w = (1 − (r/cS)²)², anew until the weights settle (P. J. Huber, Robust Statistics, 1981,
// § 7.8). The covariance is that of least squares with these weights: a row forgotten
// costs what it told. It also returns Σ w r².
func (r Result) biweight(p Problem, s Settings) (Result, float64, bool) {
	corner, degrees := s.Loss.end*r.Scale, r.ScaleDegrees
	s.Loss = Loss{}
	weights, fresh := make([]float64, p.Data.N), make([]float64, p.Data.N)
	for range endRounds {
		change, all, weighted := 0.0, 0.0, 0.0
		var forgotten []int
		rows(p.Data, r.X, p.width(), func(i int, v float64, _ []float64) bool {
			root := math.Max(0, 1-(v/corner)*(v/corner))
			w := root * root
			change = math.Max(change, math.Abs(w-weights[i]))
			fresh[i] = w
			if w > 0 {
				all += v * v
			} else {
				forgotten = append(forgotten, i)
			}
			weighted += w * v * v
			return true
		})
		if change <= endSettled {
			// those that R was made with
			r.weights, r.Forgotten, r.DataSquares, r.ScaleDegrees = weights, forgotten, all, degrees
			return r, weighted, true
		}
		weights, fresh = fresh, weights
		next := solveAt(p.weighted(weights), r.X, s, r.Scale)
		if !next.Status.Converged() {
			break
		}
		next.Iterations += r.Iterations
		next.Evaluations += r.Evaluations + 1
		r = next
	}
	return r, 0, false
}

// weighted returns p with the data rows multiplied by the roots of weights; p itself for
// nil.
func (p Problem) weighted(weights []float64) Problem {
	if weights == nil {
		return p
	}
	evaluate, width := p.Data.Evaluate, p.width()
	p.Data.Evaluate = func(x []float64, first int, r, jac []float64) {
		evaluate(x, first, r, jac)
		for i := range r {
			root := math.Sqrt(weights[first+i])
			r[i] *= root
			if jac != nil {
				floats.Scale(root, jac[i*width:(i+1)*width])
			}
		}
	}
	return p
}
