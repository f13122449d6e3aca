package waveform

import (
	"math"
	"strings"
	"testing"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
)

// A row follows another where it is within a quarter of a step, and half the worth of either's last digit where
// times show that they were rounded.
func TestRowsFollow(t *testing.T) {
	for _, c := range []struct {
		exact, digitA, digitB, gap float64
		want                       bool
	}{
		{0, 0, 0, 1.249, true}, {0, 0, 0, 1.251, false}, {0, 0, 0, 0.751, true}, {0, 0, 0, 0.749, false},
		{0, 0.2, 0.4, 1.549, true}, {0, 0.2, 0.4, 1.551, false}, {0, 0.4, 0.2, 1.549, true}, {0.4, 0.2, 0.4, 1.3, false}, {0.39, 0.4, 0.2, 1.5, true},
	} {
		k := clock{step: 1, exact: c.exact}
		if k.follows(tick{time: 5, digit: c.digitA}, tick{time: 5 + c.gap, digit: c.digitB}) != c.want {
			t.Errorf("%+v", c)
		}
	}
}

// Before the step is settled a time doesn't belong to the rows, from the sixteenth on, where a heading stands before
// it, where it goes back by more than a digit, or on by 20 mean steps and digits.
func TestTimesJump(t *testing.T) {
	for _, c := range []struct {
		n       int
		time    float64
		heading bool
		want    bool
	}{
		{16, 16, false, false}, {16, 0, false, true}, {15, 0, false, false}, {16, 16, true, true}, {15, 16, true, false},
		{16, 14.6, false, false}, {16, 14.4, false, true}, {16, 15 + 29.9, false, false}, {16, 15 + 30.1, false, true}, {15, 100, false, false},
	} {
		k := clock{n: c.n, first: 0, last: 15, lastDigit: 0.5}
		k.last = float64(c.n - 1)
		if c.n < 16 {
			k.last = 15
		}
		if k.jumps(c.time, c.heading) != c.want {
			t.Errorf("%+v", c)
		}
	}
	if (&clock{n: 20, first: 3, last: 3}).jumps(100, false) {
		t.Error("times that stand still have no step to jump by")
	}
}

// The step is the middle one of those over a quarter of the rows; what doesn't follow is told with its own step, and
// where that is more than half, there is no step. A digit is exact where nine of ten steps are equal to a thousandth.
func TestStepSettles(t *testing.T) {
	with := func(digit float64, times ...float64) *clock {
		c := &clock{}
		for i, x := range times {
			c.add(x, digit, 10+i)
		}
		return c
	}
	c := with(1, 0, 1, 2, 3, 5, 6, 7, 8, 9, 10, 11, 12)
	off := c.settle()
	if c.step != 1 || len(off) != 1 || off[0].line != 14 || off[0].row != 4 || off[0].step != 2 || c.uneven || c.early != nil || c.exact != 1 {
		t.Errorf("%+v: %+v", c, off)
	}
	equal := []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19.002}
	if c = with(0.1, equal...); len(c.settle()) != 0 || c.exact != 0.1 { // 18 of 20, and 19 are needed… 18 are nine in ten
		t.Errorf("exact to %v", c.exact)
	}
	equal[18] = 18.01
	if c = with(0.1, equal...); len(c.settle()) != 0 || c.exact != 0 {
		t.Errorf("exact to %v though two more are off", c.exact)
	}
	if c = with(0.1, 0, 1, 2, 4, 8, 16, 32, 64, 128); len(c.settle()) != 1 || !c.uneven {
		t.Errorf("%+v", c)
	}
	half := with(1e-9, 0, 1, 2.4, 3, 4.4, 5, 6.4, 7, 8.4, 9) // 8 of 10 off, by turns
	if off := half.settle(); len(off) != 1 || !half.uneven || off[0].line != 12 {
		t.Errorf("%+v", off)
	}
	some := with(1e-9, 0, 1, 2.4, 3, 4.4, 5, 6, 7, 8, 9) // 4 of 10
	if off := some.settle(); len(off) != 4 || some.uneven {
		t.Errorf("%+v", off)
	}
	five := with(1e-9, 0, 1, 2.4, 3, 4.4, 5, 6, 7, 8, 9.4) // 5 of 10 are no more than half
	if off := five.settle(); len(off) != 5 || five.uneven {
		t.Errorf("%+v", off)
	}
	if c = with(1, 3, 3, 3, 3); c.settle() != nil || !math.IsNaN(c.step) {
		t.Errorf("standing times have the step %v", c.step)
	}
	for i, want := range []float64{1.5, 1} { // of the first 4 and of 12 rows: over 1, and over 3
		if got := middleStep([][]tick{{{time: 0}, {time: 1}, {time: 2.5}, {time: 5}}, {{time: 0}, {time: 0}, {time: 0}, {time: 3}, {time: 3}, {time: 3}, {time: 6}, {time: 6}, {time: 6}, {time: 9}, {time: 9}, {time: 9}}}[i]); got != want {
			t.Errorf("middle step %v, want %v", got, want)
		}
	}
	// A row passed over doesn't count against the next, which is marked.
	c = with(1e-3, 0, 1, 2)
	c.skip()
	c.add(9, 1e-3, 13)
	if !c.early[3].after || c.early[2].after {
		t.Errorf("%+v", c.early)
	}
	c.step = 1
	c.early = nil
	if !c.add(10, 1e-3, 14) || c.add(12, 1e-3, 15) {
		t.Error("follows, and doesn't")
	}
	c.skip()
	if !c.add(99, 1e-3, 16) {
		t.Error("behind a row passed over")
	}
	for range 4000 {
		c.add(c.last+1, 1e-3, 17)
	}
	if len(c.marks) != 4 || c.marks[1].row != 1024 || c.marks[3].row != 3072 {
		t.Errorf("%d marks", len(c.marks))
	}
}

