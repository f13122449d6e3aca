package model

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// A fitted curve is the prediction, for every condition read, over all that was
// added; its band is that of exact capacitances, and each reading is on one.
func TestCurvesArePredictions(t *testing.T) {
	c := lighthouse()
	s := Session{Log: c.session(rand.New(rand.NewPCG(53, 1)), 1e-4, 0.01, fullSession()...)}
	r := mustFit(t, s)
	curves := r.Curves(5)
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
			state := curve.Condition.state(p.Added)
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
	if got, want := Hands(s.Log), []float64{0.1, 0.2}; !slices.Equal(got, want) {
		t.Errorf("hands at %v, want %v", got, want)
	}
}

// Where frequencies alone are known, the curve has a band at nothing added and
// none elsewhere, and a part that nothing measures stands nowhere.
func TestCurveOfFrequenciesAlone(t *testing.T) {
	c := lighthouse()
	r := mustFit(t, Session{Log: c.session(rand.New(rand.NewPCG(53, 2)), 1e-4, 0, added(), added(), added(spike))})
	if a := r.Added(r.Readings[2].State); !math.IsNaN(a) {
		t.Errorf("the part is %v, though only its product with L is known", a)
	}
	known := mustFit(t, Session{Log: c.session(rand.New(rand.NewPCG(53, 3)), 1e-5, 0, added(), added(2.2), added(4.7), added(10), added(spike, 2.2))})
	if a := known.Added(known.Readings[4].State); math.Abs(a/(c.spike+2.2e-12)-1) > 0.01 {
		t.Errorf("the part and 2.2 pF are %v, want %v", a, c.spike+2.2e-12)
	}
	plain := mustFit(t, Session{Log: c.session(rand.New(rand.NewPCG(53, 2)), 1e-4, 0, added(), added())})
	state := Bare()
	state.Exact = 1e-11
	for _, curve := range plain.Curves(3) {
		if p := curve.Points[0]; !(p.Uncertainty < 1e-3*p.Frequency) {
			t.Errorf("nothing added: %+v", p)
		}
	}
}
