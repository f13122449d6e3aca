package decisions

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/forward"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// A setting has the uncertainty of the frequency over the slope, its budget, and the limits of what can
// be set; where it is known to no better than half of what matters there, it isn't known.
func TestSettingCarriedOver(t *testing.T) {
	r := tried(t, 91)
	coil := math.Exp(r.Solution.X[forward.AtC])
	f := quantities.Estimate{Value: 2e6, Uncertainty: 100, Stated: 50, Budget: quantities.Budget{Readings: 0.25, Tolerance: 0.75}, Determined: true}
	for _, c := range []struct {
		by        Control
		v, matter float64
	}{{ByAdded, 3e-12, 3e-12 + coil}, {ByCovered, 0.3, 1}, {ByHand, 0.3, 0.3}} {
		for _, half := range []float64{0.49, 0.51} {
			slope := f.Uncertainty / (half * c.matter)
			e := carryOver(r, quantities.Estimate{}, c.by, c.v, f, func(v float64) float64 { return 2e6 - slope*v }, 0, 2*c.v)
			if e.Determined != (half < 0.5) {
				t.Errorf("%v: known to %v of what matters: %+v", c.by, half, e)
			}
			if e.Determined {
				near.Times(t, "u", e.Uncertainty, half*c.matter, 1e-6)
				near.Times(t, "stated", e.Stated, half*c.matter/2, 1e-6)
				for _, end := range [][2]float64{{c.v, 2 * c.v}, {0, c.v}} { // no farther than can be set
					e := carryOver(r, quantities.Estimate{}, c.by, c.v, f, func(v float64) float64 {
						if v < end[0] || v > end[1] {
							t.Errorf("%v: tried at %v, beyond %v", c.by, v, end)
						}
						return 2e6 - slope*v
					}, end[0], end[1])
					near.Times(t, "u at the end", e.Uncertainty, half*c.matter, 1e-6)
				}
				if e.Budget != f.Budget || e.Interval != [2]float64{math.Max(0, c.v-e.Coverage*e.Uncertainty), math.Min(2*c.v, c.v+e.Coverage*e.Uncertainty)} {
					t.Errorf("%v: %+v", c.by, e)
				}
			}
		}
	}
}

// What is on the top already counts; preferred capacitors are told of what can be bought; above what the
// coil has without its core, the core is out.
func TestReachFromWhatIsThere(t *testing.T) {
	r := tried(t, 92)
	hz := func(exact float64) float64 {
		return r.Frequency(stateOf(func(s *readings.State) { s.Exact = exact }), nil).Value
	}
	from := stateOf(func(s *readings.State) { s.Exact = 2e-12 })
	for _, c := range []struct {
		farad    float64
		standard int
	}{{3e-12, 2}, {0.11e-12, 2}, {0.09e-12, 0}} {
		out := Reach(r, hz(2e-12+c.farad), from, nil, ByAdded, 0.02)
		near.Times(t, "setting", out.Setting.Value, c.farad, 1e-6)
		near.Times(t, "on the top", out.At.State.Exact, 2e-12+c.farad, 1e-6)
		if len(out.Standard) != c.standard || out.Start.Exact != 2e-12 {
			t.Errorf("%+v", out)
		}
	}
	rod := stateOf(func(s *readings.State) { s.Core, s.To = "rod", 1 })
	if out := Reach(r, 1.1*hz(0), rod, nil, ByCovered, 0.02); out.Closest != 0 || out.At.State.Core != "" || !(math.Abs(out.At.Frequency.Value/hz(0)-1) <= 1e-9) {
		t.Errorf("without the core: %+v", out)
	}
	if out := Reach(r, 0.5*hz(0), readings.Bare(), nil, ByHand, 0.02); out.Reachable || !(out.Closest == 1e-3) {
		t.Errorf("nearer than a hand comes: %v", out.Closest)
	}
	yoke := stateOf(func(s *readings.State) { s.Core, s.To = "yoke", 1 })
	if out := Reach(r, hz(0), yoke, nil, ByAdded, 0.02); out.Reachable || len(out.At.Missing) != 1 || out.Setting.Determined {
		t.Errorf("with a core never read: %+v", out)
	}
	with := stateOf(func(s *readings.State) { s.Parts = []int{2} })
	less := Predict(r, stateOf(func(s *readings.State) { s.Parts = []int{2, 0} }), nil).Frequency.Value
	if list := NearestAtHand(r, less, with, nil, []int{0, 1}, 1); len(list) != 1 || !slices.Equal(list[0].State.Parts, []int{2, 0}) || list[0].Frequency.Value != less {
		t.Errorf("beside what is there: %+v", list)
	}
	for _, v := range []float64{4.7e-12, 1e-12, 9.1e-12} { // what is to be had is the one below
		below, above := Preferred(v)
		if !(math.Abs(below/v-1) <= 1e-9) || !(above > 1.05*v) {
			t.Errorf("%v: %v and %v", v, below, above)
		}
	}
}

