package fit_test

import (
	"math"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/near"
)

func element(j int) fit.Quantity {
	return func(x, grad []float64) float64 {
		clear(grad)
		if grad != nil {
			grad[j] = 1
		}
		return x[j]
	}
}

// In a linear model the profile interval is ± k standard uncertainties.
func TestProfileOfLine(t *testing.T) {
	p := line(lineT, lineY, constant(6, 0.1))
	r := solve(t, p, []float64{0, 0}, fit.Settings{})
	g := []float64{1, 7}
	sum := func(x, grad []float64) float64 {
		copy(grad, g)
		return x[0] + 7*x[1]
	}
	v, _ := r.Covariance().Variance(g)
	in := fit.Must(fit.Profile(p, r, fit.Settings{}, sum, 0.95))
	q := r.X[0] + 7*r.X[1]
	near.To(t, "lower end", in.Lo, q-1.959963985*math.Sqrt(v), 1e-6)
	near.To(t, "upper end", in.Hi, q+1.959963985*math.Sqrt(v), 1e-6)
}

// With uncertainties from the scatter the factor is Student's.
func TestProfileOfThermometer(t *testing.T) {
	p := thermometer()
	r, _ := scaled(t, p, []float64{0, 0}, fit.Settings{Uncertainty: fit.Relative})
	in := fit.Must(fit.Profile(p, r, fit.Settings{}, element(1), 0.95))
	// t(95 %, 9) = 2.262157 (tables of Student's t)
	near.To(t, "half width", (in.Hi-in.Lo)/2, 2.262157*0.00066794, 2e-8)
}

// y = exp(θ): the interval of θ is the logarithm of that of y, whatever the
// curvature; and it is open below once that of y reaches zero.
func exponential(y, u float64) fit.Problem {
	return fit.Problem{Params: 1, Data: fit.Rows{N: 1, Evaluate: func(x []float64, _ int, r, jac []float64) {
		if len(r) == 0 {
			return
		}
		r[0] = (y - math.Exp(x[0])) / u
		if jac != nil {
			jac[0] = -math.Exp(x[0]) / u
		}
	}}}
}

func TestProfileIsAsymmetric(t *testing.T) {
	p := exponential(10, 4)
	r := solve(t, p, []float64{1}, fit.Settings{})
	in := fit.Must(fit.Profile(p, r, fit.Settings{}, element(0), 0.95))
	near.To(t, "lower end", in.Lo, math.Log(10-1.959963985*4), 1e-6)
	near.To(t, "upper end", in.Hi, math.Log(10+1.959963985*4), 1e-6)
}

func TestProfileOpenEnd(t *testing.T) {
	p := exponential(10, 6)
	r := solve(t, p, []float64{1}, fit.Settings{})
	in := fit.Must(fit.Profile(p, r, fit.Settings{}, element(0), 0.95))
	near.To(t, "upper end", in.Hi, math.Log(10+1.959963985*6), 1e-6)
	if !math.IsInf(in.Lo, -1) {
		t.Errorf("lower end is %g", in.Lo)
	}
}

func TestProfileStopsAtBound(t *testing.T) {
	p := exponential(10, 6)
	p.Lower = []float64{1.5}
	r := solve(t, p, []float64{2}, fit.Settings{})
	in := fit.Must(fit.Profile(p, r, fit.Settings{}, element(0), 0.95))
	near.To(t, "lower end", in.Lo, 1.5, 0)
	near.To(t, "upper end", in.Hi, math.Log(10+1.959963985*6), 1e-6)
	// The estimate itself at the bound: one end is there, the other is where
	// the squares have risen by k² above those at the bound.
	p.Lower = []float64{math.Log(12)}
	r = solve(t, p, []float64{3}, fit.Settings{})
	in = fit.Must(fit.Profile(p, r, fit.Settings{}, element(0), 0.95))
	near.To(t, "lower end", in.Lo, math.Log(12), 1e-12)
	k := 1.959963985
	near.To(t, "upper end", in.Hi, math.Log(10+6*math.Sqrt(k*k+1/9.0)), 1e-6)
}

func TestProfileOfUndetermined(t *testing.T) {
	p := product()
	r := solve(t, p, []float64{0.3, 0.7, 5}, fit.Settings{})
	in := fit.Must(fit.Profile(p, r, fit.Settings{}, element(0), 0.95))
	if !math.IsInf(in.Lo, -1) || !math.IsInf(in.Hi, 1) {
		t.Errorf("%v to %v", in.Lo, in.Hi)
	}
	sum := func(x, grad []float64) float64 {
		copy(grad, []float64{1, 1, 0})
		return x[0] + x[1]
	}
	in = fit.Must(fit.Profile(p, r, fit.Settings{}, sum, 0.95))
	a, u := 179.9/30, 0.1/math.Sqrt(30)
	near.To(t, "lower end", in.Lo, math.Log(a-1.959963985*u), 1e-8)
	near.To(t, "upper end", in.Hi, math.Log(a+1.959963985*u), 1e-8)
}

// Two parameters and a strongly curved quantity, against the profile on a fine
// grid: for each rate the best amplitude is a linear problem.
func TestProfileAgainstGrid(t *testing.T) {
	x := []float64{1, 2, 3, 5, 7, 10}
	y := []float64{109, 149, 149, 191, 213, 224} // BoxBOD
	const u = 17
	p := fit.Problem{Params: 2, Data: fit.Rows{N: 6, Evaluate: func(b []float64, first int, r, jac []float64) {
		for i := range r {
			e := math.Exp(-b[1] * x[first+i])
			r[i] = (y[first+i] - b[0]*(1-e)) / u
			if jac != nil {
				jac[2*i], jac[2*i+1] = -(1-e)/u, -b[0]*x[first+i]*e/u
			}
		}
	}}}
	r := solve(t, p, []float64{100, 0.75}, fit.Settings{})
	rise := func(rate float64) float64 {
		sy, ss := 0.0, 0.0
		for i := range x {
			f := 1 - math.Exp(-rate*x[i])
			sy += f * y[i]
			ss += f * f
		}
		sum := 0.0
		for i := range x {
			d := (y[i] - sy/ss*(1-math.Exp(-rate*x[i]))) / u
			sum += d * d
		}
		return sum - r.DataSquares
	}
	in := fit.Must(fit.Profile(p, r, fit.Settings{}, element(1), 0.95))
	near.To(t, "rise at the lower end", rise(in.Lo), 3.841459, 1e-5)
	near.To(t, "rise at the upper end", rise(in.Hi), 3.841459, 1e-5)
	if in.Lo >= r.X[1] || in.Hi <= r.X[1] {
		t.Errorf("[%g, %g] about %g", in.Lo, in.Hi, r.X[1])
	}
}

// A profile that runs into a deeper valley says so.
func TestProfileFindsBetterMinimum(t *testing.T) {
	// (x² − 1)²/4 tilted: minima near ±1, the one at −1 deeper.
	p := fit.Problem{Params: 1, Data: fit.Rows{N: 2, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			switch v, d := (x[0]*x[0]-1)/2, x[0]; first + i {
			case 0:
				r[i] = v
				if jac != nil {
					jac[i] = d
				}
			case 1:
				r[i] = 0.3 * (x[0] + 1)
				if jac != nil {
					jac[i] = 0.3
				}
			}
		}
	}}}
	r := solve(t, p, []float64{1.2}, fit.Settings{})
	in := fit.Must(fit.Profile(p, r, fit.Settings{}, element(0), 0.9))
	if in.Better == nil || !(math.Abs(in.Better[0]+1) <= 0.5) {
		t.Errorf("%+v from %v", in, r.X)
	}
}
