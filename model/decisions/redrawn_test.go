package decisions

import (
	"errors"
	"math"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
	"fitcoil/model/voltage"
)

// The value of a drawing that gives a frequency: of a coil whose inductance goes as the fourth power of
// a value, and nothing else, the frequency goes as its inverse square, so that the value and its
// uncertainty, half the frequency's, are known in closed form. A whole number is the nearest; what can't be drawn is told; what hardly
// changes the frequency, or can't come near it, leaves the closest.
func TestValueThatGivesAFrequency(t *testing.T) {
	r := tried(t, 51)
	coil := field.Coil{Turns: 400, Diameter: 30e-3, Length: 280e-3, Wire: 0.3e-3, Slices: 24}
	drawn := func(l float64) *drawing.Drawn {
		var list []quantities.Estimate
		for name, v := range map[string]float64{quantities.Inductance: l, quantities.WindingCapacitance: 5e-12, quantities.TopCapacitance: 1e-12} {
			list = append(list, quantities.Estimate{Key: quantities.Key{Name: name}, Value: v, Determined: true})
		}
		return &drawing.Drawn{Prediction: &field.Prediction{}, Drawing: drawing.Drawing{Coil: coil}, Estimates: list}
	}
	before, bare := drawn(1e-3), readings.Bare()
	square := func(v float64) (*drawing.Drawn, error) { return drawn(1e-3 * math.Pow(v/400, 4)), nil }
	now := Predict(r, bare, nil).Frequency.Value
	out, err := ReachRedrawn(r, 0.9*now, before, bare, nil, 400, false, square)
	if want := 400 / math.Sqrt(0.9); err != nil || !out.Reachable || !(math.Abs(out.Setting.Value/want-1) <= 2e-5) || !(math.Abs(out.At.Frequency.Value/now/0.9-1) <= 2e-5) || out.Closest != out.Setting.Value {
		t.Errorf("%+v, %v, want %v", out.Setting, err, want)
	}
	if e, f := &out.Setting, &out.At.Frequency; !(math.Abs(e.Uncertainty/e.Value/(f.Uncertainty/f.Value)-0.5) <= 1e-3) || !(math.Abs(e.Stated/e.Value/(f.Stated/f.Value)-0.5) <= 1e-3) || e.Budget != f.Budget || !(math.Abs(math.Log(e.Interval[1]/e.Value)-e.Coverage*e.Uncertainty/e.Value) <= 1e-9) {
		t.Errorf("%+v of %+v", e, f)
	}
	out, err = ReachRedrawn(r, 0.9*now, before, bare, nil, 400, true, square)
	if err != nil || !out.Reachable || !(math.Abs(out.Setting.Value-422) <= 1e-9) {
		t.Errorf("whole turns: %+v, %v", out.Setting, err)
	}
	out, err = ReachRedrawn(r, 0.1*now, before, bare, nil, 400, false, square) // 3.2 times as much: three at most
	if err != nil || out.Reachable || !(math.Abs(out.Closest/1200-1) <= 1e-9) || out.Setting.Determined {
		t.Errorf("too far: %+v, closest %v", out.Setting, out.Closest)
	}
	out, err = ReachRedrawn(r, 0.9*now, before, bare, nil, 400, false, func(float64) (*drawing.Drawn, error) { return drawn(1e-3), nil })
	if err != nil || out.Reachable || out.Closest != 400 || !(math.Abs(out.At.Frequency.Value/now-1) <= 1e-12) {
		t.Errorf("what changes nothing: %+v, closest %v", out.Setting, out.Closest)
	}
	broken := errors.New("no such coil")
	if _, err = ReachRedrawn(r, 0.9*now, before, bare, nil, 400, false, func(float64) (*drawing.Drawn, error) { return nil, broken }); err != broken {
		t.Error(err)
	}
	if out, _ := ReachRedrawn(r, 0.9*now, before, stateOf(func(s *readings.State) { s.Core, s.To = "yoke", 1 }), nil, 400, false, square); out.Reachable || out.Closest != 400 || out.At.Missing == nil {
		t.Errorf("a core that isn't there: %+v", out)
	}
}

