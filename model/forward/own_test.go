package forward

import (
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/model/internal/simulated"
	"fitcoil/model/readings"
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
	}{"alone": {alone, 60}, "chain": {chain, 30}, "few": {alone[:manyParts-1], 0}, "just": {alone[:manyParts], manyParts}} {
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

// Of two parts that one reading has, the one that is coupled to fewer others is eliminated, however
// often each is read; of two alike the first.
func TestLeastCoupledIsEliminated(t *testing.T) {
	log := readings.Log{}
	read := func(parts ...int) {
		s := readings.Bare()
		s.Parts = parts
		log.Readings = append(log.Readings, readings.Reading{State: s, Use: true, Frequency: 1e6, Uncertainty: 10})
	}
	for i := range manyParts + 6 {
		part := readings.Part{Name: string(rune('a' + i)), Capacitance: 1e-12, Uncertainty: 1e-14, Known: true}
		if i > 1 && i < 5 { // exact
			part.Uncertainty = 0
		}
		log.Parts = append(log.Parts, part)
		if i > 4 {
			read(i)
		}
	}
	read(0, 1)
	read(0, 2, 3)
	read(1, 4) // 0 stands beside three others, 1 beside two, in two readings each
	o := newOwnParts(&log)
	if o.chosen[0] || !o.chosen[1] || o.chosen[2] || !o.chosen[5] {
		t.Errorf("chosen %v", o.chosen)
	}
}

// A row of the fit by all unknowns: what is by its part of its own goes to that, and to none where it has none.
func TestSpreadOut(t *testing.T) {
	u := Unknowns{N: 5, Owned: 2}
	row := []float64{1, 2, 3, 4}
	for i, want := range [][]float64{{1, 2, 3, 0, 0}, {1, 2, 3, 4, 0}, {1, 2, 3, 0, 4}} {
		if got := u.SpreadOut(row, []int{-1, 0, 1}, i); !slices.Equal(got, want) {
			t.Errorf("row %d: %v, want %v", i, got, want)
		}
	}
	if got := u.SpreadOut(row, nil, 0); !slices.Equal(got, []float64{1, 2, 3, 0, 0}) {
		t.Errorf("of no parts: %v", got)
	}
}