// The interval of the times, known to the last digits of the first and the last over √12 and the steps between; a stated
// one is taken within four of that. A mark strays beyond a quarter of a step and the digits.
func TestIntervalByTheEnds(t *testing.T) {
	c := clock{n: 101, first: 1, last: 201, firstDigit: 0.3, lastDigit: 0.4}
	u := 0.5 / math.Sqrt(12) / 100
	if c.interval() != 2 || math.Abs(c.uncertainty()/u-1) > 1e-12 || c.start() != 1 {
		t.Errorf("%v ± %v from %v", c.interval(), c.uncertainty(), c.start())
	}
	for factor, taken := range map[float64]bool{3.9: true, 4.1: false, -3.9: true, -4.1: false} {
		d := c
		if d.refine(2 + factor*u); (d.given > 0) != taken || taken && (d.interval() != 2+factor*u || d.uncertainty() != 0) {
			t.Errorf("stated %v u off: %v", factor, d.given)
		}
	}
	zero := clock{n: 11, last: 10, lastDigit: 0.1}
	if got := zero.measuredUncertainty(); math.Abs(got-0.1*math.Sqrt(2./12)/10) > 1e-15 {
		t.Errorf("u %v of a first time that tells no digits", got)
	}
	known := clock{n: 11, last: 10, lastDigit: 1e-9}
	if known.refine(1); known.given != 0 {
		t.Error("refined though known to a billionth")
	}
	indexed := clock{n: 5, given: 3, byIndex: true, first: 7}
	if indexed.start() != 0 || indexed.interval() != 3 {
		t.Errorf("counted rows start at %v", indexed.start())
	}
	for off, want := range map[float64]float64{1.99: 0, 2.01: 2.01, -2.01: 2.01} { // 0.5 + 0.8 + 0.3 + 0.4
		d := c
		d.marks = []tick{{time: 1}, {time: 81 + off, digit: 0.8, row: 40, line: 50}, {time: 121 + off/1.0001, digit: 0.8, row: 60, line: 70}}
		if m, got := d.strayed(); math.Abs(got-want) > 1e-9 || got > 0 && m.line != 50 {
			t.Errorf("off by %v: %v in line %d", off, got, m.line)
		}
	}
}

