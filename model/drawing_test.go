package model

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// sketch is the lighthouse coil as drawn, in few slices.
func sketch() drawing.Drawing {
	return drawing.Drawing{Core: "rod", Coil: field.Coil{Turns: 640, Diameter: 28.3e-3, Length: 0.24, Wire: 0.32e-3, Ball: 18e-3, Slices: 24,
		Beads: field.Beads{Diameter: 14e-3, Length: 10e-3, Spacing: 14e-3, Count: 10, Permeability: 120}}}
}

// predicted and sectioned are what tests have drawn so far, which nothing changes, by drawing.
var (
	predicted = map[string]*drawing.Drawn{}
	sectioned = map[string]*field.Ladder{}
)

func mustDraw(t testing.TB, d drawing.Drawing, hands ...float64) *drawing.Drawn {
	t.Helper()
	key := fmt.Sprintf("%v%v", d, hands)
	if predicted[key] == nil {
		predicted[key] = must.Get(d.Predict(hands...)).In(t)
	}
	return predicted[key]
}

func mustSection(t testing.TB, d drawing.Drawing) *field.Ladder {
	t.Helper()
	key := fmt.Sprintf("%v", d)
	if sectioned[key] == nil {
		sectioned[key] = must.Get(d.Ladder()).In(t)
	}
	return sectioned[key]
}

// asDrawn simulates readings of the coil drawn, with its ladder: the top's
// capacitance more by stray [F], the inductance by a factor.
func asDrawn(t testing.TB, d *drawing.Drawn, stray, inductance float64, steps ...simulated.Step) estimation.Session {
	t.Helper()
	ladder := mustSection(t, d.Drawing)
	c := simulated.Lighthouse()
	log := c.Session(rand.New(rand.NewPCG(51, 1)), 1e-4, 0, steps...)
	drawn := estimation.Session{Ladder: ladder, Drawn: d}.Resonator()
	rng := rand.New(rand.NewPCG(51, 2))
	for i := range log.Readings {
		o := &log.Readings[i]
		w := resonator.Winding{Inductance: inductance * d.Inductance.Value, Capacitance: d.WindingCapacitance.Value, Top: stray + d.TopCapacitance.Value}
		for _, p := range o.Parts {
			w.Top += log.Parts[p].Capacitance
		}
		if o.Core != "" {
			w.Cores = []resonator.Stretch{{From: o.From, To: o.To, Gain: d.Find(quantities.CoreGain).Value, Capacitance: 0, Core: o.Core}}
		}
		var r resonator.Resonance
		drawn.Resonate(w, &r)
		f := r.Omega / (2 * math.Pi)
		o.Frequency, o.Uncertainty = f*(1+1e-4*rng.NormFloat64()), 1e-4*f
	}
	return estimation.Session{Log: log, Ladder: ladder, Drawn: d}
}

