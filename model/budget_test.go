package model

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// budgetSessions are sessions whose variances come from all kinds of inputs.
func budgetSessions() map[string]estimation.Session {
	c := simulated.Lighthouse()
	log := func(seed uint64, noise float64, steps ...simulated.Step) estimation.Session {
		return estimation.Session{Log: c.Session(rand.New(rand.NewPCG(71, seed)), noise, 0.02, steps...)}
	}
	scattered := log(2, 2e-4, night()...)
	for i := range scattered.Log.Readings {
		scattered.Log.Readings[i].Uncertainty /= 5
	}
	robust := log(3, 2e-4, night()...)
	robust.Log.Readings[2].Frequency *= 1.01
	robust.Robust = true
	known := log(4, 2e-4, simulated.Added(), simulated.Added(4.7), simulated.Added().Rod(1))
	known.Known = []quantities.Known{{Key: quantities.Key{Name: quantities.EffectiveInductance}, Value: 1.2e-3, Uncertainty: 3e-5}}
	return map[string]estimation.Session{
		"straight":  log(8, 1e-4, append(night(), simulated.FullSession()...)...),
		"plain":     log(7, 1e-4, night()...),
		"scattered": scattered,
		"robust":    robust,
		"known":     known,
		"partly":    log(5, 2e-4, append(night(), simulated.Added().Rod(0.5), simulated.Added(10).Rod(0.5))...),
	}
}

// Each budget sums to the square of the uncertainty that the estimate is given.
func TestBudgetSumsToTheUncertainty(t *testing.T) {
	for name, s := range budgetSessions() {
		r := mustFit(t, s)
		told := 0
		for e := range r.All() {
			if !e.Determined || math.IsNaN(e.Uncertainty) {
				continue
			}
			told++
			sum, shares := 0.0, 0.0
			for _, in := range r.Budget(e) {
				sum += in.Contribution * in.Contribution
				shares += in.Share
				if c := in.Sensitivity * in.Uncertainty; !(math.Abs(c-in.Contribution) <= 1e-12*math.Abs(c)) {
					t.Errorf("%s, %v: sensitivity × uncertainty is %g, the contribution %g", name, e.Key, c, in.Contribution)
				}
			}
			if got := math.Sqrt(sum) / e.Uncertainty; !(math.Abs(got-1) <= 1e-9) || !(math.Abs(shares-1) <= 1e-9) {
				t.Errorf("%s, %v: the budget gives u × %.12g, shares sum to %.12g", name, e.Key, got, shares)
			}
		}
		if told < 8 {
			t.Errorf("%s: only %d quantities", name, told)
		}
	}
}

// A contribution is by how much the answer moves when its input does: inputs are moved by a
// tenth of their uncertainty either way, and everything fitted anew. Readings and priors
// agree, since where they pull at each other the curvature of the model has a say.
func TestContributionsAreWhatInputsMove(t *testing.T) {
	s := budgetSessions()["plain"]
	r := mustFit(t, s)
	p, x := r.Problem, slices.Clone(r.Solution.X)
	pull, one := make([]float64, 1), make([]float64, p.N)
	for i := range p.Origins {
		for range 2 { // each is of one unknown, and straight
			p.Prior.Evaluate(x, i, pull, one)
			for j, slope := range one {
				if slope != 0 {
					x[j] -= pull[0] / slope
				}
			}
		}
	}
	for i := range s.Log.Readings {
		s.Log.Readings[i].Frequency = p.Frequency(x, &s.Log.Readings[i].State, nil)
	}
	r = mustFit(t, s)
	if slices.ContainsFunc(r.Solution.AtBound, func(b fit.Bound) bool { return b != fit.Free }) {
		t.Fatal("at a bound nothing moves")
	}
	for _, name := range []string{quantities.EffectiveInductance, quantities.BareFrequency, quantities.CoreGain} {
		var e *quantities.Estimate
		for o := range r.All() {
			if o.Name == name {
				e = o
			}
		}
		moved := 0
		for _, in := range r.Budget(e) {
			if in.Share < 0.005 {
				continue
			}
			by := func(sign float64) float64 {
				q := s
				q.Log.Readings = append(q.Log.Readings[:0:0], s.Log.Readings...)
				q.Log.Parts = append(q.Log.Parts[:0:0], s.Log.Parts...)
				switch {
				case in.Line > 0:
					for i := range q.Log.Readings {
						if q.Log.Readings[i].Line == in.Line {
							q.Log.Readings[i].Frequency += sign * in.Uncertainty
						}
					}
				case in.Kind == estimation.PartSource:
					for i := range q.Log.Parts {
						if q.Log.Parts[i].Name == in.Part {
							q.Log.Parts[i].Capacitance += sign * in.Uncertainty
						}
					}
				default:
					return math.NaN()
				}
				other := must.Get(estimation.Fit(q)).In(t)
				return other.Find(e.Key).Value
			}
			const step = 0.1
			got := (by(step) - by(-step)) / (2 * step)
			if math.IsNaN(got) {
				continue
			}
			moved++
			if !(math.Abs(got-in.Contribution) <= 0.03*math.Abs(in.Contribution)+0.006*e.Uncertainty) {
				t.Errorf("%s: %v %s line %d contributes %g, but moves it by %g", name, in.Kind, in.Part, in.Line, in.Contribution, got)
			}
		}
		if moved < 2 {
			t.Errorf("%s: only %d inputs", name, moved)
		}
	}
}

