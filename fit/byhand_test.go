package fit

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// straightLine is y = x0 + x1·t, u = 1.
func straightLine(y []float64) Problem {
	return Problem{Params: 2, Data: Rows{N: len(y), Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			at := float64(first + i)
			r[i] = y[first+i] - x[0] - x[1]*at
			if jac != nil {
				jac[2*i], jac[2*i+1] = -1, -at
			}
		}
	}}}
}

// Rows whose errors are those of others count for nothing in degrees of freedom and in AICc, and
// what a prior pays of a parameter is not paid by the data; by hand, from the leverages.
func TestAICcOfFewerRows(t *testing.T) {
	y := []float64{0.3, 0.9, 1.2, 2.1, 2.4, 2.2}
	for _, alike := range []float64{0, 1, 1.5} {
		p := straightLine(y)
		p.Alike = alike
		p.Prior = Gaussians(2, []Gaussian{{Param: 1, Mean: 2, Sigma: 0.3}})
		r := must.Get(Solve(p, []float64{0, 0}, Settings{})).In(t)
		k := 0.0
		for _, d := range Must(Diagnose(p, r))[:6] {
			k += d.Leverage
		}
		n := 6 - alike
		near.To(t, "AICc", Must(AICc(p, r)), r.DataSquares+r.PriorSquares+2*k+2*k*(k+1)/(n-k-1), 1e-9)
		if want := 6 - int(math.Round(alike)) + 1 - 2; r.DegreesOfFreedom() != want || !(r.PriorSquares > 1) {
			t.Errorf("%d degrees of freedom, want %d", r.DegreesOfFreedom(), want)
		}
		p.Prior = Rows{}
		p.Alike = 2.5 // 3.5 rows for two parameters
		r = must.Get(Solve(p, []float64{0, 0}, Settings{})).In(t)
		if a := Must(AICc(p, r)); !math.IsInf(a, 1) {
			t.Errorf("AICc %v of so few", a)
		}
	}
}

// A plan takes a candidate that there is once no second time, neither at first nor by exchange, and
// is as good as the best of all that are allowed.
func TestPlanOfRowsThatThereAreOnce(t *testing.T) {
	rng := rand.New(rand.NewPCG(71, 1))
	missed := 0
	for range 20 {
		p := Problem{Params: 3, Prior: Gaussians(3, []Gaussian{{Param: 0, Sigma: 1}, {Param: 1, Sigma: 2}, {Param: 2, Sigma: 1.5}})}
		c := must.Get(Solve(p, make([]float64, 3), Settings{})).In(t).Covariance()
		candidates := make([][]float64, 4)
		for i := range candidates {
			for range 3 {
				candidates[i] = append(candidates[i], rng.NormFloat64())
			}
		}
		for i := range candidates[0] {
			candidates[0][i] *= 3 // worth taking again
		}
		once := []bool{true, false, true, false}
		g := []float64{1, rng.NormFloat64(), rng.NormFloat64()}
		plan := must.Get(c.PlanRows([][]float64{g}, candidates, once, 3)).In(t)
		best := math.Inf(1)
		for i := range 64 {
			set := []int{i % 4, i / 4 % 4, i / 16}
			allowed := true
			for k, is := range once {
				n := 0
				for _, j := range set {
					if j == k {
						n++
					}
				}
				allowed = allowed && (!is || n < 2)
			}
			if allowed {
				v, _ := must.Get(c.With(these(candidates, set)...)).In(t).Variance(g)
				best = min(best, v)
			}
		}
		for what, list := range map[string][]Gain{"greedy": plan.Greedy, "exchanged": plan.Exchanged} {
			count := map[int]int{}
			for _, gain := range list {
				if count[gain.Candidate]++; once[gain.Candidate] && count[gain.Candidate] > 1 {
					t.Errorf("%s takes %d again", what, gain.Candidate)
				}
			}
		}
		if v := plan.Exchanged[2].Variance; !(v >= best*(1-1e-9)) || !(v <= best*1.05) {
			t.Errorf("variance %v, the best has %v", v, best)
		} else if v > best*(1+1e-9) { // single exchanges don't lead everywhere
			missed++
		}
	}
	if missed > 3 {
		t.Errorf("%d of 20 aren't the best", missed)
	}
}

