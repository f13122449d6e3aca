package decisions

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

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

// How much is set up for each; what a meter tells, and what may be bought.
func TestCandidatesAndTheirEffort(t *testing.T) {
	for what, c := range map[string]struct {
		c    Candidate
		want int
	}{
		"bare":    {Candidate{State: readings.Bare()}, 0},
		"parts":   {Candidate{State: stateOf(func(s *readings.State) { s.Parts = []int{0, 1} })}, 2},
		"clip":    {Candidate{State: stateOf(func(s *readings.State) { s.Clip = true })}, 1},
		"new":     {Candidate{Kind: ReadNew, State: readings.Bare()}, 2},
		"core":    {Candidate{State: stateOf(func(s *readings.State) { s.Core = "rod" })}, 1},
		"all":     {Candidate{Kind: ReadNew, State: stateOf(func(s *readings.State) { s.Core, s.Hand, s.Clip = "rod", 1, true })}, 5},
		"meter":   {Candidate{Kind: MeasurePart, State: stateOf(func(s *readings.State) { s.Parts = []int{0, 1} })}, 1},
		"winding": {Candidate{Kind: MeasureWinding, State: readings.Bare()}, 1},
	} {
		if got := c.c.effort(); got != c.want || c.c.Kind.measures() != (what == "meter" || what == "winding") {
			t.Errorf("%s: %d, want %d", what, got, c.want)
		}
	}
	if got := meter(10e-12); !(math.Abs(got-0.01/1.96) <= 1e-12) {
		t.Errorf("10 pF by a meter ± %v", got)
	}
	if got := meter(1e-12); !(math.Abs(got-0.02/1.96) <= 1e-12) {
		t.Errorf("1 pF by a meter ± %v", got)
	}
	r := tried(t, 36, simulated.Added(4.7).Rod(0.5))
	count := func(want Measurand, b Bench) (n [4]int, hands, cores, partly int) {
		for _, c := range Candidates(r, want, b) {
			n[c.Kind]++
			if c.State.Hand < 1 {
				hands++
			}
			if c.State.Core != "" {
				cores++
				if c.State.Partly() {
					partly++
				}
			}
		}
		return n, hands, cores, partly
	}
	// Tops: none, four parts, three pairs of known ones, a clip: nine in each condition. Parts measured:
	// of ± 2 % all but that without room, and the one without a value.
	l := Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}, State: readings.Bare()}
	if n, hands, cores, partly := count(l, Bench{}); n != [4]int{18, 0, 4, 1} || hands != 0 || cores != 9 || partly != 0 {
		t.Errorf("for L: %v, %d with hands, %d with cores, %d partly", n, hands, cores, partly)
	}
	gain := Measurand{Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}, State: readings.Bare()}
	if n, _, cores, partly := count(gain, Bench{}); n[ReadState] != 27 || cores != 18 || partly != 9 {
		t.Errorf("for the gain: %v, %d with cores, %d partly", n, cores, partly)
	}
	hand := Measurand{Key: quantities.Key{Name: quantities.HandCapacitance, Hand: 0.1}, State: readings.Bare()}
	if n, hands, _, _ := count(hand, Bench{}); n[ReadState] != 45 || hands != 27 { // 0.1, 0.2 and twice the largest
		t.Errorf("for a hand: %v, %d with hands", n, hands)
	}
	frequency := Measurand{Key: quantities.Key{Name: "frequency"}, State: stateOf(func(s *readings.State) { s.Core, s.To = "rod", 0.3 })}
	if n, _, _, partly := count(frequency, Bench{}); n[ReadState] != 36 || partly != 18 {
		t.Errorf("for a frequency: %v, %d partly", n, partly)
	}
	coupled := Measurand{Key: quantities.Key{Name: quantities.CouplingAtResonance}, State: readings.Bare()}
	shorted := 0
	for _, c := range Candidates(r, coupled, Bench{}) {
		if c.State.Primary.Kind == readings.PrimaryShorted && c.State.Core == "" {
			shorted++
		}
	}
	if shorted != 9 {
		t.Errorf("for a coupling: %d with a shorted primary", shorted)
	}
	// More parts: each alone and in pairs; E6 from a tenth to ten times 6 pF, at 1 pF the least; as
	// bought with ± 5 %, and measured where a meter is as good as it says.
	if n, _, _, _ := count(l, Bench{Parts: []readings.Part{{Name: "own", Capacitance: 6e-12, Known: true}}}); n[ReadState] != 2*(1+5+6+1) {
		t.Errorf("with a part: %v", n)
	}
	farad := math.Exp(r.Solution.X[forward.AtC])
	values, measured := 0, 0
	for _, v := range series6(math.Max(1e-12, farad/10), 10*farad) {
		if values++; v >= 2e-12 {
			measured++
		}
	}
	if n, _, _, _ := count(l, Bench{Buy: true, Tolerance: 0.05}); n[ReadNew] != 2*(values+measured) || values < 10 || measured == values {
		t.Errorf("bought: %v, want %d", n, 2*(values+measured))
	}
	if n, _, _, _ := count(l, Bench{Measured: []Measure{{Part: 0, Relative: 0.03}}}); n[MeasurePart] != 3 { // worse than it is
		t.Errorf("measured badly: %v", n)
	}
	// Of many parts some are paired, from the smallest to the largest, those at hand first.
	var parts []readings.Part
	for i := range 50 {
		parts = append(parts, readings.Part{Capacitance: float64(50 - i), Known: i != 7})
	}
	if got := pairable(parts, 30); len(got) != 20 || slices.Contains(got, 7) || slices.ContainsFunc(got, func(i int) bool { return i < 30 }) {
		t.Errorf("paired %v", got)
	}
	if got := pairable(parts, 45); len(got) != 20 || !slices.Contains(got, 0) || !slices.Contains(got, 44) || !slices.Equal(got[15:], []int{45, 46, 47, 48, 49}) {
		t.Errorf("paired %v", got)
	}
	if got := pairable(parts[:20], 10); len(got) != 19 {
		t.Errorf("paired %v", got)
	}
	if got := spread(parts, []int{0, 1, 2, 3, 4}, 3); !slices.Equal(got, []int{4, 2, 0}) {
		t.Errorf("spread %v", got)
	}
}

