package model

import (
	"math"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// The ladder takes the line's place: its sensitivities are those of its own
// frequency, by central differences, and with all capacitance on the top it is
// the lumped circuit, with as much inductance.
func TestLadderAsResonator(t *testing.T) {
	d := mustDraw(t, sketch())
	field := mustSection(t, d.Drawing)
	l := estimation.Session{Ladder: field, Drawn: d}.Resonator()
	for n, w := range []resonator.Winding{
		{Inductance: 1.3e-3, Capacitance: 6e-12, Top: 1e-12, Cores: nil},
		{Inductance: 1.3e-3, Capacitance: 6e-12, Top: 8e-12, Cores: []resonator.Stretch{{From: 0, To: 1, Gain: 1.6, Capacitance: 0.3e-12, Core: ""}}},
		{Inductance: 1.3e-3, Capacitance: 6e-12, Top: 2e-12, Cores: []resonator.Stretch{{From: 0, To: 0.5, Gain: 1.6, Capacitance: 0.2e-12, Core: ""}}},
	} {
		var r resonator.Resonance
		l.Resonate(w, &r)
		elements := map[string]func(*resonator.Winding) *float64{
			"inductance": func(w *resonator.Winding) *float64 { return &w.Inductance },
			"winding":    func(w *resonator.Winding) *float64 { return &w.Capacitance },
			"top":        func(w *resonator.Winding) *float64 { return &w.Top },
		}
		share := map[string]float64{"inductance": -0.5, "winding": r.PerWinding * w.Capacitance, "top": r.PerTop * w.Top}
		if len(w.Cores) > 0 {
			elements["gain"] = func(w *resonator.Winding) *float64 { return &w.Cores[0].Gain }
			elements["core"] = func(w *resonator.Winding) *float64 { return &w.Cores[0].Capacitance }
			share["gain"], share["core"] = r.Cores[0].PerGain, r.Cores[0].PerCapacitance*w.Cores[0].Capacitance
		}
		for name, at := range elements {
			omega := func(factor float64) float64 {
				c := w
				c.Cores = append([]resonator.Stretch(nil), w.Cores...)
				*at(&c) *= factor
				var r resonator.Resonance
				l.Resonate(c, &r)
				return r.Omega
			}
			const h = 1e-4
			want := (8*math.Log(omega(1+h)/omega(1-h)) - math.Log(omega(1+2*h)/omega(1-2*h))) / (12 * h)
			if !(math.Abs(share[name]-want) <= 1e-6*math.Abs(want)+1e-10) {
				t.Errorf("winding %d, %s: share %.10g, central difference %.10g", n, name, share[name], want)
			}
		}
	}
	var r resonator.Resonance
	l.Resonate(resonator.Winding{Inductance: 1.3e-3, Top: 1e-11}, &r)
	if want := 1 / math.Sqrt(1.3e-3*1e-11); !(math.Abs(r.Omega/want-1) <= 1e-9) || !(math.Abs(r.Capacitance/1e-11-1) <= 1e-9) ||
		!(math.Abs(r.BaseCurrent/(r.Omega*1e-11)-1) <= 1e-9) {
		t.Errorf("nothing along the winding: %+v, want ω = %v", r, want)
	}
	l.Resonate(resonator.Winding{Inductance: -1, Capacitance: 6e-12, Cores: make([]resonator.Stretch, 1)}, &r)
	if !math.IsNaN(r.Omega) || !math.IsNaN(r.PerTop) || !math.IsNaN(r.Cores[0].PerGain) {
		t.Errorf("a negative inductance rings at %+v", r)
	}
}

// A partly covered winding is known far better with its core drawn than with one
// guessed, or with the line that knows no mutual inductance.
func TestPartlyCoveredCountsByWhatIsKnown(t *testing.T) {
	d := mustDraw(t, sketch())
	s := asDrawn(t, d, 0, 1, simulated.Added(), simulated.Added(10), simulated.Added().Rod(1), simulated.Added().Rod(0.5))
	u := func(s estimation.Session) float64 {
		p := must.Get(estimation.NewProblem(s)).In(t)
		o := s.Log.Readings[3]
		x := p.Start(s.Log)
		end := p.CoverSlope(x, &o.State) * p.EndRead(&o.State)
		m := p.ModelUncertainty(x, &o.State)
		if want := math.Hypot(o.Uncertainty, m*o.Frequency); p.Weighed[3] != want || p.Weighed[2] != s.Log.Readings[2].Uncertainty {
			t.Errorf("readings weigh as ± %v, want %v for the partly covered alone", p.Weighed, want)
		}
		return math.Sqrt(m*m - end*end)
	}
	guessed, line := s, s
	guessed.Drawn = nil
	line.Drawn, line.Ladder = nil, nil
	for _, c := range []struct{ got, want float64 }{{u(s), resonator.PartlyDrawn}, {u(guessed), resonator.PartlyGuessed}} {
		if !(math.Abs(c.got/c.want-1) <= 1e-9) {
			t.Errorf("model uncertainty %v, want %v", c.got, c.want)
		}
	}
	if m := u(line); m < 3*resonator.PartlyDrawn {
		t.Errorf("model uncertainty of the line %v, of the ladder %v", m, resonator.PartlyDrawn)
	}
}

// The core drawn is one core: covering half of the winding from either end, it sticks
// out and does more than as many beads as fit there; a core of another name, and one
// that ends inside, are as long as the stretch. What their ends leave open differs too.
func TestDrawnCoreSticksOut(t *testing.T) {
	d := mustDraw(t, sketch())
	l := mustSection(t, d.Drawing)
	drawn := resonator.NewLadder(l, d.KnownCore())
	omega := func(from, to float64, core string) float64 {
		var r resonator.Resonance
		drawn.Resonate(resonator.Winding{Inductance: 1.3e-3, Capacitance: 6e-12, Top: 2e-12, Cores: []resonator.Stretch{{From: from, To: to, Gain: 1.32, Capacitance: 0, Core: core}}}, &r)
		return r.Omega
	}
	for _, c := range []struct {
		from, to float64
		out      bool
	}{{0, 0.5, true}, {0.5, 1, true}, {0, 1, false}, {0.3, 0.7, false}} {
		rod, other := omega(c.from, c.to, "rod"), omega(c.from, c.to, "stub")
		if out := rod < other*(1-1e-4); out != c.out || rod > other {
			t.Errorf("%v to %v: ω = %v with the core drawn, %v with another", c.from, c.to, rod, other)
		}
	}
	f := forward.Model{Resonator: drawn}
	at := func(core string) float64 { return f.EndRead(&readings.State{Core: core, To: 0.5}) }
	// Half of 14 mm in 240 mm, rectangular, beside half a per cent.
	if want := math.Hypot(0.005, 7./240) / math.Sqrt(3); !(math.Abs(at("rod")/want-1) <= 0.01) || at("stub") != forward.CoverRead {
		t.Errorf("ends known to %v and %v, want %v and %v", at("rod"), at("stub"), want, forward.CoverRead)
	}
}
