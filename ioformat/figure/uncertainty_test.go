package figure

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/wording"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/voltage"
)

// The cells of the correlations are those of the covariance matrix that JSON has, over the
// standard uncertainties of the estimates; the table holds that matrix itself.
func TestCorrelationsAreThoseOfTheCovariance(t *testing.T) {
	r := solved(t, lighthouse(2e-4, night()))
	f := Correlations(r)
	list := r.Principal(mostCorrelated)
	j := r.Joint()
	covariance := func(a, b *quantities.Estimate) float64 {
		at := map[quantities.Key]int{}
		for i, e := range j.Estimates {
			at[e.Key] = i
		}
		return j.Covariance[at[a.Key]*len(j.Estimates)+at[b.Key]]
	}
	n := len(list)
	if n != mostCorrelated || len(f.Panels[0].Texts) != n*n || len(f.Panels[0].Areas) != n*n {
		t.Fatalf("%d quantities, %d numbers, %d cells", n, len(f.Panels[0].Texts), len(f.Panels[0].Areas))
	}
	strong := 0
	for i, a := range list {
		for k, b := range list {
			text := f.Panels[0].Texts[i*n+k]
			shown, err := strconv.ParseFloat(strings.Replace(text.Text, "−", "-", 1), 64)
			want := covariance(a, b) / math.Sqrt(covariance(a, a)*covariance(b, b))
			if err != nil || !(math.Abs(shown-want) <= 0.006) || math.Abs(shown) == 1 && i != k {
				t.Errorf("%s and %s: %q, want %.5f", a.Name, b.Name, text.Text, want)
			}
			cell := f.Panels[0].Areas[i*n+k]
			if text.X != float64(k) || text.Y != float64(n-1-i) || math.Abs(cell.Tint-math.Max(1e-3, cellTint*math.Abs(want))) > 1e-9 || cell.Style != signStyle(want) {
				t.Errorf("%s and %s: number at %v, cell %+v", a.Name, b.Name, text.XY, cell)
			}
			if math.Abs(want) > 0.9 && i != k {
				strong++
			}
		}
	}
	if strong == 0 {
		t.Error("no strong correlation: this test wants one")
	}
	if rows := len(f.Table.Rows); rows != len(r.Principal(mostTabled)) || rows <= n || len(f.Table.Columns) != rows+1 {
		t.Errorf("a table of %d rows and %d columns", rows, len(f.Table.Columns))
	}
	// Variance of L [mH²], and its covariance with C [mH·pF].
	for at, want := range map[[2]int]float64{{0, 1}: 1e6 * covariance(list[0], list[0]), {1, 1}: 1e15 * covariance(list[0], list[1])} {
		if got, _ := strconv.ParseFloat(f.Table.Rows[at[0]][at[1]], 64); !(math.Abs(got/want-1) <= 1e-3) {
			t.Errorf("table: %s, want %g", f.Table.Rows[at[0]][at[1]], want)
		}
	}
}

// No coefficient but one is written as one, however near.
func TestCellText(t *testing.T) {
	for c, want := range map[float64]string{1: "1.00", -1: "−1.00", 0: "0.00", -0.004: "0.00", 0.2345: "0.23", -0.971: "−0.971", -0.99982: "−0.9998", 0.999996: "0.9999", 0.9995: "0.9995"} {
		if got := cellText(c); got != want {
			t.Errorf("%v becomes %q, want %q", c, got, want)
		}
	}
}

