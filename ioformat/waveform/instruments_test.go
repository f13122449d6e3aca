package waveform

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// The layouts in which instruments write captures, by their shape; the data
// are invented. Each is read right, or refused with a remedy that works when
// it is followed.

// layoutCase is a file, and what it holds.
type layoutCase struct {
	name, text string
	opt        Options
	interval   float64 // s
	channels   int     // 0 means 1
	unit       string  // of the first; "" means V
	volt       float64 // of a unit as written, 0 means 1
	zero       float64 // of the first, in its unit
	segments   int
	refused    []string           // words of the refusal
	follow     func(*layoutCase)  // does what the remedy says
	inexact    float64            // relative tolerance of the interval beyond 1e-9
	check      func(*File) string // what else is wrong
}

const (
	slowInterval = 4e-6 // s
	slowRows     = 48
)

// slowTable writes rows of a record in steps of 4 µs that begins at −20 µs.
func slowTable(row func(i int, t, v string) string) string {
	var b strings.Builder
	for i := range slowRows {
		b.WriteString(row(i, fmt.Sprintf("%.6e", float64(i-5)*slowInterval), volt7(i)) + "\n")
	}
	return b.String()
}

func volt7(i int) string { return fmt.Sprintf("%.4f", math.Sin(0.6*float64(i))) }

func times(format string, scale float64) string {
	return slowTable(func(i int, _, v string) string {
		return fmt.Sprintf(format, float64(i-5)*slowInterval*scale) + "," + v
	})
}

// replaced follows a remedy that changes the file.
func replaced(old, new string) func(*layoutCase) {
	return func(c *layoutCase) { c.text = strings.Replace(c.text, old, new, 1) }
}

func withInterval(seconds float64) func(*layoutCase) {
	return func(c *layoutCase) { c.opt.Interval = seconds }
}

func withColumn(name string) func(*layoutCase) { return func(c *layoutCase) { c.opt.Column = name } }

// besides puts settings beside the first rows of a table.
func besides(settings ...string) string {
	return slowTable(func(i int, t, v string) string {
		beside := ",,"
		if i < len(settings) {
			beside = settings[i]
		}
		return beside + ",," + t + "," + v
	})
}

func (c layoutCase) read() (*File, error) {
	return Read(strings.NewReader(c.text), "scope.csv", c.opt)
}

// wrong says what is wrong in what was read.
func (c layoutCase) wrong(f *File) string {
	channels, segments := max(1, c.channels), max(1, c.segments)
	if len(f.Captures) != channels*segments {
		return fmt.Sprintf("%d captures, want %d × %d", len(f.Captures), segments, channels)
	}
	volt, unit := c.volt, c.unit
	if volt == 0 {
		volt = 1
	}
	if unit == "" {
		unit = "V"
	}
	for i, k := range f.Captures {
		if math.Abs(k.Signal.Interval/c.interval-1) > 1e-9+c.inexact {
			return fmt.Sprintf("capture %d: interval %g s, want %g s", i, k.Signal.Interval, c.interval)
		}
		if c.segments > 0 && k.Segment != 1+i/channels {
			return fmt.Sprintf("capture %d: segment %d", i, k.Segment)
		}
	}
	var want float64
	fmt.Sscan(volt7(7), &want)
	first := f.Captures[0]
	if got := first.Signal.Samples[7]; math.Abs(got-want*volt-c.zero) > 1e-6*volt {
		return fmt.Sprintf("sample 7 is %g, want %g", got, want*volt)
	}
	if first.Unit != unit && unit != "none" {
		return fmt.Sprintf("unit %q, want %q", first.Unit, unit)
	}
	if c.check != nil {
		return c.check(f)
	}
	return ""
}

