package model

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
)

// Where the model is straight within the uncertainties, Monte Carlo and the linear law
// agree on all quantities, and the intervals are validated.
func TestMonteCarloAgreesWithTheLinearLaw(t *testing.T) {
	r := mustFit(t, budgetSessions()["straight"])
	m := r.MonteCarlo(fit.Trials{Most: 10_000, Seed: 1, Workers: 2})
	if m.Failed > 0 || m.Trials != 10_000 {
		t.Errorf("%d trials, %d failed", m.Trials, m.Failed)
	}
	for _, q := range m.Quantities {
		wide := 1.0 // standard deviation of the scaled t distribution that the degrees of freedom make
		if nu := q.Degrees; nu > 2 && !math.IsInf(nu, 1) {
			wide = math.Sqrt(nu / (nu - 2))
		}
		room, off := 0.10, 0.15
		if q.Name == quantities.HandStrength { // carried to one metre by the law's exponent, which isn't straight: a lognormal of this width is off by u/2 of it
			room, off = 0.15, 0.12+q.Uncertainty/q.Value/2
		}
		if ratio := q.Deviation / q.Uncertainty / wide; !(math.Abs(ratio-1) < room) || !(math.Abs(q.Mean-q.Value) < off*q.Uncertainty) {
			t.Errorf("%v: %g ± %g, by Monte Carlo %g ± %g", q.Key, q.Value, q.Uncertainty, q.Mean, q.Deviation)
		}
	}
	if len(m.Quantities) < 12 {
		t.Errorf("only %d quantities", len(m.Quantities))
	}
}

// Trials are the same whatever the number of workers.
func TestMonteCarloIsReproducible(t *testing.T) {
	r := mustFit(t, budgetSessions()["plain"])
	one := r.MonteCarlo(fit.Trials{Most: 500, Seed: 3, Workers: 1})
	three := r.MonteCarlo(fit.Trials{Most: 500, Seed: 3, Workers: 3})
	for i := range one.Quantities {
		a, b := one.Quantities[i], three.Quantities[i]
		if a.Mean != b.Mean || a.Shortest != b.Shortest {
			t.Errorf("%v: %v and %v", a.Key, a.Mean, b.Mean)
		}
	}
}

func BenchmarkMonteCarlo10000(b *testing.B) {
	r := must.Get(Fit(budgetSessions()["straight"])).In(b)
	for b.Loop() {
		r.MonteCarlo(fit.Trials{Most: 10_000, Seed: 1, Workers: 2})
	}
}

// A tolerance said to be rectangular is drawn so: with nothing that checks it, 95 % of the trials
// lie within ± 0.95 of the bound, 1.645 u, where a normal one has 1.96 u.
func TestRectangularTolerance(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(95, 1)), 1e-5, 0, simulated.Added(), simulated.Added(4.7), simulated.Added(22), simulated.Added())
	for i := range log.Parts {
		p := &log.Parts[i]
		p.Uncertainty = 0.05 / math.Sqrt(3) * p.Capacitance
		p.Lot, p.Common = "all", 1 // they err alike, so that no part checks the other
	}
	half := func(rectangular bool) float64 {
		s := estimation.Session{Log: log}
		s.Log.Parts = slices.Clone(log.Parts)
		for i := range s.Log.Parts {
			s.Log.Parts[i].Rectangular = rectangular
		}
		m := mustFit(t, s).MonteCarlo(fit.Trials{Most: 5000, Seed: 1, Workers: 2})
		for _, q := range m.Quantities {
			if q.Name == quantities.PartCapacitance {
				return (q.Symmetric[1] - q.Symmetric[0]) / 2 / q.Uncertainty
			}
		}
		t.Fatal("no part")
		return 0
	}
	if flat, bell := half(true), half(false); !(math.Abs(flat/(0.95*math.Sqrt(3))-1) <= 0.02) || !(math.Abs(bell/1.96-1) <= 0.05) {
		t.Errorf("95 %% of trials within %.3f u of a rectangular tolerance, %.3f u of a normal one; want %.3f and 1.960", flat, bell, 0.95*math.Sqrt(3))
	}
}
