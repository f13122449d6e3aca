package report

import (
	"io"
	"slices"
	"strings"
	"testing"

	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// heads are the headings of a table, each with the side that its cells keep to.
func heads(t *Table) string {
	return strings.Join(each(t.Columns, func(c *Column) string { return c.Head + map[bool]string{false: "<", true: ">"}[c.Right] }), " ")
}

// A table says what stands in each of its columns; words keep left, numbers right, and ± and unit stay with theirs.
func TestHeadsOfTables(t *testing.T) {
	r := fittedInvented(t)
	priors, _ := MovedPriors(r)
	e := estimateOf(quantities.Inductance, "H", 1e-3, 1e-5)
	trials, _ := MonteCarloTable(&estimation.MonteCarlo{Trials: 1000}, true)
	main, _ := MonteCarloTable(&estimation.MonteCarlo{Trials: 1000}, false)
	profiles, _ := ProfilesTable(nil, true)
	group := Groups(r)[0]
	r.Readings = slices.Repeat(r.Readings[:1], 1)
	r.Readings[0].Frequency = 2.5e6
	for _, c := range []struct {
		of   string
		t    *Table
		want string
	}{
		{"priors", priors, "prior< believed< known now< moved [u]> variance of L> replaced by<"},
		{"inputs", budgetTable(nil, &e, quantity.UnitFor(1e-3, 1e-5, "H"), 9, false), "input< value> u(x)> c> u(y)> share>"},
		{"trials", trials, "95 % intervals< linear> shortest> < u> δ> valid<"},
		{"the main ones", main, "95 % intervals< linear> shortest> < u> δ>"},
		{"profiles", profiles, "< linear> profile> < u>"},
		{"estimates", group.Table(), "< value> ±< < 95 % interval< variance from<"},
		{"estimates in full", group.values(), "< value> ±< < 95 % interval<"},
		{"drawing", Checks(nil), "< drawing> ±< readings> ±< < change> sigmas>"},
		{"readings", Readings(r), "line> state< read MHz> fitted> residual> standardised> <"},
		{"readings as read", readingsRead(log(0, 4.7)), "line> frequency> ±< < ± from< state<"},
		{"effects", effectTable(nil), "< value> ±< < bare ×> ±<"},
		{"shares", budgets(r), "< readings> tolerances> > priors> >"}, // a column of zeros has no heading, and is left out
	} {
		if got := heads(c.t); got != c.want {
			t.Errorf("%s: %q, want %q", c.of, got, c.want)
		}
	}
}

// What contradicts itself, in one of several sessions, isn't to be quoted from a table either.
func TestContradictionsAreNotQuoted(t *testing.T) {
	e := estimateOf(quantities.Inductance, "H", 1e-3, 1e-5)
	list := []decisions.Agreed{{Estimate: e, Sessions: []*quantities.Estimate{&e, nil}}}
	sources := []Source{{Log: "a.csv"}, {Log: "b.csv"}}
	lines := func(write func(w io.Writer) error) string {
		return strings.TrimPrefix(flat(t, write), "name,of,value,u,lo,hi,unit,k,dof,quoted ")
	}
	for _, c := range []struct {
		r    []*model.Result
		want string
	}{
		{[]*model.Result{consistent(), consistent()}, "inductance,consensus,0.001,1e-05,0.00098,0.00102,H,2,60,1.000(10) mH inductance,a.csv,0.001,1e-05,0.00098,0.00102,H,2,60,1.000(10) mH"},
		{[]*model.Result{consistent(), contradictory()}, "inductance,consensus,0.001,1e-05,0.00098,0.00102,H,2,60, inductance,a.csv,0.001,1e-05,0.00098,0.00102,H,2,60,"},
	} {
		if got := lines(func(w io.Writer) error { return ConsensusCSV(w, c.r, list, sources) }); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	r := fittedInvented(t)
	quoted := func() int {
		return strings.Count(lines(func(w io.Writer) error { return FitCSV(w, r, Extra{}) }), "(")
	}
	if quoted() == 0 {
		t.Error("nothing is quoted")
	}
	r.Findings = contradictory().Findings
	if n := quoted(); n != 0 {
		t.Errorf("%d are quoted", n)
	}
}

// A text without a session's doubts has no gap where they would stand, and a list of nothing has no title.
func TestNothingToTellLeavesNothing(t *testing.T) {
	c := decisions.Comparison{SplitB: true, Changes: []decisions.Change{changed(estimateOf(quantities.BareFrequency, "Hz", 2e6, 1e3), 2e6, 1e3, false, false)}}
	var b strings.Builder
	if err := CompareText(&b, c, [2]*model.Result{consistent(), consistent()}, [2]Source{{Log: "a.csv"}, {Log: "b.csv"}}, View{}); err != nil {
		t.Fatal(err)
	}
	if lines := strings.Split(b.String(), "\n"); !strings.HasPrefix(lines[2], "A does not separate inductance and capacitance") {
		t.Errorf("%q", lines)
	}
	nobody := func(*decisions.Change) bool { return false }
	if got := writes(func(t *text) { t.unmoved(c.Changes, nobody, 0) }); got != "" {
		t.Errorf("%q", got)
	}
	r := fittedInvented(t)
	if full := flat(t, func(w io.Writer) error { return FitText(w, r, decisions.Planned{}, nil, Source{}, View{Full: true}) }); strings.Contains(full, "Drawing against readings") || strings.Contains(full, "Priors and defaults") {
		t.Errorf("titles of nothing in\n%s", full)
	}
}

// Lines are as wide as asked for, between a least and a usual width in brief and a widest in full; usual where nothing is asked.
func TestWidths(t *testing.T) {
	for _, c := range []struct {
		v    View
		want int
	}{{View{}, usualWidth}, {View{Full: true}, usualWidth}, {View{Width: 60}, 60}, {View{Width: 60, Full: true}, 60}, {View{Width: 100}, usualWidth}, {View{Width: 100, Full: true}, 100},
		{View{Width: 9}, leastWidth}, {View{Width: 9, Full: true}, leastWidth}, {View{Width: 999, Full: true}, widestWidth}} {
		text := newText(c.v)
		text.line(strings.Repeat("a ", 400))
		first, _, _ := strings.Cut(text.String(), "\n")
		if text.width != c.want || len(first) > c.want || len(first) < c.want-3 {
			t.Errorf("%+v: %d wide, and a line of %d, want %d", c.v, text.width, len(first), c.want)
		}
	}
	if usualWidth != 80 || !(leastWidth < 60) || !(widestWidth > 100) {
		t.Errorf("%d, %d, %d", leastWidth, usualWidth, widestWidth)
	}
	text := newText(View{})
	text.put("a" + noBreak + "b  ")
	text.outdented(&Table{Columns: []Column{left("Way"), right("n")}, Rows: [][]string{{"one", "1"}, {"two", "22"}}})
	if got, want := text.String(), "a b\nWay     n\n  one   1\n  two  22\n"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// A number stays on the line of its sign, ± and unit.
func TestWhatSticks(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want bool
	}{{"±", "2", true}, {"=", "2", true}, {"<", "2", true}, {">", "2", true}, {"×", "2", true}, {"p", "= 2", true}, {"p", "<", true}, {"p", ">", true}, {"χ²", "=", true}, {"χ²/ν", "=", true}, {"p", "2", false}, {"q", "=", false},
		{"12", "± 2", true}, {"12", "mm", true}, {"12", "m", true}, {"12", "pF,", true}, {"12", "µH.", true}, {"12", "kΩ)", true}, {"12", "MHz;", true}, {"12", "%:", true}, {"12", "cm", true}, {"12", "in", true}, {"12", "σ", true}, {"12", "s", true}, {"12", "V", true},
		{"12", "mmm", false}, {"12", "kkHz", false}, {"12", "turns", false}, {"twelve", "pF", false}, {"12", "and", false}, {"0", "Hz", true}, {"9", "Hz", true}} {
		if got := sticks(c.a, c.b); got != c.want {
			t.Errorf("%q %q: %v", c.a, c.b, got)
		}
	}
}

// Further lines of a point stand under its label.
func TestPointsHaveOneLabel(t *testing.T) {
	a := &Answer{}
	a.point("and", "first"+noBreak+"of all")
	a.point("Next", "one")
	a.point("and", "two")
	if len(a.Points) != 2 || a.Points[0].Label != "and" || !slices.Equal(a.Points[0].Text, []string{"first of all"}) || a.Points[1].Label != "Next" || !slices.Equal(a.Points[1].Text, []string{"one", "two"}) {
		t.Errorf("%+v", a.Points)
	}
	text := newText(View{})
	if text.heading("log: 12 readings", "well"); text.String() != "log: 12 readings, well\n" {
		t.Errorf("%q", text.String())
	}
}

// Tones have the same names wherever they stand in JSON.
func TestTonesInJSON(t *testing.T) {
	c := inventedCapture()
	j := captured(&c)
	names := func(list ...jsonEstimate) string {
		return strings.Join(each(list, func(e *jsonEstimate) string { return e.Name + " " + e.Unit }), ", ")
	}
	const tone = "frequency Hz, quality_factor 1, amplitude V"
	m, h := j.Modes[0], j.Tones[2]
	if got := names(m.Frequency, m.Quality, m.Amplitude); got != tone {
		t.Errorf("%q", got)
	}
	if got := names(h.Frequency, h.Quality, h.Amplitude); got != tone {
		t.Errorf("%q", got)
	}
	if got := names(j.Bursts[0].Frequency, j.Bursts[0].Quality); got != "frequency Hz, quality_factor 1" {
		t.Errorf("%q", got)
	}
	if got := strings.Join(j.Covariance.Names, " "); got != "frequency_1 quality_factor_1 frequency_2 quality_factor_2" {
		t.Errorf("%q", got)
	}
	if got := names(j.Resonance, j.Frequency, j.Quality, j.Damping, j.Amplitude, j.Offset); got != "resonance_frequency Hz, crossing_frequency Hz, quality_factor 1, damping 1/s, amplitude V, offset V" {
		t.Errorf("%q", got)
	}
}
