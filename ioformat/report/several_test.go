package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"testing"

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

// twoOfEach is a fit with two cores, hands, couplings and losses, the second of each told apart by its numbers.
func twoOfEach(t *testing.T) *model.Result {
	r := fittedInvented(t)
	r.Contrasts = []readings.Contrast{{Core: "rod", Ratio: 0.512, Pairs: 1, Uncertainty: math.NaN()}, {Core: "bead", Quality: true, Ratio: 0.8, Uncertainty: 0.05, Pairs: 3}}
	r.Parameters = append(r.Parameters, ofCore("bead", estimateOf(quantities.CoreGain, "1", 1.5, 0.02)))
	for _, e := range r.Derived {
		if e.Core == "rod" {
			e.Core, e.Value = "bead", e.Value/2
			r.Derived = append(r.Derived, e)
		}
	}
	nearest := slices.IndexFunc(r.Derived, func(e quantities.Estimate) bool { return e.Hand == 0.1 })
	r.Derived[0], r.Derived[nearest] = r.Derived[nearest], r.Derived[0] // a hand begins the list
	r.Derived = append(r.Derived, estimateOf(quantities.QualityWinding, "1", 100, 5), ofCore("bead", estimateOf(quantities.QualityCore, "1", 90, 5)), estimateOf(quantities.CouplingAtResonance, "1", 0.2, 0.01),
		ofCore("rod", estimateOf(quantities.CouplingAtResonance, "1", 0.3, 0.01)), ofCore("bead", estimateOf(quantities.CouplingAtResonance, "1", 0.4, 0.01))) // and a coupling ends it
	return r
}

// Of several cores, couplings, hands and losses each is told, with its own.
func TestEachOfSeveral(t *testing.T) {
	r := twoOfEach(t)
	for _, g := range Groups(r) {
		for _, e := range g.Estimates {
			if g.Core != "" && (e.Core != g.Core || g.Title != "Core "+g.Core) {
				t.Errorf("%s of %q in %q", e.Name, e.Core, g.Title)
			}
		}
		words := strings.ReplaceAll(strings.Join(g.Words, "|"), noBreak, " ")
		for of, want := range map[string]string{"Core rod": "The apparent gain counts the core's capacitance, 0.200 ± 0.050 pF, and its place along the winding as inductance.|The pickup amplitude with the core is that without it × 0.512 (1 pair of readings).",
			"Core bead":   "The apparent gain counts the core's capacitance, 0.100 ± 0.050 pF, and its place along the winding as inductance.|The quality factor with the core is that without it × 0.800 ± 0.050 (3 pairs of readings).",
			"The primary": "At resonance: k² = 1 − (f_open/f_short)², the coil bare or with the core; of the windings: with the same current in all turns.|Core rod takes the coupling at resonance to 1.50 times that in air.|Core bead takes the coupling at resonance to 2.00 times that in air."} {
			if g.Title == of && words != want {
				t.Errorf("%s: %q, want %q", of, words, want)
			}
		}
	}
	first := r.Find(quantities.Key{Name: quantities.CouplingAtResonance})
	if words := primaryWords(r, []quantities.Estimate{*first}); len(words) != 1 {
		t.Errorf("%q", words)
	}
	for _, c := range [][2]string{
		{writes(func(t *text) { t.couplings(r) }), "Coupling core out 0.200 ± 0.010, core rod 0.300 ± 0.010, core bead 0.400 ± 0.010"},
		{writes(func(t *text) { t.hand(r, 0) }), "Hand near at 10 cm − 25.00 ± 0.50 kHz; at 20 cm − 8.00 ± 0.50 kHz"},
		{writes(func(t *text) { t.losses(r) }), "Q factor by winding 100.0 ± 5.0, core bead, and winding with it 90.0 ± 5.0"},
		{yes(writes(func(t *text) { t.core(r, "bead") }), "Q factor × 0.800 ± 0.050 (3 pairs of readings)"), "true"},
	} {
		if c[0] != c[1] {
			t.Errorf("%q, want %q", c[0], c[1])
		}
	}
	r.Findings = contradictory().Findings
	for _, g := range Groups(r) {
		if !strings.HasSuffix(g.Title, contradictedMark) {
			t.Errorf("%q", g.Title)
		}
	}
}

