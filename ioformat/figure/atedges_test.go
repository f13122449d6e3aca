package figure

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/patterns"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/ringing"
	"fitcoil/model/voltage"
)

// Without the coil's own capacitance the least that was added stands for it, whatever its place.
func TestLeastAddedStandsForOwn(t *testing.T) {
	for _, order := range [][]float64{{2, 3, 4}, {4, 3, 2}, {3, 0, 2, 4}} {
		v := byLine(len(order), nil)
		for i, pF := range order {
			v.readings[i].added = pF * 1e-12
		}
		if a := v.newAddedAxis(61e-12); a.shift != 2e-12 {
			t.Errorf("%v: shift %g", order, a.shift)
		}
	}
}

// A spectrum reaches ten times the strongest tone, and a tenth beyond any other.
func TestSpectrumReach(t *testing.T) {
	for want, hz := range map[float64][]float64{10e6: {1e6}, 10.5e6: {1e6, 9.5454545454545e6}, 13.2e6: {1e6, 12e6, 2e6}, 20e6: {2e6, 12e6}} {
		r := &ringing.Result{}
		for _, f := range hz {
			r.Tones = append(r.Tones, ringing.Tone{Frequency: told("", "Hz", f, 1)})
		}
		if got := highest(r); math.Abs(got-want) > 1 {
			t.Errorf("%v: up to %g, want %g", hz, got, want)
		}
	}
}

// What is drawn of a coupling stands below what was read, with its own interval and its own cell,
// and the axis holds all intervals.
func TestDrawnCouplings(t *testing.T) {
	r := solved(t, coupled())
	drawn := quantities.Estimate{Key: quantities.Key{Name: quantities.CouplingAtResonance, Core: "rod"}, Unit: "1", Value: 0.31, Uncertainty: 0.02, Interval: [2]float64{0.27, 0.36}, Determined: true}
	open := drawn
	open.Key, open.Determined = quantities.Key{Name: quantities.CouplingOfWindings, Core: "rod"}, false
	r.Checks = append(r.Checks, estimation.Check{Drawn: open}, estimation.Check{Drawn: drawn})
	f := Coupling(r)
	p := f.Panels[0]
	hollow := slices.IndexFunc(p.Points, func(d chart.Point) bool { return d.Hollow })
	if hollow < 0 || len(p.Points) != 5 || len(p.Lines) != 5 {
		t.Fatalf("%d marks, %d bars", len(p.Points), len(p.Lines))
	}
	mark, bar, read := p.Points[hollow], p.Lines[hollow].Points, p.Points[hollow+1]
	if mark.X != 0.31 || mark.Style != chart.Faint || bar[0].X != 0.27 || bar[1].X != 0.36 || bar[0].Y != mark.Y || !(mark.Y < read.Y) || math.Round(mark.Y) != math.Round(read.Y) || p.Y.Ticks[int(math.Round(mark.Y))].Label != "core rod, at resonance" {
		t.Errorf("drawn %+v %v, read %+v", mark, bar, read)
	}
	for i, want := range []string{"-", "-", "0.310 ± 0.020", "-"} {
		if row := f.Table.Rows[i]; row[2] != want || row[1] == row[2] {
			t.Errorf("row %q", row)
		}
	}
	var all []float64
	for _, l := range p.Lines {
		all = append(all, l.Points[0].X, l.Points[1].X)
	}
	if p.X.Min != slices.Min(all) || p.X.Max != slices.Max(all) {
		t.Errorf("an axis from %g to %g", p.X.Min, p.X.Max)
	}
	if last := f.Keys[len(f.Keys)-1]; len(f.Keys) != 3 || last.Text != "as drawn" || !last.Hollow || last.Style != chart.Faint {
		t.Errorf("keys %+v", f.Keys)
	}
}

// A curve is thin on both sides of what was read, and all of it where nothing was.
func TestThinOnBothSides(t *testing.T) {
	u := plane{quantity.UnitFor(1e-12, 0, "F"), quantity.UnitFor(1e6, 0, "Hz")}
	for read, want := range map[span]string{{1e-12, 3e-12, true}: "thin 0…1, 1…3, thin 3…4", {0, 3e-12, true}: "0…3, thin 3…4", {1e-12, 9e-12, true}: "thin 0…1, 1…4", {}: "thin 0…4", {2e-12, 2e-12, true}: "thin 0…4"} {
		k := curve{read: read}
		for i := range 5 {
			k.mean = append(k.mean, chart.XY{X: float64(i) * 1e-12, Y: 1e6})
		}
		var got []string
		for _, l := range k.lines(u) {
			got = append(got, fmt.Sprintf("%s%s…%s", has("thin ", l.Thin), num(l.Points[0].X), num(l.Points[len(l.Points)-1].X)))
		}
		if text := strings.Join(got, ", "); text != want {
			t.Errorf("read from %g to %g: %s, want %s", read.low, read.high, text, want)
		}
	}
}

