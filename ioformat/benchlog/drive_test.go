package benchlog

import (
	"math"
	"strings"
	"testing"
)

// A reading with a self-oscillating driver is uncertain by half the width of
// the resonance, f/2Q, besides: by hand, 2 MHz/(2·50) = 20 kHz, and
// √(20² + 15²) = 25. Other drives add nothing, and a core has a quality factor of its own.
func TestDrive(t *testing.T) {
	l, err := Read(strings.NewReader("frequency [MHz],frequency ± [kHz],core,quality factor,drive\n"+
		"2.000,15,,50,self\n2.000,15,,50,ring\n2.000,15,,,\n2.000,15,,,Self\n2.000,15,rod,,self\n2.000,15,,,generator\n2.000,15,rod,100,ring\n2.000,15,,,self\n"), "log.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{25e3, 15e3, 15e3, 25e3, math.Hypot(50e3, 15e3), 15e3, 15e3, 25e3} {
		if r := l.Readings[i]; !(math.Abs(r.Uncertainty-want) <= 1) {
			t.Errorf("row %d: ± %g Hz, want ± %g Hz", i+1, r.Uncertainty, want)
		}
	}
	said := strings.Join(l.Notices, "\n")
	for _, want := range []string{"log.csv:2: a self", "read on line 2); such rows in all: 3", "log.csv:6: a self", "± 50 kHz more", "beside it)"} {
		if !strings.Contains(said, want) {
			t.Errorf("notices lack %q: %s", want, said)
		}
	}
	if len(l.Notices) != 2 {
		t.Errorf("%d notices: one for the rows with a quality factor and one for those without would do", len(l.Notices))
	}
	_, err = Read(strings.NewReader("frequency [MHz],drive\n2.000,selv\n"), "log.csv", Options{})
	if err == nil || !strings.Contains(err.Error(), "did you mean self?") {
		t.Errorf("error %v", err)
	}
}

// A row of a driven reading makes a log with a column for the drive, and is
// read back with it.
func TestAppendDrive(t *testing.T) {
	content, _, err := Append(nil, "new.csv", Row{Frequency: 2e6, Uncertainty: 100, Amplitude: math.NaN(), Quality: math.NaN(), State: []string{"core=rod", "drive=self"}})
	if err != nil {
		t.Fatal(err)
	}
	l, err := Read(strings.NewReader(string(content)), "new.csv", Options{})
	if err != nil || !(math.Abs(l.Readings[0].Uncertainty-50e3) <= 1) || l.Readings[0].Core != "rod" {
		t.Errorf("%v, %+v", err, l)
	}
}
