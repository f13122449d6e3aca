package fit_test

import (
	"math"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// line is y = x0 + x1·t with the standard uncertainties u.
func line(t, y, u []float64) fit.Problem {
	return fit.Problem{Params: 2, Data: fit.Rows{N: len(t), Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			k := first + i
			r[i] = (y[k] - x[0] - x[1]*t[k]) / u[k]
			if jac != nil {
				jac[2*i], jac[2*i+1] = -1/u[k], -t[k]/u[k]
			}
		}
	}}}
}

func constant(n int, v float64) []float64 {
	c := make([]float64, n)
	for i := range c {
		c[i] = v
	}
	return c
}

// unit is the gradient of parameter j.
func unit(p, j int) []float64 {
	g := make([]float64, p)
	g[j] = 1
	return g
}

func solve(t testing.TB, p fit.Problem, start []float64, s fit.Settings) fit.Result {
	t.Helper()
	r := must.Get(fit.Solve(p, start, s)).In(t)
	if !r.Status.Converged() {
		t.Fatal(r.Status)
	}
	return r
}

// The calibration of a thermometer, JCGM 100:2008 (GUM), H.3: a straight line
// with uncertainties unknown beforehand.
func thermometer() fit.Problem {
	t := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	b := []float64{-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160}
	for i := range t {
		t[i] -= 20
	}
	return line(t, b, constant(len(t), 1))
}

func TestThermometerOfGumH3(t *testing.T) {
	r, sc, err := fit.SolveScaled(thermometer(), []float64{0, 0}, fit.Settings{Uncertainty: fit.Relative})
	if err != nil || !r.Status.Converged() {
		t.Fatal(err, r.Status)
	}
	c := r.Covariance()
	u := func(g []float64) float64 {
		v, determined := c.Variance(g)
		if !determined {
			t.Fatal("undetermined")
		}
		return math.Sqrt(v)
	}
	y1, y2, at30 := unit(2, 0), unit(2, 1), []float64{1, 10}
	near.To(t, "y1", r.X[0], -0.17120379, 1e-8)
	near.To(t, "u(y1)", u(y1), 0.00287760, 1e-8)
	near.To(t, "y2", r.X[1], 0.00218270, 1e-8)
	near.To(t, "u(y2)", u(y2), 0.00066794, 1e-8)
	near.To(t, "r(y1, y2)", c.Between(y1, y2)/u(y1)/u(y2), -0.930430, 1e-6)
	near.To(t, "s", r.Scale, 0.00349756, 1e-8)
	near.To(t, "sum of squares", sc.ChiSquare, 0.000110096583, 1e-12)
	near.To(t, "b(30 °C)", r.X[0]+10*r.X[1], -0.14937681, 1e-8)
	near.To(t, "u(b(30 °C))", u(at30), 0.00413860, 1e-8)
	if sc.DegreesOfFreedom != 9 {
		t.Errorf("%d degrees of freedom, want 9", sc.DegreesOfFreedom)
	}
	near.To(t, "degrees of freedom of the scatter", r.ScaleDegrees, 9, 1e-9)
}

// Student's t, two-sided 95 %: JCGM 100:2008, table G.2.
func TestCoverageFactor(t *testing.T) {
	for _, c := range []struct{ level, degrees, want float64 }{
		{0.95, 1, 12.71}, {0.95, 2, 4.30}, {0.95, 3, 3.18}, {0.95, 5, 2.57}, {0.95, 10, 2.23},
		{0.95, 50, 2.01}, {0.95, math.Inf(1), 1.960}, {0.95, 1e9, 1.960}, {0.9545, 9, 2.32},
		{0.99, 4, 4.60}, {0.6827, 1, 1.84}, {0.6827, math.Inf(1), 1.000},
	} {
		near.To(t, "k", fit.CoverageFactor(c.level, c.degrees), c.want, 0.0051)
	}
	if k := fit.CoverageFactor(0.95, 0); !math.IsInf(k, 1) {
		t.Errorf("without degrees of freedom k = %g", k)
	}
	// Above 10⁷ degrees the normal distribution takes over without a step.
	near.To(t, "k at the seam", fit.CoverageFactor(0.95, 1e7), fit.CoverageFactor(0.95, 1.001e7), 1e-6)
}
