package model

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// Candidates are all that could be put together from what the log and the drawer
// hold; a hand is held out only where the wish is about one.
func TestCandidatesAreCombinations(t *testing.T) {
	c := lighthouse()
	log := c.session(rand.New(rand.NewPCG(55, 1)), 3e-4, 0.02,
		added(), added(2.2), added(4.7), added(spike), added().rod(1), added().near(0.1), added().near(0.2))
	r := mustFit(t, Session{Log: log})
	extra := []Part{{Capacitance: 10e-12, Uncertainty: 0.1e-12, Known: true}}
	// Nothing, an empty clip, four parts, and the three pairs of those with a value.
	const tops = 1 + 1 + 4 + 3
	for _, k := range []struct {
		wish       Wish
		conditions int
	}{
		{Wish{Name: Inductance, State: Bare()}, 2},                    // air, rod
		{Wish{Name: "hand_exponent", State: Bare()}, 5},               // and a hand at 0.1, 0.2 and twice that
		{Wish{Name: "frequency", State: State{Hand: 0.3}}, 5},         // the same
		{Wish{Name: CoreGain, Core: "rod", State: Bare()}, 2},         // no hand
		{Wish{Name: "frequency", State: State{Hand: math.Inf(1)}}, 2}, // no hand
	} {
		list := slices.DeleteFunc(r.Candidates(k.wish, Bench{Parts: extra}), func(c Candidate) bool { return c.Kind != ReadState })
		if len(list) != tops*k.conditions {
			t.Errorf("%+v: %d candidates, want %d", k.wish, len(list), tops*k.conditions)
		}
		farthest := 0.0
		for i := range list {
			s := &list[i].State
			farthest = math.Max(farthest, s.nearness())
			for j := range i {
				if same(s, &list[j].State) {
					t.Errorf("%+v: candidates %d and %d are one state", k.wish, i, j)
				}
			}
		}
		if want := 0.4 * float64(k.conditions/5); farthest != want {
			t.Errorf("%+v: hands out to %v, want %v", k.wish, farthest, want)
		}
	}
}

// Each suggestion says why: the state asked for, one read already, more on the
// top than ever, a part not read yet, two parts not read together.
func TestSuggestionsSayWhy(t *testing.T) {
	c := lighthouse()
	log := c.session(rand.New(rand.NewPCG(55, 2)), 3e-4, 0.02, added(), added(2.2), added(4.7), added(10), added(2.2), added(10).rod(1), added(4.7).rod(1))
	r := mustFit(t, idealBench(Session{Log: log}))
	extra := []Part{{Name: "8.2 pF", Capacitance: 8.2e-12, Uncertainty: 0.02e-12, Known: true}, {Name: "33 pF", Capacitance: 33e-12, Uncertainty: 0.3e-12, Known: true}}
	state := func(parts ...int) State { s := Bare(); s.Parts = parts; return s }
	pair := state(1, 0)
	for _, k := range []struct {
		what string
		wish Wish
		s    State
		want Reason
	}{
		{"asked for", Wish{Name: "frequency", State: state(0, 1)}, pair, ReasonDirect},
		{"read", Wish{Name: BareFrequency, State: Bare()}, Bare(), ReasonRepeat},
		{"hardly of use", Wish{Name: Inductance, State: Bare()}, state(2), ReasonNothing},
		{"largest", Wish{Name: Inductance, State: Bare()}, state(4), ReasonRange},
		{"new part", Wish{Name: Inductance, State: Bare()}, state(3), ReasonNewPart},
		{"together", Wish{Name: Inductance, State: Bare()}, pair, ReasonCombination},
	} {
		plan := r.Next(k.wish, []Candidate{{State: k.s}}, extra, 1)
		if plan.Unknown || len(plan.Ranked) != 1 {
			t.Fatalf("%s: %+v", k.what, plan)
		}
		if s := plan.Ranked[0]; s.Reason != k.want || !(s.After.Uncertainty < s.Before.Uncertainty) {
			t.Errorf("%s: reason %d, want %d; ± %v before, %v after", k.what, s.Reason, k.want, s.Before.Uncertainty, s.After.Uncertainty)
		}
	}
	for _, wish := range []Wish{{Name: CoreGain, Core: "tube", State: Bare()}, {Name: "colour", State: Bare()}, {Name: "frequency", State: State{Parts: []int{5}, Hand: math.Inf(1)}}} {
		if plan := r.Next(wish, []Candidate{{State: Bare()}}, append(extra, Part{Name: "roof"}), 1); !plan.Unknown {
			t.Errorf("%+v: %+v", wish, plan)
		}
	}
}

// Of candidates of equal worth the one with least to set up comes first; what is
// worth more comes before what is easier.
func TestRankPrefersTheSimple(t *testing.T) {
	make := func(u float64, s State) Suggestion {
		return Suggestion{Candidate: Candidate{State: s}, After: Estimate{Value: 1, Uncertainty: u, Determined: !math.IsNaN(u)}}
	}
	hand, pair, one := Bare(), Bare(), Bare()
	hand.Hand, hand.Parts = 0.1, []int{0, 1}
	pair.Parts, one.Parts = []int{0, 1}, []int{0}
	list := []Suggestion{make(math.NaN(), Bare()), make(0.0101, hand), make(0.0100, pair), make(0.0102, one), make(0.0110, Bare())}
	rank(list)
	for i, want := range []State{one, pair, hand, Bare(), Bare()} {
		if !same(&list[i].State, &want) {
			t.Errorf("place %d: %+v, want %+v", i, list[i].State, want)
		}
	}
	if list[4].After.Determined {
		t.Error("what determines nothing isn't last")
	}
}
