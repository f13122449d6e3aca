package page

import (
	"bytes"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/ioformat/figure"
	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// sameWords wants lines as they are, whatever their indentation.
func sameWords(t *testing.T, what, got, want string) {
	t.Helper()
	lines := func(s string) []string {
		list := strings.Split(strings.TrimSpace(s), "\n")
		for i, l := range list {
			list[i] = strings.TrimSpace(l)
		}
		return list
	}
	a, b := lines(got), lines(want)
	for i := range max(len(a), len(b)) {
		if i >= len(a) || i >= len(b) || a[i] != b[i] {
			t.Errorf("%s: from line %d on\n%s\nand should be\n%s", what, i+1, strings.Join(a[min(i, len(a)):], "\n"), strings.Join(b[min(i, len(b)):], "\n"))
			return
		}
	}
}

func six(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

func estimateOf(name, unit string, v, u float64) quantities.Estimate {
	return quantities.Estimate{Key: quantities.Key{Name: name}, Unit: unit, Value: v, Uncertainty: u, Determined: true, Interval: [2]float64{v - 2*u, v + 2*u}, Coverage: 2, Degrees: 60}
}

func TestLimitsInWords(t *testing.T) {
	var b strings.Builder
	for _, o := range []decisions.Outside{{Element: decisions.AddedElement, From: 0, To: 10e-12}, {Element: decisions.AddedElement, From: 0, To: 0}, {Element: decisions.CoveredElement, From: 0.3, To: 1},
		{Element: decisions.HandElement, From: 0.1, To: 0.4}, {Element: decisions.HandElement, From: 0.1, To: 0.1}, {Element: decisions.CombinedElement, From: math.NaN(), To: math.NaN()}} {
		l := limitText(o)
		b.WriteString(strings.Join([]string{l.Axis, six(l.From), six(l.To), l.Text}, " | ") + "\n")
	}
	sameWords(t, "limits", b.String(), `
		added | 0 | 1e-11 | the readings in this condition have nothing to 10.0 pF on the top
		added | 0 | 0 | the readings in this condition have nothing on the top
		covered | 0.3 | 1 | the readings with this core cover 30 % to 100 % of the winding
		hand | 0.1 | 0.4 | the readings have a hand at 10 cm to 40 cm
		hand | 0.1 | 0.1 | the readings have a hand at 10 cm
		| 1 | 0 | core and hand were never read together`)
}

// The script is told what the panel has, in whole steps.
func TestPanelForTheScript(t *testing.T) {
	p := &panel{Cores: []string{"rod"}, Added: &slider{Scale: 1e-12}, Hand: &slider{Scale: 0.01}, Covered: &slider{Scale: 0.02}, Modes: []mode{
		{core: "rod", full: true, near: true, limits: []decisions.Outside{{Element: decisions.CoveredElement, From: 0.5, To: 1}},
			expansion: &expansion{axes: []axis{{Name: "added", From: 1, To: 2, Shift: 3, N: 2}, {Name: "covered", N: 1, Values: []float64{0.5}}}, lnF: []float64{14.5, -0.25e-3}, v: []float64{2e-8, -1e-9}, step: 1e-10}},
		{expansion: &expansion{step: 1}}}}
	text := must.Get(p.data(&dial{Min: 1e6, Max: 2e6}, NewPart{Tolerance: 0.05, Uncertainty: 0.025})).In(t)
	sameWords(t, "all", strings.ReplaceAll(string(text), "},", "},\n"), `
		{"part":{"tolerance":"5.0 %","uncertainty":0.025},
		"dial":[1000000,2000000],"scale":{"added":1e-12,"covered":0.02,"hand":0.01},
		"modes":[{"core":"rod","full":true,"near":true,"axes":[{"name":"added","from":1,"to":2,"shift":3,"n":2},
		{"name":"covered","from":0,"to":0,"shift":0,"n":1,"values":[0.5]}],"lnf":{"step":1e-10,"of":[145000000000,-2500000]},
		"v":{"step":1e-10,"of":[200,-10]},
		"limits":[{"axis":"covered","from":0.5,"to":1,"text":"the readings with this core cover 50 % to 100 % of the winding"}]},
		{"core":"","full":false,"near":false,"axes":[],"lnf":{"step":1e-10,"of":[]},
		"v":{"step":1,"of":[]},
		"limits":[]}]}`)
	text, _ = (&panel{}).data(&dial{}, NewPart{})
	sameWords(t, "none", string(text), `
		{"part":{"tolerance":"0 %","uncertainty":0},"dial":[0,0],"scale":{},"modes":null}`)
}

func TestStoryOfACore(t *testing.T) {
	of := func(name, unit string, v, u float64) quantities.Estimate {
		e := estimateOf(name, unit, v, u)
		e.Core = "rod"
		return e
	}
	r := &model.Result{Result: &estimation.Result{Parameters: []quantities.Estimate{of(quantities.CoreGain, "1", 2, 0.02)},
		Derived: []quantities.Estimate{of(quantities.CoreFrequencyDrop, "Hz", 7e5, 2e3), of(quantities.FrequencyRatio, "1", 0.7, 0.001), of(quantities.ImpedanceRatio, "1", 1.4, 0.01)}}}
	for i, want := range []string{
		"As far in as it was read, it lowers the bare frequency by 700.0 ± 2.0 kHz, to 0.7000 ± 0.0010 of it. Why. The fit finds a gain of inductance of 2.000 ± 0.020. The coil's characteristic impedance becomes 1.400 ± 0.010 times that of the bare coil.",
		"Why. The fit finds a gain of inductance of 2.000 ± 0.020. The coil's characteristic impedance becomes 1.400 ± 0.010 times that of the bare coil.",
		"Why. The coil's characteristic impedance becomes 1.400 ± 0.010 times that of the bare coil.",
		"Why.",
	} {
		if got := coreStory(r, "rod", "Why."); got != want {
			t.Errorf("%d: %q", i, got)
		}
		switch i {
		case 0:
			r.Derived[1].Determined = false
		case 1:
			r.Parameters[0].Determined = false
		case 2:
			r.Derived[2].Determined = false
		}
	}
	r.Derived[1].Determined, r.Derived[0].Determined = true, false
	if got := coreStory(r, "rod", ""); got != "" || len(r.Cores()) != 1 || r.Cores()[0] != "rod" {
		t.Errorf("%q of %q", got, r.Cores())
	}
}

func TestBarsAndCoverage(t *testing.T) {
	e := estimateOf("", "1", 1, 0.1)
	e.Budget = quantities.Budget{Readings: 0.5, Tolerance: 0.3, Known: 0.1, Assumed: 0.095, Model: 0.005}
	want := []share{{"readings", "50.0"}, {"tolerance", "30.0"}, {"known", "10.0"}, {"assumed", "9.5"}, {"model", "0.5"}}
	if got := bar(&e); len(got) != 5 || [5]share(got) != [5]share(want) {
		t.Errorf("%v", got)
	}
	e.Budget.Model = 0.0049
	if got := bar(&e); len(got) != 4 {
		t.Errorf("%v", got)
	}
	e.Coverage = 2.004
	for degrees, want := range map[float64]string{3.4: "2.00 3", 999: "2.00 999", 1000: "2.00 ∞", math.Inf(1): "2.00 ∞"} {
		e.Degrees = degrees
		if k, d := coverage(&e); k+" "+d != want {
			t.Errorf("%v: %q %q", degrees, k, d)
		}
	}
	e.Bound = fit.Free + 1
	if k, d := coverage(&e); k+d != "" {
		t.Errorf("at a bound %q %q", k, d)
	}
	e.Bound, e.Determined = fit.Free, false
	if k, d := coverage(&e); k+d != "" || bar(&e) != nil {
		t.Errorf("undetermined %q %q %v", k, d, bar(&e))
	}
	for in, want := range map[string]string{"a clause": "A clause.", "χ² is 4": "χ² is 4.", "Z": "Z."} {
		if got := sentence(in); got != want {
			t.Errorf("%q: %q", in, got)
		}
	}
	for in, want := range map[string]string{"a.csv:1: what is it?": "a.csv:1: what is it?", "a.csv:1: so": "a.csv:1: so."} {
		if got := ended(in); got != want {
			t.Errorf("%q: %q", in, got)
		}
	}
	one, hertz := estimateOf("", "1", 2, 0.1), estimateOf("", "Hz", 2e6, 1e3)
	if a, b := with(&one), with(&hertz); a != "2.00 ± 0.10" || b != "2.0000 ± 0.0010 MHz" {
		t.Errorf("%q, %q", a, b)
	}
}

// The scale from 1 to 2.2 MHz, with a reading each.
func TestDialInWords(t *testing.T) {
	bare := estimateOf(quantities.BareFrequency, "Hz", 2e6, 1e3)
	r := &model.Result{Result: &estimation.Result{Derived: []quantities.Estimate{bare}}}
	for i, f := range []float64{1e6, 2.1e6, 1.5e6} {
		s := readings.Bare()
		if i == 1 {
			s.Core, s.To = "rod", 1
		}
		if i == 2 {
			s.Hand = 0.1
		}
		r.Readings = append(r.Readings, estimation.ReadingResult{Reading: readings.Reading{State: s, Line: i + 2, Frequency: f, Uncertainty: 1e3}})
	}
	var b strings.Builder
	show := func(d *dial) {
		b.Reset()
		b.WriteString(d.Unit + " " + six(d.Scale) + " from " + six(d.Min) + " to " + six(d.Max) + "\n" + d.Alt + "\n")
		for _, k := range d.Ticks {
			b.WriteString(k.At + "=" + k.Label + " ")
		}
		b.WriteString("\n")
		if d.Needle != nil {
			b.WriteString("needle " + d.Needle.At + " " + d.Needle.Label + "\n")
		}
		for _, s := range d.Stations {
			b.WriteString(s.At + " " + s.Kind + ": " + s.Label + "\n")
		}
	}
	show(newDial(r, nil))
	sameWords(t, "dial", b.String(), `
		MHz 1e+06 from 800000 to 2.2e+06
		A scale of frequency from 800 kHz to 2.20 MHz with the 3 readings on it, the lowest at 1.000 MHz and the highest at 2.100 MHz.
		0.000=0.8 14.286=1 28.571=1.2 42.857=1.4 57.143=1.6 71.429=1.8 85.714=2 100.000=2.2
		needle 85.714 bare
		14.286 plain: line 2, bare, 1.0000 ± 0.0010 MHz
		92.857 core: line 3, core rod, 2.1000 ± 0.0010 MHz
		50.000 hand: line 4, hand at 10 cm, 1.5000 ± 0.0010 MHz`)
	r.Derived[0].Determined, r.Derived[0].Value = false, 9e6
	m := mode{expansion: &expansion{axes: []axis{{Name: "added", From: 0, To: 1, N: 2}, {Name: "hand", From: 0, To: 1, N: 1}}, lnF: []float64{math.Log(0.6e6), -math.Log(2)}, v: []float64{1, 0}, step: 1}}
	if got := m.reach(); math.Abs(got-0.3e6) > 1 { // at the upper end, where T₁ is 1
		t.Errorf("reaches %g", got)
	}
	show(newDial(r, &panel{Modes: []mode{m}}))
	sameWords(t, "with a panel", b.String(), `
		MHz 1e+06 from 0 to 2.4e+06
		A scale of frequency from 0 Hz to 2.40 MHz with the 3 readings on it, the lowest at 1.000 MHz and the highest at 2.100 MHz.
		0.000=0 16.667=0.4 33.333=0.8 50.000=1.2 66.667=1.6 83.333=2 100.000=2.4
		41.667 plain: line 2, bare, 1.0000 ± 0.0010 MHz
		87.500 core: line 3, core rod, 2.1000 ± 0.0010 MHz
		62.500 hand: line 4, hand at 10 cm, 1.5000 ± 0.0010 MHz`)
	for len(r.Readings) < 401 {
		r.Readings = append(r.Readings, r.Readings[0])
	}
	if d := newDial(r, nil); len(d.Stations) != 201 {
		t.Errorf("%d strokes of 401", len(d.Stations))
	}
	r.Readings = r.Readings[:400]
	if d := newDial(r, nil); len(d.Stations) != 400 {
		t.Errorf("%d strokes of 400", len(d.Stations))
	}
}

// Hands read at 10 and 40 cm, and one not used at 1 m.
func TestSliders(t *testing.T) {
	r := &model.Result{Result: &estimation.Result{}}
	for i, at := range []float64{0.1, 0.4, 1, math.Inf(1)} {
		s := readings.Bare()
		s.Hand = at
		r.Readings = append(r.Readings, estimation.ReadingResult{Reading: readings.Reading{State: s, Use: i != 2}})
	}
	if got, want := *handSlider(r), (slider{Unit: "cm", Scale: 0.01, Min: 5, Max: 80, Step: 0.5, Start: 10}); got != want {
		t.Errorf("%+v", got)
	}
	r.Readings = r.Readings[:1]
	r.Readings[0].State.Hand = 1e-3
	if got, want := *handSlider(r), (slider{Unit: "cm", Scale: 0.01, Min: 0.05, Max: 0.2, Step: 0.001, Start: 0.1}); got != want {
		t.Errorf("%+v", got)
	}
	p := newPanel(roundFit(t), nil)
	if got, want := *p.Added, (slider{Unit: "pF", Scale: 1e-12, Max: 8, Step: 0.05}); got != want {
		t.Errorf("%+v", got)
	}
	if got, want := *p.Covered, (slider{Unit: "%", Scale: 0.01, Max: 100, Step: 1, Start: 100}); got != want || p.Cores[0] != "rod" {
		t.Errorf("%+v of %q", got, p.Cores)
	}
	if got, want := *p.Hand, (slider{Unit: "cm", Scale: 0.01, Min: 5, Max: 20, Step: 0.1, Start: 10}); got != want {
		t.Errorf("%+v", got)
	}
	steps, done := 0, 0
	newPanel(roundFit(t), func(n int) func() { steps = n; return func() { done++ } })
	if steps != 6 || done != 6 { // air and a rod all the way in or partly, each without a hand and with one
		t.Errorf("%d of %d steps", done, steps)
	}
	var got strings.Builder
	for _, m := range p.Modes {
		got.WriteString(m.core + " ")
		for _, a := range m.sliders(p) {
			got.WriteString(a.Name + " " + six(a.From) + " " + six(a.To) + " " + six(a.Shift) + "; ")
		}
		x := []float64{1e-12, 0.5, 0.2}
		if m.full {
			x = []float64{1e-12, 0.2}
		}
		s := m.state(p, x)
		got.WriteString(six(s.Exact) + " " + s.Core + " " + six(s.To) + " " + six(s.Hand) + "\n")
	}
	sameWords(t, "modes", got.String(), `
		added 0 8e-12 1e-12; 1e-12  0 +Inf
		added 0 8e-12 1e-12; hand 0.05 0.2 0.05; 1e-12  0 0.2
		rod added 0 8e-12 1e-12; 1e-12 rod 1 +Inf
		rod added 0 8e-12 1e-12; covered 0 1 0; 1e-12 rod 0.5 +Inf
		rod added 0 8e-12 1e-12; hand 0.05 0.2 0.05; 1e-12 rod 1 0.2
		rod added 0 8e-12 1e-12; covered 0 1 0; hand 0.05 0.2 0.05; 1e-12 rod 0.5 0.2`)
}

// A drawing of two's width keeps it; of many rows of numbers a thousand are shown.
func TestDrawingsOfThePage(t *testing.T) {
	f := figure.Figure{Name: "a", Title: "A?", Alt: "B.", Panels: []chart.Panel{{X: chart.Over("x", 0, 1, 3), Y: chart.Over("y", 0, 1, 3), Lines: []chart.Line{{Points: []chart.XY{{X: 0, Y: 0}, {X: 1, Y: 1}}}}}}}
	f.Table.Columns = []string{"a"}
	for range report.MostLines + 3 {
		f.Table.Rows = append(f.Table.Rows, []string{"1"})
	}
	d, err := newDrawing(f)
	if err != nil || d.Wide || d.Width != 300 || d.Left != 3 || len(d.Shown) != report.MostLines || !bytes.HasPrefix([]byte(d.SVG), []byte("<svg")) {
		t.Errorf("%v, %g wide, %d left of %d: %v", d.Wide, d.Width, d.Left, len(d.Shown), err)
	}
	f.Width, f.Table.Rows = 520, f.Table.Rows[:report.MostLines]
	if d, err = newDrawing(f); err != nil || !d.Wide || d.Width != 520 || d.Left != 0 {
		t.Errorf("%v, %g wide, %d left: %v", d.Wide, d.Width, d.Left, err)
	}
}

// What the script is told in whole numbers is rounded to the nearest: 0.3/0.1 is a little below 3.
func TestWholeNumbersAreTheNearest(t *testing.T) {
	if got := whole([]float64{0.3, -0.3, 0.7, 0.04, -0.06, 1}, 0.1); got.Step != 0.1 || !slices.Equal(got.Of, []int64{3, -3, 7, 0, -1, 10}) {
		t.Errorf("%+v", got)
	}
}
