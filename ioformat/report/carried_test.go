package report

import (
	"reflect"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// What a later session goes on with is what this one was told: each word, number and yes or no in its place, the others empty.
func TestCarriedSessionAsTold(t *testing.T) {
	value := func(v float64) *float64 { return &v }
	for _, c := range []struct {
		part readings.Part
		want CarriedPart
	}{
		{readings.Part{Name: "a", Capacitance: 2e-12, Uncertainty: 3e-14, Known: true}, CarriedPart{Name: "a", Capacitance: value(2e-12), Uncertainty: 3e-14}},
		{readings.Part{Name: "a", Capacitance: 2e-12, Uncertainty: 3e-14}, CarriedPart{Name: "a"}},
		{readings.Part{Name: "b", Lot: "box"}, CarriedPart{Name: "b", Lot: "box"}},
		{readings.Part{Name: "b", Common: 0.25}, CarriedPart{Name: "b", Common: 0.25}},
		{readings.Part{Name: "b", Default: true}, CarriedPart{Name: "b", Default: true}},
		{readings.Part{Name: "b", Rectangular: true}, CarriedPart{Name: "b", Rectangular: true}},
	} {
		e := estimation.Earlier{Parts: []readings.Part{c.part}}
		if got := carriedSession(&e).Parts; !reflect.DeepEqual(got, []CarriedPart{c.want}) {
			t.Errorf("%+v: %+v, want %+v", c.part, got, c.want)
		}
	}
	state := func(set func(s *readings.State)) readings.State {
		s := readings.Bare()
		set(&s)
		return s
	}
	parts := []readings.Part{{Name: "a"}, {Name: "b"}}
	for _, c := range []struct {
		state readings.State
		want  CarriedReading
	}{
		{readings.Bare(), CarriedReading{Added: []string{}}},
		{state(func(s *readings.State) { s.Clip = true }), CarriedReading{Added: []string{}, Clip: true}},
		{state(func(s *readings.State) { s.Parts = []int{1} }), CarriedReading{Added: []string{"b"}}},
		{state(func(s *readings.State) { s.Parts = []int{0, 1} }), CarriedReading{Added: []string{"a", "b"}}},
		{state(func(s *readings.State) { s.Core, s.From, s.To = "rod", 0.25, 0.75 }), CarriedReading{Added: []string{}, Core: "rod", Covered: &[2]float64{0.25, 0.75}}},
		{state(func(s *readings.State) { s.Hand = 0.2 }), CarriedReading{Added: []string{}, Hand: value(0.2)}},
	} {
		e := estimation.Earlier{Parts: parts, States: []readings.State{c.state, readings.Bare()}, Hertz: []float64{2e6, 1e6}, Relative: []float64{1e-4, 2e-4}}
		c.want.Frequency, c.want.Relative = 2e6, 1e-4
		if got := carriedSession(&e).Readings; !reflect.DeepEqual(got, []CarriedReading{c.want, {Added: []string{}, Frequency: 1e6, Relative: 2e-4}}) {
			t.Errorf("%+v: %+v, want %+v", c.state, got, c.want)
		}
	}
	e := estimation.Earlier{Log: "monday.csv", SHA256: "ab12", Bench: 3, Scale: 1.5, Checked: 2.5, Squares: 7.5, Freedom: 4.5, Shared: [][]float64{{1, 2}, {3, 4}}}
	want := CarriedSession{Log: "monday.csv", SHA256: "ab12", Bench: 3, Scale: 1.5, Checked: 2.5, Squares: 7.5, Freedom: 4.5, Shared: [][]float64{{1, 2}, {3, 4}}, Parts: []CarriedPart{}, Readings: []CarriedReading{}}
	if got := carriedSession(&e); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
	r := mustFit(t, estimation.Session{Log: log(0, 4.7)})
	j := carried(r, Source{Log: "friday.csv", SHA256: "cd34"})
	if last := j.Sessions[len(j.Sessions)-1]; last.Log != "friday.csv" || last.SHA256 != "cd34" {
		t.Errorf("%+v", last)
	}
	of := log(0, 4.7)
	in := of.Readings[0]
	in.State.Core, in.State.To, in.Frequency, in.Line = "rod", 1, in.Frequency*0.7, 4
	of.Readings = append(of.Readings, in)
	gain := quantities.Known{Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}, Value: 2, Uncertainty: 0.125}
	if got, want := carried(mustFit(t, estimation.Session{Log: of, Known: []quantities.Known{gain}}), Source{}).Known, []CarriedKnown{{quantities.CoreGain, "rod", 2, 0.125}}; !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
}