// What a drawing says is the field's word; how sure it is of it grows by what is
// uncertain in the drawing itself: a diameter 2 % larger, with as many turns and
// the same length, makes a slim coil's inductance nearly 4 % larger.
func TestDrawingCarriesWhatItsSizesLeaveOpen(t *testing.T) {
	sure := sketch()
	unsure := sketch()
	wide := unsure.Coil
	wide.Diameter *= 1.02
	loose := unsure.Coil
	loose.Beads.Spacing *= 1.1
	unsure.Variants = []field.Coil{wide, loose}
	a, b := mustDraw(t, sure, 0.1), mustDraw(t, unsure, 0.1)
	if len(a.Estimates) != len(b.Estimates) || len(a.Estimates) != 10 {
		t.Fatalf("%d and %d estimates, want 10", len(a.Estimates), len(b.Estimates))
	}
	relative := func(d *drawing.Drawn, name string) float64 { return d.Find(name).Uncertainty / d.Find(name).Value }
	own := func(name string) float64 {
		return math.Sqrt(math.Pow(relative(b, name), 2) - math.Pow(relative(a, name), 2))
	}
	if l := own(quantities.Inductance); !(math.Abs(l/0.04-1) <= 0.1) {
		t.Errorf("a diameter 2 %% uncertain adds %v to the inductance, want nearly 0.04", l)
	}
	if l, f := own(quantities.Inductance), own(quantities.BareFrequency); !(math.Abs(f/l-0.5) <= 1e-6) {
		t.Errorf("it adds %v to the frequency, want half of %v", f, l)
	}
	if u := own(quantities.WindingCapacitance); u != 0 {
		t.Errorf("it adds %v to the winding's capacitance", u)
	}
	alone := func(c field.Coil) float64 { return math.Log(must.Get(c.FullGain()).In(t) / a.Core.Full.Value) }
	if g, want := own(quantities.CoreGain), math.Hypot(alone(loose), alone(wide)); !(math.Abs(g/want-1) <= 1e-6) {
		t.Errorf("a spacing 10 %% and a diameter 2 %% uncertain add %v to the gain, want %v", g, want)
	}
	if g, l, f := own("gain_as_placed"), own(quantities.Inductance), own("frequency_with_core"); !(math.Abs(f/(math.Hypot(g, l)/2)-1) <= 1e-6) {
		t.Errorf("both add %v to the frequency with the core, want half of %v and %v in squares", f, g, l)
	}
	for _, e := range a.Estimates {
		if lo, hi := e.Interval[0], e.Interval[1]; !(e.Determined && e.Value > 0 && lo < e.Value && e.Value < hi) || e.Budget.Known != 1 ||
			!(math.Abs(math.Log(hi/lo)/2/1.959963984540054-e.Uncertainty/e.Value) <= 1e-9) { // Φ⁻¹(0.975), of tables
			t.Errorf("%+v", e)
		}
	}
	// A hand lowers the frequency as its capacitance on the top does: by ½ f ΔC/C,
	// a product, whose relative uncertainties add in squares.
	h := a.Prediction.Hands[0]
	for _, e := range a.Estimates {
		if want := a.Frequency.Value - h.Frequency.Value; e.Name == quantities.HandFrequencyDrop && (e.Hand != 0.1 || e.Value != want) {
			t.Errorf("drop %+v, want %v", e, want)
		}
		want := math.Hypot(h.Capacitance.Relative, a.Frequency.Relative)
		if u := e.Uncertainty / e.Value; e.Name == quantities.HandFrequencyDrop && math.Abs(u/want-1) > 1e-12 {
			t.Errorf("drop uncertain by %v, want %v", u, want)
		}
	}
}

// Readings of the coil as drawn agree with the drawing, and what stands on the
// top beyond the drawing is the stray capacitance.
func TestReadingsCheckTheDrawing(t *testing.T) {
	d := mustDraw(t, sketch())
	const stray = 0.4e-12
	steps := []simulated.Step{simulated.Added(), simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added().Rod(1), simulated.Added(10).Rod(1), simulated.Added().Rod(0.5)}
	r := mustFit(t, asDrawn(t, d, stray, 1, steps...))
	if r.Resonator != "ladder" {
		t.Errorf("resonator %q", r.Resonator)
	}
	seen := map[string]bool{}
	for _, c := range r.Checks {
		seen[c.Drawn.Name] = true
		if c.Drawn.Name != quantities.TopCapacitance && c.Drawn.Name != quantities.BareFrequency && !(math.Abs(c.Sigmas) < 2.5) {
			t.Errorf("%s: drawn %v ± %v, read %v ± %v, %v sigmas", c.Drawn.Name, c.Drawn.Value, c.Drawn.Uncertainty, c.Readings.Value, c.Readings.Uncertainty, c.Sigmas)
		}
	}
	for _, name := range []string{quantities.Inductance, quantities.WindingCapacitance, quantities.TopCapacitance, quantities.BareFrequency, quantities.CoreGain} {
		if !seen[name] {
			t.Errorf("%s isn't checked", name)
		}
	}
	e := r.Find(quantities.Key{Name: quantities.StrayCapacitance})
	if e == nil || !e.Determined || !(math.Abs(e.Value-stray) <= 3*e.Uncertainty) {
		t.Fatalf("stray capacitance %+v, want %v", e, stray)
	}
	top, own := r.Find(quantities.Key{Name: quantities.TopCapacitance}), d.Find(quantities.TopCapacitance)
	if u := math.Hypot(top.Uncertainty, own.Uncertainty); !(math.Abs(e.Uncertainty/u-1) <= 1e-12) {
		t.Errorf("its uncertainty is %v, want %v", e.Uncertainty, u)
	}
	if b := e.Budget; !(math.Abs(b.Readings+b.Tolerance+b.Known+b.Assumed-1) <= 1e-9) || !(b.Known > math.Pow(own.Uncertainty/e.Uncertainty, 2)) {
		t.Errorf("its budget %+v", b)
	}

	// A coil with 6 % more inductance than drawn isn't the coil drawn; what the
	// check says of the readings must not lean on the drawing.
	other := asDrawn(t, d, stray, 1.06, steps...)
	for _, c := range mustFit(t, other).Checks {
		if c.Drawn.Name == quantities.Inductance && (!(c.Sigmas > 2) || math.Abs(c.Readings.Value/(1.06*d.Inductance.Value)-1) > 0.01) {
			t.Errorf("inductance drawn %v, read %v ± %v, %v sigmas", c.Drawn.Value, c.Readings.Value, c.Readings.Uncertainty, c.Sigmas)
		}
	}
}

