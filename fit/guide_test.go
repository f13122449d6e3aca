package fit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/near"
)

// inputs are the input quantities of a measurement model, as rows of priors.
func inputs(t testing.TB, g []fit.Gaussian) (fit.Problem, fit.Result) {
	t.Helper()
	x := make([]float64, len(g))
	for i := range g {
		g[i].Param = i
		x[i] = g[i].Mean
	}
	p := fit.Problem{Params: len(g), Prior: fit.Gaussians(len(g), g)}
	return p, solve(t, p, x, fit.Settings{})
}

// rectangular makes a rectangular input from lo to hi.
func rectangular(lo, hi float64) fit.Gaussian {
	return fit.Gaussian{Mean: (lo + hi) / 2, Sigma: (hi - lo) / 2 / math.Sqrt(3)}
}

// gradient differs f by each input.
func gradient(f func(x []float64) float64, r fit.Result) []float64 {
	g := make([]float64, len(r.X))
	for i := range g {
		v, _ := r.Covariance().Variance(unit(len(g), i))
		h := 1e-3 * math.Sqrt(v)
		x := append([]float64(nil), r.X...)
		x[i] += h
		above := f(x)
		x[i] -= 2 * h
		g[i] = (above - f(x)) / (2 * h)
	}
	return g
}

// byLinearLaw is the first-order law of propagation (JCGM 100:2008, 5.1.2).
func byLinearLaw(f func(x []float64) float64, r fit.Result) float64 {
	v, _ := r.Covariance().Variance(gradient(f, r))
	return math.Sqrt(v)
}

const seed = 1

// JCGM 101:2008, 9.2 (values from memory): the sum of four inputs of mean 0 and standard
// deviation 1, normal in 9.2.2 (u = 2.0, 95 % interval −3.92 … 3.92), rectangular in 9.2.3
// (u = 2.0, −3.88 … 3.88), and in 9.2.4 with the last ten times as wide (u = 10.1,
// −17.0 … 17.0, against which −19.9 … 19.9 of the linear law fails).
func TestAdditiveModelOfSupplement1(t *testing.T) {
	sum := func(x, out []float64) { out[0] = x[0] + x[1] + x[2] + x[3] }
	all := []fit.Distribution{fit.Rectangular, fit.Rectangular, fit.Rectangular, fit.Rectangular}
	for _, c := range []struct {
		clause        string
		last          float64
		from          []fit.Distribution
		u, end, digit float64
		linear        float64 // half-width by the linear law
		holds         bool
	}{
		{"9.2.2", 1, nil, 2.0, 3.92, 0.01, 3.92, true},
		{"9.2.3", 1, all, 2.0, 3.88, 0.01, 3.92, true},
		{"9.2.4", 10, all, 10.1, 17.0, 0.1, 19.9, false},
	} {
		p, r := inputs(t, []fit.Gaussian{{Sigma: 1}, {Sigma: 1}, {Sigma: 1}, {Sigma: c.last}})
		s := trialsOf(p, r, fit.Distributions{Prior: c.from}, fit.Trials{Most: 200_000, Seed: seed, Workers: 2}, 1, sum)
		mean, u := s.Mean(0)
		near.To(t, c.clause+" mean", mean, 0, 0.012*c.u)
		near.To(t, c.clause+" u", u, c.u, 0.005*c.u+c.digit/2)
		lo, hi := s.Interval(0, 0.95)
		near.To(t, c.clause+" lower end", lo, -c.end, 0.013*c.u+c.digit/2) // three standard errors
		near.To(t, c.clause+" upper end", hi, c.end, 0.013*c.u+c.digit/2)
		if v := s.Validate(0, u, -c.linear, c.linear, 2); v.Holds() != c.holds {
			t.Errorf("%s: linear law validated: %v, %+v", c.clause, !c.holds, v)
		}
	}
}

