package estimation

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/forward"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// tried is a session of an invented coil with a core, a hand, a lot of parts, a part without a value
// and one value known, and the estimates that its budgets are worked out for.
func tried(t testing.TB) (Session, *Result) {
	t.Helper()
	steps := []simulated.Step{simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(4.7, 10), simulated.Added().Rod(1), simulated.Added(10).Rod(1),
		simulated.Added().Near(0.1), simulated.Added().Near(0.2), simulated.Added(simulated.Spike), simulated.Added(simulated.Spike, 4.7), simulated.EmptyClip(), simulated.Added()}
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(17, 5)), 2e-4, 0.02, steps...)
	for i := range log.Parts {
		if p := &log.Parts[i]; p.Known && p.Name != "a" {
			p.Lot, p.Common = "kit", 0.25
		}
	}
	log.Parts[0].Uncertainty *= 1.5 // its lot's are as they were
	log.Readings[0].FromDigits = true
	// By the straight line the readings themselves would give an inductance near this.
	s := Session{Log: log, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.26e-3, Uncertainty: 0.03e-3}}}
	r, err := Fit(s)
	if err != nil || r.Scatter.Scale != 1 {
		t.Fatal(err, r.Scatter.Scale)
	}
	return s, r
}

// An input moves an estimate by its contribution when it is moved by its standard uncertainty: all
// readings, parts and known values are moved, and the fit made again. The squares of all
// contributions, those of assumptions among them, make the variance; products of those to two
// estimates their covariance.
func TestBudgetIsWhatMovedInputsDo(t *testing.T) {
	s, r := tried(t)
	moved := func(e *quantities.Estimate, change func(s *Session, by float64)) float64 {
		var v [2]float64
		for i, by := range []float64{1, -1} {
			other := s
			other.Log.Readings, other.Log.Parts, other.Known = slices.Clone(s.Log.Readings), slices.Clone(s.Log.Parts), slices.Clone(s.Known)
			change(&other, by)
			o := must.Get(Fit(other)).In(t)
			v[i] = o.Find(e.Key).Value
		}
		return (v[0] - v[1]) / 2
	}
	budgets := map[string][]Input{}
	for _, k := range []quantities.Key{{Name: quantities.EffectiveInductance}, {Name: quantities.CoreGain, Core: "rod"}, {Name: quantities.PartCapacitance, Part: "spike"}} {
		e := r.Find(k)
		list := r.Budget(e)
		budgets[k.Name] = list
		squares, shares := 0.0, 0.0
		counts := map[SourceKind]int{}
		for _, in := range list {
			counts[in.Kind]++
			squares, shares = squares+in.Contribution*in.Contribution, shares+in.Share
			if want := math.Pow(in.Contribution/e.Uncertainty, 2); !(math.Abs(in.Share-want) <= 1e-9) {
				t.Errorf("%s: share %v, want %v", k.Name, in.Share, want)
			}
			if c := in.Sensitivity * in.Uncertainty; !(math.Abs(c-in.Contribution) <= 1e-9*e.Uncertainty) {
				t.Errorf("%s: %v by sensitivity, contribution %v", k.Name, c, in.Contribution)
			}
			var want float64
			switch in.Kind {
			case BareReadings, AddedReadings, CoreReadings, HandReadings:
				i := slices.IndexFunc(s.Log.Readings, func(o readings.Reading) bool { return o.Line == in.Line })
				o := &s.Log.Readings[i]
				want = moved(e, func(s *Session, by float64) { s.Log.Readings[i].Frequency += by * in.Uncertainty })
				if in.Value != o.Frequency || in.Uncertainty != o.Uncertainty || in.Unit != "Hz" || in.Count != 1 || in.Degrees != r.Solution.ScaleDegrees {
					t.Errorf("%s: line %d told as %+v", k.Name, in.Line, in)
				}
			case PartSource:
				i := slices.IndexFunc(s.Log.Parts, func(p readings.Part) bool { return p.Name == in.Part })
				p := &s.Log.Parts[i]
				own := p.Uncertainty
				if p.Lot != "" {
					own *= math.Sqrt(0.75)
				}
				want = moved(e, func(s *Session, by float64) { // so little that it is as good as its logarithm
					s.Log.Parts[i].Capacitance *= math.Exp(by * own / p.Capacitance)
					s.Log.Parts[i].Uncertainty *= math.Exp(by * own / p.Capacitance)
				})
				if in.Value != p.Capacitance || !(math.Abs(in.Uncertainty/own-1) <= 1e-12) || in.Unit != "F" || in.Degrees != r.PartErrors.degrees() {
					t.Errorf("%s: part %s told as %+v", k.Name, in.Part, in)
				}
			case CommonSource:
				want = moved(e, func(s *Session, by float64) {
					for i := range s.Log.Parts {
						if s.Log.Parts[i].Lot != "" {
							s.Log.Parts[i].Capacitance *= math.Exp(by * 0.5 * 0.02)
							s.Log.Parts[i].Uncertainty *= math.Exp(by * 0.5 * 0.02)
						}
					}
				})
				if !(math.Abs(in.Uncertainty-0.01) <= 1e-12) || in.Unit != "1" || in.Degrees != r.PartErrors.degrees() || math.IsInf(in.Degrees, 1) || in.Assumption.Kind != AssumedCommon && in.Assumption.Kind != NotAssumed {
					t.Errorf("%s: lot told as %+v", k.Name, in)
				}
			case KnownSource:
				want = moved(e, func(s *Session, by float64) {
					s.Known[0].Value *= math.Exp(by * in.Uncertainty / in.Value)
					s.Known[0].Uncertainty *= math.Exp(by * in.Uncertainty / in.Value)
				})
				if in.Known.Name != quantities.Inductance || in.Value != 1.26e-3 || in.Uncertainty != 0.03e-3 || in.Unit != "H" || !math.IsInf(in.Degrees, 1) {
					t.Errorf("%s: known value told as %+v", k.Name, in)
				}
			case AssumptionSource:
				if !math.IsInf(in.Degrees, 1) || in.Logarithmic != in.Assumption.Kind.Factor() || in.Logarithmic && !(math.Abs(math.Exp(in.Uncertainty)/in.Assumption.Spread-1) <= 1e-12) {
					t.Errorf("%s: assumption told as %+v", k.Name, in)
				}
				continue
			}
			if !(math.Abs(in.Contribution-want) <= 0.012*e.Uncertainty) {
				t.Errorf("%s: %v line %d %s contributes %.3g, moved it %.3g of %.3g", k.Name, in.Kind, in.Line, in.Part, in.Contribution, want, e.Uncertainty)
			}
		}
		if !(math.Abs(squares/(e.Uncertainty*e.Uncertainty)-1) <= 1e-6) || !(math.Abs(shares-1) <= 1e-6) {
			t.Errorf("%s: squares make %v of the variance, shares %v", k.Name, squares/(e.Uncertainty*e.Uncertainty), shares)
		}
		if counts[BareReadings] != 2 || counts[AddedReadings] != 7 || counts[CoreReadings] != 2 || counts[HandReadings] != 2 || counts[PartSource] != 3 || counts[CommonSource] != 1 || counts[KnownSource] != 1 || counts[AssumptionSource] != 8 {
			t.Errorf("%s: inputs %v", k.Name, counts)
		}
	}
	joint := r.Joint()
	at := func(k quantities.Key) int {
		return slices.IndexFunc(joint.Estimates, func(e *quantities.Estimate) bool { return e.Key == k })
	}
	a, b := quantities.Key{Name: quantities.EffectiveInductance}, quantities.Key{Name: quantities.CoreGain, Core: "rod"}
	covariance := 0.0
	for i, in := range budgets[a.Name] {
		covariance += in.Contribution * budgets[b.Name][i].Contribution
	}
	ua, ub := r.Find(a).Uncertainty, r.Find(b).Uncertainty
	if got := joint.Covariance[at(a)*len(joint.Estimates)+at(b)]; !(math.Abs(got-covariance) <= 1e-6*ua*ub) {
		t.Errorf("covariance %v, want %v", got/ua/ub, covariance/ua/ub)
	}
	for i, e := range joint.Estimates {
		if got := joint.Covariance[i*len(joint.Estimates)+i]; !(math.Abs(got/(e.Uncertainty*e.Uncertainty)-1) <= 1e-6) {
			t.Errorf("%s: variance %v, u² %v", e.Name, got, e.Uncertainty*e.Uncertainty)
		}
	}
	c := r.Correlations([]*quantities.Estimate{r.Find(a), r.Find(b)})
	if c[0] != 1 || c[3] != 1 || !(math.Abs(c[1]-covariance/ua/ub) <= 1e-6) || c[1] != c[2] {
		t.Errorf("correlations %v, want %v", c, covariance/ua/ub)
	}
	// Of the pair: cov(ln L, ln C) from the covariance of both.
	p, ok := r.Pair()
	l, f := at(a), at(quantities.Key{Name: quantities.EffectiveCapacitance})
	want := joint.Covariance[l*len(joint.Estimates)+f] / joint.Estimates[l].Uncertainty / joint.Estimates[f].Uncertainty
	if !ok || !(math.Abs(p.Correlation-want) <= 1e-6) || p.Inductance.Value != r.Find(a).Value || p.Capacitance.Value != joint.Estimates[f].Value {
		t.Errorf("pair %+v, correlation %v", p, want)
	}
	// Each assumption has the share of the effective inductance that its input has.
	for _, as := range r.Assumed {
		var share float64
		for _, in := range budgets[a.Name] {
			if as.Kind == AssumedDigits && in.Kind < PartSource && in.Line == s.Log.Readings[0].Line || (in.Kind == AssumptionSource || in.Kind == CommonSource) && in.Assumption.Kind == as.Kind {
				share += in.Share
			}
		}
		if !(math.Abs(as.Share-share) <= 1e-6) {
			t.Errorf("assumption %v: share %v, want %v", as.Kind, as.Share, share)
		}
	}
	if i := slices.IndexFunc(r.Assumed, func(a Assumption) bool { return a.Kind == AssumedDigits }); i < 0 || r.Assumed[i].Count != 1 {
		t.Errorf("one reading is told by its digits: %+v", r.Assumed)
	}
	none := s
	none.Log.Readings = slices.Clone(s.Log.Readings)
	for i := range none.Log.Readings {
		none.Log.Readings[i].Use = false
	}
	if _, err := Fit(none); err != ErrNoReadings {
		t.Errorf("nothing to fit: %v", err)
	}
	if r.Budget(nil) != nil || r.Budget(&quantities.Estimate{Key: a}) != nil {
		t.Error("a budget of nothing")
	}
}

