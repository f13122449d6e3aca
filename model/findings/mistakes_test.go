package findings

import (
	"math"
	"slices"
	"testing"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// written rounds the frequencies of a session to the digits that a maker writes.
func written(seed uint64, steps ...simulated.Step) estimation.Session {
	s := sessionOf(seed, steps...)
	s.Log.Readings = slices.Clone(s.Log.Readings)
	for i := range s.Log.Readings {
		o := &s.Log.Readings[i]
		o.Frequency = 100 * math.Round(o.Frequency/100)
	}
	return s
}

// Of a good session, one edit that makes the mistake is named: the number read and what was meant,
// where it stands, and what all others predict there.
func TestOneMistakeIsNamed(t *testing.T) {
	steps := append(full(), full()...)
	good := written(81, steps...)
	freq := func(i int) float64 { return good.Log.Readings[i].Frequency }
	// Two neighbouring digits exchanged, of the reading with 10 pF: those that differ by most.
	digits, exponent := Decimals(freq(3))
	d := slices.Clone(digits)
	for i := 1; i < 4; i++ {
		if d[i] != d[i+1] {
			d[i], d[i+1] = d[i+1], d[i]
			break
		}
	}
	exchanged := 0.0
	for i, c := range d {
		exchanged += float64(c-'0') * math.Pow(10, float64(exponent-i))
	}
	exchanged = math.Round(exchanged)
	for what, c := range map[string]struct {
		change func(s *estimation.Session)
		want   Mistake
	}{
		"digits": {func(s *estimation.Session) { s.Log.Readings[3].Frequency = exchanged }, Mistake{Kind: MistakenReading, Lines: []int{5}, Read: exchanged, Meant: freq(3), Predict: freq(3)}},
		"rows": {func(s *estimation.Session) {
			a, b := &s.Log.Readings[2], &s.Log.Readings[3]
			a.Frequency, b.Frequency = b.Frequency, a.Frequency
			a.Uncertainty, b.Uncertainty = b.Uncertainty, a.Uncertainty
		}, Mistake{Kind: MistakenRows, Lines: []int{4, 5}}},
		"part": {func(s *estimation.Session) {
			s.Log.Parts = slices.Clone(s.Log.Parts)
			s.Log.Parts[3].Capacitance /= 10
			s.Log.Parts[3].Uncertainty /= 10
		}, Mistake{Kind: MistakenPart, Part: good.Log.Parts[3].Name, Read: good.Log.Parts[3].Capacitance / 10, Meant: good.Log.Parts[3].Capacitance, Lines: LinesWith(&good.Log, 3)}},
	} {
		s := good
		s.Log.Readings = slices.Clone(good.Log.Readings)
		c.change(&s)
		r := fitted(t, s)
		contradicted := Contradictions(r)
		got := findMistake(r, contradicted)
		if got == nil {
			t.Errorf("%s: nothing is named", what)
			continue
		}
		near := func(a, b float64) bool { return a == b || math.Abs(a-b) <= 1e-3*math.Abs(b) }
		exact := c.want.Kind != MistakenReading || got.Read == c.want.Read && got.Meant == c.want.Meant
		if got.Kind != c.want.Kind || !slices.Equal(got.Lines, c.want.Lines) || got.Part != c.want.Part || !near(got.Read, c.want.Read) || !near(got.Meant, c.want.Meant) || !near(got.Predict, c.want.Predict) || !exact {
			t.Errorf("%s: %+v, want %+v", what, got, c.want)
		}
		FlagSuspects(r, contradicted)
		if list := All(r, r, contradicted); len(list) == 0 || list[0].Kind != LikelyMistake || list[0].Mistake == nil || list[0].Mistake.Kind != c.want.Kind {
			t.Errorf("%s: told %+v", what, list)
		}
	}
	r := fitted(t, good)
	if m := findMistake(r, nil); m != nil {
		t.Errorf("in a good session %+v", m)
	}
	a, b := &Mistake{Lines: []int{1, 2}}, &Mistake{Lines: []int{2, 3}}
	if !a.shares(b) || a.shares(&Mistake{Lines: []int{3}}) {
		t.Error("sharing lines")
	}
	e := editor{counted: map[int]bool{}}
	for _, changed := range [][]int{{1}, {1, 2}, {3}, {2}} {
		e.count(edit{changed: changed})
	}
	if e.explain != 2 || len(e.counted) != 3 {
		t.Errorf("%d edits of other readings, %v", e.explain, e.counted)
	}
}

// Of edits that explain a log the one that is likely alone is the mistake, if it strikes; else all
// readings of those that may be it.
func TestOneOfSeveralMistakes(t *testing.T) {
	of := func(chi float64, strikes bool, lines ...int) perhaps {
		return perhaps{&Mistake{Kind: MistakenReading, Lines: lines}, chi, strikes}
	}
	for what, c := range map[string]struct {
		list []perhaps
		kind MistakeKind
		want []int
	}{
		"none":                 {nil, 0, nil},
		"one":                  {[]perhaps{of(10, true, 4)}, MistakenReading, []int{4}},
		"one, not striking":    {[]perhaps{of(10, false, 4)}, MistakenOneOf, []int{4}},
		"far from others":      {[]perhaps{of(10, true, 4), of(19.1, true, 7)}, MistakenReading, []int{4}},
		"near another":         {[]perhaps{of(18.9, true, 7), of(10, true, 4), of(11, true, 7)}, MistakenOneOf, []int{4, 7}},
		"hardly as likely":     {[]perhaps{of(10, true, 4), of(18.9, true, 7)}, MistakenOneOf, []int{4, 7}},
		"near one that shares": {[]perhaps{of(10, true, 4), of(12, true, 4, 5)}, MistakenReading, []int{4}},
	} {
		got := (&editor{perhaps: c.list}).oneOf()
		if (got == nil) != (c.want == nil) || got != nil && (got.Kind != c.kind || !slices.Equal(got.Lines, c.want)) {
			t.Errorf("%s: %+v, want %v", what, got, c.want)
		}
	}
	for chi, want := range map[float64]bool{15.9: true, 16.1: false} {
		e := &editor{least: 10, best: &Mistake{Lines: []int{4}}, perhaps: []perhaps{of(10, true, 4), of(chi, true, 7), of(11, false, 8), of(11, true, 4, 9)}}
		if e.rivalled() != want {
			t.Errorf("another at %v: rivalled %v", chi, !want)
		}
	}
}

// Digits and the power of ten of the first.
func TestDecimals(t *testing.T) {
	for f, want := range map[float64]struct {
		digits   string
		exponent int
	}{1.25e6: {"125", 6}, 7: {"7", 0}, 100: {"1", 2}, 0.0305: {"305", -2}} {
		if d, e := Decimals(f); string(d) != want.digits || e != want.exponent {
			t.Errorf("%v: %s, %d", f, d, e)
		}
	}
	log := readings.Log{Readings: []readings.Reading{{Frequency: 1.2e6}, {Frequency: 1.2345e6}, {Frequency: 2}}}
	if n := digits(&log); n != 5 {
		t.Errorf("%d digits", n)
	}
	log.Readings[2].Frequency = 1.234567890123e6
	if n := digits(&log); n != 9 {
		t.Errorf("%d digits", n)
	}
	for _, c := range []struct {
		read, expected, reach float64
		digits                int
		want                  float64
	}{
		{1.219e6, 1.299e6, 5e2, 4, 1.299e6},                          // a nine
		{1.2e6, 1.02e6, 5e2, 2, 1.02e6},                              // a nought left out
		{12e6, 1.2e6, 5e2, 2, 1.2e6}, {1.12e6, 1.2e6, 5e2, 3, 1.2e6}, // the point; one twice
		{9, 5, 0.1, 1, 5}, {9, 90, 0.1, 1, 90}, {19, 90, 0.1, 2, 90}, {2.2e6, 2.2e6, 10, 2, math.NaN()}, // what was read is no slip
	} {
		if got := misspelt(c.read, c.expected, c.reach, c.digits); got != c.want && !(math.IsNaN(got) && math.IsNaN(c.want)) {
			t.Errorf("read %v, expected %v: %v, want %v", c.read, c.expected, got, c.want)
		}
	}
}

// How parts are off together: each its own way, all above or below by more than half a standard
// uncertainty, or the smaller the more.
func TestPatternOfParts(t *testing.T) {
	r := problemOf(t, sessionOf(83, full()...)) // of 2.2, 4.7, 10 and 22 pF
	p := r.Problem
	r.Solution.X = make([]float64, p.N)
	var rows []int
	for i, o := range p.Origins {
		if o == estimation.FromTolerance {
			rows = append(rows, i)
		}
	}
	for _, c := range []struct {
		off  []float64
		want Pattern
	}{
		{[]float64{2, 1.5, 1, 0.4}, SmallHigh}, {[]float64{-2, -1.5, -1, -0.4}, SmallLow}, {[]float64{0.4, 1, 1.5, 2}, SmallLow},
		{[]float64{1, 2, 0.6, 1}, AllHigh}, {[]float64{-1, -2, -0.6, -1}, AllLow}, {[]float64{1, -0.6, 2, 1}, Apart}, {[]float64{1, -0.4, 2, 1}, AllHigh}, {[]float64{0.4, 0.3, 0.4, 0.3}, Apart},
		{[]float64{-1, 0.4, -2, -1}, AllLow},
	} {
		for i, off := range c.off {
			r.Solution.X[p.PartAt[i]] = off
		}
		if got := pattern(r, rows); got != c.want {
			t.Errorf("%v: %v, want %v", c.off, got, c.want)
		}
	}
	for i, off := range []float64{2, 1.5, 0.4} {
		r.Solution.X[p.PartAt[i]] = off
	}
	for n, want := range map[int]Pattern{1: Apart, 2: Apart, 3: SmallHigh} {
		if got := pattern(r, rows[:n]); got != want {
			t.Errorf("%d parts: %v, want %v", n, got, want)
		}
	}
	// Together they are contradicted where χ² of all is too large, by the readings as they scatter, and
	// that without the parts' errors isn't; or these alone.
	contradicted := 0
	for n := range 30 {
		by := 1 + 0.0025*float64(n)
		s := sessionOf(84, append(full(), full()...)...)
		s.Log.Parts = slices.Clone(s.Log.Parts)
		for i := range s.Log.Parts {
			s.Log.Parts[i].Capacitance *= math.Pow(by, float64(1-2*(i%2)))
		}
		r := fitted(t, s)
		squares := 0.0
		for i, o := range r.Problem.Origins {
			if o == estimation.FromTolerance {
				x := r.Solution.X[r.Problem.PartAt[r.Problem.PriorOf[i]]]
				squares += x * x
			}
		}
		nu := float64(r.Solution.DegreesOfFreedom())
		all := r.Solution.DataSquares/(r.Solution.Scale*r.Solution.Scale) + r.Solution.PriorSquares
		want := fit.ChiSquareSurvival(all, nu)
		is := want < 1e-3 && fit.ChiSquareSurvival(all-squares, nu) >= 1e-3
		if !is {
			want = r.PartErrors.Chance
			is = want < 0.01
		}
		if f, found := tolerancesContradicted(r); found != is || found && (f.Kind != TolerancesContradicted || f.Value != want) {
			t.Errorf("parts off by %v: %+v, want %v (%v)", by, f, want, is)
		}
		if is {
			contradicted++
		}
		if n == 0 && is {
			t.Error("good parts are contradicted")
		}
	}
	if contradicted == 0 {
		t.Error("never")
	}
	if f, found := tolerancesContradicted(fitted(t, sessionOf(85, full()...))); found {
		t.Errorf("in a good session %+v", f)
	}
}

// All that a session leaves open, in its order: what, of what, what closes it, and whether that needs
// the first remedy too.
func TestGapsInOrder(t *testing.T) {
	type gap struct {
		what      Gap
		of        string
		advice    Advice
		withFirst bool
	}
	for what, c := range map[string]struct {
		steps []simulated.Step
		want  []gap
	}{
		"bare":         {[]simulated.Step{simulated.Added(), simulated.Added()}, []gap{{GapSplit, "", AddKnownCapacitor, false}, {GapShape, "", AddMuchLarger, false}, {GapDrift, "", ReadFirstAgain, false}}},
		"unknown part": {[]simulated.Step{simulated.Added(), simulated.Added(simulated.Spike), simulated.Added()}, []gap{{GapSplit, "", AddKnownCapacitor, false}, {GapShape, "", AddMuchLargerAndClip, false}, {GapPart, "spike", ReadPartWithKnown, true}, {GapLead, "", ReadEmptyClip, true}, {GapDrift, "", ReadFirstAgain, true}}},
		"core":         {[]simulated.Step{simulated.Added(), simulated.Added().Rod(1)}, []gap{{GapSplit, "", AddKnownCapacitor, false}, {GapShape, "", AddMuchLarger, false}, {GapCore, "rod", ReadCoreWithCapacitor, true}, {GapDrift, "", ReadFirstAgain, true}}},
	} {
		var got []gap
		for _, g := range Gaps(fitted(t, sessionOf(86, c.steps...))) {
			got = append(got, gap{g.What, g.Core + g.Part, g.Advice, g.WithFirst})
			if len(g.Names) == 0 || !slices.Equal(g.Names, slices.Compact(slices.Clone(g.Names))) {
				t.Errorf("%s: names %v", what, g.Names)
			}
		}
		// A drift that repeats leave determined is no gap, nor is the share of one reading's worth.
		for _, w := range c.want {
			if w.what == GapDrift || w.what == GapShape || w.what == GapLead {
				continue
			}
			if !slices.ContainsFunc(got, func(g gap) bool {
				return g.what == w.what && g.of == w.of && g.advice == w.advice && g.withFirst == w.withFirst
			}) {
				t.Errorf("%s: %v, want %v", what, got, w)
			}
		}
		if len(got) == 0 || got[0].what != c.want[0].what {
			t.Errorf("%s: first is %v", what, got)
		}
	}
}

// What a robust fit forgets is told as forgotten, with what it may have been.
func TestForgottenReading(t *testing.T) {
	s := written(87, append(full(), full()...)...)
	s.Robust = true
	s.Log.Readings[1].Use = false // so that what is fitted is counted otherwise than what is written
	s.Log.Readings[4].Frequency *= 1.1
	r := fitted(t, s)
	c := Contradictions(r)
	FlagSuspects(r, c)
	list := All(r, r, c)
	i := slices.IndexFunc(list, func(f Finding) bool { return f.Kind == ReadingForgotten })
	if i < 0 || list[i].Line != s.Log.Readings[4].Line || list[i].Mistake == nil || !(math.Abs(list[i].Mistake.Predict*1.1/s.Log.Readings[4].Frequency-1) <= 2e-3) || list[i].Mistake.Read != s.Log.Readings[4].Frequency {
		t.Errorf("%+v", list)
	}
	if slices.ContainsFunc(list, func(f Finding) bool { return f.Kind == ReadingSuspect && f.Line == s.Log.Readings[4].Line }) {
		t.Error("told twice")
	}
	residuals := usedResiduals(r)
	want := 0
	for _, o := range r.Readings {
		if o.Use && quantities.Finite(o.Standardised) {
			if residuals[want] != o.Standardised {
				t.Errorf("residual %d is %v", want, residuals[want])
			}
			want++
		}
	}
	if len(residuals) != want || want < 20 {
		t.Errorf("%d residuals of %d", len(residuals), want)
	}
}
