package resonator

import (
	"math"
	"testing"

	"fitcoil/fit"
)

// The coefficients of guessSquare, fitted again: the rational function that comes nearest
// to the roots of cot θ = θ·t/(1 − t), by halving, at 200 shares of the top. What it misses
// the constants in use miss too, and no more.
func TestGuessSquareIsFittedAgain(t *testing.T) {
	const n = 200
	share, want := make([]float64, n), make([]float64, n)
	for i := range n {
		s := 0.5 - 0.5*math.Cos(math.Pi*(float64(i)+0.5)/n)
		share[i] = s
		lo, hi := 0.0, math.Pi/2
		for range 100 { // cos θ·(1 − t) = t θ sin θ
			mid := (lo + hi) / 2
			if math.Cos(mid)*(1-s) > s*mid*math.Sin(mid) {
				lo = mid
			} else {
				hi = mid
			}
		}
		want[i] = (1 - s) / (lo * lo) // Ω = θ/√(1 − t)
	}
	rational := func(c []float64, s float64) (p, q float64) {
		return c[0] + s*(c[1]+s*(c[2]+s*c[3])), 1 + s*(c[4]+s*c[5])
	}
	problem := fit.Problem{Params: 6, Data: fit.Rows{N: n, Evaluate: func(c []float64, first int, r, jac []float64) {
		for i := range r {
			s, w := share[first+i], 1e-7*want[first+i]
			p, q := rational(c, s)
			r[i] = (want[first+i] - p/q) / w
			if jac == nil {
				continue
			}
			for k, d := range []float64{1 / q, s / q, s * s / q, s * s * s / q, -p * s / (q * q), -p * s * s / (q * q)} {
				jac[6*i+k] = -d / w
			}
		}
	}}}
	r, err := fit.Solve(problem, []float64{4 / (math.Pi * math.Pi), 1, 1, 1, 1, 1}, fit.Settings{})
	if err != nil || !r.Status.Converged() {
		t.Fatal(err, r.Status)
	}
	worst := func(square func(s float64) float64) (most float64) {
		for i, s := range share {
			most = math.Max(most, math.Abs(square(s)/want[i]-1))
		}
		return most
	}
	again := worst(func(s float64) float64 { p, q := rational(r.X, s); return p / q })
	used := worst(func(s float64) float64 { v, _ := GuessSquare(s); return v })
	t.Logf("fitted again %.8v: off by %.2g at most, in use %.2g", r.X, again, used)
	if used > 1.1*again {
		t.Errorf("the coefficients in use are off by %v, fitted again by %v", used, again)
	}
}
