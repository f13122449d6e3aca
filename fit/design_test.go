package fit_test

import (
	"math"
	"slices"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/near"
)

// at is the row of a reading of x0 + x1·t with unit uncertainty.
func at(t float64) []float64 { return []float64{-1, -t} }

func places(n int, lo, hi float64) [][]float64 {
	c := make([][]float64, n)
	for i := range c {
		c[i] = at(lo + (hi-lo)*float64(i)/float64(n-1))
	}
	return c
}

// With one reading at 0, the slope of a line is undetermined; any second place
// fixes it, the far end of the range best: u² = (u₀² + u²)/t² (by hand; G.
// Elfving, Ann. Math. Statist. 23, 1952, 255–262).
func TestSecondReadingOfSlope(t *testing.T) {
	r := solve(t, line([]float64{0}, []float64{1}, []float64{1}), []float64{0, 0}, fit.Settings{})
	c := r.Covariance()
	candidates := places(11, 0, 5)
	gains := fit.Must(c.RankRows(unit(2, 1), candidates))
	if gains[0].Candidate != 10 {
		t.Errorf("best is %v", candidates[gains[0].Candidate])
	}
	for k, g := range gains[:10] {
		at := -candidates[g.Candidate][1]
		if g.Candidate != 10-k || !g.Determined {
			t.Errorf("place %d is %+v", k, g)
		}
		near.To(t, "variance", g.Variance, 2/(at*at), 1e-9)
	}
	if last := gains[10]; last.Candidate != 0 || last.Determined {
		t.Errorf("another reading at 0 is said to be %+v", last)
	}
}

// The best readings between −1 and 1 for the line's value at 2 are 3/4 at 1 and
// 1/4 at −1 (P. G. Hoel and A. Levine, Ann. Math. Statist. 35, 1964,
// 1553–1560), for its slope 1/2 each (Elfving 1952).
func TestDesignOfLine(t *testing.T) {
	none := solve(t, line(nil, nil, nil), []float64{0, 0}, fit.Settings{}).Covariance()
	candidates := places(21, -1, 1)
	for _, c := range []struct {
		gradient []float64
		k, high  int
	}{{[]float64{1, 2}, 8, 6}, {unit(2, 1), 8, 4}} {
		plan := fit.Must(none.PlanRows([][]float64{c.gradient}, candidates, nil, c.k))
		count := map[int]int{}
		for _, g := range plan.Exchanged {
			count[g.Candidate]++
		}
		if count[20] != c.high || count[0] != c.k-c.high {
			t.Errorf("%v: readings at %v", c.gradient, count)
		}
	}
}

// What is promised for a candidate is what a fit with that row then has.
func TestGainIsKept(t *testing.T) {
	p := decay(20, 0.01)
	r := solve(t, p, decayStart, fit.Settings{})
	c := r.Covariance()
	g := unit(4, 1)
	var candidates [][]float64
	for i := range 20 {
		jac := make([]float64, 4)
		p.Data.Evaluate(r.X, i, make([]float64, 1), jac)
		candidates = append(candidates, jac)
	}
	before, _ := c.Variance(g)
	for _, gain := range fit.Must(c.RankRows(g, candidates)) {
		// The same row once more, as a prior that is met exactly.
		row := candidates[gain.Candidate]
		q := p
		q.Prior = fit.Rows{N: 1, Evaluate: func(x []float64, _ int, res, jac []float64) {
			if len(res) == 0 {
				return
			}
			res[0] = 0
			for j := range x {
				res[0] += row[j] * (x[j] - r.X[j])
			}
			copy(jac, row)
		}}
		v, _ := solve(t, q, r.X, fit.Settings{}).Covariance().Variance(g)
		near.To(t, "variance", gain.Variance/v, 1, 1e-9)
		if gain.Variance > before {
			t.Errorf("variance rises from %g to %g", before, gain.Variance)
		}
	}
}

// Two readings that together fix what neither does alone.
func TestPlanOfTwoToDetermine(t *testing.T) {
	// x0 is read with x1 and x2 added; only x0 + x1 + x2 is known.
	c := solve(t, linear([]float64{1, 1, 1}, []float64{0}, 3), make([]float64, 3), fit.Settings{}).Covariance()
	candidates := [][]float64{{1, 1, 1}, {0, 1, 0}, {0, 0, 0.5}}
	plan := fit.Must(c.PlanRows([][]float64{unit(3, 0)}, candidates, nil, 2))
	for _, s := range [][]fit.Gain{plan.Greedy, plan.Exchanged} {
		if s[0].Determined || !s[1].Determined {
			t.Errorf("%+v", s)
		}
		near.To(t, "variance", s[1].Variance, 1+1+4, 1e-9)
	}
}

