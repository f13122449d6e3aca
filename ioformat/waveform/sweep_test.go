package waveform

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// sweepTable writes 15 rows of an invented sweep around 2.5 MHz; row turns
// frequency in Hz and amplitude in V into a line.
func sweepTable(row func(f, a float64) string) string {
	var b strings.Builder
	for i := range 15 {
		f := 2.43e6 + 1e4*float64(i)
		x := 60 * (f/2.5e6 - 2.5e6/f)
		b.WriteString(row(f, 0.3/math.Sqrt(1+x*x)) + "\n")
	}
	return b.String()
}

// Tables of frequency and amplitude, as they are written by hand and by
// instruments.
func TestSweeps(t *testing.T) {
	plain := func(f, a float64) string { return fmt.Sprintf("%.3f,%.2f", f/1e6, 1e3*a) }
	for _, c := range []struct {
		name, text string
		opt        Options
		unit       string
		peak       float64
		notes      int
	}{
		{"by hand", "frequency [MHz],amplitude [mV]\n" + sweepTable(plain), Options{}, "V", 0.3, 0},
		{"units without brackets", "f MHz,pickup mV\n" + sweepTable(plain), Options{}, "V", 0.3, 0},
		{"a row of units", "f,U\nMHz,mV\n" + sweepTable(plain), Options{}, "V", 0.3, 0},
		{"decimal commas", "Frequenz [MHz];Amplitude [mV]\n" + comma(sweepTable(func(f, a float64) string { return fmt.Sprintf("%.3f;%.2f", f/1e6, 1e3*a) })), Options{}, "V", 0.3, 0},
		{"falling", "frequency [MHz],amplitude [mV]\n" + reversed(sweepTable(plain)), Options{}, "V", 0.3, 0},
		{"gain and phase of an analyser", "#,Frequency in Hz,Amplitude in Vpp,Gain in dB,Phase in °\n" + sweepTable(func(f, a float64) string {
			return fmt.Sprintf("%.0f,%.0f,1.0,%.4f,12", f/1e4, f, 20*math.Log10(a))
		}), Options{}, "1", 0.3, 1},
		{"settings above, decibels", "# start: 2430000 Hz\nFrequency (Hz),Magnitude (dBV),Phase (deg)\n" + sweepTable(func(f, a float64) string {
			return fmt.Sprintf("%.0f,%.4f,12", f, 20*math.Log10(a))
		}), Options{}, "1", 0.3, 0},
		{"a phase without unit", "frequency [MHz],amplitude [mV],phase shift\n" + sweepTable(func(f, a float64) string { return plain(f, a) + ",12.5" }), Options{}, "V", 0.3, 0},
		{"an angle in degrees", "frequency [MHz],amplitude [mV],angle [deg]\n" + sweepTable(func(f, a float64) string { return plain(f, a) + ",12.5" }), Options{}, "V", 0.3, 0},
		{"an angle in °", "frequency [MHz],angle [°],amplitude [mV]\n" + sweepTable(func(f, a float64) string { return fmt.Sprintf("%.3f,12.5,%.2f", f/1e6, 1e3*a) }), Options{}, "V", 0.3, 0},
		{"an angle in rad", "frequency [MHz],amplitude [mV],angle [rad]\n" + sweepTable(func(f, a float64) string { return plain(f, a) + ",0.2" }), Options{}, "V", 0.3, 0},
		{"points numbered", "frequency [MHz],point,amplitude [mV]\n" + sweepTable(func(f, a float64) string { return fmt.Sprintf("%.3f,%.0f.5,%.2f", f/1e6, f/1e4, 1e3*a) }), Options{}, "V", 0.3, 0},
		{"a ratio first", "frequency [MHz],drive [V],ratio\n" + sweepTable(func(f, a float64) string { return fmt.Sprintf("%.3f,1.5,%.4f", f/1e6, a) }), Options{}, "", 0.3, 1},
		{"chosen of two", "frequency [MHz],near [mV],far [mV]\n" + sweepTable(func(f, a float64) string { return plain(f, a) + ",1" }), Options{Column: "near"}, "V", 0.3, 0},
	} {
		got, err := Read(strings.NewReader(c.text), "sweep.csv", c.opt)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		s := got.Sweep
		if s == nil || len(s.Points) != 15 || s.Unit != c.unit || len(s.Notes) != c.notes {
			t.Errorf("%s: %+v", c.name, s)
			continue
		}
		p := s.Points[7]
		if !(math.Abs(p.Frequency-2.5e6) <= 1) || !(math.Abs(p.Amplitude-c.peak) <= 1e-3*c.peak) || p.FrequencyDigit <= 0 || p.AmplitudeDigit <= 0 || c.unit == "1" && !(math.Abs(p.AmplitudeDigit/(0.3*1e-4*math.Ln10/20)-1) <= 1e-3) {
			t.Errorf("%s: %+v", c.name, p)
		}
	}
}