// A band is cut half a range below and above what was read and fitted.
func TestWideBandsAreCut(t *testing.T) {
	d := &diagram{x: addedAxis{most: 1e-12, unit: quantity.UnitFor(1e-12, 0, "F")}}
	d.point(chart.Point{XY: chart.XY{X: 0, Y: 10e6}})
	d.point(chart.Point{XY: chart.XY{X: 1e-12, Y: 20e6}})
	for want, b := range map[[2]float64][2]float64{{5, 25}: {1e6, 90e6}, {8, 22}: {8e6, 22e6}, {10, 20}: {11e6, 19e6}, {5, 20}: {1e6, 19e6}} {
		each := *d
		each.curves = []curve{{mean: []chart.XY{{X: 0, Y: 15e6}, {X: 1e-12, Y: 15e6}}, points: []chart.BandPoint{{X: 0, Low: b[0], High: b[1]}, {X: 1e-12, Low: 14e6, High: 16e6}}}}
		p := each.panel()
		band := p.Bands[0].Points[0]
		if !near(p.Y.Min, want[0]) || !near(p.Y.Max, want[1]) || !near(band.Low, max(want[0], b[0]/1e6)) || !near(band.High, b[1]/1e6) {
			t.Errorf("%v: an axis from %g to %g, a band from %g to %g", b, p.Y.Min, p.Y.Max, band.Low, band.High)
		}
	}
}

// Keys of distances that share a shape tell the first and the last; of primaries beyond the third
// one has all others.
func TestKeysOfShapes(t *testing.T) {
	e := encoding{bins: [][]float64{{0.05}, {0.1, 0.2, 0.35}}, prims: []readings.Primary{{Kind: readings.PrimaryShorted}, {Kind: readings.PrimaryTuned, Capacitance: 1e-9}}}
	texts := func(e encoding, shapes ...int) (s string) {
		seen := map[int]bool{}
		for _, shape := range shapes {
			seen[shape] = true
		}
		for _, k := range e.shapeKeys(seen) {
			s += fmt.Sprintf("%s: %s; ", look5(k.Style, true), k.Text)
		}
		return s
	}
	if got := texts(e, 1, 2, 4, 5); !strings.HasPrefix(got, "ink square: hand at 5 cm; ink triangle: hand at 10 to 35 cm; ink tip: primary shorted; ink plus: ") {
		t.Error(got)
	}
	if got := texts(e, 2); got != "ink triangle: hand at 10 to 35 cm; " {
		t.Error(got)
	}
	e.prims = append(e.prims, readings.Primary{Kind: readings.PrimaryTuned, Capacitance: 2e-9})
	if got := texts(e, 6); got != "ink star: primary tuned with 2.00 nF, lower peak; " {
		t.Error(got)
	}
	e.prims = append(e.prims, readings.Primary{Kind: readings.PrimaryTuned, Capacitance: 3e-9})
	if got := texts(e, 6); got != "ink star: other primaries; " {
		t.Error(got)
	}
	if a, b := e.shape(readings.Condition{Hand: 0.35, Primary: e.prims[3]}), e.shape(readings.Condition{Hand: 0.2}); a != 6 || b != 2 {
		t.Errorf("shapes %d and %d", a, b)
	}
}

// Of more than eight keys rings, hollow marks and the shapes of hands go into a note, the last
// first, each by how its mark looks.
func TestKeysBeyondEight(t *testing.T) {
	keys := []chart.Key{{Text: "predicted", Style: chart.Ink, Ring: true, Mark: true}}
	for shape := range 7 {
		keys = append(keys, chart.Key{Text: fmt.Sprint("hand ", shape), Style: chart.Ink.Shaped(shape), Mark: true})
	}
	keys = append(keys, chart.Key{Text: "left out", Style: chart.Faint, Mark: true, Hollow: true}, chart.Key{Text: "suspect", Ring: true})
	names := []string{"Disc: hand 0.", "Square: hand 1.", "Triangle: hand 2.", "Diamond: hand 3.", "Triangle on its tip: hand 4.", "Plus: hand 5.", "Star: hand 6.", "Hollow: left out.", "Ring: suspect."}
	for more := range 10 { // keys of cores, which stay, as does that of predictions
		f := Figure{Keys: slices.Clone(keys), Notes: []string{"own"}}
		for core := range more {
			f.Keys = append(f.Keys, chart.Key{Text: "core", Style: chart.Series(core%5, 0, 0), Mark: true})
		}
		out := min(len(f.Keys)-mostKeys, len(names))
		f = tidied(f)
		if want := strings.Join(names[len(names)-out:], " "); f.Notes[0] != want || f.Notes[1] != "own" || len(f.Keys) != len(keys)+more-out {
			t.Errorf("%d more: %d keys and %q, want %q", more, len(f.Keys), f.Notes, want)
		}
	}
	if f := tidied(Figure{Keys: keys[:8]}); len(f.Keys) != 8 || f.Notes != nil {
		t.Errorf("of eight keys %d are left, with %q", len(f.Keys), f.Notes)
	}
	if markName(chart.Key{Style: 3, Mark: true}) != "Mark" {
		t.Error("a mark of a series has a name of its own")
	}
}

