package benchlog

import (
	"math"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/readings"
)

// The column primary says what was done with it; a tuned one makes two readings of a row,
// the lower peak first.
func TestPrimaryColumn(t *testing.T) {
	log := "frequency [MHz],frequency ± [kHz],primary,second frequency [MHz]\n2.519,1,,\n2.519,1,open,\n2.566,1,Shorted,\n2.70,1,tuned 4.7 nF,2.39\n2.39,,tuned 4.7nF,2.700\n"
	l := must.Get(Read(strings.NewReader(log), "log.csv", Options{})).In(t)
	tuned := readings.Primary{Kind: readings.PrimaryTuned, Capacitance: 4.7e-9}
	upper := tuned
	upper.Upper = true
	want := []struct {
		line      int
		frequency float64
		readings.Primary
	}{{2, 2.519e6, readings.Primary{}}, {3, 2.519e6, readings.Primary{}}, {4, 2.566e6, readings.Primary{Kind: readings.PrimaryShorted}},
		{5, 2.39e6, tuned}, {5, 2.70e6, upper}, {6, 2.39e6, tuned}, {6, 2.70e6, upper}}
	if len(l.Readings) != len(want) {
		t.Fatalf("%d readings", len(l.Readings))
	}
	for i, w := range want {
		r := &l.Readings[i]
		same := r.Primary.Kind == w.Kind && r.Primary.Upper == w.Upper && math.Abs(r.Primary.Capacitance-w.Capacitance) < 1e-15
		if r.Line != w.line || !(math.Abs(r.Frequency-w.frequency) <= 1e-3) || !same {
			t.Errorf("reading %d: line %d, %g Hz, %+v", i, r.Line, r.Frequency, r.Primary)
		}
	}
	if u := l.Readings[6].Uncertainty; !(math.Abs(u-500/math.Sqrt(3)) <= 1e-6) { // its own digits, JCGM 100:2008, 4.3.7
		t.Errorf("the second peak is known to %g Hz", u)
	}
}

func TestPrimaryFaults(t *testing.T) {
	for row, says := range map[string]string{
		"2.5,shortd,":             "did you mean shorted?",
		"2.5,Shortd,":             "did you mean shorted?",
		"2.5,tuend 4.7 nF,2.6":    "did you mean tuned?",
		"2.5,opne 1,":             "did you mean open?",
		"2.5,shorted now,":        "leave the cell empty where there is no primary",
		"2.5,open 1,":             "leave the cell empty where there is no primary",
		"2.5,coupled,":            "leave the cell empty where there is no primary",
		"2.5,tuned,2.6":           "tuned and a capacitance",
		"2.5,tuned 4.7,2.6":       "unit is missing",
		"2.5,tuned 4.7 nF,":       "both peaks of the split pair",
		"2.5,tuned 4.7 nF,2.5":    "another frequency above 0 than the first",
		"2.5,shorted,2.6":         "nothing, since the primary isn't tuned",
		"2.5,tuned 4.7 kHz,2.6":   "kHz is the unit of a frequency",
		"2.5,tuned -4.7 nF,2.6":   "a capacitance above 0 across the primary",
		"2.5,tuned 4.7 nF,second": "expected a number",
	} {
		_, err := Read(strings.NewReader("frequency [MHz],primary,second frequency [MHz]\n2.5,,\n"+row+"\n"), "log.csv", Options{})
		if err == nil || !strings.Contains(err.Error(), says) || !strings.Contains(err.Error(), "log.csv:3:") {
			t.Errorf("%s: %v, expected it to say %q", row, err, says)
		}
	}
}

// What the log of a bench takes, a state and a row to append take too.
func TestPrimaryWord(t *testing.T) {
	longer, _, err := Append([]byte("frequency [MHz],primary\n2.519,\n"), "log.csv", Row{Frequency: 2.566e6, Uncertainty: 800,
		Amplitude: math.NaN(), Quality: math.NaN(), State: []string{"primary=shorted"}})
	if err != nil || !strings.HasSuffix(string(longer), ",shorted\n") {
		t.Errorf("%q, %v", longer, err)
	}
	l := must.Get(Read(strings.NewReader(string(longer)), "log.csv", Options{})).In(t)
	s, err := l.States().Parse([]string{"primary=shorted"})
	if err != nil || s.Primary.Kind != readings.PrimaryShorted {
		t.Errorf("%+v, %v", s, err)
	}
}
