package estimation

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/readings"
)

// The quick way to a frequency says of it what the long one does, however uncertain it is and wherever that
// comes from: of hands nearer and nearer, whose law priors or its own errors leave open, and of parts vaguer and vaguer.
func TestSpreadIsThatOfTheFrequency(t *testing.T) {
	steps := []simulated.Step{simulated.Added(), simulated.Added(10), simulated.Added(22), simulated.Added().Near(0.2), simulated.Added().Near(0.1)}
	sure, open, vague := 0, 0, 0
	for _, n := range []int{3, 4, 5} {
		log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(63, 5)), 1e-5, 0.001, steps[:n]...)
		var states []readings.State
		add := func(parts []int, hand float64) {
			s := readings.Bare()
			s.Parts, s.Hand = parts, hand
			states = append(states, s)
		}
		for i, u := range []float64{0.1, 0.4, 0.6, 1.2, 3} {
			if n == 3 {
				add([]int{len(log.Parts)}, math.Inf(1))
				log.Parts = append(log.Parts, readings.Part{Name: "vague", Capacitance: 100e-12, Uncertainty: u * 100e-12, Known: true})
			} else {
				add(nil, []float64{1e-4, 1e-3, 0.01, 0.03, 0.4}[i])
			}
		}
		r := must.Get(Fit(Session{Log: log, Known: still})).In(t)
		for i, s := range states {
			e := r.Frequency(s, nil)
			hz, u, ok := r.Spread(s)
			switch {
			case ok != e.Determined:
				t.Errorf("%d, state %d: %v Hz ± %v, %v, and %+v", n, i, hz, u, ok, e)
			case !ok:
				open++
			default:
				near.Times(t, "value", hz, e.Value, 1e-9)
				near.Times(t, "uncertainty", u, e.Uncertainty, 1e-9)
				if sure++; u > 0.2*hz {
					vague++
				}
			}
		}
	}
	if sure == 0 || open == 0 || vague == 0 {
		t.Errorf("%d determined, %d of them hardly, %d not: the test needs all", sure, vague, open)
	}
}
