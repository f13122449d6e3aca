package fit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/near"
)

func identity(x, out []float64) { copy(out, x) }

// trialsOf runs Monte Carlo on one problem that all workers may share.
func trialsOf(p fit.Problem, r fit.Result, from fit.Distributions, t fit.Trials, n int, q fit.Quantities) fit.Sample {
	return fit.Must(fit.MonteCarlo(func() (fit.Problem, fit.Quantities) { return p, q }, n, r, from, fit.Settings{}, t))
}

// For a linear problem Monte Carlo must give the covariance, with the data's
// scale but not the priors' (five standard errors). The scale is known only so well:
// errors of the data have Student's distribution, and a variance ν/(ν − 2) as large.
func TestMonteCarloOfLine(t *testing.T) {
	p := line(lineT, lineY, constant(6, 0.02))
	p.Prior = fit.Gaussians(2, []fit.Gaussian{{Param: 0, Mean: 1.1, Sigma: 0.05}})
	r, _ := scaled(t, p, []float64{0, 0}, fit.Settings{})
	if r.Scale < 1.5 {
		t.Fatalf("S = %g: the test needs one that matters", r.Scale)
	}
	for _, degrees := range []float64{math.Inf(1), 12} {
		r.ScaleDegrees = degrees
		wider := 1.0
		if degrees == 12 {
			wider = 12.0 / 10
		}
		s := trialsOf(p, r, fit.Distributions{}, fit.Trials{Most: 20_000, Seed: 2, Workers: 2}, 2, identity)
		if s.Failed > 0 {
			t.Errorf("%d trials failed", s.Failed)
		}
		for j := range 2 {
			g := unit(2, j)
			v, _ := r.Covariance().Variance(g)
			prior := priorShare(p, r, g)
			v *= prior + (1-prior)*wider
			mean, u := s.Mean(j)
			near.To(t, "mean", mean, r.X[j], 5*math.Sqrt(v/20_000))
			near.To(t, "u", u/math.Sqrt(v), 1, 0.03)
		}
	}
}

// What a few steps from the solution find must be what a whole fit finds.
func TestTrialsAreWholeFits(t *testing.T) {
	p := decay(20, 0.02)
	r := solve(t, p, decayStart, fit.Settings{})
	s := trialsOf(p, r, fit.Distributions{}, fit.Trials{Most: 200, Seed: 5}, 4, identity)
	all := make([][4]float64, 0, 200)
	source := rand.NewPCG(0, 0)
	rng := rand.New(source)
	for i := range uint64(200) {
		source.Seed(5, i)
		by := make([]float64, 20)
		for k := range by {
			by[k] = rng.NormFloat64()
		}
		q := p
		q.Data.Evaluate = func(x []float64, first int, r, jac []float64) {
			p.Data.Evaluate(x, first, r, jac)
			for k := range r {
				r[k] += by[first+k]
			}
		}
		whole, err := fit.Solve(q, r.X, fit.Settings{})
		if err != nil || !whole.Status.Converged() {
			t.Fatal(err, whole.Status)
		}
		all = append(all, [4]float64(whole.X))
	}
	for j := range 4 {
		v, _ := r.Covariance().Variance(unit(4, j))
		for _, k := range []int{0, 50, 100, 199} { // by rank, since a sample is sorted
			below := 0
			for _, x := range all {
				if x[j] < s.Values[j][k]-1e-2*math.Sqrt(v) {
					below++
				}
			}
			if below > k {
				t.Errorf("x%d: %d of the whole fits lie below trial %d by rank", j, below, k)
			}
			above := 0
			for _, x := range all {
				if x[j] > s.Values[j][k]+1e-2*math.Sqrt(v) {
					above++
				}
			}
			if above > 199-k {
				t.Errorf("x%d: %d of the whole fits lie above trial %d by rank", j, above, k)
			}
		}
	}
}

func TestTrialsDependOnSeedAlone(t *testing.T) {
	p := decay(20, 0.01)
	r := solve(t, p, decayStart, fit.Settings{})
	run := func(seed uint64, workers int) fit.Sample {
		return trialsOf(p, r, fit.Distributions{}, fit.Trials{Most: 50, Seed: seed, Workers: workers}, 4, identity)
	}
	want, other := run(1, 1), run(2, 1)
	for _, workers := range []int{2, 3, 50, 99} {
		got := run(1, workers)
		for k := range 4 {
			for i := range got.Values[k] {
				if got.Values[k][i] != want.Values[k][i] {
					t.Fatalf("%d workers: value %d differs", workers, i)
				}
			}
		}
	}
	if other.Values[0][0] == want.Values[0][0] {
		t.Error("another seed gives the same trials")
	}
}

// Trials that cannot be solved are counted, not passed over.
func TestFailedTrialsAreCounted(t *testing.T) {
	p := exponential(1, 2) // y = exp(x) has no solution where noise makes y negative
	r := solve(t, p, []float64{0.5}, fit.Settings{})
	s := trialsOf(p, r, fit.Distributions{}, fit.Trials{Most: 1000, Seed: 4}, 1, identity)
	// P(1 + 2z < 0) = 0.3085
	near.To(t, "share failed", float64(s.Failed)/1000, 0.3085, 0.08)
	if s.Len() != 1000-s.Failed {
		t.Errorf("%d values, %d failed", s.Len(), s.Failed)
	}
}