// Curves of a hand: those with nothing on the top first, then those read most often, up to three.
func TestHandCurvesInOrder(t *testing.T) {
	states := []bench{{}, {parts: []float64{4.7}}, {parts: []float64{10}}, {covered: 1}, {covered: 1, parts: []float64{4.7}}}
	times := func(n int, b bench) {
		for range n {
			states = append(states, b)
		}
	}
	times(1, bench{hand: 0.1})
	times(2, bench{hand: 0.1, parts: []float64{10}})
	times(4, bench{hand: 0.2, parts: []float64{4.7}})
	times(2, bench{hand: 0.2, covered: 1})
	v := look(solved(t, lighthouse(2e-4, states)))
	hands, _ := split(v.readings, func(r *reading) bool { return !math.IsInf(r.State.Hand, 1) })
	var names []string
	for _, c := range v.handCurves(hands) {
		names = append(names, fmt.Sprintf("%d %s", c.count, c.name))
		if first, last := c.points[0], c.points[len(c.points)-1]; !near(first.at, 0.07) || !near(last.at, 0.28) || len(c.points) != 41 {
			t.Errorf("%s: %d points from %g to %g m", c.name, len(c.points), first.at, last.at)
		}
	}
	if got := strings.Join(names, "; "); got != "2 core rod; 1 bare; 4 4.7 pF" {
		t.Error(got)
	}
}

// More than twelve times the coil's own capacitance lies beyond the figure, unless nothing else
// was added.
func TestNearOwn(t *testing.T) {
	v := byLine(4, nil)
	for i, pF := range []float64{0, 59.9, 60.1, 600} {
		v.readings[i].added = pF * 1e-12
	}
	for _, c := range []struct {
		list          []reading
		own           float64
		shown, beyond string
	}{
		{v.readings, 5e-12, "lines 2 and 3", "lines 4 and 5"}, {v.readings, 0, "lines 2, 3, 4 and 5", ""},
		{append(slices.Clone(v.readings[:1]), v.readings[2:]...), 5e-12, "lines 2, 4 and 5", ""},
	} {
		shown, beyond := nearOwn(c.list, c.own)
		if lines(shown) != c.shown || len(beyond) > 0 && lines(beyond) != c.beyond || len(beyond) == 0 && c.beyond != "" {
			t.Errorf("%g: shown %s, beyond %s", c.own, lines(shown), lines(beyond))
		}
	}
}

// Parts beyond those of the log add up on the top with the log's own.
func TestTopOfNewParts(t *testing.T) {
	r := roundFit(t, "rod")
	v := look(r)
	parts := append(r.Parts(), readings.Part{Name: "ten", Capacitance: 10e-12}, readings.Part{Name: "seven", Capacitance: 7e-12})
	for want, on := range map[float64][]int{0: nil, 5: {0}, 10: {2}, 17: {2, 3}, 37: {0, 1, 2, 3}} {
		s := readings.Bare()
		s.Parts = on
		if got := v.top(s, parts); math.Abs(got-want*1e-12) > 1e-15 {
			t.Errorf("%v: %g pF, want %g", on, 1e12*got, want)
		}
		s.Exact = 1e-12
		if got := v.top(s, parts); math.Abs(got-(want+1)*1e-12) > 1e-15 {
			t.Errorf("%v and 1 pF: %g pF", on, 1e12*got)
		}
	}
}

