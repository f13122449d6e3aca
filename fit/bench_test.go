package fit_test

import (
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"fitcoil/fit"
)

// decay is y = a·exp(−bx) + c·exp(−dx), a problem of four parameters, with
// invented readings at n places.
func decay(n int, noise float64) fit.Problem {
	rng := rand.New(rand.NewPCG(1, 1))
	x, y := make([]float64, n), make([]float64, n)
	for i := range x {
		x[i] = 5 * float64(i) / float64(n-1)
		y[i] = 2*math.Exp(-0.4*x[i]) + 3*math.Exp(-2.5*x[i]) + noise*rng.NormFloat64()
	}
	w := 1 / noise
	return fit.Problem{Params: 4, Data: fit.Rows{N: n, Evaluate: func(b []float64, first int, r, jac []float64) {
		x, y := x[first:][:len(r)], y[first:][:len(r)]
		a, c := b[0], b[2]
		for i, t := range x {
			e, f := w*math.Exp(-b[1]*t), w*math.Exp(-b[3]*t)
			r[i] = w*y[i] - a*e - c*f
			if jac != nil {
				j := jac[4*i:][:4]
				j[0], j[1], j[2], j[3] = -e, a*t*e, -f, c*t*f
			}
		}
	}}}
}

var decayStart = []float64{1.5, 0.3, 2, 2}

func TestDecayJacobian(t *testing.T) { checkJacobian(t, "decay", decay(20, 0.01).Data, decayStart) }

func BenchmarkSolve20Rows4Parameters(b *testing.B) {
	p := decay(20, 0.01)
	b.ReportAllocs()
	var r fit.Result
	for b.Loop() {
		r, _ = fit.Solve(p, decayStart, fit.Settings{})
	}
	if !r.Status.Converged() {
		b.Fatal(r.Status)
	}
	b.ReportMetric(float64(r.Evaluations), "evaluations/op")
}

func BenchmarkSolveMillionRows(b *testing.B) {
	p := decay(1_000_000, 0.01)
	b.ReportAllocs()
	for b.Loop() {
		r, _ := fit.Solve(p, decayStart, fit.Settings{})
		if !r.Status.Converged() {
			b.Fatal(r.Status)
		}
	}
}

func BenchmarkMonteCarlo10000Fits(b *testing.B) {
	p := decay(20, 0.01)
	r, _ := fit.Solve(p, decayStart, fit.Settings{})
	t := fit.Trials{Most: 10_000, Seed: 1, Workers: runtime.GOMAXPROCS(0)}
	b.ReportAllocs()
	for b.Loop() {
		if s := trialsOf(p, r, fit.Distributions{}, t, 4, identity); s.Failed > 0 {
			b.Fatal(s.Failed)
		}
	}
}
