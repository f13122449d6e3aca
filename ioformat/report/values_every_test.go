package report

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// inputFields of an uncertainty budget.
var inputFields = [][2]string{{"line", "Line"}, {"value", "Value"}, {"standard_uncertainty", "Uncertainty"}, {"degrees_of_freedom", "Degrees"},
	{"sensitivity", "Sensitivity"}, {"contribution", "Contribution"}, {"share", "Share"}}

// fitTold is what the numbers of fit come from.
func fitTold() told {
	want := told{}.estimates(budgetFields, "parameters[i]", "Parameters[i]", "derived[i]", "Derived[i]").
		estimates(estimateFields, "drawing[i].drawn", "Checks[i].Drawn", "drawing[i].readings_alone", "Checks[i].Readings").
		with("quality", "Quality", qualityFields).with("repeat_scatter", "Findings[0].Repeats", scatterFields).with("alternative", "Alternative.Quality", qualityFields)
	want = append(want, told{{"drawing[i].sigmas", "Checks[i].Sigmas"}, {"contrasts[i].ratio", "Contrasts[i].Ratio"},
		{"contrasts[i].standard_uncertainty", "Contrasts[i].Uncertainty"}, {"contrasts[i].pairs", "Contrasts[i].Pairs"},
		{"assumed[i].share_of_inductance_variance", "Assumed[i].Share"},
		{"assumed[i].moved_by_sigmas", "Assumed[i].Moved"}, {"assumed[i].uncertainty_left", "Assumed[i].Left"}}...)
	return append(want, prefixed("readings[i].", "Readings[i].", readingTold)...)
}

// Each number that fit writes in JSON comes from the field of the result that it should, and so
// does what it is asked for besides.
func TestFitJSONNumbers(t *testing.T) {
	r, m := filled[model.Result]()
	checkNumbers(t, "fit", m, func(w io.Writer) error { return FitJSON(w, r, Extra{}, Source{}) }, fitTold())
	type more struct {
		R model.Result
		E Extra
	}
	f, m := filled[more]()
	f.E.MonteCarlo.Trials, f.E.MonteCarlo.Failed, f.E.MonteCarlo.Seed = 7001, 7002, 7003
	want := append(told{{"monte_carlo.trials", "7001"}, {"monte_carlo.failed", "7002"}, {"monte_carlo.seed", "7003"}}, prefixed("", "R.", fitTold())...).
		with("monte_carlo.quantities[i]", "E.MonteCarlo.Quantities[i]", [][2]string{{"mean", "Mean"}, {"standard_uncertainty", "Deviation"},
			{"shortest_interval_95[0]", "Shortest[0]"}, {"shortest_interval_95[1]", "Shortest[1]"},
			{"symmetric_interval_95[0]", "Symmetric[0]"}, {"symmetric_interval_95[1]", "Symmetric[1]"},
			{"numerical_tolerance", "Tolerance"}, {"low_end_differs_by", "Low"}, {"high_end_differs_by", "High"}}).
		with("profiles[i]", "E.Profiles[i]", [][2]string{{"interval_95[0]", "Profile[0]"}, {"interval_95[1]", "Profile[1]"}})
	checkNumbers(t, "fit with more", m, func(w io.Writer) error { return FitJSON(w, &f.R, f.E, Source{}) }, want)
}

// budgetOfMarks fills a budget; no name of its inputs holds a number.
func budgetOfMarks() (*Budget, marks) {
	b, m := filled[Budget]()
	for i := range b.Inputs {
		b.Inputs[i].Kind = estimation.CommonSource
	}
	b.State = nil
	return b, m
}

// Each number that budget writes in JSON comes from the field that it should; so it is with
// what fit is asked for besides, with several sessions, and with all ways to a frequency.
func TestBudgetJSONNumbers(t *testing.T) {
	b, m := budgetOfMarks()
	want := told{}.with("quantity", "Estimate", budgetFields).with("input_quantities[i]", "Inputs[i]", inputFields)
	checkNumbers(t, "budget", m, func(w io.Writer) error { return BudgetJSON(w, nil, *b, Source{}) }, want)
}

func TestConsensusJSONNumbers(t *testing.T) {
	a, m := filled[[]decisions.Agreed]()
	sessions := []Source{{Log: "a.csv"}, {Log: "b.csv"}}
	want := told{{"quantities[i].between_sessions", "[i].Between"}, {"quantities[i].p_value", "[i].PValue"},
		{"quantities[i].sessions[j].own_uncertainty", "[i].Own[j]"}, {"quantities[i].sessions[j].deviation", "[i].Deviations[j]"},
		{"quantities[i].sessions[j].sigmas", "[i].Sigmas[j]"}, {"quantities[i].sessions[j].value", "[i].Sessions[j].Value"},
		{"quantities[i].sessions[j].standard_uncertainty", "[i].Sessions[j].Uncertainty"}}
	for _, f := range estimateFields {
		want = append(want, [2]string{"quantities[i].consensus." + f[0], "[i]." + f[1]})
	}
	write := func(w io.Writer) error { return ConsensusJSON(w, make([]*model.Result, 2), *a, sessions) }
	checkNumbers(t, "consensus", m, write, want)
}

