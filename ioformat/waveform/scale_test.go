package waveform

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// A count less its reference, times what it is worth, and the origin; each of two columns by its own.
func TestCountsByTheirScale(t *testing.T) {
	f := file(t, "Y increment,0.01,0.02\nY reference,128,100\nY origin,0.5,-1\nSample interval,1 us\nCH1,CH2\n130,101\n126,99\n129,104\n128,100\n", Options{})
	for k, want := range []float64{0.5 + 0.01*(130-128), -1 + 0.02*(101-100)} {
		c := f.Captures[k]
		if got := c.Signal.Samples[0]; math.Abs(got-want) > 1e-12 || c.Unit != "V" || len(c.Notes) == 0 || !strings.Contains(strings.Join(c.Notes, ";"), []string{"0.01 V in line 1", "0.02 V in line 1"}[k]) {
			t.Errorf("%v %s, want %v; %q", got, c.Unit, want, c.Notes)
		}
	}
}

// What one count or one number of each column is worth, and what is told of it: by the unit in the header, by the unit
// in the settings for all columns or for each, and by what a count is worth there. The samples are 1 and 3 but for the
// last case; a reference and an origin move them.
func TestWorthOfSamples(t *testing.T) {
	counts := func(name, worth string, line int) string {
		return fmt.Sprintf("the samples are counts of the converter: turned into volts with %q = %s V in line %d", name, worth, line)
	}
	const whole = "the samples are whole numbers: taken for counts of the converter, not for volts"
	for _, c := range []struct {
		settings, header, rows string
		want                   []string // of each column
		notes                  []string // of the file
	}{
		{"", "CH1 [V]", "%de-6,1", []string{"1 V"}, nil},
		{"", "CH1", "%de-6,1", []string{"1 "}, nil},
		{"Vertical Units,V\n", "CH1", "%de-6,1", []string{"1 "}, []string{whole}},
		{"Vertical Units,V\n", "CH1", "%de-6,1.5", []string{"1.5 V"}, nil},
		{"Vertical Units,V\n", "CH1 [V]", "%de-6,1", []string{"1 V"}, nil},
		{"Vertical Units,mV\n", "CH1", "%de-6,1", []string{"0.001 V"}, nil},
		{"Vertical Units,mV\n", "CH1,CH2", "%de-6,1,3", []string{"0.001 V", "0.003 V"}, nil},    // one for all
		{"Vertical Units,mV,uV\n", "CH1,CH2", "%de-6,1,3", []string{"0.001 V", "3e-06 V"}, nil}, // one for each
		{"Vertical Units,mV,uV,V\n", "CH1,CH2", "%de-6,1,3", []string{"1 ", "3 "}, nil},         // nobody knows for which
		{"Vertical Units,mV,uV\n", "CH1", "%de-6,1", []string{"1 "}, nil},
		{"Vertical Units,mV,uV\n", "CH1,CH2,CH3", "%de-6,1,3,4", []string{"1 ", "3 ", "4 "}, nil},
		{"Vertical Units,mV,uV\n", "CH1,CH2 [V]", "%de-6,1,3", []string{"0.001 V", "3 V"}, nil}, // the header is nearer
		{"YIncrement,0.01\n", "CH1", "%de-6,1", []string{"0.01 V"}, []string{counts("YIncrement", "0.01", 1)}},
		{"Vertical Units,V\nYIncrement,0.01\n", "CH1", "%de-6,1", []string{"0.01 V"}, []string{counts("YIncrement", "0.01", 2)}},
		{"Vertical Units,V\nYIncrement,0.01\n", "CH1", "%de-6,1.5", []string{"1.5 V"}, nil},
		{"Vertical Units,V\nYIncrement,0.01\n", "CH1 [V]", "%de-6,1", []string{"1 V"}, nil},
		{"YIncrement,0.01\n", "CH1 [counts]", "%de-6,1", []string{"0.01 V"}, []string{counts("YIncrement", "0.01", 1)}},
		{"YIncrement,10,mV\n", "CH1", "%de-6,3", []string{"0.03 V"}, []string{counts("YIncrement", "0.01", 1)}},
		{"Vertical Units,V\nYIncrement,0\n", "CH1", "%de-6,1", []string{"1 "}, []string{whole}},
		{"Vertical Units,V\nYIncrement,-0.01\n", "CH1", "%de-6,1", []string{"1 "}, []string{whole}},
		{"Vertical Units,V\nYIncrement,x\n", "CH1", "%de-6,1", []string{"1 "}, []string{whole}},
		{"YIncrement,0.01\nYReference,128\nYOrigin,0.5\n", "CH1", "%de-6,130", []string{"0.52 V"}, []string{counts("YIncrement", "0.01", 1)}},
		{"Ymult,0.01,0.02\nYoff,1,2\nYzero,3,4\n", "CH1,CH2", "%de-6,1,3", []string{"3 V", "4.02 V"}, []string{counts("Ymult", "0.01", 1), counts("Ymult", "0.02", 1)}},
		{"Ymult,0.01\nYoff,1\nYzero,3\n", "CH1,CH2", "%de-6,1,3", []string{"3 V", "3.02 V"}, []string{counts("Ymult", "0.01", 1), counts("Ymult", "0.01", 1)}},
	} {
		var b strings.Builder
		for i := range 20 {
			fmt.Fprintf(&b, c.rows+"\n", i)
		}
		f := file(t, c.settings+"Time [s],"+c.header+"\n"+b.String(), Options{})
		var got []string
		for _, x := range f.Captures {
			got = append(got, fmt.Sprintf("%.6g %s", x.Signal.Samples[0], x.Unit))
			if notes := strings.Join(x.Notes, "; "); notes != strings.Join(c.notes, "; ") {
				t.Errorf("%q %s: told %s", c.settings, c.header, notes)
			}
		}
		if strings.Join(got, ", ") != strings.Join(c.want, ", ") {
			t.Errorf("%q %s, %s: %q, want %q", c.settings, c.header, c.rows, got, c.want)
		}
	}
}

