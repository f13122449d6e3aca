package waveform

import (
	"math"
	"strings"
	"testing"

	"fitcoil/ioformat/quantity"
)

// Units of time, voltage and frequency by symbol and by name, worth what the SI says.
func TestUnitsByName(t *testing.T) {
	for text, want := range map[string]float64{"s": 1, "S": 1, "sec": 1, "Seconds": 1, "Sekunde": 1, "secondes": 1, "segundos": 1, "ms": 1e-3, "milliseconds": 1e-3, "msec": 1e-3, "us": 1e-6, "µs": 1e-6, "μs": 1e-6, "microsecond": 1e-6, "usec": 1e-6, "µsec": 1e-6, "ns": 1e-9, "nanoseconds": 1e-9, "nsec": 1e-9, "ps": 1e-12, "psec": 1e-12, "picosecond": 1e-12,
		"min": 60, "minutes": 60, "h": 3600, "hours": 3600, "hr": 3600, "hrs": 3600, " ms ": 1e-3} {
		if got, ok := timeUnit(text); !ok || math.Abs(got/want-1) > 1e-12 {
			t.Errorf("%q is %v s, want %v", text, got, want)
		}
	}
	for text, want := range map[string]float64{"V": 1, "v": 1, "Volt": 1, "Volts": 1, "mV": 1e-3, "millivolts": 1e-3, "uV": 1e-6, "µV": 1e-6, "microvolt": 1e-6, "kV": 1e3} {
		if got, ok := voltageUnit(text); !ok || math.Abs(got/want-1) > 1e-12 {
			t.Errorf("%q is %v V, want %v", text, got, want)
		}
	}
	for text, want := range map[string]float64{"Hz": 1, "hz": 1, "Hertz": 1, "kHz": 1e3, "KHZ": 1e3, "MHz": 1e6, "GHz": 1e9} {
		if got, ok := frequencyUnit(text); !ok || math.Abs(got/want-1) > 1e-12 {
			t.Errorf("%q is %v Hz, want %v", text, got, want)
		}
	}
	for _, text := range []string{"", "u", "U", "m", "x", "n", "p", "k", "day"} {
		if v, ok := timeUnit(text); ok || !math.IsNaN(v) {
			t.Errorf("%q is a time", text)
		}
		if v, ok := voltageUnit(text); ok || !math.IsNaN(v) {
			t.Errorf("%q is a voltage", text)
		}
		if v, ok := frequencyUnit(text); ok || !math.IsNaN(v) {
			t.Errorf("%q is a frequency", text)
		}
	}
	for header, want := range map[string][2]string{"Time [s]": {"time", "s"}, "time in µs": {"time", "µs"}, "in ms": {"", "ms"}, "Frequency in Hz": {"frequency", "Hz"}, "f MHz": {"f", "MHz"}, "pickup mV": {"pickup", "mV"}, "time s": {"time", "s"}, "CH1 V": {"ch1", "V"}, "CH1 v": {"ch1 v", ""}, "interval: 4 us": {"interval: 4 us", ""},
		"pin in": {"pin in", ""}, "main V": {"main", "V"}, "tin us": {"tin", "us"}, "begin x": {"begin x", ""}, "x": {"x", ""}, "in x": {"in x", ""}} {
		if name, unit := splitHeader(header); name != want[0] || unit != want[1] {
			t.Errorf("%q: %q, %q, want %q", header, name, unit, want)
		}
	}
	for _, u := range []string{"s", "mV", "MHz", "A", "W", "dB", "dBm", "dBV", "Vpp", "mVpp", "Vrms", "mVrms", "°", "deg", "rad", "%", "pF"} {
		if !isUnit(u) {
			t.Errorf("%q is no unit", u)
		}
	}
	for _, u := range []string{"x", "CH1", "", "counts"} {
		if isUnit(u) {
			t.Errorf("%q is a unit", u)
		}
	}
	for text, want := range map[string]bool{"interval: 4": true, "4": true, "a 1.5e-3": true, "x": false, "": false, "4 x": false} {
		if endsInNumber(text) != want {
			t.Errorf("%q ends in a number: %v", text, !want)
		}
	}
	for rate, want := range map[string]string{"500 MSa/s": "500 MHz", "1 GS/s": "1 GHz", "20 ksps": "20 kHz", "5 MSps": "5 MHz", "5 MSPS": "5 MHz", "1 sa/s": "1 Hz", "1 MHz": "1 MHz"} {
		if got := rateUnit(rate); got != want {
			t.Errorf("%q: %q, want %q", rate, got, want)
		}
	}
	for seconds, want := range map[float64][2]string{4e-9: {"4 ns", "4ns"}, 1e-6: {"1 µs", "1us"}, 2.5e-3: {"2.5 ms", "2.5ms"}, 100: {"100 s", "100s"}, 1.0 / 3: {"333.3333333 ms", "333.3333333ms"}} {
		if inWords(seconds) != want[0] || spell(seconds) != want[1] {
			t.Errorf("%q, %q, want %q", inWords(seconds), spell(seconds), want)
		}
	}
	for _, c := range []struct {
		x           float64
		rate        bool
		words, flag string
	}{
		{2, false, "ms (samples every 2 ms), µs (2 µs) or ns (2 ns)", "--interval 2ms, --interval 2us or --interval 2ns"}, {2e-3, true, "Sa/s (samples every 2 ms), kSa/s (2 µs) or MSa/s (2 ns)", "--interval 2ms, --interval 2us or --interval 2ns"},
		{1e-10, false, "s (samples every 100 ps)", "--interval 100ps"}, {1, false, "s (samples every 1 s), ms (1 ms), µs (1 µs) or ns (1 ns)", "--interval 1s, --interval 1ms, --interval 1us or --interval 1ns"}, {0.5, true, "Sa/s (samples every 500 ms), kSa/s (500 µs), MSa/s (500 ns) or GSa/s (500 ps)", "--interval 500ms, --interval 500us, --interval 500ns or --interval 500ps"}, {1e-12, false, "a unit that is not named", "--interval with the time between samples"}, {1e12, false, "a unit that is not named", "--interval with the time between samples"},
	} {
		if words, flag := readings(c.x, c.rate); words != c.words || flag != c.flag {
			t.Errorf("%v: %q, %q, want %q, %q", c.x, words, flag, c.words, c.flag)
		}
	}
}

