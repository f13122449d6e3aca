package report

import (
	"io"
	"math"
	"reflect"
	"strings"
	"testing"

	"fitcoil/fit"
	"fitcoil/ioformat/waveform"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/ringing"
	"fitcoil/model/voltage"
)

// writes is what a text writer wrote, one space between words.
func writes(write func(t *text)) string {
	t := newText(View{Width: 400})
	write(t)
	return strings.Join(strings.Fields(strings.ReplaceAll(t.String(), noBreak, " ")), " ")
}

// Where a core was never all the way in, the stretch read stands beside each quantity that is of it: with one core,
// with several, and in full.
func TestStretchCoveredIsTold(t *testing.T) {
	r := fittedInvented(t)
	rod, bead := quantities.Key{Name: quantities.CoreFrequencyDrop, Core: "rod"}, ofCore("bead", estimateOf(quantities.CoreFrequencyDrop, "Hz", 400e3, 2e3))
	core := func() string { return writes(func(t *text) { t.core(r, "rod") }) }
	if got := core(); !strings.HasPrefix(got, "Core rod, all the way in inductance ") {
		t.Errorf("%q", got)
	}
	r.Find(rod).Covered = [2]float64{0, 0.55}
	if got := core(); !strings.HasPrefix(got, "Core rod, all the way in; frequency with 55 % covered inductance ") {
		t.Errorf("%q", got)
	}
	r.Find(rod).Covered = [2]float64{0.55, 0.95}
	if got := core(); !strings.HasPrefix(got, "Core rod, all the way in; frequency with 55..95 % covered inductance ") {
		t.Errorf("%q", got)
	}
	r.Parameters = append(r.Parameters, ofCore("bead", estimateOf(quantities.CoreGain, "1", 1.5, 0.02)))
	r.Derived = append(r.Derived, bead)
	got := writes(func(t *text) { t.cores(r, 0) })
	for _, want := range []string{"rod × 1.900 ± 0.020 + 0.200 ± 0.050 pF − 700.0 ± 2.0 kHz, 55..95 % covered", "bead × 1.500 ± 0.020 not determined − 400.0 ± 2.0 kHz"} {
		if !strings.Contains(got, want) || strings.Count(got, "covered") != 1 {
			t.Errorf("no %q in %q", want, got)
		}
	}
	r.Find(quantities.Key{Name: quantities.RatioGain, Core: "rod"}).Covered = [2]float64{0.2, 0.9}
	const all = "Frequency ratio and drop, apparent gain and impedance ratio are those with 20..90 % of the winding covered, the most that was read; gain, capacitance and inductance are those with all of it."
	if got := strings.Join(coreWords(r, "rod"), "|"); got != all {
		t.Errorf("%q", got)
	}
}

// A mark beside numbers is explained once, below the first table that has it, and nowhere without one.
func TestMarksAreExplainedOnce(t *testing.T) {
	r := fittedInvented(t)
	const note = "* by profile likelihood"
	count := func() int {
		return strings.Count(flat(t, func(w io.Writer) error { return FitText(w, r, decisions.Planned{}, nil, Source{}, View{Full: true}) }), note)
	}
	if n := count(); n != 0 {
		t.Errorf("%d notes on no mark", n)
	}
	r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"}).ByProfile = true
	if n := count(); n != 1 {
		t.Errorf("%d notes on one mark", n)
	}
	r.Find(quantities.Key{Name: quantities.Inductance}).ByProfile = true
	if n := count(); n != 1 {
		t.Errorf("%d notes on two marks", n)
	}
	coil, rod := Groups(r)[0], Groups(r)[1]
	if coil.Title != "The coil" || rod.Core != "rod" {
		t.Errorf("%q, %q", coil.Title, rod.Core)
	}
}

// Trials without a solution are counted, as one or as several.
func TestTrialsWithoutSolution(t *testing.T) {
	for failed, want := range []string{"", "1 further trial has no solution and is left out", "2 further trials have no solution and are left out"} {
		_, words := MonteCarloTable(&estimation.MonteCarlo{Trials: 1000, Seed: 1, Settled: true, Failed: failed}, true)
		if got := strings.Join(words[1:len(words)-1], "|"); got != want {
			t.Errorf("%d failed: %q, want %q", failed, got, want)
		}
	}
}