func TestWaysJSONNumbers(t *testing.T) {
	a, m := filled[Ways]()
	for i := range a.Redrawn {
		a.Redrawn[i].Reachable = false
	}
	reached := append(told{{"standard_values[j].capacitance", "Values[j].Capacitance"}}.
		with("setting", "Setting", budgetFields).with("standard_values[j].frequency", "Standard[j].Frequency", frequencyFields),
		prefixed("at.", "At.", predictionTold)...)
	// The effects of a prediction in a list have an index of their own.
	inList := func(place, from string) (out told) {
		for _, f := range prefixed(place, from, predictionTold) {
			out = append(out, [2]string{strings.Replace(f[0], "effects[i]", "effects[j]", 1), strings.Replace(f[1], "Effects[i]", "Effects[j]", 1)})
		}
		return out
	}
	want := told{{"target", "Target"}, {"drawing_changes[i].present", "Redrawn[i].Present"}, {"drawing_changes[i].closest_setting", "Redrawn[i].Closest"}}.
		with("drawing_changes[i].setting", "Redrawn[i].Setting", budgetFields)
	want = append(want, prefixed("from.", "From.", predictionTold)...)
	want = append(want, inList("parts_at_hand[i].", "AtHand[i].")...)
	want = append(want, inList("drawing_changes[i].at.", "Redrawn[i].At.")...)
	want = append(want, inList("ways[i].at.", "Controls[i].At.")...)
	for _, f := range reached {
		if !strings.HasPrefix(f[0], "at.") {
			want = append(want, [2]string{"ways[i]." + f[0], "Controls[i]." + f[1]})
		}
	}
	checkNumbers(t, "ways", m, func(w io.Writer) error { return WaysJSON(w, nil, *a, Source{}) }, want)
}

// checkTable wants each cell of a table in CSV that is a number to be of the field that its
// column should show: columns by head, rows in the order of sources, as places of estimates.
func checkTable(t *testing.T, name string, m marks, write func(w io.Writer) error, columns map[string]string, sources ...string) {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil || len(rows) != len(sources)+1 {
		t.Fatalf("%s: %d rows, want %d and a head: %v", name, len(rows), len(sources), err)
	}
	for i, row := range rows[1:] {
		shown := 0
		for k, cell := range row {
			v, err := strconv.ParseFloat(cell, 64)
			field := columns[rows[0][k]]
			if err != nil {
				continue
			}
			shown++
			if got := m.of[v]; field == "" || got != strings.TrimPrefix(sources[i]+"."+field, ".") {
				t.Errorf("%s: row %d: %s is %v, of %q, and should be %s of %s", name, i, rows[0][k], v, got, field, sources[i])
			}
		}
		if shown != len(columns) {
			t.Errorf("%s: row %d shows %d of %d numbers: %q", name, i, shown, len(columns), row)
		}
	}
}

// tidyColumns are those of all tables of estimates; what is quoted has ± in parentheses.
var tidyColumns = map[string]string{"value": "Value", "u": "Uncertainty", "lo": "Interval[0]", "hi": "Interval[1]", "k": "Coverage", "dof": "Degrees"}

