package waveform

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// asWritten is a capture of 20000 samples, 20 ns apart from start [s] on, with the times
// written by write.
func asWritten(start float64, heading string, without int, write func(t float64) string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s,V\n", heading)
	for i := range 20000 {
		if i != without {
			fmt.Fprintf(&b, "%s,%.3f\n", write(start+2e-8*float64(i)), math.Sin(0.1*float64(i)))
		}
	}
	return b.String()
}

// Programs write the same times in many ways: with a fixed number of decimals or of
// digits, or with as few digits as say the same. The interval is as well known as the
// coarsest digit that could have been written, and a lost row is found.
func TestTimesInAllNumberFormats(t *testing.T) {
	format := func(f string, scale float64) func(float64) string {
		return func(t float64) string { return fmt.Sprintf(f, t*scale) }
	}
	for _, c := range []struct {
		name    string
		heading string
		start   float64
		write   func(float64) string
		open    float64 // most relative uncertainty of the interval
	}{
		{"shortest that reads back", "s", 0, format("%v", 1), 1e-12},
		{"shortest, before the trigger", "s", -1e-4, format("%v", 1), 1e-12},
		{"shortest, in µs", "us", 0, format("%v", 1e6), 1e-9},
		{"six digits, zeros left out", "s", 0, format("%.6g", 1), 2e-5},
		{"six digits, zeros left out, in µs", "us", -100e-6, format("%.6g", 1e6), 1e-4},
		{"six digits", "s", 0, format("%.5e", 1), 2e-5},
		{"three digits", "s", 0, format("%.2e", 1), 2e-3},
		{"three digits, zeros left out, in µs", "us", 0, format("%.3g", 1e6), 2e-3},
		{"whole nanoseconds", "ns", 0, format("%.0f", 1e9), 2e-6},
		{"four digits of nanoseconds", "ns", 0, format("%.4g", 1e9), 2e-4},
		{"a decimal of a microsecond", "us", 0, format("%.1f", 1e6), 2e-4},
	} {
		k, err := readOne(strings.NewReader(asWritten(c.start, c.heading, -1, c.write)), "capture.csv", Options{})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		s := k.Signal
		rel := s.IntervalUncertainty / s.Interval
		if rel > c.open || !(math.Abs(s.Interval/2e-8-1) <= 4*rel+1e-12) {
			t.Errorf("%s: interval %v ± %v, want 2e-8 within %v of itself", c.name, s.Interval, s.IntervalUncertainty, c.open)
		}
		if c.open > 1e-4 { // coarser than the interval
			continue
		}
		if _, err := Read(strings.NewReader(asWritten(c.start, c.heading, 7000, c.write)), "capture.csv", Options{}); err == nil {
			t.Errorf("%s: a row is missing, and nobody says so", c.name)
		}
	}
}

// What a last digit is worth where it is seen: zeros left out are no rounding.
func TestWorthOfTheLastDigit(t *testing.T) {
	var r resolution
	for _, c := range [][3]float64{ // time, digit as written, worth
		{0.01, 0.01, 0.01},
		{1.23, 0.01, 0.01},
		{0, 1, 0.01},
		{2, 1, 0.01},
		{1.5, 0.1, 0.01},
		{12.3, 0.1, 0.1}, // three digits are the most so far
		{40, 10, 0.1},
		{12.34, 0.01, 0.01},
		{40, 10, 0.01},
	} {
		r.met(c[0], c[1])
		if got := r.of(c[0], c[1]); !(math.Abs(got/c[2]-1) <= 1e-9) {
			t.Errorf("%v, written to %v: worth %v, want %v", c[0], c[1], got, c[2])
		}
	}
}

// A frequency that the times leave open has no number.
func TestTimesTooCoarse(t *testing.T) {
	_, err := Read(strings.NewReader("s,V\n"+strings.Repeat("0.0,0.1\n", 300)+strings.Repeat("0.1,0.1\n", 300)), "capture.csv", Options{})
	if err == nil || !strings.Contains(err.Error(), "--interval") {
		t.Errorf("times that tell nothing are read: %v", err)
	}
}

// Cells in quotes, which take the slow way, say what those without say: a nought with a power of ten tells nothing of
// digits, so that it has those of the other times.
func TestBothWaysOfReading(t *testing.T) {
	for _, c := range []struct {
		format string
		scale  float64
		digit  float64 // s, of the coarsest number written
	}{{"%.0e", 1e-6, 1e-6}, {"%.1e", 1e-6, 1e-7}, {"%.2E", 1e-6, 1e-8}, {"%.0f", 1, 1e-6}, {"%.2f", 1, 1e-8}, {"%.7f", 1e-6, 1e-7}} {
		heading := "us"
		if c.scale < 1 {
			heading = "s"
		}
		var fast, slow strings.Builder
		for _, b := range []*strings.Builder{&fast, &slow} {
			fmt.Fprintf(b, "time [%s],CH1 [V]\n", heading)
			for i := range 9 {
				at := fmt.Sprintf(c.format, float64(i)*c.scale)
				if b == &slow {
					at = `"` + at + `"`
				}
				fmt.Fprintf(b, "%s,%d.5\n", at, i%2)
			}
		}
		quick, quoted := told(fast.String(), Options{}), told(slow.String(), Options{})
		// Both ends of eight steps are rounded to a last digit, by a uniform error each.
		want := fmt.Sprintf("9 samples from 0 s, 1e-06 s apart ± %.2g, [0.5 1.5] ... 0.5", math.Sqrt(2./12)*c.digit/8)
		if quick != quoted || !strings.HasSuffix(quick, want) {
			t.Errorf("%s: %s\nin quotes: %s\nwant %s", c.format, quick, quoted, want)
		}
	}
}
