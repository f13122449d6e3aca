package waveform

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"fitcoil/ioformat/quantity"
)

// file reads what is expected to be a capture or a sweep.
func file(t *testing.T, text string, opt Options) *File {
	t.Helper()
	f, err := Read(strings.NewReader(text), "scope.csv", opt)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// A column of numbers that rises evenly is one of times from twelve rows on; within one and a half steps; 64 rows are
// looked at.
func TestColumnsThatRise(t *testing.T) {
	l := func(column ...float64) *layout {
		l := &layout{dialect: dialect{delimiter: ',', mark: quantity.Point}, columns: 3, names: []string{"", ""}, units: []string{"", ""}}
		for _, v := range column {
			l.head = append(l.head, []string{fmt.Sprint(v), "0.5"})
		}
		return l
	}
	var even []float64
	for i := range 80 {
		even = append(even, 0.5*float64(i))
	}
	if got := l(even...).values(0); len(got) != 64 || got[63] != 31.5 {
		t.Errorf("%d values", len(got))
	}
	for n, want := range map[int]int{11: -1, 12: 0} {
		r := roles{time: -1}
		if l(even[:n]...).findTime(&r); r.time != want {
			t.Errorf("%d rows: times in column %d", n, r.time)
		}
	}
	for _, c := range []struct {
		list          []float64
		counts, rises bool
	}{
		{[]float64{4, 5, 6}, true, true}, {[]float64{4, 5}, false, false}, {[]float64{4, 5, 7}, false, true}, {[]float64{0.5, 1.5, 2.5}, false, true}, {[]float64{3, 2, 1}, false, false},
		{[]float64{0, 2.45, 2.45, 3}, false, true}, {[]float64{0, 2.55, 2.55, 3}, false, false}, {[]float64{0, 2, 1, 3}, false, false},
	} {
		k := l(c.list...)
		if k.counts(0) != c.counts || k.countsUp(0) != c.rises {
			t.Errorf("%v: counts %v, rises %v", c.list, k.counts(0), k.countsUp(0))
		}
	}
	if !l(1, 2, 3).sameTimes(0, 0) || l(1, 2, 3).sameTimes(0, 1) || l(1, 2, 3).sameTimes(1, 0) {
		t.Error("the same times")
	}
}

// The dialect is that in which most lines hold nothing but numbers: lines with words count a tenth. A column of decimal
// commas has fractions of one length that begin with a nought somewhere.
func TestDialectGuessed(t *testing.T) {
	for i, c := range []struct {
		lines string
		want  dialect
		set   columnSet
	}{
		{"1,2\n2,3\n3,4\n", dialect{',', quantity.Point}, 3}, {"0,05\n0,12\n0,30\n", dialect{0, quantity.Comma}, 1}, {"0,15\n0,12\n0,30\n", dialect{',', quantity.Point}, 3}, {"0,05\n0,1\n0,30\n", dialect{',', quantity.Point}, 3},
		{"0,0\n1,0\n2,0\n", dialect{',', quantity.Point}, 3}, {"1;2,5\n2;3,5\n", dialect{';', quantity.Comma}, 3}, {"1;2.5\n2;3.5\n", dialect{';', quantity.Point}, 3}, {"1 2.5\n2 3.5\n", dialect{' ', quantity.Point}, 3}, {"1\t2\n1\t3\n", dialect{'\t', quantity.Point}, 3},
		{"a;1\nb;2\nc;3\nd;4\ne;5\nf;6\ng;7\nh;8\ni;9\n7\n", dialect{',', quantity.Point}, 1}, {"x,1\n1,2\n2,\n3,\n,4\n5,6\n", dialect{',', quantity.Point}, 3},
	} {
		d, set := guess(strings.Split(strings.TrimSpace(c.lines), "\n"))
		if d != c.want || set != c.set {
			t.Errorf("%d: %q %q, columns %b", i, d.delimiter, d.mark, set)
		}
	}
	long := strings.Split(strings.TrimSpace(strings.Repeat("1,2\n", 200)+strings.Repeat("1;2\n", 9000)+strings.Repeat("1,2\n", 150)+strings.Repeat("1;2\n", 50)), "\n")
	if d, _ := guess(long); d.delimiter != ',' {
		t.Errorf("by the lines at both ends: %q", d.delimiter)
	}
}

// Settings with the place where each value stands, from 1, and what is next to it; values below; those of the table are none.
func TestSettingsWithTheirPlaces(t *testing.T) {
	l := &layout{dialect: dialect{delimiter: ',', mark: quantity.Point}, columns: 3, first: 3, head: [][]string{
		{"# Sample Interval:", "4", "ns"}, {"Record-Length", "Points [k]"}, {"10k", "5"}, {"1", "2", "Trigger: 5 V", ":", "7"}}}
	list := l.settings()
	var got []string
	for _, s := range list {
		got = append(got, fmt.Sprintf("%s|%s|%s|%d:%d|%v|%v", s.name, s.text, s.unit, s.line, s.column, s.behind, s.below))
	}
	want := []string{
		"sampleinterval|Sample Interval||1:1|[{4 ns 1 2} {ns  1 3}]|{Record-Length Points [k] 2 1}", "ns|ns||1:3|[]|{  0 0}",
		"recordlength|Record-Length||2:1|[{Points [k]  2 2}]|{10k 5 3 1}", "points|Points [k]|k|2:2|[]|{5  3 2}", "trigger|Trigger||4:3|[{5 V : 4 3}]|{  0 0}"}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if s := list[0]; len(s.values()) != 2 || s.values()[0].text != "4" || s.values()[1].line != 2 {
		t.Errorf("%+v", s.values())
	}
}

// An amplitude of −3.0 dB is 0.7079 of one, and its last digit worth 0.1 dB, 1.1513 % of it; frequencies and volts have
// the worth of their digits in their own units.
func TestDigitsOfASweep(t *testing.T) {
	p := file(t, "Frequency (MHz),Gain (dB)\n2.40,-3.0\n2.45,0\n2.50,-3.0\n2.55,-9\n", Options{}).Sweep
	if p.Unit != "1" || math.Abs(p.Points[0].Amplitude-0.70794578) > 1e-8 || math.Abs(p.Points[0].AmplitudeDigit/0.70794578-0.0115129) > 1e-6 || math.Abs(p.Points[0].FrequencyDigit-1e4) > 1e-6 || p.Points[0].Frequency != 2.4e6 {
		t.Errorf("%+v", p.Points[0])
	}
	p = file(t, "f [kHz],CH1 [mV]\n2400,5.50\n2450,9\n2500,5\n2600,4\n\nthe end\n", Options{}).Sweep
	if q := p.Points[0]; q.Frequency != 2.4e6 || q.FrequencyDigit != 1e3 || math.Abs(q.Amplitude-5.5e-3) > 1e-15 || math.Abs(q.AmplitudeDigit-1e-5) > 1e-15 || p.Unit != "V" || p.Column != "CH1 [mV]" || len(p.Points) != 4 {
		t.Errorf("%+v", p)
	}
	if len(p.Notes) != 1 || !strings.Contains(p.Notes[0], "from 7 on") {
		t.Errorf("%q", p.Notes)
	}
	even := func(n int, from float64) string {
		var b strings.Builder
		b.WriteString("f [Hz],a\n")
		for i := range n {
			fmt.Fprintf(&b, "%g,1.5\n", 10*(from+float64(i)))
		}
		return b.String()
	}
	for _, c := range []struct {
		n       int
		from    float64
		refused bool
		notes   int
	}{{63, 1, false, 0}, {64, 1, true, 0}, {64, 2, true, 0}, {64, 3.1, false, 1}, {64, 50, false, 1}} {
		f, err := Read(strings.NewReader(even(c.n, c.from)), "scope.csv", Options{})
		if (err != nil) != c.refused || err == nil && len(f.Sweep.Notes) != c.notes {
			t.Errorf("%d from %v on: %v", c.n, c.from, err)
		}
	}
}

// Options of a capture told on either side of their limits: the length that is stated, to one row; eight voltages; an interval
// that is open by a tenth; the bytes told of on the way.
func TestCaptureAtItsLimits(t *testing.T) {
	rows := func(n int, row string) string { return "Time [us],CH1 [V]\n" + count(n, row) }
	for stated, want := range map[int]bool{19: true, 20: true, 21: true, 18: false, 22: false} {
		_, err := Read(strings.NewReader(fmt.Sprintf("Record length,%d\n", stated)+rows(20, "%d,%d")), "scope.csv", Options{})
		if (err == nil) != want {
			t.Errorf("%d rows stated of 20: %v", stated, err)
		}
	}
	wide := func(n int) string {
		var b strings.Builder
		for i := range 20 {
			fmt.Fprintf(&b, "%d", i)
			for k := range n {
				fmt.Fprintf(&b, ",%d.5", (i*k)%3)
			}
			b.WriteString("\n")
		}
		return "Time [us]" + strings.Repeat(",u", n) + "\n" + b.String()
	}
	if got := len(file(t, wide(8), Options{}).Captures); got != 8 {
		t.Errorf("%d voltages of 8", got)
	}
	if _, err := Read(strings.NewReader(wide(9)), "scope.csv", Options{}); err == nil || !strings.Contains(err.Error(), "9 columns could be the voltage: u (column B), u (column C), u (column D) …, expected at most 8") {
		t.Error(err)
	}
	// √2/√12 of a digit over n − 1 steps: 0.408/4 and 0.408/5 of a step.
	coarse := func(n int) error {
		_, err := Read(strings.NewReader(rows(n, "%d,%d")), "scope.csv", Options{})
		return err
	}
	if err := coarse(5); err == nil || !strings.Contains(err.Error(), "open by 10 %") {
		t.Error(err)
	}
	if err := coarse(6); err != nil {
		t.Error(err)
	}
	var told []int64
	text := rows(500000, "%d,%d")
	_, err := Read(bytes.NewReader([]byte(text)), "scope.csv", Options{Progress: func(read, size int64) {
		if told = append(told, read); size != int64(len(text)) {
			t.Errorf("%d bytes of %d", size, len(text))
		}
	}})
	if err != nil || len(told) != len(text)>>22+1 || told[len(told)-1] != int64(len(text)) {
		t.Errorf("told %v of %d bytes: %v", told, len(text), err)
	}
	if size := sizeOf(struct{ io.Reader }{}); size != 0 {
		t.Errorf("size %d of nothing", size)
	}
	if _, err := Read(io.MultiReader(strings.NewReader(rows(20, "%d,%d")), errorReader{}), "scope.csv", Options{}); err == nil || err.Error() != "scope.csv: the cable fell out" {
		t.Error(err)
	}
}

type errorReader struct{}

func (errorReader) Read([]byte) (int, error) { return 0, errors.New("the cable fell out") }

// What is told of files with a flaw of one kind, and what is taken for what.
func TestFilesOfOneKind(t *testing.T) {
	times := func(step float64) string {
		var b strings.Builder
		b.WriteString("Time [ns],CH1 [V]\n")
		for i := range 40 {
			fmt.Fprintf(&b, "%.3f,%d\n", step*float64(i), i%2)
		}
		return b.String()
	}
	for _, c := range []struct{ text, want string }{
		{"Time CH1\n1us,2V\n2us,3V\n3us,2V\n", "scope.csv:2: units stand behind the numbers"},
		{"Sample interval: 4 ns\n" + times(4.05), ""}, {"Sample interval: 4 ns\n" + times(4.08), ""}, {"Sample interval: 4 ns\n" + times(4.1), "scope.csv:1:1 (column A): the file states"}, // a fiftieth and a thousandth
		{"Sample interval: 4.00 ns\n" + times(4.008), ""}, {"Sample interval: 4.00 ns\n" + times(4.012), "scope.csv:1:1 (column A): the file states"},
		{"Sample interval: 1 us\nt,u\n" + steps(1.05), "scope.csv:1:1 (column A): the file states"}, {"Sample interval: 1 us\nt,u\n" + steps(1.15), "scope.csv:3:1 (column A): the times go in steps of 1.15, and the file states"},
		{"Sample interval,1.1e-7\nu\n" + count(20, "%[2]d"), `scope.csv:1:2 (column B): read "1.1e-7" without a unit`}, {"Sample interval,0.9e-7\nu\n" + count(20, "%[2]d"), ""},
		{"t [s],u\n" + epochs(1234567890), "scope.csv:2:1 (column A, \"t [s]\"): the times count from long ago (1.235e+09) and were rounded to steps of 2.4e-07"},
		{"Sample interval: 4 ns\nt [s],u\n" + epochs(1234567890), ""}, {"Sample interval,4e-9\nt [s],u\n" + epochs(1234567890), "scope.csv:3:1 (column A, \"t [s]\"): the times count from long ago"},
	} {
		f, err := Read(strings.NewReader(c.text), "scope.csv", Options{})
		if (err != nil) != (c.want != "") || err != nil && !strings.HasPrefix(err.Error(), c.want) || err == nil && len(f.Captures) != 1 {
			t.Errorf("%.40q: %v", c.text, err)
		}
	}
	// A column is called by its letter, or as messages have it.
	for _, column := range []string{"C", "3", "column C", "COLUMN c", "far", "far [V]"} {
		if got := file(t, "Time [us],near [V],far [V]\n"+count(20, "%d,%d,7"), Options{Column: column}).Captures; len(got) != 1 || got[0].Column != "far [V]" {
			t.Errorf("%q: %+v", column, got)
		}
	}
	// Counts whose worth is stated with its unit.
	for _, head := range []string{"Y increment,10 mV", "Y increment [mV],10", "Y increment,10,mV"} {
		if got := file(t, head+"\nSample interval,1 us\nCH1\n130\n126\n129\n128\n", Options{}).Captures[0]; got.Unit != "V" || math.Abs(got.Signal.Samples[0]-1.3) > 1e-12 {
			t.Errorf("%s: %v %s", head, got.Signal.Samples[0], got.Unit)
		}
	}
}

// epochs writes 40 times from long ago on, 0.1 µs apart and rounded as doubles are.
func epochs(from float64) string {
	var b strings.Builder
	for i := range 40 {
		fmt.Fprintf(&b, "%.10f,%d\n", from+1e-7*float64(i), i%2)
	}
	return b.String()
}

// A table begins with the first run of ten rows, or the longest, of three at least; a damaged row above it belongs to it.
func TestWhereTheTableBegins(t *testing.T) {
	for i, c := range []struct {
		text  string
		first int
		ok    bool
	}{
		{count(10, "%d,%d") + "x,y\n" + count(12, "%d,%d"), 0, true}, {count(9, "%d,%d") + "x,y\n" + count(12, "%d,%d"), 10, true}, {count(9, "%d,%d") + "\n" + count(3, "%d,%d") + "x,y\n" + count(12, "%d,%d"), 0, true},
		{"a,b\n" + count(3, "%d,%d"), 1, true}, {"a,b\n" + count(2, "%d,%d"), 1, false}, {"a,b\n5,1.2.3\n" + count(12, "%d,%d"), 1, true}, {"a,b\nx,5\n" + count(12, "%d,%d"), 2, true},
		{"a,b\n1,2\nx,5\n" + count(12, "%d,%d"), 1, true}, {"a,b\n1,2\nx,y\n" + count(12, "%d,%d"), 3, true},
	} {
		lines := strings.Split(strings.TrimSuffix(c.text, "\n"), "\n")
		l := &layout{dialect: dialect{',', quantity.Point}, columns: 3}
		for _, line := range lines {
			l.head = append(l.head, l.split(line))
		}
		if first, ok := l.start(lines); ok != c.ok || ok && first != c.first {
			t.Errorf("%d: from %d on, %v", i, first, ok)
		}
	}
	l := &layout{dialect: dialect{';', quantity.Comma}, columns: 3}
	for text, want := range map[string]bool{"1;,5x": true, "1;-": true, "1;+x": true, "1;.x": true, "1;9:30": true, "1;x5": false, "a;b": false, "1;2;3": false, "1;": true} {
		if l.damagedRow(l.split(text), 2) != want {
			t.Errorf("%q is a damaged row: %v", text, !want)
		}
	}
}

// Times count from long ago where one has 16 digits or more and they are beyond a million; they were rounded to how doubles
// are spaced there where they have more decimals, don't rise evenly and go in less than eight of these.
func TestLongAgo(t *testing.T) {
	long := func(times ...string) *reader {
		rd := &reader{roles: roles{time: 0}}
		rd.layout = layout{dialect: dialect{',', quantity.Point}, columns: 3, names: []string{"", ""}}
		for _, v := range times {
			rd.head = append(rd.head, []string{v, "1"})
		}
		rd.setOrigin()
		return rd
	}
	for text, want := range map[string]bool{"1000000.000000001": true, "1000000.00000001": false, "999999.9999999999": false, "-1000000.000000001": true, "1000000.000000": false} {
		if rd := long(text, "5", "6"); (rd.origin != nil) != want {
			t.Errorf("%s counts from long ago: %v", text, !want)
		}
	}
	if rd := long("1000000.0", "1000000.000000001"); rd.origin == nil {
		t.Error("the second has the digits")
	}
	const spacing = 1.0 / (1 << 33) // of doubles from 2¹⁹ to 2²⁰
	for steps, want := range map[float64]bool{7: true, 9: false} {
		var times []string
		for _, i := range []float64{0, 0, 0, 4, 4, 4} {
			times = append(times, fmt.Sprintf("%.12f", 1000000.123+steps*spacing*5/4*i))
		}
		rd := long(times...)
		near := rd.firstStep() / (steps * spacing)
		if math.Abs(near-1) > 1e-3 || math.Abs(rd.originSpacing()/spacing-1) > 1e-9 || rd.roundedAway() != want {
			t.Errorf("steps of %v: step %v of that, spacing %v, rounded %v", steps, near, rd.originSpacing(), rd.roundedAway())
		}
	}
	if rd := long("1000000.0000000001", "1000000.0000000002", "1000000.0000000003"); rd.roundedAway() {
		t.Error("even steps are rounded away")
	}
}

// What is told where rows are no samples of equal intervals, word for word.
func TestRowsThatAreNoSamples(t *testing.T) {
	rows := func(n int, time func(i float64) float64) string {
		var b strings.Builder
		b.WriteString("Time [us],u\n")
		for i := range n {
			fmt.Fprintf(&b, "%.6f,%d\n", time(float64(i)), i%2)
		}
		return b.String()
	}
	const counted = `40 samples from 0 s, %s s apart ± 0, [0 1] ... 1
note: the times as they are written can't tell the samples apart: the rows were counted, %s`
	for i, c := range []struct {
		text string
		opt  Options
		want string
	}{
		{"Time CH1\n1us,2V\n2us,3V\n3us,2V\n", Options{}, `scope.csv:2: units stand behind the numbers: "1us,2V", expected numbers alone, and their units in the header; write the units into the header, as in Time [s],CH1 [V], and numbers without them below`},
		{"Time [us],u,v,u\n" + count(20, "%d,%d,3,4"), Options{Column: "u"}, `scope.csv:2: "u" may mean u (column B), u (column D), expected one; write --column 2 or --column 4`},
		// 1e-6 (2048² − 3999 · 2048) µs off the line from the first to the last of 4000
		{rows(4000, func(i float64) float64 { return i + 1e-6*i*i }), Options{}, `scope.csv:2050:1 (column A, "Time [us]"): the time is 4e-06 s off the equal intervals of the whole capture, expected samples at equal intervals; choose equal intervals in the scope, and capture again`},
		{rows(40, func(i float64) float64 { return math.Floor(i / 2) }), Options{}, `scope.csv:3:1 (column A, "Time [us]"): there are two rows for each time, expected one; the scope saved the least and the greatest sample of each interval: switch its peak detection off, and capture again`},
		{"Sample interval: 100 ns\nt [s],u\n" + epochs(1234567890), Options{}, `"u", u (column B), --column u, in "", line 3, segment 0: ` + fmt.Sprintf(counted, "1e-07", "100 ns apart as stated")},
		{"t [s],u\n" + epochs(1234567890), Options{Interval: 2e-7}, `"u", u (column B), --column u, in "", line 2, segment 0: ` + fmt.Sprintf(counted, "2e-07", "200 ns apart as given")},
		{"t [s],u\n" + epochs(1234567890), Options{}, `scope.csv:2:1 (column A, "t [s]"): the times count from long ago (1.235e+09) and were rounded to steps of 2.4e-07, expected times that tell the samples apart; save them relative to the trigger, or give the time between samples with --interval: the rows are counted then`},
		{"Time [us],CH1 [V]\n" + count(20, "%d,%d") + strings.Repeat("the end\n", 900), Options{}, `"CH1 [V]", CH1 [V] (column B), --column CH1, in "V", line 2, segment 0: 20 samples from 0 s, 1e-06 s apart ± 2.1e-08, [1 2] ... 2
note: the lines from 22 on are not rows of the table: left out`},
		{"f [kHz],u\n" + strings.Repeat("2400.5,1.5\n", 100001), Options{}, `scope.csv:100002: the sweep has more than 100000 rows; sweep around the resonance alone`},
	} {
		if got := told(c.text, c.opt); got != c.want {
			t.Errorf("%d: got\n%s\nwant\n%s", i, got, c.want)
		}
	}
}

// Captures and sweeps are read by lines alike, but for a last one without an end, which a capture leaves out; a line
// that is too long is told, and what the reader fails with.
func TestLinesOfAFile(t *testing.T) {
	long := strings.Repeat("1", 2<<20)
	const capture, sweep = "Time [us],CH1 [V]\r\n0.00,1\r\n1.00,2\r\n2.00,1\r\n3.00,2", "f [kHz],u\r\n2400,1\r\n2410,2\r\n2420,3\r\n\r\n2430,2"
	c := file(t, capture, Options{}).Captures[0]
	if len(c.Signal.Samples) != 3 || len(c.Notes) != 1 || c.Notes[0] != "line 5, the last, has no line end and may be cut off: left out" {
		t.Errorf("%d samples, %q", len(c.Signal.Samples), c.Notes)
	}
	if s := file(t, sweep, Options{}).Sweep; len(s.Points) != 4 || s.Points[3].Frequency != 2.43e6 || len(s.Notes) != 0 {
		t.Errorf("%+v, %q", s.Points, s.Notes)
	}
	for text, want := range map[string]string{capture: "scope.csv:6: ", sweep: "scope.csv:7: "} {
		_, err := Read(strings.NewReader(text+"\r\n"+long+"\r\n"), "scope.csv", Options{})
		if err == nil || err.Error() != want+"this line is longer than half a million characters; check that this is the right file" {
			t.Errorf("%.80v", err)
		}
		if _, err := Read(io.MultiReader(strings.NewReader(text+"\r\n"), errorReader{}), "scope.csv", Options{}); err == nil || err.Error() != "scope.csv: the cable fell out" {
			t.Error(err)
		}
	}
}

// steps writes 20 times without a unit.
func steps(step float64) string {
	var b strings.Builder
	for i := range 20 {
		fmt.Fprintf(&b, "%.2f,%d\n", 1+step*float64(i), i%2)
	}
	return b.String()
}

// Three segments of 20 rows, each five steps behind the end of the one before, have the interval and the beginning of
// their own rows.
func TestSegmentsBySteps(t *testing.T) {
	var b strings.Builder
	b.WriteString("Time [us],u\n")
	for i := range 60 {
		fmt.Fprintf(&b, "%.3f,%d\n", float64(i+i/20*4), i%2)
	}
	list := file(t, b.String(), Options{}).Captures
	if len(list) != 3 {
		t.Fatalf("%d segments", len(list))
	}
	for k, c := range list {
		if s := c.Signal; len(s.Samples) != 20 || c.Segment != k+1 || math.Abs(s.Start-24e-6*float64(k)) > 1e-12 || math.Abs(s.Interval/1e-6-1) > 1e-9 {
			t.Errorf("segment %d: %d samples from %v s, %v s apart", c.Segment, len(s.Samples), s.Start, s.Interval)
		}
	}
}
