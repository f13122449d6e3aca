package figure

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// byLine is a result of n readings that differ in what set makes of them.
func byLine(n int, set func(i int, o *estimation.ReadingResult)) *view {
	var list []readings.Condition
	for range n {
		list = append(list, readings.Condition{Hand: math.Inf(1)})
	}
	r := conditions(list...)
	r.Problem, r.Quality.Scale = &estimation.Problem{}, 1
	for i := range r.Readings {
		o := &r.Readings[i]
		o.Line, o.Use, o.Frequency, o.Fitted, o.Uncertainty, o.Weighed = i+2, true, 1e6, 1e6, 100, 100
		if set != nil {
			set(i, o)
		}
	}
	v := &view{result: r, encoding: newEncoding(r), conditions: list[:1]}
	for i := range r.Readings {
		v.readings = append(v.readings, reading{&r.Readings[i], i + 1, 0, 0})
	}
	return v
}

// Lines are listed up to nine; of ten, eight.
func TestLinesListed(t *testing.T) {
	for n, want := range map[int]string{1: "line 2", 2: "lines 2 and 3", 9: "lines 2, 3, 4, 5, 6, 7, 8, 9 and 10", 10: "lines 2, 3, 4, 5, 6, 7, 8, 9 and 2 more"} {
		if got := lines(byLine(n, nil).readings); got != want {
			t.Errorf("%d: %q", n, got)
		}
	}
	for v, want := range map[float64]string{-0.001: "0.00", 1.5: "1.50", -2: "-2.00", math.NaN(): "-", math.Inf(-1): "-"} {
		if got := fixed(v, 2); got != want {
			t.Errorf("%v: %q", v, got)
		}
	}
	for share, want := range map[float64]string{0: "0", 0.0049: "< 0.5", 0.0051: "1", 0.255: "26", 1: "100"} {
		if got := percent(share); got != want {
			t.Errorf("%v: %q", share, got)
		}
	}
}

// Bars end at 100 readings; frequencies more than six times apart have residuals in ppm; who
// the scale doesn't widen has no Birge ratio.
func TestBarsOfResiduals(t *testing.T) {
	p, notes := byLine(100, nil).barredResiduals()
	if p.Points[0].Low != -100 || p.Points[0].High != 100 || notes[0] != "Bars: ± one standard uncertainty of the reading." || p.Y.Label != "residual (measured − fitted) [Hz]" {
		t.Errorf("%+v, %q, %q", p.Points[0], notes, p.Y.Label)
	}
	p, notes = byLine(101, func(i int, o *estimation.ReadingResult) { o.Residual = 50 }).barredResiduals()
	if p.Y.Min > 0 { // nothing lies off, or all does: the line of none is shown
		t.Errorf("axis from %g", p.Y.Min)
	}
	if d := p.Points[100]; d.Low != 0 || d.High != 0 || d.Y != 50 || d.X != 101 || notes[0] != "No error bars: beyond 100 readings they would hide each other." {
		t.Errorf("%+v, %q", d, notes)
	}
	apart := func(ratio float64) string {
		v := byLine(2, func(i int, o *estimation.ReadingResult) { o.Fitted, o.Residual = 1e6*math.Pow(ratio, float64(i)), 10 })
		p, _ := v.barredResiduals()
		return fmt.Sprintf("%s %s", p.Y.Label, num(p.Points[1].Y))
	}
	if a, b := apart(6), apart(6.25); a != "residual (measured − fitted) [Hz] 10" || b != "relative residual, (measured − fitted)/fitted [ppm] 1.6" {
		t.Errorf("%q and %q", a, b)
	}
	v := byLine(2, func(i int, o *estimation.ReadingResult) { o.Weighed = []float64{math.Hypot(100, 0.05), 60}[i] })
	if p, notes := v.barredResiduals(); p.Points[0].Wide || num(p.Points[1].High) != "60" || len(notes) != 1 {
		t.Errorf("%+v, %q", p.Points, notes)
	}
	p, notes = byLine(1, func(i int, o *estimation.ReadingResult) { o.Residual = math.NaN() }).barredResiduals()
	if p.Empty != "No residual in hertz: the fitted frequencies are not determined." || notes != nil {
		t.Errorf("%q %q", p.Empty, notes)
	}
}