// What a prior has become: a part is told as its estimate, an assumption by its unknown.
func TestMovedPriorsAreTheUnknowns(t *testing.T) {
	s, r := tried(t)
	p, x := r.Problem, r.Solution.X
	relative := func(i int) float64 { return r.Relative(i) }
	core := p.Core("rod")
	seen := map[AssumptionKind]bool{}
	parts := 0
	for _, b := range r.MovedPriors() {
		var value, u, now, left float64
		unit, logarithmic := "1", false
		switch b.Kind {
		case PartSource:
			parts++
			e := r.Find(quantities.Key{Name: quantities.PartCapacitance, Part: b.Part})
			i := slices.IndexFunc(s.Log.Parts, func(p readings.Part) bool { return p.Name == b.Part })
			value, u, now, left, unit = s.Log.Parts[i].Capacitance, s.Log.Parts[i].Uncertainty, e.Value, e.Uncertainty, "F"
		case CommonSource:
			u, now, left = 0.01, 0.01*x[p.Lots[0].At], 0.01*relative(p.Lots[0].At)
		case KnownSource:
			e := r.Find(quantities.Key{Name: quantities.Inductance})
			value, u, now, left, unit = 1.26e-3, 0.03e-3, e.Value, e.Uncertainty, "H"
			if b.Known != e.Key {
				t.Errorf("known %+v", b.Known)
			}
		case AssumptionSource:
			seen[b.Assumption.Kind] = true
			switch b.Assumption.Kind {
			case AssumedShare:
				value, u, now, left = 0.3, 0.3, x[p.Share], relative(p.Share)
			case AssumedCoreCapacitance:
				u, now, left = 0.1, x[core.At+1], relative(core.At+1)
			case AssumedEnds:
				value, u, now, left, logarithmic = 0.12, 0.7, 0.12*math.Exp(0.7*x[core.Ends]), 0.7*relative(core.Ends), true
			case AssumedMoved:
				value, u, now, left, logarithmic = 0.035, 0.8, 0.035*math.Exp(0.8*x[core.Ends+1]), 0.8*relative(core.Ends+1), true
			case AssumedHandOffset:
				value, u, now, left, logarithmic, unit = 0.07, 1, math.Exp(x[p.Hand+1]), relative(p.Hand+1), true, "m"
			case AssumedHandExponent:
				value, u, now, left = 2.4, 0.6, x[p.Hand+2], relative(p.Hand+2)
			case AssumedLead:
				u, now, left, unit = 1e-13, 1e-13*x[p.Lead], 1e-13*relative(p.Lead), "F"
			case AssumedDrift:
				u, now, left = 5e-4, 5e-4*x[p.Drift], 5e-4*relative(p.Drift)
			}
		}
		near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-3*u }
		if b.Unit != unit || b.Logarithmic != logarithmic || !near(b.Value, value) || !(math.Abs(b.Uncertainty/u-1) <= 1e-9) || !near(b.Now, now) || !near(b.Left, left) {
			t.Errorf("%v %v %s: %v ± %v %s is now %v ± %v, want %v ± %v and %v ± %v", b.Kind, b.Assumption.Kind, b.Part, b.Value, b.Uncertainty, b.Unit, b.Now, b.Left, value, u, now, left)
		}
		moved := (now - value) / u
		if logarithmic {
			moved = math.Log(now/value) / u
		}
		if !(math.Abs(b.Moved()-moved) <= 2e-3) || !(math.Abs(b.Narrowed()-left/u) <= 2e-3) {
			t.Errorf("%v: moved by %v, left %v; want %v, %v", b.Assumption.Kind, b.Moved(), b.Narrowed(), moved, left/u)
		}
	}
	if parts != 3 || len(seen) != 8 {
		t.Errorf("%d parts, assumptions %v", parts, seen)
	}
	for _, a := range r.Assumed { // the same, as the list of assumptions tells it
		for _, b := range r.MovedPriors() {
			if b.Kind == AssumptionSource && b.Assumption.Kind == a.Kind && (!(math.Abs(a.Moved-b.Moved()) <= 2e-3) || !(math.Abs(a.Left-b.Narrowed()) <= 2e-3)) {
				t.Errorf("%v: moved by %v, left %v; want %v, %v", a.Kind, a.Moved, a.Left, b.Moved(), b.Narrowed())
			}
		}
	}
}

