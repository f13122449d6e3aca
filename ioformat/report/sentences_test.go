package report

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// says wants a text to have all of the words, in this order.
func says(t *testing.T, what, text string, words ...string) {
	t.Helper()
	rest := strings.ReplaceAll(text, noBreak, " ")
	for _, w := range words {
		_, behind, ok := strings.Cut(rest, w)
		if !ok {
			t.Errorf("%s: no %q in this place of %q", what, w, text)
			return
		}
		rest = behind
	}
	if strings.Contains(text, "%!") || text == "" {
		t.Errorf("%s: %q", what, text)
	}
}

// Each finding is told with its line, its name and its numbers.
func TestSentencesTellTheirNumbers(t *testing.T) {
	l := &quantities.Estimate{Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}}
	mistaken := findings.Mistake{Lines: []int{7}, Part: "roof", Read: 1.163e6, Meant: 1.613e6, Predict: 1.61302e6, Within: 130}
	unknown := mistaken
	unknown.Meant = math.NaN()
	either, eitherWay := mistaken, unknown
	either.OrScatter, eitherWay.OrScatter = true, true
	rows, part := findings.Mistake{Kind: findings.MistakenRows, Lines: []int{3, 4}}, findings.Mistake{Kind: findings.MistakenPart, Part: "big", Read: 10e-12, Meant: 100e-12, Lines: []int{5, 6}}
	told := map[findings.FindingKind]bool{}
	for _, c := range []struct {
		f     findings.Finding
		words []string
	}{
		{findings.Finding{Kind: findings.ScatterExceeds, Value: 2.53, Other: 0.0012}, []string{"2.5 times", "p = 0.0012", "Birge"}},
		{findings.Finding{Kind: findings.ScatterExceeds, Value: 12.3, Other: 0.9999, Robust: true}, []string{"12 times", "p > 0.999", "--robust"}},
		{findings.Finding{Kind: findings.ScatterExceeds, Value: 12.3, Other: 1e-5, Repeats: &findings.Repeats{Ratio: 11.6, Relative: 1.23e-4, PValue: 0.4}}, []string{"12 times", "deviation of 0.012 %, 12 times", "state 0.012 % in a column frequency ±"}},
		{findings.Finding{Kind: findings.ScatterExceeds, Value: 12.3, Other: 1e-5, Repeats: &findings.Repeats{Ratio: 4.56, Relative: 1.23e-4, PValue: 0.002}, Robust: true}, []string{"0.012 %, 4.6 times", "does not fit (lack of fit, p = 0.002)", "--robust"}},
		{findings.Finding{Kind: findings.FitsNoCoil, Value: 0.0432, Lines: []int{5, 9, 12}}, []string{"off by 4.3 % of what any coil", "lines 5, 9 and 12"}},
		{findings.Finding{Kind: findings.NothingToTest}, []string{"too few to test", "±", "stated"}},
		{findings.Finding{Kind: findings.ReadingSuspect, Line: 9, Value: -4.3}, []string{"line 9 ", "4.3 standard uncertainties"}},
		{findings.Finding{Kind: findings.ReadingDecisive, Line: 9, Value: 1.7, Other: -2.26, Moves: &estimation.Moved{Estimate: l}}, []string{"line 9 ", "2.3 standard deviations off", "core gain of core \"rod\"", "1.7 of"}},
		{findings.Finding{Kind: findings.ReadingForgotten, Line: 9}, []string{"line 9 ", "no weight", "again"}},
		{findings.Finding{Kind: findings.ReadingForgotten, Line: 9, Mistake: &mistaken}, []string{"line 9 ", "1.163 MHz", "1.61302 ± 0.00013 MHz", "1.613 MHz?"}},
		{findings.Finding{Kind: findings.ReadingForgotten, Line: 9, Mistake: &unknown}, []string{"line 9 ", "1.163 MHz", "1.61302 ± 0.00013 MHz"}},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &mistaken}, []string{"line 7, 1.163 MHz", "predict 1.61302 ± 0.00013 MHz", "1.163 MHz misread for 1.613 MHz"}},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &unknown}, []string{"line 7, 1.163 MHz", "predict 1.61302 ± 0.00013 MHz", "another state"}},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &either}, []string{"1.163 MHz misread for 1.613 MHz, or do all scatter more than stated? Read it again"}},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &eitherWay}, []string{"another state than written, or do all scatter more than stated? Read it again"}},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &rows}, []string{"lines 3 and 4", "swapped"}},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &findings.Mistake{Kind: findings.MistakenOneOf, Lines: []int{3, 8}}}, []string{"one of lines 3 and 8", "nothing tells in which", "again"}},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &findings.Mistake{Kind: findings.MistakenOneOf, Lines: []int{3}}}, []string{"a mistake in line 3 would", "read it again"}},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &findings.Mistake{Kind: findings.MistakenOneOf, Lines: []int{2, 8}, Drift: 2.89e-3, DriftWithin: 1.4e-4}}, []string{"a mistake in one of lines 2 and 8, or a drift by 2890 ± 140 ppm from the first reading to the last, would", "nothing tells which"}},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &findings.Mistake{Kind: findings.MistakenOneOf, Lines: []int{3}, Drift: -2.89e-3, DriftWithin: 1.4e-4, Hourly: true}}, []string{"line 3, or a drift by −2890 ± 140 ppm an hour, would", "read it again"}},
		{findings.Finding{Kind: findings.Drifts, Value: 1e-3, Other: 1.4e-4, OrScatter: true}, []string{"drifted by 1000 ± 140 ppm from the first reading to the last, or the readings scatter more than stated: all"}},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &part}, []string{`"big"`, "were 100 pF, not 10.0 pF", "lines 5 and 6"}},
		{findings.Finding{Kind: findings.ReadingsUnchecked, Lines: []int{4}}, []string{"line 4: this reading alone"}},
		{findings.Finding{Kind: findings.ReadingsUnchecked, Lines: []int{4, 6, 8}}, []string{"lines 4, 6 and 8: each of these readings alone"}},
		{findings.Finding{Kind: findings.TooGood, Value: 0.998}, []string{"p = 0.998", "overstated"}},
		{findings.Finding{Kind: findings.PartOffTolerance, Name: "roof", Value: 5.67e-12, Other: -4.44}, []string{`"roof"`, "5.67 pF", "4.4 standard deviations"}},
		{findings.Finding{Kind: findings.KnownContradicts, Name: quantities.WindingCapacitance, Value: 1, Other: -3.26}, []string{"known value of winding capacitance", "3.3 standard deviations"}},
		{findings.Finding{Kind: findings.KnownContradicts, Name: quantities.Inductance, Value: 1, Other: 32, Drawn: true}, []string{"inductance computed from the drawing", "32.0 standard deviations"}},
		{findings.Finding{Kind: findings.CapacitanceBelowZero, Value: -4.21e-12, Other: 0.13e-12}, []string{"below zero (−4.21 ± 0.13 pF)", "off its value", "tolerance", "misread", "digits"}},
		{findings.Finding{Kind: findings.CapacitanceBelowZero, Value: math.Inf(-1), Other: math.NaN()}, []string{"below zero; a part", "off its value"}},
		{findings.Finding{Kind: findings.EarlierContradicts, Name: "monday.csv", Value: 0.0012}, []string{"monday.csv", "p = 0.0012", "--known-from", "--new-bench"}},
		{findings.Finding{Kind: findings.AtBound, Name: quantities.TopCapacitance}, []string{"top capacitance", "limit"}},
		{findings.Finding{Kind: findings.ShapeAssumed}, []string{"winding and top", "prior"}},
		{findings.Finding{Kind: findings.TolerancesContradicted, Value: 0.003, Pattern: findings.SmallHigh}, []string{"p = 0.003", "enlarged", "the smaller a part, the more it is above", "empty clip"}},
		{findings.Finding{Kind: findings.TolerancesContradicted, Value: 0.003, Pattern: findings.SmallLow}, []string{"the smaller a part, the more it is below"}},
		{findings.Finding{Kind: findings.TolerancesContradicted, Value: 0.003, Pattern: findings.AllHigh}, []string{"all parts are above", "common"}},
		{findings.Finding{Kind: findings.TolerancesContradicted, Value: 0.003, Pattern: findings.AllLow}, []string{"all parts are below", "common"}},
		{findings.Finding{Kind: findings.TolerancesContradicted, Value: 0.003}, []string{"each part is off in its own way"}},
		{findings.Finding{Kind: findings.Drifts, Value: -123e-6, Other: 24e-6}, []string{"−123 ± 24 ppm from the first reading to the last"}},
		{findings.Finding{Kind: findings.Drifts, Value: 123e-6, Other: 24e-6, Hourly: true}, []string{"by 123 ± 24 ppm an hour"}},
		{findings.Finding{Kind: findings.NeighboursAlike, Name: "run order", Value: 0.5, Other: 0.002}, []string{"in run order", "+0.50", "p = 0.002", "count as 0.33·n"}}, // (1 − ½)/(1 + ½)
		{findings.Finding{Kind: findings.RunOrderTrend, Value: -0.71, Other: 0.004}, []string{"-0.71", "p = 0.004"}},
		{findings.Finding{Kind: findings.ReadingApart, Line: 12, Value: 7.6, Other: 40}, []string{"line 12:", "+8 standard deviations", "the 40 readings"}},
		{findings.Finding{Kind: findings.ReadingsSlow, Line: 12, Value: 3.3}, []string{"line 12 ", "3.3 times"}},
		{findings.Finding{Kind: findings.ReadingsWander, Line: 12, Value: 33}, []string{"line 12 ", "33 times"}},
		{findings.Finding{Kind: findings.CoreDisperses, Name: "rod", Value: 0.034, Other: 1.8}, []string{`"rod"`, "factor of 1.8", "3.4 %"}},
		{findings.Finding{Kind: findings.ModelUncertainty, Value: 0.0081}, []string{"0.81 %"}},
		{findings.Finding{Kind: findings.Implausible, Value: 1.3, Other: 2e6}, []string{"1.3 H", "2.0 MΩ", "units"}},
		{findings.Finding{Kind: findings.Implausible, Value: 1.3e3, Other: 2e6, Slip: &findings.Slip{Factor: 1e3, Inductance: 1.3e-3, Impedance: 2e3}},
			[]string{"1300 H", "2.0 MΩ", "the frequencies right", "a thousand times more", "MHz under kHz", "1.3 mH", "2.0 kΩ"}},
		{findings.Finding{Kind: findings.Implausible, Value: 1.3e3, Other: 2e6, Slip: &findings.Slip{Added: true, Factor: 1e-6, Inductance: 1.3e-3, Impedance: 2e3}},
			[]string{"capacitances added right", "a million times less", "pF under µF", "1.3 mH", "2.0 kΩ"}},
	} {
		told[c.f.Kind] = true
		says(t, fmt.Sprint("finding ", c.f.Kind), Sentence(c.f), c.words...)
	}
	for k := range findings.Implausible + 1 {
		if !told[k] {
			t.Errorf("no sentence of finding %d is looked at", k)
		}
	}
}

