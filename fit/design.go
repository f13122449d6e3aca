package fit

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"fitcoil/stable"
)

// Gain is what one more row would do to the variance of a quantity.
type Gain struct {
	Candidate  int     // index among the candidates
	Variance   float64 // of gᵀx once the row is there; of several g the product
	Determined bool    // whether gᵀx is determined then, each
	share      float64 // length of what is still open of g, summed
}

func (a Gain) better(b Gain) bool {
	if a.Determined != b.Determined {
		return a.Determined
	}
	if !a.Determined && a.share != b.share {
		return a.share < b.share
	}
	return a.Variance < b.Variance
}

// RankRows orders candidate rows by what each alone would make of the variance of
// gᵀx, best first (c-optimality: S. D. Silvey, Optimal Design, 1980). If gᵀx
// is not determined at present, rows that determine it come first, then those
// that leave the smallest share of it undetermined. It is an error if the gradient or a
// candidate hasn't as many elements as there are parameters.
func (c Covariance) RankRows(gradient []float64, candidates [][]float64) ([]Gain, error) {
	if err := errors.Join(lengths("gradient", c.p, gradient), lengths("candidate", c.p, candidates...)); err != nil {
		return nil, err
	}
	gains := c.gains([][]float64{gradient}, candidates)
	stable.Sort(gains, func(a, b Gain) int {
		switch {
		case a.better(b):
			return -1
		case b.better(a):
			return 1
		}
		return 0
	})
	return gains, nil
}

// gains returns what each candidate would do for all gradients.
func (c Covariance) gains(gradients, candidates [][]float64) []Gain {
	all := c.gainsOf(gradients[0], candidates)
	for _, g := range gradients[1:] {
		for i, more := range c.gainsOf(g, candidates) {
			all[i].Variance *= more.Variance
			all[i].Determined = all[i].Determined && more.Determined
			all[i].share += more.share
		}
	}
	return all
}

// gainsOf returns what each candidate would do. In coordinates in which the
// present information is I on the directions determined and 0 on the others,
// let g be (y, g₀) and a row (z, a₀). A row with a₀ = 0 lowers the variance y·y
// by (y·z)²/(1 + z·z) (Sherman–Morrison). A row with a₀ ≠ 0 is used up on
// determining the direction a₀: with c = g₀·a₀/a₀·a₀, the limit of the same
// formula for information ε → 0 on the open directions leaves
//
//	variance |y − c z|² + c²,  open share g₀ − c a₀
func (c Covariance) gainsOf(gradient []float64, candidates [][]float64) []Gain {
	scale := c.blankScale(candidates)
	y, open := c.coordinates(gradient, scale)
	whole := norm(open)
	gains := make([]Gain, len(candidates))
	for i, row := range candidates {
		z, null := c.coordinates(row, scale)
		gain := Gain{Candidate: i, share: whole}
		if n := dot(null, null); n > 0 {
			f := dot(open, null) / n
			gain.share = distance(open, null, f)
			v := distance(y, z, f)
			gain.Variance = v*v + f*f
		} else {
			drop := dot(y, z)
			gain.Variance = dot(y, y) - drop*drop/(1+dot(z, z))
		}
		gain.Determined = gain.share <= openShare*whole
		gains[i] = gain
	}
	return gains
}

// distance returns ‖x − f·y‖.
func distance(x, y []float64, f float64) float64 {
	sum := 0.0
	for i, v := range x {
		sum += (v - f*y[i]) * (v - f*y[i])
	}
	return math.Sqrt(sum)
}

// openShare is the part of an open share that is left by rounding.
const openShare = 1e-8

// blankScale returns for each parameter that occurs in no row so far the
// largest element that a candidate has there, or 1.
func (c Covariance) blankScale(candidates [][]float64) []float64 {
	blank := c.allBlank()
	scale := make([]float64, len(blank))
	for k, j := range blank {
		for _, row := range candidates {
			scale[k] = math.Max(scale[k], math.Abs(row[j]))
		}
		if scale[k] == 0 {
			scale[k] = 1
		}
	}
	return scale
}

