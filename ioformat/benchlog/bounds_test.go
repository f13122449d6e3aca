package benchlog

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/readings"
)

// said is what a log is refused with, or else all its notices.
func said(text string, opt Options) string {
	l, err := Read(strings.NewReader(text), "log.csv", opt)
	if err != nil {
		return err.Error()
	}
	return strings.Join(l.Notices, "\n")
}

// Each limit of a cell, from both sides: what is just allowed is read without a word, what is just
// not allowed is told.
func TestLimitsFromBothSides(t *testing.T) {
	const h = "frequency [MHz],frequency ± [%],added [pF],core,covered [%],amplitude,q,use\n"
	names := func(n int, row string) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, row, strings.Repeat(string(rune('a'+i%26)), 3+4*(i/26)))
		}
		return b.String()
	}
	for _, c := range []struct{ allowed, refused, says string }{
		{h + "2.5,99.9,,,,,,\n", h + "2.5,100,,,,,,\n", "an uncertainty below the frequency itself"},
		{h + "2.5,1e-9,,,,,,\n", h + "2.5,0,,,,,,\n", "a standard uncertainty above 0"},
		{h + "2.5,,,,,0,,\n", h + "2.5,,,,,-0.1,,\n", "an amplitude of 0 or more"},
		{h + "2.5,,,,,,0.1,\n", h + "2.5,,,,,,0,\n", "a quality factor above 0"},
		{h + "2.5,,,,,,,no\n", h + "2.5,,,,,,,X\n", "an x could mean ticked or crossed out"},
		{h + "2.5,,10±99%,,,,,\n", h + "2.5,,10±100%,,,,,\n", "a tolerance below 100 %"},
		{h + "2.5,," + strings.Repeat("1+", 29) + "1,,,,,\n", h + "2.5,," + strings.Repeat("1+", 30) + "1,,,,,\n", "no more than 30 parts at a time"},
		{h + names(30, "2.5,,%s,,,,,\n"), h + names(31, "2.5,,%s,,,,,\n"), "no more than 30 parts without a value"},
		{h + names(30, "2.5,,,%s,,,,\n"), h + names(31, "2.5,,,%s,,,,\n"), "no more than 30 cores"},
		{h + "2.5,," + strings.Repeat("é", 80) + ",,,,,\n", h + "2.5,," + strings.Repeat("é", 81) + ",,,,,\n", "a name of at most 80 characters"}, // letters, not bytes
		{h + "2.5,,," + strings.Repeat("é", 80) + ",,,,\n", h + "2.5,,," + strings.Repeat("é", 81) + ",,,,\n", "a name of at most 80 characters"},
		{"f [MHz],core\n2.5,öl\n2.4,öl\n2.3,äl\n", "f [MHz],core\n2.5,öle\n2.4,öle\n2.3,äle\n", "a slip of the pen?"},
		{"f [MHz],core\n2.5,Stab ä\n2.4,Stab ä\n2.3,Stab ö\n", "f [MHz],core\n2.5,Stab äh\n2.4,Stab äh\n2.3,Stab öh\n", "a slip of the pen?"},
		{h + "2.5,,,4µx7,,,,\n", h + "2.5,,,4µ7,,,,\n", "this is a number"},
		{h + "2.5,,,rod,1.001,,,\n", h + "2.5,,,rod,1,,,\n", "no row covers more than 1 %"},
		{h + "2.5,,,rod,100,,,\n2.4,,,rod,1.001,,,\n", h + "2.5,,,rod,100,,,\n2.4,,,rod,1,,,\n", "was all of it meant?"},
		{h + "2.5,,,rod,1.1,,,\n2.4,,,rod,60,,,\n", h + "2.5,,,rod,0.9,,,\n2.4,,,rod,60,,,\n", "less than 1 %"},
		{h + "2.5,,,rod,60,,,\n2.4,,,rod,80,,,\n", h + "2.5,,,rod,60,,,\n2.4,,,rod,80,,,\n2.3,,,x,,,,\n", "the name of a core in each row"},
		{"f [MHz],added [pF],added ± [%]\n2.5,10,0\n", "f [MHz],added [pF],added ± [%]\n2.5,10,-0.1\n", "a tolerance of 0 or more"},
		{"f [MHz],added [pF],added ± [pF]\n2.5,10+roof,1\n", "f [MHz],added [pF],added ± [pF]\n2.5,10+2.2,1\n", "a tolerance in % for a sum"},
		{"f [MHz],added [pF],added ± [%]\n2.5,10,5\n2.4,10,5.000000001\n", "f [MHz],added [pF],added ± [%]\n2.5,10,5\n2.4,10,5.0001\n", "stated before (5 %, line 2)"},
		{"f [MHz],primary,second frequency [MHz]\n2.5,tuned 4.7 nF,2.6\n", "f [MHz],primary,second frequency [MHz]\n2.5,tuned 4.7 nF,2.5\n", "another frequency above 0 than the first"},
		{"f [MHz],primary\n2.5,short\n2.5,shorted\n", "f [MHz],primary\n2.5,shorted now\n", "open, shorted, or tuned"},
		{"f [MHz],time\n2.5,999999999\n", "f [MHz],time\n2.5,1000000000000\n", "call the column something else"},
		{"f [Hz]\n300\n1.5e3\n", "f [Hz]\n299\n1.5e3\n", "a frequency of 299.0 Hz is far outside"},
		{"f [GHz]\n1.5\n1.4\n", "f [GHz]\n1.51\n1.4\n", "a frequency of 1.510 GHz is far outside"},
		{"f [MHz],hand [mm]\n2.5,2\n2.4,4000\n", "f [MHz],hand [mm]\n2.5,1.9\n2.4,4000\n", "a distance of the hand of 1.900 mm is far outside"},
		{"f [MHz],hand [m]\n2.5,1\n2.4,4\n", "f [MHz],hand [m]\n2.5,1\n2.4,4.1\n", "a distance of the hand of 4.100 m is far outside"},
		{"f [kHz]\n1000\n1000\n310000\n", "f [kHz]\n1000\n1000\n320000\n", "lies about 1000 times above"},
		{"f [kHz]\n1000\n1000\n3.3\n", "f [kHz]\n1000\n1000\n3.1\n", "lies about 1000 times below"},
		{"f [Hz],added [pF]\n900000,1\n880000,1.1\n700000,3500\n", "f [Hz],added [pF]\n900000,1\n880000,1.1\n700000,3400\n", "lies about 1000 times above"},
		{"f [Hz],added [pF]\n900000,1\n880000,1.1\n700000,300000\n", "f [Hz],added [pF]\n900000,1\n880000,1.1\n700000,400000\n", "lies about a million times above"},
		{"f [Hz],added [pF]\n900000,1000\n880000,1100\n700000,0.0034\n", "f [Hz],added [pF]\n900000,1000\n880000,1100\n700000,0.0031\n", "lies about a million times below"},
		{"f [kHz]\n1000\n1\n", "f [kHz]\n1000\n1000\n1\n", "lies about 1000 times below"},
		{"f [MHz]\n2.51\n2.52\n2.53\n2.5\n", "f [MHz]\n2.51\n2.52\n2.53\n2.54\n2.5\n", "has fewer digits than most"},
		{"f [MHz]\n2.511\n2.521\n2.53\n2.54\n2.5\n2.6\n", "f [MHz]\n2.511\n2.521\n2.531\n2.541\n2.5\n2.6\n", "log.csv:6: the frequency has fewer digits than most, and counts for less (such rows in all: 2)"},
		{"f [MHz],core\n2.5,c11\n2.4,c11\n2.3,c123\n", "f [MHz],core\n2.5,cab\n2.4,cab\n2.3,caby\n", "a slip of the pen?"},
		{"f [MHz],core\n2.5,rod\n2.4,rod\n2.3,ro\n", "f [MHz],core\n2.5,rods\n2.4,rods\n2.3,rod\n", "a slip of the pen?"},
		{"f [MHz],core\n2.5,ferrite\n2.4,ferrite\n2.3,ferrit\n2.3,ferrit\n", "f [MHz],core\n2.5,ferrite\n2.4,ferrite\n2.3,ferrit\n", "a slip of the pen?"},
		{"f [MHz],added\n2.5,roof\n2.4,roof\n2.3,4.7pF\n2.2,4.8pF\n", "f [MHz],added\n2.5,roof\n2.4,roof\n2.3,roff\n", "the part \"roff\" occurs only here"},
		{"f [MHz],core\n2.5,\n2.4,a\n2.5,\n2.3,b\n", "f [MHz],core\n2.5,\n2.4,a\n2.5,\n2.4,a\n", "log.csv:4: the row is the same as line 2 in every cell (such rows in all: 2)"},
		{"f [MHz],core\n2.5,\n2.4,a\n2.4,a\n2.4,a\n", "f [MHz],core\n2.5,\n2.4,a\n2.3,a\n2.5,\n2.4,a\n2.3,a\n", "log.csv:5: the row is the same as line 2 in every cell (such rows in all: 3)"},
		{"f [MHz],core\n2.5,\n2.5,\n2.4,a\n2.3,a\n2.5,\n2.2,\n2.3,a\n2.1,\n2.4,a\n", "f [MHz],core\n2.5,\n2.4,a\n2.5,\n2.4,a\n2.3,a\n2.3,a\n", "(such rows in all: 3)"},
		{"# note\nf [MHz],core\n2.5,\n#2.4\n", "f [MHz],core,note\n2.5,,\n#a,2.4,\n", "left out as a comment"},
		{"f [MHz],core,note\n2.5,,\n#a,,\n", "core,f [MHz],note\n,2.5,\n#a,2.4,\n", "a reading that doesn't begin with #"},
	} {
		if got := said(c.allowed, Options{}); got != "" && !strings.Contains(got, "not used: column") {
			t.Errorf("%q: %s", c.allowed, got)
		}
		if got := said(c.refused, Options{}); !strings.Contains(got, c.says) {
			t.Errorf("%q: %q, want %q", c.refused, got, c.says)
		}
	}
}