// Outside of the band counts what is above its upper or below its lower edge, however little.
func TestOutsideOfTheBand(t *testing.T) {
	const n = 20
	r := roundFit(t, "rod")
	for what, set := range map[string]func(i int, q patterns.NormalPosition) float64{
		"0 lie outside": func(i int, q patterns.NormalPosition) float64 { return q.Expected },
		"1 lie outside": func(i int, q patterns.NormalPosition) float64 {
			return map[bool]float64{true: q.High + 1e-3, false: q.Expected}[i == n-1]
		},
		"2 lie outside": func(i int, q patterns.NormalPosition) float64 {
			return map[int]float64{0: q.Low - 1e-3, n - 1: q.High + 1e-3}[i] + map[bool]float64{true: q.Expected}[i > 0 && i < n-1]
		},
		"3 lie outside": func(i int, q patterns.NormalPosition) float64 {
			return cmp.Or(map[int]float64{0: q.Low - 1e-3, 1: q.Low - 1e-3, 2: q.Low - 1e-3}[i], q.Expected)
		},
	} {
		r.Readings = byLine(n, func(i int, o *estimation.ReadingResult) { o.Standardised = set(i, patterns.NormalOrder(i+1, n)) }).result.Readings
		if f := Quantiles(r); !strings.HasSuffix(f.Alt, "of the 20 shown, "+what+" the 95 % band.") {
			t.Errorf("%q, want %s", f.Alt, what)
		}
	}
}

// The model has a bar of its own from a thousandth of the reading's on; what a reading weighs is
// the root of both squares.
func TestUncertaintiesApart(t *testing.T) {
	for _, c := range []struct{ stated, scale, model, own, want float64 }{
		{100, 1, 0, 100, 0}, {100, 1, 0.09, 100, 0}, {100, 1, 0.11, 100, 0.11}, {100, 1, 5, 100, 5}, {100, 1, 300, 100, 300}, {100, 2, 150, 200, 150},
	} {
		v := byLine(1, func(i int, o *estimation.ReadingResult) {
			o.Uncertainty, o.Weighed = c.stated, math.Hypot(c.own, c.model)
		})
		v.result.Quality.Scale = c.scale
		own, model := v.uncertainties(&v.readings[0])
		if math.Abs(own-c.own) > 1e-9*c.own || math.Abs(model-c.want) > 1e-4*c.want {
			t.Errorf("%+v: %g and %g", c, own, model)
		}
	}
	v := byLine(1, func(i int, o *estimation.ReadingResult) { o.Uncertainty, o.Weighed = 100, 80 }) // averaged with others
	if own, model := v.uncertainties(&v.readings[0]); own != 80 || model != 0 {
		t.Errorf("%g and %g", own, model)
	}
}

// Beyond forty values a sweep has dots for marks.
func TestDotsOfALongSweep(t *testing.T) {
	for n, small := range map[int]bool{2: false, 15: false, 40: false, 41: true} {
		s := Sweep{Name: "length", Unit: "m", Outcomes: []Outcome{{Name: "gain"}}}
		for i := range n {
			s.At, s.Outcomes[0].Value = append(s.At, float64(i+1)), append(s.Outcomes[0].Value, float64(i+1))
		}
		if p := Swept(s).Panels[0]; len(p.Points) != n || p.Points[0].Small != small {
			t.Errorf("%d values: %d marks, small %v", n, len(p.Points), p.Points[0].Small)
		}
	}
}

// The tables of a winding have ten places or a few more, evenly along it.
func TestTenPlaces(t *testing.T) {
	c := towerCoil()
	for n, want := range map[int]int{5: 6, 10: 11, 19: 20, 20: 11, 100: 11, 109: 11} {
		p := field.Profile{}
		for k := range n + 1 {
			x := float64(k) / float64(n)
			p.Height, p.Voltage, p.Current = append(p.Height, c.Length*x), append(p.Voltage, x), append(p.Current, 1-x)
		}
		s := voltage.Of(c, p, false)
		rows := Voltage(c, []Stressed{{"bare", &s}}, 1e3).Table.Rows
		step := max(1, n/10)
		if len(rows) != want {
			t.Errorf("%d slices: %d rows", n, len(rows))
		}
		for i, row := range rows {
			if x := float64(i*step) / float64(n); row[0] != fixed(1e3*c.Length*x, 1) || row[1] != fixed(x, 3) && row[1] != fixed(1e3*x, 3) {
				t.Errorf("%d slices, row %d: %q", n, i, row)
			}
		}
		m := &field.Mode{Voltage: p.Voltage[1:], Current: p.Current[1:]}
		rows = modeTable(c, m, quantity.UnitFor(c.Length, 0, "m")).Rows
		if len(rows) != n/step {
			t.Errorf("%d slices: %d rows of the mode", n, len(rows))
		}
		for i, row := range rows {
			if x := float64((i+1)*step) / float64(n); row[0] != fixed(1e3*c.Length*x, 1) || row[1] != fixed(x, 3) || row[2] != fixed(1-x, 3) {
				t.Errorf("%d slices, row %d of the mode: %q", n, i, row)
			}
		}
	}
}
