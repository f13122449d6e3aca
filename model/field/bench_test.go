package field

import (
	"testing"

	"fitcoil/internal/must"
)

// One state of a fit.
func BenchmarkResonate(b *testing.B) {
	l := newLadder(b, slim())
	s := State{Inductance: 1e-3, Capacitance: 5e-12, Top: 1e-12, Cores: []Stretch{{From: 0, To: 0.6, Gain: 2}}}
	var m Mode
	for b.Loop() {
		l.Resonate(s, &m)
	}
}

// What a fit needs once: the ladder, and a pattern for each place of a core.
func BenchmarkLadder(b *testing.B) {
	for b.Loop() {
		newLadder(b, slim())
	}
}

func BenchmarkPattern(b *testing.B) {
	l := newLadder(b, slim())
	for b.Loop() {
		must.Get(l.newPattern(span{from: 0, to: 0.6})).In(b)
	}
}

// The same with former, coating, a ring and a box.
func BenchmarkLadderInABox(b *testing.B) {
	for b.Loop() {
		newLadder(b, boxed().Shape())
	}
}

// boxed is the coil of the demo on its tube, coated, with metal around it and beads in it.
func boxed() Coil {
	c := tubed()
	c.Ball = 0.018
	c.Beads = Beads{Diameter: 16e-3, Length: 10e-3, Spacing: 4e-3, Count: 17, Start: 2e-3, Permeability: 120}
	c.Primary = Primary{Turns: 2, Diameter: 0.05, Height: 0.005, Spacing: 0.004, Wire: 0.001, Metal: Grounded}
	c.Metal = Metal{Ring: Ring{Diameter: 0.06, Thickness: 0.006, Height: 0.05, Floating: true}, Plate: Plate{Diameter: 0.1, Height: -0.01},
		Box: Box{Diameter: 0.12, Bottom: -0.03, Top: 0.3}}
	return c
}

func BenchmarkPatternInABox(b *testing.B) {
	l := newLadder(b, boxed().Shape())
	for b.Loop() {
		must.Get(l.newPattern(span{from: 0, to: 0.6})).In(b)
	}
}

// One coil with all of that.
func BenchmarkPredictInABox(b *testing.B) {
	c := boxed()
	for b.Loop() {
		must.Get(c.Predict()).In(b)
	}
}

// A fit of 20 rows with 8 places of the core: 6 steps.
func BenchmarkFit(b *testing.B) {
	for b.Loop() {
		l := newLadder(b, slim())
		var m Mode
		for range 6 {
			for row := range 20 {
				s := State{Inductance: 1e-3, Capacitance: 5e-12, Top: 1e-12}
				if row >= 4 {
					s.Cores = []Stretch{{From: 0, To: float64(1+row%8) / 8, Gain: 2}}
				}
				l.Resonate(s, &m)
			}
		}
	}
}

// One coil, with three hands.
func BenchmarkPredict(b *testing.B) {
	c := lighthouse()
	for b.Loop() {
		must.Get(c.Predict(0.05, 0.1, 0.2)).In(b)
	}
}

func BenchmarkPredictManyBeads(b *testing.B) {
	c := lighthouse()
	c.Beads = Beads{Diameter: 0.012, Length: 0.0018, Spacing: 0.0002, Start: 0.0001, Count: 110, Permeability: 125}
	for b.Loop() {
		must.Get(c.Predict()).In(b)
	}
}