// Of several warnings, doubts and notes each is told, in text and in JSON, before any number.
func TestEachWarningIsTold(t *testing.T) {
	finding := func(k findings.FindingKind, name string, line int) findings.Finding {
		return findings.Finding{Kind: k, Name: name, Line: line, Value: 5, Other: 4}
	}
	doubts := []findings.Finding{finding(findings.PartOffTolerance, "roof", 0), finding(findings.PartOffTolerance, "spike", 0)}
	warnings := []findings.Finding{finding(findings.ReadingSuspect, "", 3), finding(findings.ReadingSuspect, "", 7)}
	for _, f := range warnings {
		if !Warns(f) {
			t.Fatal("no warning")
		}
	}
	notes := []findings.Finding{finding(findings.ReadingsSlow, "", 11), finding(findings.ReadingsSlow, "", 12)}
	for i := range notes {
		if !noted(notes[i]) {
			notes[i] = findings.Finding{Kind: findings.ReadingsUnchecked, Lines: []int{11 + i}}
		}
		if !noted(notes[i]) {
			t.Fatal("no note")
		}
	}
	r := consistent()
	for _, list := range [][]findings.Finding{doubts, warnings, notes} {
		r.Findings = append(r.Findings, list...)
	}
	src := Source{Log: "a.csv", Warnings: []string{"one column was left out", "another was taken as notes"}}
	say := func(list []findings.Finding, before string) (out []string) {
		for _, f := range list {
			out = append(out, before+Sentence(f))
		}
		return out
	}
	once := func(what, text string, list ...string) {
		t.Helper()
		for _, s := range list {
			if n := strings.Count(text, strings.ReplaceAll(s, noBreak, " ")); n != 1 {
				t.Errorf("%s: %q stands %d times in\n%s", what, s, n, text)
			}
		}
	}
	in := func(terse int) string { return writes(func(t *text) { t.warnings(r, src, terse) }) }
	once("in full", in(everything), append(append(say(doubts, ""), say(warnings, "")...), src.Warnings...)...)
	once("in brief", in(0), append(append(say(doubts, ""), say(warnings, "")...), src.Warnings...)...)
	two := writes(func(t *text) {
		t.warningsOf([]string{"A", "B"}, []*model.Result{r, r}, []Source{src, {}}, everything)
	})
	once("two sessions", two, append(append(say(doubts, "A: "), say(doubts, "B: ")...), src.Warnings...)...)
	told := src.told(r)
	if got, want := strings.Join(told.Warnings, "|"), strings.Join(append(append([]string{}, src.Warnings...), append(say(doubts, ""), say(warnings, "")...)...), "|"); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := strings.Join(told.Notes, "|"), strings.Join(say(notes, ""), "|"); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	sum := jsonTold{Notes: []string{"first"}}
	sum.add("B: ", told)
	if got, want := strings.Join(sum.Notes, "|"), "first|"+strings.Join(say(notes, "B: "), "|"); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got := len(sum.Warnings); got != len(told.Warnings) || !sum.Contradicted {
		t.Errorf("%+v", sum)
	}
}