// Foretold ends shift by the square of k; of x², where the rows of x are curved, by what Bates and Watts's
// expansion has in one dimension, worked out here: x² = Q̂ + 2x̂ σ s + …, as x(s) solves the rise
// (r(x))² = r̂² + s² to second order.
func TestForetoldEndsOfASquare(t *testing.T) {
	p := Problem{Params: 1, Data: Rows{N: 1, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			r[i] = (math.Exp(x[0]) - 3) / 0.05
			if jac != nil {
				jac[i] = math.Exp(x[0]) / 0.05
			}
		}
	}}}
	r := must.Get(Solve(p, []float64{1}, Settings{})).In(t)
	e, ok, err := NewEnds(p, r, Settings{})
	if err != nil || !ok {
		t.Fatal(err, ok)
	}
	square := func(x, grad []float64) float64 {
		for i := range grad {
			grad[i] = 2 * x[i]
		}
		return x[0] * x[0]
	}
	for _, k := range []float64{0.5, 1, 2} {
		lo, hi := e.Of(square, k)
		end := func(s float64) float64 { // x = ln(3 + 0.05 s), squared, to second order in s
			x, a := math.Log(3), 0.05/3
			return x*x + 2*x*a*s + (a*a-x*a*a)*s*s
		}
		near.To(t, "low", lo, end(-k), 2e-7)
		near.To(t, "high", hi, end(k), 2e-7)
	}
}

// After a biweight, profile and region are those of the weighted rows; of a linear problem, the
// ellipse of the covariance with F for the degrees of freedom; with Huber's loss the curve of a
// profile ends where the interval does.
func TestProfilesOfRobustFits(t *testing.T) {
	y := []float64{0.1, 0.8, 2.3, 2.9, 3.8, 5.4, 5.7, 7.2, 7.9, 40}
	p := straightLine(y)
	element := func(j int) Quantity {
		return func(x, grad []float64) float64 {
			clear(grad)
			if grad != nil {
				grad[j] = 1
			}
			return x[j]
		}
	}
	r, _, err := SolveScaled(p, []float64{0, 1}, Settings{Loss: Redescending(1.345, 4.685)})
	if err != nil || !slices.Equal(r.Forgotten, []int{9}) {
		t.Fatal(err, r.Forgotten)
	}
	r.ScaleDegrees = 5
	c := r.Covariance()
	k := CoverageFactor(0.95, 5)
	in := Must(Profile(p, r, Settings{}, element(1), 0.95))
	v, _ := c.Variance([]float64{0, 1})
	near.Times(t, "half width", (in.Hi-in.Lo)/2, k*math.Sqrt(v), 1e-5)
	m := c.Matrix([][]float64{{1, 0}, {0, 1}})
	for _, q := range Must(Contour(p, r, Settings{}, element(0), element(1), 0.95, 12)) {
		a, b := q[0]-r.X[0], q[1]-r.X[1]
		square := (m[3]*a*a - 2*m[1]*a*b + m[0]*b*b) / (m[0]*m[3] - m[1]*m[1])
		near.Times(t, "radius²", square, 2*5.786135, 3e-3) // F of 95 % with 2 and 5 (tables)
	}
	for i, v := range y[:9] { // no row within the corner alone
		y[i] = float64(i)*0.9 + 6*(v-float64(i)*0.9)
	}
	y[9] = 11
	r = must.Get(Solve(p, []float64{0, 1}, Settings{Loss: Huber(1.345)})).In(t)
	k = CoverageFactor(0.95, math.Inf(1))
	in = Must(Profile(p, r, Settings{}, element(1), 0.95))
	curve := Must(ProfileCurve(p, r, Settings{}, element(1), 1.5*k, 40))
	for _, end := range []float64{in.Lo, in.Hi} {
		rise := math.NaN()
		for i := 1; i < len(curve); i++ {
			if a, b := curve[i-1], curve[i]; a.At <= end && end <= b.At {
				rise = a.Rise + (b.Rise-a.Rise)*(end-a.At)/(b.At-a.At)
			}
		}
		near.Times(t, "rise at the end", rise, k*k, 0.01)
	}
	if r.inner == 1 || math.Abs(r.inner/r.efficiency-1) < 0.02 {
		t.Errorf("within the corner %v, efficiency %v", r.inner, r.efficiency)
	}
	// By the uncertainties as they are, a restated covariance is the same.
	a, _ := r.Covariance().Variance([]float64{0, 1})
	b, _ := Must(r.Restated(p)).Variance([]float64{0, 1})
	near.Times(t, "restated", b, a, 1e-9)
}

