package decisions

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/forward"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// tried is the fit of a session of an invented coil, with a core, a hand and a part without a value.
func tried(t testing.TB, seed uint64, more ...simulated.Step) *estimation.Result {
	t.Helper()
	steps := append([]simulated.Step{simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(4.7, 10), simulated.Added().Rod(1), simulated.Added(10).Rod(1),
		simulated.Added().Near(0.1), simulated.Added().Near(0.2), simulated.Added(simulated.Spike), simulated.Added()}, more...)
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(seed, 5)), 2e-4, 0.02, steps...)
	return must.Get(estimation.Fit(estimation.Session{Log: log})).In(t)
}

func stateOf(change func(s *readings.State)) readings.State {
	s := readings.Bare()
	change(&s)
	return s
}

// What a state has that was never read, in each respect, and the range that was.
func TestWhatLiesOutside(t *testing.T) {
	r := tried(t, 31)
	x := r.Solution.X
	added := func(parts ...int) float64 {
		s := stateOf(func(s *readings.State) { s.Parts = parts })
		return r.Problem.Added(x, &s)
	}
	for what, c := range map[string]struct {
		change func(s *readings.State)
		want   []Outside
	}{
		"read":           {func(s *readings.State) { s.Parts = []int{1} }, nil},
		"more than read": {func(s *readings.State) { s.Parts = []int{1, 2, 2} }, []Outside{{AddedElement, 0, added(1, 2), added(1, 2, 2)}}},
		"core, more":     {func(s *readings.State) { s.Core, s.To, s.Parts = "rod", 1, []int{1, 2} }, []Outside{{AddedElement, 0, added(2), added(1, 2)}}},
		"core partly":    {func(s *readings.State) { s.Core, s.To = "rod", 0.5 }, []Outside{{CoveredElement, 1, 1, 0.5}}},
		"nearer":         {func(s *readings.State) { s.Hand = 0.05 }, []Outside{{HandElement, 0.1, 0.2, 0.05}}},
		"between":        {func(s *readings.State) { s.Hand = 0.15 }, nil},
		"core and hand":  {func(s *readings.State) { s.Core, s.To, s.Hand = "rod", 1, 0.15 }, []Outside{{CombinedElement, math.NaN(), math.NaN(), 0}}},
		"another core":   {func(s *readings.State) { s.Core, s.To = "yoke", 1 }, []Outside{{AddedElement, 0, 0, 0}, {CoveredElement, 0, 0, 1}}},
	} {
		s := stateOf(c.change)
		got := Beyond(r, s)
		same := func(a, b Outside) bool {
			near := func(x, y float64) bool { return x == y || math.IsNaN(x) && math.IsNaN(y) || math.Abs(x/y-1) <= 1e-12 }
			return a.Element == b.Element && near(a.From, b.From) && near(a.To, b.To) && near(a.Predicted, b.Predicted)
		}
		if !slices.EqualFunc(got, c.want, same) {
			t.Errorf("%s: %+v, want %+v", what, got, c.want)
		}
	}
	// The reading most like it: of the same core, then with a hand or not, then by frequency.
	for _, c := range []struct {
		change func(s *readings.State)
		hz     float64
		want   int
	}{
		{func(s *readings.State) {}, r.Readings[0].Frequency, 0}, {func(s *readings.State) {}, r.Readings[2].Frequency * 1.01, 2}, {func(s *readings.State) { s.Core = "rod" }, r.Readings[0].Frequency, 5},
		{func(s *readings.State) { s.Hand = 1 }, r.Readings[0].Frequency, 8}, {func(s *readings.State) { s.Core, s.Hand = "rod", 1 }, r.Readings[7].Frequency, 5},
	} {
		s := stateOf(c.change)
		if got := nearest(r, &s, c.hz); got != c.want {
			t.Errorf("like %+v at %v Hz: %d, want %d", s, c.hz, got, c.want)
		}
	}
}

