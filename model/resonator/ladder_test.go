package resonator

import (
	"math"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/field"
)

// What a Resonator tells of a ladder is what the field's sections tell, number by number; of a core
// slid in from either end the whole drawn length counts, of one inside, or of another, none. What
// is known of the core drawn.
func TestLadderTellsWhatItsSectionsDo(t *testing.T) {
	coil := field.Coil{Turns: 400, Diameter: 30e-3, Length: 280e-3, Wire: 0.3e-3, Ball: 18e-3, Height: 50e-3,
		Beads: field.Beads{Count: 10, Length: 24e-3, Diameter: 10e-3, Spacing: 4e-3, Permeability: 120}}
	sections := must.Get(field.NewLadder(coil.Shape())).In(t)
	l := NewLadder(sections, &DrawnCore{Name: "rod", Length: 0.276, Gap: 0.014})
	for _, c := range []struct {
		core     string
		from, to float64
		length   float64
	}{{"", 0, 0, 0}, {"rod", 0, 0.4, 0.276}, {"rod", 0.6, 1, 0.276}, {"rod", 0.2, 0.5, 0}, {"rod", 0, 1, 0}, {"other", 0, 0.4, 0}} {
		w := Winding{Inductance: 1.2e-3, Capacitance: 5e-12, Top: 1e-12}
		state := field.State{Inductance: 1.2e-3, Capacitance: 5e-12, Top: 1e-12}
		if c.core != "" {
			w.Cores = []Stretch{{From: c.from, To: c.to, Gain: 1.5, Capacitance: 0.2e-12, Core: c.core}}
			state.Cores = []field.Stretch{{From: c.from, To: c.to, Length: c.length, Gain: 1.5, Capacitance: 0.2e-12}}
		}
		var m field.Mode
		sections.Resonate(state, &m)
		var r Resonance
		l.Resonate(w, &r)
		if r.Omega != m.Omega || r.Capacitance != m.Capacitance || r.BaseCurrent != m.BaseCurrent || r.Coupling != m.Coupling || r.PerWinding != m.PerWinding || r.PerTop != m.PerTop || len(r.Cores) != len(w.Cores) {
			t.Errorf("%+v: %+v, want %+v", c, r, m)
		}
		for i, core := range r.Cores {
			if core.PerGain != m.Cores[i].PerGain || core.PerCapacitance != m.Cores[i].PerCapacitance || !(core.PerGain < 0) {
				t.Errorf("%+v: core %+v, want %+v", c, core, m.Cores[i])
			}
		}
		if p, want := l.Profile(0.28), m.Profile(0.28); len(p.Height) != len(want.Height) || p.Voltage[3] != want.Voltage[3] {
			t.Errorf("%+v: profile %v, want %v", c, p, want)
		}
	}
	if !l.Knows("rod") || l.Knows("other") || l.Gap("rod") != 0.014 || l.Gap("other") != 0 || l.Partly("rod") != 0.0003 || l.Partly("other") != 0.01 || l.Polarisation() != sections.CoreCapacitance() {
		t.Error("what is known of the rod")
	}
	if any := NewLadder(sections, &DrawnCore{}); !any.Knows("other") {
		t.Error("a core without a name isn't any")
	}
	if none := NewLadder(sections, nil); none.Knows("rod") || none.Gap("rod") != 0 || none.Partly("rod") != 0.01 {
		t.Error("no core is known")
	}
	r := Resonance{Cores: make([]CoreShare, 0, 4)}
	l.Resonate(Winding{Inductance: -1, Capacitance: 5e-12, Top: 1e-12, Cores: []Stretch{{To: 1, Gain: 1.5}}}, &r)
	for i, v := range []float64{r.Omega, r.Capacitance, r.BaseCurrent, r.Coupling, r.PerWinding, r.PerTop, r.Cores[0].PerGain, r.Cores[0].PerCapacitance} {
		if !math.IsNaN(v) {
			t.Errorf("of an impossible winding number %d is %v", i, v)
		}
	}
}

// Every number of a line without a resonance, in one piece and in several, is NaN: without
// inductance or capacitance, with a top below what a clip may take away, with infinite elements.
// On the other side of each limit there is one.
func TestLineWithoutAResonance(t *testing.T) {
	good := Winding{Inductance: 1e-3, Capacitance: 4e-12, Top: 1e-12}
	for what, c := range map[string]struct {
		change func(w *Winding)
		sound  bool
	}{
		"good":             {func(w *Winding) {}, true},
		"no inductance":    {func(w *Winding) { w.Inductance = 0 }, false},
		"no capacitance":   {func(w *Winding) { w.Capacitance, w.Top = 0, 0 }, false},
		"all at the top":   {func(w *Winding) { w.Capacitance = 0 }, true},
		"below":            {func(w *Winding) { w.Top = -1.01e-12 }, false},
		"a quarter below":  {func(w *Winding) { w.Top = -0.99e-12 }, true},
		"endless":          {func(w *Winding) { w.Inductance = math.Inf(1) }, false},
		"endless top":      {func(w *Winding) { w.Top = math.Inf(1) }, false},
		"negative winding": {func(w *Winding) { w.Capacitance = -1e-13 }, false},
	} {
		for _, cores := range [][]Stretch{nil, {{From: 0, To: 1, Gain: 1, Capacitance: 0}}, {{From: 0.2, To: 0.5, Gain: 1}}} {
			w := good
			w.Cores = cores
			c.change(&w)
			var r Resonance
			(&Line{}).Resonate(w, &r)
			all := []float64{r.Omega, r.Capacitance, r.BaseCurrent, r.Coupling, r.PerWinding, r.PerTop}
			for _, s := range r.Cores {
				all = append(all, s.PerGain, s.PerCapacitance)
			}
			for i, v := range all {
				if math.IsNaN(v) == c.sound || len(r.Cores) != len(cores) {
					t.Errorf("%s, %d cores: number %d is %v", what, len(cores), i, v)
				}
			}
		}
	}
}

