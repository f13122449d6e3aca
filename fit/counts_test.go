package fit_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// Evaluations are as many as the rows were asked for; readings scaled up count those of all rounds.
func TestEvaluationsAreCounted(t *testing.T) {
	calls := 0
	p := formula(2, 8, func(i int, x, g []float64) float64 {
		if i == 0 {
			calls++
		}
		k := float64(i)
		e := math.Exp(-0.2 * k * x[1])
		g[0], g[1] = e, -0.2*k*x[0]*e
		return x[0]*e - (2*math.Exp(-0.3*k) + 0.1*float64(i%3))
	})
	r, err := fit.Solve(p, []float64{1, 1}, fit.Settings{})
	if err != nil || !r.Status.Converged() || r.Evaluations != calls || r.Iterations < 2 || r.Iterations > calls {
		t.Errorf("%d evaluations, %d counted, %d iterations; %v", r.Evaluations, calls, r.Iterations, err)
	}
	p = formula(1, 5, func(i int, x, g []float64) float64 {
		if i == 0 {
			calls++
		}
		g[0] = 10
		return 10 * (x[0] - float64(i))
	})
	p.Prior = fit.Gaussians(1, []fit.Gaussian{{Mean: 1, Sigma: 1}})
	calls = 0
	first := must.Get(fit.Solve(p, []float64{0}, fit.Settings{})).In(t)
	calls = 0
	scaled, _, err := fit.SolveScaled(p, []float64{0}, fit.Settings{})
	if err != nil || scaled.Evaluations <= first.Evaluations || scaled.Evaluations > calls || scaled.Iterations <= first.Iterations {
		t.Errorf("scaled: %d evaluations of %d, %d iterations; alone %d and %d", scaled.Evaluations, calls, scaled.Iterations, first.Evaluations, first.Iterations)
	}
}

// Coverage intervals of a sample, by JCGM 101:2008, 7.7: of a hundred values 95 lie within; the
// shortest of values that grow ever faster begins with the first. An interval agrees with it whose
// ends do, to the tolerance that the digits of u imply.
func TestIntervalsOfASample(t *testing.T) {
	s := fit.Sample{Level: 0.95}
	v := make([]float64, 100)
	for i := range v {
		v[i] = float64(i * i)
	}
	s.Values = [][]float64{v}
	if s.Len() != 100 || (fit.Sample{}).Len() != 0 {
		t.Errorf("%d trials", s.Len())
	}
	if lo, hi := s.Interval(0, 0.95); lo != 9 || hi != 97*97 {
		t.Errorf("symmetric %v to %v", lo, hi)
	}
	if lo, hi := s.Shortest(0, 0.95); lo != 0 || hi != 94*94 {
		t.Errorf("shortest %v to %v", lo, hi)
	}
	slices.Reverse(v)
	for i := range v {
		v[i] = -v[i]
	}
	if lo, hi := s.Shortest(0, 0.95); lo != -94*94 || hi != 0 {
		t.Errorf("shortest %v to %v", lo, hi)
	}
	for _, k := range []int{-1, 1} {
		if lo, hi := s.Interval(k, 0.95); !math.IsNaN(lo) || !math.IsNaN(hi) {
			t.Errorf("of quantity %d: %v to %v", k, lo, hi)
		}
		if mean, deviation := s.Mean(k); !math.IsNaN(mean) || !math.IsNaN(deviation) {
			t.Errorf("of quantity %d: %v ± %v", k, mean, deviation)
		}
	}
	for u, want := range map[float64]float64{0.32: 0.05, 1.7: 0.5, 94: 5, 96: 50, 1000: 500} { // half of the last of one digit
		if got := fit.Tolerance(u, 1); !(math.Abs(got/want-1) <= 1e-12) {
			t.Errorf("± %v: tolerance %v, want %v", u, got, want)
		}
	}
	got := s.Validate(0, 1700, -96*96+300, -4-600, 1)
	if got.Tolerance != 500 || got.Low != 300 || got.High != 600 || got.Holds() {
		t.Errorf("%+v", got)
	}
	for _, c := range []struct {
		v    fit.Validation
		want bool
	}{{fit.Validation{Tolerance: 1, Low: 1, High: 1}, true}, {fit.Validation{Tolerance: 1, Low: 1.01}, false}, {fit.Validation{Tolerance: 1, High: 1.01}, false}} {
		if c.v.Holds() != c.want {
			t.Errorf("%+v: %v", c.v, !c.want)
		}
	}
}

