package findings

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

func full() []simulated.Step {
	return []simulated.Step{simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(4.7, 10), simulated.Added().Rod(1), simulated.Added(10).Rod(1),
		simulated.Added().Near(0.1), simulated.Added().Near(0.2), simulated.Added(), simulated.Added(10, 22), simulated.Added(2.2, 4.7)}
}

func fitted(t testing.TB, s estimation.Session) *estimation.Result {
	t.Helper()
	return must.Get(estimation.Fit(s)).In(t)
}

func sessionOf(seed uint64, steps ...simulated.Step) estimation.Session {
	return estimation.Session{Log: simulated.Lighthouse().Session(rand.New(rand.NewPCG(seed, 9)), 2e-4, 0.01, steps...)}
}

// problemOf is a log that isn't fitted.
func problemOf(t testing.TB, s estimation.Session) *estimation.Result {
	t.Helper()
	p := must.Get(estimation.NewProblem(s)).In(t)
	return &estimation.Result{Problem: p, Session: s}
}

// On either side of each limit of what a coil is.
func TestUsualAndConceivable(t *testing.T) {
	for _, c := range []struct {
		l, c               float64
		usual, conceivable bool
	}{
		{1e-3, 5e-12, true, true},
		{51e-9, 1e-12, true, true}, {49e-9, 1e-12, false, true}, {21e-9, 1e-12, false, true}, {19e-9, 1e-12, false, false},
		{2.9, 1e-9 * 0.99, true, true}, {3.1, 1e-9 * 0.99, false, true}, {19, 0.99e-9, false, true}, {21, 0.99e-9, false, false},
		{1e-3, 0.21e-12, true, true}, {1e-3, 0.19e-12, false, true}, {1e-4, 0.061e-12, false, true}, {1e-4, 0.059e-12, false, false},
		{1e-3, 1.1e-9, false, true},
		{2.6e-6, 0.99e-9, true, true}, {2.4e-6, 0.99e-9, false, true}, // 51 and 49 Ω
		{0.98, 0.99e-12, true, true}, {2.9, 2.8e-12, false, true}, // 1 MΩ and a little more
		{2.9, 0.33e-12, false, true}, {2.9, 0.31e-12, false, false}, // 3 MΩ
		{1e-6, 1.9e-9, false, true}, {1e-6, 2.1e-9, false, false}, {1.4e-6, 2.1e-9, false, true}, // 22 to 26 Ω
	} {
		if usual(c.l, c.c) != c.usual || conceivable(c.l, c.c) != c.conceivable {
			t.Errorf("%v H, %v F, %.4g Ω: usual %v, conceivable %v", c.l, c.c, math.Sqrt(c.l/c.c), !c.usual, !c.conceivable)
		}
	}
	// A log in kilohertz where hertz was meant fits as well as any: told is what it makes, and the slip.
	s := sessionOf(61, full()...)
	right := fitted(t, s)
	if got := CheckPlausible(right); got != nil {
		t.Errorf("%+v", got)
	}
	for i := range s.Log.Readings {
		s.Log.Readings[i].Frequency /= 1e3
		s.Log.Readings[i].Uncertainty /= 1e3
	}
	r := fitted(t, s)
	list := CheckPlausible(r)
	l, z := right.Find(quantities.Key{Name: quantities.Inductance}).Value, right.Find(quantities.Key{Name: quantities.Impedance}).Value
	near := func(a, b float64) bool { return math.Abs(a/b-1) <= 1e-2 }
	if len(list) != 1 || list[0].Kind != Implausible || !near(list[0].Value, 1e6*l) || !near(list[0].Other, 1e3*z) || list[0].Slip == nil || list[0].Slip.Factor != 1e3 || list[0].Slip.Added || !near(list[0].Slip.Inductance, l) || !near(list[0].Slip.Impedance, z) {
		t.Errorf("%+v, slip %+v", list, list[0].Slip)
	}
}

