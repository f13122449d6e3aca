package model

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/readings"
)

// Fewer beads cover less of the winding: a core all in, in the log, then covers what is
// drawn, and the frequency lies between that with all beads and that without any, the higher
// the fewer there are.
func TestStretchFollowsTheDrawing(t *testing.T) {
	before := mustDraw(t, sketch())
	s := asDrawn(t, before, 0.4e-12, 1, simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added().Rod(1), simulated.Added(10).Rod(1))
	r := mustFit(t, s)
	full := readings.State{Core: "rod", To: 1, Hand: math.Inf(1)}
	last := decisions.Predict(r.Result, full, nil).Frequency.Value
	air := decisions.Predict(r.Result, readings.Bare(), nil).Frequency.Value
	count := sketch().Coil.Beads.Count
	for _, n := range []int{count * 3 / 4, count / 2, count / 4} {
		d := sketch()
		d.Coil.Beads.Count = n
		b := must.Get(decisions.NewRebuild(before, mustDraw(t, d))).In(t)
		p := decisions.Rebuilt(r.Result, b, full, nil)
		if f := p.Frequency.Value; !(f > 1.01*last && f < air) || !(math.Abs(p.State.To-float64(n)/float64(count)) <= 0.1) {
			t.Errorf("%d of %d beads: %v Hz, covered to %v; with more %v, without any %v", n, count, f, p.State.To, last, air)
		} else {
			last = f
		}
	}
	part := sketch()
	part.Coil.Beads.Count /= 2
	if _, err := decisions.NewRebuild(mustDraw(t, part), before); !errors.Is(err, decisions.ErrCoversPart) {
		t.Errorf("from a drawing whose beads cover half: %v", err)
	}
}

// Where no setting can be told, none is.
func TestReachTellsNoSettingWithoutAPrediction(t *testing.T) {
	c := simulated.Lighthouse()
	r := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(131, 1)), 2e-4, 0, simulated.Added(), simulated.Added())})
	if a := decisions.Reach(r.Result, 1.5e6, readings.Bare(), nil, decisions.ByAdded, 0.025); a.Reachable || a.Setting.Determined || a.At.Frequency.Determined || a.At.State.Exact != 0 {
		t.Errorf("%+v", a)
	}
}
