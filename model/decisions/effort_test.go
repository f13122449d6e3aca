package decisions

import (
	"math"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

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