// Each number of each table in CSV comes from the field that it should.
func TestCSVNumbers(t *testing.T) {
	r, m := filled[model.Result]()
	checkTable(t, "fit", m, func(w io.Writer) error { return FitCSV(w, r, Extra{}) }, tidyColumns, "Parameters[0]", "Parameters[1]", "Derived[0]", "Derived[1]")
	p, m := filled[Predictions]()
	checkTable(t, "predict", m, func(w io.Writer) error { return PredictCSV(w, *p) }, tidyColumns, "List[0].Frequency", "List[1].Frequency")
	c, m := filled[decisions.Comparison]()
	checkTable(t, "compare", m, func(w io.Writer) error { return CompareCSV(w, *c) }, tidyColumns,
		"Changes[0].A", "Changes[0].B", "Changes[0].Difference", "Changes[1].A", "Changes[1].B", "Changes[1].Difference")
	d, m := filled[drawing.Drawn]()
	checkTable(t, "coil", m, func(w io.Writer) error { return CoilCSV(w, d) }, tidyColumns, "Estimates[0]", "Estimates[1]")
	a, m := filled[[]decisions.Agreed]()
	checkTable(t, "consensus", m, func(w io.Writer) error { return ConsensusCSV(w, nil, *a, []Source{{Log: "a"}, {Log: "b"}}) }, tidyColumns,
		"[0]", "[0].Sessions[0]", "[0].Sessions[1]", "[1]", "[1].Sessions[0]", "[1].Sessions[1]")
	type further struct {
		Plan  decisions.Planned
		Reach decisions.Reached
		Ways  Ways
		Sweep Sweep
	}
	f, m := filled[further]()
	checkTable(t, "next", m, func(w io.Writer) error { return NextCSV(w, f.Plan, nil) }, tidyColumns, "Plan.Now", "Plan.Ranked[0].After", "Plan.Ranked[1].After",
		"Plan.Greedy[0].After", "Plan.Greedy[1].After", "Plan.Better[0].After", "Plan.Better[1].After")
	ways := []string{".Setting", ".At.Frequency", ".Standard[0].Frequency", ".Standard[1].Frequency"}
	at := func(place string) (list []string) {
		for _, w := range ways {
			list = append(list, place+w)
		}
		return list
	}
	checkTable(t, "reach", m, func(w io.Writer) error { return ReachCSV(w, f.Reach, nil) }, tidyColumns, at("Reach")...)
	checkTable(t, "ways", m, func(w io.Writer) error { return WaysCSV(w, f.Ways) }, tidyColumns, slices.Concat([]string{"Ways.From.Frequency"},
		at("Ways.Controls[0]"), at("Ways.Controls[1]"), []string{"Ways.AtHand[0].Frequency", "Ways.AtHand[1].Frequency",
			"Ways.Redrawn[0].Setting", "Ways.Redrawn[0].At.Frequency", "Ways.Redrawn[1].Setting", "Ways.Redrawn[1].At.Frequency"})...)
	checkTable(t, "sweep", m, func(w io.Writer) error { return SweepCSV(w, f.Sweep) }, tidyColumns, "Sweep.Points[0].Frequency", "Sweep.Points[1].Frequency")
	b, m := budgetOfMarks()
	columns := map[string]string{"line": "Line", "value": "Value", "u": "Uncertainty", "dof": "Degrees", "sensitivity": "Sensitivity",
		"contribution": "Contribution", "share": "Share"}
	checkTable(t, "budget, inputs", m, func(w io.Writer) error {
		var all bytes.Buffer
		err := BudgetCSV(&all, *b)
		rows := strings.SplitAfter(all.String(), "\n")
		_, told := io.WriteString(w, rows[0]+strings.Join(rows[2:], ""))
		return errors.Join(err, told)
	}, columns, "Inputs[0]", "Inputs[1]")
	inputs := b.Inputs
	b.Inputs = nil
	checkTable(t, "budget, result", m, func(w io.Writer) error { return BudgetCSV(w, *b) }, tidyColumns, "Estimate")
	b.Inputs = inputs
}

// The column to quote has value and uncertainty as they are elsewhere, the second in
// parentheses behind the last digits of the first, JCGM 100:2008, 7.2.2: 10.003(15) is 10.003 ± 0.015.
func TestQuotedInCSV(t *testing.T) {
	form := regexp.MustCompile(`^(-?[0-9.]+)\(([0-9.]+)\) (\S+)$`)
	for _, c := range [][2]float64{{1.2825902910383288e-3, 2.1887009797930532e-5}, {2518840.75, 569.293228}, {4.75683807e-12, 5.53524122e-13}, {-3.1e-8, 1.2e-8}, {0.7, 13}} {
		e := quantities.Estimate{Key: quantities.Key{Name: quantities.Inductance}, Unit: "H", Value: c[0], Uncertainty: c[1], Determined: true}
		var row tidy
		row.add(&e, "")
		part := form.FindStringSubmatch(row[0][9])
		if part == nil {
			t.Errorf("%v: quoted as %q", c, row[0][9])
			continue
		}
		unit := map[string]float64{"H": 1, "mH": 1e-3, "µH": 1e-6, "nH": 1e-9, "pH": 1e-12, "MH": 1e6, "kH": 1e3}[part[3]]
		v, _ := strconv.ParseFloat(part[1], 64)
		u, _ := strconv.ParseFloat(part[2], 64)
		decimals := 0
		if _, behind, ok := strings.Cut(part[1], "."); ok {
			decimals = len(behind)
		}
		last := 1.0
		for range decimals {
			last /= 10
		}
		if !strings.Contains(part[2], ".") {
			u *= last
		}
		for left := part[2]; decimals == 0 && strings.HasSuffix(left, "0"); left = left[:len(left)-1] {
			last *= 10
		}
		if d := (v*unit - c[0]) / (0.5001 * last * unit); d < -1 || d > 1 {
			t.Errorf("%v: quoted as %q, off by %v of the last digit", c, row[0][9], d)
		}
		if d := (u*unit - c[1]) / c[1]; d < -0.05 || d > 0.05 || unit == 0 {
			t.Errorf("%v: quoted as %q, with ± %v", c, row[0][9], u*unit)
		}
	}
}