// Segments have equally many rows, 16 at least, and each begins where the first does, to a step and the digits, or all,
// two at least, are ahead by more than twice as much; the last may lack its last row.
func TestSegmentsAtTheirLimits(t *testing.T) {
	const step = 1.0
	of := func(each, last int, digit float64, gaps ...float64) bool { // gap: how far a segment begins behind the first
		rd := &reader{roles: roles{time: 0}, clock: clock{step: step, first: 10, firstDigit: digit}}
		rd.samples = [][]float64{make([]float64, each*len(gaps)+last)}
		for i, g := range gaps {
			end := 10 + float64(each-1)
			rd.breaks = append(rd.breaks, pause{row: (i + 1) * each, before: tick{time: end}, after: tick{time: 10 + g, digit: digit}})
		}
		return rd.segmented()
	}
	for i, c := range []struct {
		got, want bool
	}{
		{of(16, 16, 0, 0), true}, {of(15, 15, 0, 0), false}, {of(16, 15, 0, 0), true}, {of(16, 14, 0, 0), false}, {of(16, 17, 0, 0), false},
		{of(16, 16, 0, 0.99), true}, {of(16, 16, 0, 1.01), false}, {of(16, 16, 0.25, 1.49), true}, {of(16, 16, 0.25, 1.51), false}, {of(16, 16, 0, -1.01), false},
		{of(16, 16, 0, 15+2.1, 15+2.1), true}, {of(16, 16, 0, 15+1.9, 15+2.1), false}, {of(16, 16, 0, 15+2.1), false}, {of(16, 16, 0, 15+2.1, 0), false},
	} {
		if c.got != c.want {
			t.Errorf("%d: segments %v", i, c.got)
		}
	}
	// What is limited to a part has the times of its own rows.
	rd := &reader{roles: roles{time: 0}, clock: clock{step: step, first: 10, firstDigit: 0.1, last: 99, lastDigit: 0.2, n: 48,
		marks: []tick{{row: 0}, {row: 20, time: 5}, {row: 40}}}}
	rd.samples = [][]float64{make([]float64, 48)}
	for i := range 2 {
		rd.breaks = append(rd.breaks, pause{row: 16 * (i + 1), before: tick{time: 25 + float64(i), digit: 0.3}, after: tick{time: 10 + 0.5*float64(i), digit: 0.4}})
	}
	parts := rd.parts()
	if len(parts) != 3 || parts[1].from != 16 || parts[1].to != 32 || parts[2].to != 48 {
		t.Fatalf("%+v", parts)
	}
	c := parts[1].clock
	if c.first != 10 || c.firstDigit != 0.4 || c.last != 26 || c.lastDigit != 0.3 || c.n != 16 || len(c.marks) != 1 || c.marks[0].row != 4 {
		t.Errorf("%+v", c)
	}
	if c = parts[2].clock; c.first != 10.5 || c.last != 99 || c.lastDigit != 0.2 {
		t.Errorf("%+v", c)
	}
	if c = parts[0].clock; c.first != 10 || c.firstDigit != 0.1 || c.last != 25 {
		t.Errorf("%+v", c)
	}
}

// What stands in words of lines between rows announces a segment, or a repeated header does.
func TestHeadings(t *testing.T) {
	rd := &reader{layout: layout{names: []string{"", "CH1"}}}
	for text, want := range map[string]bool{"read \"ch1\"": true, "read \"Segment 2\"": true, "a FRAME": true, "Waveform": true, "record 3": true, "Acquisition": true, "read \"x\"": false, "": false} {
		if rd.headings([]cells.Fault{{Problem: "nothing"}, {Problem: text}}) != want {
			t.Errorf("%q: %v", text, !want)
		}
	}
	for i, want := range []bool{false, true, false, false} {
		rows := [][]tick{{{time: 1}, {time: 1}, {time: 2}}, {{time: 1}, {time: 1}, {time: 2}, {time: 2}, {time: 3}}, {{time: 1}, {time: 2}, {time: 2}, {time: 3}}, {{time: 1}, {time: 1}, {time: 1}, {time: 1}}}[i]
		if paired(rows) != want {
			t.Errorf("two rows for each time of %v: %v", rows, !want)
		}
	}
}