// What kinds of readings there are.
func TestWhatWasRead(t *testing.T) {
	for what, c := range map[string]struct {
		steps                         []simulated.Step
		differs, plain, air, withCore bool
	}{
		"bare":             {[]simulated.Step{simulated.Added(), simulated.Added()}, false, true, true, true},
		"one part":         {[]simulated.Step{simulated.Added(), simulated.Added(4.7)}, true, true, true, true},
		"the same part":    {[]simulated.Step{simulated.Added(4.7), simulated.Added(4.7)}, false, true, true, true},
		"an unknown one":   {[]simulated.Step{simulated.Added(simulated.Spike), simulated.Added(simulated.Spike)}, false, false, true, true},
		"beside it":        {[]simulated.Step{simulated.Added(simulated.Spike), simulated.Added(simulated.Spike, 4.7)}, true, false, true, true},
		"apart by it":      {[]simulated.Step{simulated.Added(), simulated.Added(simulated.Spike, 4.7)}, false, true, true, true},
		"only with a core": {[]simulated.Step{simulated.Added().Rod(1), simulated.Added(4.7).Rod(1)}, true, true, false, true},
		"apart by a core":  {[]simulated.Step{simulated.Added(), simulated.Added(4.7).Rod(1)}, false, true, true, true},
		"hands":            {[]simulated.Step{simulated.Added().Near(0.1), simulated.Added(4.7).Near(0.1)}, true, false, true, false},
		"hand and core":    {[]simulated.Step{simulated.Added(), simulated.Added().Rod(1).Near(0.1)}, false, true, true, true},
		"core alone too":   {[]simulated.Step{simulated.Added().Rod(1), simulated.Added().Rod(1).Near(0.1)}, false, true, false, false},
	} {
		r := problemOf(t, sessionOf(62, c.steps...))
		if addedDiffers(r) != c.differs || readPlain(r) != c.plain || readInAir(r) != c.air || handWithCoreOnly(r) != c.withCore {
			t.Errorf("%s: differs %v, plain %v, in air %v, with a core only %v", what, addedDiffers(r), readPlain(r), readInAir(r), handWithCoreOnly(r))
		}
	}
}

// A part that is off is told with what all others make of it: the value that the fit finds when nobody
// states one; and by how many standard deviations of the difference.
func TestPartOffIsWhatOthersMakeOfIt(t *testing.T) {
	s := sessionOf(63, full()...)
	i := 2
	s.Log.Parts = slices.Clone(s.Log.Parts)
	s.Log.Parts[i].Capacitance *= 1.07
	s.Log.Parts[i].Uncertainty = 0.01 * s.Log.Parts[i].Capacitance
	r := fitted(t, s)
	open := s
	open.Log.Parts = slices.Clone(s.Log.Parts)
	open.Log.Parts[i].Known = false
	e := fitted(t, open).Find(quantities.Key{Name: quantities.PartCapacitance, Part: s.Log.Parts[i].Name})
	list := Contradictions(r)
	if len(list) == 0 || list[0].Kind != PartOffTolerance || list[0].Name != e.Part {
		t.Fatalf("%+v", list)
	}
	// ln of it over the stated, in the stated relative uncertainty 0.01, with its own of the fit.
	pull := math.Log(e.Value/s.Log.Parts[i].Capacitance) / math.Hypot(0.01, e.Uncertainty/e.Value)
	if f := list[0]; !(math.Abs(f.Value/e.Value-1) <= 3e-3) || !(math.Abs(f.Other/pull-1) <= 0.15) || !(f.Other < -4) || !f.Undermines() {
		t.Errorf("%+v, want %v by %v", f, e.Value, pull)
	}
	if n := partOff(r); !(math.Abs(n-3.0233) <= 1e-3) { // two-sided 1 %/4 (normal tables)
		t.Errorf("a part is off from %v on", n)
	}
	// A value known that contradicts: by what the fit without it finds.
	s = sessionOf(64, full()...)
	alone := fitted(t, s).Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"})
	known := quantities.Known{Key: alone.Key, Value: alone.Value * 1.2, Uncertainty: 0.02 * alone.Value}
	s.Known = []quantities.Known{known}
	list = Contradictions(fitted(t, s))
	pull = math.Log(alone.Value/known.Value) / math.Hypot(known.Uncertainty/known.Value, alone.Uncertainty/alone.Value)
	if len(list) == 0 || list[0].Kind != KnownContradicts || list[0].Name != quantities.CoreGain || list[0].Value != known.Value || !(math.Abs(list[0].Other/pull-1) <= 0.1) || list[0].Drawn || !list[0].Undermines() {
		t.Errorf("%+v, want a pull of %v", list, pull)
	}
	if list := Contradictions(fitted(t, sessionOf(65, full()...))); len(list) != 0 {
		t.Errorf("in a good session %+v", list)
	}
}