// Each prior stands where the fit moved it: for a part, and for the exponent of a hand, by the
// estimate that the fit gives of them.
func TestPriorsStandWhereTheFitMovedThem(t *testing.T) {
	r := solved(t, lighthouse(2e-4, night()))
	f := Priors(r)
	p := f.Panels[0]
	at := func(name string) (moved, left float64) {
		for i, tick := range p.Y.Ticks {
			if tick.Label == name {
				k := len(p.Points) - 1 - i
				l := p.Lines[k].Points
				if p.Points[k].Y != tick.At || !near(l[0].X+l[1].X, 2*p.Points[k].X) {
					t.Errorf("%s: mark %+v, bar %+v", name, p.Points[k], l)
				}
				return p.Points[k].X, (l[1].X - l[0].X) / 2
			}
		}
		t.Fatalf("no row %q among %+v", name, p.Y.Ticks)
		return 0, 0
	}
	for _, part := range r.Parts() {
		e := r.Find(quantities.Key{Name: quantities.PartCapacitance, Part: part.Name})
		moved, left := at(part.Name)
		if !near(moved, (e.Value-part.Capacitance)/part.Uncertainty) || !near(left, e.Uncertainty/part.Uncertainty) {
			t.Errorf("%s: moved %g, %g left; estimate %g ± %g", part.Name, moved, left, e.Value, e.Uncertainty)
		}
	}
	e := r.Find(quantities.Key{Name: quantities.HandExponent})
	moved, left := at("exponent of the hand's law") // 2.4 ± 0.6, docs/mathematics.md
	if e.Determined && (!(math.Abs(moved-(e.Value-2.4)/0.6) <= 1e-6) || !(math.Abs(left-e.Uncertainty/0.6) <= 1e-6)) {
		t.Errorf("exponent: moved %g, %g left; estimate %g ± %g", moved, left, e.Value, e.Uncertainty)
	}
	if x := r.Solution.X[r.Problem.Hand+2]; !(math.Abs(moved-(x-2.4)/0.6) <= 1e-6) {
		t.Errorf("exponent: moved %g to %g", moved, x)
	}
	for i, a := range p.Areas {
		if a.Outline[0].X != -1 || a.Outline[1].X != 1 {
			t.Errorf("prior %d from %g to %g of its own uncertainties", i, a.Outline[0].X, a.Outline[1].X)
		}
	}
}

// What is drawn of profiles is the surface; a profile meets the line of the 95 % interval where
// the interval by profile likelihood ends, which another search finds; and no outline leaves
// the ellipse where the problem is all but linear.
func TestProfilesFigure(t *testing.T) {
	r := solved(t, lighthouse(2e-4, night()))
	list := r.Principal(4)
	s := r.Surface(list, nil)
	intervals, _ := r.Profiles(nil)
	f := Profiles(r, s, intervals)
	n := len(list)
	if f.Across != n || len(f.Panels) != n*n || len(s.Regions) != n*(n-1)/2 || len(f.Table.Rows) != n {
		t.Fatalf("%d panels of %d, %d regions, %d rows", len(f.Panels), n, len(s.Regions), len(f.Table.Rows))
	}
	for i, e := range list {
		p := f.Panels[i*n+i]
		scale := (p.Lines[1].Points[len(p.Lines[1].Points)-1].X - p.Lines[1].Points[0].X) / (s.Curves[i].Linear[len(s.Curves[i].Linear)-1].At - s.Curves[i].Linear[0].At)
		var want *estimation.Profiled
		for k := range intervals {
			if intervals[k].Key == e.Key {
				want = &intervals[k]
			}
		}
		crossed := 0
		for k := 1; k < len(p.Lines[0].Points); k++ {
			a, b := p.Lines[0].Points[k-1], p.Lines[0].Points[k]
			limit := p.Rules[0].At
			if (a.Y-limit)*(b.Y-limit) < 0 {
				x := (a.X + (b.X-a.X)*(math.Sqrt(limit)-math.Sqrt(a.Y))/(math.Sqrt(b.Y)-math.Sqrt(a.Y))) / scale
				end := want.Profile[min(1, crossed)]
				if !(math.Abs(x-end) <= 0.05*e.Uncertainty) {
					t.Errorf("%s: the profile crosses at %g, the interval ends at %g", e.Name, x, end)
				}
				crossed++
			}
		}
		if crossed != 2 {
			t.Errorf("%s: the profile crosses the line %d times", e.Name, crossed)
		}
		for j := range i {
			q := f.Panels[i*n+j]
			g := s.Regions[i*(i-1)/2+j]
			if g.First != j || g.Second != i || len(q.Lines) != 2 || len(q.Lines[0].Points) != len(g.Profile)+1 {
				t.Fatalf("region %d, %d: %d lines of %+v", i, j, len(q.Lines), g)
			}
			for k, v := range g.Profile {
				if at := q.Lines[0].Points[k]; !near(at.X, f.Panels[j*n+j].Lines[0].Points[0].X/s.Curves[j].Profile[0].At*v[0]) {
					t.Errorf("region %d, %d: point %d at %v, want %v", i, j, k, at, v)
				}
			}
			if text := f.Panels[j*n+i].Texts[0].Text; text != wording.Correlation(s.Correlation(i, j)) {
				t.Errorf("correlation %s, want %v", text, s.Correlation(i, j))
			}
		}
	}
}

