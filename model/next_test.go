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

// What a suggestion promises is what a fit with that reading added shows: over
// many simulated readings of the first, a middle and the last candidate.
func TestNextKeepsItsPromise(t *testing.T) {
	c := simulated.Lighthouse()
	rng := rand.New(rand.NewPCG(41, 1))
	log := c.Session(rng, 3e-4, 0.025, simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added().Rod(1), simulated.Added(22), simulated.Added(22).Rod(1), simulated.Added(4.7).Rod(1))
	later := log.Readings[4:] // only their states are used
	log.Readings = log.Readings[:4]
	r := mustFit(t, idealBench(estimation.Session{Log: log}))
	for _, measurand := range []decisions.Measurand{{Key: quantities.Key{Name: quantities.Inductance}, State: readings.Bare()}, {Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}, State: readings.Bare()}, {Key: quantities.Key{Name: "frequency"}, State: later[2].State}} {
		var candidates []decisions.Candidate
		for _, o := range append(later, log.Readings[1], log.Readings[3]) {
			candidates = append(candidates, decisions.Candidate{State: o.State})
		}
		plan := decisions.Next(r.Result, measurand, candidates, nil, 1)
		if plan.Unknown || len(plan.Ranked) != len(candidates) {
			t.Fatalf("%s: %+v", measurand.Name, plan)
		}
		for i, s := range plan.Ranked {
			if i > 0 && s.Worth() < plan.Ranked[i-1].Worth()/(1+decisions.EqualWithin)-1e-12 {
				t.Errorf("%s: suggestion %d is better than the one before it", measurand.Name, i)
			}
		}
		for _, i := range []int{0, 2, len(candidates) - 1} {
			s := plan.Ranked[i]
			// The fit's own prediction is the likeliest reading: the promise is
			// made for it, and the Birge ratio stays as it is.
			f := decisions.Predict(r.Result, s.State, nil).Frequency.Value
			mean := 0.0
			const n = 40
			for range n {
				more := log
				more.Readings = append(append([]readings.Reading(nil), log.Readings...), readings.Reading{State: s.State, Use: true,
					Frequency: f * (1 + 3e-4*rng.NormFloat64()), Uncertainty: f * r.TypicalUncertainty() / r.Scatter.Scale})
				then := mustFit(t, idealBench(estimation.Session{Log: more}))
				var e quantities.Estimate
				if measurand.Name == "frequency" {
					e = decisions.Predict(then.Result, measurand.State, nil).Frequency
				} else {
					e = *then.Find(quantities.Key{Name: measurand.Name, Core: measurand.Core})
				}
				mean += e.Stated / e.Value / n
			}
			promised := s.After.Stated / s.After.Value / r.Scatter.Scale
			if r.Scatter.Scale == 1 && math.Abs(mean/promised-1) > 0.05 {
				t.Errorf("%s, candidate %d (%+v): promised ± %.3g, came out ± %.3g", measurand.Name, i, s.State, promised, mean)
			}
		}
		if r.Scatter.Scale != 1 {
			t.Errorf("scale %v: choose a session that scatters as stated", r.Scatter.Scale)
		}
	}
}

// For an undetermined quantity the first suggestion is one that determines it.
func TestNextDeterminesFirst(t *testing.T) {
	c := simulated.Lighthouse()
	rng := rand.New(rand.NewPCG(42, 1))
	r := mustFit(t, estimation.Session{Log: c.Session(rng, 3e-4, 0, simulated.Added(), simulated.Added(), simulated.Added().Rod(1))})
	extra := []readings.Part{{Name: "4.7 pF", Capacitance: 4.7e-12, Uncertainty: 0.1e-12, Known: true}}
	measurand := decisions.Measurand{Key: quantities.Key{Name: quantities.Inductance}, State: readings.Bare()}
	plan := decisions.Next(r.Result, measurand, decisions.Candidates(r.Result, measurand, decisions.Bench{Parts: extra}), extra, 2)
	first := plan.Ranked[slices.IndexFunc(plan.Ranked, func(s decisions.Suggestion) bool { return s.Kind == decisions.ReadState })]
	if first.Before.Determined || !first.After.Determined || len(first.State.Parts) != 1 || first.Reason != decisions.ReasonSplits {
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
	c := simulated.Lighthouse()
	steps := []simulated.Step{simulated.Added(), simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(4.7, 22)}
	a := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(43, 1)), 1e-4, 0.02, steps...)})
	rebuilt := c
	rebuilt.L *= 1.02
	b := mustFit(t, estimation.Session{Log: rebuilt.Session(rand.New(rand.NewPCG(43, 1)), 1e-4, 0.02, steps...)})
	for _, change := range decisions.Compare(a.Result, b.Result).Changes {
		switch change.A.Name {
		case quantities.Inductance:
			d := change.Difference
			if !change.Moved || !(math.Abs(d.Value-0.02*c.L) <= 3*d.Uncertainty) || d.Uncertainty > 0.5*change.A.Uncertainty {
				t.Errorf("inductance %+v, sigmas %v", d, change.Sigmas)
			}
		case quantities.EffectiveCapacitance, quantities.WindingCapacitance, quantities.TopCapacitance:
			if change.Moved {
				t.Errorf("%s moved: %+v", change.A.Name, change.Difference)
			}
		}
	}
	for _, change := range decisions.Compare(a.Result, a.Result).Changes {
		if change.Moved || change.Difference.Determined && change.Difference.Value != 0 {
			t.Errorf("%s moved against itself: %+v", change.A.Name, change.Difference)
		}
	}
}