// A misread reading is flagged with what the fit without it says: by how much it is off, and what the
// coil then is. One that moves something, less clearly off, is decisive.
func TestSuspectIsComparedWithTheFitWithoutIt(t *testing.T) {
	s := sessionOf(66, append(full(), full()...)...)
	const i = 10
	s.Log.Readings = slices.Clone(s.Log.Readings)
	s.Log.Readings[i].Frequency *= 1 + 12*2e-4
	r := fitted(t, s)
	FlagSuspects(r, nil)
	without := leaving(s, i)
	if !s.Log.Readings[i].Use || without.Log.Readings[i].Use {
		t.Fatal("leaving out")
	}
	others := fitted(t, without)
	o := r.Readings[i]
	if !o.Flagged || o.Deleted != others.Readings[i].Standardised || o.Moves != nil || o.Without == nil {
		t.Fatalf("%+v", o)
	}
	for what, pair := range map[string][2]quantities.Estimate{
		"L": {o.Without.Inductance, *others.Find(quantities.Key{Name: quantities.Inductance})}, "effective L": {o.Without.Effective, *others.Find(quantities.Key{Name: quantities.EffectiveInductance})},
		"C": {o.Without.Capacitance, *others.Find(quantities.Key{Name: quantities.EffectiveCapacitance})},
	} {
		if pair[0] != pair[1] {
			t.Errorf("%s without it: %+v, want %+v", what, pair[0], pair[1])
		}
	}
	for k := range r.Readings {
		if k != i && (r.Readings[k].Flagged || r.Readings[k].Without != nil) {
			t.Errorf("reading %d is suspect too", k)
		}
	}
	e := func(name string, v, u float64, determined bool) quantities.Estimate {
		return quantities.Estimate{Key: quantities.Key{Name: name}, Value: v, Uncertainty: u, Determined: determined}
	}
	a := &estimation.Result{Parameters: []quantities.Estimate{e("a", 10, 2, true), e("b", 10, 1, true)}, Derived: []quantities.Estimate{e("c", 10, 1, false), e("d", 10, 4, true)}}
	b := &estimation.Result{Parameters: []quantities.Estimate{e("a", 7, 9, true), e("b", 11.4, 0.1, true)}, Derived: []quantities.Estimate{e("c", 20, 1, true), e("d", 20, 1, false)}}
	if m := moved(a, b); m == nil || m.Name != "a" || m.By != 1.5 {
		t.Errorf("%+v", m)
	}
	b.Parameters[1].Value = 12 // by two of 1
	if m := moved(a, b); m == nil || m.Name != "b" || m.By != 2 || m.Estimate != &a.Parameters[1] {
		t.Errorf("%+v", m)
	}
	b.Parameters[0].Value, b.Parameters[1].Value = 8.1, 10.9
	if m := moved(a, b); m != nil {
		t.Errorf("%+v", m)
	}
	for _, c := range []struct{ scale, redundancy, want float64 }{{1, 3, math.Inf(1)}, {1, 2.9, 7}, {1.1, 9, 7}} {
		r := &estimation.Result{Scatter: fit.Scatter{Scale: c.scale, Redundancy: c.redundancy}}
		if got := statedDegrees(r, 7); got != c.want {
			t.Errorf("%+v: %v degrees", c, got)
		}
	}
}