// A fit without an interval has words in place of panels.
func TestNothingToCompare(t *testing.T) {
	r := solved(t, lighthouse(2e-4, night()[:1]))
	for _, f := range []Figure{Profiles(r, r.Surface(nil, nil), nil), Correlations(r)} {
		if len(f.Panels) != 1 || f.Panels[0].Empty == "" || f.Alt == "" {
			t.Errorf("%s: %+v", f.Name, f.Panels)
		}
	}
	if Losses(r) != nil || Coupling(r) != nil {
		t.Error("losses or couplings of a log without")
	}
}

// damped is the night's session with quality factors of a coil that loses 1/200 in its winding
// at first, as the root of frequency falls, and 1/300 in its insulators, less as more is added.
func damped() readings.Log {
	var list []bench
	for _, pF := range []float64{0, 2.2, 4.7, 10, 22, 0, 47} {
		b := bench{parts: []float64{pF}}
		if pF == 0 {
			b.parts = nil
		}
		list = append(list, b)
	}
	log := lighthouse(2e-4, list)
	for i := range log.Readings {
		log.Readings[i].Quality = 120 + 8*float64(i)
	}
	return log
}

// The bars of the losses are what each estimate brings to 1/Q: of the bare coil, the estimates
// themselves; the marks are the quality factors read.
func TestLossesFigure(t *testing.T) {
	r := solved(t, damped())
	f := Losses(r)
	if f == nil {
		t.Fatal("no figure")
	}
	p := f.Panels[0]
	w, d := r.Find(quantities.Key{Name: quantities.QualityWinding}), r.Find(quantities.Key{Name: quantities.QualityDielectric})
	if len(p.Points) != len(r.Readings) || len(p.Areas) != 2*len(p.Points) {
		t.Fatalf("%d marks, %d bars of %d readings", len(p.Points), len(p.Areas), len(r.Readings))
	}
	for i, o := range r.Readings {
		first, second := p.Areas[2*i].Outline, p.Areas[2*i+1].Outline
		bar := p.Lines[i].Points // ± 5 % of 1/Q, as the key says
		if !near(bar[0].X, 950/o.Quality) || !near(bar[1].X, 1050/o.Quality) {
			t.Errorf("line %d: bar %v of Q %v", o.Line, bar, o.Quality)
		}
		if !near(p.Points[i].X, 1000/o.Quality) || first[0].X != 0 || first[1].X != second[0].X {
			t.Errorf("line %d: mark %v, bars %v and %v", o.Line, p.Points[i].X, first, second)
		}
		if len(o.State.Parts) == 0 && (!near(first[1].X, 1000/w.Value) || !near(second[1].X, 1000/w.Value+1000/d.Value)) {
			t.Errorf("bare, line %d: bars to %g and %g, estimates %g and %g", o.Line, first[1].X, second[1].X, w.Value, d.Value)
		}
	}
	sum, _ := strconv.ParseFloat(f.Table.Rows[0][5], 64)
	if want := 1 / (1/w.Value + 1/d.Value); !(math.Abs(sum-want) <= 0.51) {
		t.Errorf("Q by the sum %v, want %.1f", f.Table.Rows[0], want)
	}
}

// coupled is the night's session, and twice the coil with a primary shorted, core out and in,
// whose couplings at resonance are 0.17 and 0.21.
func coupled() readings.Log {
	log := lighthouse(2e-5, append(night(), []bench{{}, {covered: 1}, {covered: 1}}...))
	n := len(log.Readings)
	for i, k := range map[int]float64{n - 3: 0.17, n - 1: 0.21} {
		o := &log.Readings[i]
		o.Primary.Kind = readings.PrimaryShorted
		o.Frequency /= math.Sqrt(1 - k*k)
	}
	return log
}

// Each coupling stands at its estimate with its interval, and the fit finds what was put in.
func TestCouplingFigure(t *testing.T) {
	r := solved(t, coupled())
	f := Coupling(r)
	if f == nil {
		t.Fatal("no figure")
	}
	p := f.Panels[0]
	if len(p.Points) != 4 || len(p.Lines) != 4 || len(f.Table.Rows) != 4 {
		t.Fatalf("%d marks, %d bars, %d rows", len(p.Points), len(p.Lines), len(f.Table.Rows))
	}
	for i, key := range []quantities.Key{{Name: quantities.CouplingAtResonance}, {Name: quantities.CouplingOfWindings},
		{Name: quantities.CouplingAtResonance, Core: "rod"}, {Name: quantities.CouplingOfWindings, Core: "rod"}} {
		e := r.Find(key)
		bar := p.Lines[i].Points
		if p.Points[i].X != e.Value || bar[0].X != e.Interval[0] || bar[1].X != e.Interval[1] || p.Points[i].Style != couplingStyle(i%2) {
			t.Errorf("%+v: mark %+v, bar %v, estimate %g %v", key, p.Points[i], bar, e.Value, e.Interval)
		}
		if want := []float64{0.17, 0, 0.21, 0}[i]; want > 0 && math.Abs(e.Value-want) > 4*e.Uncertainty {
			t.Errorf("%+v: %g ± %g, made with %g", key, e.Value, e.Uncertainty, want)
		}
	}
}

