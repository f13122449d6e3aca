package decisions

import (
	"math"
	"testing"

	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Of candidates of equal worth the one with least to set up comes first, of the best as of those
// further down; what is worth more comes before what is easier.
func TestRankPrefersTheSimple(t *testing.T) {
	make := func(u float64, s readings.State) Suggestion {
		return Suggestion{Candidate: Candidate{State: s}, After: quantities.Estimate{Value: 1, Uncertainty: u, Determined: !math.IsNaN(u)}}
	}
	hand, pair, one := readings.Bare(), readings.Bare(), readings.Bare()
	hand.Hand, hand.Parts = 0.1, []int{0, 1}
	pair.Parts, one.Parts = []int{0, 1}, []int{0}
	list := []Suggestion{make(math.NaN(), readings.Bare()), make(0.0101, hand), make(0.0100, pair), make(0.0102, one), make(0.0103, readings.Bare()), make(0.0203, one), make(0.02, pair), make(0.0201, hand)} // the bare coil is equal to the third, not to the best
	rank(list)
	for i, want := range []readings.State{one, pair, hand, readings.Bare(), one, pair, hand, readings.Bare()} {
		if !readings.Same(&list[i].State, &want) {
			t.Errorf("place %d: %+v, want %+v", i, list[i].State, want)
		}
	}
	if list[7].After.Determined {
		t.Error("what determines nothing isn't last")
	}
}

// A range of new capacitors is all around the best that comes within a tenth of it, and tells
// what the worst of them does, be it at either end.
func TestRangeTellsItsWorst(t *testing.T) {
	for _, c := range []struct {
		u                 []float64
		from, to          float64
		worst             float64
		determined, whole bool
	}{
		{[]float64{0.02, 0.0104, 0.01, 0.0105, 0.0109, 0.0112}, 2, 5, 0.0109, true, true},
		{[]float64{0.0108, 0.01, 0.0105, 0.02}, 1, 3, 0.0108, true, true},
		{[]float64{0.02, 0.01, 0.02}, 2, 2, 0.01, true, true},
		{[]float64{0.02, 0.0105, 0.02, 0.0100}, 4, 4, 0.01, true, true}, // what comes between is too bad
		{[]float64{0, 0, 0}, 2, 2, 0, false, false},
	} {
		var list []Suggestion
		for i, u := range c.u {
			pF := float64(i + 1)
			list = append(list, Suggestion{Candidate: Candidate{Kind: ReadNew, New: [2]float64{pF, pF}}, After: quantities.Estimate{Value: -1, Uncertainty: u, Determined: u > 0}})
		}
		got, ok := joined(list)
		if ok != c.whole || got.New != [2]float64{c.from, c.to} || got.After.Uncertainty != c.worst || got.After.Determined != c.determined {
			t.Errorf("%v: from %v, ± %v, %v", c.u, got.New, got.After.Uncertainty, ok)
		}
	}
}