// Readings so coarse that one more could be anything predict nothing, before a change or after.
func TestCoarseReadingsPredictNothing(t *testing.T) {
	for _, relative := range []float64{0.45, 0.55} {
		r := must.Get(estimation.Fit(estimation.Session{Log: simulated.Lighthouse().Session(rand.New(rand.NewPCG(93, 5)), 1e-6, 1e-4, simulated.Added(), simulated.Added(10), simulated.Added(22), simulated.Added(4.7), simulated.Added())})).In(t)
		r.Scatter.Scale *= relative / r.TypicalUncertainty() // of readings that so coarse ones couldn't fit
		want := relative < 0.5
		p, b := Predict(r, readings.Bare(), nil), Rebuilt(r, Rebuild{Inductance: 1, Winding: 1, Gain: 1}, readings.Bare(), nil)
		if r.TypicalUncertainty() > 0.5 != !want || p.Frequency.Determined != want || b.Frequency.Determined != want {
			t.Errorf("± %v: %+v, rebuilt %+v", relative, p.Frequency, b.Frequency)
		}
	}
}

// A state needs its primary as it was read: its coupling, and of a tuned one the capacitor.
func TestMissingPrimary(t *testing.T) {
	r := primed(t, 94)
	for what, c := range map[string]struct {
		primary readings.Primary
		core    string
		missing bool
	}{
		"shorted": {readings.Primary{Kind: readings.PrimaryShorted}, "", false}, "shorted, core": {readings.Primary{Kind: readings.PrimaryShorted}, "rod", false},
		"tuned": {readings.Primary{Kind: readings.PrimaryTuned, Capacitance: 4.7e-9}, "", false}, "upper": {readings.Primary{Kind: readings.PrimaryTuned, Capacitance: 4.7e-9, Upper: true}, "", false},
		"other capacitor": {readings.Primary{Kind: readings.PrimaryTuned, Capacitance: 10e-9}, "", true}, "tuned, core": {readings.Primary{Kind: readings.PrimaryTuned, Capacitance: 4.7e-9}, "rod", true},
	} {
		s := stateOf(func(s *readings.State) {
			if s.Primary = c.primary; c.core != "" {
				s.Core, s.To = c.core, 1
			}
		})
		p := Predict(r, s, nil)
		if got := len(p.Missing) > 0 && p.Missing[0] == (Missing{PrimaryElement, c.core}); got != c.missing || p.Frequency.Determined == c.missing {
			t.Errorf("%s: %+v", what, p)
		}
	}
}

// sketched is an invented drawing whose numbers are as given: 280 mm long, with beads from start on.
func sketched(start float64, count int, gain float64, change func(c *field.Coil)) *drawing.Drawn {
	coil := field.Coil{Turns: 400, Diameter: 30e-3, Length: 280e-3, Wire: 0.3e-3, Slices: 12, Beads: field.Beads{Count: count, Length: 24e-3, Diameter: 10e-3, Spacing: 4e-3, Permeability: 120, Start: start}}
	change(&coil)
	d := &drawing.Drawn{Prediction: &field.Prediction{Core: &field.CorePrediction{}}, Drawing: drawing.Drawing{Core: "rod", Coil: coil}}
	d.Core.Full.Value = gain
	for _, name := range []string{quantities.Inductance, quantities.WindingCapacitance, quantities.TopCapacitance} {
		d.Estimates = append(d.Estimates, quantities.Estimate{Key: quantities.Key{Name: name}, Value: 1e-3, Determined: true})
	}
	return d
}

