package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// What a rebuild does to a lumped circuit is in every textbook: the frequency
// goes with the inverse root of L and of C. How well it is known is a part of
// the change itself: half of 2 % of the logarithm for the inductance, and for
// the top what a fifth more of the step would do.
func TestRebuiltLumpedCircuit(t *testing.T) {
	r := mustFit(t, estimation.Session{Log: plainLog([2]float64{2e6, 460e-12}, [2]float64{4e6, 100e-12}), Lumped: true})
	before := decisions.Predict(r.Result, readings.Bare(), nil).Frequency
	c := r.Find(quantities.Key{Name: quantities.TopCapacitance}).Value // 20 pF
	same := decisions.Rebuild{Inductance: 1, Winding: 1, Gain: 1}
	for _, k := range []struct {
		what          string
		factor, sigma float64
		change        func(b *decisions.Rebuild)
	}{
		{"nothing", 1, 0, func(b *decisions.Rebuild) {}},
		{"four times the inductance", 0.5, 0.02 / 2 * math.Log(4), func(b *decisions.Rebuild) { b.Inductance = 4 }},
		{"twice the top", math.Sqrt(0.5), math.Log(2.2/2) / 2, func(b *decisions.Rebuild) { b.Top = c }},
		{"a winding that has no capacitance here", 1, 0, func(b *decisions.Rebuild) { b.Winding = 3 }},
	} {
		b := same
		k.change(&b)
		p := decisions.Rebuilt(r.Result, b, readings.Bare(), nil)
		if f := p.Frequency.Value / before.Value; !(math.Abs(f/k.factor-1) <= 1e-9) {
			t.Errorf("%s: frequency times %v, want %v", k.what, f, k.factor)
		}
		own := p.Frequency.Uncertainty / p.Frequency.Value
		want := math.Hypot(k.sigma, shareOfReadings(r, b))
		if !(math.Abs(own/want-1) <= 1e-6) {
			t.Errorf("%s: relative uncertainty %v, want %v", k.what, own, want)
		}
		if !(p.NewReading[0] < p.Frequency.Interval[0] && p.NewReading[1] > p.Frequency.Interval[1]) {
			t.Errorf("%s: a new reading in %v, the mean in %v", k.what, p.NewReading, p.Frequency.Interval)
		}
		if len(p.Outside) != 1 || p.Outside[0].Element != decisions.DrawingElement {
			t.Errorf("%s: outside %+v", k.what, p.Outside)
		}
	}
}

// shareOfReadings returns the relative uncertainty of the rebuilt bare frequency
// that comes from the fit alone.
func shareOfReadings(r *Result, b decisions.Rebuild) float64 {
	f, x := r.With(nil)
	s := readings.Bare()
	e := r.Numeric(f, x, "frequency", "Hz", func(x []float64) float64 { return math.Log(f.Frequency(b.Apply(f, x), &s, nil)) })
	return e.Uncertainty / e.Value
}

// The line after a rebuild is the line of the new elements.
func TestRebuiltLine(t *testing.T) {
	c := simulated.Lighthouse()
	r := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(52, 1)), 1e-7, 0, simulated.Added(), simulated.Added(2.2), simulated.Added(10), simulated.Added(22), simulated.Added().Rod(1), simulated.Added(10).Rod(1))})
	b := decisions.Rebuild{Inductance: 1.3, Winding: 0.8, Top: 0.5e-12, Core: "rod", Gain: 1.5}
	rebuilt := simulated.Truth{L: 1.3 * c.L, Cw: 0.8 * c.Cw, Ct: c.Ct + 0.5e-12, Gain: 1 + 1.5*(c.Gain-1), Moved: c.Moved}
	// The core's capacitance stays the same share of the winding's.
	rebuilt.Core = 0.8 * c.Core
	for _, s := range []readings.State{readings.Bare(), {Core: "rod", To: 1, Hand: math.Inf(1)}, {Exact: 3e-12, Hand: math.Inf(1)}} {
		p := decisions.Rebuilt(r.Result, b, s, nil)
		if want := rebuilt.Frequency(s, nil); !(math.Abs(p.Frequency.Value/want-1) <= 2e-4) {
			t.Errorf("%+v: %v, want %v", s, p.Frequency.Value, want)
		}
	}
	if p := decisions.Rebuilt(r.Result, b, readings.State{Hand: 0.1}, nil); p.Frequency.Determined || len(p.Missing) != 1 || p.Missing[0].Kind != decisions.HandElement {
		t.Errorf("a hand never read: %+v", p)
	}
	alone := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(52, 2)), 1e-4, 0, simulated.Added(), simulated.Added())})
	if p := decisions.Rebuilt(alone.Result, decisions.Rebuild{Inductance: 1, Winding: 1, Top: 5e-12, Gain: 1}, readings.Bare(), nil); p.Frequency.Determined {
		t.Errorf("5 pF more on a coil known by its frequency alone: %+v", p.Frequency)
	}
}

// Drawings that differ by nothing change nothing; a sweep is its drawings one by
// one, however many are computed at once.
func TestSweepOfDrawings(t *testing.T) {
	base := sketch()
	drawings := []drawing.Drawing{base, base, base}
	drawings[1].Coil.Beads.Spacing /= 2
	drawings[2].Coil.Ball *= 2
	count := 0
	drawn, err := drawing.PredictAll(drawings, func() { count++ })
	if err != nil || count != 3 {
		t.Fatal(count, err)
	}
	r := mustFit(t, asDrawn(t, drawn[0], 0, 1, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added().Rod(1), simulated.Added(10).Rod(1)))
	rod := readings.State{Core: "rod", To: 1, Hand: math.Inf(1)}
	points, err := decisions.Sweep(r.Result, drawn[0], drawn, rod, nil)
	if err != nil || len(points) != 3 {
		t.Fatal(points, err)
	}
	now, gain := decisions.Predict(r.Result, rod, nil).Frequency, r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"}).Value
	if p := points[0]; !(math.Abs(p.Frequency.Value/now.Value-1) <= 1e-9) || !(math.Abs(p.Frequency.Uncertainty/now.Uncertainty-1) <= 1e-3) || !(math.Abs(p.Gain/gain-1) <= 1e-12) {
		t.Errorf("nothing changed: %+v, now %+v and gain %v", p, now, gain)
	}
	closer := (drawn[1].Core.Full.Value - 1) / (drawn[0].Core.Full.Value - 1)
	if p := points[1]; !(math.Abs(p.Gain/(1+(gain-1)*closer)-1) <= 1e-9) || !(p.Frequency.Value < now.Value) {
		t.Errorf("beads closer by half: %+v, now %+v and gain %v", p, now, gain)
	}
	if p := points[2]; !(math.Abs(p.Gain/gain-1) <= 1e-9) || !(p.Frequency.Value < now.Value) {
		t.Errorf("a ball twice as large: %+v, now %+v", p, now)
	}
	drawings[1].Coil.Length = 0
	if _, err := drawing.PredictAll(drawings, func() {}); err == nil {
		t.Error("a winding of no length was computed")
	}
	before, after := drawn[0], *drawn[0]
	after.Drawing.Coil.Length = 0
	if _, err := decisions.Sweep(r.Result, before, []*drawing.Drawn{&after}, rod, nil); err == nil {
		t.Error("a winding of no length was swept to")
	}
}