// Trials keep to the bounds as the fit does. Of a mean that may not be below zero, ½σ above it, a
// share Φ(−½) = 0.3085 stands at the bound, and the mean of trials is σ(½Φ(½) + φ(½)) = 0.6978 σ, ½σ
// below it likewise; the sum with a parameter that goes with it is as uncertain as ever.
func TestTrialsAtABound(t *testing.T) {
	data := []float64{0.5, 1, 0, 3} // a read thrice with ± √3, in the mean ½ ± 1; a + b once
	p := formula(2, 4, func(i int, x, g []float64) float64 {
		if i == 3 {
			g[0], g[1] = 4, 4
			return 4 * (x[0] + x[1] - data[3])
		}
		g[0] = 1 / math.Sqrt(3)
		return (x[0] - data[i]) / math.Sqrt(3)
	})
	for _, at := range []float64{0.5, -0.5} {
		for i := range 3 {
			data[i] = at + []float64{0, 0.5, -0.5}[i]
		}
		q := p
		q.Lower, q.Upper = []float64{0, math.Inf(-1)}, []float64{math.Inf(1), math.Inf(1)}
		r, err := fit.Solve(q, []float64{0.3, 1}, fit.Settings{})
		if err != nil || !r.Status.Converged() || !(math.Abs(r.X[0]-math.Max(0, at)) <= 1e-6) || !(math.Abs(r.X[0]+r.X[1]-3) <= 1e-6) {
			t.Fatal(r.X, err)
		}
		s, err := fit.MonteCarlo(func() (fit.Problem, fit.Quantities) {
			return q, func(x, out []float64) { out[0], out[1] = x[0], x[0]+x[1] }
		}, 2, r, fit.Distributions{}, fit.Settings{}, fit.Trials{Most: 4000, Seed: 5})
		if err != nil || s.Failed > 0 || s.Len() != 4000 {
			t.Fatal(err, s.Failed)
		}
		bound := 0
		for _, v := range s.Values[0] {
			if v < -1e-9 {
				t.Fatalf("a trial at %v", v)
			}
			if v < 1e-9 {
				bound++
			}
		}
		// Trials draw the readings about what was read, so that of a mean below the bound most end there.
		phi := func(z float64) float64 { return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) }
		cumulative := func(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
		z := at
		share, mean := cumulative(-z), z*cumulative(z)+phi(z)
		if got := float64(bound) / 4000; !(math.Abs(got-share) <= 0.03) {
			t.Errorf("%v of trials at the bound, want %v", got, share)
		}
		if got, _ := s.Mean(0); !(math.Abs(got/mean-1) <= 0.06) {
			t.Errorf("mean %v, want %v", got, mean)
		}
		if got, deviation := s.Mean(1); !(math.Abs(got-3) <= 0.02) || !(math.Abs(deviation/0.25-1) <= 0.06) {
			t.Errorf("sum %v ± %v, want 3 ± 0.25", got, deviation)
		}
	}
}

// A robust fit doesn't ask whether uncertainties are stated as a third or a sixth of what readings
// scatter: the estimate is the same, the scale twice as large.
func TestRobustFitKnowsItsScale(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	y := make([]float64, 40)
	for i := range y {
		y[i] = 10 + rng.NormFloat64()
	}
	y[7], y[21] = 40, 25
	var x, scale, chance []float64
	for _, u := range []float64{1. / 3, 1. / 6} {
		for _, loss := range []fit.Loss{fit.Huber(1.345), fit.Redescending(1.345, 4.685)} {
			r, sc := scaled(t, repeats(y, u), []float64{9}, fit.Settings{Loss: loss})
			v, _ := r.Covariance().Variance([]float64{1})
			x, scale, chance = append(x, r.X[0]), append(scale, r.Scale), append(chance, v)
			if sc.Scale != r.Scale || len(r.Forgotten) != map[bool]int{true: 2}[loss == fit.Redescending(1.345, 4.685)] {
				t.Errorf("u %v: scale %v, %v; forgotten %v", u, r.Scale, sc.Scale, r.Forgotten)
			}
		}
	}
	for i := range 2 {
		if !(math.Abs(x[i]-x[i+2]) <= 1e-5) || !(math.Abs(scale[i+2]/scale[i]/2-1) <= 1e-5) || !(math.Abs(chance[i+2]/chance[i]-1) <= 1e-4) || !(math.Abs(x[i]-10) <= 0.6) {
			t.Errorf("estimates %v, scales %v, variances %v", x, scale, chance)
		}
	}
}

// Student's t of one degree of freedom is Cauchy's: half lies beyond one, 1 − 2/π·arctan t beyond t; of
// two, 1 − t/√(2 + t²). Without degrees of freedom there is no chance to tell.
func TestChanceInClosedForm(t *testing.T) {
	for _, v := range []float64{0, 0.3, 1, -2.5, 40} {
		near.To(t, "one degree", fit.Chance(v, 1), 1-2/math.Pi*math.Atan(math.Abs(v)), 1e-12)
		near.To(t, "two degrees", fit.Chance(v, 2), 1-math.Abs(v)/math.Sqrt(2+v*v), 1e-12)
		near.To(t, "normal", fit.Chance(v, math.Inf(1)), math.Erfc(math.Abs(v)/math.Sqrt2), 1e-12)
	}
	for _, p := range []float64{fit.Chance(1, 0), fit.Chance(1, -1), fit.Chance(math.NaN(), 3)} {
		if !math.IsNaN(p) {
			t.Errorf("a chance of %v", p)
		}
	}
}