// Rows are named by their place however many there are, and a matrix that is none but for rounding
// isn't whitened.
func TestNamesOfManyRows(t *testing.T) {
	y := make([]float64, 600)
	for i := range y {
		y[i] = math.Sin(float64(i))
	}
	p := straightLine(y)
	r := must.Get(Solve(p, []float64{0, 0}, Settings{})).In(t)
	c := r.Covariance()
	next := 0
	for row, u := range Must(Contributions(p, r, c, []float64{0, 1})) {
		if row.Prior || row.Index != next {
			t.Fatalf("row %d is called %d", next, row.Index)
		}
		mean := 299.5
		near.To(t, "weight of a slope", u, (float64(next)-mean)/(600*(600*600-1)/12.), 1e-12)
		next++
	}
	if next != 600 {
		t.Errorf("%d rows", next)
	}
	for off, want := range map[float64]bool{1 - 1e-9: true, 1 - 1e-14: false, 1.1: false} {
		if _, ok := Whiten([]float64{1, off, off, 1}, 2); ok != want {
			t.Errorf("correlation %v: %v", off, ok)
		}
	}
	if _, err := Solve(Problem{Params: 2, Own: 2}, []float64{0, 0}, Settings{}); err == nil {
		t.Error("nothing but own parameters")
	}
}

// The furthest of a thousand trials may make up to half of the squares.
func TestOneTrialOfAThousand(t *testing.T) {
	for share, want := range map[float64]bool{0.4: false, 0.49: false, 0.51: true} {
		v := make([]float64, 1000)
		for i := range v {
			v[i] = 2*float64(i%2) - 1
		}
		v[999] = math.Sqrt(share / (1 - share) * 999)
		slices.Sort(v)
		for i := range v { // the median at zero
			if i > 0 && i < 999 && v[i] == 1 && v[500] != 0 {
				v[500] = 0
			}
		}
		slices.Sort(v)
		if byFew(v) != want {
			t.Errorf("a share of %v: %v", share, !want)
		}
	}
}

// What a row added later brings to a variance counts to its group, with an own parameter or not.
func TestSharesOfARowAdded(t *testing.T) {
	p := Problem{Params: 4, Own: 2, Data: Rows{N: 5, Own: []int{0, 0, 1, 1, -1}, Evaluate: func(x []float64, first int, r, jac []float64) {
		own := []float64{x[2], x[2], x[3], x[3], 0}
		for i := range r {
			n := first + i
			r[i] = x[0] + float64(n)*x[1] + own[n] - 1
			if jac != nil {
				jac[3*i], jac[3*i+1], jac[3*i+2] = 1, float64(n), 1
			}
		}
	}}, Prior: OwnGaussians(4, 2, []Gaussian{{Param: 2, Sigma: 1}, {Param: 3, Sigma: 0.5}, {Param: 0, Sigma: 3}})}
	r := must.Get(Solve(p, make([]float64, 4), Settings{})).In(t)
	for _, row := range [][]float64{{1, 2, 0, 0}, {1, 2, 0.7, 0}, {0.3, 1, 0.7, -0.4}} {
		c := must.Get(r.Covariance().With(row)).In(t)
		s := must.Get(c.NewShares(p.Prior, r.X, 3, func(i int) int { return i / 2 })).In(t)
		must.Do(t, s.Add(row, 2))
		for _, g := range [][]float64{{1, 0, 0, 0}, {0, 1, 0.5, 0}, {1, 1, 0.2, -2}} {
			shares := make([]float64, 3)
			variance, _ := s.Of(g, shares)
			want := c.Between(row, g)
			near.To(t, "the row's share", shares[2], want*want, 1e-12)
			prior := must.Get(c.Along(p.Prior, r.X, g)).In(t)
			near.To(t, "own priors", shares[0], prior[0]*prior[0]+prior[1]*prior[1], 1e-12)
			near.To(t, "the common one", shares[1], prior[2]*prior[2], 1e-12)
			v, _ := c.Variance(g)
			near.Times(t, "variance", variance, v, 1e-12)
		}
	}
}

// With own parameters a robust fit has the efficiency that it has without: they are determined by the
// data as others are.
func TestEfficiencyCountsOwnParameters(t *testing.T) {
	y := []float64{0.1, 2.5, -1.4, 3.3, 0.4, 2.2, -2.7, 4.1, 5.5, -3.2, 1.9, 0.2}
	p := Problem{Params: 3, Own: 2, Data: Rows{N: 12, Own: []int{0, 0, 0, 0, 1, 1, 1, 1, -1, -1, -1, -1}, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			n := first + i
			r[i] = y[n] - x[0]
			if n < 8 {
				r[i] -= x[1+n/4]
			}
			if jac != nil {
				jac[2*i], jac[2*i+1] = -1, -1
			}
		}
	}}}
	s := Settings{Loss: Huber(1.345)}
	a, b := must.Get(Solve(p, make([]float64, 3), s)).In(t), must.Get(Solve(p.whole(), make([]float64, 3), s)).In(t)
	near.Times(t, "efficiency", a.efficiency, b.efficiency, 1e-6)
	for j := range 3 {
		near.To(t, "parameter", a.X[j], b.X[j], 1e-6)
	}
}

