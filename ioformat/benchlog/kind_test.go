package benchlog

import "testing"

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
		"": false,
	} {
		if _, got := IsLog([]byte(text)); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
}