// What no reading tells of stays as believed: the prior on a core's coupling, and that on a
// drift where no state is read twice. One that readings speak of gets narrower.
func TestPriorsAgainstPosteriors(t *testing.T) {
	c := simulated.Lighthouse()
	r := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(74, 1)), 1e-5, 0, simulated.Added(), simulated.Added(2.2), simulated.Added(10), simulated.Added(22), simulated.Added().Near(0.1))})
	seen := 0
	for _, a := range r.Assumed {
		switch a.Kind {
		case estimation.AssumedHandExponent:
			seen++
			if !(math.Abs(a.Moved) <= 0.01) || !(math.Abs(a.Left-1) <= 0.01) {
				t.Errorf("the exponent of one distance moved by %g, %g left", a.Moved, a.Left)
			}
		case estimation.AssumedShare:
			seen++
			want := r.Relative(r.Problem.Share) / a.Spread
			if moved := (r.Solution.X[r.Problem.Share] - a.Value) / a.Spread; !(math.Abs(a.Left-want) <= 1e-6) || !(math.Abs(a.Moved-moved) <= 1e-9) || a.Left > 0.9 {
				t.Errorf("share moved by %g, want %g; %g left, want %g", a.Moved, moved, a.Left, want)
			}
		}
	}
	if seen != 2 {
		t.Errorf("%d priors seen", seen)
	}
}

// So does the budget of a predicted frequency, whatever stands in the state: parts that no reading
// has, a core partly in, a hand at another distance.
func TestFrequencyBudgetSums(t *testing.T) {
	for name, s := range budgetSessions() {
		r := mustFit(t, s)
		extra := []readings.Part{{Name: "new", Capacitance: 3.3e-12, Uncertainty: 0.08e-12, Known: true}}
		bare, added, partly := readings.Bare(), readings.Bare(), readings.Bare()
		added.Parts = []int{len(r.Parts())}
		partly.Core, partly.To, partly.Parts = "rod", 0.6, added.Parts
		states := []readings.State{bare, added, partly}
		if r.Find(quantities.Key{Name: quantities.HandStrength}) != nil {
			near := added
			near.Hand = 0.3
			states = append(states, near)
		}
		for i, state := range states {
			want := r.Frequency(state, extra)
			e, inputs := r.FrequencyBudget(state, extra)
			if e.Value != want.Value || e.Uncertainty != want.Uncertainty || e.Determined != want.Determined {
				t.Errorf("%s, state %d: %g ± %g, predicted %g ± %g", name, i, e.Value, e.Uncertainty, want.Value, want.Uncertainty)
			}
			if !e.Determined {
				continue
			}
			sum, shares, own := 0.0, 0.0, 0.0
			for _, in := range inputs {
				sum += in.Contribution * in.Contribution
				shares += in.Share
				if in.Part == "new" {
					own = in.Sensitivity
				}
			}
			if got := math.Sqrt(sum) / want.Uncertainty; !(math.Abs(got-1) <= 1e-9) || !(math.Abs(shares-1) <= 1e-9) {
				t.Errorf("%s, state %d: contributions sum to %g of the uncertainty, shares to %g", name, i, got, shares)
			}
			if len(state.Parts) == 0 {
				continue
			}
			// What the new part does when it is larger, as predicted.
			larger := []readings.Part{extra[0]}
			larger[0].Capacitance *= 1.001
			if slope := (r.Frequency(state, larger).Value - want.Value) / 3.3e-15; !(math.Abs(own/slope-1) <= 0.01) {
				t.Errorf("%s, state %d: sensitivity to the new part %g, by moving it %g", name, i, own, slope)
			}
		}
	}
}