// Numbers are read to the last bit as the standard library does, with what their last digit is worth.
func TestNumbersByDigits(t *testing.T) {
	for _, c := range []struct {
		text string
		mark byte
		v    float64
		last int
		n    int
	}{
		{"1.25,", '.', 1.25, -2, 4}, {"-0.5e-3", '.', -0.5e-3, -4, 7}, {"+12E2x", '.', 1200, 2, 5}, {"1,5;", ',', 1.5, -1, 3}, {"1,5", '.', 1, 0, 1}, {".5", '.', 0.5, -1, 2}, {"5.", '.', 5, 0, 2}, {"0.000e+00", '.', 0, noDigit, 9}, {"0.000", '.', 0, -3, 5}, {"9007199254740991", '.', 9007199254740991, 0, 16},
		{"9007199254740993", '.', 0, 0, 0}, {"1e22", '.', 1e22, 22, 4}, {"1e23", '.', 0, 0, 0}, {"1e-22", '.', 1e-22, -22, 5}, {"1e-23", '.', 0, 0, 0}, {"0e300", '.', 0, noDigit, 5}, {"1e", '.', 0, 0, 0}, {"1e+", '.', 0, 0, 0}, {"1e1234", '.', 0, 0, 0}, {"", '.', 0, 0, 0}, {"-", '.', 0, 0, 0}, {".", '.', 0, 0, 0}, {"x", '.', 0, 0, 0}, {"123456789012345678901234", '.', 0, 0, 0}, {"1e007", '.', 1e7, 7, 5}, {"0e1234", '.', 0, 0, 0}, {"1e0012", '.', 0, 0, 0},
	} {
		if v, last, n := scanNumber([]byte(c.text), c.mark); v != c.v || n != c.n || n > 0 && last != c.last {
			t.Errorf("%q: %v, %d, %d, want %+v", c.text, v, last, n, c)
		}
	}
	for text, want := range map[string]int{"1.25": 3, "-0.50e-3": 3, "1700000000.000000004": 19, "": 0, "x1": 1, "1E5": 1} {
		if got := significant(text); got != want {
			t.Errorf("%q has %d digits", text, got)
		}
	}
	x, ok := exactNumber("1700000000.000000004", quantity.Point)
	if !ok {
		t.Fatal("no number")
	}
	if d, ok := beyond("1700000000,000000009", quantity.Comma, x); !ok || math.Abs(d-5e-9) > 1e-20 {
		t.Errorf("%v beyond, %v", d, ok)
	}
	for _, text := range []string{"0x10", "1_0", "inf", "1e12345", strings.Repeat("1", 101), "", "x"} {
		if _, ok := exactNumber(text, quantity.Point); ok {
			t.Errorf("%q is a number", text)
		}
	}
	for _, text := range []string{"1.5e-12", "-2E+100", "1e1234"} {
		if _, ok := exactNumber(text, quantity.Point); !ok {
			t.Errorf("%q is no number", text)
		}
	}
	for name, want := range map[string]intervalKind{"sampleinterval": isInterval, "xincr": isInterval, "timepersample": isInterval, "dt": mayBeInterval, "delta": mayBeInterval, "samplerate": isRate, "fs": isRate, "offset": noInterval} {
		if got := intervalName(name); got != want {
			t.Errorf("%q: %v", name, got)
		}
	}
	for cell, want := range map[string][2]string{"Sample interval: 4 ns": {"Sample interval", "4 ns"}, "dt=4ns": {"dt", "4ns"}, "# Sample rate 5 MHz": {"# Sample rate", "5 MHz"}, "CH1": {"CH1", ""}, "a\t1;\"2\"": {"a", "1 2"}, ":x": {":x", ""}, "4 ns": {"4 ns", ""}, "a:= 5": {"a", "5"}} {
		if key, value := cutKey(cell); key != want[0] || value != want[1] {
			t.Errorf("%q: %q, %q, want %q", cell, key, value, want)
		}
	}
}
