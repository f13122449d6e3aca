package report

import (
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/ioformat/waveform"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonance"
	"fitcoil/model/ringing"
)

// cases hold what is said on either side of a number at which the words turn.
type cases [][2]string

func (list cases) check(t *testing.T) {
	t.Helper()
	for i, c := range list {
		if c[0] != c[1] {
			t.Errorf("case %d: %q, want %q", i, c[0], c[1])
		}
	}
}

// yes tells whether a text has a phrase.
func yes(text, phrase string) string { return fmt.Sprint(strings.Contains(text, phrase)) }

func flat(t *testing.T, write func(w io.Writer) error) string {
	t.Helper()
	var b strings.Builder
	must.Do(t, write(&b))
	return strings.Join(strings.Fields(b.String()), " ")
}

func TestEstimatesTurn(t *testing.T) {
	budget := func(b quantities.Budget) string { return varianceFrom(&quantities.Estimate{Budget: b}) }
	// Of L and C known to 2 % each, the product is known to 2 %·√(2 − 2·0.92), where they have the correlation −0.92.
	correlated := func(r float64) string {
		f := fittedInvented(t)
		f.Find(quantities.Key{Name: quantities.EffectiveCapacitance}).Uncertainty = 0.02 * 4.05e-12
		lc := f.Find(quantities.Key{Name: quantities.LCProduct})
		lc.Uncertainty = lc.Value * 0.02 * math.Sqrt(2-2*r)
		return yes(strings.Join(coilWords(f), " "), "correlation coefficient is −"+fmt.Sprintf("%.2f", r))
	}
	core := func(over float64) string {
		f := fittedInvented(t)
		f.Find(quantities.Key{Name: quantities.CoreCapacitance, Core: "rod"}).Value = over * 0.05e-12
		return yes(coreWords(f, "rod")[0], "is not significant")
	}
	unit := func(farad float64) string {
		e := estimateOf("", "F", farad, 1e-15)
		e.Interval = [2]float64{0, 0}
		return unitsOf([]quantities.Estimate{e}).of(1e-15, 1e-16, "F").Symbol
	}
	atBound := func(change func(f *model.Result)) string {
		f := fittedInvented(t)
		change(f)
		return yes(flat(t, func(w io.Writer) error { return FitText(w, f, decisions.Planned{}, nil, Source{}, View{}) }), "at low frequency")
	}
	held := func(determined bool) string {
		e := quantities.Estimate{Determined: determined, Budget: quantities.Budget{Assumed: 1}}
		j := estimate(&e)
		return fmt.Sprint(j.MostlyPrior, j.Coverage != nil)
	}
	covered := func(from, to float64) string {
		return CoveredIn(&quantities.Estimate{Covered: [2]float64{from, to}})
	}
	input := func(v float64) string { // of 0.1, by which 1 mH changes by 0.2 mH for each 1
		mH := units{}.of(1e-3, 1e-5, "H")
		value, u, c := inputCells(&estimation.Input{Value: v, Uncertainty: 0.1, Unit: "1", Sensitivity: 2e-4}, mH)
		return value + ", " + u + ", " + c
	}
	limit := estimateOf(quantities.CoreGain, "1", 1, 0.1)
	limit.Bound, limit.Interval = fit.Free+1, [2]float64{1, 1.4}
	cases{
		{budget(quantities.Budget{Readings: 0.011, Tolerance: 0.009, Known: 0.98}), "readings 1 %, known values 98 %"},
		{budget(quantities.Budget{Assumed: 0.25, Model: 0.75}), "prior 25 %, model 75 %"},
		{correlated(0.91), "true"}, {correlated(0.89), "false"},
		{core(1.9), "true"}, {core(2.1), "false"}, {core(-1.9), "true"}, {core(-2.1), "false"},
		{unit(0.099e-12), "fF"}, {unit(0.101e-12), "pF"},
		{atBound(func(*model.Result) {}), "true"},
		{atBound(func(f *model.Result) { f.Find(quantities.Key{Name: quantities.Inductance}).Bound = fit.Free + 1 }), "false"},
		{atBound(func(f *model.Result) { f.Find(quantities.Key{Name: quantities.Inductance}).Determined = false }), "false"},
		{held(true), "true false"}, {held(false), "false false"},
		{fmt.Sprint(estimate(&limit).Coverage == nil, estimate(&limit).AtBound != ""), "true true"},
		{fmt.Sprintf("%.3g", width(&limit)), "0.1"}, // a quarter of the interval
		{PlusMinus(quantities.Estimate{Key: quantities.Key{Name: quantities.LeadCapacitance}, Uncertainty: 5e-15, Unit: "F"}), "± 0.0050 pF"},
		{PlusMinus(quantities.Estimate{Key: quantities.Key{Name: quantities.LeadCapacitance}, Uncertainty: 0.9e-15, Unit: "F"}), "± 0.90 fF"},
		{Times(9.94), "9.9"}, {Times(10.4), "10"}, {Times(123.4), "123"},
		{fmt.Sprint(isUnit("in"), isUnit("cm"), isUnit("%"), isUnit("mm"), isUnit("MHz"), isUnit("MMHz"), isUnit("inch"), isUnit("a")), "true true true true true false false false"},
		{covered(0, 0), ""}, {covered(0, 0.6), "60 %"}, {covered(0.3, 0.6), "30..60 %"},
		{input(1.6), "1.60, 0.10, 0.20 mH"}, {input(0), "0, 10 %, 0.0020 mH/%"}, // of an error of 0, in percent
		// AICc = χ² + 2kn/(n − k − 1) with k = 3 and n = 10 is χ² + 10, and AIC χ² + 6.
		{fmt.Sprint(aic(&estimation.Quality{Readings: 10, ChiSquare: 5, AICc: 15})), "11"},
	}.check(t)
}

