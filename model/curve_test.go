package model

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/readings"
)

// A fitted curve is the prediction, for every condition read, over all that was
// added; its band is that of exact capacitances, and each reading is on one.
func TestCurvesArePredictions(t *testing.T) {
	c := simulated.Lighthouse()
	s := estimation.Session{Log: c.Session(rand.New(rand.NewPCG(53, 1)), 1e-4, 0.01, simulated.FullSession()...)}
	r := mustFit(t, s)
	curves := decisions.Curves(r.Result, 5)
	if len(curves) != 4 {
		t.Fatalf("%d curves, want those of air, rod and two distances", len(curves))
	}
	var seen []int
	for _, curve := range curves {
		seen = append(seen, curve.Readings...)
		for _, i := range curve.Readings {
			if r.Readings[i].State.Condition() != curve.Condition {
				t.Errorf("reading %d is on the curve of %+v", i, curve.Condition)
			}
		}
		for i, p := range curve.Points {
			state := curve.Condition.State(p.Added)
			e := r.Frequency(state, nil)
			if p.Frequency != e.Value || math.Abs(p.Uncertainty/e.Uncertainty-1) > 1e-9 {
				t.Errorf("%+v with %v: %v ± %v, predicted %v ± %v", curve.Condition, p.Added, p.Frequency, p.Uncertainty, e.Value, e.Uncertainty)
			}
			if i > 0 && !(p.Frequency < curve.Points[i-1].Frequency) {
				t.Errorf("%+v: more on the top rings higher", curve.Condition)
			}
		}
		if n := len(curve.Points); n != 5 || curve.Points[0].Added != 0 || math.Abs(curve.Points[4].Added/14.7e-12-1) > 0.02 {
			t.Errorf("%+v: points %+v, want 5 from 0 to about 14.7 pF", curve.Condition, curve.Points)
		}
	}
	slices.Sort(seen)
	for i := range s.Log.Readings {
		if i >= len(seen) || seen[i] != i {
			t.Fatalf("readings on curves: %v", seen)
		}
	}
	if got, want := readings.Hands(s.Log), []float64{0.1, 0.2}; !slices.Equal(got, want) {
		t.Errorf("hands at %v, want %v", got, want)
	}
}

// Where frequencies alone are known, the curve has a band at nothing added and
// none elsewhere, and a part that nothing measures stands nowhere.
func TestCurveOfFrequenciesAlone(t *testing.T) {
	c := simulated.Lighthouse()
	r := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(53, 2)), 1e-4, 0, simulated.Added(), simulated.Added(), simulated.Added(simulated.Spike))})
	if a := r.Added(r.Readings[2].State); !math.IsNaN(a) {
		t.Errorf("the part is %v, though only its product with L is known", a)
	}
	known := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(53, 3)), 1e-5, 0, simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(simulated.Spike, 2.2))})
	if a := known.Added(known.Readings[4].State); math.Abs(a/(c.Spike+2.2e-12)-1) > 0.01 {
		t.Errorf("the part and 2.2 pF are %v, want %v", a, c.Spike+2.2e-12)
	}
	plain := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(53, 2)), 1e-4, 0, simulated.Added(), simulated.Added())})
	state := readings.Bare()
	state.Exact = 1e-11
	for _, curve := range decisions.Curves(plain.Result, 3) {
		if p := curve.Points[0]; !(p.Uncertainty < 1e-3*p.Frequency) {
			t.Errorf("nothing added: %+v", p)
		}
	}
}
