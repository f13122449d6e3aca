package model

import (
	"math"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// A drawing changed to reach a frequency gives that frequency; what lies beyond is called
// so. The core covers what reaches it, from nothing to all of the winding.
func TestReachRedrawn(t *testing.T) {
	base := sketch()
	base.Variants = nil
	before := must.Get(base.Predict()).In(t)
	r := mustFit(t, asDrawn(t, before, 0, 1, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added().Rod(1), simulated.Added(10).Rod(1)))
	rod := readings.State{Core: "rod", To: 1, Hand: math.Inf(1)}
	now := decisions.Predict(r.Result, readings.Bare(), nil).Frequency.Value
	turns := func(v float64) (*drawing.Drawn, error) {
		d := base
		d.Coil.Turns = v
		return d.Predict()
	}
	answer, err := decisions.ReachRedrawn(r.Result, 1.2*now, before, readings.Bare(), nil, base.Coil.Turns, false, turns)
	if err != nil || !answer.Reachable || !answer.Setting.Determined {
		t.Fatal(answer, err)
	}
	after := must.Get(turns(answer.Setting.Value)).In(t)
	b := must.Get(decisions.NewRebuild(before, after)).In(t)
	if f := decisions.Rebuilt(r.Result, b, readings.Bare(), nil).Frequency.Value; !(math.Abs(f/(1.2*now)-1) <= 1e-4) {
		t.Errorf("%v turns give %v, want %v", answer.Setting.Value, f, 1.2*now)
	}
	// L goes with the square of the turns where C hardly changes: 1/1.2 times as many.
	if ratio := answer.Setting.Value / base.Coil.Turns; !(math.Abs(ratio*1.2-1) <= 0.05) {
		t.Errorf("%v times the turns for 1.2 times the frequency", ratio)
	}
	ball := func(v float64) (*drawing.Drawn, error) {
		d := base
		d.Coil.Ball = v
		return d.Predict()
	}
	if a, err := decisions.ReachRedrawn(r.Result, 3*now, before, readings.Bare(), nil, base.Coil.Ball, false, ball); err != nil || a.Reachable || a.Setting.Determined {
		t.Errorf("a ball for three times the frequency: %+v, %v", a, err)
	}
	with := decisions.Predict(r.Result, rod, nil).Frequency.Value
	half := decisions.Reach(r.Result, math.Sqrt(now*with), rod, nil, decisions.ByCovered, 0.02)
	if !half.Reachable || half.Setting.Value < 0.05 || half.Setting.Value > 0.95 {
		t.Errorf("between no core and all of it: %+v", half)
	}
	if out := decisions.Reach(r.Result, 2*now, rod, nil, decisions.ByCovered, 0.02); out.Reachable || out.At.State.Core != "" || !(math.Abs(out.At.Frequency.Value/now-1) <= 1e-9) {
		t.Errorf("above what the coil has without a core: %+v", out)
	}
}

// Of sums of parts at hand, those nearest to a frequency are found, and none that is
// farther than what there is.
func TestNearestAtHand(t *testing.T) {
	r := mustFit(t, estimation.Session{Log: plainLog([2]float64{2e6, 460e-12}, [2]float64{4e6, 100e-12}), Lumped: true})
	extra := []readings.Part{{Name: "150 pF", Capacitance: 150e-12, Uncertainty: 1e-12, Known: true}, {Name: "70 pF", Capacitance: 70e-12, Uncertainty: 1e-12, Known: true}}
	n := len(r.Parts())
	at := func(parts ...int) float64 {
		s := readings.Bare()
		s.Parts = parts
		return decisions.Predict(r.Result, s, extra).Frequency.Value
	}
	got := decisions.NearestAtHand(r.Result, at(n, n+1)*1.001, readings.Bare(), extra, []int{n, n + 1}, 3)
	if len(got) != 3 || len(got[0].State.Parts) != 2 || got[0].Frequency.Value != at(n, n+1) || got[1].Frequency.Value != at(n) || got[2].Frequency.Value != at(n+1) {
		t.Errorf("%+v", got)
	}
	bare := r.Find(quantities.Key{Name: quantities.BareFrequency}).Value
	if got := decisions.NearestAtHand(r.Result, 1.1*bare, readings.Bare(), extra, []int{n, n + 1}, 3); len(got) > 0 {
		t.Errorf("above the bare frequency: %+v", got)
	}
}