func TestAnswersTurn(t *testing.T) {
	limited := func(shares ...float64) string {
		text := newText(View{})
		var list []contribution
		for i, s := range shares {
			list = append(list, contribution{s, string(rune('a' + i))})
		}
		text.largest(list, "L", 0)
		return strings.Join(strings.Fields(text.String()), " ")
	}
	quality := func(change func(q *estimation.Quality)) string {
		r := consistent()
		r.Derived = []quantities.Estimate{openEstimate(quantities.EffectiveInductance, "H")}
		r.Alternative = &estimation.Alternative{}
		change(&r.Quality)
		return strings.Join(Quality(r), "; ")
	}
	told := func(scale float64) string {
		r := fittedInvented(t)
		r.Quality.PartScale = scale
		return yes(fmt.Sprint(limitsOf(r, r.Find(quantities.Key{Name: quantities.EffectiveInductance}))), "for the parts' errors")
	}
	moved := func(n int) string {
		l := estimateOf(quantities.Inductance, "H", 1, 0.1)
		var list []estimation.Profiled
		m := estimation.MonteCarlo{}
		for range n {
			list = append(list, estimation.Profiled{Estimate: &l, Profile: [2]float64{0, 9}})
			m.Quantities = append(m.Quantities, estimation.Propagated{Estimate: &l, Validation: fit.Validation{Tolerance: 1e-3, Low: 1, High: 1}})
		}
		profiles, _ := ProfilesTable(list, false)
		trials, _ := MonteCarloTable(&m, false)
		return fmt.Sprint(len(profiles.Rows), len(trials.Rows))
	}
	doubt := func(degrees float64) string {
		l := estimateOf(quantities.Inductance, "H", 1, 0.1)
		_, words := MonteCarloTable(&estimation.MonteCarlo{Degrees: degrees, Quantities: []estimation.Propagated{{Estimate: &l, Validation: fit.Validation{Tolerance: 1e-3, Low: 1}}}}, false)
		return yes(strings.Join(words, " "), "Few readings check")
	}
	better := func(n int) string {
		s := decisions.Suggestion{After: estimateOf(quantities.Inductance, "H", 1, 0.1), Reason: decisions.ReasonRange}
		p := decisions.Planned{Ranked: []decisions.Suggestion{s}, Greedy: []decisions.Suggestion{s}}
		for range n {
			p.Better = append(p.Better, s)
		}
		return yes(flat(t, func(w io.Writer) error { return NextText(w, consistent(), p, nil, 9, Source{}, View{}) }), "The best set found")
	}
	none := func(greedy int) string {
		return noHelp(decisions.Planned{Greedy: make([]decisions.Suggestion, greedy), Unmet: true}, 5)
	}
	defaults := func(kinds ...estimation.AssumptionKind) (list string) {
		r := fittedInvented(t)
		before, _ := MovedPriors(r)
		for _, k := range kinds {
			r.Assumed = append(r.Assumed, estimation.Assumption{Kind: k, Names: []string{"a"}, Count: 1, Share: 0.25})
		}
		after, _ := MovedPriors(r)
		for _, row := range after.Rows[len(before.Rows):] {
			list += row[0] + " " + row[4] + "; "
		}
		return list
	}
	limits := func(ball float64) string {
		d := drawnCoil()
		d.Drawing.Coil.Ball = ball
		c := cross(d)
		return yes(flat(t, func(w io.Writer) error { return CoilText(w, d, &c, 0, Source{}, View{}) }), "stray capacitance at the top")
	}
	shape := func(x float64) string {
		m := estimateOf("", "F", 1e-12, 1e-14)
		c := drawing.CrossCheck{Shape: x, Drawn: m, Measured: &m}
		text := flat(t, func(w io.Writer) error { return CoilText(w, drawnCoil(), &c, 0, Source{}, View{Full: true}) })
		return yes(text, "short coils") + " " + yes(text, "agree with the drawing") + " " + yes(text, "long coils")
	}
	between := func(s float64) string {
		e := estimateOf(quantities.Inductance, "H", 1e-3, 4e-6)
		a := decisions.Agreed{Estimate: e, Between: s, Sessions: []*quantities.Estimate{&e, &e}, Sigmas: []float64{0, 0}, PValue: 1}
		return yes(flat(t, func(w io.Writer) error {
			return ConsensusText(w, []*model.Result{consistent(), consistent()}, []decisions.Agreed{a}, make([]Source, 2), View{})
		}), " 0.0040 mH 0.020 0.0 0.0")
	}
	compared := func(change func(c *decisions.Change), phrase string) string {
		c := decisions.Comparison{SplitA: true, SplitB: true, Changes: []decisions.Change{changed(estimateOf(quantities.Inductance, "H", 1e-3, 1e-5), 4e-3, 2e-5, false, false)}}
		change(&c.Changes[0])
		for range 7 {
			c.Changes = append(c.Changes, c.Changes[0])
		}
		return yes(flat(t, func(w io.Writer) error {
			return CompareText(w, c, [2]*model.Result{consistent(), consistent()}, [2]Source{}, View{})
		}), phrase)
	}
	list := func(doubts, terse int) string {
		text := newText(View{})
		text.doubts(make([]string, doubts), make([]string, 1), terse)
		return yes(text.String(), "Warnings")
	}
	cases{
		{limited(0.11, 0.09), "Limited by a: 11 % of the variance of L"}, {limited(0.74, 0.2), "Limited by a: 74 % of the variance of L; b: 20 %"},
		{limited(0.76, 0.2), "Limited by a: 76 % of the variance of L"}, {limited(0.2, 0.2, 0.2, 0.2), "Limited by a: 20 % of the variance of L; b: 20 %; c: 20 %"}, {limited(0.09), ""},
		{yes(quality(func(q *estimation.Quality) { q.Scale = 1.006 }), "Birge ratio 1.01"), "true"}, {yes(quality(func(q *estimation.Quality) { q.Scale = 1.004 }), "Birge"), "false"},
		{yes(quality(func(q *estimation.Quality) { q.PartScale = 1.006 }), "the parts multiplied by 1.01"), "true"}, {yes(quality(func(q *estimation.Quality) { q.PartScale = 1.004 }), "of the parts"), "false"},
		{told(1.06), "true"}, {told(1.04), "false"},
		{moved(8), "8 8"}, {moved(12), "8 8"}, {doubt(29.9), "true"}, {doubt(30), "false"},
		{between(2e-5), "true"}, // with two digits of its own
		{better(0), "false"}, {better(1), "true"},
		{none(0), "None of the 5 steps tried alone determines it: --how-many 2 tries two together, fitcoil fit names what is missing."},
		{none(1), "None of the 5 steps tried determines it: fitcoil fit names what is missing."},
		{defaults(estimation.AssumedDigits, estimation.AssumedPrimary, estimation.AssumedTolerance, estimation.AssumedDrift), "± of 1 reading 25 %; place of the primary 25 %; tolerance of a 25 %; "},
		{limits(0.01), "true"}, {limits(0), "false"},
		{shape(0.69), "true false false"}, {shape(0.71), "false true false"}, {shape(1.99), "false true false"}, {shape(2.01), "false false true"},
		{compared(func(*decisions.Change) {}, "(to ± 2.0 %)"), "true"}, // 20 µH of 1 mH before
		{compared(func(c *decisions.Change) {
			c.A.Bound, c.A.Interval, c.Difference.Determined, c.Moved = fit.Free+1, [2]float64{1e-3, 1.4e-3}, false, true
		}, "1.00 4.000 mH"), "true"}, // at its bound it has the digits of a quarter of the interval, 0.1 mH
		{list(1, 1), "true"}, {list(1, 2), "false"}, {list(0, 4), "true"},
		{fmt.Sprint(Warns(findings.Finding{Kind: findings.ScatterExceeds}), Warns(findings.Finding{Kind: findings.ScatterExceeds, Robust: true}),
			Warns(findings.Finding{Kind: findings.ScatterExceeds, Repeats: &findings.Repeats{PValue: 0.5}}),
			Warns(findings.Finding{Kind: findings.ScatterExceeds, Repeats: &findings.Repeats{PValue: 0}})), "false true true false"},
	}.check(t)
	// A drawn core's share p of a change of its permeability: tan δ is at most 1/(p·Q).
	d := drawnCoil()
	d.Core = &field.CorePrediction{}
	d.Drawing.Coil.Slices, d.Drawing.Coil.Beads = 8, field.Beads{Diameter: 0.01, Length: 0.1, Count: 1, Permeability: 600}
	p := must.Get(d.Drawing.Coil.GainSlope()).In(t)
	r := fittedInvented(t)
	r.Session.Drawn = d
	for of, want := range map[float64]bool{0.9: false, 1.1: true} { // a loss tangent above 1 is none
		words := strings.Join(lossWords(r, []quantities.Estimate{ofCore("rod", estimateOf(quantities.QualityCore, "1", of/p, 0.1))}), " ")
		if strings.Contains(words, "tan δ") != want {
			t.Errorf("p·Q = %v: %q", of, words)
		}
	}
	for _, q := range []float64{40 / p, 100 / p} {
		words := strings.Join(lossWords(r, []quantities.Estimate{ofCore("rod", estimateOf(quantities.QualityCore, "1", q, 1))}), " ")
		says(t, "tan δ", words, "tan δ is "+map[float64]string{40 / p: "0.025", 100 / p: "0.01"}[q]+" at most")
	}
}

