package fit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/near"
)

// repeats is one quantity read several times with the same uncertainty.
func repeats(y []float64, u float64) fit.Problem {
	g := make([]fit.Gaussian, len(y))
	for i := range g {
		g[i] = fit.Gaussian{Mean: y[i], Sigma: u}
	}
	return fit.Problem{Params: 1, Data: fit.Gaussians(1, g)}
}

func scaled(t testing.TB, p fit.Problem, start []float64, s fit.Settings) (fit.Result, fit.Scatter) {
	t.Helper()
	r, sc, err := fit.SolveScaled(p, start, s)
	if err != nil {
		t.Fatal(err)
	}
	if !r.Status.Converged() {
		t.Fatal(r.Status)
	}
	return r, sc
}

// By hand: mean 3, Σ(y − 3)² = 10, u = 0.5: χ² = 40 on 4 degrees of freedom,
// S = √10, u(mean) = √(10/4/5).
func TestScatterIsScaledUp(t *testing.T) {
	r, sc := scaled(t, repeats([]float64{1, 2, 3, 4, 5}, 0.5), []float64{0}, fit.Settings{})
	near.To(t, "χ²", sc.ChiSquare, 40, 1e-12)
	near.To(t, "Birge ratio", sc.Birge, math.Sqrt(10), 1e-9)
	near.To(t, "S", r.Scale, math.Sqrt(10), 1e-9)
	near.To(t, "redundancy", sc.Redundancy, 4, 1e-12)
	near.To(t, "degrees of freedom", r.ScaleDegrees, 4*100/math.Pow(9+0.75*math.Exp(-16/64.0), 2), 1e-6)
	v, _ := r.Covariance().Variance([]float64{1})
	near.To(t, "u²(mean)", v, 0.5, 1e-9)
	near.To(t, "Σr² by stated uncertainties", r.DataSquares, 40, 1e-9)
}

func TestScatterIsNeverScaledDown(t *testing.T) {
	r, sc := scaled(t, repeats([]float64{2.9, 3, 3.1}, 0.5), []float64{0}, fit.Settings{})
	if r.Scale != 1 || sc.Scale != 1 || !(math.Abs(r.ScaleDegrees-2/0.5625*math.Exp(8/64.0)) <= 1e-9) { // 2/δ²
		t.Errorf("S = %g with %g degrees of freedom", r.Scale, r.ScaleDegrees)
	}
	near.To(t, "Birge ratio", sc.Birge, 0.2, 1e-12)
	r, sc = scaled(t, repeats([]float64{2.9, 3, 3.1}, 0.5), []float64{0}, fit.Settings{Uncertainty: fit.Relative})
	near.To(t, "S", r.Scale, 0.2, 1e-9)
	near.To(t, "degrees of freedom", r.ScaleDegrees, 2, 1e-9)
}

func TestNoRedundancyNoScale(t *testing.T) {
	r, sc := scaled(t, repeats([]float64{3}, 0.5), []float64{0}, fit.Settings{})
	if r.Scale != 1 || !math.IsNaN(sc.Birge) || !math.IsNaN(sc.PValue) || sc.DegreesOfFreedom != 0 {
		t.Errorf("%+v", sc)
	}
	near.To(t, "degrees of freedom that nothing tests", r.ScaleDegrees, 1/0.5625*math.Exp(2/64.0), 1e-9) // as of ν = 1
	r, _ = scaled(t, repeats([]float64{3}, 0.5), []float64{0}, fit.Settings{Uncertainty: fit.Relative})
	if r.ScaleDegrees != 0 || !math.IsInf(fit.CoverageFactor(0.95, r.ScaleDegrees), 1) {
		t.Errorf("one reading of unknown uncertainty has %g degrees of freedom", r.ScaleDegrees)
	}
	// Two readings against a prior: redundant by between one and two rows.
	p := repeats([]float64{3, 9}, 0.5)
	p.Prior = fit.Gaussians(1, []fit.Gaussian{{Mean: 3, Sigma: 1}})
	r, sc = scaled(t, p, []float64{0}, fit.Settings{})
	if sc.Redundancy < 1 || sc.Redundancy > 2 || r.Scale <= 1 {
		t.Errorf("S = %g with a redundancy of %g", r.Scale, sc.Redundancy)
	}
}