// What a count is worth, the count at zero and what zero is go by each of the names that instruments give them; what is
// told of it has six digits.
func TestNamesOfAScale(t *testing.T) {
	rows := count(20, "%de-6,%d")
	said := func(settings string) (volts float64, notes string) {
		c := file(t, settings+"Time [s],CH1\n"+rows, Options{}).Captures[0]
		return c.Signal.Samples[0], strings.Join(c.Notes, "; ")
	}
	near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-12 }
	for _, step := range []string{"YIncrement", "Y Mult", "YIncr", "Y Multiplier", "Volts per count", "VoltsPerBit", "volts per LSB", "Volts per code", "Vertical Increment", "Scale factor", "LSB", "Count scale"} {
		volts, notes := said(step + ",0.0123456789\n")
		if want := fmt.Sprintf("the samples are counts of the converter: turned into volts with %q = 0.0123457 V in line 1", step); !near(volts, 0.0123456789) || notes != want {
			t.Errorf("%v V, %s\nwant %s", volts, notes, want)
		}
	}
	for _, reference := range []string{"YReference", "Y Off", "Yref", "Zero count", "Offset counts"} {
		if volts, _ := said("YIncrement,0.01\n" + reference + ",128\n"); !near(volts, 0.01*(1-128)) {
			t.Errorf("%s: %v V", reference, volts)
		}
	}
	for _, origin := range []string{"YOrigin", "Y Zero", "Zero voltage"} {
		if volts, _ := said("YIncrement,0.01\n" + origin + ",0.5\n"); !near(volts, 0.51) {
			t.Errorf("%s: %v V", origin, volts)
		}
	}
}

// A row of units below the header is read with any brackets and with what has none; words make it no such row.
func TestRowsOfUnits(t *testing.T) {
	rows := count(20, "%d,%d.5")
	for units, want := range map[string]string{
		"us,mV": "1e-06 0.0015 V", "[us],[mV]": "1e-06 0.0015 V", "(us),(mV)": "1e-06 0.0015 V", " ( us ) , [ mV ] ": "1e-06 0.0015 V",
		"us,-": "1e-06 1.5 -", "[us],[counts]": "1e-06 1.5 counts", "ms,V": "0.001 1.5 V", "(ms),[V]": "0.001 1.5 V",
	} {
		c := file(t, "time,CH1\n"+units+"\n"+rows, Options{}).Captures[0]
		if got := fmt.Sprintf("%.6g %.6g %s", c.Signal.Interval, c.Signal.Samples[0], c.Unit); got != want || c.FirstLine != 3 {
			t.Errorf("%q: %s, want %s; from line %d", units, got, want, c.FirstLine)
		}
	}
}

// Settings have the decimal mark of the file.
func TestSettingsWithDecimalCommas(t *testing.T) {
	rows := strings.ReplaceAll(count(20, "%[2]d,5;7"), "7", "0,25")
	for settings, want := range map[string]string{
		"Sample interval;2,5;us": "2.5e-06", "Sample interval;2,5 us": "2.5e-06", "Sample interval [us];2,5": "2.5e-06", "Sample interval: 2,5 us": "2.5e-06",
		"Sample rate;0,4;MHz": "2.5e-06", "Sample rate [MSa/s];0,4": "2.5e-06", "Horizontal Units;s\nSample interval;2,5e-6": "2.5e-06", "Sample interval;2,5;us\nRecord length;20,0": "2.5e-06",
	} {
		c := file(t, settings+"\nCH1 [V];CH2 [V]\n"+rows, Options{}).Captures
		if len(c) != 2 || fmt.Sprintf("%.6g %g %g", c[0].Signal.Interval, c[0].Signal.Samples[0], c[1].Signal.Samples[0]) != want+" 1.5 0.25" {
			t.Errorf("%q: %+v", settings, c)
		}
	}
	c := file(t, "Y increment;0,01\nY origin;1,5\nSample interval;2,5;us\nCH1;CH2 [V]\n"+strings.ReplaceAll(count(20, "%[2]d;7"), "7", "0,25"), Options{}).Captures
	if got := c[0].Signal.Samples[0]; math.Abs(got-1.51) > 1e-12 {
		t.Errorf("%v V", got)
	}
}