// What a state needs that no reading has.
func TestWhatIsMissing(t *testing.T) {
	r := tried(t, 32)
	extra := []readings.Part{{Name: "new"}, {Name: "bought", Capacitance: 3e-12, Known: true}, {Name: "other"}}
	n := len(r.Parts())
	for what, c := range map[string]struct {
		change func(s *readings.State)
		want   []Missing
	}{
		"nothing": {func(s *readings.State) { s.Parts = []int{n + 1} }, nil},
		"read": {func(s *readings.State) {
			s.Parts = []int{slices.IndexFunc(r.Parts(), func(p readings.Part) bool { return !p.Known })}
		}, nil},
		"a part":    {func(s *readings.State) { s.Parts = []int{n, 0} }, []Missing{{AddedElement, "new"}}},
		"of three":  {func(s *readings.State) { s.Parts = []int{1, n + 1, n} }, []Missing{{AddedElement, "new"}}},
		"two parts": {func(s *readings.State) { s.Parts = []int{0, n + 2, n} }, []Missing{{AddedElement, "other"}, {AddedElement, "new"}}},
		"a core":    {func(s *readings.State) { s.Core, s.To = "yoke", 1 }, []Missing{{CoreElement, "yoke"}}},
		"a primary": {func(s *readings.State) { s.Primary.Kind = readings.PrimaryShorted }, []Missing{{PrimaryElement, ""}}},
		"core and all": {func(s *readings.State) {
			s.Core, s.To, s.Parts = "yoke", 1, []int{n}
			s.Primary.Kind = readings.PrimaryTuned
		}, []Missing{{AddedElement, "new"}, {CoreElement, "yoke"}, {PrimaryElement, "yoke"}}},
	} {
		p := Predict(r, stateOf(c.change), extra)
		if !slices.Equal(p.Missing, c.want) || p.Frequency.Determined != (c.want == nil) || (p.Nearest < 0) != (c.want != nil) || (p.Effects == nil) != (c.want != nil) {
			t.Errorf("%s: %+v, want %+v", what, p, c.want)
		}
	}
	log := r.Session.Log
	log.Readings = log.Readings[:5]
	few := must.Get(estimation.Fit(estimation.Session{Log: log})).In(t)
	if p := Predict(few, stateOf(func(s *readings.State) { s.Hand = 0.3 }), nil); !slices.Equal(p.Missing, []Missing{{Kind: HandElement}}) {
		t.Errorf("a hand: %+v", p.Missing)
	}
	far := stateOf(func(s *readings.State) { s.Core, s.To = "rod", 0.5 })
	if p := Predict(r, far, nil); len(p.Outside) != 1 || p.Outside[0] != (Outside{CoveredElement, 1, 1, 0.5}) {
		t.Errorf("half a core: outside %+v", p.Outside)
	}
	list := PredictAll(r, []readings.State{readings.Bare(), stateOf(func(s *readings.State) { s.Parts = []int{n + 1} })}, append(slices.Clone(r.Parts()), extra...))
	if len(list) != 2 || list[0].Frequency.Value != Predict(r, readings.Bare(), nil).Frequency.Value || !(list[1].Frequency.Value < list[0].Frequency.Value) || list[1].Frequency != Predict(r, list[1].State, extra).Frequency || !list[1].Frequency.Determined {
		t.Errorf("%+v", list)
	}
}

// What a state does besides: impedance 1/ωC, at 1 kV the energy ½CU² and the current into the foot,
// at equal energy the voltage as 1/√C; beside the bare coil.
func TestEffectsOfAState(t *testing.T) {
	r := tried(t, 33)
	f, x := r.Problem.Model, r.Solution.X
	at := func(s readings.State) resonator.Resonance {
		f.At(x, &s)
		m := f.Resonance
		m.Cores = nil
		return m
	}
	s := stateOf(func(s *readings.State) { s.Core, s.To, s.Parts = "rod", 1, []int{1} })
	m, bare := at(s), at(readings.Bare())
	p := Predict(r, s, nil)
	for i, w := range []struct {
		name, unit   string
		value, ratio float64
	}{
		{"characteristic_impedance", "Ω", 1 / (m.Omega * m.Capacitance), bare.Omega * bare.Capacitance / m.Omega / m.Capacitance},
		{"energy_at_1_kV", "J", 0.5e6 * m.Capacitance, m.Capacitance / bare.Capacitance},
		{"base_current_at_1_kV", "A", 1e3 * m.BaseCurrent, m.BaseCurrent / bare.BaseCurrent},
		{"top_voltage_at_equal_energy", "1", math.NaN(), math.Sqrt(bare.Capacitance / m.Capacitance)},
	} {
		e := p.Effects[i]
		if e.Name != w.name || e.Unit != w.unit || !(math.Abs(e.Value/w.value-1) <= 1e-9) && !(math.IsNaN(e.Value) && i == 3) || e.Determined == (i == 3) || !(math.Abs(e.Ratio.Value/w.ratio-1) <= 1e-9) || e.Ratio.Unit != "1" {
			t.Errorf("%+v, want %+v", e, w)
		}
		if i == 0 { // 1/ωC at the solution, as the fit has it of the bare coil
			z := r.Find(quantities.Key{Name: quantities.Impedance})
			if got := Predict(r, readings.Bare(), nil).Effects[0]; !(math.Abs(got.Value/z.Value-1) <= 1e-9) || !(math.Abs(got.Uncertainty/z.Uncertainty-1) <= 1e-3) || !(math.Abs(got.Ratio.Value-1) <= 1e-12) || !(got.Ratio.Uncertainty <= 1e-9) {
				t.Errorf("bare: %+v, want %+v", got, z)
			}
		}
	}
}

