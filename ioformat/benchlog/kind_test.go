package benchlog

import (
	"strings"
	"testing"
)

func TestIsLog(t *testing.T) {
	for text, want := range map[string]bool{
		"frequency [MHz]\n1.5\n":                                    true,
		"f (MHz);C (pF)\n1,5;4,7\n":                                 true,
		"my bench, today\nf0/MHz,core\n1.5,rod\n":                   true,
		"frequency [MHz],amplitude,core\n1.5,3,\n":                  true,
		"frequency,added\n1.5 MHz,4.7 pF\n":                         true,
		"frequency [MHz],amplitude [V]\n2.45,0.444\n":               false, // a sweep
		"Frequency (Hz),Magnitude (dB)\n2.45,-3\n":                  false,
		"Frequency (Hz),Gain (dB),Phase (deg)\n2.45,-3,90\n":        false,
		"frequency [MHz],± [kHz],amplitude [V]\n2.45,1,0.444\n":     true,
		"f [MHz],amplitude [V],C on top [pF]\n2.45,0.444,4.7\n":     true,
		"Frequency,2.5MHz\nVpp,1.2V\nTime [s],CH1 [V]\n0,1\n":       false, // what a scope measured
		"Sample rate [Hz],1e9\nRecord length,2500\n0,1\n1,2\n":      false,
		"time [s],voltage [V]\n0,1\n":                               false,
		"quantity,value,±,unit\nturns,640,,\nfrequency,1,0.1,MHz\n": false,
		"core,f [MHz]\nrod\n":                                       false, // the row ends before the frequency
		"core,added [pF],f [MHz]\nrod,4.7\n":                        false,
		"core,f [MHz]\nrod,1.5\n":                                   true,
		"core,f [MHz]\nrod,\n":                                      false,
		"":                                                          false,
	} {
		if _, got := IsLog([]byte(text)); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
}

// The header of a log is told by its line where it is the first row, and by 0 under titles, of which 19 are looked
// through: the 20th row below the first is the last to hold a number.
func TestLineOfLog(t *testing.T) {
	titles := func(n int) string { return strings.Repeat("bench\n", n) + "f [MHz]\n1.5\n" }
	for _, c := range []struct {
		text string
		line int
		ok   bool
	}{
		{titles(0), 1, true}, {"# comment\n\n" + titles(0), 3, true}, {titles(1), 0, true}, {titles(19), 0, true}, {titles(20), 0, false},
		{"f [MHz]\n-\n1.5\n", 0, false},                   // a number stands right below
		{"# x\nf [MHz],amplitude [V]\n1.5,3\n", 2, false}, // a sweep's header too
		{"a,b\n1,2\n", 0, false}, {"\xff\xfe\x00", 0, false},
	} {
		if line, ok := IsLog([]byte(c.text)); line != c.line || ok != c.ok {
			t.Errorf("%q: line %d, %v, want line %d, %v", c.text, line, ok, c.line, c.ok)
		}
	}
}