// Exact data leave a scatter of rounding errors: it is told as it is, and the
// parameters are none the worse.
func TestScatterOfExactData(t *testing.T) {
	x := []float64{1, 2, 3, 4, 5, 6, 7}
	y := make([]float64, len(x))
	for i := range x {
		y[i] = 0.1 + 0.3*x[i]
	}
	p := line(x, y, constant(len(x), 0.01))
	p.Prior = fit.Gaussians(2, []fit.Gaussian{{Param: 1, Mean: 0.31, Sigma: 0.1}})
	for _, u := range []fit.Uncertainty{fit.Stated, fit.Relative} {
		r, _ := scaled(t, p, []float64{0, 0}, fit.Settings{Uncertainty: u})
		near.To(t, "slope", r.X[1], 0.3, 2e-5)
		if u == fit.Relative && !(r.Scale < 1e-3) {
			t.Errorf("S = %g", r.Scale)
		}
	}
}

// Noisy readings neither inflate a tolerance nor drown a contradiction with it:
// only the readings' own scatter is scaled. The fixed point S² = Σr²/(N − Σh)
// is checked with numbers found by bisection on S here.
func TestScaleSparesPriors(t *testing.T) {
	y := []float64{8, 10, 12, 14}
	p := repeats(y, 0.1)
	p.Params = 2
	p.Data = fit.Rows{N: 4, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			r[i] = (x[0] - y[first+i]) / 0.1
			if jac != nil {
				jac[2*i], jac[2*i+1] = 10, 0
			}
		}
	}}
	p.Prior = fit.Gaussians(2, []fit.Gaussian{{Param: 0, Mean: 9, Sigma: 1}, {Param: 1, Mean: 5, Sigma: 0.3}})
	r, sc := scaled(t, p, []float64{0, 0}, fit.Settings{})
	excess := func(s float64) float64 {
		w := 1 / (0.01 * s * s)
		mean := (4*w*11 + 9) / (4*w + 1)
		sum := 0.0
		for _, v := range y {
			sum += (v - mean) * (v - mean) / 0.01
		}
		return sum - s*s*(4-4*w/(4*w+1))
	}
	lo, hi := 1.0, 1000.0
	for range 200 {
		if mid := (lo + hi) / 2; excess(mid) > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	near.To(t, "S", r.Scale, lo, 1e-6)
	w := 1 / (0.01 * lo * lo)
	near.To(t, "mean", r.X[0], (4*w*11+9)/(4*w+1), 1e-7)
	v, _ := r.Covariance().Variance(unit(2, 1))
	near.To(t, "tolerance of a part in no reading", v, 0.09, 1e-12)
	near.To(t, "Birge ratio", sc.Birge, r.Scale, 1e-7)
}

// χ² at which 5 % and 1 % are exceeded (tables of percentage points, e.g.
// Abramowitz & Stegun, 26.8).
func TestPValue(t *testing.T) {
	for _, c := range []struct {
		n         int
		square, p float64
	}{{1, 3.84146, 0.05}, {2, 9.21034, 0.01}, {4, 9.48773, 0.05}, {10, 23.2093, 0.01}} {
		// n + 1 readings, one of which is off so far that χ² is as wanted.
		y := make([]float64, c.n+1)
		y[0] = math.Sqrt(c.square / (1 - 1/float64(c.n+1)))
		_, sc := scaled(t, repeats(y, 1), []float64{0}, fit.Settings{})
		near.To(t, "χ²", sc.ChiSquare, c.square, 1e-9)
		near.To(t, "p", sc.PValue, c.p, 1e-6)
	}
}

