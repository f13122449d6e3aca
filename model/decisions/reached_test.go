package decisions

import (
	"math"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// A setting takes the place of what the state had: a core of some stretch starts at the grounded end, capacitance
// comes to what is there already, however much a low frequency takes. Where nothing can be predicted, the state stays
// as it was; of what doesn't reach, the end that comes nearer is told.
func TestSettingTakesItsPlace(t *testing.T) {
	r := tried(t, 101)
	f, x := r.With(nil)
	hz := func(s readings.State) float64 { return f.Frequency(x, &s, nil) }
	upper := stateOf(func(s *readings.State) { s.Core, s.From, s.To = "rod", 0.3, 1 })
	lower := upper
	lower.From, lower.To = 0, 0.7
	got := Reach(r, hz(lower), upper, nil, ByCovered, 0.02)
	near.Times(t, "covered", got.Setting.Value, 0.7, 1e-6)
	if got.At.State.From != 0 || !readings.Same(&got.Start, &upper) || got.By != ByCovered || got.Setting.Unit != "1" {
		t.Errorf("%+v", got)
	}
	for _, exact := range []float64{0, 5e-12} {
		s := stateOf(func(s *readings.State) { s.Exact, s.Clip = exact, true })
		more := s
		more.Exact = 2500 * math.Exp(x[forward.AtC])
		got := Reach(r, hz(more), s, nil, ByAdded, 0.02)
		near.Times(t, "added", got.Setting.Value, more.Exact-exact, 1e-6)
		if !got.Reachable || got.Setting.Unit != "F" {
			t.Errorf("%+v", got)
		}
	}
	for d, unit := range map[float64]string{2e-3: "m", 0.15: "m", 30: "m"} {
		got := Reach(r, hz(stateOf(func(s *readings.State) { s.Hand = d })), readings.Bare(), nil, ByHand, 0.02)
		near.Times(t, "hand", got.At.State.Hand, d, 1e-3)
		if got.Setting.Determined && got.Setting.Unit != unit || got.Standard != nil {
			t.Errorf("hand at %v: %+v", d, got)
		}
	}
	for factor, want := range map[float64]float64{1.01: 0, 0.1: 1} {
		got := Reach(r, factor*hz(readings.Bare()), stateOf(func(s *readings.State) { s.Core = "rod" }), nil, ByCovered, 0.02)
		if got.Reachable || got.Closest != want || got.Setting.Determined || got.Target != factor*hz(readings.Bare()) {
			t.Errorf("%v of the bare frequency: %+v", factor, got)
		}
	}
	unknown := []readings.Part{{Name: "new"}}
	s := stateOf(func(s *readings.State) { s.Parts = []int{len(r.Parts())} })
	if got := Reach(r, 0.8*hz(readings.Bare()), s, unknown, ByAdded, 0.02); got.Reachable || got.Setting.Determined || !readings.Same(&got.At.State, &s) || got.At.State.Exact != 0 || len(got.At.Missing) != 1 {
		t.Errorf("with a part of no value: %+v", got)
	}
	if got := Reach(r, hz(stateOf(func(s *readings.State) { s.Exact, s.Clip = smallest/2, true })), stateOf(func(s *readings.State) { s.Clip = true }), nil, ByAdded, 0.02); !got.Reachable || got.Standard != nil {
		t.Errorf("half of what is sold: %+v", got)
	}
	near.Times(t, "yardstick", yardstick(r, ByAdded, 3e-12), 3e-12+math.Exp(x[forward.AtC]), 1e-12)
}

// Parts at hand are told as far as they come nearer than the state itself, no more than asked for, with what it has.
func TestPartsThatComeNearer(t *testing.T) {
	r := tried(t, 102)
	f, x := r.With(nil)
	s := stateOf(func(s *readings.State) { s.Parts = []int{1} })
	with := func(parts ...int) readings.State {
		return stateOf(func(s *readings.State) { s.Parts = append([]int{1}, parts...) })
	}
	hz := func(s readings.State) float64 { return f.Frequency(x, &s, nil) }
	if got := NearestAtHand(r, 1.5*hz(s), s, nil, []int{0, 2}, 5); got != nil {
		t.Errorf("for a higher frequency: %+v", got)
	}
	one, two, both := hz(with(0)), hz(with(2)), hz(with(0, 2))
	got := NearestAtHand(r, math.Sqrt(two*both), s, nil, []int{0, 2}, 2)
	off := func(v float64) float64 { return math.Abs(math.Log(v / math.Sqrt(two*both))) }
	if len(got) != 2 || !(off(one) > off(two)) {
		t.Fatalf("%+v", got)
	}
	for i, want := range [][]int{{1, 2, 0}, {1, 2}} {
		if off(two) < off(both) {
			want = [][]int{{1, 2}, {1, 2, 0}}[i]
		}
		if !slices.Equal(got[i].State.Parts, want) || got[i].Frequency.Value != Predict(r, with(want[1:]...), nil).Frequency.Value {
			t.Errorf("%d: %+v, want %v", i, got[i].State, want)
		}
	}
}

// A rebuilt coil whose readings are too coarse, or a state with a part of no value, has no frequency, and it is said
// why; only a core that is where it was drawn moves with its beads.
func TestRebuiltWithoutAFrequency(t *testing.T) {
	r := tried(t, 103)
	none := Rebuild{Inductance: 1, Winding: 1, Gain: 1}
	s := stateOf(func(s *readings.State) { s.Parts = []int{len(r.Parts())} })
	p := Rebuilt(r, none, s, []readings.Part{{Name: "new"}})
	if p.Frequency.Determined || p.Frequency.Name != "frequency" || !math.IsNaN(p.Frequency.Value) || !slices.Equal(p.Missing, []Missing{{AddedElement, "new"}}) || p.Nearest != -1 || !readings.Same(&p.State, &s) {
		t.Errorf("%+v", p)
	}
	before := Predict(r, readings.Bare(), nil)
	if p := Rebuilt(r, none, readings.Bare(), nil); p.Nearest != before.Nearest || p.Nearest < 0 {
		t.Errorf("nearest %d, want %d", p.Nearest, before.Nearest)
	} else {
		near.Times(t, "interval", math.Log(p.Frequency.Interval[1]/p.Frequency.Value), p.Frequency.Coverage*p.Frequency.Uncertainty/p.Frequency.Value, 1e-9)
		near.Times(t, "new reading", p.NewReading[0], before.NewReading[0], 1e-6)
		near.Times(t, "new reading", p.NewReading[1], before.NewReading[1], 1e-6)
	}
	r.Scatter.Scale *= 0.6 / r.TypicalUncertainty()
	if p := Rebuilt(r, none, readings.Bare(), nil); p.Frequency.Determined || p.Frequency.Name != "frequency" || !slices.Equal(p.Missing, []Missing{{Kind: AddedElement}}) {
		t.Errorf("of coarse readings: %+v", p)
	}
	b := Rebuild{Core: "rod", was: placed{0, 1, true}}
	for i, c := range []struct {
		core     string
		from, to float64
		allIn    bool
		want     bool
	}{{"rod", 0, 1, true, true}, {"rod", 0.1, 1, true, false}, {"rod", 0, 0.9, true, false}, {"yoke", 0, 1, true, false}, {"rod", 0, 1, false, false}} {
		b.was.allIn = c.allIn
		if s := stateOf(func(s *readings.State) { s.Core, s.From, s.To = c.core, c.from, c.to }); b.moves(&s) != c.want {
			t.Errorf("%d: moves %v", i, !c.want)
		}
	}
}

// The reading most like a state is one that was used; a hand alone is no core and hand at once, wherever hands were read.
func TestLikeOnesThatWereUsed(t *testing.T) {
	r := tried(t, 104)
	bare := readings.Bare()
	hz := r.Readings[0].Frequency
	if at := nearest(r, &bare, hz); at != 0 {
		t.Errorf("nearest %d", at)
	}
	r.Readings[0].Use = false
	if at := nearest(r, &bare, hz); at != 10 {
		t.Errorf("nearest %d without the first", at)
	}
	log := r.Session.Log
	log.Readings = slices.Clone(log.Readings)
	for i := range log.Readings {
		if o := &log.Readings[i]; !math.IsInf(o.Hand, 1) {
			o.Core, o.To, o.Frequency = "rod", 1, o.Frequency*r.Readings[5].Frequency/hz
		}
	}
	with := must.Get(estimation.Fit(estimation.Session{Log: log})).In(t)
	for _, o := range Beyond(with, stateOf(func(s *readings.State) { s.Hand = 0.15 })) {
		if o.Element == CombinedElement {
			t.Error("a hand alone is a core and a hand at once")
		}
	}
}

// A sweep tells each gain as the fit has it now times the change, and fails where nothing changes.
func TestSweepOfOneChange(t *testing.T) {
	r := tried(t, 105)
	in := sketched(2e-3, 10, 1.6, func(*field.Coil) {})
	turns := sketched(2e-3, 10, 1.6, func(c *field.Coil) { c.Turns++ })
	bare := readings.Bare()
	if _, err := Sweep(r, in, []*drawing.Drawn{in, in}, bare, nil); err != ErrIdle {
		t.Errorf("of nothing: %v", err)
	}
	if list, err := Sweep(r, in, []*drawing.Drawn{in, turns}, bare, nil); err != nil || len(list) != 2 {
		t.Errorf("of the turns: %v, %v", list, err)
	}
	gain := r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"}).Value
	wider := sketched(2e-3, 10, 1.9, func(*field.Coil) {})
	rod := stateOf(func(s *readings.State) { s.Core, s.To = "rod", 1 })
	list, err := Sweep(r, in, []*drawing.Drawn{wider, in}, rod, nil)
	if err != nil {
		t.Fatal(err)
	}
	near.Times(t, "gain", list[0].Gain, 1+(gain-1)*0.9/0.6, 1e-9)
	near.Times(t, "gain", list[1].Gain, gain, 1e-9)
	if !(list[0].Frequency.Value < list[1].Frequency.Value) {
		t.Errorf("%+v", list)
	}
}