// A parabola read at 0, 0.5 and 1, and candidates from −2 to 2: for 2x₁ + x₂ the
// greedy choice is three times worse than the best of all pairs, which the
// exchange finds.
func TestExchangeAgainstAllSets(t *testing.T) {
	parabola := func(t float64) []float64 { return []float64{1, t, t * t} }
	var a []float64
	for _, t := range []float64{0, 0.5, 1} {
		a = append(a, parabola(t)...)
	}
	c := solve(t, linear(a, make([]float64, 3), 3), make([]float64, 3), fit.Settings{}).Covariance()
	var candidates [][]float64
	for i := -6; i <= 6; i++ {
		candidates = append(candidates, parabola(float64(i)/3))
	}
	g := []float64{0, 2, 1}
	for k := 2; k <= 3; k++ {
		best := math.Inf(1)
		for code := range int(math.Pow(13, float64(k))) {
			var set [][]float64
			for i, x := 0, code; i < k; i, x = i+1, x/13 {
				set = append(set, candidates[x%13])
			}
			v, _ := fit.Must(c.With(set...)).Variance(g)
			best = math.Min(best, v)
		}
		plan := fit.Must(c.PlanRows([][]float64{g}, candidates, nil, k))
		near.To(t, "exchanged", plan.Exchanged[k-1].Variance, best, 1e-9)
		if plan.Greedy[k-1].Variance < 2*best {
			t.Errorf("greedy %g, best %g: the test needs a case where they differ", plan.Greedy[k-1].Variance, best)
		}
	}
}

// The same for two quantities at once, of which the product of variances counts.
func TestPlanForTwo(t *testing.T) {
	var a []float64
	for _, t := range []float64{0, 0.5, 1} {
		a = append(a, 1, t, t*t)
	}
	c := solve(t, linear(a, make([]float64, 3), 3), make([]float64, 3), fit.Settings{}).Covariance()
	var candidates [][]float64
	for i := -6; i <= 6; i++ {
		x := float64(i) / 3
		candidates = append(candidates, []float64{1, x, x * x})
	}
	wanted := [][]float64{{1, 2, 4}, {1, -0.5, 0.25}}
	best := math.Inf(1)
	both := func(rows ...[]float64) float64 {
		v, _ := fit.Must(c.With(rows...)).Variance(wanted[0])
		w, _ := fit.Must(c.With(rows...)).Variance(wanted[1])
		return v * w
	}
	for i := range candidates {
		for j := range candidates {
			best = math.Min(best, both(candidates[i], candidates[j]))
		}
	}
	plan := fit.Must(c.PlanRows(wanted, candidates, nil, 2))
	near.To(t, "exchanged", plan.Exchanged[1].Variance, best, 1e-9)
	one := fit.Must(c.PlanRows(wanted[1:], candidates, nil, 2)).Exchanged
	if alone := both(candidates[one[0].Candidate], candidates[one[1].Candidate]); alone < 1.2*best {
		t.Errorf("a plan for one is as good for both (%g, best %g): the test needs a case where they differ", alone, best)
	}
}

// One row of a plane's two coordinates determines one of them; both are determined by two.
func TestPlanForTwoDeterminesBoth(t *testing.T) {
	none := solve(t, linear(nil, nil, 2), []float64{0, 0}, fit.Settings{}).Covariance()
	plan := fit.Must(none.PlanRows([][]float64{unit(2, 0), unit(2, 1)}, [][]float64{{1, 0}, {0, 1}}, nil, 2))
	if g := plan.Greedy; g[0].Determined || !g[1].Determined || !(math.Abs(g[1].Variance-1) <= 1e-12) {
		t.Errorf("%+v", g)
	}
}

func TestPlanOfNothing(t *testing.T) {
	c := solve(t, line(lineT, lineY, constant(6, 1)), []float64{0, 0}, fit.Settings{}).Covariance()
	if plan := fit.Must(c.PlanRows([][]float64{unit(2, 0)}, nil, nil, 3)); plan.Greedy != nil || plan.Exchanged != nil {
		t.Errorf("%+v", plan)
	}
}

// Of rows that leave as much undetermined, that comes first which leaves the smaller variance of the rest.
func TestOrderOfRowsThatDontDetermine(t *testing.T) {
	c := solve(t, linear([]float64{1, 0, 0}, []float64{0}, 3), make([]float64, 3), fit.Settings{}).Covariance()
	candidates := [][]float64{{1, 0, 0}, {0, 0, 0}, {3, 0, 0}, {0, 1, 0}, {2, 0, 0}}
	var order []int
	for _, g := range fit.Must(c.RankRows([]float64{1, 1, 1}, candidates)) {
		if order = append(order, g.Candidate); g.Determined {
			t.Errorf("%+v: two are open, and one row determines both", g)
		}
	}
	if !slices.Equal(order, []int{3, 2, 4, 0, 1}) { // the fourth determines one of two; of the others x0 is known by 1/10, 1/5, 1/2 and 1
		t.Errorf("order %v", order)
	}
}

// Of candidates that do as much the first is taken, and they keep their order.
func TestFirstOfEqualCandidates(t *testing.T) {
	r := solve(t, line([]float64{0}, []float64{1}, []float64{1}), []float64{0, 0}, fit.Settings{})
	candidates := [][]float64{at(1), at(5), at(0), at(5), at(1), at(0)}
	for k, g := range fit.Must(r.Covariance().RankRows(unit(2, 1), candidates)) {
		if want := []int{1, 3, 0, 4, 2, 5}[k]; g.Candidate != want {
			t.Errorf("place %d: candidate %d, want %d", k, g.Candidate, want)
		}
	}
	plan := fit.Must(r.Covariance().PlanRows([][]float64{unit(2, 1)}, candidates, make([]bool, 6), 1))
	if len(plan.Greedy) != 1 || plan.Greedy[0].Candidate != 1 || plan.Exchanged[0].Candidate != 1 {
		t.Errorf("%+v", plan)
	}
}
