package waveform

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/cells"
)

const (
	formRows     = 40
	formInterval = 4e-9 // s
)

// table writes rows of an invented capture that begins at −20 ns; row turns
// number, time and voltage into a line.
func table(row func(i int, t, v string) string) string {
	var b strings.Builder
	for i := range formRows {
		b.WriteString(row(i, fmt.Sprintf("%.3e", float64(i-5)*formInterval), fmt.Sprintf("%.3f", math.Sin(0.6*float64(i)))) + "\n")
	}
	return b.String()
}

func pair(between string) func(int, string, string) string {
	return func(_ int, t, v string) string { return t + between + v }
}

func only(_ int, _, v string) string { return v }

func comma(text string) string { return strings.ReplaceAll(text, ".", ",") }

func TestForms(t *testing.T) {
	micro := func(_ int, time, v string) string {
		var s float64
		fmt.Sscan(time, &s)
		return fmt.Sprintf("%.3f;%s", 1e6*s, v)
	}
	for _, c := range []struct {
		name, text string
		opt        Options
		start      float64 // s
		volt       float64 // of a unit as written
		column     string
		first      int
		notes      int
	}{
		{"plain", "Time [s],CH1 [V]\n" + table(pair(",")), Options{}, -20e-9, 1, "CH1 [V]", 2, 0},
		{"no header", table(pair(",")), Options{}, -20e-9, 1, "column B", 1, 1},
		{"row of units", "Time,Channel A\n(s),(mV)\n\n" + table(pair(",")), Options{}, -20e-9, 1e-3, "Channel A", 4, 0},
		{"units as words", "second,Volt\n" + table(pair(",")), Options{}, -20e-9, 1, "Volt", 2, 0},
		{"decimal comma", "Zeit [s];Kanal 1 [V]\n" + comma(table(pair(";"))), Options{}, -20e-9, 1, "Kanal 1 [V]", 2, 0},
		{"decimal comma, tab", comma(table(pair("\t"))), Options{}, -20e-9, 1, "column B", 1, 1},
		{"microseconds", "t [µs];u [V]\n" + table(micro), Options{}, -20e-9, 1, "u [V]", 2, 0},
		{"microseconds of Windows-1252", "t [\xb5s];u [V]\n" + table(micro), Options{}, -20e-9, 1, "u [V]", 2, 0},
		{"unnamed microseconds", "t;u\n" + table(micro), Options{Interval: formInterval}, -20e-9, 1, "u", 2, 1},
		{"unnamed microseconds beside a rate", "Sample rate;250 MSa/s\nt;u\n" + table(micro), Options{}, -20e-9, 1, "u", 3, 0},
		{"tabs and CRLF", strings.ReplaceAll("Time (s)\tCH1\n"+table(pair("\t")), "\n", "\r\n"), Options{}, -20e-9, 1, "CH1", 2, 0},
		{"carriage returns", strings.ReplaceAll("Time (s),CH1\n"+table(pair(",")), "\n", "\r"), Options{}, -20e-9, 1, "CH1", 2, 0},
		{"spaces", "Interval: 4 ns\nTime(s)  CH1(V)\n" + table(pair("   ")), Options{}, -20e-9, 1, "CH1(V)", 3, 0},
		{"padded", "Time [s], CH1 [V]\n" + table(pair("  ,  ")), Options{}, -20e-9, 1, "CH1 [V]", 2, 0},
		{"quoted", `"Time [s]","CH1 [V]"` + "\n" + table(func(_ int, t, v string) string { return `"` + t + `","` + v + `"` }), Options{}, -20e-9, 1, "CH1 [V]", 2, 0},
		{"byte order mark", "\ufeffTime [s],CH1 [V]\n" + table(pair(",")), Options{}, -20e-9, 1, "CH1 [V]", 2, 0},
		{"blank lines within", "Time [s],CH1 [V]\n" + table(func(i int, t, v string) string { return t + "," + v + strings.Repeat("\n", i%3/2) }), Options{}, -20e-9, 1, "CH1 [V]", 2, 0},
		{"unicode minus", "Time [s],CH1 [V]\n" + strings.ReplaceAll(table(pair(",")), ",-", ",\u2212"), Options{}, -20e-9, 1, "CH1 [V]", 2, 0},
		{"voltage first", "CH1 [V],Time [s]\n" + table(func(_ int, t, v string) string { return v + "," + t }), Options{}, -20e-9, 1, "CH1 [V]", 2, 0},
		{"row numbers beside times", "Sample,Time [s],CH1 [V]\n" + table(func(i int, t, v string) string { return fmt.Sprint(i, ",", t, ",", v) }), Options{}, -20e-9, 1, "CH1 [V]", 2, 0},
		{"voltages and an interval", "Sample Interval: 4 ns\nCH1 (V)\n" + table(only), Options{}, 0, 1, "CH1 (V)", 3, 0},
		{"voltages and a bare interval", "Sample Interval,4e-9\nCH1 (V)\n" + table(only), Options{}, 0, 1, "CH1 (V)", 3, 1},
		{"interval with its unit beside", "Increment,4.0,ns\nCH1 (V)\n" + table(only), Options{}, 0, 1, "CH1 (V)", 3, 0},
		{"interval with its unit in the name", "Time per sample [ns],4.0\nCH1 (V)\n" + table(only), Options{}, 0, 1, "CH1 (V)", 3, 0},
		{"interval below its name", "X,CH1,Start,Increment\nSequence,Volt,-2e-8,4e-9\n" + table(func(i int, _, v string) string { return fmt.Sprintf("%d,%s,,", i, v) }), Options{}, 0, 1, "Volt", 3, 1},
		{"interval by the caller", table(only), Options{Interval: 4e-9}, 0, 1, "column A", 1, 0},
		{"channel by name", "Time [s],CH1 [V],CH2 [mV]\n" + table(func(_ int, t, v string) string { return t + ",7," + v }), Options{Column: "ch2"}, -20e-9, 1e-3, "CH2 [mV]", 2, 0},
		{"channel by number", "Time [s],CH1 [V],CH2 [V]\n" + table(func(_ int, t, v string) string { return t + "," + v + ",7" }), Options{Column: "2"}, -20e-9, 1, "CH1 [V]", 2, 0},
		{"channel by letter", "Time [s],CH1 [V],CH2 [V]\n" + table(func(_ int, t, v string) string { return t + ",7," + v }), Options{Column: "C"}, -20e-9, 1, "CH2 [V]", 2, 0},
		{"other unit", "Time [s],probe [A]\n" + table(pair(",")), Options{}, -20e-9, 1, "probe [A]", 2, 0},
		{"remark behind", "Time [s],CH1 [V]\n" + table(pair(",")) + "end of capture\n", Options{}, -20e-9, 1, "CH1 [V]", 2, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := must.Get(readOne(strings.NewReader(c.text), "scope.csv", c.opt)).In(t)
			s := got.Signal
			if len(s.Samples) != formRows || !(math.Abs(s.Interval-formInterval) <= 1e-6*formInterval) || !(math.Abs(s.Start-c.start) <= 1e-15) {
				t.Errorf("%d samples from %g s every %g s", len(s.Samples), s.Start, s.Interval)
			}
			if want := c.volt * math.Round(1000*math.Sin(0.6*7)) / 1000; !(math.Abs(s.Samples[7]-want) <= 1e-12) {
				t.Errorf("sample 7 is %g V, want %g V", s.Samples[7], want)
			}
			if got.Column != c.column || got.FirstLine != c.first || len(got.Notes) != c.notes {
				t.Errorf("column %q from line %d, notes %q", got.Column, got.FirstLine, got.Notes)
			}
		})
	}
}

