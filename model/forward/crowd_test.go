package forward

import (
	"slices"
	"testing"

	"fitcoil/internal/near"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// crowd is everything with more: parts in all, each of most read alone, so that these are eliminated, and a
// hand at four distances, so that its law errs at each.
func crowd() point {
	log := everything()
	list := states()
	for i := len(log.Parts); i < 30; i++ {
		part := readings.Part{Name: string(rune('A' + i)), Capacitance: float64(i) * 1e-12, Uncertainty: float64(i%7+1) * 0.03e-12, Known: true}
		if i%5 == 0 {
			part.Lot, part.Common = "kit", 0.36
		}
		log.Parts = append(log.Parts, part)
		s := readings.Bare()
		s.Parts = []int{i}
		list = append(list, s)
	}
	for _, d := range []float64{0.05, 0.8} { // the geometric mean stays 0.2 m
		s := readings.Bare()
		s.Hand = d
		list = append(list, s)
	}
	for _, s := range list[len(states()):] {
		log.Readings = append(log.Readings, readings.Reading{State: s, Use: true, Frequency: 1e6, Uncertainty: 100})
	}
	f := New(log, &resonator.Line{}, false, nil, Earlier{Benches: 1}, nil)
	x := pointOf(f)
	for i, o := range f.Near {
		x[o.At] = 0.7 - 0.6*float64(i)
	}
	return point{f, x, list}
}

// Of many parts those that no reading shares come last, each told as a part; the law of a hand errs at each of more
// than three distances. A part that only a further state has is among the last too.
func TestUnknownsOfACrowd(t *testing.T) {
	c := crowd()
	f := c.f
	if len(f.Near) != 4 || !slices.Equal(f.Distances, []float64{0.05, 0.1, 0.4, 0.8}) {
		t.Errorf("errors of the law %v, distances %v", f.Near, f.Distances)
	}
	near.Times(t, "scale", f.HandScale, 0.2, 1e-12)
	var last []int
	for p, k := range f.PartAt {
		if k >= f.Common() {
			last = append(last, p)
		}
	}
	// 4.7 stands beside 10 in one reading, exact beside spike: of the pairs the one of fewer neighbours is eliminated.
	if want := append([]int{0, 3, 4}, slices.Collect(func(yield func(int) bool) {
		for p := 6; p < 30 && yield(p); p++ {
		}
	})...); f.Owned != len(last) || !slices.Equal(last, want) {
		t.Errorf("%d eliminated: %v, want %v", f.Owned, last, want)
	}
	parameters, _ := Quantities(f)
	var told []string
	for _, q := range parameters {
		if q.Name == quantities.PartCapacitance {
			told = append(told, q.Part)
		}
	}
	if want := len(f.Parts) - 2; len(told) != want || told[want-1] != f.Parts[29].Name || told[0] != "4.7" {
		t.Errorf("told are %d parts, %v, want %d", len(told), told, want)
	}
	log := everything()
	for len(log.Parts) < 30 {
		log.Parts = append(log.Parts, readings.Part{Name: "further", Capacitance: 1e-12, Uncertainty: 1e-14, Known: true})
	}
	for p := range log.Parts {
		s := readings.Bare()
		if s.Parts = []int{p}; p != 29 {
			log.Readings = append(log.Readings, readings.Reading{State: s, Use: true, Frequency: 1e6, Uncertainty: 100})
		}
	}
	further := readings.Bare()
	further.Parts = []int{29}
	if u := newUnknowns(log, &resonator.Line{}, false, nil, Earlier{}, []readings.State{further}); u.PartAt[29] != u.N-1 || u.Owned == 0 || u.PartAt[29] < u.Common() {
		t.Errorf("the further part stands at %d of %d, %d eliminated", u.PartAt[29], u.N, u.Owned)
	}
}