// The setting that gives a frequency gives it, whichever is set; its uncertainty is the frequency's
// through the slope; beyond what can be set the closest is told.
func TestReach(t *testing.T) {
	r := tried(t, 34)
	bare := Predict(r, readings.Bare(), nil).Frequency.Value
	rod := Predict(r, stateOf(func(s *readings.State) { s.Core, s.To = "rod", 1 }), nil).Frequency.Value
	for _, c := range []struct {
		by     Control
		target float64
		state  readings.State
		put    func(s *readings.State, v float64)
		unit   string
		step   float64
	}{
		{ByAdded, 0.6 * bare, readings.Bare(), func(s *readings.State, v float64) { s.Exact = v }, "F", 1e-16},
		{ByAdded, 0.01 * bare, readings.Bare(), func(s *readings.State, v float64) { s.Exact = v }, "F", 1e-13},
		{ByCovered, (bare + rod) / 2, stateOf(func(s *readings.State) { s.Core, s.To = "rod", 1 }), func(s *readings.State, v float64) { s.To = v }, "1", 1e-5},
		{ByHand, 0.985 * bare, readings.Bare(), func(s *readings.State, v float64) { s.Hand = v }, "m", 1e-6},
	} {
		out := Reach(r, c.target, c.state, nil, c.by, 0.02)
		if !out.Reachable || out.Target != c.target || out.By != c.by || out.Setting.Unit != c.unit {
			t.Errorf("%v to %v Hz: %+v", c.by, c.target, out.Setting)
			continue
		}
		v := out.Setting.Value
		at := func(v float64) float64 {
			s := c.state
			c.put(&s, v)
			return r.Frequency(s, nil).Value
		}
		if out.Setting.Determined {
			slope := (at(v+c.step) - at(v-c.step)) / 2 / c.step
			if !(math.Abs(at(v)/c.target-1) <= 1e-9) && c.by != ByCovered || !(math.Abs(out.Setting.Uncertainty*math.Abs(slope)/out.At.Frequency.Uncertainty-1) <= 0.02) {
				t.Errorf("%v: %v gives %v Hz, want %v; ± %v", c.by, v, at(v), c.target, out.Setting.Uncertainty)
			}
			k := out.Setting.Coverage * out.Setting.Uncertainty
			if !(math.Abs(out.Setting.Interval[1]-math.Min(v+k, map[bool]float64{true: 1, false: math.Inf(1)}[c.by == ByCovered])) <= 1e-6*v) {
				t.Errorf("%v: interval %v of %v ± %v", c.by, out.Setting.Interval, v, out.Setting.Uncertainty)
			}
		}
		if (c.by == ByAdded) != (len(out.Standard) == 2) {
			t.Errorf("%v: %d standard values", c.by, len(out.Standard))
		}
		if c.by == ByAdded {
			below, above := Preferred(v)
			for i, want := range []float64{below, above} {
				if p := out.Values[i]; p.Capacitance != want || !(math.Abs(p.Uncertainty/want-0.02) <= 1e-12) || !p.Known || (out.Standard[i].Frequency.Value > c.target) != (i == 0) {
					t.Errorf("standard value %+v, want %v, gives %v Hz", p, want, out.Standard[i].Frequency.Value)
				}
			}
		}
	}
	if out := Reach(r, 1.1*bare, readings.Bare(), nil, ByAdded, 0.02); out.Reachable || out.Closest != 0 || !(math.Abs(out.At.Frequency.Value/bare-1) <= 1e-12) || out.Setting.Determined {
		t.Errorf("above: %+v", out)
	}
	if out := Reach(r, 0.9*rod, stateOf(func(s *readings.State) { s.Core, s.To = "rod", 1 }), nil, ByCovered, 0.02); out.Reachable || out.Closest != 1 {
		t.Errorf("more than all of the core: %+v", out)
	}
	lo, hi := settings(r, ByHand)
	if lo != 1e-3 || hi != 100 {
		t.Error(lo, hi)
	}
	// The nearest sums of parts at hand, nearer than without any.
	target := 0.5 * bare
	list := NearestAtHand(r, target, readings.Bare(), nil, []int{0, 1, 2}, 3)
	off := math.Inf(1)
	var all []float64
	for _, parts := range [][]int{{0}, {1}, {2}, {0, 1}, {0, 2}, {1, 2}} {
		hz := Predict(r, stateOf(func(s *readings.State) { s.Parts = parts }), nil).Frequency.Value
		all = append(all, math.Abs(math.Log(hz/target)))
	}
	slices.Sort(all)
	for i, p := range list {
		got := math.Abs(math.Log(p.Frequency.Value / target))
		if !(math.Abs(got-all[i]) <= 1e-9) || !(got >= off || i == 0) {
			t.Errorf("sum %d is off by %v, want %v", i, got, all[i])
		}
		off = got
	}
	if len(list) != 3 || len(NearestAtHand(r, bare*1.0001, readings.Bare(), nil, []int{0, 1, 2}, 3)) != 0 {
		t.Errorf("%d sums", len(list))
	}
}