// A state's frequency is what the fit would give to a reading of it that counts for nothing: its
// fitted value, and its leverage times the square of its uncertainty. With a part that the log has
// not, and a lead where none was, the part's and the lead's uncertainty come besides.
func TestFrequencyIsThatOfAReadingThatCountsForNothing(t *testing.T) {
	s, r := tried(t)
	for what, change := range map[string]func(s *readings.State){
		"bare": func(s *readings.State) {},
		"two":  func(s *readings.State) { s.Parts = []int{0, 2} },
		"core": func(s *readings.State) { s.Core, s.To, s.Parts = "rod", 1, []int{1} },
		"hand": func(s *readings.State) { s.Hand = 0.1 },
	} {
		state := readings.Bare()
		change(&state)
		e := r.Frequency(state, nil)
		const huge = 1e7 // Hz
		other := s
		other.Log.Readings = append(slices.Clone(s.Log.Readings), readings.Reading{State: state, Line: 99, Use: true, Frequency: e.Value, Uncertainty: huge, Amplitude: math.NaN(), Quality: math.NaN()})
		n := len(s.Log.Readings)
		other.Log.Moments = make([]float64, n+1) // taken in the middle
		for i := range n {
			other.Log.Moments[i] = float64(i)
		}
		other.Log.Moments[n] = float64(n-1) / 2
		o := must.Get(Fit(other)).In(t)
		got := o.Readings[n]
		u := huge * math.Sqrt(got.Leverage)
		if !(math.Abs(e.Value-got.Fitted) <= 2e-3*u) || !(math.Abs(e.Uncertainty/u-1) <= 2e-3) || e.Unit != "Hz" || e.Name != "frequency" {
			t.Errorf("%s: %v ± %v, want %v ± %v", what, e.Value, e.Uncertainty, got.Fitted, u)
		}
		hz, spread, ok := r.Spread(state)
		if !ok || !(math.Abs(hz/e.Value-1) <= 1e-12) || !(math.Abs(spread/e.Uncertainty-1) <= 1e-9) {
			t.Errorf("%s: spread %v ± %v", what, hz, spread)
		}
		// Welch and Satterthwaite: readings and tolerances have their degrees of freedom, the rest none.
		coverage := func(readings, tolerance float64) float64 {
			return fit.CoverageFactor(0.95, 1/(readings*readings/r.Solution.ScaleDegrees+tolerance*tolerance/r.PartErrors.degrees()))
		}
		k := coverage(e.Budget.Readings, e.Budget.Tolerance)
		if !(math.Abs(math.Log(e.Interval[1]/e.Value)-k*e.Uncertainty/e.Value) <= 1e-9) || !(math.Abs(e.Coverage/k-1) <= 1e-9) {
			t.Errorf("%s: interval %v of %v ± %v", what, e.Interval, e.Value, e.Uncertainty)
		}
		again, list := r.FrequencyBudget(state, nil)
		squares := 0.0
		for _, in := range list {
			squares += in.Contribution * in.Contribution
		}
		if again.Value != e.Value || !(math.Abs(math.Sqrt(squares)/e.Uncertainty-1) <= 1e-6) {
			t.Errorf("%s: contributions make %v of %v", what, math.Sqrt(squares), e.Uncertainty)
		}
		// One more reading: its scatter besides.
		typical := 0.0
		for _, o := range s.Log.Readings {
			typical += math.Pow(o.Uncertainty/o.Frequency, 2) / float64(n)
		}
		u = math.Hypot(e.Uncertainty, e.Value*math.Sqrt(typical))
		in := r.NewReading(&e)
		of := e.Uncertainty * e.Uncertainty / u / u
		k = coverage(e.Budget.Readings*of+1-of, e.Budget.Tolerance*of)
		if got := math.Log(in[1]/e.Value) * e.Value / u; !(math.Abs(in[0]*in[1]/e.Value/e.Value-1) <= 1e-12) || !(math.Abs(got/k-1) <= 1e-9) {
			t.Errorf("%s: a new reading in %v, %v standard uncertainties, want %v", what, in, got, k)
		}
	}
	if got := r.Problem.Afterwards(); !(math.Abs(got-0.5-1.0/12) <= 1e-12) {
		t.Errorf("one more reading at %v", got)
	}
	// A part of 3.3 pF ± 0.2 pF that nothing else has: its own line, by ∂f/∂C.
	extra := []readings.Part{{Name: "new", Capacitance: 3.3e-12, Uncertainty: 0.2e-12, Known: true}}
	state := readings.Bare()
	state.Parts = []int{len(s.Log.Parts)}
	e, list := r.FrequencyBudget(state, extra)
	exact := func(farad float64) float64 {
		of := []readings.Part{{Name: "new", Capacitance: farad, Known: true}}
		return r.Frequency(state, of).Value
	}
	slope := (exact(3.301e-12) - exact(3.299e-12)) / 2e-15
	i := slices.IndexFunc(list, func(in Input) bool { return in.Part == "new" })
	if i < 0 {
		t.Fatalf("%+v", list)
	}
	in := list[i]
	if !(math.Abs(in.Sensitivity/slope-1) <= 1e-4) || !(math.Abs(in.Contribution/(0.2e-12*slope)-1) <= 1e-4) || in.Value != 3.3e-12 || in.Uncertainty != 0.2e-12 || in.Unit != "F" || in.Kind != PartSource || !(math.Abs(in.Share-math.Pow(in.Contribution/e.Uncertainty, 2)) <= 1e-9) {
		t.Errorf("new part %+v, want %v Hz/F", in, slope)
	}
	// Shares of the variance: what the part's tolerance brings is told as that.
	if !(math.Abs(e.Budget.Tolerance-in.Share) <= 0.05) || !(e.Budget.Tolerance > in.Share) {
		t.Errorf("budget %+v, the part's share %v", e.Budget, in.Share)
	}
	// Of readings behind means one scatters more; an empty log's part never read is no more than named.
	two := *r
	two.Session.Log.Readings = slices.Clone(s.Log.Readings)
	for i := range two.Session.Log.Readings {
		o := &two.Session.Log.Readings[i]
		o.Repeats = &readings.Repeats{Deviation: 3 * o.Uncertainty}
	}
	if ratio := two.TypicalUncertainty() / r.TypicalUncertainty(); !(math.Abs(ratio-math.Sqrt(10)) <= 1e-9) {
		t.Errorf("of means: %v times", ratio)
	}
	if got, want := r.Added(state2(s)), r.Find(quantities.Key{Name: quantities.PartCapacitance, Part: "spike"}).Value; !(math.Abs(got-want-forward.LeadSigma*r.Solution.X[r.Problem.Lead]) <= 1e-18) {
		t.Errorf("added %v, want %v and the lead", got, want)
	}
}