// Why a candidate helps, or doesn't: by what it brings, and whether that was read.
func TestReasons(t *testing.T) {
	r := tried(t, 37)
	l := Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}, State: readings.Bare()}
	extra := []readings.Part{{Name: "new", Capacitance: 1e-12, Uncertainty: 1e-14, Known: true}}
	n := len(r.Parts())
	p := must.Get(newPlan(r, l, []Candidate{{State: stateOf(func(s *readings.State) { s.Parts = []int{n} })}}, extra)).In(t)
	e := func(u float64) quantities.Estimate {
		return quantities.Estimate{Value: 10, Uncertainty: u, Determined: u > 0}
	}
	read := func(change func(s *readings.State)) Candidate { return Candidate{State: stateOf(change)} }
	for what, c := range map[string]struct {
		c             Candidate
		before, after float64
		want          Reason
	}{
		"splits":         {read(func(s *readings.State) { s.Parts = []int{1} }), 0, 1, ReasonSplits},
		"splits, new":    {Candidate{Kind: ReadNew, State: readings.Bare()}, 0, 1, ReasonSplits},
		"missing":        {read(func(s *readings.State) { s.Core = "rod" }), 0, 1, ReasonMissing},
		"missing, bare":  {read(func(s *readings.State) {}), 0, 1, ReasonMissing},
		"still open":     {read(func(s *readings.State) {}), 0, 0, ReasonNothing},
		"hardly":         {read(func(s *readings.State) {}), 1, 0.951, ReasonNothing},
		"repeat":         {read(func(s *readings.State) {}), 1, 0.949, ReasonRepeat},
		"meter":          {Candidate{Kind: MeasurePart}, 1, 0.5, ReasonTolerance},
		"calliper":       {Candidate{Kind: MeasureWinding}, 1, 0.5, ReasonMeasured},
		"new":            {Candidate{Kind: ReadNew, State: readings.Bare()}, 1, 0.5, ReasonNewPart},
		"clip":           {read(func(s *readings.State) { s.Clip = true }), 1, 0.5, ReasonClip},
		"more than read": {read(func(s *readings.State) { s.Parts = []int{1, 2, 0} }), 1, 0.5, ReasonRange},
		"other part":     {read(func(s *readings.State) { s.Parts = []int{n} }), 1, 0.5, ReasonNewPart},
		"combination":    {read(func(s *readings.State) { s.Parts = []int{0, 1} }), 1, 0.5, ReasonCombination},
	} {
		if got := p.reason(&c.c, e(c.before), e(c.after)); got != c.want {
			t.Errorf("%s: %v, want %v", what, got, c.want)
		}
	}
	p.measurand = Measurand{Key: quantities.Key{Name: "frequency"}, State: stateOf(func(s *readings.State) { s.Parts = []int{0, 1} })}
	direct := read(func(s *readings.State) { s.Parts = []int{1, 0} })
	if got := p.reason(&direct, e(1), e(0.5)); got != ReasonDirect {
		t.Errorf("asked for: %v", got)
	}
	for _, c := range [][3]float64{{2, 1, 0.1}, {0, 0, 0}, {1, 0, 0}} {
		if got := gain(e(c[0]), e(c[1])); got != c[2] {
			t.Errorf("from %v to %v: gain %v", c[0], c[1], got)
		}
	}
	if !math.IsInf(gain(e(0), e(1)), 1) {
		t.Error("determined at last")
	}
	for _, c := range []struct {
		s    Suggestion
		want bool
	}{{Suggestion{After: e(1), Reason: ReasonRange}, true}, {Suggestion{After: e(1), Reason: ReasonNothing}, false}, {Suggestion{After: e(0), Reason: ReasonRange}, false}} {
		if c.s.Helps() != c.want {
			t.Errorf("%+v helps: %v", c.s, !c.want)
		}
	}
	s := Suggestion{After: quantities.Estimate{Value: -4, Uncertainty: 1, Determined: true}}
	if s.Worth() != 0.25 || !math.IsInf((&Suggestion{}).Worth(), 1) {
		t.Error(s.Worth())
	}
}

