package model

import (
	"math"
	"math/rand/v2"
	"testing"
)

// What a rebuild does to a lumped circuit is in every textbook: the frequency
// goes with the inverse root of L and of C. How well it is known is a part of
// the change itself: half of 2 % of the logarithm for the inductance, and for
// the top what a fifth more of the step would do.
func TestRebuiltLumpedCircuit(t *testing.T) {
	r := mustFit(t, Session{Log: plainLog([2]float64{2e6, 460e-12}, [2]float64{4e6, 100e-12}), Lumped: true})
	before := r.Predict(Bare(), nil).Frequency
	c := r.Find(TopCapacitance, "", "", 0).Value // 20 pF
	same := Rebuild{Inductance: 1, Winding: 1, Gain: 1}
	for _, k := range []struct {
		what          string
		factor, sigma float64
		change        func(b *Rebuild)
	}{
		{"nothing", 1, 0, func(b *Rebuild) {}},
		{"four times the inductance", 0.5, 0.02 / 2 * math.Log(4), func(b *Rebuild) { b.Inductance = 4 }},
		{"twice the top", math.Sqrt(0.5), math.Log(2.2/2) / 2, func(b *Rebuild) { b.Top = c }},
		{"a winding that has no capacitance here", 1, 0, func(b *Rebuild) { b.Winding = 3 }},
	} {
		b := same
		k.change(&b)
		p := r.Rebuilt(b, Bare(), nil)
		if f := p.Frequency.Value / before.Value; math.Abs(f/k.factor-1) > 1e-9 {
			t.Errorf("%s: frequency times %v, want %v", k.what, f, k.factor)
		}
		own := p.Frequency.Uncertainty / p.Frequency.Value
		want := math.Hypot(k.sigma, shareOfReadings(r, b))
		if math.Abs(own/want-1) > 1e-6 {
			t.Errorf("%s: relative uncertainty %v, want %v", k.what, own, want)
		}
		if !(p.NewReading[0] < p.Frequency.Interval[0] && p.NewReading[1] > p.Frequency.Interval[1]) {
			t.Errorf("%s: a new reading in %v, the mean in %v", k.what, p.NewReading, p.Frequency.Interval)
		}
		if len(p.Outside) != 1 || p.Outside[0].Element != DrawingElement {
			t.Errorf("%s: outside %+v", k.what, p.Outside)
		}
	}
}

// shareOfReadings returns the relative uncertainty of the rebuilt bare frequency
// that comes from the fit alone.
func shareOfReadings(r *Answer, b Rebuild) float64 {
	f, x := r.with(nil)
	s := Bare()
	e := r.numeric(f, x, "frequency", "Hz", func(x []float64) float64 { return math.Log(f.frequency(b.apply(f, x), &s, nil)) })
	return e.Uncertainty / e.Value
}

// The line after a rebuild is the line of the new elements.
func TestRebuiltLine(t *testing.T) {
	c := lighthouse()
	r := mustFit(t, Session{Log: c.session(rand.New(rand.NewPCG(52, 1)), 1e-7, 0, added(), added(2.2), added(10), added(22), added().rod(1), added(10).rod(1))})
	b := Rebuild{Inductance: 1.3, Winding: 0.8, Top: 0.5e-12, Core: "rod", Gain: 1.5}
	rebuilt := truth{l: 1.3 * c.l, cw: 0.8 * c.cw, ct: c.ct + 0.5e-12, gain: 1 + 1.5*(c.gain-1)}
	// The core's capacitance stays the same share of the winding's.
	rebuilt.core = 0.8 * c.core
	for _, s := range []State{Bare(), {Core: "rod", To: 1, Hand: math.Inf(1)}, {Exact: 3e-12, Hand: math.Inf(1)}} {
		p := r.Rebuilt(b, s, nil)
		if want := rebuilt.frequency(s, nil); math.Abs(p.Frequency.Value/want-1) > 2e-4 {
			t.Errorf("%+v: %v, want %v", s, p.Frequency.Value, want)
		}
	}
	if p := r.Rebuilt(b, State{Hand: 0.1}, nil); p.Frequency.Determined || len(p.Missing) != 1 || p.Missing[0].Kind != HandElement {
		t.Errorf("a hand never read: %+v", p)
	}
	alone := mustFit(t, Session{Log: c.session(rand.New(rand.NewPCG(52, 2)), 1e-4, 0, added(), added())})
	if p := alone.Rebuilt(Rebuild{Inductance: 1, Winding: 1, Top: 5e-12, Gain: 1}, Bare(), nil); p.Frequency.Determined {
		t.Errorf("5 pF more on a coil known by its frequency alone: %+v", p.Frequency)
	}
}

// Drawings that differ by nothing change nothing; a sweep is its drawings one by
// one, however many are computed at once.
func TestSweepOfDrawings(t *testing.T) {
	base := sketch()
	drawings := []Drawing{base, base, base}
	drawings[1].Coil.Beads.Spacing /= 2
	drawings[2].Coil.Ball *= 2
	count := 0
	drawn, err := PredictAll(drawings, func() { count++ })
	if err != nil || count != 3 {
		t.Fatal(count, err)
	}
	r := mustFit(t, asDrawn(t, drawn[0], 0, 1, added(), added(4.7), added(10), added(22), added().rod(1), added(10).rod(1)))
	rod := State{Core: "rod", To: 1, Hand: math.Inf(1)}
	points, err := r.Sweep(drawn[0], drawn, rod, nil)
	if err != nil || len(points) != 3 {
		t.Fatal(points, err)
	}
	now, gain := r.Predict(rod, nil).Frequency, r.Find(CoreGain, "rod", "", 0).Value
	if p := points[0]; math.Abs(p.Frequency.Value/now.Value-1) > 1e-9 || math.Abs(p.Frequency.Uncertainty/now.Uncertainty-1) > 1e-3 || math.Abs(p.Gain/gain-1) > 1e-12 {
		t.Errorf("nothing changed: %+v, now %+v and gain %v", p, now, gain)
	}
	closer := (drawn[1].Core.Full.Value - 1) / (drawn[0].Core.Full.Value - 1)
	if p := points[1]; math.Abs(p.Gain/(1+(gain-1)*closer)-1) > 1e-9 || !(p.Frequency.Value < now.Value) {
		t.Errorf("beads closer by half: %+v, now %+v and gain %v", p, now, gain)
	}
	if p := points[2]; math.Abs(p.Gain/gain-1) > 1e-9 || !(p.Frequency.Value < now.Value) {
		t.Errorf("a ball twice as large: %+v, now %+v", p, now)
	}
	drawings[1].Coil.Length = 0
	if _, err := PredictAll(drawings, func() {}); err == nil {
		t.Error("a winding of no length was computed")
	}
	before, after := drawn[0], *drawn[0]
	after.Drawing.Coil.Length = 0
	if _, err := r.Sweep(before, []*Drawn{&after}, rod, nil); err == nil {
		t.Error("a winding of no length was swept to")
	}
}