// A list of notices of one kind ends after three, and says where it ends and how many there are more.
func TestListsEnd(t *testing.T) {
	for text, want := range map[string][]string{
		"f [kHz]\n1000\n1001\n1002\n1003\n1004\n1005\n1006\n1\n1.01\n1.02\n1.03\n1.04\n":                                 {"log.csv:9: the frequency", "log.csv:10: the frequency", "log.csv:11: the frequency", "log.csv:13: here ends a list of 2 more such values"},
		"f [MHz],core,note\n2.5,,\n#a,2.4,\n#b,2.4,\n#c,2.4,\n2.5,,\n#d,2.3,\n#e,2.3,\n":                                 {"log.csv:3: the line", "log.csv:4: the line", "log.csv:5: the line", "log.csv:8: here ends a list of 2 more such lines, left out too"},
		"f [MHz]," + strings.Join(strings.Split("abcdefghijklmnopqrstu", ""), "1,") + "1\n2.5" + strings.Repeat(",", 21): {`log.csv:1: not used: columns "a1", "b1", "c1", "d1", "e1", "f1", "g1", "h1", "i1", "j1", "k1", "l1", "m1", "n1", "o1", "p1", "q1", "r1", "s1", "t1" and 1 more`},
	} {
		got := strings.Split(said(text, Options{}), "\n")
		if len(got) != len(want) {
			t.Errorf("%q: %q, want %q", text, got, want)
			continue
		}
		for i := range got {
			if !strings.HasPrefix(got[i], want[i]) {
				t.Errorf("%q: %q, want %q", text, got[i], want[i])
			}
		}
	}
}