// A reading that was proposed does what was said: the fit with it has that uncertainty.
func TestAProposedReadingDoesWhatIsSaid(t *testing.T) {
	r := tried(t, 38)
	typical := r.TypicalUncertainty()
	for name, change := range map[string]func(s *readings.State){
		"pair": func(s *readings.State) { s.Parts = []int{1, 2} }, "core": func(s *readings.State) { s.Core, s.To, s.Parts = "rod", 1, []int{1} },
		"clip": func(s *readings.State) { s.Clip = true }, "hand": func(s *readings.State) { s.Hand = 0.4 },
	} {
		state := stateOf(change)
		want := Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}, State: readings.Bare()}
		out := Next(r, want, []Candidate{{State: state}}, nil, 1)
		s := r.Session
		hz := r.Frequency(state, nil).Value
		s.Log.Readings = append(slices.Clone(s.Log.Readings), readings.Reading{State: state, Use: true, Frequency: hz, Uncertainty: typical * hz, Amplitude: math.NaN(), Quality: math.NaN()})
		n := len(s.Log.Readings) - 1 // its time: as far behind the last as readings are apart
		s.Log.Moments = nil
		o := must.Get(estimation.Fit(s)).In(t)
		e := o.Find(want.Key)
		if name == "hand" { // once it is read there, the law there leaves nothing
			drop := Measurand{Key: quantities.Key{Name: "frequency"}, State: state}
			after := Next(r, drop, []Candidate{{State: state}}, nil, 1).Ranked[0].After
			if now := o.Frequency(state, nil); !(math.Abs(after.Stated/now.Stated-1) <= 0.05) {
				t.Errorf("its frequency: ± %.5g said, ± %.5g done", after.Stated, now.Stated)
			}
		}
		if got := out.Ranked[0].After.Stated; !(math.Abs(got/e.Stated-1) <= 0.02) || out.Tried != 1 || len(out.Greedy) != 0 || n != 11 {
			t.Errorf("%s: ± %.5g said, ± %.5g done", name, got, e.Stated)
		}
	}
	joint, ok := PlanJointly(r, []Measurand{{Key: quantities.Key{Name: quantities.EffectiveInductance}}, {Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}}}, Candidates(r, Measurand{State: readings.Bare()}, Bench{}), nil, 2)
	if !ok || len(joint.Steps) != 2 || len(joint.Now) != 2 || len(joint.After) != 2 {
		t.Fatalf("%+v", joint)
	}
	for i := range joint.Now {
		if !(joint.After[i].Uncertainty <= joint.Now[i].Uncertainty) || joint.After[i].Value != joint.Now[i].Value {
			t.Errorf("%+v, then %+v", joint.Now[i], joint.After[i])
		}
	}
	if _, ok := PlanJointly(r, nil, []Candidate{{State: readings.Bare()}}, nil, 1); ok {
		t.Error("nothing wanted")
	}
	if _, ok := PlanJointly(r, []Measurand{{Key: quantities.Key{Name: "weight"}}}, []Candidate{{State: readings.Bare()}}, nil, 1); ok {
		t.Error("something else wanted")
	}
	if out := Next(r, Measurand{Key: quantities.Key{Name: "weight"}}, []Candidate{{State: readings.Bare()}}, nil, 1); !out.Unknown {
		t.Error("something else wanted")
	}
}