// state2 has the part without a value on the top.
func state2(s Session) readings.State {
	state := readings.Bare()
	state.Parts = []int{slices.IndexFunc(s.Log.Parts, func(p readings.Part) bool { return !p.Known })}
	return state
}

// A summary puts lines of one kind together, readings and what the model errs by, and orders by
// share.
func TestSummary(t *testing.T) {
	line := func(k SourceKind, n int, share, c float64) Input {
		return Input{Source: Source{Kind: k, Count: n, Share: share}, Contribution: c, Unit: "Hz", Degrees: 5, Value: 1, Uncertainty: 1, Sensitivity: 1}
	}
	list := Summary([]Input{line(AddedReadings, 1, 0.1, 3), line(PartSource, 0, 0.15, 1), line(AddedReadings, 2, 0.2, -4), line(PartSource, 0, 0.05, 1), line(ModelSource, 0, 0.1, 6), line(BareReadings, 1, 0.1, 2), line(ModelSource, 0, 0.3, 8)})
	want := []struct {
		k        SourceKind
		n        int
		share, c float64
	}{{ModelSource, 0, 0.4, 10}, {AddedReadings, 3, 0.3, 5}, {PartSource, 0, 0.15, 1}, {BareReadings, 1, 0.1, 2}, {PartSource, 0, 0.05, 1}}
	if len(list) != len(want) {
		t.Fatalf("%+v", list)
	}
	for i, w := range want {
		in := list[i]
		if in.Kind != w.k || in.Count != w.n || !(math.Abs(in.Share-w.share) <= 1e-12) || !(math.Abs(in.Contribution-w.c) <= 1e-12) || in.Unit != "Hz" || in.Degrees != 5 {
			t.Errorf("line %d: %+v, want %+v", i, in, w)
		}
		if several := i < 2; math.IsNaN(in.Value) != several || math.IsNaN(in.Uncertainty) != several || math.IsNaN(in.Sensitivity) != several {
			t.Errorf("line %d: %+v", i, in)
		}
	}
	for what, c := range map[string]struct {
		change func(s *readings.State)
		want   SourceKind
	}{
		"bare": {func(s *readings.State) {}, BareReadings}, "part": {func(s *readings.State) { s.Parts = []int{0} }, AddedReadings}, "clip": {func(s *readings.State) { s.Clip = true }, AddedReadings},
		"exact": {func(s *readings.State) { s.Exact = 1 }, AddedReadings}, "core": {func(s *readings.State) { s.Core, s.Parts = "rod", []int{0} }, CoreReadings},
		"hand": {func(s *readings.State) { s.Core, s.Hand = "rod", 1 }, HandReadings},
	} {
		s := readings.Bare()
		if c.change(&s); source(&s) != c.want {
			t.Errorf("%s: %v", what, source(&s))
		}
	}
}

