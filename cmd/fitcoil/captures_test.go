package main

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/ioformat/waveform"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonance"
	"fitcoil/model/ringing"
)

func captured(name string, segment int) report.Captured {
	return report.Captured{Capture: &waveform.Capture{Name: name, Segment: segment}, Result: &ringing.Result{}}
}

// peak are amplitudes across a resonance of quality factor 50.
func peak(hz float64) (points []resonance.Point) {
	for i := range 9 {
		f := hz * (1 + 0.01*float64(i-4))
		points = append(points, resonance.Point{Frequency: f, Amplitude: 2 / math.Hypot(1, 50*(f/hz-hz/f))})
	}
	return points
}

// Figures of several captures bear the names of their files and segments, those of several sweeps
// are numbered.
func TestFiguresOfCaptures(t *testing.T) {
	sweep := must.Get(swept(&waveform.Sweep{Unit: "V", Points: peak(1e6)}, ringing.Settings{})).In(t)
	for _, c := range []struct {
		list   []report.Captured
		sweeps []report.Swept
		want   string
	}{
		{[]report.Captured{captured("a.csv", 0)}, nil, "capture"},
		{[]report.Captured{captured("a.csv", 0), captured("night/b.x.csv", 0)}, nil, "a-capture b.x-capture"},
		{[]report.Captured{captured("a.csv", 1), captured("a.csv", 2)}, nil, "a-1-capture a-2-capture"},
		{nil, []report.Swept{sweep}, "resonance"},
		{nil, []report.Swept{sweep, sweep}, "resonance-1 resonance-2"},
		{[]report.Captured{captured("a.csv", 1)}, []report.Swept{sweep}, "resonance capture"},
	} {
		var names []string
		for _, f := range captureFigures(c.list, c.sweeps) {
			names = append(names, f.Name)
		}
		if got := strings.Join(names, " "); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// What may be an alias stays out of a log, and what is no sine if nothing is claimed of it.
func TestNotIntoALog(t *testing.T) {
	for kind := ringing.NoteKind(0); kind < 40; kind++ {
		for _, unclaimed := range []bool{false, true} {
			k := captured("a.csv", 0)
			k.Result.Unclaimed, k.Result.Notes = unclaimed, []ringing.Note{{Kind: kind}}
			want := kind == ringing.MayBeAliased || kind == ringing.NotOneSine && unclaimed
			err := loggable([]report.Captured{captured("b.csv", 0), k}, "log.csv")
			if (err != nil) != want {
				t.Errorf("note %d, unclaimed %v: %v", kind, unclaimed, err)
			}
			if err != nil && (!strings.HasPrefix(err.Error(), "a.csv: not added to log.csv: ") || !strings.HasSuffix(err.Error(), "; or add it as it is with --force")) {
				t.Error(err)
			}
			if code := 0; err != nil {
				if code, _ = outcome(err); code != exitUnanswerable {
					t.Errorf("exit code %d", code)
				}
			}
		}
	}
}

// Nine captures of a steady tone are one sweep, whose frequencies are no better than the worst time
// base; fewer than seven are none.
func TestDrivenCaptures(t *testing.T) {
	determined := func(v, u float64) quantities.Estimate {
		return quantities.Estimate{Value: v, Uncertainty: u, Determined: true}
	}
	list := func(timebase float64, n int) (list []report.Captured) {
		for i, p := range peak(1e6)[:n] {
			k := captured("a.csv", i+1)
			k.Result.Kind, k.Result.Frequency, k.Result.Amplitude = ringing.Steady, determined(p.Frequency, p.Frequency*timebase*float64(i%3)/2), determined(p.Amplitude, 0.01)
			list = append(list, k)
		}
		return list
	}
	own := 0.0 // what the curve leaves open by itself
	for _, timebase := range []float64{0, 2e-3} {
		s := driven(list(timebase, 9), ringing.Settings{})
		if len(s) != 1 || s[0].Captures != 9 || len(s[0].Result.Points) != 9 {
			t.Fatalf("%+v", s)
		}
		if e := s[0].Result.Resonance; math.Abs(e.Value-1e6) > 1 || timebase > 0 && math.Abs(e.Uncertainty-math.Hypot(own, 1e6*timebase)) > 1 {
			t.Errorf("a resonance at %g ± %g Hz, want ± %g", e.Value, e.Uncertainty, math.Hypot(own, 1e6*timebase))
		} else {
			own = e.Uncertainty
		}
	}
	if s := driven(list(0, 6), ringing.Settings{}); s != nil {
		t.Errorf("%+v", s)
	}
}

// Voltages of one record stand together.
func TestRecords(t *testing.T) {
	for want, segments := range map[string][]int{"": nil, "1": {0}, "2 1 3": {1, 1, 2, 3, 3, 3}, "1 1 1": {1, 2, 1}} {
		var list []*waveform.Capture
		for _, s := range segments {
			list = append(list, &waveform.Capture{Segment: s})
		}
		var sizes []string
		for _, g := range records(list) {
			sizes = append(sizes, quantity.Digits(float64(len(g)), 2))
			if slices.ContainsFunc(g, func(w *waveform.Capture) bool { return w.Segment != g[0].Segment }) {
				t.Errorf("%v: %v", segments, g)
			}
		}
		if got := strings.Join(sizes, " "); got != want {
			t.Errorf("%v: records of %s, want %s", segments, got, want)
		}
	}
}

// A quantity above zero is taken up to the most there may be, with its unit.
func TestPositive(t *testing.T) {
	for text, want := range map[string]float64{"20kV": 20e3, "100000kV": 1e8, "1V": 1} {
		got, err := positive("top-voltage", text, quantity.Voltage, 1e8, "a voltage above zero, as 20kV")
		if err != nil || math.Abs(got/want-1) > 1e-12 {
			t.Errorf("%s: %g, %v", text, got, err)
		}
	}
	for _, text := range []string{"0V", "-1V", "100001kV", "1000000kV"} {
		if _, err := positive("top-voltage", text, quantity.Voltage, 1e8, "a voltage above zero, as 20kV"); err == nil || !strings.Contains(err.Error(), "--top-voltage: ") || !strings.Contains(err.Error(), "expected a voltage above zero, as 20kV") {
			t.Errorf("%s: %v", text, err)
		}
	}
}

// Whole numbers of flags have both their ends; a flag is given once, and not without a value.
func TestValuesOfFlags(t *testing.T) {
	for text, ok := range map[string]bool{"0": false, "1": true, "20": true, "21": false, "-3": false, "1.5": false, "": false, "x": false} {
		n := 0
		s := whole(&n, 7, 1, 20)
		if n != 7 {
			t.Errorf("%d before it is given", n)
		}
		if err := s.Set(text); (err == nil) != ok || ok && (n < 1 || n > 20) || !ok && n != 7 {
			t.Errorf("%q: %d, %v", text, n, err)
		}
		if ok && s.Set(text) == nil {
			t.Errorf("%q is given twice", text)
		}
	}
	word := ""
	if s := oneOf(&word, "svg", "png"); s.Set("gif") == nil || word != "" || s.Set("png") != nil || word != "png" || s.Set("svg") == nil || word != "png" {
		t.Errorf("%q", word)
	}
}

// Names alike are spelled as the first of them.
func TestCalledAsTheFirst(t *testing.T) {
	var names []string
	for _, c := range [][2]string{{"Rod", "Rod"}, {"bar", "bar"}, {"ROD", "Rod"}, {"rod ", "Rod"}, {"Bar", "bar"}, {"ring", "ring"}} {
		name := c[0]
		if names = called(&name, names, benchlog.SameName); name != c[1] {
			t.Errorf("%q is called %q, want %q", c[0], name, c[1])
		}
	}
	if len(names) != 3 {
		t.Errorf("%q", names)
	}
}

// Words are quoted where a shell would take them for something else.
func TestPasted(t *testing.T) {
	in := []string{"fit", "a.csv", "added=4.7pF", "±5%", "two words", "it's", "$HOME", "a;b", "(x)", "é", "--", "*"}
	want := []string{"fit", "a.csv", "added=4.7pF", "±5%", "'two words'", `'it'\''s'`, "'$HOME'", "'a;b'", "'(x)'", "é", "--", "'*'"}
	if got := pasted(in); !slices.Equal(got, want) || in[4] != "two words" {
		t.Errorf("%q", got)
	}
}

// Captures that are one sweep are one row of a log, and of the row is told; others have a row each.
func TestRowsOfASweep(t *testing.T) {
	var list []report.Captured
	for i, p := range peak(1e6) {
		k := captured("a.csv", i+1)
		k.Result.Kind, k.Result.Frequency = ringing.Steady, quantities.Estimate{Value: p.Frequency, Uncertainty: 10, Determined: true}
		k.Result.Amplitude = quantities.Estimate{Value: p.Amplitude, Uncertainty: 0.01, Determined: true}
		k.Result.Resonance = k.Result.Frequency
		list = append(list, k)
	}
	for _, c := range []struct {
		sweeps []report.Swept
		want   int
	}{{driven(list, ringing.Settings{}), 1}, {nil, 9}} {
		var out, told bytes.Buffer
		run := &call{streams: streams{out: &out, err: &told}, verb: captureVerb()}
		must.Do(t, run.logRows(list, c.sweeps, "core=rod", ""))
		rows := must.Get(benchlog.Read(&out, "rows", benchlog.Options{})).In(t).Readings
		if len(rows) != c.want || slices.ContainsFunc(rows, func(r readings.Reading) bool { return r.Core != "rod" }) {
			t.Errorf("%d rows, want %d: %+v", len(rows), c.want, rows)
		}
		if strings.Contains(told.String(), "9 captures: taken together as a sweep of the drive, one row for all") != (c.want == 1) {
			t.Errorf("%d rows, and told is %q", c.want, told.String())
		}
	}
}