// Beads that covered all and now cover less move the core of the log: its frequency goes as that of
// where it is drawn. Those that cover a part must stay there, and none may reach farther beyond the top.
func TestBeadsThatMove(t *testing.T) {
	r := tried(t, 95)
	none := func(*field.Coil) {}
	in, fewer := sketched(2e-3, 10, 1.6, none), sketched(30e-3, 7, 1.5, none)
	b := must.Get(NewRebuild(in, fewer)).In(t)
	near.Times(t, "gain", b.Gain, 0.5/0.6, 1e-12)
	rod, bare := stateOf(func(s *readings.State) { s.Core, s.To = "rod", 1 }), readings.Bare()
	f, x := r.With(nil)
	at := func(x []float64, s readings.State) float64 { return f.Frequency(x, &s, nil) }
	was, is := placed{2. / 280, 1, true}, placed{30. / 280, 226. / 280, false}
	want := at(b.Apply(f, x), is.on(rod)) * at(x, rod) / at(x, was.on(rod))
	p := Rebuilt(r, b, rod, nil)
	near.Times(t, "moved", p.Frequency.Value, want, 1e-9)
	there := is.on(rod)
	if least := f.ModelUncertainty(x, &there); !(p.Frequency.Budget.Model > 0.99*math.Pow(least*p.Frequency.Value/p.Frequency.Uncertainty, 2)) || !(least > 0) {
		t.Errorf("the model errs by %v there: %+v", least, p.Frequency)
	}
	near.Times(t, "interval", math.Log(p.Frequency.Interval[1]/p.Frequency.Value), p.Frequency.Coverage*p.Frequency.Uncertainty/p.Frequency.Value, 1e-9)
	if !(math.Abs(p.State.From-is.from) <= 1e-12) || !(math.Abs(p.State.To-is.to) <= 1e-12) {
		t.Errorf("from %v to %v", p.State.From, p.State.To)
	}
	if p := Rebuilt(r, must.Get(NewRebuild(in, sketched(2e-3, 10, 1.5, none))).In(t), rod, nil); p.State.From != 0 || p.State.To != 1 {
		t.Errorf("all in still: from %v to %v", p.State.From, p.State.To)
	}
	for what, c := range map[string]struct {
		before, after *drawing.Drawn
		want          error
		alone         bool
	}{
		"others in part": {fewer, sketched(30e-3, 7, 1.8, func(c *field.Coil) { c.Beads.Permeability = 900 }), nil, true}, "in part elsewhere": {fewer, sketched(20e-3, 7, 1.5, none), ErrCoversPart, true},
		"as far beyond": {sketched(30e-3, 10, 1.6, none), sketched(30e-3, 10, 1.7, none), nil, true}, "farther beyond": {in, sketched(2e-3, 12, 1.6, none), ErrBeyondTop, true},
		"less far beyond": {sketched(2e-3, 12, 1.6, none), in, nil, true}, "turns": {in, sketched(2e-3, 10, 1.6, func(c *field.Coil) { c.Turns = 420 }), nil, false},
	} {
		if b, err := NewRebuild(c.before, c.after); err != c.want || b.beadsAlone != c.alone {
			t.Errorf("%s: %v, beads alone %v", what, err, b.beadsAlone)
		}
	}
	// Beads alone change nothing of the bare coil, and that is told; what else is changed may be asked for.
	same := Rebuild{Inductance: 1, Winding: 1, Gain: 1}
	alone := same
	alone.beadsAlone, alone.Core, alone.Gain = true, "rod", 1.2
	for what, c := range map[string]struct {
		b      Rebuild
		states []readings.State
		idle   bool
	}{
		"bare": {alone, []readings.State{bare}, true}, "with the core": {alone, []readings.State{bare, rod}, false}, "nothing else": {same, []readings.State{bare}, false},
		"not known": {alone, []readings.State{{Core: "yoke", To: 1, Hand: math.Inf(1)}}, false},
	} {
		list, err := RebuiltAll(r, c.b, c.states, nil)
		if (err == ErrIdle) != c.idle || !c.idle && len(list) != len(c.states) {
			t.Errorf("%s: %v", what, err)
		}
	}
	e := quantities.Estimate{Value: 1e6, Determined: true}
	for by, want := range map[float64]bool{1e-4: false, 1e-2: true} {
		if o := (quantities.Estimate{Value: 1e6 + by, Determined: true}); differ(e, o) != want || differ(o, e) != want {
			t.Errorf("%v Hz apart: differ %v", by, !want)
		}
	}
	if _, err := Sweep(r, in, []*drawing.Drawn{in, sketched(2e-3, 10, 1.7, none)}, bare, nil); err != ErrIdle {
		t.Errorf("a sweep of beads that aren't in: %v", err)
	}
	if list, err := Sweep(r, in, []*drawing.Drawn{in, sketched(2e-3, 10, 1.6, func(c *field.Coil) { c.Height = 1 })}, bare, nil); err != nil || len(list) != 2 {
		t.Errorf("a sweep of heights: %v", err)
	}
}

