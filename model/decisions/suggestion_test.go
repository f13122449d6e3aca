package decisions

import (
	"math"
	"testing"

	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Of candidates of equal worth the one with least to set up comes first; what is
// worth more comes before what is easier.
func TestRankPrefersTheSimple(t *testing.T) {
	make := func(u float64, s readings.State) Suggestion {
		return Suggestion{Candidate: Candidate{State: s}, After: quantities.Estimate{Value: 1, Uncertainty: u, Determined: !math.IsNaN(u)}}
	}
	hand, pair, one := readings.Bare(), readings.Bare(), readings.Bare()
	hand.Hand, hand.Parts = 0.1, []int{0, 1}
	pair.Parts, one.Parts = []int{0, 1}, []int{0}
	list := []Suggestion{make(math.NaN(), readings.Bare()), make(0.0101, hand), make(0.0100, pair), make(0.0102, one), make(0.0110, readings.Bare())}
	rank(list)
	for i, want := range []readings.State{one, pair, hand, readings.Bare(), readings.Bare()} {
		if !readings.Same(&list[i].State, &want) {
			t.Errorf("place %d: %+v, want %+v", i, list[i].State, want)
		}
	}
	if list[4].After.Determined {
		t.Error("what determines nothing isn't last")
	}
}
