package decisions

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
)

// Of three sessions of one coil: values agree by the random-effects model of all their errors, those
// that they share being the same ones. All by hand from the budgets, with plain inverses.
func TestConsensusByHand(t *testing.T) {
	sessions := []*estimation.Result{tried(t, 41), tried(t, 42), tried(t, 43, simulated.Added(22))}
	list := Agree(sessions)
	k := quantities.Key{Name: quantities.CoreGain, Core: "rod"}
	i := slices.IndexFunc(list, func(a Agreed) bool { return a.Key == k })
	if i < 0 {
		t.Fatal("no consensus on the gain")
	}
	a := list[i]
	n := len(sessions)
	v := mat.NewSymDense(n, nil)
	shared := make([]map[string]float64, n)
	values := make([]float64, n)
	readings, degrees := make([]float64, n), make([]float64, n)
	for i, r := range sessions {
		e := r.Find(k)
		values[i], shared[i] = e.Value, map[string]float64{}
		square := 0.0
		for _, input := range r.Budget(e) {
			switch kind := input.Assumption.Kind; {
			case input.Kind == estimation.PartSource:
				shared[i]["part "+input.Part] += input.Contribution
			case input.Kind == estimation.AssumptionSource && kind != estimation.AssumedDrift:
				shared[i][string(rune('A'+int(kind)))] += input.Contribution
			default:
				square += input.Contribution * input.Contribution
				if input.Kind <= estimation.HandReadings {
					readings[i], degrees[i] = readings[i]+input.Contribution*input.Contribution, input.Degrees
				}
			}
		}
		if r.Problem.Wide != 1 || !(math.Abs(a.Own[i]/math.Sqrt(square)-1) <= 1e-9) || a.Sessions[i].Value != e.Value {
			t.Errorf("session %d: own %v, want %v", i, a.Own[i], math.Sqrt(square))
		}
		v.SetSym(i, i, square)
	}
	for i := range n {
		for j := range i + 1 {
			for name, u := range shared[i] {
				v.SetSym(i, j, v.At(i, j)+u*shared[j][name])
			}
		}
	}
	between, w := momentsByHand(v, values)
	mean, variance := 0.0, 0.0
	for i := range n {
		v.SetSym(i, i, v.At(i, i)+between*between)
		mean += w[i] * values[i]
	}
	sum, squares := 0.0, 0.0
	for i := range n {
		for j := range n {
			variance += w[i] * w[j] * v.At(i, j)
		}
		sum += math.Pow(w[i]*w[i]*readings[i], 2) / degrees[i]
		squares += w[i] * w[i]
	}
	if tolerances := toleranceOf(sessions, w, shared); between > 0 {
		sum += math.Pow(between*between*squares, 2)/float64(n-1) + tolerances
	} else {
		sum += tolerances
	}
	if !(math.Abs(a.Value-mean) <= 1e-12) || !(math.Abs(a.Uncertainty/math.Sqrt(variance)-1) <= 1e-9) || a.Stated != a.Uncertainty || !(math.Abs(a.Between-between) <= 1e-9) || a.Budget != (quantities.Budget{}) || !(math.Abs(a.Degrees/(variance*variance/sum)-1) <= 1e-6) {
		t.Errorf("%+v, want %v ± %v, between %v, %v degrees", a, mean, math.Sqrt(variance), between, variance*variance/sum)
	}
	for i := range n {
		square := variance + v.At(i, i)
		for j := range n {
			square -= 2 * w[j] * v.At(i, j)
		}
		if off := values[i] - mean; !(math.Abs(a.Deviations[i]-off) <= 1e-12) || !(math.Abs(a.Sigmas[i]-off/math.Sqrt(square)) <= 1e-6) {
			t.Errorf("session %d: off by %v, %v σ, want %v, %v", i, a.Deviations[i], a.Sigmas[i], off, off/math.Sqrt(square))
		}
	}
	for _, a := range list {
		if quantities.OfBench(a.Name) {
			t.Errorf("a consensus on %s", a.Name)
		}
	}
}

// toleranceOf is the part of the tolerances in the formula of Welch and Satterthwaite.
func toleranceOf(sessions []*estimation.Result, w []float64, shared []map[string]float64) float64 {
	variance, fewest := 0.0, math.Inf(1)
	for name := range shared[2] {
		if strings.HasPrefix(name, "part ") {
			u := 0.0
			for i := range w {
				u += w[i] * shared[i][name]
			}
			variance += u * u
		}
	}
	for _, r := range sessions {
		for _, in := range r.Budget(r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"})) {
			if in.Kind == estimation.PartSource {
				fewest = math.Min(fewest, in.Degrees)
			}
		}
	}
	return variance * variance / fewest
}