// Each gap is named with its core, part or quantities, and each remedy says what to read.
func TestGapsAreTold(t *testing.T) {
	for gap, words := range map[findings.Gap][]string{
		findings.GapSplit: {"inductance and capacitance apart:", "product"}, findings.GapSpread: {"inductance and capacitance apart:", "differ too little"},
		findings.GapCoreAlways: {`core "rod":`, "every reading"}, findings.GapCore: {`core "rod":`, "separate"}, findings.GapHandLaw: {"hand", "distance:", "several distances"},
		findings.GapHandCoarse: {"hand", "resolve"}, findings.GapHandCore: {"hand:", "only with a core"}, findings.GapPart: {`"roof":`}, findings.GapScatter: {"lc product, drift:", "scatter"},
		findings.GapNeverPlain: {"the coil by itself:"}, findings.GapShape: {"winding and top:", "prior"}, findings.GapCoreAdds: {`capacitance that core "rod" adds:`},
		findings.GapNegative: {"capacitance:", "below zero"}, findings.GapCapacitance: {"capacitance:", "small"}, findings.GapLead: {"clips and leads:"},
		findings.GapDrift: {"drifted", "prior"}, findings.GapCoupling: {`coupling of the primary with core "rod":`}, findings.GapWindings: {`coupling of the windings with core "rod":`}, findings.GapLosses: {"losses divide: lc product, drift:"},
		findings.GapOther: {"lc product, drift"},
	} {
		what, _ := Sentences(findings.Undetermined{What: gap, Core: "rod", Part: "roof", Names: []string{quantities.LCProduct, quantities.Drift}})
		says(t, fmt.Sprint("gap ", gap), what, words...)
	}
	for _, gap := range []findings.Gap{findings.GapHandLaw, findings.GapHandCoarse, findings.GapHandCore} {
		what, _ := Sentences(findings.Undetermined{What: gap, Hands: []float64{0.4, 1}})
		says(t, fmt.Sprint("a hand, gap ", gap), what, "effect", "at 40 cm, 100 cm: ")
		if what, _ = Sentences(findings.Undetermined{What: gap}); strings.Contains(what, "effect at") {
			t.Errorf("a hand whose effect is known: %q", what)
		}
	}
	for _, gap := range []findings.Gap{findings.GapCoreAlways, findings.GapCoupling, findings.GapWindings} {
		if what, _ := Sentences(findings.Undetermined{What: gap}); strings.Contains(what, `""`) {
			t.Errorf("a core without a name: %q", what)
		}
	}
	for advice, words := range map[findings.Advice][]string{
		findings.AddKnownCapacitor: {"bare", "known capacitor", "tenth", "--known"}, findings.AddLargerCapacitor: {"larger known capacitor", "--known"},
		findings.ReadWithoutCore: {"core out", "core in"}, findings.ReadCoreWithCapacitor: {"core out", "core in", "known capacitor"}, findings.ReadMoreDistances: {"bare", "five distances"},
		findings.RepeatDistances: {"nearest", "farthest"}, findings.ReadPartWithKnown: {"only this part", "known capacitor"}, findings.MoreReadings: {"more readings"},
		findings.FindMisread: {"misread", "use = no"}, findings.ReadOftener: {"readings of one state differ", "several times"}, findings.ReadPlain: {"nobody near"}, findings.ReadHandAlone: {"nobody near", "core out"}, findings.ReadEmptyClip: {"empty clip", "bare"},
		findings.ReadFirstAgain: {"first state again", "end"}, findings.AddMuchLarger: {"third or less", "measured"}, findings.AddMuchLargerAndClip: {"empty clip", "third or less"},
		findings.CheckParts: {"at a meter", "bare"}, findings.ReadBareOrSmall: {"bare", "few pF"}, findings.ReadPrimaryOpenAndShorted: {"open and shorted"}, findings.ReadShortedLoaded: {"open and shorted", "half or less"}, findings.ReadQuality: {"quality factor"},
	} {
		_, alone := Sentences(findings.Undetermined{Advice: advice})
		_, together := Sentences(findings.Undetermined{Advice: advice, WithFirst: true})
		says(t, fmt.Sprint("advice ", advice), alone, words...)
		if together != alone+", together with the first remedy" {
			t.Errorf("%q together: %q", alone, together)
		}
	}
}

