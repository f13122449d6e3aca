package model

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Readings of one state that follow each other, of unequal uncertainty, come to
// the same rows as each by itself.
func TestRepeatedStatesGiveTheSameRows(t *testing.T) {
	log := lighthouse().session(rand.New(rand.NewPCG(62, 1)), 3e-4, 0.02, added(4.7), added(4.7), added(4.7), added(10), added(10), added(), added(4.7))
	for i := range log.Readings {
		log.Readings[i].Uncertainty *= 1 + float64(i)
	}
	p, err := newProblem(Session{Log: log})
	if err != nil {
		t.Fatal(err)
	}
	x, n := p.start(log), len(log.Readings)
	r, jac := make([]float64, n), make([]float64, n*p.n)
	p.Data.Evaluate(x, 0, r, jac)
	for i := range n {
		alone, slopes := make([]float64, 1), make([]float64, p.n)
		p.Data.Evaluate(x, i, alone, slopes)
		if r[i] != alone[0] {
			t.Errorf("row %d: residual %v, alone %v", i, r[i], alone[0])
		}
		for j, want := range slopes {
			if got := jac[i*p.n+j]; math.Abs(got-want) > 1e-14*math.Abs(want) {
				t.Errorf("row %d, unknown %d: derivative %v, alone %v", i, j, got, want)
			}
		}
	}
}