// The curve of a voltage figure is the profile times the voltage at the top, beads float where
// the stress has them, and the steepest place of a quarter wave is at its foot: π/2 of the mean
// gradient there.
func TestVoltageFigure(t *testing.T) {
	c := towerCoil()
	const n, volts = 100, 20e3
	p := field.Profile{Height: make([]float64, n+1), Voltage: make([]float64, n+1), Current: make([]float64, n+1)}
	for k := range p.Height {
		x := float64(k) / n
		p.Height[k], p.Voltage[k], p.Current[k] = c.Length*x, math.Sin(math.Pi/2*x), math.Cos(math.Pi/2*x)
	}
	bare, with := voltage.Of(c, p, false), voltage.Of(c, p, true)
	f := Voltage(c, []Stressed{{"bare", &bare}, {"core rod", &with}}, volts)
	panel := f.Panels[1]
	if len(panel.Lines) != 2+c.Beads.Count {
		t.Fatalf("%d lines", len(panel.Lines))
	}
	for k, q := range panel.Lines[1].Points {
		if !near(q.X, 1e3*p.Height[k]) || !near(q.Y, volts/1e3*p.Voltage[k]) {
			t.Errorf("point %d at %v", k, q)
		}
	}
	for i, b := range with.Beads {
		bead := panel.Lines[2+i].Points
		if !near(bead[0].Y, volts/1e3*b) || !near(bead[1].X-bead[0].X, 1e3*c.Beads.Length) {
			t.Errorf("bead %d: %v, share %g", i, bead, b)
		}
	}
	if panel.Points[0].X != 0 || panel.Points[0].Y != 0 {
		t.Errorf("steepest at %v", panel.Points[0].XY)
	}
	counts := map[int]bool{}
	for v := 500.0; v < 1e6; v *= 1.5 { // marks are where a gap may spark at the voltage of the figure
		f := Voltage(c, []Stressed{{"bare", &bare}, {"core rod", &with}}, v)
		sparks, marks := with.MaySpark(v), f.Panels[1].Points[1:]
		counts[len(sparks)] = true
		if len(marks) != len(sparks) || (len(sparks) > 0) != slices.ContainsFunc(f.Keys, func(k chart.Key) bool { return k.Text == "may spark there" }) {
			t.Errorf("%g V: %d marks of %d gaps", v, len(marks), len(sparks))
		}
		for i, g := range sparks {
			if !near(marks[i].X, 1e3*g.Height) || marks[i].Y != 0 {
				t.Errorf("%g V: mark at %v of a gap at %g m", v, marks[i].XY, g.Height)
			}
		}
	}
	if !counts[0] || len(counts) < 3 {
		t.Errorf("this test wants voltages with none, some and more sparks: %v", counts)
	}
	want := math.Pi / 2 * volts / c.Length / 100 / 1e3 // kV/cm
	for _, k := range f.Keys {
		if text, ok := strings.CutPrefix(k.Text, "steepest, "); ok {
			if got, _ := strconv.ParseFloat(strings.Fields(text)[0], 64); math.Abs(got/want-1) > 0.006 {
				t.Errorf("%s, want %.3g kV/cm", k.Text, want)
			}
			want = 0
		}
	}
	if want != 0 {
		t.Error("nothing says how steep")
	}
}

// A curve's key explains its marks: no name stands twice.
func TestFrequencyKeysOnce(t *testing.T) {
	seen := map[string]bool{}
	for _, k := range Frequency(solved(t, coupled())).Keys {
		if seen[k.Text] {
			t.Errorf("%q is explained twice", k.Text)
		}
		seen[k.Text] = true
	}
	if !seen["primary shorted"] {
		t.Errorf("no key of the primary: %v", seen)
	}
}
