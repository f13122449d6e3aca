package estimation

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/internal/simulated"
)

// Readings of one state that follow each other, of unequal uncertainty, come to
// the same rows as each by itself.
func TestRepeatedStatesGiveTheSameRows(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(62, 1)), 3e-4, 0.02, simulated.Added(4.7), simulated.Added(4.7), simulated.Added(4.7), simulated.Added(10), simulated.Added(10), simulated.Added(), simulated.Added(4.7))
	for i := range log.Readings {
		log.Readings[i].Uncertainty *= 1 + float64(i)
	}
	p := must.Get(NewProblem(Session{Log: log})).In(t)
	x, n := p.Start(log), len(log.Readings)
	r, jac := make([]float64, n), make([]float64, n*p.N)
	p.Data.Evaluate(x, 0, r, jac)
	for i := range n {
		alone, slopes := make([]float64, 1), make([]float64, p.N)
		p.Data.Evaluate(x, i, alone, slopes)
		if r[i] != alone[0] {
			t.Errorf("row %d: residual %v, alone %v", i, r[i], alone[0])
		}
		for j, want := range slopes {
			if got := jac[i*p.N+j]; !(math.Abs(got-want) <= 1e-14*math.Abs(want)) {
				t.Errorf("row %d, unknown %d: derivative %v, alone %v", i, j, got, want)
			}
		}
	}
}