// The program's options and all files of all sources stand in what a result says of its origin.
func TestOriginOfSeveralSources(t *testing.T) {
	a := Source{Program: &Program{Version: "0.2", Revision: "abc", Options: []string{"--full"}}, Files: []File{{Name: "a.csv", SHA256: "aa"}, {Name: "sheet.csv", SHA256: "cc", Dated: "2026-11-20"}}}
	b := Source{Files: []File{{Name: "b.csv", SHA256: "bb"}}}
	got := origin(a, b)
	want := jsonOrigin{Program: &jsonProgram{"0.2", "abc", []string{"--full"}}, Inputs: []jsonFile{{Name: "a.csv", SHA256: "aa"}, {Name: "sheet.csv", SHA256: "cc", Dated: "2026-11-20"}, {Name: "b.csv", SHA256: "bb"}}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
}

// Words and numbers that stand in one case only.
func TestRemarks(t *testing.T) {
	gain := func(digits float64, kind estimation.AssumptionKind) string {
		_, value, _ := assumption(&estimation.Assumption{Kind: kind, Names: []string{"rod"}, Value: digits, Spread: digits})
		return strings.ReplaceAll(value, noBreak, " ")
	}
	interval := func(by bool) string {
		e := estimateOf(quantities.Inductance, "H", 1e-3, 10e-6)
		e.ByProfile = by
		return strings.ReplaceAll(intervalText(&e, units{}.estimate(&e, e.Uncertainty)), noBreak, " ")
	}
	input := func(full bool, line int) string {
		return inputName(&estimation.Input{Source: estimation.Source{Kind: estimation.BareReadings, Count: 1}, Line: line}, full)
	}
	segment := func(n int) string { return recordName(&waveform.Capture{Name: "scope.csv", Segment: n}) }
	stray := func(v float64) string {
		c := changed(estimateOf(quantities.StrayCapacitance, "F", v, 0.1e-12), v, 0.1e-12, false, false)
		return writes(func(t *text) { t.unmoved([]decisions.Change{c}, func(*decisions.Change) bool { return true }, 0) })
	}
	r := fittedInvented(t)
	r.Parameters = append(r.Parameters, estimateOf(quantities.CouplingAtResonance, "1", 0.2, 0.01), ofCore("rod", estimateOf(quantities.CouplingAtResonance, "1", 0.3, 0.01)))
	primary := func() string {
		for _, g := range Groups(r) {
			if g.Title == "The primary" {
				return strings.Join(g.Words, "|")
			}
		}
		return ""
	}
	limits := func(kinds ...estimation.AssumptionKind) string {
		r.Assumed = nil
		for _, k := range kinds {
			r.Assumed = append(r.Assumed, estimation.Assumption{Kind: k, Spread: 0.05 / 1.96})
		}
		for _, c := range limitsOf(r, r.Find(quantities.Key{Name: quantities.EffectiveInductance})) {
			if strings.HasPrefix(c.what, "uncertainty of the readings") {
				return c.what
			}
		}
		return ""
	}
	drawing := func(terse int, sigmas ...float64) string {
		r := fittedInvented(t)
		r.Session.Drawn = &drawing.Drawn{}
		for _, s := range sigmas {
			r.Checks = append(r.Checks, estimation.Check{Drawn: estimateOf(quantities.Inductance, "H", 1e-3, 12e-6), Readings: estimateOf("", "H", 1.1e-3, 10e-6), Sigmas: s})
		}
		return writes(func(t *text) { t.drawing(r, terse) })
	}
	now := func(e quantities.Estimate) string {
		p := decisions.Planned{Measurand: decisions.Measurand{Key: quantities.Key{Name: quantities.StrayCapacitance}}, Now: e}
		text := strings.ReplaceAll(flat(t, func(w io.Writer) error { return NextText(w, consistent(), p, nil, 9, Source{Log: "a.csv"}, View{}) }), noBreak, " ")
		_, text, _ = strings.Cut(text, ", now ")
		text, _, _ = strings.Cut(text, " None of")
		return text
	}
	quality := func(nu, at int) string {
		of := &model.Result{Result: &estimation.Result{Resonator: "line", Quality: estimation.Quality{ChiSquare: 6, DegreesOfFreedom: nu, PValue: math.NaN(), Scale: 1, PartScale: 1, Status: fit.Converged}}}
		of.Alternative = &estimation.Alternative{Resonator: "lumped", Quality: estimation.Quality{ChiSquare: 11, PValue: math.NaN(), AICc: math.NaN()}}
		list := Quality(of)
		return list[(at+len(list))%len(list)]
	}
	covered := func(from, to float64) string {
		return strings.ReplaceAll(outside(&decisions.Outside{Element: decisions.CoveredElement, Predicted: 0.98765, From: from, To: to}), noBreak, " ")
	}
	beat := func(part float64) string {
		return CaptureNote(ringing.Note{Kind: ringing.Beating, Values: [4]float64{1e6, 2e6, part}})
	}
	twice := func(before, after float64) string {
		return yes(startAndEnd([4]float64{1e6, 2e6, before, after}), "; quality factor 12, then 34;")
	}
	sparks := func(gaps ...voltage.Gap) string {
		list := []stressed{{name: "bare"}, {name: "core rod"}}
		for i := range list {
			list[i].Stress = &voltage.Stress{Gaps: gaps}
		}
		var names []string
		for _, s := range cautions(list, 1e5) {
			if strings.HasPrefix(s, "may spark, ") {
				names = append(names, strings.Fields(strings.TrimPrefix(s, "may spark, "))[0])
			}
		}
		return strings.Join(names, " ")
	}
	cases{
		{gain(0.12345, estimation.AssumedShare), "0.123 ± 0.123"}, {gain(0.12345, estimation.AssumedHandExponent), "0.123 ± 0.123"}, {gain(0.12345, estimation.AssumedCoupled), "0.123 ± 0.123"},
		{gain(0.12345/1.96, estimation.AssumedTolerance), "12 %, a bound taken as 95 %"}, {gain(0.12345, estimation.AssumedEnds), "0.123 of the winding's length, within a factor of 0.12"},
		{gain(0.12345, estimation.AssumedMoved), "12.3 % of the winding's, within a factor of 0.12"}, {gain(0.12345, estimation.AssumedHandOffset), "12.3 cm, within a factor of 0.12"},
		{interval(false), "0.980 to 1.020 mH"}, {interval(true), "0.980 to 1.020 mH by profile likelihood"},
		{input(true, 1), "line 1, bare"}, {input(true, 0), "1 reading bare"}, {input(false, 1), "1 reading bare"},
		{segment(0), "scope.csv"}, {segment(1), "scope.csv, segment 1"}, {segment(2), "scope.csv, segment 2"},
		{stray(0.5e-12), "Not moved stray capacitance (to ± 20 %)"}, {stray(-0.5e-12), "Not moved stray capacitance (to ± 20 %)"},
		{primary(), "At resonance: k² = 1 − (f_open/f_short)², the coil bare or with the core; of the windings: with the same current in all turns.|Core rod takes the coupling at resonance to 1.50 times that in air."},
		{limits(), "uncertainty of the readings"}, {limits(estimation.AssumedDigits), "uncertainty of the readings, from their digits"}, {limits(estimation.AssumedTolerance), "uncertainty of the readings"},
		{drawing(0), ""}, {drawing(0, 1.9, -1.9), "Drawing consistent with the readings"},
		{drawing(0, 6.4, 1.9), "Drawing inductance in air as measured +10 % against the drawing (6.4 σ)"}, {drawing(0, -6.4, 2), "Drawing inductance in air as measured +10 % against the drawing (6.4 σ); inductance in air as measured +10 % against the drawing (2.0 σ)"},
		{now(estimateOf(quantities.StrayCapacitance, "F", 0.05e-12, 0.004e-12)), "0.0500 ± 0.0040 pF"},
		{quality(0, 1), "no degrees of freedom: χ² has no meaning"}, {quality(1, 1), "χ² = 6 with 1 degree of freedom"}, {quality(2, 1), "χ² = 6 with 2 degrees of freedom"},
		{quality(0, -1), "no degrees of freedom: χ² has no meaning"}, {quality(1, -1), "for comparison, the lumped model: χ² = 11"},
		{covered(0.123456, 0.456789), "98.8 % covered is beyond the 12.3 to 45.7 % read with this core"},
		{picofarads(0), "0 pF"}, {picofarads(1e-12), "1.00 pF"}, {picofarads(1e-10), "100 pF"},
		{yes(beat(0.9), "; they make only 0.9 of a beat while they last, so that one ring whose frequency moves, or the average of rings of different frequencies, would look the same"), "true"}, {yes(beat(1), "of a beat while they last"), "false"},
		{twice(12, 34), "true"}, {twice(0, 34), "false"}, {twice(12, 0), "false"}, {twice(0.5, 0.25), "false"},
		{settingText(decisions.ByCovered, 0.123456), "12.3 % covered"}, {settingText(decisions.ByHand, 51), "nobody near"}, {settingText(decisions.ByHand, 0.123456), "a hand at 12.3 cm"}, {settingText(decisions.ByAdded, 0), "nothing added"}, {settingText(decisions.ByAdded, 12.3456e-12), "12.3 pF added"},
		{controlLabel(decisions.ByAdded) + controlLabel(decisions.ByCovered) + controlLabel(decisions.ByHand), "To addCoveredHand at"},
		{sparks(), ""}, {sparks(voltage.Gap{Kind: voltage.BetweenTurns, Share: 1, Distance: 1e-3}), "bare: core"},
	}.check(t)
}

// What a finding of scatter adds: what repeats show, a remedy where only a robust fit helps, both or nothing.
func TestScatterIsToldWithWhatHelps(t *testing.T) {
	const say = "the readings scatter 2.5 times as much as their stated uncertainties (p = 0.0012): all uncertainties are multiplied by this Birge ratio"
	const repeats = "; readings of one state have a standard deviation of 0.012 %, 12 times their ±: state 0.012 % in a column frequency ± of the log"
	const robust = "; if a few readings are far off and the others agree, --robust fits the others"
	r := &findings.Repeats{Ratio: 11.6, Relative: 1.23e-4, PValue: 0.4}
	for _, c := range []struct {
		repeats *findings.Repeats
		robust  bool
		want    string
	}{{nil, false, say}, {nil, true, say + robust}, {r, false, say + repeats}, {r, true, say + repeats + robust}} {
		if got := Sentence(findings.Finding{Kind: findings.ScatterExceeds, Value: 2.53, Other: 0.0012, Repeats: c.repeats, Robust: c.robust}); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// A state keeps its core when it is carried on, however little the core covers.
func TestCarriedCoreKeepsItsStretch(t *testing.T) {
	s := readings.Bare()
	s.Core, s.To = "rod", 0.3
	got := carriedSession(&estimation.Earlier{States: []readings.State{s}, Hertz: []float64{1e6}, Relative: []float64{1e-4}}).Readings[0]
	if got.Covered == nil || *got.Covered != [2]float64{0, 0.3} {
		t.Errorf("%+v", got)
	}
}

// What a drawing's numbers are of, and what stands beside them.
func TestDrawingsInWords(t *testing.T) {
	for _, c := range [][2]string{
		{drawnName(ofCore("", estimateOf(quantities.CoreGain, "1", 2, 0.1))), "core gain, beads all along the winding"}, {drawnName(ofCore("rod", estimateOf(quantities.CoreGain, "1", 2, 0.1))), "core gain, rod all along the winding"},
		{drawnName(ofCore("rod", estimateOf(quantities.QualityCore, "1", 2, 0.1))), "quality factor by core rod's material"}, {drawnName(estimateOf("gain_as_placed", "1", 2, 0.1)), "gain as placed, beads"},
		{drawnName(estimateOf("capacitance_core", "F", 2, 0.1)), "capacitance core, beads"}, {drawnName(ofCore("rod", estimateOf("inductance_with", "H", 2, 0.1))), "inductance with, rod"},
		{drawnName(estimateOf(quantities.Inductance, "H", 2, 0.1)), "inductance in air"},
	} {
		if c[0] != c[1] {
			t.Errorf("%q, want %q", c[0], c[1])
		}
	}
	m := estimateOf("", "F", 1.1e-12, 1e-14)
	for _, c := range []struct {
		cross drawing.CrossCheck
		full  bool
		want  string
	}{
		{drawing.CrossCheck{Shape: 12.345, Drawn: estimateOf("", "F", 1e-12, 1e-14)}, true, "Cross-check self-capacitance of the winding alone 1.000 ± 0.010 pF; Medhurst's table of measured coils (1947) has none of length over diameter 12.3"},
		{drawing.CrossCheck{Shape: 1, Drawn: estimateOf("", "F", 1e-12, 1e-14), Measured: &m}, false, "Cross-check self-capacitance of the winding alone, without ball and core, 1.000 ± 0.010 pF; coils of its length over diameter (1) measured by Medhurst (1947): 1.100 ± 0.010 pF, +10 %"},
		{drawing.CrossCheck{Shape: 2, Drawn: estimateOf("", "F", 1e-12, 1e-14), Measured: &m}, true, "+10 % Coils of this shape agree with the drawing within some 5 %, on a solid former."},
		{drawing.CrossCheck{Shape: 2.1, Drawn: estimateOf("", "F", 1e-12, 1e-14), Measured: &m}, true, "+10 % Medhurst's long coils had leads and supports beside them, whose capacitance is in his values: on a bench, expect some of that as stray capacitance."},
		{drawing.CrossCheck{Shape: 0.69, Drawn: estimateOf("", "F", 1e-12, 1e-14), Measured: &m}, true, "+10 % For short coils, leads and the thickness of the turns matter; the drawing has neither."},
	} {
		if got := writes(func(t *text) { t.crossCheck(&c.cross, View{Full: c.full}) }); !strings.HasSuffix(got, c.want) {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	d := drawnCoil()
	d.Drawing.Coil.Ring.Diameter, d.Drawing.Coil.Ring.Slit = 3*d.Drawing.Coil.Diameter, false
	c := cross(d)
	text := flat(t, func(w io.Writer) error { return CoilText(w, d, &c, 0, Source{}, View{Full: true}) })
	if words := metalWords(d); len(words) != 1 || !strings.Contains(text, " Metal "+strings.Join(strings.Fields(strings.ReplaceAll(words[0], noBreak, " ")), " ")) {
		t.Errorf("no %q in\n%s", words, text)
	}
}

func drawnName(e quantities.Estimate) string { return drawnLabel(&e) }

// Parts of one name and stated value that differ between sessions are named in a comparison; those to be found aren't.
func TestPartsThatMovedAreNamed(t *testing.T) {
	r := consistent()
	r.Session.Log.Parts = []readings.Part{{Name: "4.7 pF", Known: true}, {Name: "spike"}, {Name: "10 pF", Known: true}}
	part := func(name string, moved bool) decisions.Change {
		return changed(ofPart(name, estimateOf(quantities.PartCapacitance, "F", 4.7e-12, 1e-14)), 5e-12, 1e-14, moved, false)
	}
	c := decisions.Comparison{SplitA: true, SplitB: true, Changes: []decisions.Change{part("4.7 pF", true), part("spike", true), part("10 pF", true)}}
	const say = ": parts stay what they are, so that either other parts were used, or the readings scatter more than their ±, and all differences are less certain than told"
	for _, k := range []struct {
		moved [3]bool
		want  string
	}{{[3]bool{true, true, true}, "4.7 pF, 10 pF" + say}, {[3]bool{false, true, true}, "10 pF" + say}, {[3]bool{false, true, false}, ""}} {
		for i, m := range k.moved {
			c.Changes[i].Moved = m
		}
		if got := partsMoved(c, r); got != k.want {
			t.Errorf("%v: %q, want %q", k.moved, got, k.want)
		}
		text := flat(t, func(w io.Writer) error {
			return CompareText(w, c, [2]*model.Result{r, consistent()}, [2]Source{{Log: "a.csv"}, {Log: "b.csv"}}, View{})
		})
		if got := strings.Contains(text, " Parts "+k.want); got != (k.want != "") {
			t.Errorf("%v: %q", k.moved, text)
		}
	}
}