// JCGM 101:2008, 9.3 (values from memory): calibration of a mass of nominally 100 g in air,
// δm [mg] = (m_R + δm_R)(1 + (ρ_a − 1.2)(1/ρ_W − 1/ρ_R)) − 100 000: 1.2341, u = 0.0754, shortest
// 95 % interval 1.0834 … 1.3825 by Monte Carlo; u = 0.0539, 1.1285 … 1.3395 by the linear law,
// which is not validated, δ = 0.005, d = 0.0451 and 0.0430.
func TestMassOfSupplement1(t *testing.T) {
	f := func(x []float64) float64 { return (x[0]+x[1])*(1+(x[2]-1.2)*(1/x[3]-1/x[4])) - 100_000 }
	p, r := inputs(t, []fit.Gaussian{{Mean: 100_000, Sigma: 0.050}, {Mean: 1.234, Sigma: 0.020},
		rectangular(1.10, 1.30), rectangular(7000, 9000), rectangular(7950, 8050)})
	from := fit.Distributions{Prior: []fit.Distribution{nil, nil, fit.Rectangular, fit.Rectangular, fit.Rectangular}}
	s := trialsOf(p, r, from, fit.Trials{Most: 200_000, Seed: seed, Workers: 2}, 1, func(x, out []float64) { out[0] = f(x) })
	u := byLinearLaw(f, r)
	near.To(t, "u, linear", u, 0.0539, 0.00005)
	near.To(t, "lower end, linear", f(r.X)-1.959964*u, 1.1285, 0.00012) // by the unrounded u
	mean, mc := s.Mean(0)
	near.To(t, "mean", mean, 1.2341, 0.0006)
	near.To(t, "u", mc, 0.0754, 0.0004)
	lo, hi := s.Shortest(0, 0.95)
	near.To(t, "lower end", lo, 1.0834, 0.003)
	near.To(t, "upper end", hi, 1.3825, 0.003)
	v := s.Validate(0, u, 1.1285, 1.3395, 1)
	if v.Holds() {
		t.Error("the linear law is validated")
	}
	near.To(t, "δ", v.Tolerance, 0.005, 1e-12)
	near.To(t, "d_low", v.Low, 0.0451, 0.003)
	near.To(t, "d_high", v.High, 0.0430, 0.003)
}

// JCGM 101:2008, 9.4 (values from memory): comparison loss δY = x1² + x2² in microwave power
// meter calibration, u(x1) = u(x2) = 0.005, x2 = 0, r = 0, in units of 10⁻⁶. The shortest 95 % intervals
// at x1 = 0 and 0.05; means and standard deviations also follow from those of the
// non-central χ² distribution.
func TestComparisonLossOfSupplement1(t *testing.T) {
	for _, c := range []struct{ x1, mean, u, lo, hi, slack, linear float64 }{
		{0, 50, 50, 0, 150, 2, 0},
		{0.010, 150, 112, 0, 367, 5, 100},
		{0.050, 2551, 502, 1590, 3543, 25, 500},
	} {
		p, r := inputs(t, []fit.Gaussian{{Mean: c.x1, Sigma: 0.005}, {Sigma: 0.005}})
		f := func(x []float64) float64 { return 1e6 * (x[0]*x[0] + x[1]*x[1]) }
		s := trialsOf(p, r, fit.Distributions{}, fit.Trials{Most: 200_000, Seed: seed, Workers: 2}, 1, func(x, out []float64) { out[0] = f(x) })
		near.To(t, "u, linear", byLinearLaw(f, r), c.linear, 1e-6)
		mean, u := s.Mean(0)
		near.To(t, "mean", mean, c.mean, 0.02*c.u)
		near.To(t, "u", u, c.u, 0.02*c.u)
		lo, hi := s.Shortest(0, 0.95)
		near.To(t, "lower end", lo, c.lo, c.slack)
		near.To(t, "upper end", hi, c.hi, c.slack)
	}
}

// gauge is l = l_s + d − l_s(δα·θ + α_s·δθ) [nm] of JCGM 100:2008, H.1.
func gauge(x []float64) float64 { return x[0] + x[1] - x[0]*(x[2]*(x[3]+x[4])+x[5]*x[6]) }

// JCGM 100:2008, H.1 (values from memory): calibration of an end gauge. The linear law gives
// l = 50 000 838 nm, u = 32 nm with contributions of 25, 9.7, 2.9 and 16.6 nm, and 16 degrees
// of freedom, U = 93 nm at 99 %. JCGM 101:2008, 9.5 (from memory) finds u = 36 nm by Monte
// Carlo, since δα·θ and α_s·δθ are no straight products.
func TestEndGaugeOfGumH1(t *testing.T) {
	p, r := inputs(t, []fit.Gaussian{{Mean: 50_000_623, Sigma: 25}, {Mean: 215, Sigma: 9.7},
		rectangular(-1e-6, 1e-6), {Mean: -0.1, Sigma: 0.2}, {Sigma: 0.5 / math.Sqrt2}, rectangular(9.5e-6, 13.5e-6), rectangular(-0.05, 0.05)})
	near.To(t, "l", gauge(r.X), 50_000_838, 0.5)
	near.To(t, "u", byLinearLaw(gauge, r), 32, 0.5)
	want := []float64{25, 9.7, 2.9, 0, 0, 0, 16.6}
	g := gradient(gauge, r)
	budget := 0.0
	for row, v := range fit.Must(fit.Contributions(p, r, r.Covariance(), g)) {
		near.To(t, "contribution", math.Abs(v), want[row.Index], 0.05)
		budget += v * v
	}
	total, _ := r.Covariance().Variance(g)
	near.To(t, "sum of the budget", budget/total, 1, 1e-9)
	// Effective degrees of freedom: 18 of l_s, 25.6 of d, 50 of δα, 2 of δθ (G.4.1).
	effective := total * total / (math.Pow(25, 4)/18 + math.Pow(9.7, 4)/25.6 + math.Pow(2.9, 4)/50 + math.Pow(16.6, 4)/2)
	near.To(t, "effective degrees of freedom", math.Floor(effective), 16, 0)
	near.To(t, "U", fit.CoverageFactor(0.99, 16)*byLinearLaw(gauge, r), 93, 1)

	arcsine := func(rng *rand.Rand) float64 { return math.Sqrt2 * math.Sin(2*math.Pi*rng.Float64()) }
	from := fit.Distributions{Prior: []fit.Distribution{nil, nil, fit.Rectangular, nil, arcsine, fit.Rectangular, fit.Rectangular}}
	s := trialsOf(p, r, from, fit.Trials{Most: 100_000, Seed: seed, Workers: 2}, 1, func(x, out []float64) { out[0] = gauge(x) - 50e6 })
	mean, u := s.Mean(0)
	near.To(t, "mean by Monte Carlo", mean, 838, 0.7)
	// All normal but δα, θ, δθ, α_s; √(25² + 9.7² + second order) = 34 to 36.
	near.To(t, "u by Monte Carlo", u, 34.5, 1.6)
}