// Which residuals are looked at: above two, or above one and off by 3.5 of the stated; five of them,
// the largest first.
func TestLargestResiduals(t *testing.T) {
	r := problemOf(t, sessionOf(67, full()...))
	r.Solution.X = r.Problem.Start(r.Session.Log)
	put := func(standardised, stated float64, i int) {
		o := &r.Readings[i]
		o.Reading = r.Session.Log.Readings[i]
		o.Standardised, o.Residual = standardised, stated*o.Uncertainty
	}
	r.Readings = make([]estimation.ReadingResult, len(r.Session.Log.Readings))
	for i := range r.Readings {
		put(0.5, 9, i)
	}
	put(-2.1, 0, 1)
	put(1.9, 3.4, 2)
	put(1.1, -3.6, 3)
	if got := largestResiduals(r); !slices.Equal(got, []int{1, 3}) {
		t.Errorf("looked at %v", got)
	}
	for i := range 7 {
		put(3+float64(i%4), 0, i)
	}
	if got := largestResiduals(r); !slices.Equal(got, []int{3, 2, 6, 1, 5}) {
		t.Errorf("looked at %v", got)
	}
	for i := range r.Readings {
		r.Readings[i].Leverage = []float64{0.991, 0.989}[i%2]
		r.Readings[i].Line = 10 + i
	}
	r.Quality.DegreesOfFreedom = 1
	if got := unchecked(r); !slices.Equal(got, []int{10, 12, 14, 16, 18, 20, 22}) {
		t.Errorf("unchecked are %v", got)
	}
	r.Quality.DegreesOfFreedom = 0
	if got := unchecked(r); got != nil {
		t.Errorf("unchecked are %v", got)
	}
	// About what χ² would lose: the squares of the residual and of its known parts' errors, or what a
	// linear fit loses.
	r.Scatter.Scale = 2
	for i := range r.Readings {
		put(1, 3, i)
	}
	put(2.5, 3, 5) // 25 of 9 and two parts'
	for p, k := range r.Problem.PartAt {
		r.Solution.X[k] = float64(p + 1)
	}
	got := excess(r)
	for i, want := range []float64{9, 10, 13, 18, 25, 31, 9, 18} {
		if i == 5 {
			want = math.Max(25, 9+4+9)
		}
		if !(math.Abs(got[i]-want) <= 1e-9) {
			t.Errorf("reading %d: %v, want %v", i, got[i], want)
		}
	}
	if at := with(&r.Session.Log); !slices.Equal(at[0], []int{1, 12}) || !slices.Equal(at[2], []int{3, 5, 7, 11}) {
		t.Errorf("with each part %v", at)
	}
	if lines := LinesWith(&r.Session.Log, 2); !slices.Equal(lines, []int{5, 7, 9, 13}) {
		t.Errorf("lines %v", lines)
	}
	// One that isn't used is with none; two of a part in a reading are one reading.
	log := r.Session.Log
	log.Readings = slices.Clone(log.Readings)
	log.Readings[5].Use = false
	log.Readings[7].Parts = []int{2, 0, 2}
	if lines, at := LinesWith(&log, 2), with(&log); !slices.Equal(lines, []int{5, 9, 13}) || !slices.Equal(at[2], []int{3, 7, 11}) || !slices.Equal(at[0], []int{1, 7, 12}) {
		t.Errorf("lines %v, with each part %v", lines, at)
	}
}