// The tolerance by the examples of JCGM 101:2008, 7.9.2.1 (from memory): 0.000 35 with two
// digits is 35 × 10⁻⁵, δ = 0.000 005; 2 K with one digit, δ = 0.5 K. Beside them what rounds
// up to one digit more.
func TestNumericalTolerance(t *testing.T) {
	for _, c := range []struct {
		u      float64
		digits int
		want   float64
	}{{0.00035, 2, 0.000005}, {2, 1, 0.5}, {0.0996, 2, 0.005}, {0.0994, 2, 0.0005}, {0.96, 1, 0.5}, {0.94, 1, 0.05}, {32, 2, 0.5}} {
		near.To(t, "δ", fit.Tolerance(c.u, c.digits)/c.want, 1, 1e-9)
	}
}

// Trials go on until they are settled, no longer.
func TestTrialsStopWhenSettled(t *testing.T) {
	p := fit.Problem{Params: 1, Prior: fit.Gaussians(1, []fit.Gaussian{{Param: 0, Mean: 5, Sigma: 4.9}})}
	r := solve(t, p, []float64{5}, fit.Settings{})
	run := func(digits, most int) fit.Sample {
		return trialsOf(p, r, fit.Distributions{}, fit.Trials{Most: most, Seed: 1, Workers: 2, Digits: digits}, 1, identity)
	}
	// An end of the interval has a standard error of 2.5/√n standard uncertainties: twice that is
	// δ/5 = 0.1 = 0.0204 u for n = 60,000.
	if s := run(1, 1_000_000); !s.Settled || s.Len() < 40_000 || s.Len() > 200_000 {
		t.Errorf("settled %v after %d trials", s.Settled, s.Len())
	}
	if s := run(1, 30_000); s.Settled || s.Len() != 30_000 {
		t.Errorf("settled %v after %d trials", s.Settled, s.Len())
	}
}

// The exponential of Student's t has no mean and no variance, however many trials there are: those
// that trials show are single ones'. Intervals are there, and trials end when these are settled:
// that of t with 3 degrees of freedom has ends at ±3.182, from any table.
func TestTrialsWithoutAVariance(t *testing.T) {
	p := fit.Problem{Params: 1, Prior: fit.Gaussians(1, []fit.Gaussian{{Param: 0, Mean: 0, Sigma: 1}})}
	r := solve(t, p, []float64{0}, fit.Settings{})
	from := fit.Distributions{Doubtful: []bool{true}, DoubtDegrees: 3}
	s := trialsOf(p, r, from, fit.Trials{Most: 1_000_000, Seed: 1, Workers: 2, Digits: 1}, 2, func(x, out []float64) {
		out[0], out[1] = math.Exp(x[0]/2), 3.1+x[0]/100
	})
	if mean, u := s.Mean(0); !math.IsNaN(mean) || !math.IsNaN(u) {
		t.Errorf("exp(t/2) = %v ± %v", mean, u)
	}
	mean, u := s.Mean(1)
	near.To(t, "mean", mean, 3.1, 1e-3)
	near.To(t, "u", u, 0.01*math.Sqrt(3), 2e-3)
	lo, hi := s.Interval(0, 0.95)
	near.To(t, "low end", math.Log(lo), -3.182/2, 0.03)
	near.To(t, "high end", math.Log(hi), 3.182/2, 0.03)
	if !s.Settled || s.Len() == 1_000_000 {
		t.Errorf("settled %v after %d trials", s.Settled, s.Len())
	}
}

// Uncertainties known with three degrees make Student's t of three of those errors alone that are doubtful: beyond
// 3.182 lies one in twenty (tables), where it is 0.0015 of the others'. Their factor is common: far out they are together.
func TestTrialsOfDoubtfulPriors(t *testing.T) {
	var priors []fit.Gaussian
	for k := range 4 {
		priors = append(priors, fit.Gaussian{Param: k, Mean: 10 * float64(k), Sigma: 0.5 + float64(k)})
	}
	p := fit.Problem{Params: 4, Prior: fit.Gaussians(4, priors)}
	r := solve(t, p, []float64{0, 10, 20, 30}, fit.Settings{})
	const trials = 10_000
	s := trialsOf(p, r, fit.Distributions{Doubtful: []bool{true, false, true, false}, DoubtDegrees: 3}, fit.Trials{Most: trials, Seed: 2, Workers: 2}, 5, func(x, out []float64) {
		for k, g := range priors {
			out[k] = (x[k] - g.Mean) / g.Sigma
		}
		out[4] = math.Min(math.Abs(out[0]), math.Abs(out[2]))
	})
	beyond := func(k int) float64 {
		n := 0
		for _, v := range s.Values[k] {
			if math.Abs(v) > 3.182 {
				n++
			}
		}
		return float64(n) / trials
	}
	for k, want := range []float64{0.05, 0.0015, 0.05, 0.0015} {
		near.To(t, "beyond 3.182", beyond(k), want, 3.5*math.Sqrt(want/trials))
	}
	if both := beyond(4); both < 0.01 { // by themselves 0.0025
		t.Errorf("both beyond 3.182: %v", both)
	}
}