// How far the digits of the times leave the interval open.
func TestIntervalUncertainty(t *testing.T) {
	var coarse strings.Builder
	coarse.WriteString("Time [s],CH1 [V]\n")
	for i := range 1001 {
		fmt.Fprintf(&coarse, "%.8f,0.1\n", float64(i)*3.7e-9) // ten nanoseconds a digit
	}
	c := must.Get(readOne(strings.NewReader(coarse.String()), "scope.csv", Options{})).In(t)
	// √2 × 10 ns/√12 over 1000 intervals.
	if u := c.Signal.IntervalUncertainty; !(math.Abs(u-4.082e-12) <= 1e-14) {
		t.Errorf("± %g s", u)
	}
	if !(math.Abs(c.Signal.Interval-3.7e-9) <= 3*c.Signal.IntervalUncertainty) {
		t.Errorf("interval %g s", c.Signal.Interval)
	}
	// The stated interval is better, and agrees.
	c = must.Get(readOne(strings.NewReader("Sample interval,3.7e-9,s\n"+coarse.String()), "scope.csv", Options{})).In(t)
	if c.Signal.Interval != 3.7e-9 || c.Signal.IntervalUncertainty != 0 {
		t.Errorf("interval %g ± %g s", c.Signal.Interval, c.Signal.IntervalUncertainty)
	}
	// Of many rows it doesn't, by ten times what they leave open: then they count.
	var long strings.Builder
	long.WriteString("Sample interval,3.7004e-9,s\nTime [s],CH1 [V]\n")
	for i := range 100_001 {
		fmt.Fprintf(&long, "%.8f,0.1\n", float64(i)*3.7e-9)
	}
	c = must.Get(readOne(strings.NewReader(long.String()), "scope.csv", Options{})).In(t)
	if u := c.Signal.IntervalUncertainty; !(u > 0) || !(math.Abs(c.Signal.Interval-3.7e-9) <= 3*u) {
		t.Errorf("interval %g ± %g s, the times advance by 3.7 ns", c.Signal.Interval, u)
	}
}

