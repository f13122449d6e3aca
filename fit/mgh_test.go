package fit_test

import (
	"math"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// formula is a problem of m rows given by residual and gradient.
func formula(p, m int, row func(i int, x, grad []float64) float64) fit.Problem {
	return fit.Problem{Params: p, Data: fit.Rows{N: m, Evaluate: func(x []float64, first int, r, jac []float64) {
		var room [9]float64
		for i := range r {
			g := room[:p]
			if jac != nil {
				g = jac[i*p:][:p]
			}
			clear(g)
			r[i] = row(first+i, x, g)
		}
	}}}
}

// Problems of J. J. Moré, B. S. Garbow and K. E. Hillstrom, ACM Trans. Math.
// Softw. 7 (1981) 17–41, with their minima (from memory), that leave residuals
// so large and curved that Gauss–Newton steps alone diverge, or whose Jacobian
// is singular at the solution.
func TestLargeResiduals(t *testing.T) {
	for _, c := range []struct {
		name    string
		p       fit.Problem
		start   []float64
		squares float64
		x       []float64
		digits  float64 // relative tolerance of squares, as printed there
	}{
		{"Jennrich and Sampson", formula(2, 10, func(i int, x, g []float64) float64 {
			k := float64(i + 1)
			a, b := math.Exp(k*x[0]), math.Exp(k*x[1])
			g[0], g[1] = -k*a, -k*b
			return 2 + 2*k - a - b
		}), []float64{0.3, 0.4}, 124.362, []float64{0.2578, 0.2578}, 1e-5},
		{"Brown and Dennis", formula(4, 20, func(i int, x, g []float64) float64 {
			s := float64(i+1) / 5
			a, b := x[0]+s*x[1]-math.Exp(s), x[2]+x[3]*math.Sin(s)-math.Cos(s)
			g[0], g[1], g[2], g[3] = 2*a, 2*a*s, 2*b, 2*b*math.Sin(s)
			return a*a + b*b
		}), []float64{25, 5, -5, -1}, 85822.2, []float64{-11.594, 13.204, -0.40344, 0.23678}, 1e-6},
		{"Freudenstein and Roth", formula(2, 2, func(i int, x, g []float64) float64 {
			y := x[1]
			if i == 0 {
				g[0], g[1] = 1, 10*y-3*y*y-2
				return -13 + x[0] + ((5-y)*y-2)*y
			}
			g[0], g[1] = 1, 3*y*y+2*y-14
			return -29 + x[0] + ((y+1)*y-14)*y
		}), []float64{0.5, -2}, 48.9842, []float64{11.4128, -0.89681}, 1e-5},
		{"Bard", formula(3, 15, func(i int, x, g []float64) float64 {
			y := []float64{.14, .18, .22, .25, .29, .32, .35, .39, .37, .58, .73, .96, 1.34, 2.10, 4.39}
			u, v := float64(i+1), float64(15-i)
			w := math.Min(u, v)
			d := v*x[1] + w*x[2]
			g[0], g[1], g[2] = -1, u*v/(d*d), u*w/(d*d)
			return y[i] - x[0] - u/d
		}), []float64{1, 1, 1}, 8.21487e-3, []float64{0.08241, 1.1330, 2.3437}, 1e-5},
	} {
		t.Run(c.name, func(t *testing.T) {
			checkJacobian(t, c.name, c.p.Data, c.start)
			r := must.Get(fit.Solve(c.p, c.start, fit.Settings{})).In(t)
			t.Logf("%d steps, %d evaluations, %.10g at %v: %v", r.Iterations, r.Evaluations, r.DataSquares, r.X, r.Status)
			if !r.Status.Converged() {
				t.Error(r.Status)
			}
			near.To(t, "sum of squares", r.DataSquares, c.squares, c.digits*c.squares)
			for j := range c.x {
				near.To(t, "parameter", r.X[j], c.x[j], 2e-4*math.Abs(c.x[j]))
			}
		})
	}
}

// r₁ = x² + c, r₂ = (x − 1)/2: the larger c, the faster Gauss–Newton steps
// diverge from the minimum, the root of 2x(x² + c) + (x − 1)/4.
func TestCurvedResiduals(t *testing.T) {
	for _, c := range []float64{0.01, 0.05, 0.09, 0.1, 0.11, 0.2, 1, 100} {
		p := formula(1, 2, func(i int, x, g []float64) float64 {
			if i == 0 {
				g[0] = 2 * x[0]
				return x[0]*x[0] + c
			}
			g[0] = 0.5
			return (x[0] - 1) / 2
		})
		lo, hi := 0.0, 1.0
		for range 100 {
			if x := (lo + hi) / 2; 2*x*(x*x+c)+(x-1)/4 < 0 {
				lo = x
			} else {
				hi = x
			}
		}
		for _, start := range []float64{-3, 0, 0.7, 40} {
			r := solve(t, p, []float64{start}, fit.Settings{})
			near.To(t, "x", r.X[0], lo, 1e-8*(lo+1))
			// A parameter that occurs nowhere costs nothing.
			q := fit.Problem{Params: 2, Data: fit.Rows{N: 2, Evaluate: func(x []float64, first int, res, jac []float64) {
				d := make([]float64, len(res))
				p.Data.Evaluate(x[:1], first, res, d)
				for i, v := range d {
					jac[2*i], jac[2*i+1] = v, 0
				}
			}}}
			r = solve(t, q, []float64{start, 5}, fit.Settings{})
			near.To(t, "x", r.X[0], lo, 1e-8*(lo+1))
			near.To(t, "unused", r.X[1], 5, 0)
		}
	}
}

// Beside the top between the two minima of (x² − 1)², where the slope nearly
// vanishes, a fit must not stop.
func TestTopIsNotCalledMinimum(t *testing.T) {
	p := formula(1, 1, func(_ int, x, g []float64) float64 {
		g[0] = 2 * x[0]
		return x[0]*x[0] - 1
	})
	r := solve(t, p, []float64{1e-9}, fit.Settings{})
	near.To(t, "x²", r.X[0]*r.X[0], 1, 1e-8)
}