// Of repeated readings the lowest and the highest are told if they are further from the mean than one
// of so many is by chance once in a hundred sessions, and by 3.5 of its uncertainties; and that a
// mean is slow, or wanders.
func TestRepeatedReadingsTold(t *testing.T) {
	const n = 100
	most := fit.CoverageFactor(1-0.01/n, math.Inf(1))
	for _, c := range []struct {
		count        int
		low, high, u float64 // in standard deviations
		slow         float64
		wanders      bool
		want         []FindingKind
	}{
		{n, -most * 0.99, most * 0.99, 0.01, 1.5, false, nil},
		{n, -most * 1.01, most * 1.01, 0.01, 1.5, false, []FindingKind{ReadingApart, ReadingApart}},
		{n, -most * 0.99, most * 1.01, 1, 1.6, false, []FindingKind{ReadingApart, ReadingsSlow}},
		{n, -1, most * 1.01, most * 1.02 / 3.5, 1.6, true, []FindingKind{ReadingsWander}},
		{31, -9, 9, 0.01, 9, true, nil},
		{32, -9, 9, 0.01, 9, false, []FindingKind{ReadingApart, ReadingApart, ReadingsSlow}},
	} {
		m := &readings.Repeats{Count: c.count, Deviation: 50, Slow: c.slow, Wanders: c.wanders, Lowest: readings.Extreme{Line: 7, Frequency: 1e6 + 50*c.low}, Highest: readings.Extreme{Line: 8, Frequency: 1e6 + 50*c.high}}
		r := &estimation.Result{Readings: []estimation.ReadingResult{{Reading: readings.Reading{Line: 2, Frequency: 1e6, Uncertainty: 50 * c.u, Repeats: m}}, {Reading: readings.Reading{Line: 3}}}}
		list := repeated(r)
		var kinds []FindingKind
		for _, f := range list {
			kinds = append(kinds, f.Kind)
			switch {
			case f.Kind == ReadingApart && f.Line == 7 && (!(math.Abs(f.Value-c.low) <= 1e-9) || f.Other != float64(c.count)),
				f.Kind == ReadingApart && f.Line == 8 && (!(math.Abs(f.Value-c.high) <= 1e-9) || f.Other != float64(c.count)),
				f.Kind != ReadingApart && (f.Line != 2 || f.Value != c.slow):
				t.Errorf("%+v: %+v", c, f)
			}
		}
		if !slices.Equal(kinds, c.want) {
			t.Errorf("%+v: %v", c, kinds)
		}
	}
	m := &readings.Repeats{Count: n, Slow: 9, Wanders: true, Lowest: readings.Extreme{Frequency: 9e5}, Highest: readings.Extreme{Frequency: 11e5}}
	if list := repeated(&estimation.Result{Readings: []estimation.ReadingResult{{Reading: readings.Reading{Frequency: 1e6, Repeats: m}}}}); list != nil {
		t.Errorf("of repeats that don't differ: %+v", list)
	}
}

// A drift of the readings is told as they have it by themselves, with its uncertainty.
func TestDriftTold(t *testing.T) {
	truth := simulated.Lighthouse()
	truth.Drift = 2e-3
	s := estimation.Session{Log: truth.Session(rand.New(rand.NewPCG(68, 9)), 2e-4, 0.01, append(full(), full()...)...)}
	r := fitted(t, s)
	f, found := CheckDrift(r, r)
	if !found || f.Kind != Drifts || f.Name != quantities.Drift || f.Hourly || !(math.Abs(f.Value-2e-3) <= 4*f.Other) || !(f.Other > 5e-5 && f.Other < 1e-3) {
		t.Errorf("%+v, %v", f, found)
	}
	for i := range s.Log.Readings {
		s.Log.Moments = append(s.Log.Moments, 1+0.5*float64(i))
	}
	s.Log.Hours = true
	r = fitted(t, s)
	g, found := CheckDrift(r, r)
	if !found || !g.Hourly || !(math.Abs(g.Value/f.Value*12.5-1) <= 1e-6) || !(math.Abs(g.Other/f.Other*12.5-1) <= 1e-6) { // over twelve and a half hours
		t.Errorf("%+v, %v", g, found)
	}
	r = fitted(t, sessionOf(69, full()...))
	if f, found := CheckDrift(r, r); found {
		t.Errorf("in a good session %+v", f)
	}
}