func TestReadingsTurn(t *testing.T) {
	r := consistent()
	for i := range MostLines + 5 {
		o := estimation.ReadingResult{Weighed: 1e3, Flagged: i == MostLines+2}
		o.Frequency, o.Uncertainty, o.Line, o.Hand = 2e6, 1e3, i+2, math.Inf(1)
		r.Readings = append(r.Readings, o)
	}
	r.Readings[0].Residual, r.Readings[1].Weighed = 1234, 10 // the least ± tells the digits of all residuals: two of 0.010 kHz
	list, out := Listed(r)
	tab := Readings(r)
	swept := func(degrees float64) string {
		s := Swept{Sweep: nil, Result: &resonance.Result{Degrees: degrees, Points: make([]resonance.Point, 12)}}
		s.Sweep = must.Get(sweepOf(1.4)).In(t)
		return fmt.Sprint(sweptJSON(&s).DegreesOf)
	}
	spans := func(factor float64) string { _, err := sweepOf(factor); return fmt.Sprint(err == nil) }
	setting := decisions.Reached{By: decisions.ByCovered, Start: readings.Bare(), Setting: estimateOf("", "%", 0.5, 0.01)}
	slips := func(factor float64, added bool) string {
		text := implausible(findings.Finding{Slip: &findings.Slip{Factor: factor, Added: added}})
		_, text, _ = strings.Cut(text, "right? With ")
		text, _, _ = strings.Cut(text, " was written")
		return text
	}
	shares := func(names ...string) string {
		b := estimation.MovedPrior{Kind: estimation.AssumptionSource}
		b.Assumption = estimation.Assumption{Kind: estimation.AssumedEnds, Names: names}
		source := func(share float64, name string) estimation.Source {
			return estimation.Source{Kind: estimation.AssumptionSource, Share: share, Assumption: estimation.Assumption{Kind: estimation.AssumedEnds, Names: []string{name}}}
		}
		return fmt.Sprint(movedShare(&b, []estimation.Source{source(0.25, "rod"), source(0.5, "tube"), {Kind: estimation.LawSource, Share: 1}}))
	}
	narrow := newTable(left("words"), right("number"))
	narrow.row("some words that wrap", "123456789")
	long := newTable(left("words"), left("more"))
	long.row("a-name-of-22-characters", "more words than one line of this table holds")
	cases{
		{fmt.Sprint(len(list), list[len(list)-1], out), fmt.Sprint(MostLines+1, MostLines+2, 4)}, {fmt.Sprint(MostLines), "1000"},
		{tab.Rows[0][4], "+1.234 kHz"}, {fmt.Sprint(len(tab.Rows)), "1001"},
		{swept(9), "9"}, {swept(math.Inf(1)), "12"}, {spans(1.45), "true"}, {spans(1.55), "false"},
		{yes(flat(t, func(w io.Writer) error { return ReachCSV(w, setting, nil) }), `covered,bare,0.5,0.01,0.48,0.52,1,`), "true"},
		{slips(1e-3, false), "a thousand times less, as when kHz under MHz"}, {slips(1e3, false), "a thousand times more, as when MHz under kHz"},
		{slips(1e-6, false), "a million times less, as when Hz under MHz"}, {slips(1e6, false), "a million times more, as when MHz under Hz"},
		{slips(1e-3, true), "a thousand times less, as when pF under nF"}, {slips(1e3, true), "a thousand times more, as when nF under pF"},
		{slips(1e-6, true), "a million times less, as when pF under µF"}, {slips(1e6, true), "a million times more, as when µF under pF"},
		{shares("rod"), "0.25"}, {shares("tube"), "0.5"}, {shares("rod", "tube"), "0"},
		{narrow.text(10), "  words            number\n  some words    123456789\n  that wrap\n"}, // a column of words is never below 12 wide
		{fmt.Sprint(strings.Contains(long.text(46), "a-name-of-22-characters")), "true"},
	}.check(t)
}