// Of three sessions of one coil: values agree by the random-effects model of all their errors, those
// that they share being the same ones. All by hand from the budgets, with plain inverses.
func TestConsensusByHand(t *testing.T) {
	sessions := []*estimation.Result{tried(t, 41), tried(t, 42), tried(t, 43, simulated.Added(22))}
	list := Agree(sessions)
	k := quantities.Key{Name: quantities.CoreGain, Core: "rod"}
	i := slices.IndexFunc(list, func(a Agreed) bool { return a.Key == k })
	if i < 0 {
		t.Fatal("no consensus on the gain")
	}
	a := list[i]
	n := len(sessions)
	v := mat.NewSymDense(n, nil)
	shared := make([]map[string]float64, n)
	values := make([]float64, n)
	readings, degrees := make([]float64, n), make([]float64, n)
	for i, r := range sessions {
		e := r.Find(k)
		values[i], shared[i] = e.Value, map[string]float64{}
		square := 0.0
		for _, input := range r.Budget(e) {
			switch kind := input.Assumption.Kind; {
			case input.Kind == estimation.PartSource:
				shared[i]["part "+input.Part] += input.Contribution
			case input.Kind == estimation.AssumptionSource && kind != estimation.AssumedDrift:
				shared[i][string(rune('A'+int(kind)))] += input.Contribution
			default:
				square += input.Contribution * input.Contribution
				if input.Kind <= estimation.HandReadings {
					readings[i], degrees[i] = readings[i]+input.Contribution*input.Contribution, input.Degrees
				}
			}
		}
		if r.Problem.Wide != 1 || !(math.Abs(a.Own[i]/math.Sqrt(square)-1) <= 1e-9) || a.Sessions[i].Value != e.Value {
			t.Errorf("session %d: own %v, want %v", i, a.Own[i], math.Sqrt(square))
		}
		v.SetSym(i, i, square)
	}
	for i := range n {
		for j := range i + 1 {
			for name, u := range shared[i] {
				v.SetSym(i, j, v.At(i, j)+u*shared[j][name])
			}
		}
	}
	between, w := momentsByHand(v, values)
	mean, variance := 0.0, 0.0
	for i := range n {
		v.SetSym(i, i, v.At(i, i)+between*between)
		mean += w[i] * values[i]
	}
	sum, squares := 0.0, 0.0
	for i := range n {
		for j := range n {
			variance += w[i] * w[j] * v.At(i, j)
		}
		sum += math.Pow(w[i]*w[i]*readings[i], 2) / degrees[i]
		squares += w[i] * w[i]
	}
	if tolerances := toleranceOf(sessions, w, shared); between > 0 {
		sum += math.Pow(between*between*squares, 2)/float64(n-1) + tolerances
	} else {
		sum += tolerances
	}
	if !(math.Abs(a.Value-mean) <= 1e-12) || !(math.Abs(a.Uncertainty/math.Sqrt(variance)-1) <= 1e-9) || a.Stated != a.Uncertainty || !(math.Abs(a.Between-between) <= 1e-9) || a.Budget != (quantities.Budget{}) || !(math.Abs(a.Degrees/(variance*variance/sum)-1) <= 1e-6) {
		t.Errorf("%+v, want %v ± %v, between %v, %v degrees", a, mean, math.Sqrt(variance), between, variance*variance/sum)
	}
	for i := range n {
		square := variance + v.At(i, i)
		for j := range n {
			square -= 2 * w[j] * v.At(i, j)
		}
		if off := values[i] - mean; !(math.Abs(a.Deviations[i]-off) <= 1e-12) || !(math.Abs(a.Sigmas[i]-off/math.Sqrt(square)) <= 1e-6) {
			t.Errorf("session %d: off by %v, %v σ, want %v, %v", i, a.Deviations[i], a.Sigmas[i], off, off/math.Sqrt(square))
		}
	}
	for _, a := range list {
		if quantities.OfBench(a.Name) {
			t.Errorf("a consensus on %s", a.Name)
		}
	}
}

