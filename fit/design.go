package fit

import "slices"

// Gain is what one more row would do to the variance of a quantity.
type Gain struct {
	Candidate  int     // index among the candidates
	Variance   float64 // of gᵀx once the row is there
	Determined bool    // whether gᵀx is determined then
	share      float64 // of g that is still undetermined
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

// With returns the covariance that further rows would lead to; each is the
// gradient of a standardised residual, of which only the direction and length
// count, not what will be read.
func (c Covariance) With(further ...[]float64) Covariance {
	all := slices.Clone(c.rows)
	for _, r := range further {
		all = append(all, r...)
	}
	return newCovariance(all, c.p, c.held)
}

// RankRows orders candidate rows by what each alone would make of the variance of
// gᵀx, best first (c-optimality: S. D. Silvey, Optimal Design, 1980). If gᵀx
// is not determined at present, rows that determine it come first, then those
// that leave the smallest share of it undetermined.
func (c Covariance) RankRows(gradient []float64, candidates [][]float64) []Gain {
	gains := c.gains(gradient, candidates)
	slices.SortStableFunc(gains, func(a, b Gain) int {
		switch {
		case a.better(b):
			return -1
		case b.better(a):
			return 1
		}
		return 0
	})
	return gains
}

// gains returns what each candidate would do. For a determined quantity the
// variance v falls by (gᵀΣa)²/(1 + aᵀΣa) for a row a within the directions
// determined (Sherman–Morrison); a row with a share outside is used up on that.
func (c Covariance) gains(gradient []float64, candidates [][]float64) []Gain {
	gains := make([]Gain, len(candidates))
	g, a := make([]float64, c.rank), make([]float64, c.rank)
	determined := c.project(gradient, g)
	variance := dot(g, g)
	for i, row := range candidates {
		inside := c.project(row, a)
		switch {
		case determined && inside:
			drop := dot(g, a)
			gains[i] = Gain{i, variance - drop*drop/(1+dot(a, a)), true, 0}
		case determined:
			gains[i] = Gain{i, variance, true, 0}
		default:
			gains[i] = c.With(row).gain(gradient)
			gains[i].Candidate = i
		}
	}
	return gains
}

// gain returns the present state of gᵀx.
func (c Covariance) gain(gradient []float64) Gain {
	y := make([]float64, c.rank)
	share, determined := c.split(gradient, y)
	return Gain{-1, dot(y, y), determined, share}
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
// variance of gᵀx small (A. C. Atkinson and A. N. Donev, Optimum Experimental
// Designs, 1992, ch. 15).
func (c Covariance) PlanRows(gradient []float64, candidates [][]float64, k int) Plan {
	if len(candidates) == 0 || k < 1 {
		return Plan{}
	}
	plan := Plan{Greedy: c.greedy(gradient, candidates, k)}
	set := make([]int, k)
	for i, g := range plan.Greedy {
		set[i] = g.Candidate
	}
	present := plan.Greedy[k-1]
	for range exchangeRounds {
		improved := false
		for i := range set {
			others := make([][]float64, 0, k-1)
			for l, at := range set {
				if l != i {
					others = append(others, candidates[at])
				}
			}
			best := c.With(others...).best(gradient, candidates)
			if best.Candidate != set[i] && best.better(present) && best.Variance < present.Variance*(1-1e-9) {
				set[i], present, improved = best.Candidate, best, true
			}
		}
		if !improved {
			break
		}
	}
	chosen := make([][]float64, k)
	for i, at := range set {
		chosen[i] = candidates[at]
	}
	plan.Exchanged = c.ordered(gradient, chosen)
	for i := range plan.Exchanged {
		plan.Exchanged[i].Candidate = set[plan.Exchanged[i].Candidate]
	}
	return plan
}

func (c Covariance) best(gradient []float64, candidates [][]float64) Gain {
	gains := c.gains(gradient, candidates)
	best := gains[0]
	for _, g := range gains[1:] {
		if g.better(best) {
			best = g
		}
	}
	return best
}

func (c Covariance) greedy(gradient []float64, candidates [][]float64, k int) []Gain {
	var sequence []Gain
	for range k {
		best := c.best(gradient, candidates)
		c = c.With(candidates[best.Candidate])
		sequence = append(sequence, best)
	}
	return sequence
}

// ordered puts all rows of a set into greedy order.
func (c Covariance) ordered(gradient []float64, set [][]float64) []Gain {
	var sequence []Gain
	left := make([]int, len(set))
	for i := range left {
		left[i] = i
	}
	for len(left) > 0 {
		rest := make([][]float64, len(left))
		for i, at := range left {
			rest[i] = set[at]
		}
		best := c.best(gradient, rest)
		at := best.Candidate
		c = c.With(rest[at])
		best.Candidate = left[at]
		left = slices.Delete(left, at, at+1)
		sequence = append(sequence, best)
	}
	return sequence
}