// sweepOf makes seven captures up to so many times the lowest frequency a sweep.
func sweepOf(factor float64) (sweep *waveform.Sweep, err error) {
	var list []Captured
	for i := range 7 {
		c := inventedCapture()
		c.Result.Kind = ringing.Steady
		c.Result.Frequency = found(1e6*(1+(factor-1)*float64(i)/6), 10)
		list = append(list, c)
	}
	s, _, ok := DrivenSweep(list)
	if !ok {
		return nil, io.EOF
	}
	return s, nil
}

// Only the session at hand takes the log's name; those before keep theirs.
func TestCarriedNames(t *testing.T) {
	r := mustFit(t, estimation.Session{Log: log(0, 4.7, 10), Lumped: true})
	r.Session.Earlier = []estimation.Earlier{{Log: "monday.csv", SHA256: "aa"}}
	j := carried(r, Source{Log: "friday.csv", SHA256: "bb"})
	if len(j.Sessions) != 2 || j.Sessions[0].Log != "monday.csv" || j.Sessions[0].SHA256 != "aa" || j.Sessions[1].Log != "friday.csv" || j.Sessions[1].SHA256 != "bb" {
		t.Errorf("%+v", j.Sessions)
	}
	if last := j.Sessions[1]; last.Squares != r.Quality.ChiSquare || last.Freedom != 1 || last.Scale != r.Scatter.Scale || last.Checked != r.Scatter.Redundancy {
		t.Errorf("%+v", last)
	}
	r.Problem.Rows = make([]int, 1e5)
	if carried(r, Source{}) != nil {
		t.Error("carried too many readings")
	}
}