// momentsByHand returns the standard deviation between values of covariance v, by the moments of
// vᵀPv, and the weights of the mean of least variance: of all choices of values whose best weights
// are above 0, the one of least variance.
func momentsByHand(v *mat.SymDense, values []float64) (between float64, w []float64) {
	n := len(values)
	inverse, ones, sum := weighed(v, []int{0, 1, 2}, 0)
	var outer, p mat.Dense
	outer.Outer(1/sum, ones, ones)
	p.Sub(inverse, &outer)
	x := mat.NewVecDense(n, values)
	tau := math.Max(0, (mat.Inner(x, &p, x)-float64(n-1))/mat.Trace(&p))
	best := 0.0
	for _, of := range [][]int{{0}, {1}, {2}, {0, 1}, {0, 2}, {1, 2}, {0, 1, 2}} {
		if _, u, sum := weighed(v, of, tau); sum > best && mat.Min(u) > 0 {
			best, w = sum, make([]float64, n)
			for k, i := range of {
				w[i] = u.AtVec(k) / sum
			}
		}
	}
	return math.Sqrt(tau), w
}

// weighed returns the inverse of the covariance of some values, with a variance between them, its
// sums of rows, and the sum of all.
func weighed(v *mat.SymDense, of []int, between float64) (inverse *mat.Dense, u *mat.VecDense, sum float64) {
	n := len(of)
	m := mat.NewDense(n, n, nil)
	for a, i := range of {
		for b, j := range of {
			m.Set(a, b, v.At(i, j))
		}
		m.Set(a, a, m.At(a, a)+between)
	}
	inverse, u = mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
	if err := inverse.Inverse(m); err != nil {
		panic(err)
	}
	one := mat.NewVecDense(n, slices.Repeat([]float64{1}, n))
	u.MulVec(inverse, one)
	return inverse, u, mat.Dot(one, u)
}

// The difference of two values with an error in common, of standard uncertainty 2 in one session,
// 1 in the other and 1 between them: shifts by 4 and 3 for one standard uncertainty each make
// (3/1 − 4/2)·1 of it.
func TestDifferenceWithAnErrorInCommon(t *testing.T) {
	got := differenceUncertainty(5, 6, []float64{9, 4}, []float64{3}, []commonError{{1, 0, 2, 1, 1}})
	if want := math.Sqrt(25 + 36 - 16 - 9 + 1); !(math.Abs(got-want) <= 1e-12) {
		t.Errorf("%v, want %v", got, want)
	}
	if got := differenceUncertainty(4, 3, []float64{4}, []float64{3}, []commonError{{0, 0, 4, 3, 1}}); got != 0 {
		t.Errorf("nothing of their own leaves %v", got)
	}
}

// Which errors two sessions share: parts of one name and value, of which the smaller tolerance
// holds; assumptions on the coil; values known alike. Not a drift, nor parts of another value.
func TestCommonErrors(t *testing.T) {
	a, b := tried(t, 44), tried(t, 45)
	s := b.Session
	s.Log.Parts = slices.Clone(s.Log.Parts)
	s.Log.Parts[0].Uncertainty /= 2
	s.Log.Parts[1].Capacitance *= 1.01
	known := quantities.Known{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.25e-3, Uncertainty: 0.05e-3}
	s.Known = []quantities.Known{known}
	b, err := estimation.Fit(s)
	if err != nil {
		t.Fatal(err)
	}
	s = a.Session
	s.Known = []quantities.Known{known}
	if a, err = estimation.Fit(s); err != nil {
		t.Fatal(err)
	}
	list := commonErrors(a, b)
	parts, assumed, values := 0, 0, 0
	for _, e := range list {
		p, q := a.Problem, b.Problem
		switch {
		case p.PriorOf[e.a] >= 0:
			parts++
			first, second := &p.Parts[p.PriorOf[e.a]], &q.Parts[q.PriorOf[e.b]]
			if first.Name != second.Name || first.Capacitance != second.Capacitance || e.ofA != first.Uncertainty || e.ofB != second.Uncertainty || e.both != math.Min(e.ofA, e.ofB) {
				t.Errorf("%+v: %+v and %+v", e, first, second)
			}
		case e.a < len(p.Assumed):
			assumed++
			if x, y := p.Assumed[e.a], q.Assumed[e.b]; x.Kind != y.Kind || x.Kind == estimation.AssumedDrift || e.ofA != x.Spread || e.ofB != y.Spread || e.both != x.Spread {
				t.Errorf("%+v: %+v and %+v", e, x, y)
			}
		default:
			values++
			if e.a != len(p.Origins)-1 || e.b != len(q.Origins)-1 || e.ofA != 1 || e.ofB != 1 || e.both != 1 {
				t.Errorf("%+v of %d and %d", e, len(p.Origins), len(q.Origins))
			}
		}
	}
	if parts != 2 || assumed != 7 || values != 1 { // share, core, ends, moved, two of a hand, lead
		t.Errorf("%d parts, %d assumptions, %d values", parts, assumed, values)
	}
}