// How near is near enough: a tenth of the frequency's uncertainty, of a count half of one; and a value
// need only move the frequency a little.
func TestRedrawnNearEnough(t *testing.T) {
	r := tried(t, 96)
	coil := field.Coil{Turns: 400, Diameter: 30e-3, Length: 280e-3, Wire: 0.3e-3, Slices: 12}
	drawn := func(l float64) *drawing.Drawn {
		d := &drawing.Drawn{Prediction: &field.Prediction{}, Drawing: drawing.Drawing{Coil: coil}}
		for name, v := range map[string]float64{quantities.Inductance: l, quantities.WindingCapacitance: 5e-12, quantities.TopCapacitance: 1e-12} {
			d.Estimates = append(d.Estimates, quantities.Estimate{Key: quantities.Key{Name: name}, Value: v, Determined: true})
		}
		return d
	}
	bare := readings.Bare()
	now := Predict(r, bare, nil).Frequency
	known := 0.5 * 0.02 * math.Log(81) // of three times the value, by what a drawing's difference is known to
	for what, c := range map[string]struct {
		power, present, target float64 // L goes as the power of the value
		whole, reached         bool
	}{
		"count at the end": {4, 4, math.Pow(4./14, 2), true, false}, "count within half": {4, 4, math.Pow(4/12.4, 2), true, true}, "hardly": {0.1, 400, math.Pow(1.5, -0.05), false, true}, "least": {0.01, 400, math.Pow(1.5, -0.005), false, true},
		"a little beyond": {4, 400, math.Exp(-0.12*known) / 9, false, false}, "as little": {4, 400, math.Exp(-0.09*known) / 9, false, true}, "at the end": {4, 400, 1. / 9, false, true},
		"one more of few": {4, 3, math.Pow(3./4, 2), true, true}, "one less of few": {4, 3, math.Pow(3./2, 2), true, true},
	} {
		out, err := ReachRedrawn(r, c.target*now.Value, drawn(1e-3), bare, nil, c.present, c.whole, func(v float64) (*drawing.Drawn, error) {
			return drawn(1e-3 * math.Pow(v/c.present, c.power)), nil
		})
		if err != nil || out.Reachable != c.reached {
			t.Errorf("%s: closest %v, reachable %v, %v; off by %v", what, out.Closest, out.Reachable, err, out.At.Frequency.Value/now.Value/c.target-1)
		}
	}
	for _, target := range []float64{0.9, 1.1} { // of what hardly moves it, the closest is what was tried on the right side
		out, err := ReachRedrawn(r, target*now.Value, drawn(1e-3), bare, nil, 100, false, func(v float64) (*drawing.Drawn, error) {
			return drawn(1e-3 * math.Pow(v/100, 1e-4)), nil
		})
		want := 100.0
		if target < 1 { // more of it lowers the frequency
			want = 100 * math.Exp(0.1)
		}
		near.Times(t, "closest", out.Closest, want, 1e-9)
		if err != nil || out.Reachable {
			t.Errorf("%v of the frequency: %+v, %v", target, out, err)
		}
	}
}

