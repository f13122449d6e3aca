package estimation

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/model/forward"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// What the model errs by at one place of the core is an input like another: if all readings there
// are moved by as much, the estimate moves by its contribution. (Not wholly: what the model errs by
// is judged anew.)
func TestModelInputsAreWhatMovedPlacesDo(t *testing.T) {
	steps := []simulated.Step{simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(),
		simulated.Added().Rod(1), simulated.Added(4.7).Rod(1), simulated.Added().Rod(0.5), simulated.Added().Rod(0.5)}
	s := Session{Log: simulated.Lighthouse().Session(rand.New(rand.NewPCG(3, 8)), 1e-4, 0.02, steps...)}
	r, err := Fit(s)
	if err != nil {
		t.Fatal(err)
	}
	e := r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"})
	list := r.Budget(e)
	i := slices.IndexFunc(list, func(in Input) bool { return in.Kind == ModelSource })
	if i < 0 {
		t.Fatal("the place is no input")
	}
	in := list[i]
	var v [2]float64
	for k, by := range []float64{1, -1} {
		other := s
		other.Log.Readings = slices.Clone(s.Log.Readings)
		for j := range other.Log.Readings {
			if o := &other.Log.Readings[j]; o.Partly() {
				o.Frequency *= math.Exp(by * in.Uncertainty)
			}
		}
		o, err := Fit(other)
		if err != nil {
			t.Fatal(err)
		}
		v[k] = o.Find(e.Key).Value
	}
	if want := (v[1] - v[0]) / 2; !(math.Abs(in.Contribution-want) <= 0.15*math.Abs(want)) || !(math.Abs(want) > 0.05*e.Uncertainty) || in.Unit != "1" {
		t.Errorf("%+v, moved it does %v of %v", in, want, e.Uncertainty)
	}
}

// A lead that no reading had comes with what is put on the top: its line has ∂f/∂C, as any
// capacitance there. Each line's contribution is its sensitivity times its uncertainty.
func TestLeadOfAStateToCome(t *testing.T) {
	s := Session{Log: simulated.Lighthouse().Session(rand.New(rand.NewPCG(4, 8)), 1e-4, 0.02, simulated.Added(), simulated.Added(), simulated.Added()),
		Known: []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.25e-3, Uncertainty: 0.01e-3}}}
	s.wide = 1.6
	r, err := Fit(s)
	if err != nil {
		t.Fatal(err)
	}
	on := func(farad float64) readings.State {
		state := readings.Bare()
		state.Exact, state.Clip = farad, true
		return state
	}
	slope := (r.Frequency(on(3.301e-12), nil).Value - r.Frequency(on(3.299e-12), nil).Value) / 2e-15
	e, list := r.FrequencyBudget(on(3.3e-12), nil)
	seen, squares := false, 0.0
	for _, in := range list {
		squares += in.Contribution * in.Contribution
		if c := in.Sensitivity * in.Uncertainty; !(math.Abs(c-in.Contribution) <= 1e-9*e.Uncertainty) {
			t.Errorf("%+v: %v by sensitivity", in, c)
		}
		if in.Kind == AssumptionSource && in.Assumption.Kind == AssumedLead {
			seen = true
			if !(math.Abs(in.Sensitivity/slope-1) <= 1e-4) || !(math.Abs(in.Uncertainty/forward.LeadSigma-1.6) <= 1e-12) || in.Unit != "F" {
				t.Errorf("%+v, want %v Hz/F", in, slope)
			}
		}
	}
	if !seen || !(math.Abs(math.Sqrt(squares)/e.Uncertainty-1) <= 1e-6) {
		t.Errorf("no lead among %+v, which make %v of %v", list, math.Sqrt(squares), e.Uncertainty)
	}
}