// By how much a hand lowers a frequency: the two as fitted.
func TestHandDrop(t *testing.T) {
	r := tried(t, 35)
	s := stateOf(func(s *readings.State) { s.Hand, s.Parts = 0.1, []int{1} })
	away := s
	away.Hand = math.Inf(1)
	e := HandDrop(r, s)
	if want := r.Problem.Frequency(r.Solution.X, &away, nil) - r.Problem.Frequency(r.Solution.X, &s, nil); !(math.Abs(e.Value/want-1) <= 1e-9) || !e.Determined || e.Unit != "Hz" || e.Hand != 0.1 || !(e.Interval[0] >= 0) {
		t.Errorf("%+v, want %v", e, want)
	}
	bare := HandDrop(r, stateOf(func(s *readings.State) { s.Hand = 0.1 }))
	if own := r.Find(quantities.Key{Name: quantities.HandFrequencyDrop, Hand: 0.1}); !(math.Abs(bare.Value/own.Value-1) <= 1e-9) || !(math.Abs(bare.Uncertainty/own.Uncertainty-1) <= 1e-6) {
		t.Errorf("bare %+v, want %+v", bare, own)
	}
	// Between the distances read the law adds its own.
	between := stateOf(func(s *readings.State) { s.Hand = 0.14 })
	e = HandDrop(r, between)
	r.Problem.At(r.Solution.X, &between)
	law := r.Problem.Frequency(r.Solution.X, &between, nil) * r.Problem.LawUncertainty(r.Solution.X, &between)
	if !(law > 0) || !(e.Budget.Model > 0 && math.Abs(e.Budget.Model-math.Pow(law/e.Uncertainty, 2)) <= 1e-9) {
		t.Errorf("law %v, %+v", law, e)
	}
}