// Of 15 rows two are one; a row holds the readings of both.
func TestRowsGathered(t *testing.T) {
	v := byLine(15, nil)
	var rows []strip
	for i := range 14 {
		rows = append(rows, strip{name: fmt.Sprint(i), readings: v.readings[i : i+1]})
	}
	if got := gathered(rows); len(got) != 14 || got[13].name != "13" {
		t.Errorf("%d rows", len(got))
	}
	rows = append(rows, strip{name: "14", readings: v.readings[14:]})
	got := gathered(rows)
	if last := got[13]; len(got) != 14 || last.name != "13 to 14" || lines(last.readings) != "lines 15 and 16" || got[12].name != "12" || lines(got[12].readings) != "line 14" {
		t.Errorf("%d rows, the last %q of %s", len(got), last.name, lines(last.readings))
	}
}

// A quantile plot is thinned from 1000 marks on, and keeps the largest.
func TestQuantilesThinned(t *testing.T) {
	r := roundFit(t, "rod")
	for n, want := range map[int]int{1000: 1000, 2000: 1001, 2001: 1001} {
		v := byLine(n, func(i int, o *estimation.ReadingResult) { o.Standardised = float64(i) })
		r.Readings = v.result.Readings
		p := Quantiles(r).Panels[0]
		if last := p.Points[len(p.Points)-1]; len(p.Points) != want || last.Y != float64(n-1) {
			t.Errorf("%d: %d marks, the last %v", n, len(p.Points), last.XY)
		}
	}
	v := byLine(8, func(i int, o *estimation.ReadingResult) {
		o.Standardised = []float64{-1.5, -0.8, -0.4, -0.1, 0.1, 0.4, 0.8, 9}[i]
	})
	r.Readings = v.result.Readings
	f := Quantiles(r)
	if f.Alt != "Normal quantile–quantile plot of 8 standardised residuals: of the 8 shown, 1 lie outside the 95 % band." || len(f.Keys) != 2 || f.Keys[1] != (chart.Key{Text: "95 % band", Style: chart.Ink, Band: true}) {
		t.Errorf("%q, %+v", f.Alt, f.Keys)
	}
	p := f.Panels[0]
	a, b := p.Lines[0].Points[0], p.Lines[0].Points[1]
	if a.X != p.Points[0].X || a.Y != a.X || b.X != p.Points[7].X || b.Y != b.X || p.X.Min > a.X || p.Y.Max < 9 || p.X.Label != "theoretical normal quantile" || p.Y.Label != "standardised residual" {
		t.Errorf("line %v to %v, axes %+v %+v", a, b, p.X, p.Y)
	}
}

// Of many sources nine have a row, and only with half a percent; what moved least has none.
func TestRowsOfUncertainty(t *testing.T) {
	var all []estimation.MovedPrior
	for i := range 17 { // the first is hardly moved, the second is narrowed only
		all = append(all, estimation.MovedPrior{Part: fmt.Sprint(i), Value: 1, Uncertainty: 0.1, Now: 1 + 0.01*float64(i), Left: 0.1})
	}
	all[1].Now, all[1].Left = 1, 0.01
	var names []string
	for _, b := range telling(all) {
		names = append(names, b.Part)
	}
	if got := strings.Join(names, " "); got != "1 4 5 6 7 8 9 10 11 12 13 14 15 16" {
		t.Error(got)
	}
}

// A residual at the limit lies within it; the largest is told by its size.
func TestResidualsTold(t *testing.T) {
	v := byLine(4, func(i int, o *estimation.ReadingResult) {
		o.Standardised, o.Flagged = []float64{2, -2, -2.7, 2.01}[i], i > 1
	})
	if got := v.residualAlt("at all", v.readings); got != "Standardised residuals of 4 readings at all. 2 lie within ±2; the largest is -2.7 (line 4, bare). Suspect: lines 4 and 5." {
		t.Errorf("%q", got)
	}
	if got := v.residualAlt("at all", nil); got != noResiduals {
		t.Errorf("%q", got)
	}
	if a := residualAxis(v.readings); a.Min != -2.7 || a.Max != 2.7 {
		t.Errorf("%+v", a)
	}
	if a := residualAxis(v.readings[:1]); a.Min != -2.5 || a.Max != 2.5 {
		t.Errorf("%+v", a)
	}
}