// Tolerances that the parts contradict are inputs as enlarged: with the factor 1.6 each is by that
// larger, and the sensitivities are those of what parts are off by, as moved parts show.
func TestBudgetOfEnlargedTolerances(t *testing.T) {
	s, stated := tried(t)
	s.wide = 1.6
	r, err := Fit(s)
	if err != nil || r.Problem.Wide != 1.6 {
		t.Fatal(err, r.Problem.Wide)
	}
	k := quantities.Key{Name: quantities.EffectiveInductance}
	was := stated.Budget(stated.Find(k))
	near.Times(t, "u by tolerances as stated", r.Find(k).Stated, stated.Find(k).Uncertainty, 0.02)
	told := 0
	for i, in := range r.Budget(r.Find(k)) {
		if in.Kind != PartSource && in.Kind != CommonSource {
			continue
		}
		told++
		if in.Kind != was[i].Kind || in.Part != was[i].Part || !(math.Abs(in.Uncertainty/was[i].Uncertainty-1.6) <= 1e-12) {
			t.Errorf("%s ± %v, of a tolerance of ± %v", in.Part, in.Uncertainty, was[i].Uncertainty)
		}
		var v [2]float64
		for n, by := range []float64{0.01, -0.01} {
			other := s
			other.Log.Parts = slices.Clone(s.Log.Parts)
			for i := range other.Log.Parts {
				if p := &other.Log.Parts[i]; in.Kind == PartSource && p.Name == in.Part {
					p.Capacitance += by * in.Uncertainty
				} else if in.Kind == CommonSource && p.Lot != "" {
					p.Capacitance *= 1 + by*in.Uncertainty
				}
			}
			o, err := Fit(other)
			if err != nil {
				t.Fatal(err)
			}
			v[n] = o.Find(k).Value
		}
		if got := (v[0] - v[1]) / 0.02; !(math.Abs(got/in.Contribution-1) <= 0.05) {
			t.Errorf("%s: contributes %g, but moves it by %g", in.Part, in.Contribution, got)
		}
	}
	if told < 4 {
		t.Errorf("only %d tolerances", told)
	}
}
