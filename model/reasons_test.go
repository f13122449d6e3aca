package model

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Candidates are all that could be put together from what the log and the drawer
// hold; a hand is held out only where the measurand is about one.
func TestCandidatesAreCombinations(t *testing.T) {
	c := simulated.Lighthouse()
	log := c.Session(rand.New(rand.NewPCG(55, 1)), 3e-4, 0.02,
		simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(simulated.Spike), simulated.Added().Rod(1), simulated.Added().Near(0.1), simulated.Added().Near(0.2))
	r := mustFit(t, estimation.Session{Log: log})
	extra := []readings.Part{{Capacitance: 10e-12, Uncertainty: 0.1e-12, Known: true}}
	// Nothing, an empty clip, four parts, and the three pairs of those with a value.
	const tops = 1 + 1 + 4 + 3
	for _, k := range []struct {
		measurand  decisions.Measurand
		conditions int
	}{
		{decisions.Measurand{Key: quantities.Key{Name: quantities.Inductance}, State: readings.Bare()}, 2},            // air, rod
		{decisions.Measurand{Key: quantities.Key{Name: "hand_exponent"}, State: readings.Bare()}, 5},                  // and a hand at 0.1, 0.2 and twice that
		{decisions.Measurand{Key: quantities.Key{Name: "frequency"}, State: readings.State{Hand: 0.3}}, 5},            // the same
		{decisions.Measurand{Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}, State: readings.Bare()}, 2}, // no hand
		{decisions.Measurand{Key: quantities.Key{Name: "frequency"}, State: readings.State{Hand: math.Inf(1)}}, 2},    // no hand
	} {
		list := slices.DeleteFunc(decisions.Candidates(r.Result, k.measurand, decisions.Bench{Parts: extra}), func(c decisions.Candidate) bool { return c.Kind != decisions.ReadState })
		if len(list) != tops*k.conditions {
			t.Errorf("%+v: %d candidates, want %d", k.measurand, len(list), tops*k.conditions)
		}
		farthest := 0.0
		for i := range list {
			s := &list[i].State
			farthest = math.Max(farthest, s.Nearness())
			for j := range i {
				if readings.Same(s, &list[j].State) {
					t.Errorf("%+v: candidates %d and %d are one state", k.measurand, i, j)
				}
			}
		}
		if want := 0.4 * float64(k.conditions/5); farthest != want {
			t.Errorf("%+v: hands out to %v, want %v", k.measurand, farthest, want)
		}
	}
}

// Each suggestion says why: the state asked for, one read already, more on the
// top than ever, a part not read yet, two parts not read together.
func TestSuggestionsSayWhy(t *testing.T) {
	c := simulated.Lighthouse()
	log := c.Session(rand.New(rand.NewPCG(55, 2)), 3e-4, 0.02, simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(2.2), simulated.Added(10).Rod(1), simulated.Added(4.7).Rod(1))
	r := mustFit(t, idealBench(estimation.Session{Log: log}))
	extra := []readings.Part{{Name: "8.2 pF", Capacitance: 8.2e-12, Uncertainty: 0.02e-12, Known: true}, {Name: "33 pF", Capacitance: 33e-12, Uncertainty: 0.3e-12, Known: true}}
	state := func(parts ...int) readings.State { s := readings.Bare(); s.Parts = parts; return s }
	pair := state(1, 0)
	for _, k := range []struct {
		what      string
		measurand decisions.Measurand
		s         readings.State
		want      decisions.Reason
	}{
		{"asked for", decisions.Measurand{Key: quantities.Key{Name: "frequency"}, State: state(0, 1)}, pair, decisions.ReasonDirect},
		{"read", decisions.Measurand{Key: quantities.Key{Name: quantities.BareFrequency}, State: readings.Bare()}, readings.Bare(), decisions.ReasonRepeat},
		{"hardly of use", decisions.Measurand{Key: quantities.Key{Name: quantities.Inductance}, State: readings.Bare()}, state(2), decisions.ReasonNothing},
		{"largest", decisions.Measurand{Key: quantities.Key{Name: quantities.Inductance}, State: readings.Bare()}, state(4), decisions.ReasonRange},
		{"new part", decisions.Measurand{Key: quantities.Key{Name: quantities.Inductance}, State: readings.Bare()}, state(3), decisions.ReasonNewPart},
		{"together", decisions.Measurand{Key: quantities.Key{Name: quantities.Inductance}, State: readings.Bare()}, pair, decisions.ReasonCombination},
	} {
		plan := decisions.Next(r.Result, k.measurand, []decisions.Candidate{{State: k.s}}, extra, 1)
		if plan.Unknown || len(plan.Ranked) != 1 {
			t.Fatalf("%s: %+v", k.what, plan)
		}
		if s := plan.Ranked[0]; s.Reason != k.want || !(s.After.Uncertainty < s.Before.Uncertainty) {
			t.Errorf("%s: reason %d, want %d; ± %v before, %v after", k.what, s.Reason, k.want, s.Before.Uncertainty, s.After.Uncertainty)
		}
	}
	for _, measurand := range []decisions.Measurand{{Key: quantities.Key{Name: quantities.CoreGain, Core: "tube"}, State: readings.Bare()}, {Key: quantities.Key{Name: "colour"}, State: readings.Bare()}, {Key: quantities.Key{Name: "frequency"}, State: readings.State{Parts: []int{5}, Hand: math.Inf(1)}}} {
		if plan := decisions.Next(r.Result, measurand, []decisions.Candidate{{State: readings.Bare()}}, append(extra, readings.Part{Name: "roof"}), 1); !plan.Unknown {
			t.Errorf("%+v: %+v", measurand, plan)
		}
	}
}