// With a drawing, plain frequencies have something to split them: what they say
// of the inductance is then the drawing's word.
func TestDrawingSplitsFrequenciesAlone(t *testing.T) {
	d := mustDraw(t, sketch())
	s := asDrawn(t, d, 0, 1, simulated.Added(), simulated.Added())
	l := mustFit(t, s).Find(quantities.Key{Name: quantities.Inductance})
	if !l.Determined || l.Uncertainty > d.Find(quantities.Inductance).Uncertainty || !(l.Budget.Known > 0.5) || !l.MostlyPrior() {
		t.Errorf("inductance %+v from a drawing with %v", l, d.Find(quantities.Inductance).Uncertainty)
	}
	s.Drawn = nil
	if l := mustFit(t, s).Find(quantities.Key{Name: quantities.Inductance}); l.Determined {
		t.Errorf("inductance %+v from plain frequencies", l)
	}
}

func TestImpossibleDrawing(t *testing.T) {
	d := sketch()
	d.Coil.Turns = 2000
	if drawn, err := d.Predict(); err == nil {
		t.Errorf("2000 turns of 0.32 mm on 240 mm: %+v", drawn.Inductance)
	}
}

// One wrong row of a sheet makes good parts look off, and is told as the only contradiction, for
// without it they aren't; so many standard deviations off as by the readings alone. A part off besides is told beside it.
func TestWrongDrawingIsTheOnlyCause(t *testing.T) {
	d := mustDraw(t, sketch())
	s := asDrawn(t, d, 0.4e-12, 0.7, simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added())
	for i := range s.Log.Parts {
		s.Log.Parts[i].Uncertainty = 0.01 / 1.96 * s.Log.Parts[i].Capacitance
	}
	told := func(s estimation.Session) (r *Result, names []string) {
		r = mustFit(t, s)
		for _, f := range r.Findings {
			if f.Undermines() {
				names = append(names, f.Name)
			}
		}
		return r, names
	}
	r, names := told(s)
	if !slices.Equal(names, []string{quantities.Inductance}) {
		t.Fatalf("contradicted: %q, want the inductance alone", names)
	}
	for _, c := range r.Checks {
		if c.Drawn.Name == quantities.Inductance && !(c.Sigmas < -10) {
			t.Errorf("inductance %v σ off the drawing, contradicted by %v", c.Sigmas, r.Findings[0].Other)
		}
	}
	i := slices.IndexFunc(s.Log.Parts, func(p readings.Part) bool { return p.Capacitance == 10e-12 })
	s.Log.Parts[i].Capacitance *= 1.15
	if _, names = told(s); !slices.Contains(names, quantities.Inductance) || !slices.Contains(names, s.Log.Parts[i].Name) {
		t.Errorf("with a part off as well: %q", names)
	}
}