// coordinates returns the components of g along the directions determined, in
// standard uncertainties, and along the others; the latter are 0 if they are
// rounding.
func (c Covariance) coordinates(g, blankScale []float64) (fixed, open []float64) {
	fixed = make([]float64, c.length())
	open = make([]float64, 0, len(c.free)-c.fixed+len(blankScale))
	if c.project(g, fixed) {
		return fixed, open[:cap(open)]
	}
	for k, j := range c.allBlank() {
		open = append(open, g[j]/blankScale[k])
	}
	if c.own != nil {
		g, _ = c.reduce(g, make([]float64, len(c.own.at)))
	}
	for k := c.fixed; k < len(c.free); k++ {
		v, sum := c.s.right(k), 0.0
		for i, j := range c.free {
			sum += v[i] * g[j] * c.inverse[j]
		}
		open = append(open, sum)
	}
	return fixed, open
}

// Plan is a sequence of rows to add.
type Plan struct {
	// Greedy takes the best row at each step; each Gain stands for the rows up
	// to it.
	Greedy []Gain
	// Exchanged is the set reached from Greedy by exchanging single rows until
	// no exchange improves the last Gain, in its own best order.
	Exchanged []Gain
}

const exchangeRounds = 20

// PlanRows chooses k rows, one candidate as often as is useful, that make the
// variance of gᵀx small, or of several g the product of their variances (A. C. Atkinson
// and A. N. Donev, Optimum Experimental Designs, 1992, ch. 15). Candidates marked once
// (nil: none) are chosen no second time; there are fewer than k rows where none is left.
// Lengths must be as for RankRows, and there must be a gradient.
func (c Covariance) PlanRows(gradients, candidates [][]float64, once []bool, k int) (Plan, error) {
	err := errors.Join(lengths("gradient", c.p, gradients...), lengths("candidate", c.p, candidates...))
	switch {
	case err != nil:
		return Plan{}, err
	case len(gradients) == 0:
		return Plan{}, errors.New("fit: a plan needs a gradient")
	case once != nil && len(once) != len(candidates):
		return Plan{}, fmt.Errorf("fit: %d marks for %d candidates", len(once), len(candidates))
	case len(candidates) == 0 || k < 1:
		return Plan{}, nil
	}
	left := func(taken []int) (free []int) {
		for i := range candidates {
			if once == nil || !once[i] || !slices.Contains(taken, i) {
				free = append(free, i)
			}
		}
		return free
	}
	plan := Plan{Greedy: c.greedy(gradients, candidates, left, k)}
	k = len(plan.Greedy)
	set := make([]int, k)
	for i, g := range plan.Greedy {
		set[i] = g.Candidate
	}
	present := plan.Greedy[k-1]
	for range exchangeRounds {
		improved := false
		for i := range set {
			others := slices.Delete(slices.Clone(set), i, i+1)
			best := c.with(these(candidates, others)).best(gradients, candidates, left(others))
			if best.Candidate != set[i] && best.better(present) && best.Variance < present.Variance*(1-1e-9) {
				set[i], present, improved = best.Candidate, best, true
			}
		}
		if !improved {
			break
		}
	}
	plan.Exchanged = c.ordered(gradients, candidates, set)
	return plan, nil
}

// these returns the rows of the candidates named.
func these(candidates [][]float64, names []int) [][]float64 {
	out := make([][]float64, len(names))
	for i, at := range names {
		out[i] = candidates[at]
	}
	return out
}

// best returns the best of the candidates named.
func (c Covariance) best(gradients, candidates [][]float64, names []int) Gain {
	gains := c.gains(gradients, these(candidates, names))
	best := gains[0]
	for _, g := range gains[1:] {
		if g.better(best) {
			best = g
		}
	}
	best.Candidate = names[best.Candidate]
	return best
}

func (c Covariance) greedy(gradients, candidates [][]float64, left func(taken []int) []int, k int) (sequence []Gain) {
	var taken []int
	for range k {
		names := left(taken)
		if len(names) == 0 {
			break
		}
		best := c.best(gradients, candidates, names)
		c = c.with(candidates[best.Candidate : best.Candidate+1])
		taken, sequence = append(taken, best.Candidate), append(sequence, best)
	}
	return sequence
}

// ordered puts the candidates of a set into greedy order.
func (c Covariance) ordered(gradients, candidates [][]float64, set []int) []Gain {
	return c.greedy(gradients, candidates, func(taken []int) []int {
		left := slices.Clone(set)
		for _, k := range taken {
			at := slices.Index(left, k)
			left = slices.Delete(left, at, at+1)
		}
		return left
	}, len(set))
}