// TestInstruments reads each layout, or follows the remedy and reads it then.
func TestInstruments(t *testing.T) {
	cases := append(layoutsNamed(), layoutsKnown()...)
	cases = append(cases, layoutsSegmented()...)
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f, err := c.read()
			if len(c.refused) > 0 {
				if err == nil {
					t.Fatalf("is read, every %g s", f.Captures[0].Signal.Interval)
				}
				rest := err.Error() // what was read, what was expected, what to do
				for _, words := range c.refused {
					_, behind, ok := strings.Cut(rest, words)
					if !ok {
						t.Errorf("%v: lacks %q in this place", err, words)
					}
					rest = behind
				}
				c.follow(&c)
				f, err = c.read()
			}
			if err != nil {
				t.Fatal(err)
			}
			if wrong := c.wrong(f); wrong != "" {
				t.Errorf("%s (notes %q)", wrong, f.Captures[0].Notes)
			}
		})
	}
	t.Logf("%d layouts", len(cases))
}

// layoutsNamed are those that makers stumbled over.
func layoutsNamed() []layoutCase {
	plain := slowTable(pair(","))
	two := slowTable(func(_ int, t, v string) string { return t + "," + v + ",0.5" })
	swapped := slowTable(func(_ int, t, v string) string { return t + ",0.5," + v })
	noTime := slowTable(only)
	return []layoutCase{
		{name: "the unit of the axis in the settings beside",
			text: besides("Record Length,48,", "Sample Interval,4.000000e-06,", "Source,CH1,", "Vertical Units,V,", "Horizontal Units,s,"), interval: 4e-6},
		{name: "the unit of the axis in the settings above",
			text: "Sampling Period,4.000E-06\nHorizontal Units,s\nVertical Units,V\n" + noTime, interval: 4e-6},
		{name: "a colon in a cell of its own",
			text: "Sampling Period,:,4.000000uS\nVertical Units,:,V\n" + noTime, interval: 4e-6},
		{name: "two channels under a row of units", text: "x-axis,1,2\nsecond,Volt,Volt\n" + two, interval: 4e-6, channels: 2},
		{name: "the second of them, by both rows", text: "x-axis,1,2\nsecond,Volt,Volt\n" + swapped, opt: Options{Column: "2 volt"}, interval: 4e-6},
		{name: "the second of them, by name and unit", text: "x-axis,1,2\nsecond,Volt,Volt\n" + swapped, opt: Options{Column: "2 [Volt]"}, interval: 4e-6},
		{name: "a number that is a name and a place", text: "x-axis,1,2\nsecond,Volt,Volt\n" + swapped, opt: Options{Column: "2"}, interval: 4e-6,
			refused: []string{`"2" may mean 2 [Volt] (column C), 1 [Volt] (column B)`, `--column "2 [Volt]"`}, follow: withColumn("2 [Volt]")},
		{name: "a unit that both columns have", text: "x-axis,1,2\nsecond,Volt,Volt\n" + two, opt: Options{Column: "Volt"}, interval: 4e-6,
			refused: []string{`there is no column of voltages called "Volt"`, "1 [Volt] (column B), 2 [Volt] (column C)"}, follow: withColumn("1 [Volt]")},
		{name: "two columns of one name", text: "second,Volt,Volt\n" + swapped, opt: Options{Column: "Volt"}, interval: 4e-6,
			refused: []string{`"Volt" may mean Volt (column B), Volt (column C)`, "--column 2 or --column 3"}, follow: withColumn("3")},
		{name: "letters that are names too", text: "Time (s),A (V),B (V)\n" + swapped, opt: Options{Column: "B"}, interval: 4e-6,
			refused: []string{`"B" may mean B (V) (column C), A (V) (column B)`}, follow: withColumn("B (V)")},
		{name: "a cursor line without times", text: "Delta T,1.2 ms\nVertical Units,V\n" + noTime, interval: 4e-6,
			refused: []string{`"Delta T 1.2 ms" may be the time between samples, or that between two cursors`, "--interval 1.2ms"},
			follow:  replaced("Delta T,1.2 ms", "Sample interval,4 us")},
		{name: "a cursor line that is the interval", text: "ΔT: 4 us\nVertical Units,V\n" + noTime, interval: 4e-6,
			refused: []string{`may be the time between samples`, "give --interval 4us"}, follow: withInterval(4e-6)},
		{name: "a duration beside times", text: "Interval,1.2 ms\nΔT,0.3 ms\nSample time,2 s\nTime [s],CH1 [V]\n" + plain, interval: 4e-6},
		{name: "a duration beside an interval", text: "Sample time,1.2 ms\nSample interval,4 us\nVertical Units,V\n" + noTime, interval: 4e-6},
		{name: "times in minutes", text: "Time [min],CH1 [V]\n" + times("%.9e", 1./60), interval: 4e-6, inexact: 1e-6},
		{name: "a unit that is none of time", text: "Time [div],CH1 [V]\n" + plain, interval: 4e-6,
			refused: []string{`the times have the unit "div"`, "correct the header"}, follow: replaced("[div]", "[s]")},
		{name: "two intervals", text: "Sample interval,4 us\nX increment,5 us\nVertical Units,V\n" + noTime, interval: 4e-6,
			refused: []string{`"Sample interval 4 us" in line 1 (4 µs)`, `"X increment 5 us" in line 2 (5 µs)`}, follow: replaced("X increment,5 us\n", "")},
		{name: "an interval and a rate", text: "Sample interval,4 us\nSample rate,500 kSa/s\nVertical Units,V\n" + noTime, interval: 4e-6,
			refused: []string{`"Sample interval 4 us" in line 1`, `"Sample rate 500 kSa/s" in line 2`}, follow: replaced("Sample rate,500 kSa/s\n", "")},
		{name: "an interval and its rounded rate", text: "Sample interval,4 us\nSample rate,0.25 MSa/s\nVertical Units,V\n" + noTime, interval: 4e-6},
		{name: "times against the interval", text: "Sample interval,5 us\nTime [s],CH1 [V]\n" + plain, interval: 4e-6,
			refused: []string{`states "Sample interval 5 us" in line 1 (5 µs)`, "advance by 4 µs"}, follow: replaced("Sample interval,5 us\n", "")},
		{name: "record length against rows", text: "Record Length,2500,points\nTime [s],CH1 [V]\n" + plain, interval: 4e-6,
			refused: []string{`"Record Length 2500" is stated, and the table has 48 rows`, "write 48 there"}, follow: replaced("2500", "48")},
		{name: "a bare rate along an axis in seconds", text: "Sample rate,250000\nHorizontal Units,s\nVertical Units,V\n" + noTime, interval: 4e-6},
		{name: "a bare rate", text: "Sample rate,250000\nVertical Units,V\n" + noTime, interval: 4e-6,
			refused: []string{`read "250000" without a unit`, "a rate in Sa/s (samples every 4 µs) or kSa/s (4 ns)", "--interval 4us or --interval 4ns"}, follow: withInterval(4e-6)},
		{name: "a bare rate and another interval", text: "Sample rate,250000\nVertical Units,V\n" + noTime, opt: Options{Interval: 5e-6}, interval: 4e-6,
			refused: []string{`the sample interval given, 5 µs, contradicts the file: "Sample rate 250000" in line 1`}, follow: withInterval(4e-6)},
		{name: "pairs of least and greatest", text: "Time [s],CH1 [V]\n" + slowTable(func(i int, t, v string) string { return t + "," + v + "\n" + t + ",0.1" }), interval: 4e-6,
			refused: []string{"two rows for each time", "expected one", "switch its peak detection off"},
			follow:  func(c *layoutCase) { c.text = "Time [s],CH1 [V]\n" + plain }},
		{name: "epoch nanoseconds", text: "Time [ns],CH1 [V]\n" + slowTable(func(i int, _, v string) string { return fmt.Sprintf("%d,%s", int64(1700000000000000000)+int64(4*i), v) }), interval: 4e-9},
		{name: "a counter column in Hz of an axis", text: "x-axis,1\nsecond,Volt\n" + plain, interval: 4e-6},
		{name: "epoch times", text: "Time [s],CH1 [V]\n" + epoch(4e-9, 9), interval: 4e-9},
		{name: "epoch times of a double", text: "Time [s],CH1 [V]\n" + epochDouble(), interval: 4e-9,
			refused: []string{"count from long ago (1.7e+09)", "rounded to steps of 2.4e-07", "expected times that tell the samples apart", "--interval"}, follow: withInterval(4e-9)},
		{name: "epoch times in few digits", text: "Time [s],CH1 [V]\n" + epoch(4e-9, 3), interval: 4e-9,
			refused: []string{"the times don't advance", "--interval"}, follow: withInterval(4e-9)},
		{name: "seconds and nanoseconds in two columns", text: "Seconds,Nanoseconds,CH1 [V]\n" +
			slowTable(func(i int, _, v string) string { return fmt.Sprintf("1700000000,%d,%s", 1000+4*i, v) }), interval: 4e-9},
		{name: "steps that may be anything", text: "t,CH1 [V]\n" + times("%.6f", 1e3), interval: 4e-6,
			refused: []string{"steps of 0.004 and name no unit", "ms (4 µs)", "µs (4 ns)", "--interval 4us"}, follow: withInterval(4e-6)},
		{name: "the same, by the header", text: "t,CH1 [V]\n" + times("%.6f", 1e3), interval: 4e-6,
			refused: []string{"write the unit that is meant into the header, as in t [s]"}, follow: replaced("t,", "t [ms],")},
		{name: "an interval copied from elsewhere", text: "Horizontal Units,s\nt,CH1 [V]\n" + plain, opt: Options{Interval: 4e-9}, interval: 4e-6,
			refused: []string{"the sample interval given is 4 ns", "4 µs, by which the times advance", "leave it out"}, follow: withInterval(0)},
		{name: "an interval against the one stated", text: "Sample interval,4 us\nVertical Units,V\n" + noTime, opt: Options{Interval: 4e-9}, interval: 4e-6,
			refused: []string{"the sample interval given, 4 ns, contradicts the file", `"Sample interval 4 us" in line 1`}, follow: withInterval(0)},
		{name: "an interval that names the unit of the one stated", text: "Sample interval,4.0\nVertical Units,V\n" + noTime, interval: 4e-6,
			refused: []string{`read "4.0" without a unit`, "µs (4 µs)", "--interval 4us"}, follow: withInterval(4e-6)},
		{name: "nothing on the time", text: "CH1 [V]\n" + noTime, interval: 4e-6,
			refused: []string{"neither a column of times nor a sample interval", "divided by 47"}, follow: withInterval(47 * 4e-6 / 47)},
		{name: "two units of the axis", text: "Horizontal Units,ms\nTime [s],CH1 [V]\n" + plain, interval: 4e-6,
			refused: []string{"the times are in s by their header, in ms by"}, follow: replaced("Units,ms", "Units,s")},
	}
}