// Of more readings than are kept one by one, the mean of each state counts: at 5,001 and not at 5,000,
// robust where that is asked for, at the mean of the moments, and each where that is asked for.
func TestManyReadings(t *testing.T) {
	text := func(rows int) string {
		var b strings.Builder
		b.WriteString("f [kHz],f ± [Hz],added [pF],time [h]\n")
		for i := range rows {
			fmt.Fprintf(&b, "%d,100,%s,%d\n", 1000+i%2*2+i/5000*5000, []string{"", "4.7"}[i%2], i)
		}
		return b.String()
	}
	for _, c := range []struct {
		rows     int
		opt      Options
		readings int
		says     string
	}{
		{5000, Options{}, 5000, ""},
		{5002, Options{}, 2, "log.csv: 5002 readings are too many to look at one by one: the mean of each of 2 states counts as one reading"},
		{5002, Options{Robust: true}, 2, "log.csv: 5002 readings are too many to look at one by one: the robust mean of each of 2 states counts as one reading"},
		{5002, Options{Each: true}, 5002, ""},
	} {
		l := must.Get(Read(strings.NewReader(text(c.rows)), "log.csv", c.opt)).In(t)
		if got := strings.Join(l.Notices, "\n"); len(l.Readings) != c.readings || !strings.HasPrefix(got, c.says) || l.Count() != c.rows {
			t.Errorf("%d, %+v: %d readings of %d, %s", c.rows, c.opt, len(l.Readings), l.Count(), got)
		}
		if c.readings > 2 {
			continue
		}
		for i, r := range l.Readings { // 2501 rows of a state, one 5 MHz too high; moments 0, 2 … 5000 and 1, 3 … 5001
			want := 1e6 + 2e3*float64(i) + 5e6/2501
			if c.opt.Robust {
				want = 1e6 + 2e3*float64(i)
			}
			if math.Abs(r.Frequency-want) > 1 || math.Abs(l.Moments[i]-2500-float64(i)) > 1e-9 || r.Repeats == nil {
				t.Errorf("%+v: state %d: %.6g Hz at %g h, want %.6g Hz", c.opt, i, r.Frequency, l.Moments[i], want)
			}
		}
	}
}

