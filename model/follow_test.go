package model

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

// Fewer beads cover less of the winding: a core all in, in the log, then covers what is
// drawn, and the frequency lies between that with all beads and that without any, the higher
// the fewer there are.
func TestStretchFollowsTheDrawing(t *testing.T) {
	before := mustDraw(t, sketch())
	s := asDrawn(t, before, 0.4e-12, 1, added(), added(2.2), added(4.7), added(10), added(22), added().rod(1), added(10).rod(1))
	r := mustFit(t, s)
	full := State{Core: "rod", To: 1, Hand: math.Inf(1)}
	last := r.Predict(full, nil).Frequency.Value
	air := r.Predict(Bare(), nil).Frequency.Value
	count := sketch().Coil.Beads.Count
	for _, n := range []int{count * 3 / 4, count / 2, count / 4} {
		d := sketch()
		d.Coil.Beads.Count = n
		b, err := NewRebuild(before, mustDraw(t, d))
		if err != nil {
			t.Fatal(err)
		}
		p := r.Rebuilt(b, full, nil)
		if f := p.Frequency.Value; !(f > 1.01*last && f < air) || math.Abs(p.State.To-float64(n)/float64(count)) > 0.1 {
			t.Errorf("%d of %d beads: %v Hz, covered to %v; with more %v, without any %v", n, count, f, p.State.To, last, air)
		} else {
			last = f
		}
	}
	part := sketch()
	part.Coil.Beads.Count /= 2
	if _, err := NewRebuild(mustDraw(t, part), before); !errors.Is(err, ErrCoversPart) {
		t.Errorf("from a drawing whose beads cover half: %v", err)
	}
}

// Where no setting can be told, none is.
func TestReachTellsNoSettingWithoutAPrediction(t *testing.T) {
	c := lighthouse()
	r := mustFit(t, Session{Log: c.session(rand.New(rand.NewPCG(131, 1)), 2e-4, 0, added(), added())})
	if a := r.Reach(1.5e6, Bare(), nil, ByAdded, 0.025); a.Reachable || a.Setting.Determined || a.At.Frequency.Determined || a.At.State.Exact != 0 {
		t.Errorf("%+v", a)
	}
}
