package forward

import (
	"math/rand/v2"
	"testing"

	"fitcoil/model/internal/simulated"
	"fitcoil/model/resonator"
)

// Parts that no reading shares are all eliminated; of a chain, every second one.
func TestWhichPartsAreEliminated(t *testing.T) {
	var alone, chain []simulated.Step
	for i := range 60 {
		c := 1 + float64(i)/7
		alone = append(alone, simulated.Added(c))
		chain = append(chain, simulated.Added(c, 1+float64(i+1)/7))
	}
	for name, c := range map[string]struct {
		steps []simulated.Step
		want  int
	}{"alone": {alone, 60}, "chain": {chain, 30}, "few": {alone[:manyParts-1], 0}} {
		log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(1, 1)), 3e-4, 0.01, c.steps...)
		u := newUnknowns(&log, &resonator.Line{}, false, nil, Earlier{}, nil)
		if u.Owned < c.want || u.Owned > c.want+1 {
			t.Errorf("%s: %d parts are eliminated, want %d", name, u.Owned, c.want)
		}
		for i := range log.Readings {
			n := 0
			for _, p := range log.Readings[i].Parts {
				if u.PartAt[p] >= u.Common() {
					n++
				}
			}
			if n > 1 {
				t.Errorf("%s: reading %d has %d eliminated parts", name, i, n)
			}
		}
	}
}