// JCGM 100:2008, H.2: resistance and reactance from voltage, current and phase read together
// five times (results published, data from memory). Results and their correlations come of
// three inputs that are correlated; left out, they come out wrong.
func TestCorrelatedInputsOfGumH2(t *testing.T) {
	read := [3][]float64{{5.007, 4.994, 5.005, 4.990, 4.999}, {19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3},
		{1.0456, 1.0438, 1.0468, 1.0428, 1.0433}}
	var mean [3]float64
	for i, v := range read {
		for _, x := range v {
			mean[i] += x / 5
		}
	}
	v := make([]float64, 9)
	for i := range 3 {
		for j := range 3 {
			for k := range 5 {
				v[3*i+j] += (read[i][k] - mean[i]) * (read[j][k] - mean[j]) / 20
			}
		}
	}
	w, ok := fit.Whiten(v, 3)
	if !ok {
		t.Fatal("not positive definite")
	}
	p := fit.Problem{Params: 3, Prior: fit.Rows{N: 3, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			row := w[3*(first+i):][:3]
			r[i] = row[0]*(x[0]-mean[0]) + row[1]*(x[1]-mean[1]) + row[2]*(x[2]-mean[2])
			if jac != nil {
				copy(jac[3*i:], row)
			}
		}
	}}}
	r := solve(t, p, mean[:], fit.Settings{})
	f := []func(x []float64) float64{
		func(x []float64) float64 { return x[0] / x[1] * math.Cos(x[2]) },
		func(x []float64) float64 { return x[0] / x[1] * math.Sin(x[2]) },
		func(x []float64) float64 { return x[0] / x[1] },
	}
	want := []struct{ value, digit, u, uDigit float64 }{{127.732, 0.001, 0.071, 0.001}, {219.847, 0.001, 0.295, 0.001}, {254.260, 0.001, 0.236, 0.001}}
	correlation := map[[2]int]float64{{0, 1}: -0.588, {0, 2}: -0.485, {1, 2}: 0.993}
	c := r.Covariance()
	s := trialsOf(p, r, fit.Distributions{}, fit.Trials{Most: 50_000, Seed: seed, Workers: 2}, 3, func(x, out []float64) {
		for k := range f {
			out[k] = f[k](x)
		}
	})
	for i := range f {
		near.To(t, "value", f[i](r.X), want[i].value, want[i].digit)
		near.To(t, "u", byLinearLaw(f[i], r), want[i].u, want[i].uDigit)
		_, u := s.Mean(i)
		near.To(t, "u by Monte Carlo", u, want[i].u, 0.015*want[i].u)
		for j := range i {
			got := c.Between(gradient(f[i], r), gradient(f[j], r)) / byLinearLaw(f[i], r) / byLinearLaw(f[j], r)
			near.To(t, "correlation", got, correlation[[2]int{j, i}], 0.001)
		}
	}
	for i := range 3 {
		for j := range 3 {
			if i != j {
				v[3*i+j] = 0
			}
		}
	}
	if w, _ = fit.Whiten(v, 3); math.Abs(byLinearLaw(f[0], solve(t, p, mean[:], fit.Settings{}))-0.071) < 0.05 {
		t.Error("u(R) without correlations should be far off")
	}
	if _, ok := fit.Whiten([]float64{1, 1, 1, 1}, 2); ok {
		t.Error("two values that are one have a covariance that is not positive definite")
	}
}
