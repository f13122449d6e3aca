package findings

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/readings"
)

// The straight line 1/ω² against added capacitance has its ends where least and most were
// added: LC goes with f⁻², so that its relative uncertainty is twice the frequency's; parts
// bring theirs, and the lead of a clip where there is one.
func TestPlainEnds(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(211, 1)), 1e-4, 0.02, simulated.Added(4.7), simulated.Added(), simulated.Added(10, 22), simulated.Added(10), simulated.Added(4.7).Rod(1))
	r := must.Get(estimation.Fit(estimation.Session{Log: log})).In(t)
	least, most, ok := plainEnds(r)
	if !ok || least.added != 0 || least.addedU != 0 {
		t.Fatalf("least %+v, most %+v, %v", least, most, ok)
	}
	for i, e := range map[int]plainEnd{1: least, 2: most} {
		o := &log.Readings[i]
		if lc := math.Pow(2*math.Pi*o.Frequency, -2); !(math.Abs(e.lc/lc-1) <= 1e-12) || !(math.Abs(e.lcU/e.lc/(2*o.Uncertainty/o.Frequency)-1) <= 1e-12) {
			t.Errorf("row %d: %+v, want LC = %v", i, e, lc)
		}
	}
	var farad, u float64
	for _, k := range log.Readings[2].Parts {
		farad, u = farad+log.Parts[k].Capacitance, math.Hypot(u, log.Parts[k].Uncertainty)
	}
	if u = math.Hypot(u, forward.LeadSigma); !(math.Abs(most.added/farad-1) <= 1e-12) || !(math.Abs(most.addedU/u-1) <= 1e-12) {
		t.Errorf("most %+v, want %v ± %v", most, farad, u)
	}
}

// What was added exactly tells readings apart, and so it stands at the ends of the line; a core's reading is none of it,
// whatever is added there. Added capacitance alone makes the readings what they are where the least is more than none
// and the frequency falls by a fifth; parts that may be alike, by three of their uncertainties, have no line.
func TestEndsOfExactlyAdded(t *testing.T) {
	of := func(farad, hz float64, core string) readings.Reading {
		o := readings.Reading{State: readings.Bare(), Use: true, Frequency: hz, Uncertainty: 1e-4 * hz}
		if o.Exact = farad; core != "" {
			o.Core, o.To = core, 1
		}
		return o
	}
	for i, c := range []struct {
		list        []readings.Reading
		least, most float64
		much        bool
	}{
		{[]readings.Reading{of(2e-12, 2e6, ""), of(9e-12, 1.5e6, "")}, 2e-12, 9e-12, true}, {[]readings.Reading{of(9e-12, 1.5e6, ""), of(2e-12, 2e6, "")}, 2e-12, 9e-12, true},
		{[]readings.Reading{of(0, 2e6, ""), of(9e-12, 1.5e6, "")}, 0, 9e-12, false}, {[]readings.Reading{of(2e-12, 2e6, ""), of(9e-12, 1.7e6, "")}, 2e-12, 9e-12, false},
		{[]readings.Reading{of(2e-12, 2e6, ""), of(9e-12, 1.7e6, ""), of(20e-12, 1e6, "rod"), of(0, 1.4e6, "rod")}, 2e-12, 9e-12, false},
	} {
		r := problemOf(t, estimation.Session{Log: readings.Log{Readings: c.list}})
		least, most, ok := plainEnds(r)
		if !ok || least.added != c.least || most.added != c.most || addsMuch(r) != c.much || !addedDiffers(r) {
			t.Errorf("%d: %+v to %+v, much %v, differs %v", i, least, most, addsMuch(r), addedDiffers(r))
		}
	}
	for u, want := range map[float64]bool{0.2e-12: true, 0.3e-12: false} { // of parts that are 1 pF apart, the larger of which raises the frequency
		log := readings.Log{Readings: []readings.Reading{of(0, 1.5e6, ""), of(0, 2e6, "")}, Parts: []readings.Part{{Name: "a", Capacitance: 4e-12, Uncertainty: u, Known: true}, {Name: "b", Capacitance: 5e-12, Uncertainty: u, Known: true}}}
		log.Readings[0].Parts, log.Readings[1].Parts = []int{0}, []int{1}
		if farad, _, below := belowZero(problemOf(t, estimation.Session{Log: log})); below != want || want && !math.IsInf(farad, -1) {
			t.Errorf("± %v F: %v F, below zero %v", u, farad, below)
		}
	}
}