// Nor has a line of which a piece has less than no inductance or capacitance, whatever the whole has; with none at all it has.
func TestPieceBelowNothing(t *testing.T) {
	for _, c := range []struct {
		gain, farad float64
		sound       bool
	}{{2, 1e-12, true}, {0, 1e-12, true}, {-0.1, 1e-12, false}, {2, -1.19e-12, true}, {2, -1.21e-12, false}} { // 4 pF · 0.3 along it
		w := Winding{Inductance: 1e-3, Capacitance: 4e-12, Top: 1e-12, Cores: []Stretch{{From: 0.2, To: 0.5, Gain: c.gain, Capacitance: c.farad}}}
		var r Resonance
		(&Line{}).Resonate(w, &r)
		for i, v := range []float64{r.Omega, r.Capacitance, r.BaseCurrent, r.Coupling, r.PerWinding, r.PerTop, r.Cores[0].PerGain, r.Cores[0].PerCapacitance} {
			if math.IsNaN(v) == c.sound {
				t.Errorf("gain %v, %v F: number %d is %v", c.gain, c.farad, i, v)
			}
		}
	}
}

// A core that covers nothing has no say, whatever a mode before had of one.
func TestCoreThatCoversNothing(t *testing.T) {
	var r, bare Resonance
	line := &Line{}
	w := Winding{Inductance: 1e-3, Capacitance: 4e-12, Top: 1e-12, Cores: []Stretch{{From: 0, To: 0.6, Gain: 2, Capacitance: 1e-12}}}
	if line.Resonate(w, &r); !(r.Cores[0].PerGain < 0) || !(r.Cores[0].PerCapacitance < 0) {
		t.Errorf("a core: %+v", r.Cores)
	}
	w.Cores[0].To = 0
	line.Resonate(w, &r)
	w.Cores = nil
	(&Line{}).Resonate(w, &bare)
	if len(r.Cores) != 1 || r.Cores[0] != (CoreShare{}) || !(math.Abs(r.Omega/bare.Omega-1) <= 1e-12) {
		t.Errorf("covering nothing: %+v at %v, want %v", r.Cores, r.Omega, bare.Omega)
	}
}

// A core of gain one that adds nothing changes nothing, wherever it ends; and what a primary at the
// foot sees of the mode is 0.87 of what it is above one: base current over its root mean square,
// √2 for a quarter wave (a line alone), one where all capacitance is at the top.
func TestCoupledAtTheFoot(t *testing.T) {
	for _, c := range []struct{ winding, top, want float64 }{{4e-12, 0, 1 + 0.87*(math.Sqrt2-1)}, {0, 4e-12, 1}} {
		for _, cores := range [][]Stretch{nil, {{From: 0, To: 1, Gain: 1}}, {{From: 0.2, To: 0.7, Gain: 1}}} {
			var r Resonance
			(&Line{}).Resonate(Winding{Inductance: 1e-3, Capacitance: c.winding, Top: c.top, Cores: cores}, &r)
			if !(math.Abs(r.Coupling/c.want-1) <= 1e-8) {
				t.Errorf("%g F along, %g F at the top, %d cores: %v, want %v", c.winding, c.top, len(cores), r.Coupling, c.want)
			}
		}
	}
}

// A core of known length that covers one end of the winding sticks out there by what isn't in; one that is
// all in, or ends inside at both ends, doesn't; nor does any other core.
func TestCoreThatSticksOut(t *testing.T) {
	l := NewLadder(nil, &DrawnCore{Name: "rod", Length: 0.3, Gap: 0.01})
	for _, c := range []struct {
		s    Stretch
		want float64
	}{
		{Stretch{From: 0, To: 0.5, Core: "rod"}, 0.3}, {Stretch{From: 0.5, To: 1, Core: "rod"}, 0.3}, {Stretch{From: 0, To: 1, Core: "rod"}, 0},
		{Stretch{From: 0.2, To: 0.7, Core: "rod"}, 0}, {Stretch{From: 0, To: 0.5, Core: "yoke"}, 0},
	} {
		if got := l.slid(&c.s); got != c.want {
			t.Errorf("%+v: %v long, want %v", c.s, got, c.want)
		}
	}
	if l.Gap("rod") != 0.01 || l.Gap("yoke") != 0 || l.Partly("rod") != PartlyDrawn || l.Partly("yoke") != PartlyGuessed || NewLadder(nil, &DrawnCore{}).Partly("any") != PartlyDrawn {
		t.Error("what is known of a core")
	}
}
