package model

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// What a suggestion promises is what a fit with that reading added shows: over
// many simulated readings of the first, a middle and the last candidate.
func TestNextKeepsItsPromise(t *testing.T) {
	c := lighthouse()
	rng := rand.New(rand.NewPCG(41, 1))
	log := c.session(rng, 3e-4, 0.025, added(), added(2.2), added(4.7), added().rod(1), added(22), added(22).rod(1), added(4.7).rod(1))
	later := log.Readings[4:] // only their states are used
	log.Readings = log.Readings[:4]
	r := mustFit(t, idealBench(Session{Log: log}))
	for _, wish := range []Wish{{Name: Inductance, State: Bare()}, {Name: CoreGain, Core: "rod", State: Bare()}, {Name: "frequency", State: later[2].State}} {
		var candidates []Candidate
		for _, o := range append(later, log.Readings[1], log.Readings[3]) {
			candidates = append(candidates, Candidate{State: o.State})
		}
		plan := r.Next(wish, candidates, nil, 1)
		if plan.Unknown || len(plan.Ranked) != len(candidates) {
			t.Fatalf("%s: %+v", wish.Name, plan)
		}
		for i, s := range plan.Ranked {
			if i > 0 && s.worth() < plan.Ranked[i-1].worth()/(1+alike)-1e-12 {
				t.Errorf("%s: suggestion %d is better than the one before it", wish.Name, i)
			}
		}
		for _, i := range []int{0, 2, len(candidates) - 1} {
			s := plan.Ranked[i]
			// The fit's own prediction is the likeliest reading: the promise is
			// made for it, and the Birge ratio stays as it is.
			f := r.Predict(s.State, nil).Frequency.Value
			mean := 0.0
			const n = 40
			for range n {
				more := log
				more.Readings = append(append([]Reading(nil), log.Readings...), Reading{State: s.State, Use: true,
					Frequency: f * (1 + 3e-4*rng.NormFloat64()), Uncertainty: f * r.typicalUncertainty() / r.scatter.Scale})
				then := mustFit(t, idealBench(Session{Log: more}))
				var e Estimate
				if wish.Name == "frequency" {
					e = then.Predict(wish.State, nil).Frequency
				} else {
					e = *then.Find(wish.Name, wish.Core, "", 0)
				}
				mean += e.Stated / e.Value / n
			}
			promised := s.After.Stated / s.After.Value / r.scatter.Scale
			if r.scatter.Scale == 1 && math.Abs(mean/promised-1) > 0.05 {
				t.Errorf("%s, candidate %d (%+v): promised ± %.3g, came out ± %.3g", wish.Name, i, s.State, promised, mean)
			}
		}
		if r.scatter.Scale != 1 {
			t.Errorf("scale %v: choose a session that scatters as stated", r.scatter.Scale)
		}
	}
}

// For an undetermined quantity the first suggestion is one that determines it.
func TestNextDeterminesFirst(t *testing.T) {
	c := lighthouse()
	rng := rand.New(rand.NewPCG(42, 1))
	r := mustFit(t, Session{Log: c.session(rng, 3e-4, 0, added(), added(), added().rod(1))})
	extra := []Part{{Name: "4.7 pF", Capacitance: 4.7e-12, Uncertainty: 0.1e-12, Known: true}}
	wish := Wish{Name: Inductance, State: Bare()}
	plan := r.Next(wish, r.Candidates(wish, Bench{Parts: extra}), extra, 2)
	first := plan.Ranked[slices.IndexFunc(plan.Ranked, func(s Suggestion) bool { return s.Kind == ReadState })]
	if first.Before.Determined || !first.After.Determined || len(first.State.Parts) != 1 || first.Reason != ReasonSplits {
		t.Errorf("first suggestion %+v", first)
	}
	if last := plan.Ranked[len(plan.Ranked)-1]; last.After.Determined {
		t.Errorf("last suggestion %+v: a bare reading determines nothing", last)
	}
	if len(plan.Greedy) != 2 || !plan.Greedy[1].After.Determined || plan.Greedy[1].After.Uncertainty >= plan.Greedy[0].After.Uncertainty {
		t.Errorf("plan %+v", plan.Greedy)
	}
}

// Two sessions that differ in one thing: that moves, and parts in common cancel.
func TestCompareTellsWhatMoved(t *testing.T) {
	c := lighthouse()
	steps := []step{added(), added(), added(4.7), added(10), added(22), added(4.7, 22)}
	a := mustFit(t, Session{Log: c.session(rand.New(rand.NewPCG(43, 1)), 1e-4, 0.02, steps...)})
	rebuilt := c
	rebuilt.l *= 1.02
	b := mustFit(t, Session{Log: rebuilt.session(rand.New(rand.NewPCG(43, 1)), 1e-4, 0.02, steps...)})
	for _, change := range Compare(a.Result, b.Result).Changes {
		switch change.A.Name {
		case Inductance:
			d := change.Difference
			if !change.Moved || math.Abs(d.Value-0.02*c.l) > 3*d.Uncertainty || d.Uncertainty > 0.5*change.A.Uncertainty {
				t.Errorf("inductance %+v, sigmas %v", d, change.Sigmas)
			}
		case EffectiveCapacitance, WindingCapacitance, TopCapacitance:
			if change.Moved {
				t.Errorf("%s moved: %+v", change.A.Name, change.Difference)
			}
		}
	}
	for _, change := range Compare(a.Result, a.Result).Changes {
		if change.Moved || change.Difference.Determined && change.Difference.Value != 0 {
			t.Errorf("%s moved against itself: %+v", change.A.Name, change.Difference)
		}
	}
}

// A reading with the core where it already is brings little, since the model errs alike
// there: what is expected of it is what a fit with it then says, and so is a plan's end.
func TestNextReadingInOnePlace(t *testing.T) {
	drawn := mustDraw(t, sketch())
	steps := []step{added(), added(2.2), added(4.7), added(10), added(22), added().rod(1), added(10).rod(1), added().rod(0.5)}
	fit := func(more ...step) *Answer {
		s := asDrawn(t, drawn, 0.4e-12, 1, append(slices.Clone(steps), more...)...)
		s.Ladder, s.Drawn = nil, nil
		return mustFit(t, s)
	}
	r := fit()
	half := State{Core: "rod", To: 0.5, Hand: math.Inf(1)}
	wish := Wish{Name: "frequency", State: State{Core: "rod", To: 0.3, Hand: math.Inf(1)}}
	after := func(r *Answer) float64 {
		e := r.Predict(wish.State, nil).Frequency
		return e.Uncertainty / e.Value
	}
	plan := r.Next(wish, []Candidate{{State: half}}, nil, 3)
	for _, k := range []struct {
		what string
		got  Estimate
		want float64
	}{
		{"one more", plan.Ranked[0].After, after(fit(added().rod(0.5)))},
		{"three more", plan.Greedy[2].After, after(fit(added().rod(0.5), added().rod(0.5), added().rod(0.5)))},
	} {
		got := k.got.Uncertainty / k.got.Value
		if math.Abs(got/k.want-1) > 0.05 || got > after(r) {
			t.Errorf("%s: ± %v expected, ± %v found, ± %v before", k.what, got, k.want, after(r))
		}
	}
	near := r.Candidates(wish, Bench{})
	if !slices.ContainsFunc(near, func(c Candidate) bool { return same(&c.State, &wish.State) }) {
		t.Error("the state asked for is no candidate")
	}
}