// epoch writes times that count from long ago with so many decimals.
func epoch(step float64, decimals int) string {
	return slowTable(func(i int, _, v string) string {
		return fmt.Sprintf("1700000000.%s,%s", fmt.Sprintf("%012d", int64(math.Round(float64(i)*step*1e12)))[:decimals], v)
	})
}

func epochDouble() string {
	return slowTable(func(i int, _, v string) string { return fmt.Sprintf("%.9f,%s", 1.7e9+float64(i)*4e-9, v) })
}

// layoutsKnown are others that instruments are known to write.
func layoutsKnown() []layoutCase {
	plain := slowTable(pair(","))
	counts := slowTable(func(i int, _, _ string) string {
		var v float64
		fmt.Sscan(volt7(i), &v)
		return fmt.Sprint(128 + int(math.Round(v*1e4)))
	})
	return []layoutCase{
		{name: "settings above, two channels, a blank line", text: "Model,bench scope\nSource,CH1,CH2\nVertical Scale,0.5,0.2\nVertical Units,V,mV\nHorizontal Units,s\n\n" +
			slowTable(func(_ int, t, v string) string { return t + "," + v + ",3" }), interval: 4e-6, channels: 2,
			check: func(f *File) string {
				if got := f.Captures[1].Signal.Samples[0]; got != 3e-3 {
					return fmt.Sprintf("the second channel is %g V", got)
				}
				return ""
			}},
		{name: "settings commented out", text: "# Bench scope\n# Sample interval: 4e-6 s\n# Vertical unit: V\n" + slowTable(only), interval: 4e-6},
		{name: "a doubtful setting commented out", text: "# Interval: 4 us\n# Vertical unit: V\n" + slowTable(only), interval: 4e-6,
			refused: []string{`"Interval 4 us" may be`}, follow: withInterval(4e-6)},
		{name: "settings behind per cent signs, tabs", text: "% Sample rate\t250 kSa/s\n% Vertical unit\tV\nt\tu\n" + slowTable(pair("\t")), interval: 4e-6},
		{name: "settings in quotes", text: `"Sample interval","4e-6","s"` + "\n" + `"Time","CH1 (V)"` + "\n" + plain, interval: 4e-6},
		{name: "settings with equals signs", text: "DATE=today\nXINCR=4e-6 s\nYUNIT=V\n" + slowTable(only), interval: 4e-6},
		{name: "a setting in a sentence", text: "# Sampling interval 4 us\n# Vertical unit: V\n" + slowTable(only), interval: 4e-6},
		{name: "names, units, a blank line", text: "Time,Channel A,Channel B\n(us),(mV),(V)\n\n" +
			slowTable(func(i int, _, v string) string { return fmt.Sprintf("%.3f,%s,1", float64(i-5)*4, v) }), interval: 4e-6, channels: 2, volt: 1e-3},
		{name: "units in words of the header", text: "in s,C1 in V\n" + plain, interval: 4e-6},
		{name: "sequence numbers, start and increment in the header", text: "X,CH1,CH2,Start,Increment,\nSequence,Volt,Volt,-2.0e-05,4.0e-06,s\n" +
			slowTable(func(i int, _, v string) string { return fmt.Sprintf("%d,%s,0.1,,", i, v) }), interval: 4e-6, channels: 2},
		{name: "sequence numbers, a bare increment", text: "X,CH1,Start,Increment,\nSequence,Volt,-2.0e-05,4.0e-06\n" +
			slowTable(func(i int, _, v string) string { return fmt.Sprintf("%d,%s,,", i, v) }), interval: 4e-6,
			refused: []string{`read "4.0e-06" without a unit`, "--interval 4us"}, follow: withInterval(4e-6)},
		{name: "t0 and delta t above the table", text: "t0\t0\ndelta t\t4E-6\ntime\tY [V]\n" +
			slowTable(func(i int, t, v string) string { return t + "\t" + v }), interval: 4e-6,
			refused: []string{"steps of 4e-06 and name no unit", "s (samples every 4 µs) or ms (4 ns)", "--interval 4us"}, follow: withInterval(4e-6)},
		{name: "a pair of time and voltage for each channel", text: "Time (s),CH1 (V),Time (s),CH2 (V)\n" +
			slowTable(func(_ int, t, v string) string { return t + "," + v + "," + t + ",0.2" }), interval: 4e-6, channels: 2},
		{name: "times of its own for each channel", text: "Time (s),CH1 (V),Time (s),CH2 (V)\n" +
			slowTable(func(i int, t, v string) string { return fmt.Sprintf("%s,%s,%.6e,0.2", t, v, float64(i)*1e-6) }), interval: 4e-6,
			refused: []string{"CH2 (V) (column D) has other times than CH1 (V) (column B)", "--column CH1"}, follow: withColumn("CH1")},
		{name: "the second channel, by its own times", text: "Time (s),CH1 (V),Time (s),CH2 (V)\n" +
			slowTable(func(i int, t, v string) string { return fmt.Sprintf("%.6e,0.2,%s,%s", float64(i)*1e-6, t, v) }), opt: Options{Column: "ch2"}, interval: 4e-6},
		{name: "a block of settings for each channel, side by side", text: slowTable(func(i int, t, v string) string {
			s := []string{"Record Length,48,", "Sample Interval,4.0e-06,s", "Vertical Units,V,", "Source,CH1,"}
			beside := ",,"
			if i < len(s) {
				beside = s[i]
			}
			return beside + "," + t + "," + v + ",," + strings.Replace(beside, "CH1", "CH2", 1) + "," + t + ",0.2"
		}), interval: 4e-6, channels: 2},
		{name: "counts with a scale", text: "Y increment,1e-4,V\nY reference,128\nY origin,0\nX increment,4e-6,s\ncounts\n" + counts, interval: 4e-6},
		{name: "counts with a multiplier and an offset", text: "XINCR,4.0E-6\nXUNIT,s\nYMULT,1.0E-4\nYOFF,128\nYZERO,0\nYUNIT,V\n" + counts, interval: 4e-6},
		{name: "counts without a scale", text: "X increment,4 us\nADC\n" + counts, interval: 4e-6, unit: "none", volt: 1e4,
			zero: 128},
		{name: "counts on an axis in volts", text: "X increment,4 us\nVertical Units,V\nADC\n" + counts, interval: 4e-6, unit: "none", volt: 1e4, zero: 128,
			check: func(f *File) string {
				if k := f.Captures[0]; k.Unit != "" || len(k.Notes) != 1 {
					return "counts in " + k.Unit
				}
				return ""
			}},
		{name: "decimal commas all over", text: "Abtastintervall;egal\nSample interval;4,0;us\nZeit [ms];Kanal 1 [V]\n" +
			comma(slowTable(func(i int, _, v string) string { return fmt.Sprintf("%.6f;%s", float64(i-5)*4e-3, v) })), interval: 4e-6},
		{name: "a logger's date beside the number", text: "Sample,Date/Time,CH1 (V)\n" +
			slowTable(func(i int, _, v string) string { return fmt.Sprintf("%d,2026-01-02 10:00:00.%06d,%s", i, 4*i, v) }), interval: 4e-6,
			refused: []string{"neither a column of times nor a sample interval", "divided by 47"}, follow: withInterval(4e-6)},
		{name: "units behind the numbers", text: "Time,CH1\n" + slowTable(func(i int, _, v string) string { return fmt.Sprintf("%dus,%sV", 4*i, v) }), interval: 4e-6,
			refused: []string{"units stand behind the numbers", "as in Time [s],CH1 [V]"},
			follow: func(c *layoutCase) {
				c.text = strings.Replace(strings.NewReplacer("us", "", "V\n", "\n").Replace(c.text), "Time,CH1", "Time [us],CH1 [V]", 1)
			}},
		{name: "all samples in one line", text: "Sample interval,4 us\n" + strings.ReplaceAll(strings.TrimSpace(slowTable(only)), "\n", ",") + "\n", interval: 4e-6, unit: "none",
			refused: []string{"the line holds 48 cells", "write each sample on a line of its own"},
			follow: func(c *layoutCase) {
				c.text = "Sample interval: 4 us\n" + strings.ReplaceAll(strings.SplitN(c.text, "\n", 2)[1], ",", "\n")
			}},
		{name: "ten samples a line", text: tenALine(), interval: 4e-6, unit: "none",
			refused: []string{"the lines hold 10 numbers each and no time", "write each on a line of its own"},
			follow: func(c *layoutCase) {
				head, rows, _ := strings.Cut(c.text, "\n")
				c.text = head + "\n" + strings.ReplaceAll(rows, ",", "\n")
			}},
		{name: "a spectrum on the screen beside", text: "Math,FFT(CH1)\nTime (s),CH1 (V)\n" + plain, interval: 4e-6},
		{name: "a remark behind the table", text: "Time (s),CH1 (V)\n" + plain + "\nend of record\n", interval: 4e-6},
		{name: "a memory length that isn't that of the table", text: "Memory depth,1000k\nSample rate,250 kSa/s\nTime (s),CH1 (V)\n" + plain, interval: 4e-6},
		{name: "units in a setting, sentence columns", text: "Time unit: us\nt   u(V)\n" + slowTable(func(i int, _, v string) string {
			return fmt.Sprintf("%.3f   %s", float64(i-5)*4, v)
		}), interval: 4e-6},
	}
}