// A change of the drawing moves the unknowns as the drawings differ: inductance and capacitances by
// their ratios, the top's by the difference, g − 1 of the core drawn; and nothing by nothing.
func TestRebuildMovesTheUnknowns(t *testing.T) {
	r := tried(t, 46)
	f, x := r.Problem.Model, r.Solution.X
	b := Rebuild{Inductance: 1.2, Winding: 1.1, Top: 0.3e-12, Core: "rod", Gain: 0.8}
	y := b.Apply(f, x)
	c, share := math.Exp(x[forward.AtC]), x[f.Share]
	winding, top := (1-share)*c*1.1, share*c+0.3e-12
	k := f.Core("rod").At
	for what, v := range map[string][2]float64{
		"L": {math.Exp(y[forward.AtL] - x[forward.AtL]), 1.2}, "C": {math.Exp(y[forward.AtC]), winding + top}, "share": {y[f.Share], top / (winding + top)},
		"gain": {math.Exp(y[k]), 1 + (math.Exp(x[k])-1)*0.8}, "hand": {y[f.Hand], x[f.Hand]},
	} {
		if !(math.Abs(v[0]/v[1]-1) <= 1e-12) {
			t.Errorf("%s: %v, want %v", what, v[0], v[1])
		}
	}
	if y := (Rebuild{Inductance: 1, Winding: 1, Gain: 1}).Apply(f, x); !slices.EqualFunc(x, y, func(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Max(1, math.Abs(a)) }) {
		t.Errorf("%v, was %v", y, x)
	}
	if y := (Rebuild{Inductance: 1, Winding: 1, Top: -1, Gain: 1}).Apply(f, x); y[f.Share] != 0 {
		t.Errorf("less than nothing at the top: share %v", y[f.Share])
	}
	// How well it is known: 2, 10, 20 and 10 % of each change.
	got := b.spread(func(b Rebuild) float64 {
		return 3*math.Log(b.Inductance) + 5*math.Log(b.Winding) + 1e12*b.Top + 7*math.Log(b.Gain)
	})
	if want := math.Sqrt(math.Pow(0.06*math.Log(1.2), 2) + math.Pow(0.5*math.Log(1.1), 2) + 0.06*0.06 + math.Pow(0.7*math.Log(0.8), 2)); !(math.Abs(got/want-1) <= 1e-9) {
		t.Errorf("known to %v, want %v", got, want)
	}
	moved := Rebuild{Core: "rod", was: placed{0.01, 0.99, true}, is: placed{0.1, 0.8, false}}
	in := stateOf(func(s *readings.State) { s.Core, s.To = "rod", 1 })
	if s := moved.is.on(in); !moved.moves(&in) || s.From != 0.1 || s.To != 0.8 {
		t.Errorf("%+v", s)
	}
	half, bare := in, readings.Bare()
	half.To = 0.5
	if moved.moves(&half) || moved.moves(&bare) {
		t.Error("a core that the log has elsewhere moves")
	}
	// Two drawings: their quantities' ratios; with more beads another stretch is covered.
	draw := func(turns float64, beads int) *drawing.Drawn {
		d := must.Get((drawing.Drawing{Core: "rod", Coil: field.Coil{Turns: turns, Diameter: 30e-3, Length: 280e-3, Wire: 0.3e-3, Ball: 18e-3, Height: 50e-3, Slices: 24,
			Beads: field.Beads{Count: beads, Length: 24e-3, Diameter: 10e-3, Spacing: 4e-3, Permeability: 120, Start: 2e-3}}}).Predict()).In(t)
		return d
	}
	before, after := draw(400, 10), draw(420, 8)
	change := must.Get(NewRebuild(before, after)).In(t)
	find := func(d *drawing.Drawn, name string) float64 { return d.Find(name).Value }
	if !(math.Abs(change.Inductance-math.Pow(1.05, 2)) <= 1e-3) || !(math.Abs(change.Winding-find(after, quantities.WindingCapacitance)/find(before, quantities.WindingCapacitance)) <= 1e-12) ||
		!(math.Abs(change.Top-find(after, quantities.TopCapacitance)+find(before, quantities.TopCapacitance)) <= 1e-24) || change.Core != "rod" || !(math.Abs(change.Gain-(after.Core.Full.Value-1)/(before.Core.Full.Value-1)) <= 1e-12) || !change.was.allIn || change.is.allIn || !(math.Abs(change.is.from-2.0/280) <= 1e-9) || !(math.Abs(change.is.to-226.0/280) <= 1e-9) {
		t.Errorf("%+v", change)
	}
	if _, err := NewRebuild(after, before); err != ErrCoversPart {
		t.Errorf("from beads that cover a part: %v", err)
	}
	p := Rebuilt(r, change, bare, nil)
	hz := f.Frequency(change.Apply(f, x), &bare, nil)
	now := r.Frequency(bare, nil)
	known := change.spread(func(b Rebuild) float64 { return math.Log(f.Frequency(b.Apply(f, x), &bare, nil)) })
	if e := &p.Frequency; !(math.Abs(e.Value/hz-1) <= 1e-9) || !(math.Abs(e.Uncertainty/e.Value/math.Hypot(now.Uncertainty/now.Value, known)-1) <= 0.1) || len(p.Outside) != 1 || p.Outside[0].Element != DrawingElement || !(p.NewReading[0] < e.Interval[0]) {
		t.Errorf("%+v, want %v ± %v", e, hz, hz*math.Hypot(now.Uncertainty/now.Value, known))
	}
	points, err := Sweep(r, before, []*drawing.Drawn{before, after}, bare, nil)
	gain := r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"}).Value
	if err != nil || len(points) != 2 || points[1].Frequency.Value != p.Frequency.Value || !(math.Abs(points[0].Gain-gain) <= 1e-12) || !(math.Abs(points[1].Gain-1-(gain-1)*change.Gain) <= 1e-12) {
		t.Errorf("%+v, %v", points, err)
	}
}