// By hand for two models of the same readings, one with one parameter more.
func TestAICc(t *testing.T) {
	p := line(lineT, lineY, constant(6, 0.1))
	r := solve(t, p, []float64{0, 0}, fit.Settings{})
	near.To(t, "AICc", fit.Must(fit.AICc(p, r)), r.DataSquares+4+2*2*3/3.0, 1e-9)
	for _, n := range []int{2, 3} {
		few := line(lineT[:n], lineY[:n], constant(n, 0.1))
		if a := fit.Must(fit.AICc(few, solve(t, few, []float64{0, 0}, fit.Settings{}))); !math.IsInf(a, 1) {
			t.Errorf("AICc of 2 parameters on %d rows is %g", n, a)
		}
	}
	// A parameter that a prior pins down costs nothing.
	p.Prior = fit.Gaussians(2, []fit.Gaussian{{Param: 1, Mean: 0.28, Sigma: 1e-6}})
	r = solve(t, p, []float64{0, 0}, fit.Settings{})
	near.To(t, "AICc with a prior", fit.Must(fit.AICc(p, r)), r.DataSquares+r.PriorSquares+2+2*1*2/4.0, 1e-6)
}

// Intervals at 95 % cover 95 % of 4000 simulated straight lines when the
// uncertainties are unknown, and no less when they are right as stated. Where
// stated ones are far too small, six readings now and then show a scatter that
// hides it; the rule then covers a little less.
func TestIntervalsCover(t *testing.T) {
	const trials = 4000
	for _, c := range []struct {
		name   string
		trust  fit.Uncertainty
		factor float64 // actual over stated uncertainty
		lo, hi float64
	}{
		{"unknown", fit.Relative, 3, 0.943, 0.957},
		{"right", fit.Stated, 1, 0.943, 0.985},
		{"too small", fit.Stated, 3, 0.915, 0.957},
	} {
		covered := 0
		rng := rand.New(rand.NewPCG(3, 3))
		y := make([]float64, len(lineT))
		p := line(lineT, y, constant(len(y), 0.1))
		for range trials {
			for i := range y {
				y[i] = 1 + 0.5*lineT[i] + c.factor*0.1*rng.NormFloat64()
			}
			r, _ := scaled(t, p, []float64{1, 0.5}, fit.Settings{Uncertainty: c.trust})
			v, _ := r.Covariance().Variance(unit(2, 1))
			if math.Abs(r.X[1]-0.5) <= fit.CoverageFactor(0.95, r.ScaleDegrees)*math.Sqrt(v) {
				covered++
			}
		}
		share := float64(covered) / trials
		t.Logf("%s: %.1f %%", c.name, 100*share)
		if !(share >= c.lo && share <= c.hi) {
			t.Errorf("%s: %.1f %% covered", c.name, 100*share)
		}
	}
}

// Means of few readings that scatter more than stated: their 95 % intervals cover 92 %
// or more however much more it is, also when the readings agree by chance, and no
// interval is needlessly wide once some ten readings vouch for what is stated.
func TestIntervalsOfFewReadingsCover(t *testing.T) {
	const trials = 3000
	for _, c := range []struct {
		readings int
		factor   float64 // actual over stated scatter
		lo, hi   float64
	}{
		{2, 1, 0.95, 1}, {2, 2, 0.98, 0.998}, {2, 3, 0.95, 0.98}, {2, 5, 0.92, 0.95}, {2, 10, 0.915, 0.95},
		{3, 1, 0.95, 0.998}, {3, 2, 0.935, 0.965}, {3, 5, 0.92, 0.955},
		{4, 1, 0.95, 0.992}, {4, 2, 0.925, 0.955}, {4, 5, 0.93, 0.955},
		{11, 1, 0.945, 0.975}, {11, 2, 0.92, 0.96},
	} {
		rng := rand.New(rand.NewPCG(31, uint64(c.readings)))
		y := make([]float64, c.readings)
		covered := 0
		for range trials {
			for i := range y {
				y[i] = 5 + c.factor*0.5*rng.NormFloat64()
			}
			r, _ := scaled(t, repeats(y, 0.5), []float64{0}, fit.Settings{})
			v, _ := r.Covariance().Variance([]float64{1})
			if math.Abs(r.X[0]-5) <= fit.CoverageFactor(0.95, r.ScaleDegrees)*math.Sqrt(v) {
				covered++
			}
		}
		if share := float64(covered) / trials; share < c.lo || share > c.hi {
			t.Errorf("%d readings that scatter %v times as stated: %.1f %% covered", c.readings, c.factor, 100*share)
		}
	}
}