func tenALine() string {
	var b strings.Builder
	b.WriteString("Sample interval: 4 us\n")
	for i := range 60 {
		b.WriteString(volt7(i) + map[bool]string{true: "\n", false: ","}[i%10 == 9])
	}
	return b.String()
}

// layoutsSegmented hold several records.
func layoutsSegmented() []layoutCase {
	plain := slowTable(pair(","))
	absolute := func(gap float64) (text string) {
		for k := range 3 {
			text += slowTable(func(i int, _, v string) string { return fmt.Sprintf("%.6f,%s", float64(i)*4e-6+float64(k)*gap, v) })
		}
		return text
	}
	return []layoutCase{
		{name: "segments below each other", text: "Time [s],CH1 [V]\n" + plain + plain + plain, interval: 4e-6, segments: 3},
		{name: "segments with their number", text: "Segment,Time [s],CH1 [V]\n" + numbered(1, plain) + numbered(2, plain), interval: 4e-6, segments: 2},
		{name: "segments with a heading each", text: "Segment 1\nTime [s],CH1 [V]\n" + plain + "\nSegment 2\nTime [s],CH1 [V]\n" + plain, interval: 4e-6, segments: 2},
		{name: "segments on one clock", text: "Time [s],CH1 [V]\n" + absolute(1e-3), interval: 4e-6, segments: 3},
		{name: "segments of voltages alone", text: "Sample interval: 4 us\nCH1 [V]\n" + slowTable(only) + "CH1 [V]\n" + slowTable(only), interval: 4e-6, segments: 2},
		{name: "segments with two channels", text: "Time [s],CH1 [V],CH2 [V]\n" + strings.Repeat(slowTable(func(_ int, t, v string) string { return t + "," + v + ",0.1" }), 2),
			interval: 4e-6, channels: 2, segments: 2},
		{name: "segments side by side", text: "Time [s],Segment 1 [V],Segment 2 [V]\n" + slowTable(func(_ int, t, v string) string { return t + "," + v + "," + v }), interval: 4e-6, channels: 2},
		{name: "segments of unlike length", text: "Time [s],CH1 [V]\n" + plain + strings.Join(strings.SplitAfter(plain, "\n")[:30], ""), interval: 4e-6,
			refused: []string{"the time goes back by", "save each capture in a file of its own"},
			follow:  func(c *layoutCase) { c.text = "Time [s],CH1 [V]\n" + plain }},
		{name: "three segments of unlike length", text: "Time [s],CH1 [V]\n" + plain + strings.Join(strings.SplitAfter(plain, "\n")[:30], "") + longTable()[:len(longTable())*66/1500],
			interval: 4e-6, refused: []string{"the time goes back by", "save each capture in a file of its own"},
			follow: func(c *layoutCase) { c.text = "Time [s],CH1 [V]\n" + plain }},
		{name: "many long segments", text: "Time [s],CH1 [V]\n" + strings.Repeat(longTable(), 4), interval: 4e-6, segments: 4},
	}
}

func longTable() string {
	var b strings.Builder
	for i := range 1500 {
		fmt.Fprintf(&b, "%.6e,%s\n", float64(i-5)*slowInterval, volt7(i))
	}
	return b.String()
}

func numbered(n int, rows string) string {
	var b strings.Builder
	for line := range strings.Lines(rows) {
		fmt.Fprintf(&b, "%d,%s", n, line)
	}
	return b.String()
}
