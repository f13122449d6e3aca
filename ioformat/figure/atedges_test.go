package figure

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/patterns"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonance"
	"fitcoil/model/ringing"
	"fitcoil/model/voltage"
)

// Bars and cells of the budget are the shares of each source, put together by its name: those
// of half a percent and more of either by themselves, up to nine, the others in one row.
func TestBudgetHasEverySource(t *testing.T) {
	r := suspicious(t)
	f := Budget(r)
	share := map[string][2]float64{}
	for k, name := range []string{quantities.EffectiveInductance, quantities.EffectiveCapacitance} {
		for _, s := range r.Sources(r.Find(quantities.Key{Name: name})) {
			both := share[wording.Source(&s)]
			both[k] += s.Share
			share[wording.Source(&s)] = both
		}
	}
	small, smallest, rest := 0, 1.0, [2]float64{}
	for _, name := range slices.Collect(maps.Keys(share)) {
		if s := share[name]; max(s[0], s[1]) < 0.005 {
			small++
			rest[0], rest[1] = rest[0]+s[0], rest[1]+s[1]
			delete(share, name)
		} else {
			smallest = min(smallest, max(s[0], s[1]))
		}
	}
	share[quantity.Count(small, "other source")] = rest
	if smallest > 0.05 || len(share) > mostSources+1 || small == 0 {
		t.Fatalf("this test wants a source of less than a twentieth, few of half a percent, and some of less: %v", share)
	}
	p := f.Panels[0]
	if len(f.Table.Rows) != len(share) || len(p.Areas) != 2*len(share) {
		t.Fatalf("%d rows and %d bars of %d sources", len(f.Table.Rows), len(p.Areas), len(share))
	}
	for i, row := range f.Table.Rows {
		want, ok := share[row[0]]
		if !ok || row[1] != percent(want[0]) || row[2] != percent(want[1]) || p.Y.Ticks[len(share)-1-i].Label != row[0] {
			t.Errorf("row %q: shares %v", row, want)
		}
		for k := range 2 {
			bar := p.Areas[2*i+k]
			if end := bar.Outline[1]; !near(end.X, 100*want[k]) || math.Round(end.Y) != float64(len(share)-1-i) || bar.Style != f.Keys[k].Style {
				t.Errorf("row %q: bar %d to %v in style %d", row, k, end, bar.Style)
			}
		}
	}
}

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
	for want, read := range map[string]span{"thin 0…1, 1…3, thin 3…4": {1e-12, 3e-12, true}, "0…3, thin 3…4": {0, 3e-12, true}, "thin 0…1, 1…4": {1e-12, 9e-12, true}, "thin 0…4": {}, "thin 0…2, thin 2…4": {2e-12, 2e-12, true}} {
		k := curve{read: read}
		for i := range 5 {
			k.mean = append(k.mean, chart.XY{X: float64(i) * 1e-12, Y: 1e6})
		}
		var got []string
		for _, l := range k.lines(u) {
			got = append(got, fmt.Sprintf("%s%s…%s", has("thin ", l.Thin), num(l.Points[0].X), num(l.Points[len(l.Points)-1].X)))
		}
		text := strings.Join(got, ", ")
		if want == "thin 0…2, thin 2…4" {
			want = "thin 0…4"
		}
		if text != want {
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

// A name of twenty letters has no room, one of nineteen has; letters are counted, not bytes.
func TestLongNames(t *testing.T) {
	names := []string{strings.Repeat("ä", 19), strings.Repeat("ä", 20), "A"}
	out, notes := lettered("Part", names)
	if out[names[0]] != names[0] || out[names[1]] != "B" || out["A"] != "A" || len(notes) != 1 || notes[0] != "Part B: "+names[1]+"." {
		t.Errorf("%q, %q", out, notes)
	}
}

// Five conditions have curves, those read with most capacitances first; of the others is told.
func TestFiveCurves(t *testing.T) {
	var states []bench
	for i := range 7 {
		for k := range 2 + i%6 { // the sixth core has most, the first and the seventh least
			states = append(states, bench{covered: 1, parts: []float64{float64(2 * (k + 1))}})
		}
	}
	for range 9 { // of one capacitance
		states = append(states, bench{covered: 1, parts: []float64{2}})
	}
	log := lighthouse(2e-4, states)
	for i := range log.Readings {
		log.Readings[i].Core = "a"
	}
	for i, n := 0, 0; i < 7; i++ {
		for range 2 + i%6 {
			log.Readings[n].Core = string(rune('a' + i))
			n++
		}
	}
	v := look(solved(t, log))
	d := v.curves(10e-12)
	var names []string
	for _, k := range d.curves {
		names = append(names, k.name)
	}
	if got := strings.Join(names, ", "); got != "core f, core e, core d, core c, core b" || !slices.Equal(d.notes(v)[len(d.notes(v))-1:], []string{"Marks only, without a curve: core a; core g."}) {
		t.Errorf("curves of %s; %q", got, d.notes(v))
	}
	for i, k := range d.curves {
		if n := 7 - i; math.Abs(k.read.low-2e-12) > 1e-14 || math.Abs(k.read.high-float64(2*n)*1e-12) > 1e-14 {
			t.Errorf("%s was read from %g to %g F", k.name, k.read.low, k.read.high)
		}
	}
}

// Twelve predictions are named and numbered, thirteen are not.
func TestTwelvePredictions(t *testing.T) {
	r := roundFit(t, "rod")
	for n, named := range map[int]bool{1: true, 12: true, 13: false} {
		var list []decisions.Prediction
		for range n {
			list = append(list, decisions.Prediction{State: readings.Bare(), Frequency: told("", "Hz", 2e6, 500), NewReading: [2]float64{1.99e6, 2.01e6}})
		}
		f := Predictions(r, list, r.Parts())
		marks := f.Panels[0].Points
		if last := marks[len(marks)-1].Label; (last == fmt.Sprint(n)) != named || (last == "") == named || strings.HasPrefix(f.Notes[0], "1: bare: ") != named || len(f.Table.Rows) != n {
			t.Errorf("%d: the last is %q, %q", n, last, f.Notes[0])
		}
	}
}

// Eighteen quality factors have bars, all have rows of the table; each bar is as long as its loss,
// and the mark stands at 1000/Q with its uncertainty.
func TestEighteenQualities(t *testing.T) {
	log := damped()
	for len(log.Readings) < 30 {
		log.Readings = append(log.Readings, log.Readings[len(log.Readings)%7])
	}
	r := solved(t, log)
	f := Losses(r)
	_, list := r.Losses()
	p := f.Panels[0]
	if n := len(list); n <= 18 || len(f.Table.Rows) != n || len(p.Points) != 18 || len(p.Y.Ticks) != 18 || !slices.Contains(f.Notes, fmt.Sprintf("Not drawn: %s more.", quantity.Count(n-18, "quality factor"))) {
		t.Fatalf("of %d quality factors %d rows, %d marks, %q", n, len(f.Table.Rows), len(p.Points), f.Notes)
	}
	bars := 0
	for i, o := range list[:18] {
		at, end := float64(17-i), 0.0
		if d, bar := p.Points[i], p.Lines[i].Points; d.Y != at || !near(d.X, 1000/o.Quality) || !near(bar[0].X, 1000/o.Quality-1000*o.Uncertainty) || !near(bar[1].X, 1000/o.Quality+1000*o.Uncertainty) {
			t.Errorf("line %d: %v, bar %v", o.Line, d.XY, bar)
		}
		for k, part := range o.Parts {
			if part == 0 {
				continue
			}
			a := p.Areas[bars]
			if !near(a.Outline[0].X, end) && math.Abs(end) > 1e-12 || !near(a.Outline[1].X, end+1000*part) || a.Style != lossStyle(k) || math.Round(a.Outline[0].Y) != at {
				t.Errorf("line %d: loss %d from %v to %v", o.Line, k, a.Outline[0], a.Outline[1])
			}
			end += 1000 * part
			bars++
		}
		if got := f.Table.Rows[i][len(f.Table.Columns)-1]; got != fixed(1000/end, 0) {
			t.Errorf("line %d: Q by the sum %s, want %g", o.Line, got, 1000/end)
		}
	}
}

// Letters go on behind Z with numbers, and none is given twice.
func TestLettersBehindZ(t *testing.T) {
	var names []string
	for i := range 60 {
		names = append(names, fmt.Sprintf("a name of many words, number %d", i))
	}
	out, notes := lettered("Core", append(names, "B", "A1"))
	for i, want := range map[int]string{0: "A", 1: "C", 24: "Z", 25: "B1", 26: "C1", 49: "Z1", 50: "A2", 59: "J2"} {
		if out[names[i]] != want {
			t.Errorf("name %d is %s, want %s", i, out[names[i]], want)
		}
	}
	seen := map[string]bool{}
	for _, letter := range out {
		seen[letter] = true
	}
	if len(seen) != 62 || len(notes) != 60 {
		t.Errorf("%d letters for 62 names, %d notes", len(seen), len(notes))
	}
}

// A state on the top stands in the rows of its parts and in one of what else was added, least first.
func TestRowsOfParts(t *testing.T) {
	v := byLine(4, nil)
	v.parts = []readings.Part{{Name: "five", Capacitance: 5e-12}, {Name: "two", Capacitance: 2e-12}}
	for i, s := range []readings.State{{}, {Parts: []int{0, 1}, Exact: 3e-12}, {Exact: 1e-15}, {Parts: []int{1}}} {
		v.readings[i].State = s
	}
	var got []string
	for _, s := range v.strips(v.readings, v.byPart) {
		got = append(got, s.name+": "+lines(s.readings))
	}
	if text := strings.Join(got, "; "); text != "nothing: line 2; 1 fF: line 4; two: lines 3 and 5; 3 pF: line 3; five: line 3" {
		t.Error(text)
	}
}

// A stretch that is not fitted is told however few there are; columns are single samples where no
// two numbers differ.
func TestStretchesAndSamples(t *testing.T) {
	nan := math.NaN()
	for n, want := range map[int]string{0: "whole capture", 1: "whole capture; the shaded part is not fitted", 3: "whole capture; the shaded part is not fitted"} {
		r := &ringing.Result{Left: make([]ringing.Left, n)}
		if p := Capture(r).Panels[0]; p.Title != want || len(p.Areas) != n {
			t.Errorf("%d stretches: %q with %d areas", n, p.Title, len(p.Areas))
		}
	}
	for _, c := range []struct {
		low, high []float64
		want      bool
	}{{nil, nil, true}, {[]float64{1, nan}, []float64{1, nan}, true}, {[]float64{nan}, []float64{1}, false}, {[]float64{1}, []float64{nan}, false}, {[]float64{1, 2}, []float64{1, 2.1}, false}} {
		if single(ringing.Band{Min: c.low, Max: c.high}) != c.want {
			t.Errorf("%v and %v: single samples %v", c.low, c.high, !c.want)
		}
	}
}

// Couplings are named by the state of the core and by what they are of.
func TestNamesOfCouplings(t *testing.T) {
	for want, key := range map[string]quantities.Key{"core out, at resonance": {Name: quantities.CouplingAtResonance}, "core out, of windings": {Name: quantities.CouplingOfWindings},
		"core rod, at resonance": {Name: quantities.CouplingAtResonance, Core: "rod"}, "core rod, of windings": {Name: quantities.CouplingOfWindings, Core: "rod"}} {
		if got := couplingName(&quantities.Estimate{Key: key}); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// A diagram holds its bars; on logarithmic scales a band may reach down to half of the least.
func TestDiagramHoldsBars(t *testing.T) {
	d := &diagram{x: addedAxis{most: 1e-12, unit: quantity.UnitFor(1e-12, 0, "F")}}
	d.point(chart.Point{XY: chart.XY{Y: 10e6}, Low: 8e6, High: 13e6})
	if p := d.panel(); !near(p.Y.Min, 8) || !near(p.Y.Max, 13) || !near(p.Points[0].Low, 8) || !near(p.Points[0].High, 13) {
		t.Errorf("%+v over %+v", p.Points, p.Y)
	}
	d.x.shift = 1e-12
	for least, want := range map[float64]float64{1e6: 4, 6e6: 6} {
		wide := *d
		wide.y.add(100e6)
		wide.curves = []curve{{mean: []chart.XY{{Y: 50e6}}, points: []chart.BandPoint{{Low: least, High: 60e6}}}}
		if p := wide.panel(); !p.Y.Log || !near(p.Y.Min, want) || !near(p.Y.Max, 100) || !near(p.Bands[0].Points[0].Low, max(want, least/1e6)) {
			t.Errorf("from %g: %+v, band %+v", least, p.Y, p.Bands[0].Points[0])
		}
	}
}

// Drops that are above zero are marked, with a bar that the panel holds, the others and those over
// something else are told.
func TestHandsLeftOut(t *testing.T) {
	r := roundFit(t, "rod")
	f := Hand(r)
	if got := f.Panels[0].Points; len(got) != 3 {
		t.Fatalf("%d marks", len(got))
	}
	v := look(r)
	hands, _ := split(v.readings, func(r *reading) bool { return !math.IsInf(r.State.Hand, 1) })
	curves := v.handCurves(hands)
	for residual, want := range map[float64]int{-100: 3, -399: 3, -401: 3, 0: 2, 100: 2, -120e3: 3} { // beyond the drop itself
		drop := decisions.HandDrop(r.Result, hands[0].State).Value
		hands[0].Residual = drop + residual
		marks, notes := v.handMarks(curves, hands)
		if len(marks) != want || (want == 2) != slices.Contains(notes, "Not shown: line 7, whose drop is not above zero.") {
			t.Errorf("a drop of %g: %d marks, %q", -residual, len(marks), notes)
		}
		p := v.handPanel(&Figure{}, curves, hands)
		for _, d := range p.Points {
			if d.High > p.Y.Max*(1+1e-12) || d.Low < p.Y.Min*(1-1e-12) || !(d.Low <= d.Y && d.Y < d.High) {
				t.Errorf("a drop of %g: a bar from %g to %g around %g, over an axis from %g to %g", -residual, d.Low, d.High, d.Y, p.Y.Min, p.Y.Max)
			}
		}
	}
	marks, notes := v.handMarks(curves[:1], hands[1:])
	if len(marks) != 1 || !slices.Equal(notes, []string{"Not shown: 1 reading of a hand with something else on the top."}) {
		t.Errorf("%d marks, %q", len(marks), notes)
	}
	for _, s := range []readings.State{{Exact: 1e-15}, {Parts: []int{0}}, {Clip: true}} {
		if plainTop(&s) {
			t.Errorf("nothing is on the top of %+v", s)
		}
	}
	if s := (readings.State{Core: "rod", Hand: 0.1}); !plainTop(&s) {
		t.Error("a core is on the top")
	}
}

// A condition read with one capacitance alone has no curve beside the tangent.
func TestOneCapacitanceHasNoCurve(t *testing.T) {
	r := solved(t, lighthouse(2e-4, []bench{{}, {parts: []float64{4.7}}, {parts: []float64{10}}, {covered: 1, parts: []float64{4.7}}, {covered: 1, parts: []float64{4.7}}, {covered: 0.6, parts: []float64{2.2}}, {covered: 0.6, parts: []float64{4.7}}}))
	p := InverseSquare(r).Panels[0]
	if len(p.Lines) != 3 || p.Lines[0].Dashed || !p.Lines[2].Dashed || len(p.Points) != 8 {
		t.Errorf("%d lines and %d marks", len(p.Lines), len(p.Points))
	}
	for i, c := range look(r).curves(addedUpTo(look(r).readings)).curves { // a curve turns thin where the readings end
		for _, end := range []float64{c.read.low, c.read.high} {
			if !slices.ContainsFunc(c.mean, func(q chart.XY) bool { return q.X == end }) {
				t.Errorf("curve %d, read from %g to %g F, has no point at %g", i, c.read.low, c.read.high, end)
			}
		}
	}
}

// Metal is told to a tenth of a millimetre.
func TestMetalTold(t *testing.T) {
	c := field.Coil{Primary: field.Primary{Turns: 1, Diameter: 0.06004}, Metal: field.Metal{Ring: field.Ring{Diameter: 0.12344}, Plate: field.Plate{Diameter: 0.3}, Box: field.Box{Diameter: 0.5, Bottom: -0.05, Top: 0.4501}}}
	if got := metalText(c); got != " Primary: 1 turn, 60 mm across. Closed ring of 123.4 mm. Plate of 300 mm. In a box 500 mm wide and 500.1 mm high." {
		t.Error(got)
	}
	c = field.Coil{Primary: field.Primary{Turns: 2.5, Diameter: 0.06}, Metal: field.Metal{Ring: field.Ring{Diameter: 0.1, Slit: true}}}
	if got := metalText(c); got != " Primary: 2.5 turns, 60 mm across. Slit ring of 100 mm." {
		t.Error(got)
	}
}

// A reading with a part that is not determined has no place beside predictions, and isn't counted.
func TestPredictionsBesideOpenParts(t *testing.T) {
	r := roundFit(t, "rod")
	r.Session.Log.Parts = slices.Clone(r.Session.Log.Parts)
	r.Session.Log.Parts[1].Known = false
	r.Find(quantities.Key{Name: quantities.PartCapacitance, Part: "fifteen"}).Determined = false
	list := []decisions.Prediction{{State: readings.Bare(), Frequency: told("", "Hz", 2e6, 500), NewReading: [2]float64{1.99e6, 2.01e6}}}
	if f := Predictions(r, list, r.Parts()); !strings.HasPrefix(f.Alt, "Predicted frequencies of 1 state, over 8 readings and ") || len(f.Panels[0].Points) != 9 {
		t.Errorf("%d marks; %s", len(f.Panels[0].Points), f.Alt)
	}
}

// The axis of a resonance curve holds its peak, which may lie between the readings, and all that
// was read.
func TestPeakOnItsAxis(t *testing.T) {
	for _, c := range []struct{ peak, read, top float64 }{{2, 1, 2.1}, {1, 2, 2.1}, {1, 1, 1.05}} {
		r := &resonance.Result{Peak: told("", "V", c.peak, 0.01), Resonance: told("", "Hz", 1e6, 100), Quality: told("", "1", 100, 1),
			Points: []resonance.Point{{Frequency: 0.9e6, Amplitude: 0.5}, {Frequency: 1.02e6, Amplitude: c.read}, {Frequency: 1.1e6, Amplitude: 0.4}}, Fitted: []float64{0.4, 1, 0.5}}
		f := Resonance(r, "V")
		if y := f.Panels[0].Y; y.Min != 0 || !near(y.Max, c.top) {
			t.Errorf("%+v: from %g to %g", c, y.Min, y.Max)
		}
		for i, d := range f.Panels[1].Points { // measured less curve, in % of the peak
			if want := 100 * (r.Points[i].Amplitude - r.Fitted[i]) / c.peak; !near(d.Y, want) || math.Abs(d.Y) > f.Panels[1].Y.Max {
				t.Errorf("%+v: residual %d at %g, want %g", c, i, d.Y, want)
			}
		}
	}
}

// The widest bar of the model is told, wherever it stands.
func TestWidestModelBar(t *testing.T) {
	for at := range 3 {
		v := byLine(3, func(i int, o *estimation.ReadingResult) {
			o.Weighed = math.Hypot(100, map[bool]float64{true: 500, false: 200}[i == at])
		})
		p, notes := v.barredResiduals()
		if !strings.Contains(notes[0], "up to 500 Hz;") || !near(p.Points[at].WideHigh, 500) || !near(p.Points[at].WideLow, -500) {
			t.Errorf("reading %d: %q, %+v", at, notes, p.Points[at])
		}
	}
}

// The drawing has room for all beads: they and the gaps between them follow from the start on.
func TestRoomForBeads(t *testing.T) {
	c := towerCoil()
	c.Ball = 0
	c.Beads.Length, c.Beads.Spacing, c.Beads.Count, c.Beads.Start = 20e-3, 10e-3, 12, -15e-3
	p := sectionPanel(c, quantity.UnitFor(c.Length, 0, "m"))
	var beads []chart.Area
	for _, a := range p.Areas {
		if a.Style == chart.Faint {
			beads = append(beads, a)
		}
	}
	for i, a := range beads {
		if from, to := a.Outline[0].X, a.Outline[1].X; math.Abs(from-float64(30*i-15)) > 1e-9 || math.Abs(to-from-20) > 1e-9 {
			t.Errorf("bead %d from %g to %g mm", i, from, to)
		}
	}
	if len(beads) != 12 || !near(p.X.Min, -40) && p.X.Min > -15 || p.X.Max < 345 {
		t.Errorf("%d beads on an axis from %g to %g", len(beads), p.X.Min, p.X.Max)
	}
}

// One reading left out, and one suspect, have keys, whichever they are.
func TestAnyReadingHasItsKey(t *testing.T) {
	for at := range 3 {
		v := byLine(3, func(i int, o *estimation.ReadingResult) { o.Use, o.Flagged = i != at, i == at })
		if hollow, ring := flags(v.readings); !hollow || !ring {
			t.Errorf("reading %d: left out %v, suspect %v", at, hollow, ring)
		}
		if hollow, ring := flags(append(slices.Clone(v.readings[:at]), v.readings[at+1:]...)); hollow || ring {
			t.Errorf("without reading %d: left out %v, suspect %v", at, hollow, ring)
		}
	}
}