// S of a biweight, by hand: Huber's S first; then once b Σw r²/(Σw − 1), with w at the location that
// those weights have.
func TestScaleOfABiweight(t *testing.T) {
	y := []float64{-2.9, -1.4, -0.7, 0.2, 0.9, 1.8, 3.3, 90}
	const c = 4.685
	p := Problem{Params: 1, Data: Rows{N: len(y), Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			r[i] = y[first+i] - x[0]
		}
		for i := range jac {
			jac[i] = -1
		}
	}}}
	huber, _, _ := SolveScaled(p, []float64{0}, Settings{Loss: Huber(1.345)})
	r, sc, err := SolveScaled(p, []float64{0}, Settings{Loss: Redescending(1.345, c)})
	must.Do(t, err)
	x, all, squares := huber.X[0], 0.0, 0.0
	for range 200 {
		sum := 0.0
		all, squares = 0, 0
		for _, v := range y {
			z := (v - x) / c / huber.Scale
			w := math.Pow(max(0, 1-z*z), 2)
			all, sum, squares = all+w, sum+w*v, squares+w*(v-x)*(v-x)
		}
		x = sum / all
	}
	q := 1 / (c * c)
	want := math.Sqrt((1 - 2*q + 3*q*q) / (1 - 6*q + 15*q*q) * squares / (all - 1))
	near.Times(t, "S", sc.Scale, want, 1e-4)
	near.Times(t, "Birge", sc.Birge, want, 1e-4)
	near.Times(t, "redundancy", sc.Redundancy, all-1, 1e-4)
	if !(want > 1.2 && want < huber.Scale) || r.Scale != sc.Scale {
		t.Errorf("S %v, Huber's %v", want, huber.Scale)
	}
}

// Blocks joined are their rows one after another, in any slices, with the own parameter of each, −1
// where a block has none; what is wrong with one is wrong with all.
func TestJoinedBlocks(t *testing.T) {
	block := func(n, from int, own []int) Rows {
		return Rows{N: n, Own: own, Evaluate: func(x []float64, first int, r, jac []float64) {
			for i := range r {
				r[i] = x[0] * float64(from+first+i)
				if jac != nil {
					jac[2*i], jac[2*i+1] = float64(from+first+i), -1
				}
			}
		}}
	}
	all := Join(2, block(2, 0, nil), block(3, 2, []int{1, -1, 0}), block(0, 5, nil), block(2, 5, nil))
	if all.N != 7 || !slices.Equal(all.Own[:5], []int{-1, -1, 1, -1, 0}) || all.own(6) != -1 {
		t.Fatalf("%d rows, own %v", all.N, all.Own)
	}
	for first := range 7 {
		for m := 1; first+m <= 7; m++ {
			r, jac := make([]float64, m), make([]float64, 2*m)
			all.Evaluate([]float64{3}, first, r, nil)
			all.Evaluate([]float64{3}, first, r, jac)
			for i := range m {
				if want := float64(first + i); r[i] != 3*want || jac[2*i] != want || jac[2*i+1] != -1 {
					t.Errorf("row %d of %d from %d: %v, %v", i, m, first, r[i], jac[2*i:][:2])
				}
			}
		}
	}
	if Join(1, Gaussians(1, nil), Gaussians(1, []Gaussian{{Param: 4, Sigma: 1}})).err == nil {
		t.Error("a prior on no parameter")
	}
	if own := Join(2, block(2, 0, nil), block(1, 2, nil)).Own; own != nil {
		t.Errorf("own parameters %v of none", own)
	}
}

// Of t = 2.0860 with 20 degrees of freedom is 5 % (tables of Student's t), and the last batch of trials
// is what is left of their number.
func TestChanceAndTheLastBatch(t *testing.T) {
	near.Times(t, "chance", Chance(-2.085963, 20), 0.05, 1e-6)
	p := Problem{Params: 1, Prior: Gaussians(1, []Gaussian{{Mean: 2, Sigma: 0.1}})}
	r := must.Get(Solve(p, []float64{2}, Settings{})).In(t)
	done := 0
	s := must.Get(MonteCarlo(func() (Problem, Quantities) { return p, func(x, out []float64) { out[0] = x[0] } }, 1, r, Distributions{}, Settings{}, Trials{Most: batchTrials + 7, Seed: 1, Done: func(n int) { done = n }})).In(t)
	if s.Len() != batchTrials+7 || done != batchTrials+7 || s.Failed != 0 {
		t.Errorf("%d trials, %d told, %d failed", s.Len(), done, s.Failed)
	}
}