// Of several sweeps, tones, points, standard values and states each stands in JSON and CSV, with its own name.
func TestEachOfSeveralInFiles(t *testing.T) {
	c := inventedCapture()
	if j := captured(&c); len(j.Modes) != 2 || len(j.Tones) != 3 || len(j.Bursts) != 2 || len(j.LeftOut) != 2 {
		t.Errorf("%d modes, %d tones, %d bursts, %d left out", len(j.Modes), len(j.Tones), len(j.Bursts), len(j.LeftOut))
	}
	count := func(what string, write func(w io.Writer) error, list ...string) {
		t.Helper()
		text := flat(t, write)
		for _, s := range list {
			if strings.Count(text, s) != 1 {
				t.Errorf("%s: %q stands %d times in\n%s", what, s, strings.Count(text, s), text)
			}
		}
	}
	e := func(v float64) decisions.Prediction {
		p := predicted(readings.Bare())
		p.Frequency.Value = v
		return p
	}
	sweep := NewSweep("turns", []float64{500, 600}, func(v float64) string { return fmt.Sprint(v) }, []decisions.SweepPoint{{Frequency: e(1e6).Frequency}, {Frequency: e(2e6).Frequency}})
	count("sweep", func(w io.Writer) error { return SweepJSON(w, consistent(), sweep, Source{}) }, `"value": 500,`, `"value": 600,`)
	count("sweep", func(w io.Writer) error { return SweepCSV(w, sweep) }, "turns = 500", "turns = 600")
	reach := decisions.Reached{By: decisions.ByAdded, Reachable: true, Setting: estimateOf("", "F", 5e-12, 1e-13), At: e(1e6), Start: readings.Bare(),
		Values: []readings.Part{{Capacitance: 4.7e-12}, {Capacitance: 5.6e-12}}, Standard: []decisions.Prediction{e(1.1e6), e(0.9e6)}}
	parts := []readings.Part{{Name: "3.3 pF", Capacitance: 3.3e-12, Known: true}, {Name: "1.5 pF", Capacitance: 1.5e-12, Known: true}}
	hands := []decisions.Prediction{e(1.2e6), e(0.8e6)}
	for i := range hands {
		hands[i].State.Parts = []int{i}
	}
	ways := Ways{Target: 1e6, From: e(2e6), Controls: []decisions.Reached{reach}, Parts: parts, AtHand: hands}
	if got := reached(&reach, nil).Standard; len(got) != 2 || got[0].Capacitance != 4.7e-12 || got[1].Capacitance != 5.6e-12 || got[1].Frequency.Value == nil || *got[1].Frequency.Value != 0.9e6 {
		t.Errorf("%+v", got)
	}
	count("ways", func(w io.Writer) error { return WaysCSV(w, ways) }, `"4.7 pF, standard value"`, `"5.6 pF, standard value"`, `"3.3 pF, at hand"`, `"1.5 pF, at hand"`)
	count("ways", func(w io.Writer) error { return WaysText(w, consistent(), ways, Source{}, View{}) }, "standard value 4.7 pF", "standard value 5.6 pF", "parts at hand 3.3 pF", "parts at hand 1.5 pF")
	count("ways", func(w io.Writer) error { return WaysJSON(w, consistent(), ways, Source{}) }, `"target": 1000000, "unit": "Hz"`)
	d := &drawing.Drawn{Estimates: []quantities.Estimate{estimateOf(quantities.Inductance, "H", 1e-3, 1e-5), ofCore("rod", estimateOf(quantities.CoreGain, "1", 2, 0.1)), ofCore("bead", estimateOf(quantities.CoreGain, "1", 2, 0.1))}}
	count("drawing", func(w io.Writer) error { return CoilCSV(w, d) }, "inductance,,", "core_gain,rod,", "core_gain,bead,")
	l, m := estimateOf(quantities.Inductance, "H", 1e-3, 1e-5), estimateOf(quantities.TopCapacitance, "F", 1e-12, 1e-14)
	if j := monteCarlo(&estimation.MonteCarlo{Quantities: []estimation.Propagated{{Estimate: &l}, {Estimate: &m}}}); len(j.Quantities) != 2 || j.Quantities[0].Name != quantities.Inductance || j.Quantities[1].Name != quantities.TopCapacitance {
		t.Errorf("%+v", j)
	}
	list := []stressed{{name: "bare", Stress: &voltage.Stress{}}, {name: "core rod", Stress: &voltage.Stress{}}}
	heat := []estimation.Heat{{Key: quantities.Key{Name: quantities.QualityWinding}, PerSquare: 1e-8}}
	list[0].heats, list[1].heats = heat, heat
	if j := voltagesJSON(list, 1e4); len(j) != 2 || j[0].State != "bare" || j[1].State != "core rod" {
		t.Errorf("%+v", j)
	}
	if got, want := strings.ReplaceAll(strings.Join(heats(list, 1e4), "|"), noBreak, " "), "power lost, bare, ringing steadily: winding 1.0 W|power lost, core rod, ringing steadily: winding 1.0 W"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// Of several things that are said of one, none replaces another.
func TestNoneReplacesAnother(t *testing.T) {
	words := strings.Join(comparedWords(decisions.Comparison{Tested: 30}, everything), "|")
	if want := "neither session separates inductance and capacitance: of the coil itself, only L × C and what follows from frequencies is compared|30 differences tested; at 95 % each, about 1.5 would seem to move by chance"; words != want {
		t.Errorf("%q, want %q", words, want)
	}
	open := func(name string) decisions.Change {
		c := changed(estimateOf(name, "F", 1e-12, 1e-14), 1e-12, 1e-14, false, false)
		c.Difference.Determined = false
		return c
	}
	all := func(*decisions.Change) bool { return true }
	if got := writes(func(t *text) {
		t.unmoved([]decisions.Change{open(quantities.StrayCapacitance), open(quantities.EffectiveCapacitance)}, all, 0)
	}); got != "Not determined stray capacitance; effective capacitance" {
		t.Errorf("%q", got)
	}
	left := writes(func(t *text) {
		t.usedShare(&ringing.Result{Used: 0.5, Left: []ringing.Left{{End: 1e-6, Why: ringing.BeforeRing}, {Start: 4e-6, End: 6e-6, Why: ringing.OtherRing}}})
	})
	if want := "left out: 1.00 µs " + ringing.BeforeRing.String() + ", 2.00 µs " + ringing.OtherRing.String(); !strings.HasSuffix(left, want) {
		t.Errorf("%q, want %q", left, want)
	}
	r := fittedInvented(t)
	r.Quality.Scale = 1.52
	r.Findings = []findings.Finding{{Kind: findings.ScatterExceeds, Repeats: &findings.Repeats{Ratio: 3.4, Relative: 1e-4, PValue: 0.03}}}
	quality := strings.Join(Quality(r), "|")
	for _, want := range []string{"|uncertainties of the readings multiplied by the Birge ratio 1.52|", "|with the stated ones the effective inductance would be known to ± 0.010 mH|", "|readings of one state scatter 3.4 times as much as stated; test of lack of fit against that: p = 0.03|"} {
		if !strings.Contains(quality, want) || !strings.HasPrefix(quality, "converged|χ² = 6 with 5 degrees of freedom") {
			t.Errorf("no %q in %q", want, quality)
		}
	}
	log := log(0, 4.7)
	log.Readings[0].Frequency, log.Readings[1].Frequency = 0.9e6, 1.9e6
	log.Readings[1].Repeats = &readings.Repeats{Count: 5}
	tab := readingsRead(log)
	if got := heads(tab); got != "line> readings> scatter> frequency> ±< < ± from< state<" {
		t.Errorf("%q", got)
	}
	if got := strings.Join(tab.Rows[0], " ") + strings.Join(tab.Rows[1], " "); strings.Count(got, "MHz") != 2 {
		t.Errorf("%q", got)
	}
	known := &quantities.Known{}
	source := func(share float64) estimation.Source {
		return estimation.Source{Kind: estimation.KnownSource, Known: known.Key, Share: share}
	}
	if got := movedShare(&estimation.MovedPrior{Kind: estimation.KnownSource}, []estimation.Source{source(0.25), {Kind: estimation.BareReadings, Share: 0.125}, source(0.5)}); got != 0.75 {
		t.Errorf("%v", got)
	}
	titles := []Channel{{Capture: inventedCapture().Capture, Result: inventedCapture().Result}, {Capture: inventedCapture().Capture, Result: inventedCapture().Result}}
	a, b := *titles[0].Capture, *titles[1].Capture
	a.Title, a.Call, b.Title, b.Call = "CH1", "1", "CH2", "2"
	titles[0].Capture, titles[1].Capture = &a, &b
	if got := TookChannel(titles, 1); got != "only CH2 rings, and is taken; CH1: a decaying tone of 1.235 MHz" {
		t.Errorf("%q", got)
	}
	problem, do := ManyChannels(titles)
	if problem != "several columns hold a tone: CH1: a decaying tone of 1.235 MHz; CH2: a decaying tone of 1.235 MHz" || do != "choose that of the probe at the coil, as in --column 1" {
		t.Errorf("%q, %q", problem, do)
	}
}