// Every remedy and every pattern has words.
func TestEveryRemedyHasWords(t *testing.T) {
	for a := findings.AddKnownCapacitor; a <= findings.ReadQuality; a++ {
		if remedies[a] == "" {
			t.Errorf("no words for advice %d", a)
		}
	}
	for p := findings.Apart; p <= findings.AllLow; p++ {
		if patterns[p] == "" {
			t.Errorf("no words for pattern %d", p)
		}
	}
}

// What is assumed is told with its numbers and with what takes its place.
func TestAssumptionsTellTheirNumbers(t *testing.T) {
	for _, c := range []struct {
		a     estimation.Assumption
		words []string
	}{
		{estimation.Assumption{Kind: estimation.AssumedTolerance, Names: []string{"a", "b"}, Spread: 0.05 / 1.96}, []string{"tolerance of a, b", "|5 %", "|", "--tolerance"}},
		{estimation.Assumption{Kind: estimation.AssumedDigits, Count: 3}, []string{"± of 3 readings", "|half", "|column frequency ±"}},
		{estimation.Assumption{Kind: estimation.AssumedShare, Value: 0.3, Spread: 0.25}, []string{"top's share", "|0.3 ± 0.25", "|--coil"}},
		{estimation.Assumption{Kind: estimation.AssumedCoreCapacitance, Names: []string{"rod"}, Value: 0, Spread: 0.1}, []string{"core rod", "|0 ± 10 %", "|--known core_capacitance:rod="}},
		{estimation.Assumption{Kind: estimation.AssumedCoreCapacitance, Names: []string{"rod"}, Value: 64e-15, Spread: 0.1}, []string{"core rod", "|0.064 pF as drawn ± 10 %"}},
		{estimation.Assumption{Kind: estimation.AssumedEnds, Names: []string{"rod"}, Value: 0.12, Spread: 2}, []string{"core rod", "|0.12 ", "factor of 2.0", "|--coil"}},
		{estimation.Assumption{Kind: estimation.AssumedMoved, Names: []string{"rod"}, Value: 0.035, Spread: 2.2}, []string{"core rod", "|3.5 %", "factor of 2.2", "|--coil"}},
		{estimation.Assumption{Kind: estimation.AssumedHandOffset, Value: 0.05, Spread: 2.7}, []string{"d0", "|5 cm", "factor of 2.7", "|--known hand_offset"}},
		{estimation.Assumption{Kind: estimation.AssumedHandExponent, Value: 2, Spread: 0.5}, []string{"exponent", "|2 ± 0.5", "|--known hand_exponent"}},
		{estimation.Assumption{Kind: estimation.AssumedCommon, Names: []string{"a", "b"}, Value: 0.25}, []string{"in common, a, b", "|25 %", "|the word common or own"}},
		{estimation.Assumption{Kind: estimation.AssumedLead, Value: 0, Spread: 0.1e-12}, []string{"clips and leads", "|0.00 ± 0.10 pF", "|", "empty clip"}},
		{estimation.Assumption{Kind: estimation.AssumedDrift, Value: 0, Spread: 500e-6}, []string{"drift", "|0 ± 500 ppm", "|the first state"}},
		{estimation.Assumption{Kind: estimation.AssumedCoupled, Value: 0.02, Spread: 0.1}, []string{"primary", "|0.02 ± 0.1", "|", "shorted"}},
		{estimation.Assumption{Kind: estimation.AssumedPrimary}, []string{"primary", "|", "grounded end", "|--coil"}},
		{estimation.Assumption{Kind: estimation.AssumedCapacitance, Value: 8e-12, Spread: 7.4}, []string{"winding and top", "|8.0 pF", "7.4", "|"}},
		{estimation.Assumption{Kind: estimation.AssumedHand, Value: 50e-15, Spread: 2e4}, []string{"hand", "|0.050 pF", "|"}},
		{estimation.Assumption{Kind: estimation.AssumedPart, Names: []string{"roof"}, Value: 3e-12, Spread: 2e4}, []string{"capacitance of roof", "|3.0 pF", "|--known PART"}},
	} {
		what, value, replaced := assumption(&c.a)
		says(t, fmt.Sprint("assumption ", c.a.Kind), what+"|"+value+"|"+replaced, c.words...)
	}
	for share, want := range map[float64]string{math.NaN(): "-", 0.004: "below 1 %", 0.01: "1 %", 0.284: "28 %"} {
		if got := shareText(share); got != want {
			t.Errorf("a share of %v: %q, want %q", share, got, want)
		}
	}
}