// Two intervals agree within a thousandth and half a last digit of each, which is a fiftieth at most.
func TestStatedIntervalsAgree(t *testing.T) {
	for _, c := range []struct {
		a, b stated
		want bool
	}{
		{stated{interval: 1}, stated{interval: 1.00099}, true}, {stated{interval: 1}, stated{interval: 1.00102}, false},
		{stated{interval: 1.00599, digit: 0.01}, stated{interval: 1}, true}, {stated{interval: 1.00602, digit: 0.01}, stated{interval: 1}, false},
		{stated{interval: 1.0109, digit: 0.01}, stated{interval: 1, digit: 0.01}, true}, {stated{interval: 1.0111, digit: 0.01}, stated{interval: 1, digit: 0.01}, false},
		{stated{interval: 1.0209, digit: 0.25}, stated{interval: 1}, true}, {stated{interval: 1.0211, digit: 0.25}, stated{interval: 1}, false},
	} {
		if c.a.agrees(c.b) != c.want {
			t.Errorf("%+v", c)
		}
	}
	l := &layout{dialect: dialect{mark: quantity.Point}}
	for _, c := range []struct {
		text           string
		rate           bool
		seconds, digit float64
		named, ok      bool
	}{
		{"4 ns", false, 4e-9, 0.25, true, true}, {"2.50e-9", false, 2.5e-9, 0.004, false, true}, {"4 usec", false, 4e-6, 0.25, true, true}, {"250 MSa/s", true, 4e-9, 0.004, true, true}, {"-50", true, -0.02, 0.02, false, false},
		{"0", true, math.Inf(1), math.Inf(1), false, false}, {"4 kg", false, 0, 0, true, false},
	} {
		seconds, digit, named, ok := l.duration(c.text, c.rate)
		if ok != c.ok || named != c.named || ok && (math.Abs(seconds/c.seconds-1) > 1e-12 || math.Abs(digit/c.digit-1) > 1e-9) {
			t.Errorf("%q: %v s, digit %v, named %v, %v", c.text, seconds, digit, named, ok)
		}
	}
}

// Two rows for each time, from the first row to the last pair that is followed by another.
func TestPairedRows(t *testing.T) {
	for times, want := range map[string]bool{"001122": true, "00112": true, "0011": true, "001": false, "00": false, "011223": false, "001233": false, "00112344": false, "00112334": false, "000011": false, "00111122": false, "0123": false} {
		var rows []tick
		for _, r := range times {
			rows = append(rows, tick{time: float64(r - '0')})
		}
		if paired(rows) != want {
			t.Errorf("%s: %v", times, !want)
		}
	}
}

// A column that no name, number or letter calls alone is called in full, in quotes, and that is understood.
func TestCallsOfColumns(t *testing.T) {
	rows := count(20, "%de-6,%d,7.5,8.5,9.5")
	for header, want := range map[string]string{
		"Time [s],3 [V],3 [V],2 [V],B [V]": `"column B" C "2 [V]" "B [V]"`, "Time [s],near,far,C,u": "near far 4 u", "Time [s],near [V],near [mV],u,v": `"near [V]" "near [mV]" u v`,
		"Time [s],a b,a'b,a,e": `"a b" 3 4 e`,
	} {
		f := file(t, header+"\n"+rows, Options{})
		var calls []string
		for _, c := range f.Captures {
			calls = append(calls, c.Call)
			if got := file(t, header+"\n"+rows, Options{Column: strings.Trim(c.Call, `"`)}).Captures; len(got) != 1 || got[0].Signal.Samples[0] != c.Signal.Samples[0] {
				t.Errorf("%s: %s calls %+v", header, c.Call, got)
			}
		}
		if got := strings.Join(calls, " "); got != want {
			t.Errorf("%s: called %s, want %s", header, got, want)
		}
	}
}
