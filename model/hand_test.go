package model

import (
	"math"
	"math/rand/v2"
	"testing"
)

// With one distance only the hand's effect there is known, not its law.
func TestOneHandDistance(t *testing.T) {
	c := lighthouse()
	rng := rand.New(rand.NewPCG(9, 1))
	r := mustFit(t, Session{Log: c.session(rng, 1e-4, 0, added(), added(4.7), added(10), added().near(0.1), added().near(0.1))})
	hand := Bare()
	hand.Hand = 0.1
	near(t, r.Find(HandFrequencyDrop, "", "", 0.1), c.frequency(Bare(), nil)-c.frequency(hand, nil), 3)
	near(t, r.Find(HandCapacitance, "", "", 0.1), c.k/math.Pow(0.1+c.d0, 2), 3)
	for _, name := range []string{HandStrength, HandOffset} {
		if e := r.Find(name, "", "", 0); e.Determined && !e.HeldByPrior() {
			t.Errorf("%s = %v ± %v from one distance", name, e.Value, e.Uncertainty)
		}
	}
	if e := r.Find(HandOffset, "", "", 0); e.Determined {
		t.Errorf("offset %v ± %v from one distance", e.Value, e.Uncertainty)
	}
	found := false
	for _, g := range r.Undetermined {
		found = found || g.What == GapHandLaw && g.Advice == ReadMoreDistances
	}
	if !found {
		t.Errorf("gaps %+v", r.Undetermined)
	}
}

// Many distances, read well, give the law; the readings' own exponent wins over
// the belief in the inverse square.
func TestHandLawFromManyDistances(t *testing.T) {
	c := lighthouse()
	for _, p := range []float64{2, 1.5} {
		c.p = p
		c.k = 2.6e-15 * math.Pow(0.145, p-2)
		rng := rand.New(rand.NewPCG(9, 2))
		steps := []step{added(), added(), added(4.7), added(10)}
		for _, d := range []float64{0.03, 0.05, 0.08, 0.12, 0.2, 0.3, 0.5} {
			steps = append(steps, added().near(d), added().near(d))
		}
		r := mustFit(t, idealBench(Session{Log: c.session(rng, 1e-5, 0, steps...)}))
		e := r.Find(HandExponent, "", "", 0)
		near(t, e, p, 3)
		if e.Uncertainty > 0.1 || e.HeldByPrior() {
			t.Errorf("exponent %v ± %v, %+v", e.Value, e.Uncertainty, e.Budget)
		}
		near(t, r.Find(HandOffset, "", "", 0), c.d0, 3)
		near(t, r.Find(HandStrength, "", "", 0), c.k, 3)
	}
}

// The gradient of every reported quantity against central differences.
func TestGradientsOfQuantities(t *testing.T) {
	c := lighthouse()
	rng := rand.New(rand.NewPCG(9, 3))
	r := mustFit(t, Session{Log: c.session(rng, 1e-4, 0.02, append(fullSession(), added(4.7).rod(0.4).near(0.15))...)})
	f, x := r.problem.forward, r.fit.X
	parameters, derived := quantities(f)
	grad := make([]float64, f.n)
	for _, q := range append(parameters, derived...) {
		v := q.value(f, x, grad)
		got := append([]float64(nil), grad...)
		for i := range x {
			at := func(h float64) float64 {
				old := x[i]
				x[i] += h
				v := q.value(f, x, grad)
				x[i] = old
				return v
			}
			const h = 1e-4
			want := (8*(at(h)-at(-h)) - at(2*h) + at(-2*h)) / (12 * h)
			close := 2e-6
			if q.name == InductanceWithCore && i == f.cores[0].at { // leaves out how coupling hangs on the gain
				close = 0.004
			}
			if math.Abs(got[i]-want) > close*math.Abs(v) {
				t.Errorf("%s %s %s %v: ∂/∂x[%d] = %v, central difference %v", q.name, q.core, q.part, q.hand, i, got[i], want)
			}
		}
	}
	states := []State{{Parts: []int{0, 1}, Core: "rod", From: 0.2, To: 0.7, Hand: 0.12}, {Hand: 0.3}, {Core: "rod", To: 1, Hand: math.Inf(1), Exact: 1e-12}}
	for _, s := range states {
		f.frequency(x, &s, grad)
		got := append([]float64(nil), grad...)
		for i := range x {
			at := func(h float64) float64 {
				old := x[i]
				x[i] += h
				v := math.Log(f.frequency(x, &s, nil))
				x[i] = old
				return v
			}
			const h = 1e-4
			want := (8*(at(h)-at(-h)) - at(2*h) + at(-2*h)) / (12 * h)
			if math.Abs(got[i]-want) > 1e-6*math.Abs(want)+1e-12 {
				t.Errorf("state %+v: ∂ln f/∂x[%d] = %v, central difference %v", s, i, got[i], want)
			}
		}
	}
}