// toleranceOf is the part of the tolerances in the formula of Welch and Satterthwaite.
func toleranceOf(sessions []*estimation.Result, w []float64, shared []map[string]float64) float64 {
	variance, fewest := 0.0, math.Inf(1)
	for name := range shared[2] {
		if strings.HasPrefix(name, "part ") {
			u := 0.0
			for i := range w {
				u += w[i] * shared[i][name]
			}
			variance += u * u
		}
	}
	for _, r := range sessions {
		for _, in := range r.Budget(r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"})) {
			if in.Kind == estimation.PartSource {
				fewest = math.Min(fewest, in.Degrees)
			}
		}
	}
	return variance * variance / fewest
}

// momentsByHand returns the standard deviation between values of covariance v, by the moments of
// vᵀPv, and the weights of the mean of least variance: of all choices of values whose best weights
// are above 0, the one of least variance.
func momentsByHand(v *mat.SymDense, values []float64) (between float64, w []float64) {
	n := len(values)
	inverse, ones, sum := weighed(v, []int{0, 1, 2}, 0)
	var outer, p mat.Dense
	outer.Outer(1/sum, ones, ones)
	p.Sub(inverse, &outer)
	x := mat.NewVecDense(n, values)
	tau := math.Max(0, (mat.Inner(x, &p, x)-float64(n-1))/mat.Trace(&p))
	best := 0.0
	for _, of := range [][]int{{0}, {1}, {2}, {0, 1}, {0, 2}, {1, 2}, {0, 1, 2}} {
		if _, u, sum := weighed(v, of, tau); sum > best && mat.Min(u) > 0 {
			best, w = sum, make([]float64, n)
			for k, i := range of {
				w[i] = u.AtVec(k) / sum
			}
		}
	}
	return math.Sqrt(tau), w
}

