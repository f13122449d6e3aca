package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/forward"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// With one distance only the hand's effect there is known, not its law.
func TestOneHandDistance(t *testing.T) {
	c := simulated.Lighthouse()
	rng := rand.New(rand.NewPCG(9, 1))
	r := mustFit(t, estimation.Session{Log: c.Session(rng, 1e-4, 0, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added().Near(0.1), simulated.Added().Near(0.1))})
	hand := readings.Bare()
	hand.Hand = 0.1
	near(t, r.Find(quantities.Key{Name: quantities.HandFrequencyDrop, Hand: 0.1}), c.Frequency(readings.Bare(), nil)-c.Frequency(hand, nil), 3)
	near(t, r.Find(quantities.Key{Name: quantities.HandCapacitance, Hand: 0.1}), c.K/math.Pow(0.1+c.D0, 2), 3)
	for _, name := range []string{quantities.HandStrength, quantities.HandOffset} {
		if e := r.Find(quantities.Key{Name: name}); e.Determined && !e.MostlyPrior() {
			t.Errorf("%s = %v ± %v from one distance", name, e.Value, e.Uncertainty)
		}
	}
	if e := r.Find(quantities.Key{Name: quantities.HandOffset}); e.Determined {
		t.Errorf("offset %v ± %v from one distance", e.Value, e.Uncertainty)
	}
	found := false
	for _, g := range r.Undetermined {
		found = found || g.What == findings.GapHandLaw && g.Advice == findings.ReadMoreDistances
	}
	if !found {
		t.Errorf("gaps %+v", r.Undetermined)
	}
}

// Many distances, read well, give the law; the readings' own exponent wins over
// the belief in the inverse square.
func TestHandLawFromManyDistances(t *testing.T) {
	c := simulated.Lighthouse()
	for _, p := range []float64{2, 1.5} {
		c.P = p
		c.K = 2.6e-15 * math.Pow(0.145, p-2)
		rng := rand.New(rand.NewPCG(9, 2))
		steps := []simulated.Step{simulated.Added(), simulated.Added(), simulated.Added(4.7), simulated.Added(10)}
		for _, d := range []float64{0.03, 0.05, 0.08, 0.12, 0.2, 0.3, 0.5} {
			steps = append(steps, simulated.Added().Near(d), simulated.Added().Near(d))
		}
		r := mustFit(t, idealBench(estimation.Session{Log: c.Session(rng, 1e-5, 0, steps...)}))
		e := r.Find(quantities.Key{Name: quantities.HandExponent})
		near(t, e, p, 3)
		if e.Uncertainty > 0.1 || e.MostlyPrior() {
			t.Errorf("exponent %v ± %v, %+v", e.Value, e.Uncertainty, e.Budget)
		}
		near(t, r.Find(quantities.Key{Name: quantities.HandOffset}), c.D0, 3)
		near(t, r.Find(quantities.Key{Name: quantities.HandStrength}), c.K, 3)
	}
}

// The gradient of every reported quantity against central differences.
func TestGradientsOfQuantities(t *testing.T) {
	c := simulated.Lighthouse()
	rng := rand.New(rand.NewPCG(9, 3))
	r := mustFit(t, estimation.Session{Log: c.Session(rng, 1e-4, 0.02, append(simulated.FullSession(), simulated.Added(4.7).Rod(0.4).Near(0.15))...)})
	f, x := r.Problem.Model, r.Solution.X
	parameters, derived := forward.Quantities(f)
	grad := make([]float64, f.N)
	for _, q := range append(parameters, derived...) {
		v := q.Value(f, x, grad)
		got := append([]float64(nil), grad...)
		for i := range x {
			at := func(h float64) float64 {
				old := x[i]
				x[i] += h
				v := q.Value(f, x, grad)
				x[i] = old
				return v
			}
			const h = 1e-4
			want := (8*(at(h)-at(-h)) - at(2*h) + at(-2*h)) / (12 * h)
			if !(math.Abs(got[i]-want) <= 2e-6*math.Abs(v)) {
				t.Errorf("%s %s %s %v: ∂/∂x[%d] = %v, central difference %v", q.Name, q.Core, q.Part, q.Hand, i, got[i], want)
			}
		}
	}
	states := []readings.State{{Parts: []int{0, 1}, Core: "rod", From: 0.2, To: 0.7, Hand: 0.12}, {Hand: 0.3}, {Core: "rod", To: 1, Hand: math.Inf(1), Exact: 1e-12}}
	for _, s := range states {
		f.Frequency(x, &s, grad)
		got := append([]float64(nil), grad...)
		for i := range x {
			at := func(h float64) float64 {
				old := x[i]
				x[i] += h
				v := math.Log(f.Frequency(x, &s, nil))
				x[i] = old
				return v
			}
			const h = 1e-4
			want := (8*(at(h)-at(-h)) - at(2*h) + at(-2*h)) / (12 * h)
			if !(math.Abs(got[i]-want) <= 1e-6*math.Abs(want)+1e-12) {
				t.Errorf("state %+v: ∂ln f/∂x[%d] = %v, central difference %v", s, i, got[i], want)
			}
		}
	}
}
