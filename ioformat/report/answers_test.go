package report

import (
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"fitcoil/ioformat/waveform"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonance"
	"fitcoil/model/ringing"
	"fitcoil/model/voltage"
)

// What repeats show explains scatter, or else a remedy is named: in brief one of both, beside the other warnings; both
// stand for themselves in full.
func TestScatterIsExplainedOrRemedied(t *testing.T) {
	scatter := func(p float64, robust bool) findings.Finding {
		return findings.Finding{Kind: findings.ScatterExceeds, Value: 2.5, Other: 0.001, Robust: robust, Repeats: &findings.Repeats{Ratio: 2.4, Relative: 1e-4, PValue: p}}
	}
	explained, robust := scatter(0.4, false), scatter(0.001, true)
	apart := findings.Finding{Kind: findings.ReadingSuspect, Line: 3, Value: 4.3}
	src := Source{Warnings: []string{"a drift was left out"}}
	for _, c := range []struct {
		list  []findings.Finding
		terse int
		want  []string
	}{
		{[]findings.Finding{explained}, 0, []string{repeatsScatter(explained.Repeats), src.Warnings[0]}},
		{[]findings.Finding{robust}, 0, []string{scatterRemedy, src.Warnings[0]}},
		{[]findings.Finding{robust, apart}, 0, []string{Sentence(apart), scatterRemedy, src.Warnings[0]}},
		{[]findings.Finding{robust, apart}, everything, []string{Sentence(robust), Sentence(apart), src.Warnings[0]}},
		{[]findings.Finding{scatter(0.001, false)}, 0, src.Warnings},
		{[]findings.Finding{{Kind: findings.AtBound, Name: quantities.HandExponent}}, 0, src.Warnings},
		{[]findings.Finding{{Kind: findings.AtBound, Name: quantities.CoreGain}}, 0, []string{"core gain is at its physical limit: use its interval, not a ±", src.Warnings[0]}},
	} {
		r := consistent()
		r.Findings = c.list
		w := newText(View{Full: true, Width: 120})
		if !w.warnings(r, src, c.terse) {
			t.Error("nothing was told")
		}
		got := strings.Join(strings.Fields(w.String()), " ")
		if want := strings.Join(strings.Fields(strings.ReplaceAll("Warnings - "+strings.Join(c.want, " - "), noBreak, " ")), " "); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// What an earlier session, the model and the law of a hand bring to a variance is told with its own share.
func TestSharesOfAnEarlierSession(t *testing.T) {
	r := mustFit(t, estimation.Session{Log: log(0, 2.2, 4.7, 10), Lumped: true})
	list := r.Carry()
	if len(list) != 1 {
		t.Fatalf("%d sessions are carried", len(list))
	}
	list[0].Log = "monday.csv"
	later := estimation.Session{Log: log(0, 4.7), Lumped: true}
	later.Follow(list[0])
	both := mustFit(t, later)
	e := both.Find(quantities.Key{Name: quantities.EffectiveInductance})
	tried := 0
	for _, s := range both.Sources(e) {
		if s.Kind != estimation.EarlierSource {
			continue
		}
		tried++
		for _, c := range limitsOf(both, e) {
			if strings.Contains(c.what, "monday.csv") && c.share == s.Share && s.Share > 1e-4 {
				tried++
			}
		}
	}
	if tried != 2 {
		t.Errorf("the earlier session isn't among %+v", limitsOf(both, e))
	}
}

// Words of single cases, each on the other side of what decides on them.
func TestWordsOfSingleCases(t *testing.T) {
	quality := func(p float64, nu int, redundancy float64) string {
		r := &model.Result{Result: &estimation.Result{Resonator: "line", Quality: estimation.Quality{ChiSquare: 6, DegreesOfFreedom: nu, PValue: p, Scale: 1, PartScale: 1, Redundancy: redundancy}}}
		r.Alternative = &estimation.Alternative{Resonator: "lumped", Quality: estimation.Quality{ChiSquare: 11, PValue: math.NaN(), AICc: math.NaN()}}
		list := Quality(r)
		return strings.Join(list[2:], "|")
	}
	pair := func(open string) string {
		r := fittedInvented(t)
		if open != "" {
			r.Find(quantities.Key{Name: open}).Determined = false
		}
		return fmt.Sprint(len(coilWords(r)))
	}
	modes := func(n int) string {
		r := inventedCapture().Result
		r.Modes = r.Modes[:n]
		return yes(writes(func(t *text) { t.modes(r, "V", everything) }), "split of the first two")
	}
	tones := func(list ...ringing.Tone) string {
		c := inventedCapture()
		c.Result.Tones = append(c.Result.Tones[:2], list...)
		return yes(writes(func(t *text) { t.tones(c.Result, "V") }), "Other tones")
	}
	one := func(determined bool, effects int) string {
		p := predicted(readings.Bare())
		p.Frequency.Determined, p.Frequency.Budget = determined, quantities.Budget{Readings: 1}
		p.Effects = []decisions.Effect{{Estimate: estimateOf("stored_energy", "J", 1, 0.1), Ratio: estimateOf("", "1", 0.5, 0.02)}}[:effects]
		s := flat(t, func(w io.Writer) error {
			return PredictText(w, consistent(), Predictions{List: []decisions.Prediction{p}}, decisions.Planned{}, Source{}, View{Full: true})
		})
		return yes(s, "Limited by uncertainty of the readings: 100 % of the variance of the frequency") + yes(s, "Other effects: bare")
	}
	reach := func(reachable bool) string {
		a := decisions.Reached{Target: 1.5e6, By: decisions.ByHand, Reachable: reachable, Setting: estimateOf("", "m", 0.123, 0.004), Closest: 0.2, At: predicted(readings.Bare())}
		s := flat(t, func(w io.Writer) error { return ReachText(w, consistent(), a, nil, Source{}, View{}) })
		return yes(s, "Hand at 123.0 ± 4.0 mm") + yes(s, "Out of reach the closest is a hand at 20 cm, which gives 2.0000 ± 0.0030 MHz")
	}
	below := func(v, u float64) string {
		return yes(Sentence(findings.Finding{Kind: findings.CapacitanceBelowZero, Value: v, Other: u}), "pF)")
	}
	without := func(l, c bool) string {
		o := estimation.ReadingResult{Reading: readings.Reading{Line: 4}, Without: &estimation.Without{}}
		o.Without.Effective.Determined, o.Without.Capacitance.Determined = l, c
		return yes(Without(&model.Result{Result: &estimation.Result{Readings: []estimation.ReadingResult{o}}}, 4), "would not be determined")
	}
	hands := func(determined bool, e ...quantities.Estimate) string {
		for i := range e {
			e[i].Determined = determined
		}
		return writes(func(t *text) { t.hand(&model.Result{Result: &estimation.Result{Derived: e}}, 0) })
	}
	drawn := func(n int, full bool) string {
		d := drawnCoil()
		for i := range n {
			d.Estimates = append(d.Estimates, atHand(0.05*float64(i+1), estimateOf(quantities.HandCapacitance, "F", 0.2e-12, 0.01e-12)))
		}
		c := cross(d)
		s := flat(t, func(w io.Writer) error { return CoilText(w, d, &c, 0, Source{}, View{Full: full}) })
		return fmt.Sprint(strings.Count(s, "hand capacitance at "), strings.Contains(s, "and more of the hand: --full"))
	}
	gaps := func(n int) string {
		s := stressed{name: "bare", Stress: &voltage.Stress{}}
		for i := range n {
			s.Gaps = append(s.Gaps, voltage.Gap{Kind: voltage.ToRing, Share: 1 - 0.1*float64(i), Distance: 1e-3})
		}
		list := cautions([]stressed{s}, 2e4)
		_, more, _ := strings.Cut(list[0], "; ")
		return more
	}
	just := func(width int) string { // 2 + 14 + 2 + 5 characters, and a column of nothing
		tab := newTable(left("what"), left(""), right("n"))
		tab.row("two words here", "", "12345")
		return fmt.Sprint(strings.Count(tab.text(width), "\n"))
	}
	hum := inventedCapture().Result.Tones[2]
	const agree, few, known = "the readings scatter no more than stated: uncertainties as stated", "too few readings to test their stated uncertainties: taken as stated, with wider intervals for it", "the readings agree with one another, but not with what is known beforehand: uncertainties as stated"
	const other = "|for comparison, the lumped model: χ² = 11"
	cases{
		{quality(0.5, 3, 4), agree + other}, {quality(0.5, 3, 0.5), few + other}, {quality(0.04, 3, 4), known + other}, {quality(0.04, 3, 0.5), known + other}, {quality(0.5, 0, 0), ""}, {quality(0.5, 0, 4), ""},
		{preference(2), "in favour of the model used"}, {preference(1.9), "not decisive"}, {preference(-1.9), "not decisive"}, {preference(-2), "against the model used"},
		{pair(""), "3"}, {pair(quantities.EffectiveInductance), "0"}, {pair(quantities.EffectiveCapacitance), "0"}, {pair(quantities.Inductance), "0"},
		{modes(2), "true"}, {modes(1), "false"}, {modes(0), "false"}, {tones(), "false"}, {tones(hum), "true"},
		{one(true, 1), "truetrue"}, {one(false, 1), "falsetrue"}, {one(true, 0), "truefalse"},
		{reach(true), "truefalse"}, {reach(false), "falsetrue"},
		{below(-1e-12, 0.1e-12), "true"}, {below(math.NaN(), 0.1e-12), "false"},
		{without(true, true), "false"}, {without(true, false), "true"}, {without(false, true), "true"},
		{hands(true, atHand(0.1, estimateOf(quantities.HandFrequencyDrop, "Hz", 25e3, 500))), "Hand near at 10 cm − 25.00 ± 0.50 kHz"}, {hands(false, atHand(0.1, estimateOf(quantities.HandFrequencyDrop, "Hz", 25e3, 500))), "Hand near not determined by these readings"}, {hands(true), ""},
		{hands(true, estimateOf(quantities.BareFrequency, "Hz", 25e3, 500)), ""},
		{drawn(6, false), "6 false"}, {drawn(7, false), "6 true"}, {drawn(7, true), "7 false"},
		{gaps(1), ""}, {gaps(2), "and 1 more"}, {gaps(4), "and 3 more"},
		{CaptureRefused(&ringing.Refusal{Reason: -1}), "the capture gives no frequency"},
		{just(23), "2"}, {just(22), "3"},
		{resolution(findings.Finding{Kind: findings.FitsNoCoil}), "resolve the contradiction first: compare what is written with the notes of the bench, row by row"},
		{drawnHead(0), "Drawing consistent with the readings"}, {drawnHead(2), "Drawing inductance in air as measured +10 % against the drawing (2.0 σ)"},
	}.check(t)
}

func drawnHead(sigmas float64) string {
	r := consistent()
	r.Checks = []estimation.Check{{Drawn: estimateOf(quantities.Inductance, "H", 1e-3, 12e-6), Readings: estimateOf("", "H", 1.1e-3, 10e-6), Sigmas: sigmas}}
	return strings.ReplaceAll(writes(func(t *text) { t.drawing(r, 0) }), noBreak, " ")
}

// Closed metal of a drawing is told beside the inductance that it takes.
func TestMetalBesideTheInductance(t *testing.T) {
	r, d := fittedInvented(t), drawnCoil()
	d.Drawing.Coil.Ring.Diameter, d.Frequency.Value = 3*d.Drawing.Coil.Diameter, 2e6
	before := len(coilWords(r))
	r.Session.Drawn = d
	metal := metalWords(d)
	words := coilWords(r)
	if len(metal) != 1 || len(words) != before+1 || !strings.Contains(strings.Join(words, "|"), metal[0]) {
		t.Errorf("no %q in %q", metal, words)
	}
	r.Session.Drawn = &drawing.Drawn{}
	if n := len(coilWords(r)); n != before {
		t.Errorf("%d sentences without metal, want %d", n, before)
	}
}

// Several captures, a sweep behind them and what was read of each have an empty line between them.
func TestCapturesStandApart(t *testing.T) {
	a, b := inventedCapture(), inventedCapture()
	second := *b.Capture
	second.Name, second.Segment, b.Capture = "other.csv", 1, &second
	sweep := Swept{Sweep: &waveform.Sweep{Name: "sweep.csv"}, Result: &resonance.Result{Points: make([]resonance.Point, 3)}}
	for _, c := range []struct {
		list   []Captured
		sweeps []Swept
		full   bool
		want   []string // how what follows an empty line begins
	}{{[]Captured{a, b}, nil, true, []string{"other.csv, segment 1: "}}, {[]Captured{a}, []Swept{sweep}, false, []string{"sweep.csv"}}, {[]Captured{a, b}, []Swept{sweep}, true, []string{"other.csv, segment 1: ", "sweep.csv"}}} {
		var out strings.Builder
		if err := CaptureText(&out, c.list, c.sweeps, View{Full: c.full}); err != nil {
			t.Fatal(err)
		}
		for _, s := range c.want {
			if !strings.Contains(out.String(), "\n\n"+s) || strings.HasPrefix(out.String(), "\n") || strings.Contains(out.String(), "\n\n\n") {
				t.Errorf("no empty line before %q in\n%s", s, out.String())
			}
		}
	}
}

// A consensus lists cores by gain, capacitance and frequency, then a hand and parts, behind the coil and before what else there is.
func TestOrderOfAConsensus(t *testing.T) {
	want := []string{quantities.BareFrequency, quantities.EffectiveInductance, quantities.EffectiveCapacitance, quantities.LCProduct, quantities.Impedance, quantities.Inductance,
		quantities.CoreGain, quantities.CoreCapacitance, quantities.CoreFrequencyDrop, quantities.HandFrequencyDrop, quantities.PartCapacitance, quantities.HandStrength}
	var list []decisions.Agreed
	for i := range want { // begun in the middle, backwards
		list = append(list, decisions.Agreed{Estimate: estimateOf(want[(2*len(want)-i+4)%len(want)], "1", 1, 0.1)})
	}
	for i, a := range inOrder(list) {
		if a.Name != want[i] {
			t.Errorf("%d is %s, want %s", i, a.Name, want[i])
		}
	}
	whole := []*quantities.Estimate{{}, {}, {}}
	differing := differing([]decisions.Agreed{{Estimate: estimateOf(quantities.Inductance, "H", 1e-3, 1e-5), Differs: true, PValue: 0.001, Sessions: whole, Sigmas: []float64{1, -4, 2}}}, 1)
	if want := "1 of 1 quantities differs between sessions by more than their uncertainties explain (Holm's test of all together, at 5 %), most surely the inductance in air in session B: the coil or the bench changed; fitcoil compare tells what."; differing != want {
		t.Errorf("%q, want %q", differing, want)
	}
}

// Flags, names and shares of what JSON lists are those of their own.
func TestNamesOfFitJSON(t *testing.T) {
	of := log(0, 4.7)
	of.Readings[0].FromDigits, of.Readings[0].Use = true, false
	type check struct {
		Readings []struct {
			Digits bool `json:"uncertainty_from_digits"`
			Used   bool
		}
	}
	j := decoded[check](t, func(w io.Writer) error { return CheckJSON(w, of, Source{}) })
	if a, b := j.Readings[0], j.Readings[1]; !a.Digits || a.Used || b.Digits || !b.Used {
		t.Errorf("%+v", j)
	}
	r := fittedInvented(t)
	r.Contrasts = []readings.Contrast{{Core: "rod", Ratio: 0.5, Pairs: 1}, {Core: "rod", Ratio: 0.4, Pairs: 1, Quality: true}}
	bare, rod := readings.Bare(), readings.Bare()
	rod.Core, rod.To = "rod", 1
	r.Session.Log.Readings = []readings.Reading{{State: bare, Frequency: 2.5e6, Amplitude: 2, Quality: 100, Use: true}, {State: rod, Frequency: 1.8e6, Amplitude: 1, Quality: 40, Use: true}}
	r.Derived = append(r.Derived, ofCore("rod", estimateOf(quantities.ImpedanceRatio, "1", 0.5, 0.01)))
	src := Source{Log: "evening.csv", SHA256: "abc"}
	f := fitJSON(r, src)
	if f.Log != "evening.csv" || f.SHA256 != "abc" || f.Schema != Schema || len(f.Amplitude) != 1 || len(f.Contrasts) != 2 {
		t.Fatalf("%q, %q, %d, %+v", f.Log, f.SHA256, f.Schema, f.Amplitude)
	}
	// Half the amplitude: of the quality factor 0.4, of the capacitance √(0.5·0.72) = 0.6, and of the rest 0.5/0.24.
	a := f.Amplitude[0]
	for i, c := range [][2]float64{{a.Amplitude, 0.5}, {a.Quality, 0.4}, {a.Capacitance, 0.6}, {a.Rest, 0.5 / 0.24}} {
		if math.Abs(c[0]-c[1]) > 1e-9 {
			t.Errorf("%d: %v, want %v", i, c[0], c[1])
		}
	}
	if a.Core != "rod" || a.Coupling != nil || f.Contrasts[0].Of != "amplitude" || f.Contrasts[1].Of != "quality_factor" || f.Contrasts[1].Ratio != 0.4 {
		t.Errorf("%+v, %+v", a, f.Contrasts)
	}
	type compared struct {
		A, B struct {
			Log, SHA string
		}
		Warnings []string
	}
	k := decoded[compared](t, func(w io.Writer) error {
		return CompareJSON(w, decisions.Comparison{}, [2]*model.Result{consistent(), contradictory()}, Source{Log: "a.csv"}, Source{Log: "b.csv"})
	})
	if k.A.Log != "a.csv" || k.B.Log != "b.csv" || len(k.Warnings) != 1 || k.Warnings[0] != "B: "+Sentence(contradictory().Findings[0]) {
		t.Errorf("%+v", k)
	}
}

// Numbers that stand at the end of an answer without drafts are all told: as many warnings as the first draft has room for.
func TestAnswersWithOneDraft(t *testing.T) {
	src := Source{Log: "a.csv"}
	for i := range mostTerse {
		src.Warnings = append(src.Warnings, fmt.Sprintf("warning %d", i))
	}
	a := decisions.Reached{Target: 1.5e6, By: decisions.ByHand, At: predicted(readings.Bare())}
	s := flat(t, func(w io.Writer) error { return ReachText(w, consistent(), a, nil, src, View{}) })
	for _, w := range src.Warnings {
		if !strings.Contains(s, w) {
			t.Errorf("no %q in %q", w, s)
		}
	}
}