// Both peaks of a split pair were read at one moment, and each has its own digits.
func TestPeaksOfOneMoment(t *testing.T) {
	l := must.Get(Read(strings.NewReader("f [MHz],primary,second frequency [MHz],time [h],amplitude,q\n2.5,,,1,,\n2.6,tuned 4.7 nF,2.45,3,1.5,80\n"), "log.csv", Options{})).In(t)
	want := []readings.Reading{
		{Frequency: 2.5e6, Uncertainty: 0.1e6 / math.Sqrt(12)}, // JCGM 100:2008, 4.3.7
		{Frequency: 2.45e6, Uncertainty: 0.01e6 / math.Sqrt(12)},
		{Frequency: 2.6e6, Uncertainty: 0.1e6 / math.Sqrt(12), Amplitude: 1.5, Quality: 80},
	}
	want[2].Primary.Upper = true
	for i, w := range want {
		r := l.Readings[i]
		recorded := w.Amplitude > 0
		if math.Abs(r.Frequency-w.Frequency) > 1 || math.Abs(r.Uncertainty-w.Uncertainty) > 1 || r.Primary.Upper != w.Primary.Upper || !r.FromDigits ||
			math.IsNaN(r.Amplitude) == recorded || math.IsNaN(r.Quality) == recorded || l.Moments[i] != []float64{1, 3, 3}[i] {
			t.Errorf("%d: %+v at %g", i, r, l.Moments[i])
		}
	}
	l = must.Get(Read(strings.NewReader("f [MHz],f ± [kHz],primary,second frequency [MHz]\n2.5,2,tuned 4.7 nF,2.7\n"), "log.csv", Options{})).In(t)
	if l.Readings[1].Uncertainty != 2000 || l.Readings[1].FromDigits || !l.Readings[1].Primary.Upper {
		t.Errorf("%+v", l.Readings[1])
	}
}

// A slip of a unit is told with the line it stands on among many readings, and not of a value from elsewhere.
func TestSlipsAmongMany(t *testing.T) {
	var b strings.Builder
	b.WriteString("f [kHz],added [pF]\n")
	for i := range 5002 {
		f := 1000 + i%2*2
		if i == 4000 {
			f = 1000000
		}
		fmt.Fprintf(&b, "%d,%s\n", f, []string{"roof", "roofs"}[i%2])
	}
	if got := said(b.String(), Options{}); strings.Contains(got, "a slip of the pen") || !strings.Contains(got, "log.csv:4002: the frequency of 1.000 GHz lies about 1000 times above the others") {
		t.Error(got)
	}
	const log = "f [MHz],added [pF]\n2.5,10\n2.4,4.7\n2.3,2.2\n2.2,12\n"
	for _, parts := range []map[string]PartValue{nil, {"12 pF": {Capacitance: 12e-9, Uncertainty: 1e-12}}} {
		if got := said(log, Options{Parts: parts}); got != "" {
			t.Errorf("%v: %s", parts, got)
		}
	}
	if got := said(strings.Replace(log, "12\n", "12000\n", 1), Options{}); !strings.Contains(got, "the added capacitance of 12.00 nF lies about 1000 times above") {
		t.Error(got)
	}
}