// A reading with the core where it already is brings little, since the model errs alike
// there: what is expected of it is what a fit with it then says, and so is a plan's end.
func TestNextReadingInOnePlace(t *testing.T) {
	drawn := mustDraw(t, sketch())
	steps := []simulated.Step{simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added().Rod(1), simulated.Added(10).Rod(1), simulated.Added().Rod(0.5)}
	fit := func(more ...simulated.Step) *Result {
		s := asDrawn(t, drawn, 0.4e-12, 1, append(slices.Clone(steps), more...)...)
		s.Ladder, s.Drawn = nil, nil
		return mustFit(t, s)
	}
	r := fit()
	half := readings.State{Core: "rod", To: 0.5, Hand: math.Inf(1)}
	measurand := decisions.Measurand{Key: quantities.Key{Name: "frequency"}, State: readings.State{Core: "rod", To: 0.3, Hand: math.Inf(1)}}
	after := func(r *Result) float64 {
		e := decisions.Predict(r.Result, measurand.State, nil).Frequency
		return e.Uncertainty / e.Value
	}
	plan := decisions.Next(r.Result, measurand, []decisions.Candidate{{State: half}}, nil, 3)
	for _, k := range []struct {
		what string
		got  quantities.Estimate
		want float64
	}{
		{"one more", plan.Ranked[0].After, after(fit(simulated.Added().Rod(0.5)))},
		{"three more", plan.Greedy[2].After, after(fit(simulated.Added().Rod(0.5), simulated.Added().Rod(0.5), simulated.Added().Rod(0.5)))},
	} {
		got := k.got.Uncertainty / k.got.Value
		if !(math.Abs(got/k.want-1) <= 0.05) || got > after(r) {
			t.Errorf("%s: ± %v expected, ± %v found, ± %v before", k.what, got, k.want, after(r))
		}
	}
	near := decisions.Candidates(r.Result, measurand, decisions.Bench{})
	if !slices.ContainsFunc(near, func(c decisions.Candidate) bool { return readings.Same(&c.State, &measurand.State) }) {
		t.Error("the state asked for is no candidate")
	}
}

// A state read to the last digit, with readings that scatter no more, tells nothing new when it
// is read again: the repeat has the same rounding error. With a stated ± it does.
func TestRepeatOfDigitsIsNoNews(t *testing.T) {
	for _, digits := range []bool{true, false} {
		log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(204, 1)), 1e-3, 0.001, simulated.Added(), simulated.Added(4.7))
		for i := range log.Readings {
			log.Readings[i].FromDigits = digits
		}
		r := estimated(t, idealBench(estimation.Session{Log: log}))
		want := decisions.Measurand{Key: quantities.Key{Name: quantities.BareFrequency}}
		bare := decisions.Candidate{Kind: decisions.ReadState, State: readings.Bare()}
		next := decisions.Next(r, want, []decisions.Candidate{bare}, nil, 1)
		if s := next.Ranked[0]; (s.Reason == decisions.ReasonNothing) != digits {
			t.Errorf("digits %v: the bare coil read again brings ± %v to ± %v", digits, s.Before.Uncertainty, s.After.Uncertainty)
		}
	}
}
