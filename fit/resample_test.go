package fit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/fit"
)

func identity(x, out []float64) { copy(out, x) }

// The sum of four quantities known as N(0, 1): JCGM 101:2008, 9.2.2: y = 0,
// u = 2.00, 95 % interval [−3.92, 3.92].
func TestMonteCarloOfAdditiveModel(t *testing.T) {
	g := make([]fit.Gaussian, 4)
	for i := range g {
		g[i] = fit.Gaussian{Param: i, Sigma: 1}
	}
	p := fit.Problem{Params: 4, Prior: fit.Gaussians(4, g)}
	r := solve(t, p, make([]float64, 4), fit.Settings{})
	m := fit.Resampling{Trials: 40_000, Seed: 1, Workers: 2}
	s := fit.MonteCarlo(p, r, fit.Settings{}, m, 1, func(x, out []float64) {
		out[0] = x[0] + x[1] + x[2] + x[3]
	})
	mean, u := s.Mean(0)
	lo, hi := s.Interval(0, 0.95)
	// Five standard errors of each figure from 40,000 trials.
	near(t, "y", mean, 0, 0.05)
	near(t, "u", u, 2, 0.036)
	near(t, "lower end", lo, -3.92, 0.14)
	near(t, "upper end", hi, 3.92, 0.14)
}

// The same with rectangular distributions of standard deviation 1 instead:
// 95 % interval [−3.88, 3.88]. Each runs any trial.
func TestTrialsOfRectangularModel(t *testing.T) {
	m := fit.Resampling{Trials: 100_000, Seed: 1, Workers: 2}
	s := fit.Sample{Values: [][]float64{make([]float64, m.Trials)}}
	m.Each(func(i int, rng *rand.Rand) {
		for range 4 {
			s.Values[0][i] += math.Sqrt(3) * (2*rng.Float64() - 1)
		}
	})
	_, u := s.Mean(0)
	lo, hi := s.Interval(0, 0.95)
	near(t, "u", u, 2, 0.02)
	near(t, "lower end", lo, -3.88, 0.07)
	near(t, "upper end", hi, 3.88, 0.07)
}

// For a linear problem Monte Carlo must give the covariance, with the data's
// scale but not the priors' (five standard errors).
func TestMonteCarloOfLine(t *testing.T) {
	p := line(lineT, lineY, constant(6, 0.02))
	p.Prior = fit.Gaussians(2, []fit.Gaussian{{Param: 0, Mean: 1.1, Sigma: 0.05}})
	r, _ := scaled(t, p, []float64{0, 0}, fit.Settings{})
	if r.Scale < 1.5 {
		t.Fatalf("S = %g: the test needs one that matters", r.Scale)
	}
	m := fit.Resampling{Trials: 20_000, Seed: 2, Workers: 2}
	s := fit.MonteCarlo(p, r, fit.Settings{}, m, 2, identity)
	if s.Failed > 0 {
		t.Errorf("%d trials failed", s.Failed)
	}
	for j := range 2 {
		v, _ := r.Covariance().Variance(unit(2, j))
		mean, u := s.Mean(j)
		near(t, "mean", mean, r.X[j], 5*math.Sqrt(v/20_000))
		near(t, "u", u/math.Sqrt(v), 1, 0.025)
	}
}

func TestTrialsDependOnSeedAlone(t *testing.T) {
	p := decay(20, 0.01)
	r := solve(t, p, decayStart, fit.Settings{})
	run := func(seed uint64, workers int) fit.Sample {
		return fit.MonteCarlo(p, r, fit.Settings{}, fit.Resampling{Trials: 50, Seed: seed, Workers: workers}, 4, identity)
	}
	want, other := run(1, 1), run(2, 1)
	for _, workers := range []int{2, 3, 50, 99} {
		got := run(1, workers)
		for k := range 4 {
			for i := range got.Values[k] {
				if got.Values[k][i] != want.Values[k][i] {
					t.Fatalf("%d workers: trial %d differs", workers, i)
				}
			}
		}
	}
	if other.Values[0][0] == want.Values[0][0] {
		t.Error("another seed gives the same trials")
	}
}

// For a straight line the wild bootstrap's variance of the slope is
// Σ((t − t̄)/Σ(t − t̄)²·e/(1 − h))², whatever uncertainties were stated.
func TestBootstrapOfLine(t *testing.T) {
	for _, u := range []float64{0.001, 10} {
		p := line(lineT, lineY, constant(6, u))
		r := solve(t, p, []float64{0, 0}, fit.Settings{})
		want := 0.0
		for i, d := range fit.Diagnose(p, r) {
			a := (lineT[i] - 2.5) / 17.5 * d.Residual * u / (1 - d.Leverage)
			want += a * a
		}
		s := fit.Bootstrap(p, r, fit.Settings{}, fit.Resampling{Trials: 20_000, Seed: 3, Workers: 2}, 2, identity)
		mean, sd := s.Mean(1)
		near(t, "mean", mean, r.X[1], 5*math.Sqrt(want/20_000))
		near(t, "u(slope)", sd/math.Sqrt(want), 1, 0.025)
	}
}

// A reading that alone fixes a parameter has no residual; its stated
// uncertainty must not get lost.
func TestBootstrapOfLoneRow(t *testing.T) {
	p := line([]float64{1, 1, 1, 4}, []float64{2, 2.1, 1.9, 5}, constant(4, 0.1))
	r := solve(t, p, []float64{0, 0}, fit.Settings{})
	s := fit.Bootstrap(p, r, fit.Settings{}, fit.Resampling{Trials: 4000, Seed: 3}, 1, func(x, out []float64) {
		out[0] = x[0] + 4*x[1]
	})
	_, sd := s.Mean(0)
	near(t, "u at the lone row", sd, 0.1, 0.006)
}

// Trials that cannot be solved are counted, not passed over.
func TestFailedTrialsAreCounted(t *testing.T) {
	p := exponential(1, 2) // y = exp(x) has no solution where noise makes y negative
	r := solve(t, p, []float64{0.5}, fit.Settings{})
	s := fit.MonteCarlo(p, r, fit.Settings{}, fit.Resampling{Trials: 1000, Seed: 4}, 1, identity)
	// P(1 + 2z < 0) = 0.3085
	near(t, "share failed", float64(s.Failed)/1000, 0.3085, 0.08)
	if len(s.Values[0]) != 1000-s.Failed {
		t.Errorf("%d values, %d failed", len(s.Values[0]), s.Failed)
	}
}
