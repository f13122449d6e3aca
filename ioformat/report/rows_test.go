package report

import (
	"io"
	"math"
	"strings"
	"testing"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// rows are those of a table, a bar between cells, so that an empty one has its place too.
func rows(t *Table) (list []string) {
	for _, r := range t.Rows {
		list = append(list, strings.ReplaceAll(strings.Join(r, "|"), noBreak, " "))
	}
	return list
}

// What a table says stands below its heading, also where a neighbour is empty; what the readings don't determine is
// said in place of a value, and no number of a row before it comes again.
func TestRowsStandBelowTheirHeadings(t *testing.T) {
	shared := estimateOf(quantities.EffectiveInductance, "H", 1e-3, 20e-6)
	shared.Budget = quantities.Budget{Readings: 0.2, Tolerance: 0.3, Known: 0.0101, Assumed: 0.0099, Model: 0.48}
	byProfile := estimateOf(quantities.Impedance, "Ω", 15.7e3, 300)
	byProfile.ByProfile = true
	group := Group{Estimates: []quantities.Estimate{shared, openEstimate(quantities.Inductance, "H"), byProfile}}
	drift := estimateOf(quantities.Drift, "1/h", 120e-6, 30e-6)
	drift.Coverage = 1e9
	checks := []estimation.Check{{Drawn: estimateOf(quantities.TopCapacitance, "F", 1e-12, 0.02e-12), Readings: openEstimate("", "F"), Sigmas: math.NaN()},
		{Drawn: estimateOf(quantities.Inductance, "H", 1e-3, 12e-6), Readings: estimateOf("", "H", 1.1e-3, 10e-6), Sigmas: 6.4}}
	y := estimateOf(quantities.Inductance, "H", 1e-3, 10e-6)
	none := estimation.Input{Source: estimation.Source{Kind: estimation.PartSource, Part: "10 pF", Share: 1e-20}, Value: 10e-12, Unit: "F", Uncertainty: 0.1e-12, Sensitivity: 1e4, Contribution: 1e-15}
	logarithm := estimation.Input{Source: estimation.Source{Kind: estimation.AssumptionSource, Assumption: estimation.Assumption{Kind: estimation.AssumedHandOffset}, Share: 0.378}, Value: 0.05, Unit: "m", Logarithmic: true, Uncertainty: 0.123, Sensitivity: 50e-6, Contribution: 6.15e-6}
	relative := estimation.Input{Source: estimation.Source{Kind: estimation.ModelSource, Share: 0.0847}, Unit: "1", Uncertainty: 0.00234, Sensitivity: 1.244e-3, Contribution: 2.911e-6}
	linear, doubtful := estimateOf(quantities.EffectiveInductance, "H", 1e-3, 20e-6), estimateOf(quantities.Inductance, "H", 1.2e-3, 30e-6)
	profiles, _ := ProfilesTable([]estimation.Profiled{{Estimate: &linear, Profile: [2]float64{0.9621e-3, 1.0419e-3}}, {Estimate: &doubtful, Better: true}}, true)
	open := decisions.Prediction{State: readings.Bare(), Frequency: openEstimate("frequency", "Hz")}
	log := log(0, 4.7)
	log.Readings[0].Frequency, log.Readings[0].Uncertainty = 999600, 30
	log.Readings[1].Frequency, log.Readings[1].Uncertainty, log.Readings[1].Use = 900e3, 40, false
	log.Readings[1].Repeats = &readings.Repeats{Count: 5, Last: 9, Deviation: 120}
	r := fittedInvented(t)
	r.Readings = r.Readings[:2]
	for i := range r.Readings {
		o := &r.Readings[i]
		o.Reading, o.Fitted, o.Residual, o.Weighed, o.Standardised = log.Readings[i], log.Readings[i].Frequency+20, -20, 30, -0.7
	}
	unknown := decisions.Reached{By: decisions.ByHand, Setting: estimateOf("", "m", 0.1, 0.01), Closest: 0.2, At: predicted(readings.Bare())} // out of reach, whatever its setting says
	ways := Ways{Controls: []decisions.Reached{unknown, {By: decisions.ByHand, At: open}},
		Redrawn: []Redrawn{{Name: "turns", Unit: quantity.UnitFor(1, 0, ""), Present: 300, Redrawn: decisions.Redrawn{Setting: estimateOf("", "1", 352, 4), Closest: 300}}}}
	for _, c := range []struct {
		of   string
		t    *Table
		want []string
	}{
		{"estimates", group.Table(), []string{"effective inductance|1.000|0.020|mH|0.960 to 1.040|readings 20 %, tolerances 30 %, known values 1 %, model 48 %", "inductance in air|not determined||||", "characteristic impedance|15.70|0.30|kΩ|15.10 to 16.30*|"}},
		{"in full", group.values(), []string{"effective inductance|1.000|0.020|mH|0.960 to 1.040", "inductance in air|not determined|||", "characteristic impedance|15.70|0.30|kΩ|15.10 to 16.30*"}},
		{"drift", (&Group{Estimates: []quantities.Estimate{drift}}).values(), []string{"drift|120|30|ppm/h|60 to 180"}},
		{"drawing", Checks(checks), []string{"top capacitance|1.000|0.020|not determined||pF||", "inductance in air|1.000|0.012|1.100|0.010|mH|+10 %|+6.4"}},
		{"budget", budgetTable([]estimation.Input{none, logarithm, relative}, &y, units{}.of(1e-3, 1e-5, "H"), 9, true), []string{"tolerance of 10 pF|10.00 pF|0.10 pF|0|0|0.0 %",
			"offset of the hand's law|50.0 mm|ln: 0.12|0.050 mH|0.0062 mH|37.8 %", "model, core partly in|0|0.23 %|0.012 mH/%|0.0029 mH|8.5 %", "y, root sum of squares|1.000 mH|||0.0068 mH|100 %"}}, // √(6.15² + 2.911²) = 6.80
		{"profiles", profiles, []string{"effective inductance|0.960 to 1.040|0.962 to 1.042|mH|0.020", "inductance in air|1.140 to 1.260|a better fit exists|mH|0.030"}},
		{"predictions", predictions([]decisions.Prediction{open, predicted(readings.Bare())}, nil, true), []string{"bare|not determined||||", "bare|2.0000|0.0030|MHz|1.9940 to 2.0060|1.9920 to 2.0080"}},
		{"effects", effectTable([]decisions.Effect{{Estimate: openEstimate("stored_energy", "J"), Ratio: estimateOf("", "1", 0.5, 0.02)}}), []string{"stored energy||||0.500|0.020"}},
		{"read", readingsRead(log), []string{"2|1||999.600|0.030|kHz|the log|bare", "3-9|5|120 Hz|900.000|0.040|kHz|all of them|b (not used)"}},
		{"residuals", Readings(r), []string{"2|bare|1||999.600|999.620|-0.020 kHz|-0.7|", "3-9|b|5|120 Hz|900.000|900.020|-0.020 kHz|-0.7|not used"}},
		{"ways", waysTable(ways), []string{"hand at|out of reach|at the closest, a hand at 20 cm, 2.0000 ± 0.0030 MHz", "hand at|not determined by these readings|", "turns|out of reach|now 300; a change hardly matters, or goes the other way"}},
	} {
		if got := rows(c.t); strings.Join(got, "\n") != strings.Join(c.want, "\n") {
			t.Errorf("%s:\n%s\nwant\n%s", c.of, strings.Join(got, "\n"), strings.Join(c.want, "\n"))
		}
		for _, row := range c.t.Rows {
			if len(row) != len(c.t.Columns) {
				t.Errorf("%s: %d cells below %d headings", c.of, len(row), len(c.t.Columns))
			}
		}
	}
	if got := heads(Readings(r)); got != "line> state< readings> scatter> read kHz> fitted> residual> standardised> <" {
		t.Errorf("%q", got)
	}
	moved := changed(ofCore("rod", estimateOf(quantities.InductanceWithCore, "H", 0.9e-3, 1e-6)), 1.1e-3, 8e-6, true, true)
	if got, want := strings.Join(changeCells(&moved), "|"), "core rod, inductance with core|900.0|1100.0|µH|200.0|8.0|+25.0"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// Each prior's row has what it is, what was believed and is known now, by how much the fit moved it, its share and what replaces it.
func TestPriorsHaveTheirColumns(t *testing.T) {
	r := mustFit(t, estimation.Session{Log: log(0, 2.2, 4.7, 10), Known: []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.25e-3, Uncertainty: 10e-6}}})
	tab, _ := MovedPriors(r)
	list := r.MovedPriors()
	if len(list) < 3 {
		t.Fatalf("%d priors", len(list))
	}
	numbers := func(s string) bool { return strings.Contains(s, "±") }
	for i, b := range list {
		row := tab.Rows[i]
		if moved := quantity.SignedDecimals(b.Moved(), 1); strings.TrimLeft(row[3], "+-") != strings.TrimLeft(moved, "+-") || numbers(row[3]) || !numbers(row[1]) || !numbers(row[2]) || !strings.HasSuffix(row[4], "%") {
			t.Errorf("%q, moved by %s", row, moved)
		}
	}
}