// weighed returns the inverse of the covariance of some values, with a variance between them, its
// sums of rows, and the sum of all.
func weighed(v *mat.SymDense, of []int, between float64) (inverse *mat.Dense, u *mat.VecDense, sum float64) {
	n := len(of)
	m := mat.NewDense(n, n, nil)
	for a, i := range of {
		for b, j := range of {
			m.Set(a, b, v.At(i, j))
		}
		m.Set(a, a, m.At(a, a)+between)
	}
	inverse, u = mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
	if err := inverse.Inverse(m); err != nil {
		panic(err)
	}
	one := mat.NewVecDense(n, slices.Repeat([]float64{1}, n))
	u.MulVec(inverse, one)
	return inverse, u, mat.Dot(one, u)
}

// The difference of two values with an error in common, of standard uncertainty 2 in one session,
// 1 in the other and 1 between them: shifts by 4 and 3 for one standard uncertainty each make
// (3/1 − 4/2)·1 of it.
func TestDifferenceWithAnErrorInCommon(t *testing.T) {
	got := differenceUncertainty(5, 6, []float64{9, 4}, []float64{3}, []commonError{{1, 0, 2, 1, 1}})
	if want := math.Sqrt(25 + 36 - 16 - 9 + 1); !(math.Abs(got-want) <= 1e-12) {
		t.Errorf("%v, want %v", got, want)
	}
	if got := differenceUncertainty(4, 3, []float64{4}, []float64{3}, []commonError{{0, 0, 4, 3, 1}}); got != 0 {
		t.Errorf("nothing of their own leaves %v", got)
	}
}

// Which errors two sessions share: parts of one name and value, of which the smaller tolerance
// holds; assumptions on the coil; values known alike. Not a drift, nor parts of another value.
func TestCommonErrors(t *testing.T) {
	a, b := tried(t, 44), tried(t, 45)
	s := b.Session
	s.Log.Parts = slices.Clone(s.Log.Parts)
	s.Log.Parts[0].Uncertainty /= 2
	s.Log.Parts[1].Capacitance *= 1.01
	known := quantities.Known{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.25e-3, Uncertainty: 0.05e-3}
	s.Known = []quantities.Known{known}
	b, err := estimation.Fit(s)
	if err != nil {
		t.Fatal(err)
	}
	s = a.Session
	s.Known = []quantities.Known{known}
	if a, err = estimation.Fit(s); err != nil {
		t.Fatal(err)
	}
	list := commonErrors(a, b)
	parts, assumed, values := 0, 0, 0
	for _, e := range list {
		p, q := a.Problem, b.Problem
		switch {
		case p.PriorOf[e.a] >= 0:
			parts++
			first, second := &p.Parts[p.PriorOf[e.a]], &q.Parts[q.PriorOf[e.b]]
			if first.Name != second.Name || first.Capacitance != second.Capacitance || e.ofA != first.Uncertainty || e.ofB != second.Uncertainty || e.both != math.Min(e.ofA, e.ofB) {
				t.Errorf("%+v: %+v and %+v", e, first, second)
			}
		case e.a < len(p.Assumed):
			assumed++
			if x, y := p.Assumed[e.a], q.Assumed[e.b]; x.Kind != y.Kind || x.Kind == estimation.AssumedDrift || e.ofA != x.Spread || e.ofB != y.Spread || e.both != x.Spread {
				t.Errorf("%+v: %+v and %+v", e, x, y)
			}
		default:
			values++
			if e.a != len(p.Origins)-1 || e.b != len(q.Origins)-1 || e.ofA != 1 || e.ofB != 1 || e.both != 1 {
				t.Errorf("%+v of %d and %d", e, len(p.Origins), len(q.Origins))
			}
		}
	}
	if parts != 2 || assumed != 7 || values != 1 { // share, core, ends, moved, two of a hand, lead
		t.Errorf("%d parts, %d assumptions, %d values", parts, assumed, values)
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