// Of sixty parts at hand every pair is tried, that of the two which come least near alone included; of more, those
// of the sixty that come nearest alone.
func TestPairsAtHand(t *testing.T) {
	r := tried(t, 97)
	hz := r.Frequency(stateOf(func(s *readings.State) { s.Exact = 6e-12 }), nil).Value // as two of 3 pF give
	for n, want := range map[int]bool{60: true, 62: false} {
		extra := []readings.Part{{Name: "a", Capacitance: 3e-12, Known: true}, {Name: "b", Capacitance: 3e-12, Known: true}}
		first := len(r.Parts())
		parts := []int{first, first + 1}
		for i := range n - 2 { // each nearer alone than either, and too much with any other
			parts, extra = append(parts, first+2+i), append(extra, readings.Part{Name: "more", Capacitance: 7e-12 + float64(i)*1e-14, Known: true})
		}
		s := stateOf(func(s *readings.State) { s.Clip = true })
		f, x := r.With(extra)
		s.Exact = -f.Added(x, &s) // so that clips count for nothing
		list := NearestAtHand(r, hz, s, extra, parts, 1)
		if found := len(list) == 1 && slices.Equal(list[0].State.Parts, parts[:2]); found != want {
			t.Errorf("of %d parts: %+v", n, list[0].State.Parts)
		}
	}
}

// A part that the log doesn't know counts on the top like one that it does: here an exact one, as so much capacitance
// with a clip, whatever is asked.
func TestFurtherPartsCount(t *testing.T) {
	r := tried(t, 98)
	extra := []readings.Part{{Name: "other", Capacitance: 9e-12, Known: true}, {Name: "new", Capacitance: 3e-12, Known: true}}
	with := stateOf(func(s *readings.State) { s.Parts = []int{len(r.Parts()) + 1} })
	same := stateOf(func(s *readings.State) { s.Clip, s.Exact = true, 3e-12 })
	target := 0.8 * Predict(r, same, nil).Frequency.Value
	a, b := Reach(r, target, with, extra, ByAdded, 0.02), Reach(r, target, same, nil, ByAdded, 0.02)
	near.Times(t, "setting", a.Setting.Value, b.Setting.Value, 1e-9)
	near.Times(t, "its uncertainty", a.Setting.Uncertainty, b.Setting.Uncertainty, 1e-6)
	if len(a.Standard) != 2 || len(b.Standard) != 2 {
		t.Fatalf("%d and %d standard values", len(a.Standard), len(b.Standard))
	}
	for i := range a.Standard {
		near.Times(t, "standard value", a.Standard[i].Frequency.Value, b.Standard[i].Frequency.Value, 1e-9)
	}
	near.Times(t, "hand", Reach(r, 0.995*target/0.8, with, extra, ByHand, 0.02).Setting.Value, Reach(r, 0.995*target/0.8, same, nil, ByHand, 0.02).Setting.Value, 1e-6)
	none := func(*field.Coil) {}
	in, wider := sketched(2e-3, 10, 1.6, none), sketched(2e-3, 10, 1.7, none)
	change := Rebuild{Inductance: 1.1, Winding: 1.05, Gain: 1}
	near.Times(t, "rebuilt", Rebuilt(r, change, with, extra).Frequency.Value, Rebuilt(r, change, same, nil).Frequency.Value, 1e-9)
	all, alike := must.Get(RebuiltAll(r, change, []readings.State{with, same}, extra)).In(t), Rebuilt(r, change, same, nil)
	for _, p := range all {
		near.Times(t, "rebuilt", p.Frequency.Value, alike.Frequency.Value, 1e-9)
	}
	for _, s := range []*readings.State{&with, &same} {
		s.Core, s.To = "rod", 1
	}
	drawn := []*drawing.Drawn{in, wider}
	swept, plain := must.Get(Sweep(r, in, drawn, with, extra)).In(t), must.Get(Sweep(r, in, drawn, same, nil)).In(t)
	for i := range drawn {
		near.Times(t, "swept", swept[i].Frequency.Value, plain[i].Frequency.Value, 1e-9)
	}
	gain := func(v float64) (*drawing.Drawn, error) { return sketched(2e-3, 10, 1+0.6*v, none), nil }
	hz := 0.97 * Predict(r, same, nil).Frequency.Value
	x, y := must.Get(ReachRedrawn(r, hz, in, with, extra, 1, false, gain)).In(t), must.Get(ReachRedrawn(r, hz, in, same, nil, 1, false, gain)).In(t)
	near.Times(t, "redrawn", x.Closest, y.Closest, 1e-6)
	if !x.Reachable || !y.Reachable {
		t.Errorf("%+v, %+v", x, y)
	}
}
