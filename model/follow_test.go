package model

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
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

// A core all in is as it was drawn, with a few millimetres left free at either end; with a bead less, or pushed up,
// the frequency is that of the coupled sections with the core where it is then drawn. Beads that reach beyond
// the winding's top are not carried over.
func TestBeadsFromAllInAsDrawn(t *testing.T) {
	base := sketch()
	base.Coil.Beads = field.Beads{Diameter: 16e-3, Length: 10e-3, Spacing: 3.5e-3, Count: 17, Permeability: 120, Start: 7e-3}
	before := mustDraw(t, base)
	const stray = 0.4e-12
	s := asDrawn(t, before, stray, 1, simulated.Added(), simulated.Added(2.2), simulated.Added(10), simulated.Added(22), simulated.Added().Rod(1), simulated.Added(4.7).Rod(1), simulated.Added(10).Rod(1))
	truth := func(d *drawing.Drawn, added float64) float64 {
		ladder, err := d.Drawing.Ladder()
		if err != nil {
			t.Fatal(err)
		}
		c := &d.Drawing.Coil
		from := c.Beads.Start / c.Length
		w := resonator.Winding{Inductance: d.Inductance.Value, Capacitance: d.WindingCapacitance.Value, Top: stray + d.TopCapacitance.Value + added,
			Cores: []resonator.Stretch{{From: from, To: math.Min(1, from+c.Beads.Whole()/c.Length), Gain: d.Core.Full.Value, Core: "rod"}}}
		var r resonator.Resonance
		estimation.Session{Ladder: ladder, Drawn: d}.Resonator().Resonate(w, &r)
		return r.Omega / (2 * math.Pi)
	}
	for i := range s.Log.Readings {
		if o := &s.Log.Readings[i]; o.Core != "" {
			added := 0.0
			for _, p := range o.Parts {
				added += s.Log.Parts[p].Capacitance
			}
			o.Frequency = truth(before, added)
		}
	}
	r := mustFit(t, s)
	in := readings.State{Core: "rod", To: 1, Hand: math.Inf(1)}
	now := decisions.Predict(r.Result, in, nil).Frequency.Value
	for _, c := range []struct {
		what   string
		within float64 // of the frequency
		change func(b *field.Beads)
	}{
		{"as it was read", 1e-4, func(b *field.Beads) {}},
		{"a bead less", 5e-4, func(b *field.Beads) { b.Count-- }},
		{"half of them", 5e-3, func(b *field.Beads) { b.Count = 8 }},
		{"pushed up by a bead", 2e-4, func(b *field.Beads) { b.Start += 13.5e-3 }},
		{"0.2 mm closer", 2e-4, func(b *field.Beads) { b.Spacing -= 0.2e-3 }},
	} {
		d := base
		c.change(&d.Coil.Beads)
		after := mustDraw(t, d)
		b, err := decisions.NewRebuild(before, after)
		if err != nil {
			t.Fatal(c.what, err)
		}
		got, want := decisions.Rebuilt(r.Result, b, in, nil).Frequency, truth(after, 0)
		if off := math.Abs(got.Value - want); !(off <= c.within*want && off <= 1.5*got.Uncertainty) {
			t.Errorf("%s: %v ± %v, want %v: %+.0f ppm", c.what, got.Value, got.Uncertainty, want, 1e6*(got.Value/want-1))
		}
	}
	if f := decisions.Predict(r.Result, in, nil).Frequency.Value; f != now {
		t.Errorf("the changes moved what is read: %v, was %v", f, now)
	}
	base.Coil.Ball = 0
	tall := base
	tall.Coil.Beads.Count += 3
	if _, err := decisions.NewRebuild(mustDraw(t, base), mustDraw(t, tall)); !errors.Is(err, decisions.ErrBeyondTop) {
		t.Errorf("three beads beyond the top: %v", err)
	}
}
