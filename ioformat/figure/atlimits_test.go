package figure

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonance"
	"fitcoil/model/ringing"
)

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
			if cell := f.Table.Rows[i][3+k]; cell != fixed(1000*part, 2) {
				t.Errorf("line %d: loss %d is %s, want %g", o.Line, k, cell, 1000*part)
			}
			if part == 0 {
				continue
			}
			a := p.Areas[bars]
			if !near(a.Outline[0].X, end) && math.Abs(end) > 1e-12 || !near(a.Outline[1].X, end+1000*part) || a.Style != lossStyle(k) || !near(a.Outline[0].Y, at-0.34) || !near(a.Outline[2].Y, at+0.34) {
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

// Conditions with a hand have curves only where there are no others.
func TestConditionsDrawn(t *testing.T) {
	v := byLine(1, nil)
	bare, rod, near, far := readings.Condition{Hand: math.Inf(1)}, readings.Condition{Core: "rod", To: 1, Hand: math.Inf(1)}, readings.Condition{Hand: 0.1}, readings.Condition{Hand: 0.5}
	for _, c := range []struct{ read, further, want []readings.Condition }{
		{[]readings.Condition{bare, near}, nil, []readings.Condition{bare}}, {[]readings.Condition{near, bare, far, rod}, nil, []readings.Condition{bare, rod}}, {[]readings.Condition{near, far}, nil, []readings.Condition{near, far}},
		{[]readings.Condition{near}, []readings.Condition{rod, near}, []readings.Condition{rod}}, {[]readings.Condition{bare}, []readings.Condition{bare, rod}, []readings.Condition{bare, rod}},
	} {
		v.conditions = c.read
		if got := v.drawn(c.further); !slices.Equal(got, c.want) {
			t.Errorf("of %v and %v: %v", c.read, c.further, got)
		}
	}
}

// A prior and a source of variance have the names that figures have room for, whatever they are of.
func TestNamesOfPriors(t *testing.T) {
	const long = "rod of ferrite, long, glued"
	v := look(roundFit(t, long))
	for core, want := range map[string]string{long: "A", "": "", "glass": "glass"} {
		b := estimation.MovedPrior{Known: quantities.Key{Name: quantities.CoreGain, Core: core}}
		if got := v.shortMoved(&b); got.Known.Core != want || b.Known.Core != core {
			t.Errorf("core %q is called %q, and was then called %q", core, got.Known.Core, b.Known.Core)
		}
		if got := v.shortSource(estimation.Source{Kind: estimation.KnownSource, Known: b.Known}); got.Known.Core != want {
			t.Errorf("of a budget core %q is called %q", core, got.Known.Core)
		}
	}
}

// Residuals are in the unit that the largest of them reads well in; without two states read there
// are no bands.
func TestUnitOfResiduals(t *testing.T) {
	for want, hz := range map[string]float64{"Hz": 999, "kHz": 5000, "MHz": 2e6} {
		v := byLine(3, func(i int, o *estimation.ReadingResult) {
			o.State.Hand, o.Standardised = 0.1, 2.5
			o.Residual = []float64{0.1 * hz, -hz, 0.5 * hz}[i]
		})
		p := v.plainResiduals(v.readings, addedAxis{most: 1e-12, unit: quantity.UnitFor(1e-12, 0, "F")})
		if p.Y.Label != "residual (measured − fitted) ["+want+"]" || len(p.Bands) != 0 || p.Title != "" {
			t.Errorf("%g Hz: %q, %d bands, %q", hz, p.Y.Label, len(p.Bands), p.Title)
		}
		u := quantity.UnitFor(hz, 0, "Hz")
		if !near(p.Y.Min, -u.FromSI(hz)) || !near(p.Y.Max, u.FromSI(0.5*hz)) || !near(p.Points[1].Y, -u.FromSI(hz)) {
			t.Errorf("%g Hz: from %g to %g, %v", hz, p.Y.Min, p.Y.Max, p.Points[1].XY)
		}
	}
}
