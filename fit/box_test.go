package fit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/near"
)

var (
	lineT = []float64{0, 1, 2, 3, 4, 5}
	lineY = []float64{1.1, 1.3, 1.7, 1.9, 2.3, 2.4} // invented
)

func TestBoundHolds(t *testing.T) {
	p := line(lineT, lineY, constant(6, 0.1))
	p.Lower = []float64{math.Inf(-1), 0.5} // the free slope is 0.277
	r := solve(t, p, []float64{0, 2}, fit.Settings{})
	if r.X[1] != 0.5 || r.AtBound[1] != fit.AtLower || r.AtBound[0] != fit.Free {
		t.Errorf("slope %g %v, offset %v", r.X[1], r.AtBound[1], r.AtBound[0])
	}
	mean := 0.0
	for i := range lineT {
		mean += (lineY[i] - 0.5*lineT[i]) / 6
	}
	near.To(t, "offset", r.X[0], mean, 1e-12)
	if r.DegreesOfFreedom() != 5 {
		t.Errorf("%d degrees of freedom, want 5: a active parameter is not free", r.DegreesOfFreedom())
	}
	v, _ := r.Covariance().Variance(unit(2, 0))
	near.To(t, "u²(offset)", v, 0.01/6, 1e-15)
	if v, determined := r.Covariance().Variance(unit(2, 1)); v != 0 || !determined {
		t.Errorf("active parameter: variance %g, determined %v", v, determined)
	}
}

func TestBoundLetsGo(t *testing.T) {
	free := line(lineT, lineY, constant(6, 0.1))
	want := solve(t, free, []float64{0, 0}, fit.Settings{})
	p := free
	p.Lower, p.Upper = []float64{-5, 0}, []float64{5, 1}
	for _, start := range [][]float64{{-5, 0}, {5, 0}, {5, 1}, {-5, 1}} {
		r := solve(t, p, start, fit.Settings{})
		for j := range r.X {
			near.To(t, "parameter", r.X[j], want.X[j], 1e-12)
			if r.AtBound[j] != fit.Free {
				t.Errorf("from %v: parameter %d is %v", start, j, r.AtBound[j])
			}
		}
	}
}

func TestEqualBoundsFix(t *testing.T) {
	p := line(lineT, lineY, constant(6, 0.1))
	p.Lower, p.Upper = []float64{math.Inf(-1), 0.3}, []float64{math.Inf(1), 0.3}
	r := solve(t, p, []float64{0, 0.3}, fit.Settings{})
	if r.X[1] != 0.3 || r.AtBound[1] == fit.Free {
		t.Errorf("%g, %v", r.X[1], r.AtBound[1])
	}
}

// Random linear problems in a box, against the best of all 3^p choices of
// which bounds are active.
func TestBoxAgainstAllActiveSets(t *testing.T) {
	const p, n = 3, 5
	rng := rand.New(rand.NewPCG(7, 7))
	active := 0
	for range 300 {
		a, b := make([]float64, n*p), make([]float64, n)
		for i := range a {
			a[i] = rng.NormFloat64()
		}
		for i := range b {
			b[i] = 3 * rng.NormFloat64()
		}
		lower, upper, start := make([]float64, p), make([]float64, p), make([]float64, p)
		for j := range p {
			lower[j] = -rng.Float64()
			upper[j] = rng.Float64()
			start[j] = lower[j] + (upper[j]-lower[j])*rng.Float64()
		}
		problem := linear(a, b, p)
		problem.Lower, problem.Upper = lower, upper
		r := solve(t, problem, start, fit.Settings{})
		want := bestActiveSet(a, b, lower, upper)
		near.To(t, "objective", r.Objective, want, 1e-9*(1+want))
		for _, at := range r.AtBound {
			if at != fit.Free {
				active++
			}
		}
	}
	if active < 100 {
		t.Errorf("only %d bounds were met", active)
	}
}

// linear is the problem with residuals a·x − b.
func linear(a, b []float64, p int) fit.Problem {
	return fit.Problem{Params: p, Data: fit.Rows{N: len(b), Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			row := a[(first+i)*p:][:p]
			r[i] = -b[first+i]
			for j, v := range row {
				r[i] += v * x[j]
			}
			if jac != nil {
				copy(jac[i*p:], row)
			}
		}
	}}}
}

func bestActiveSet(a, b, lower, upper []float64) float64 {
	p, n := len(lower), len(b)
	best := math.Inf(1)
	for code := range int(math.Pow(3, float64(p))) {
		x := make([]float64, p)
		var free []int
		for j, c := 0, code; j < p; j, c = j+1, c/3 {
			switch c % 3 {
			case 0:
				free = append(free, j)
			case 1:
				x[j] = lower[j]
			case 2:
				x[j] = upper[j]
			}
		}
		normalEquations(a, b, x, free)
		inside := true
		for _, j := range free {
			inside = inside && x[j] >= lower[j] && x[j] <= upper[j]
		}
		if !inside {
			continue
		}
		sum := 0.0
		for i := range n {
			r := -b[i]
			for j := range p {
				r += a[i*p+j] * x[j]
			}
			sum += r * r
		}
		best = math.Min(best, sum)
	}
	return best
}

// normalEquations sets the free elements of x to the least-squares solution of
// a·x = b, by Gaussian elimination: plain, and nothing like the code tested.
func normalEquations(a, b, x []float64, free []int) {
	p, m := len(x), len(free)
	h, g := make([][]float64, m), make([]float64, m)
	for k, j := range free {
		h[k] = make([]float64, m)
		for i := range b {
			r := b[i]
			for l := range p {
				r -= a[i*p+l] * x[l]
			}
			g[k] += a[i*p+j] * r
			for l, o := range free {
				h[k][l] += a[i*p+j] * a[i*p+o]
			}
		}
	}
	for k := range m {
		for l := k + 1; l < m; l++ {
			f := h[l][k] / h[k][k]
			for o := k; o < m; o++ {
				h[l][o] -= f * h[k][o]
			}
			g[l] -= f * g[k]
		}
	}
	for k := m - 1; k >= 0; k-- {
		for l := k + 1; l < m; l++ {
			g[k] -= h[k][l] * g[l]
		}
		g[k] /= h[k][k]
	}
	for k, j := range free {
		x[j] += g[k]
	}
}