// What to do is said as an instruction, with what it gives.
func TestStepsAreInstructions(t *testing.T) {
	parts := []readings.Part{{Name: "10 pF", Capacitance: 10e-12}, {Name: "roof"}}
	core := readings.Bare()
	core.Core, core.To = "rod", 1
	for _, c := range []struct {
		c     decisions.Candidate
		cores bool
		want  string
	}{
		{decisions.Candidate{State: readings.Bare()}, false, "read bare"},
		{decisions.Candidate{State: readings.Bare()}, true, "read bare, core out"},
		{decisions.Candidate{State: core}, true, "read core rod"},
		{decisions.Candidate{Kind: decisions.MeasurePart, Part: 1, Relative: 0.01 / 1.96}, true, "measure part roof at a meter to ± 1 %"},
		{decisions.Candidate{Kind: decisions.MeasureWinding}, true, "measure turns, diameter and length of the winding for a coil sheet"},
		{decisions.Candidate{Kind: decisions.ReadNew, State: readings.Bare(), New: [2]float64{22e-12, 22e-12}, Relative: 0.05 / 1.96}, false, "read with a capacitor of 22 pF ± 5 %"},
		{decisions.Candidate{Kind: decisions.ReadNew, State: core, New: [2]float64{2.2e-12, 47e-12}, Relative: 0.05 / 1.96}, true, "read with any capacitor of 2.2 to 47 pF ± 5 %, core rod"},
	} {
		if got := action(c.c, parts, c.cores); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	estimate := func(u float64) quantities.Estimate {
		return quantities.Estimate{Value: -2, Uncertainty: u, Determined: u > 0}
	}
	s := decisions.Suggestion{Candidate: decisions.Candidate{State: readings.Bare()}, Before: estimate(0.1), After: estimate(0.05), Reason: decisions.ReasonSplits}
	plan := decisions.Planned{Ranked: []decisions.Suggestion{s}}
	says(t, "step", step(plan, "gain", parts, false), "read bare: gain to ± 2.5 % (now ± 5.0 %)")
	if got := GainText(s); got != "± 5.0 % → ± 2.5 %" {
		t.Errorf("gain: %q", got)
	}
	s.Before = estimate(0)
	if got := GainText(s); got != "not determined → ± 2.5 %" {
		t.Errorf("gain: %q", got)
	}
	plan.Ranked[0] = s
	if got := step(plan, "gain", parts, false); strings.Contains(got, "now") {
		t.Errorf("step: %q", got)
	}
	s.After = estimate(0)
	plan.Ranked[0] = s
	if got := GainText(s) + step(plan, "gain", parts, false); got != "still not determined" {
		t.Errorf("gain: %q", got)
	}
}

// An answer is limited by what brings most of the variance: three sources at most, a tenth at
// least, and no more once three quarters are named.
func TestLimitsAreTheLargest(t *testing.T) {
	for _, c := range []struct {
		shares []float64
		want   string
	}{
		{[]float64{0.8, 0.15, 0.05}, "a: 80 % of the variance of L"},
		{[]float64{0.6, 0.3, 0.1}, "a: 60 % of the variance of L; b: 30 %"},
		{[]float64{0.4, 0.2, 0.12, 0.11}, "a: 40 % of the variance of L; b: 20 %; c: 12 %"},
		{[]float64{0.7, 0.09, 0.09}, "a: 70 % of the variance of L"},
		{[]float64{0.09, 0.09}, ""},
	} {
		var list []contribution
		for i, s := range c.shares {
			list = append(list, contribution{s, string(rune('a' + i))})
		}
		var b strings.Builder
		out := newText(View{})
		out.largest(list, "L", 0)
		must.Do(t, out.to(&b))
		got := strings.TrimPrefix(strings.Join(strings.Fields(strings.ReplaceAll(b.String(), noBreak, " ")), " "), "Limited by ")
		if got != c.want {
			t.Errorf("%v: %q, want %q", c.shares, got, c.want)
		}
	}
}

// What a text is of stands in its first line.
func TestTextsBeginWithTheirSource(t *testing.T) {
	r := mustFit(t, estimation.Session{Log: log(0, 2.2, 4.7, 10)})
	src := Source{Log: "evening.csv"}
	l := r.Find(quantities.Key{Name: quantities.EffectiveInductance})
	predictions := Predictions{Parts: r.Parts(), List: []decisions.Prediction{decisions.Predict(r.Result, readings.Bare(), nil)}}
	for name, write := range map[string]func(b *strings.Builder, v View) error{
		"fit": func(b *strings.Builder, v View) error { return FitText(b, r, decisions.Planned{}, nil, src, v) },
		"budget": func(b *strings.Builder, v View) error {
			return BudgetText(b, r, Budget{Estimate: l, Inputs: r.Budget(l)}, src, v)
		},
		"check": func(b *strings.Builder, v View) error { return CheckText(b, log(0, 2.2), src, v) },
		"predict": func(b *strings.Builder, v View) error {
			return PredictText(b, r, predictions, decisions.Planned{}, src, v)
		},
		"next": func(b *strings.Builder, v View) error {
			return NextText(b, r, decisions.Planned{Now: *l}, r.Parts(), 10, src, v)
		},
		"sweep": func(b *strings.Builder, v View) error {
			return SweepText(b, r, NewSweep("x", []float64{1}, func(float64) string { return "1" }, []decisions.SweepPoint{{}}), src, v)
		},
	} {
		for _, full := range []bool{false, true} {
			var b strings.Builder
			if err := write(&b, View{Full: full}); err != nil || !strings.HasPrefix(b.String(), "evening.csv: ") {
				t.Errorf("%s: %v: begins with %q", name, err, strings.SplitN(b.String(), "\n", 2)[0])
			}
		}
	}
}

// The alternative is preferred by two units of AICc or not at all, and χ² is told with what it
// was divided by.
func TestQualityInWords(t *testing.T) {
	for d, want := range map[float64]string{2: "in favour", 1.9: "not decisive", -1.9: "not decisive", -2: "against"} {
		says(t, "preference", preference(d), want)
	}
	for p, want := range map[float64]string{0.00009: "p < 0.0001", 0.0123: "p = 0.012", 0.05: "p = 0.05", 0.1234: "p = 0.123", 0.9996: "p > 0.999"} {
		if got := pText(p); got != want {
			t.Errorf("%v: %q, want %q", p, got, want)
		}
	}
	for v, want := range map[float64]string{0.004: "χ² < 0.01", 5.7717: "χ² = 5.77", 4321.2: "χ² = 4321"} {
		if got := chiSquare(v); got != want {
			t.Errorf("%v: %q, want %q", v, got, want)
		}
	}
	q := estimation.Quality{Readings: 9, DegreesOfFreedom: 4, ChiSquare: 5.5, PValue: 0.24, Scale: 1, PartScale: 1, AICc: 20, Redundancy: 3}
	r := &model.Result{Result: &estimation.Result{Quality: q, Resonator: "line"}}
	r.Alternative = &estimation.Alternative{Resonator: "lumped", Quality: estimation.Quality{Readings: 9, ChiSquare: 11, PValue: 0.02, AICc: 25.5}}
	says(t, "quality", strings.Join(Quality(r), "; "), "χ² = 5.5 with 4 degrees of freedom, p = 0.240", "no more than stated",
		"the lumped model: χ² = 11, p = 0.02", "ΔAICc (lumped − line) = +5.5", "in favour")
	// By hand: 14.5 = 2k·9/(8 − k) has k = 3.57, and 4 has 1.45, so that χ² + 2k is 12.6 and 13.9, in favour of the
	// model used, whatever the correction for few readings does.
	r.Alternative.Quality.AICc = 15
	if text := strings.Join(Quality(r), "; "); strings.Contains(text, "ΔAICc") || !strings.Contains(text, "χ² = 11") {
		t.Errorf("where the correction decides: %q", text)
	}
	r.Quality.Redundancy = 0.5
	says(t, "few", strings.Join(Quality(r), "; "), "too few readings to test")
	r.Quality.PValue = 0.01
	says(t, "beforehand", strings.Join(Quality(r), "; "), "not with what is known beforehand")
	r.Quality.Scale, r.Quality.PartScale = 1.52, 1.23
	r.Derived = []quantities.Estimate{{Key: quantities.Key{Name: quantities.EffectiveInductance}, Value: 1e-3, Uncertainty: 2e-5, Stated: 1.3e-5, Unit: "H", Determined: true}}
	says(t, "scale", strings.Join(Quality(r), "; "), "Birge ratio 1.52", "± 0.013 mH", "multiplied by 1.23")
	r.Quality.DegreesOfFreedom, r.Quality.PValue = 0, math.NaN()
	if text := strings.Join(Quality(r), "; "); strings.Contains(text, "p =") || strings.Contains(text, "ΔAICc") || !strings.Contains(text, "no degrees of freedom") {
		t.Errorf("without degrees of freedom: %q", text)
	}
}

// What rounding leaves of no contribution is 0 in the table, what is small and real keeps its digits.
func TestNothingIsToldAsZero(t *testing.T) {
	e := quantities.Estimate{Value: 1e-3, Uncertainty: 1e-5, Unit: "H", Determined: true}
	input := func(part float64) estimation.Input {
		return estimation.Input{Source: estimation.Source{Kind: estimation.BareReadings, Count: 1, Share: part * part}, Value: 2e6, Unit: "Hz", Uncertainty: 100, Sensitivity: part * 1e-7, Contribution: part * 1e-5}
	}
	tab := budgetTable([]estimation.Input{input(1), input(1e-4), input(1e-14)}, &e, quantity.UnitFor(e.Value, e.Uncertainty, "H"), 10, true)
	if c, y := tab.Rows[1][3], tab.Rows[1][4]; y != "1.0e-6 mH" || c == "0" {
		t.Errorf("%q", tab.Rows[1])
	}
	if r := tab.Rows[2]; r[3] != "0" || r[4] != "0" || r[5] != "0.0 %" {
		t.Errorf("%q", r)
	}
}