// Where the voltage stands is told of a drawn winding, with the core where the state has it: it sticks
// out at the end that it covers, half a gap behind its last bead.
func TestVoltageWhereTheCoreIs(t *testing.T) {
	coil := field.Coil{Turns: 400, Diameter: 30e-3, Length: 280e-3, Wire: 0.3e-3, Ball: 18e-3, Height: 50e-3, Slices: 24,
		Beads: field.Beads{Count: 10, Length: 24e-3, Diameter: 10e-3, Spacing: 4e-3, Permeability: 120}}
	d, err := (drawing.Drawing{Core: "rod", Coil: coil}).Predict()
	if err != nil {
		t.Fatal(err)
	}
	ladder := must.Get(field.NewLadder(coil.Shape())).In(t)
	r := tried(t, 52)
	s := r.Session
	s.Ladder, s.Drawn = ladder, d
	if r, err = estimation.Fit(s); err != nil {
		t.Fatal(err)
	}
	f, x := r.With(nil)
	for _, c := range []struct {
		from, to, start float64
		core            string
	}{{0, 0, 0, ""}, {0, 1, 0, "rod"}, {0, 0.4, 0.4*280e-3 - 280e-3 + 2e-3, "rod"}, {0.6, 1, 0.6*280e-3 + 2e-3, "rod"}, {0, 0.4, 0, "other"}} {
		state := readings.State{Core: c.core, From: c.from, To: c.to, Hand: math.Inf(1)}
		got := stress(r, f, x, &state)
		if c.core == "other" { // no gain of it is known
			if got != nil {
				t.Errorf("%+v: %+v", c, got)
			}
			continue
		}
		at := coil
		at.Beads.Start = c.start
		f.At(x, &state)
		want := voltage.Of(at, f.Resonator.(*resonator.Ladder).Profile(coil.Length), c.core != "")
		if got == nil || got.Gradient != want.Gradient || got.Current != want.Current || !slices.Equal(got.Beads, want.Beads) || !slices.Equal(got.Gaps, want.Gaps) {
			t.Errorf("%+v: %+v, want %+v", c, got, want)
		}
	}
	if stress(tried(t, 52), tried(t, 52).Problem.Model, r.Solution.X, &readings.State{Hand: math.Inf(1)}) != nil {
		t.Error("a winding that isn't drawn")
	}
}

// A new capacitor and a meter do what is said: a fit with the one among the parts, or the other's
// value in place of the tolerance, has that uncertainty.
func TestANewCapacitorAndAMeterDoWhatIsSaid(t *testing.T) {
	r := tried(t, 53)
	want := Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}, State: readings.Bare()}
	e := func(c Candidate, change func(s *estimation.Session)) {
		t.Helper()
		if c.Kind == MeasureWinding {
			want.Name = quantities.Inductance // which is then hardly known by anything else
		}
		out := Next(r, want, []Candidate{c, {State: readings.Bare()}}, nil, 1)
		i := slices.IndexFunc(out.Ranked, func(s Suggestion) bool { return s.Kind == c.Kind })
		s := r.Session
		s.Log.Readings, s.Log.Parts = slices.Clone(s.Log.Readings), slices.Clone(s.Log.Parts)
		change(&s)
		o := must.Get(estimation.Fit(s)).In(t)
		if b, is := out.Ranked[i].After.Budget, o.Find(want.Key).Budget; !(math.Abs(b.Known-is.Known) <= 0.05) || !(math.Abs(b.Readings+b.Tolerance-is.Readings-is.Tolerance) <= 0.05) {
			t.Errorf("%+v: variance from %+v said, %+v done", c, b, is)
		}
		if got, done := out.Ranked[i].After.Stated, o.Find(want.Key).Stated; !(math.Abs(got/done-1) <= 0.015) || out.Ranked[i].Relative != c.Relative {
			t.Errorf("%+v: ± %.5g said, ± %.5g done", c, got, done)
		}
	}
	e(Candidate{Kind: ReadNew, State: readings.Bare(), New: [2]float64{22e-12, 22e-12}, Relative: 0.01}, func(s *estimation.Session) {
		s.Log.Parts = append(s.Log.Parts, readings.Part{Name: "new", Capacitance: 22e-12, Uncertainty: 0.22e-12, Known: true})
		state := stateOf(func(o *readings.State) { o.Parts = []int{len(s.Log.Parts) - 1} })
		c := s.Log.Readings[0]
		c.State, c.Frequency = state, r.Frequency(state2(r, 22e-12), nil).Value
		c.Uncertainty = r.TypicalUncertainty() * c.Frequency
		s.Log.Readings = append(s.Log.Readings, c)
	})
	e(Candidate{Kind: MeasurePart, State: readings.Bare(), Part: 1, Relative: 0.004}, func(s *estimation.Session) {
		p := &s.Log.Parts[1]
		p.Capacitance = r.Problem.Part(r.Solution.X, 1) // as the fit has it
		p.Uncertainty = 0.004 * p.Capacitance
	})
	e(Candidate{Kind: MeasureWinding, State: readings.Bare(), Relative: 1e-4}, func(s *estimation.Session) {
		l := r.Find(quantities.Key{Name: quantities.Inductance}).Value
		s.Known = []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: l, Uncertainty: 1e-4 * l}}
	})
}

// state2 has so much on the top, with a clip.
func state2(r *estimation.Result, farad float64) readings.State {
	return stateOf(func(s *readings.State) { s.Exact, s.Clip = farad, true })
}