func reversed(text string) (out string) {
	for line := range strings.Lines(text) {
		out = line + out
	}
	return out
}

// Spectra, logs and sweeps without units are called what they are.
func TestNoSweeps(t *testing.T) {
	spectrum := func(from int) (out string) {
		for i := range 200 {
			out += fmt.Sprintf("%d,%.4f\n", (from+i)*1000, 0.01+math.Exp(-math.Pow(float64(i-70)/9, 2)))
		}
		return out
	}
	for _, c := range []struct{ name, text, want string }{
		{"a spectrum by its source", "Record Length,200\nSource,FFT\nHorizontal Units,Hz\n" + spectrum(0), `this is a spectrum: "Source FFT"`},
		{"a spectrum by its axis", "Horizontal Units,Hz\nVertical Units,V\n" + spectrum(0), `this is a spectrum: "Horizontal Units Hz"`},
		{"a spectrum by its header", "Frequency (Hz),FFT CH1 (V)\n" + spectrum(5), `this is a spectrum: "FFT CH1 (V)"`},
		{"a spectrum by its steps", "Frequency (Hz),CH1 (V)\n" + spectrum(0), "the frequencies go from zero in equal steps: this is a spectrum"},
		{"a spectrum by its unit", "x-axis,1\nHertz,Volt\n" + spectrum(0), "the frequencies go from zero in equal steps: this is a spectrum"},
		{"no unit", "frequency,amplitude [mV]\n" + sweepTable(func(f, a float64) string { return fmt.Sprintf("%.3f,%.2f", f/1e6, 1e3*a) }), "the frequencies name no unit, expected Hz, kHz or MHz"},
		{"no amplitude", "frequency [MHz]\n2.5\n2.6\n2.7\n", "no column of amplitudes"},
		{"a zero", "frequency [MHz],amplitude [mV]\n2.4,0\n2.5,1\n2.6,2\n2.7,1\n", "an amplitude above 0; leave the row out"},
		{"two amplitudes", "frequency [MHz],near [mV],far [mV]\n" + sweepTable(func(f, a float64) string { return fmt.Sprintf("%.3f,%.2f,%.2f", f/1e6, 1e3*a, a) }), "2 columns could be the amplitude: near [mV] (column B), far [mV] (column C), expected one; choose one, as in --column near"},
	} {
		_, err := Read(strings.NewReader(c.text), "sweep.csv", Options{})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %s", c.name, err, c.want)
		}
	}
	// Equal steps around a peak may be either; the answer says so.
	got, err := Read(strings.NewReader("Frequency (Hz),CH1 (V)\n"+spectrum(500)), "sweep.csv", Options{})
	if err != nil || len(got.Sweep.Notes) != 1 || !strings.Contains(got.Sweep.Notes[0], "if they are a spectrum") {
		t.Errorf("%+v, %v", got, err)
	}
}