// What there is one of, none of, or no end of.
func TestEnds(t *testing.T) {
	interval := func(lo, hi float64) string {
		e := estimateOf("", "H", 1, 0.1)
		e.Interval = [2]float64{lo, hi}
		return fmt.Sprint(estimate(&e).Interval != nil)
	}
	profiled := estimateOf("", "H", 1, 0.1)
	profiled.ByProfile, profiled.Interval, profiled.Linear = true, [2]float64{0.7, 1.3}, [2]float64{0.8, 1.2}
	j := estimate(&profiled)
	added := func(s readings.State) string { return fmt.Sprint(state(s, tidyParts).Added) }
	counted := func(n int) string {
		r := consistent()
		r.Readings = make([]estimation.ReadingResult, n)
		return used(r)
	}
	alike := func(n float64) string {
		r := consistent()
		r.Quality.DegreesOfFreedom, r.Problem = 0, &estimation.Problem{}
		r.Problem.Alike = n
		return yes(Verdict(r), "readings that differ")
	}
	next := func(a, b bool) string { return compareNext(decisions.Comparison{SplitA: a, SplitB: b}, false) }
	nearest := func(i int) string {
		r := consistent()
		r.Readings = make([]estimation.ReadingResult, 2)
		r.Readings[0].Line, r.Readings[1].Line = 2, 3
		q := predicted(readings.Bare())
		q.Outside, q.Nearest = []decisions.Outside{{Element: decisions.DrawingElement}}, i
		text := newText(View{})
		text.remarks(r, &q, nil, 0)
		return yes(text.String(), "nearest reading: line 2")
	}
	limited := func(n int) string {
		q := predicted(readings.Bare())
		q.Frequency.Budget.Readings = 1
		p := Predictions{List: []decisions.Prediction{q, q}[:n]}
		return yes(flat(t, func(w io.Writer) error { return PredictText(w, consistent(), p, decisions.Planned{}, Source{}, View{}) }), "100 % of the variance of the frequency")
	}
	rings := func(found int) string {
		c := inventedCapture()
		c.Result.Found = found
		return yes(textOf(t, []Captured{c}, nil, View{Full: true}), "rings found were fitted")
	}
	steady := inventedCapture()
	steady.Result.Tones[2].Relation = ringing.Steadily
	quoted := func(u float64) string {
		var rows tidy
		rows.read("x", "", 1, u, "H")
		return rows[0][9]
	}
	little := func(share float64) string {
		e := estimateOf(quantities.Inductance, "H", 1e-3, 1e-5)
		in := estimation.Input{Value: 1, Uncertainty: 1, Unit: "m", Sensitivity: share * 1e-5, Contribution: share * 1e-5}
		return budgetTable([]estimation.Input{in}, &e, units{}.estimate(&e, e.Uncertainty), 9, true).Rows[0][4]
	}
	several := fittedInvented(t)
	several.Parameters = append(several.Parameters, ofCore("tube", estimateOf(quantities.CoreGain, "1", 1.5, 0.1)))
	several.Derived = append(several.Derived, ofCore("tube", openEstimate(quantities.CoreCapacitance, "F")))
	cores := flat(t, func(w io.Writer) error { return FitText(w, several, decisions.Planned{}, nil, Source{}, View{}) })
	note := func(k findings.FindingKind) string { return fmt.Sprint(noted(findings.Finding{Kind: k})) }
	cases{
		{interval(0.8, 1.2), "true"}, {interval(0.8, math.Inf(1)), "false"}, {interval(math.Inf(-1), 1.2), "false"},
		{fmt.Sprint(*j.Interval, *j.Linear), "[0.7 1.3] [0.8 1.2]"},
		{added(readings.State{Clip: true}), "[clip]"}, {added(readings.State{Clip: true, Parts: []int{0}}), "[4.7 pF]"}, {added(readings.State{}), "[]"},
		{counted(9), ""}, {counted(10), " (9 used)"}, {counted(11), " (9 used)"},
		{alike(0), "false"}, {alike(1), "true"},
		{yes(next(true, false), "in session B"), "true"}, {yes(next(false, true), "in session A"), "true"}, {yes(next(false, false), "in both sessions"), "true"},
		{limited(1), "true"}, {limited(2), "false"},
		{nearest(-1), "false"}, {nearest(0), "true"}, {nearest(1), "false"},
		{rings(2), "false"}, {rings(3), "true"}, // of two that were fitted
		{yes(textOf(t, []Captured{steady}, nil, View{Full: true}), "steady 2.400000 0.000010 MHz 200 10 mV - "), "true"},
		{quoted(0), ""}, {quoted(0.1), "1.00(10) H"},
		{little(2e-6), "2.0e-8 mH"}, {little(5e-7), "0"},
		{chiSquare(0.009), "χ² < 0.01"}, {chiSquare(0.05), "χ² = 0.05"}, {chiSquare(2e5), "χ² = 200000"},
		{yes(cores, " tube × 1.50 ± 0.10 not determined not determined "), "true"},
		{note(findings.NothingToTest), "false"}, {note(findings.ScatterExceeds), "false"}, {note(findings.TooGood), "true"}, {note(findings.ReadingSuspect), "false"}, {note(findings.FitsNoCoil), "false"},
	}.check(t)
}