// Times without a unit take that by which the interval given fits, within a tenth of it: what
// is off by half fits none.
func TestUnitByTheIntervalGiven(t *testing.T) {
	bare := strings.Replace("Time [s],CH1 [V]\n"+table(func(i int, _, v string) string { return fmt.Sprintf("%d,%s", 4*i, v) }), "Time [s]", "Time", 1)
	c, err := readOne(strings.NewReader(bare), "scope.csv", Options{Interval: 4e-9})
	if err != nil || !(math.Abs(c.Signal.Interval/4e-9-1) <= 1e-9) {
		t.Errorf("steps of 4 and 4 ns: %v", err)
	}
	if _, err := Read(strings.NewReader(bare), "scope.csv", Options{Interval: 6e-9}); err == nil || !strings.Contains(err.Error(), "the interval given is 6 ns") {
		t.Errorf("steps of 4 and 6 ns: %v", err)
	}
}

func TestMessages(t *testing.T) {
	two := "Time [s],CH1 [V],CH2 [V]\n" + table(func(_ int, t, v string) string { return t + "," + v + "," + v })
	for _, c := range []struct {
		text string
		opt  Options
		want string
	}{
		{two, Options{Column: "CH3"}, `there is no column of voltages called "CH3", expected CH1 [V] (column B), CH2 [V] (column C); did you mean CH1?`},
		{two, Options{Column: "9"}, `there is no column of voltages called "9"`},
		{two, Options{Column: "0"}, `there is no column of voltages called "0"`},
		{two, Options{Column: "time"}, `"time" is the column of times`},
		{two, Options{Column: "2", Interval: 5e-9}, `the sample interval given is 5 ns, expected 4 ns, by which the times advance`},
		{two, Options{Column: "2", Interval: -1}, `the sample interval is given as -1 s, expected a time above 0`},
		{two, Options{Column: "2", Interval: math.NaN()}, `the sample interval is given as NaN s`},
	} {
		_, err := Read(strings.NewReader(c.text), "scope.csv", c.opt)
		var faults cells.Faults
		if !errors.As(err, &faults) || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%+v: %v, want %s", c.opt, err, c.want)
		}
	}
}

type broken struct{ io.Reader }

func (b broken) Read(p []byte) (int, error) {
	n, err := b.Reader.Read(p)
	if err == io.EOF {
		err = errors.New("the disk is gone")
	}
	return n, err
}

// What the reader fails with is no fault of the file.
func TestReadError(t *testing.T) {
	for _, text := range []string{"", "Time [s],CH1 [V]\n" + table(pair(",")), "Time [µs],CH1 [V]\n" + table(pair(","))} {
		_, err := Read(broken{strings.NewReader(text)}, "scope.csv", Options{})
		if err == nil || !strings.Contains(err.Error(), "the disk is gone") {
			t.Errorf("%v", err)
		}
		if errors.As(err, new(cells.Faults)) {
			t.Errorf("%v counts as a fault of the file", err)
		}
	}
}

func TestProgress(t *testing.T) {
	var text strings.Builder
	text.WriteString("Time [s],CH1 [V]\n")
	for i := range 600000 {
		fmt.Fprintf(&text, "%.6e,%.3f\n", float64(i)*4e-9, 0.1)
	}
	calls, last := 0, int64(0)
	opt := Options{Progress: func(read, size int64) {
		calls++
		if read < last || size != int64(text.Len()) {
			t.Errorf("%d of %d after %d", read, size, last)
		}
		last = read
	}}
	must.Get(Read(strings.NewReader(text.String()), "scope.csv", opt)).In(t)
	if calls < 3 || calls > 8 || last != int64(text.Len()) {
		t.Errorf("%d calls up to %d of %d bytes", calls, last, text.Len())
	}
}