// An axis of added capacitance is logarithmic from 30 times what the coil has itself: about the
// first digit of that.
func TestAddedAxis(t *testing.T) {
	v := byLine(1, nil)
	v.result.Derived = []quantities.Estimate{told(quantities.EffectiveCapacitance, "F", 4.6e-12, 1e-13)}
	plain, wide := v.newAddedAxis(138e-12), v.newAddedAxis(139e-12)
	if got := axis5(plain.axis()); got != "added capacitance [pF]: 0…138 0 20 40 60 80 100 120" {
		t.Error(got)
	}
	if got := axis5(wide.axis()); got != "added capacitance [pF], scale logarithmic in added + 5 pF: 0…139 log+5 0 5 10 20 50 100" {
		t.Error(got)
	}
	at := plain.places(1e-12)
	if len(at) != 50 || num(at[24]*1e12) != num(138*math.Pow(23./48, 2)) || !slices.Contains(at, 1e-12) || at[49] != 138e-12 {
		t.Errorf("%d places: %v", len(at), at)
	}
	at = wide.places()
	for i, a := range at { // even in ln(added + 5 pF)
		if want := 5e-12 * (math.Pow(1+139./5, float64(i)/48) - 1); math.Abs(a-want) > 1e-16 {
			t.Errorf("place %d at %g, want %g", i, a, want)
		}
	}
	v.result.Derived = nil // then the least added stands for it
	v.readings[0].added = 2e-12
	if a := v.newAddedAxis(61e-12); a.shift != 2e-12 || a.unit.Symbol != "pF" {
		t.Errorf("%+v", a)
	}
}

// Bars and cells of the budget are the shares of each source, put together by its name: those
// of half a percent and more of either by themselves, up to nine, the others in one row.
func TestBudgetHasEverySource(t *testing.T) {
	many := night()
	for _, pF := range []float64{15, 33, 47, 6.8} {
		many = append(many, bench{parts: []float64{pF}}, bench{covered: 0.6, parts: []float64{pF}})
	}
	for what, r := range map[string]*model.Result{"few": suspicious(t), "many": solved(t, lighthouse(2e-4, many))} {
		share, names := map[string][2]float64{}, []string{}
		for k, name := range []string{quantities.EffectiveInductance, quantities.EffectiveCapacitance} {
			for _, s := range r.Sources(r.Find(quantities.Key{Name: name})) {
				name := wording.Source(&s)
				both, known := share[name]
				if !known {
					names = append(names, name)
				}
				both[k] += s.Share
				share[name] = both
			}
		}
		var rows []string
		small, smallest, rest := 0, 1.0, [2]float64{}
		for _, name := range names {
			s := share[name]
			if large := max(s[0], s[1]); large < 0.005 || len(rows) == 9 {
				small++
				rest[0], rest[1] = rest[0]+s[0], rest[1]+s[1]
			} else {
				rows, smallest = append(rows, name), min(smallest, large)
			}
		}
		if small == 0 || what == "few" && smallest > 0.05 || what == "many" && len(rows) < 9 {
			t.Fatalf("%s: this test wants other sources: %v", what, share)
		}
		rows = append(rows, quantity.Count(small, "other source"))
		share[rows[len(rows)-1]] = rest
		f := Budget(r)
		p := f.Panels[0]
		if len(f.Table.Rows) != len(rows) || len(p.Areas) != 2*len(rows) || p.Height != 20*float64(len(rows))+8 {
			t.Fatalf("%s: %d rows and %d bars of %d sources, %g points high", what, len(f.Table.Rows), len(p.Areas), len(rows), p.Height)
		}
		for i, row := range f.Table.Rows {
			want := share[rows[i]]
			if row[0] != rows[i] || row[1] != percent(want[0]) || row[2] != percent(want[1]) || p.Y.Ticks[len(rows)-1-i].Label != row[0] {
				t.Errorf("row %q of %q: shares %v", row, rows[i], want)
			}
			for k := range 2 {
				bar := p.Areas[2*i+k]
				if end := bar.Outline[1]; !near(end.X, 100*want[k]) || math.Round(end.Y) != float64(len(rows)-1-i) || bar.Style != f.Keys[k].Style || end.X > p.X.Max*(1+1e-9) {
					t.Errorf("row %q: bar %d to %v in style %d", row, k, end, bar.Style)
				}
			}
		}
	}
}
