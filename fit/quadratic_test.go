package fit

import (
	"math"
	"math/rand/v2"
	"testing"
)

// decayOf is y = a e^(−t/τ) + c at ten times, in ln τ, with a prior on c (invented).
func decayOf() Problem {
	p := Problem{Params: 3, Data: Rows{N: 10, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			t := 0.4 * float64(first+i)
			e := math.Exp(-t * math.Exp(-x[1]))
			y := 2*math.Exp(-t/1.5) + 0.3
			r[i] = (y - x[0]*e - x[2]) / 0.2
			if jac != nil {
				jac[3*i], jac[3*i+1], jac[3*i+2] = -e/0.2, -x[0]*e*t*math.Exp(-x[1])/0.2, -5
			}
		}
	}}}
	p.Prior = Gaussians(3, []Gaussian{{Param: 2, Mean: 0.3, Sigma: 0.2}})
	return p
}

// Second derivatives against those by hand: of a e^(−t s), s = e^−x, by a and x, and by x twice.
func TestBendsOfDecay(t *testing.T) {
	p := decayOf()
	r := Must(Solve(p, []float64{1, 0, 0}, Settings{}))
	b := newRefitter(p, r, Settings{}).quadratic
	if len(b.at) != 9 { // at t = 0 the model is straight, as the prior is
		t.Fatalf("%d rows are curved, want 9", len(b.at))
	}
	for k, i := range b.at {
		time := 0.4 * float64(i)
		s := math.Exp(-r.X[1])
		e := math.Exp(-time * s)
		mixed, twice := -e*time*s/0.2, -r.X[0]*e*time*s*(time*s-1)/0.2
		got := b.t[k*packed(3):]
		for _, c := range [][2]float64{{got[0], 0}, {got[1], mixed}, {got[2], twice}, {got[3], 0}, {got[5], 0}} {
			if !(math.Abs(c[0]-c[1]) <= 0.02*(math.Abs(mixed)+math.Abs(twice))) {
				t.Errorf("row %d: %v, want %v", i, c[0], c[1])
			}
		}
	}
}

// Trials beside a bound, which half of them meet, must end where whole fits do.
func TestTrialsAtABoundAreWholeFits(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	p := decayOf()
	r := Must(Solve(p, []float64{1, 0, 0}, Settings{}))
	v, _ := r.Covariance().Variance([]float64{0, 0, 1})
	p.Lower = []float64{math.Inf(-1), math.Inf(-1), r.X[2] - 0.3*math.Sqrt(v)}
	f := newRefitter(p, r, Settings{})
	met, lost := 0, 0
	for range 300 {
		draw(rng, nil, 1, f.data)
		draw(rng, nil, 1, f.prior)
		clear(f.active)
		if f.steps() != refitted {
			lost++
			continue
		}
		whole := solveAt(f.p, r.X, Settings{}, 1)
		if whole.AtBound[2] == AtLower {
			met++
		}
		for j, x := range whole.X {
			g := make([]float64, 3)
			g[j] = 1
			v, _ := r.Covariance().Variance(g)
			if !(math.Abs(f.x[j]-x) <= 0.05*math.Sqrt(v)) {
				t.Errorf("x%d is %v, by a whole fit %v ± %v", j, f.x[j], x, math.Sqrt(v))
			}
		}
	}
	if met < 60 || lost > 15 {
		t.Errorf("%d of 300 trials met the bound, %d found no solution in a few steps", met, lost)
	}
}

// Ends to second order lie by far closer to the profile's than those of the linear law.
func TestEndsAgainstProfile(t *testing.T) {
	p := decayOf()
	r := Must(Solve(p, []float64{1, 0, 0}, Settings{}))
	e, ok, err := NewEnds(p, r, Settings{})
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	for j := range 6 { // each parameter, and its cube
		q := func(x, grad []float64) float64 {
			v, power := x[j%3], float64(1+j/3*2)
			if grad != nil {
				clear(grad)
				grad[j%3] = power * math.Pow(v, power-1)
			}
			return math.Pow(v, power)
		}
		in := Must(Profile(p, r, Settings{}, q, 0.68))
		k := CoverageFactor(0.68, math.Inf(1))
		g := make([]float64, 3)
		value := q(r.X, g)
		v, _ := r.Covariance().Variance(g)
		u := math.Sqrt(v)
		lo, hi := e.Of(q, k)
		if off := math.Abs(lo-in.Lo) + math.Abs(hi-in.Hi); !(off <= 0.25*(math.Abs(value-k*u-in.Lo)+math.Abs(value+k*u-in.Hi))) {
			t.Errorf("%d: %v to %v, by profile %v to %v, linear %v to %v", j, lo, hi, in.Lo, in.Hi, value-k*u, value+k*u)
		}
	}
}
