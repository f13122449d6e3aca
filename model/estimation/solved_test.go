package estimation

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
)

// RᵀR is JᵀJ of the rows at the solution, in the unknowns and in straightened coordinates, and R a
// triangle in both.
func TestTrianglesOfTheSolution(t *testing.T) {
	r := must.Get(Fit(everything(t))).In(t)
	p, n := r.Problem, r.Problem.N
	s := r.straightenedSolution()
	check := func(what string, d dense, of []float64) {
		t.Helper()
		var information, product mat.Dense
		must.Do(t, information.Inverse(&d.covariance))
		triangle := mat.NewDense(n, n, of)
		product.Mul(triangle.T(), triangle)
		for i := range n {
			for j := range n {
				if i > j && of[i*n+j] != 0 {
					t.Errorf("%s: %v below the diagonal, at %d, %d", what, of[i*n+j], i, j)
				}
				if a := information.At(i, j); !(math.Abs(product.At(i, j)-a) <= 1e-5*math.Sqrt(information.At(i, i)*information.At(j, j))) {
					t.Errorf("%s: RᵀR %v, JᵀJ %v at %d, %d", what, product.At(i, j), a, i, j)
				}
			}
		}
	}
	check("as they are", newDense(t, p, r.Solution.X, r.Solution.Scale), r.Solution.R)
	q := *p
	q.Problem = p.straightened()
	check("straightened", newDense(t, &q, s.X, s.Scale), s.R)
	x := make([]float64, n)
	original(p.Model, x, s.X)
	for j := range x {
		near.To(t, "back", x[j], r.Solution.X[j], 1e-9)
	}
}

// Where profiles would move an interval by more than a tenth of the standard uncertainty, second
// derivatives foretell it; what isn't near the limit is foretold rightly.
func TestForetoldByCurvature(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(66, 5)), 2e-4, 0.05, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added())
	r := must.Get(Fit(Session{Log: log, Known: still})).In(t)
	curved := r.Curved()
	var steps [][2]int
	list, ok := r.Profiles(func(i, n int) { steps = append(steps, [2]int{i, n}) })
	if n := len(list); !ok || n < 6 || len(steps) != n || steps[0] != [2]int{1, n} || steps[n-1] != [2]int{n, n} {
		t.Fatalf("%d profiles, steps %v", n, steps)
	}
	large, problem, model := *r, *r.Problem, *r.Problem.Model
	model.N = 301
	problem.Model, large.Problem = &model, &problem
	if list, ok := large.Profiles(nil); ok || list != nil || large.Curved() != nil {
		t.Error("profiles of 301 unknowns")
	}
	clear, differ := 0, 0
	for _, p := range list {
		linear := p.LinearInterval()
		off := max(math.Abs(p.Profile[0]-linear[0]), math.Abs(p.Profile[1]-linear[1])) / p.Uncertainty
		if off < 0.06 || off > 0.2 {
			clear++
			if differs := off > 0.1; slices.Contains(curved, p.Estimate) != differs || p.Differs() != differs {
				t.Errorf("%s is off by %v: foretold %v", p.Name, off, !differs)
			} else if differs {
				differ++
			}
		}
	}
	if clear < 4 || differ == 0 {
		t.Errorf("%d clear, %d of them differ", clear, differ)
	}
}

// What can't tell inductance from capacitance has their product first, and its frequency not once more.
func TestPrincipalOfAProduct(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(67, 5)), 2e-4, 0.05, simulated.Added(), simulated.Added(), simulated.Added().Near(0.1), simulated.Added().Near(0.2))
	r := must.Get(Fit(Session{Log: log, Known: still})).In(t)
	var names []string
	for _, e := range r.Principal(9) {
		names = append(names, e.Name)
	}
	if len(names) == 0 || names[0] != quantities.LCProduct || slices.Contains(names, quantities.BareFrequency) {
		t.Errorf("%v", names)
	}
}

// The fixed point of a line is found from two points of it; one so steep, or none before, tells
// nothing. Fitted again with wider tolerances, the whole is judged as before.
func TestFixedPoint(t *testing.T) {
	for slope, want := range map[float64]float64{0.5: 6, 0.75: 12, -0.5: 2 - 0.5*1.5, 0.9: 3 + 0.9*1.5} { // y = 3 + slope·x of x = 1.5, but for the steep
		var l secant
		line := func(x float64) float64 { return 3 + slope*x }
		if slope < 0 {
			line = func(x float64) float64 { return 2 + slope*x }
		}
		if first := l.fixed(1, line(1)); first != line(1) {
			t.Errorf("the first is %v", first)
		}
		near.Times(t, "fixed", l.fixed(1.5, line(1.5)), want, 1e-12)
	}
	log := offTolerance()
	strict := must.Get(Fit(Session{Log: log, Known: still})).In(t)
	last := len(strict.Readings) - 1
	for _, i := range []int{3, last} {
		strict.Readings[i] = ReadingResult{Flagged: true, Deleted: 4 + float64(i), Moves: &Moved{By: 2}, Without: &Without{}}
	}
	wide := strict.Widen()
	near.Times(t, "settled", wide.PartErrors.Factor, wide.Problem.Wide, 2e-3)
	q := strict.Quality
	q.Scale, q.Redundancy, q.PartScale = wide.Scatter.Scale, wide.Scatter.Redundancy, wide.Problem.Wide
	if wide.Quality != q || !(q.PartScale > 1.5) || !(math.Abs(wide.Scatter.PValue-q.PValue) > 0.01) {
		t.Errorf("%+v, want %+v", wide.Quality, q)
	}
	wide.TakeFlags(strict)
	for _, i := range []int{3, last} {
		a, b := wide.Readings[i], strict.Readings[i]
		if a.Flagged != b.Flagged || a.Deleted != b.Deleted || a.Moves != b.Moves || a.Without != b.Without || a.Frequency != log.Readings[i].Frequency {
			t.Errorf("%+v", a)
		}
	}
}
