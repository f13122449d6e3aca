package model

import (
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/internal/simulated"
)

// A session of some twenty readings with all that can be in it, from readings
// to the whole result.
func BenchmarkFit(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 1))
	steps := append(simulated.FullSession(), simulated.Added().Rod(0.5), simulated.Added().Near(0.4), simulated.Added(10).Near(0.2), simulated.Added(2.2).Rod(1), simulated.Added(), simulated.Added().Rod(1))
	log := simulated.Lighthouse().Session(rng, 3e-4, 0.02, steps...)
	for b.Loop() {
		must.Get(Fit(estimation.Session{Log: log})).In(b)
	}
}

// The same, from readings to the unknowns and their triangle.
func BenchmarkSolve(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 1))
	log := simulated.Lighthouse().Session(rng, 3e-4, 0.02, simulated.FullSession()...)
	s := estimation.Session{Log: log}
	for b.Loop() {
		p := must.Get(estimation.NewProblem(s)).In(b)
		if _, _, err := p.Solve(p.Start(log), true, estimation.SolverSettings(s)); err != nil {
			b.Fatal(err)
		}
	}
}

// One row of the Jacobian: a resonance and its sensitivities.
func BenchmarkJacobianRow(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 1))
	log := simulated.Lighthouse().Session(rng, 3e-4, 0.02, simulated.FullSession()...)
	p := must.Get(estimation.NewProblem(estimation.Session{Log: log})).In(b)
	x := p.Start(log)
	r, jac := make([]float64, 1), make([]float64, p.N)
	for b.Loop() {
		p.Data.Evaluate(x, 3, r, jac)
	}
}

// The same session with the coupled ladder of a drawing with beads.
func BenchmarkFitLadder(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 1))
	steps := append(simulated.FullSession(), simulated.Added().Rod(0.5), simulated.Added().Near(0.4), simulated.Added(10).Near(0.2), simulated.Added(2.2).Rod(1), simulated.Added(), simulated.Added().Rod(1))
	log := simulated.Lighthouse().Session(rng, 3e-4, 0.02, steps...)
	drawing := drawing.Drawing{Core: "rod", Coil: field.Coil{Turns: 640, Diameter: 28.3e-3, Length: 0.24, Wire: 0.32e-3, Ball: 18e-3,
		Beads: field.Beads{Diameter: 14e-3, Length: 10e-3, Spacing: 6e-3, Count: 15, Permeability: 120}}}
	drawn := must.Get(drawing.Predict()).In(b)
	for b.Loop() {
		ladder := must.Get(drawing.Ladder()).In(b)
		must.Get(Fit(estimation.Session{Log: log, Ladder: ladder, Drawn: drawn})).In(b)
	}
}

// The solution of twenty readings with the coupled ladder of the demo coil: what a fit
// with a coil sheet takes beside computing the drawing.
func BenchmarkSolveLadder(b *testing.B) {
	d := sketch()
	d.Coil.Slices = 0 // as many as a sheet gets
	steps := append(simulated.FullSession(), simulated.Added().Rod(0.5), simulated.Added().Near(0.4), simulated.Added(10).Near(0.2), simulated.Added(2.2).Rod(1), simulated.Added(), simulated.Added().Rod(1))
	s := asDrawn(b, mustDraw(b, d), 0.4e-12, 1, steps...)
	b.ReportMetric(float64(len(steps)), "readings")
	for b.Loop() {
		p := must.Get(estimation.NewProblem(s)).In(b)
		e, err := p.Enlarge(p.Start(s.Log), estimation.SolverSettings(s))
		if err != nil || !e.Status.Converged() {
			b.Fatal(e.Status, err)
		}
	}
}

// A log with a slip in it is fitted again and again to find where.
func BenchmarkFitContradictory(b *testing.B) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(1, 5)), 2e-4, 0.025, simulated.FullSession()...)
	log.Readings[3].Frequency *= 1.03
	for b.Loop() {
		must.Get(Fit(estimation.Session{Log: log})).In(b)
	}
}