// What is told of each session, in its order: nothing of a good one but what it takes for given.
func TestFindingsOfSessions(t *testing.T) {
	kinds := func(s estimation.Session) (list []FindingKind) {
		r := fitted(t, s)
		c := Contradictions(r)
		FlagSuspects(r, c)
		for _, f := range All(r, r, c) {
			list = append(list, f.Kind)
		}
		return list
	}
	good := sessionOf(70, full()...)
	if got := kinds(good); slices.ContainsFunc(got, func(k FindingKind) bool { return k != ShapeAssumed && k != ReadingsUnchecked }) {
		t.Errorf("good: %v", got)
	}
	partly := sessionOf(71, append(full(), simulated.Added().Rod(0.5))...)
	if got := kinds(partly); !slices.Contains(got, ModelUncertainty) {
		t.Errorf("core partly in: %v", got)
	}
	exact := estimation.Session{Log: simulated.Lighthouse().Session(rand.New(rand.NewPCG(72, 9)), 1e-9, 1e-9, full()...)}
	for i := range exact.Log.Readings {
		exact.Log.Readings[i].Uncertainty = 2e-4 * exact.Log.Readings[i].Frequency
	}
	if got := kinds(exact); !slices.Contains(got, TooGood) {
		t.Errorf("without errors: %v", got)
	}
	loose := sessionOf(73, full()...)
	for i := range loose.Log.Readings {
		loose.Log.Readings[i].Uncertainty /= 15
	}
	if got := kinds(loose); len(got) == 0 || got[0] != ScatterExceeds {
		t.Errorf("scattered: %v", got)
	}
	two := sessionOf(74, simulated.Added(), simulated.Added(4.7))
	two.Known = []quantities.Known{{Key: quantities.Key{Name: quantities.Drift}}, {Key: quantities.Key{Name: quantities.LeadCapacitance}}}
	if got := kinds(two); slices.Contains(got, ScatterExceeds) || slices.Contains(got, TooGood) {
		t.Errorf("two readings: %v", got)
	}
}

// What sessions leave open, and what would close it.
func TestGapsOfSessions(t *testing.T) {
	has := func(list []Undetermined, what Gap, advice Advice) bool {
		return slices.ContainsFunc(list, func(g Undetermined) bool { return g.What == what && g.Advice == advice && len(g.Names) > 0 })
	}
	for what, c := range map[string]struct {
		steps  []simulated.Step
		gap    Gap
		advice Advice
	}{
		"bare":           {[]simulated.Step{simulated.Added(), simulated.Added()}, GapSplit, AddKnownCapacitor},
		"core always":    {[]simulated.Step{simulated.Added().Rod(1), simulated.Added(4.7).Rod(1), simulated.Added(10).Rod(1), simulated.Added(22).Rod(1)}, GapCoreAlways, ReadWithoutCore},
		"hand, one":      {append(full()[:9:9], simulated.Added()), GapHandLaw, ReadMoreDistances},
		"hand with core": {[]simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added().Rod(1).Near(0.1), simulated.Added().Rod(1).Near(0.2)}, GapHandCore, ReadHandAlone},
		"never plain":    {[]simulated.Step{simulated.Added(simulated.Spike), simulated.Added(simulated.Spike, 4.7), simulated.Added(simulated.Spike, 22)}, GapNeverPlain, ReadPlain},
	} {
		r := fitted(t, sessionOf(75, c.steps...))
		list := Gaps(r)
		if !has(list, c.gap, c.advice) {
			t.Errorf("%s: %+v", what, list)
		}
		named := map[quantities.Key]bool{}
		for _, g := range list {
			for _, name := range g.Names {
				named[quantities.Key{Name: name}] = true
			}
		}
		for e := range r.All() {
			if !e.Determined && !named[quantities.Key{Name: e.Name}] {
				t.Errorf("%s: %s is in no gap", what, e.Name)
			}
		}
		for i, g := range list {
			if g.WithFirst && i == 0 {
				t.Errorf("%s: the first goes with the first", what)
			}
		}
	}
}

// Which findings make all numbers doubtful.
func TestWhatUndermines(t *testing.T) {
	for k := ScatterExceeds; k <= Implausible; k++ {
		want := slices.Contains([]FindingKind{KnownContradicts, CapacitanceBelowZero, EarlierContradicts, PartOffTolerance, TolerancesContradicted, LikelyMistake, FitsNoCoil, Implausible}, k)
		if (Finding{Kind: k}).Undermines() != want {
			t.Errorf("%v: %v", k, !want)
		}
	}
}
