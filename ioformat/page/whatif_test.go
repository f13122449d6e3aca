package page

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
)

// All over the sliders' ranges the panel agrees with the model: frequencies to a tenth of a
// millionth, uncertainties to a hundredth, and so do the limits of what was read.
func TestPanelAgreesWithPredict(t *testing.T) {
	line, log := demo(t)
	results := map[string]*model.Result{
		"line": line, "ladder": drawn(t),
		"lumped": mustFit(t, estimation.Session{Log: log.Log, Lumped: true}),
		"robust": mustFit(t, estimation.Session{Log: log.Log, Robust: true}),
	}
	for name, text := range logs() {
		results[name], _ = fitted(t, text)
	}
	for name, r := range results {
		p := newPanel(r, nil)
		if p == nil {
			continue
		}
		rng := rand.New(rand.NewPCG(3, 1))
		for i := range p.Modes {
			m := &p.Modes[i]
			for n := range 60 {
				x := make([]float64, len(m.axes))
				for k, a := range m.axes {
					x[k] = a.anywhere(rng)
				}
				want := r.Frequency(m.state(p, x), nil)
				f, u := m.at(x)
				if !want.Determined {
					t.Fatalf("%s: core %q at %v isn't determined, but the panel says %g", name, m.core, x, f)
				}
				if d := math.Abs(f/want.Value - 1); !(d < 1e-7) {
					t.Fatalf("%s: core %q, near %v, at %v: %.9g Hz, want %.9g", name, m.core, m.near, x, f, want.Value)
				}
				if d := math.Abs(u/want.Uncertainty - 1); !(d < 0.01) {
					t.Fatalf("%s: core %q, near %v, at %v: ± %.5g Hz, want %.5g", name, m.core, m.near, x, u, want.Uncertainty)
				}
				if n > 9 { // the rest of a prediction takes its time
					continue
				}
				q := decisions.Predict(r.Result, m.state(p, x), nil)
				if q.Frequency.Value != want.Value || m.outside(x) != len(q.Outside) {
					t.Fatalf("%s: core %q, near %v, at %v: outside in %d respects, want %+v", name, m.core, m.near, x, m.outside(x), q.Outside)
				}
			}
		}
		for _, c := range append([]string{""}, p.Cores...) {
			for _, near := range []bool{false, true} {
				p.expect(t, name, r, mode{core: c, full: true, near: near})
				p.expect(t, name, r, mode{core: c, full: c == "", near: near})
			}
		}
	}
}

// expect reports a mode that the readings determine, but the panel lacks.
func (p *panel) expect(t *testing.T, name string, r *model.Result, m mode) {
	if m.near && p.Hand == nil {
		return
	}
	x := []float64{}
	axes := m.sliders(p)
	for i := range axes {
		x = append(x, axes[i].at(0.2))
	}
	for _, have := range p.Modes {
		if have.core == m.core && have.full == m.full && have.near == m.near {
			return
		}
	}
	if r.Frequency(m.state(p, x), nil).Determined {
		t.Errorf("%s: the panel lacks core %q, full %v, near %v", name, m.core, m.full, m.near)
	}
}

// anywhere is a random place in the range of a slider, its ends included.
func (a *axis) anywhere(rng *rand.Rand) float64 {
	if a.Values != nil {
		return a.Values[rng.IntN(a.N)]
	}
	switch t := 1.1*rng.Float64() - 0.05; {
	case t < 0 && a.Name != "covered":
		return a.From
	case t > 1 && a.Name != "covered":
		return a.To
	default:
		return a.From + (a.To-a.From)*math.Min(0.99, math.Max(0.01, t))
	}
}

// outside counts, as the page does, the limits that x passes.
func (m *mode) outside(x []float64) (n int) {
	at := map[string]float64{}
	for i, a := range m.axes {
		at[a.Name] = x[i]
	}
	if m.full {
		at["covered"] = 1
	}
	for _, o := range m.limits {
		l := limitText(o)
		if l.From > l.To || at[l.Axis] < l.From-1e-9*l.To || at[l.Axis] > l.To*(1+1e-9) {
			n++
		}
	}
	return n
}

// Sliders stand for what the readings say something about, and nothing else.
func TestPanelHasWhatTheReadingsDetermine(t *testing.T) {
	for name, want := range map[string]struct{ added, core, hand bool }{
		"bare only":    {},
		"no core":      {added: true},
		"only a hand":  {hand: true},
		"one distance": {added: true, hand: true},
		"only a core":  {core: true},
		"core always":  {added: true, core: true},
		"core at 30 %": {added: true, core: true},
	} {
		r, _ := fitted(t, logs()[name])
		p := newPanel(r, nil)
		if p == nil {
			p = &panel{}
		}
		if got := (struct{ added, core, hand bool }{p.Added != nil, len(p.Cores) > 0, p.Hand != nil}); got != want {
			t.Errorf("%s: sliders %+v, want %+v", name, got, want)
		}
	}
}

// Steps that people count in, a couple of hundred to a range.
func TestSliderSteps(t *testing.T) {
	for most, want := range map[float64]float64{40: 0.2, 80: 0.5, 8: 0.05, 100: 0.5, 250: 2, 1000: 5} {
		if got := step(most); !(math.Abs(got/want-1) <= 1e-12) {
			t.Errorf("0 to %g in steps of %g, want %g", most, got, want)
		}
	}
	for x, want := range map[float64]float64{33.2: 40, 40: 40, 0.99: 1, 1.1: 2, 2.2: 2.5, 8.1: 10} {
		if got := niceAbove(x); !(math.Abs(got/want-1) <= 1e-12) {
			t.Errorf("a round number above %g is %g, want %g", x, got, want)
		}
	}
}