// A table says in its heading what is shown of it, and in a sentence below what isn't.
func TestTablesTellWhatTheyLack(t *testing.T) {
	same := estimateOf(quantities.EffectiveInductance, "H", 1e-3, 20e-6)
	_, summary := ProfilesTable([]estimation.Profiled{{Estimate: &same, Profile: [2]float64{0.96e-3, 1.04e-3}}, {Estimate: &same, Profile: [2]float64{0.959e-3, 1.041e-3}}}, false)
	if want := "The linear intervals of all 2 quantities agree with these within a tenth of the standard uncertainty."; summary != want {
		t.Errorf("%q, want %q", summary, want)
	}
	r := fittedInvented(t)
	r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"}).ByProfile = true
	r.Find(quantities.Key{Name: quantities.Drift}).Determined = false
	r.Assumed = []estimation.Assumption{{Kind: estimation.AssumedCommon, Names: []string{"a"}, Value: 0.7, Share: math.NaN(), Moved: math.NaN()}}
	src := Source{Log: "evening.csv", SHA256: "abc123", Program: &Program{Version: "0.2"}}
	full := func() string {
		return flat(t, func(w io.Writer) error { return FitText(w, r, decisions.Planned{}, nil, src, View{Full: true}) })
	}
	text := full()
	for _, want := range []string{" * by profile likelihood, where the linear interval would be off by more than a tenth of ± ",
		" Priors and defaults (stated nowhere; share: of the variance of the effective inductance) - tolerances in common, a: 70 % of their variance replaced by the word common or own behind a tolerance", " lead capacitance 20 70 10 How well the model ", " To cite Effective inductance 1.000(20) mH"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	if r.Findings = contradictory().Findings; strings.Contains(full(), "To cite") {
		t.Error("a contradiction is to be cited")
	}
}

// Rows of CSV end with a line feed alone, the last one too; cells with commas, quotes or line ends are quoted (RFC 4180).
func TestLinesOfCSV(t *testing.T) {
	var b strings.Builder
	if err := writeCSV(&b, []string{"name", "of"}, [][]string{{"a,b", `say "x"`}, {"", "two\nlines"}}); err != nil || b.String() != "name,of\n\"a,b\",\"say \"\"x\"\"\"\n,\"two\nlines\"\n" {
		t.Errorf("%q, %v", b.String(), err)
	}
}
