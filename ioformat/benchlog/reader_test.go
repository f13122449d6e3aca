package benchlog

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/cells"
)

func one(t *testing.T, header, row string) *Log {
	t.Helper()
	return mustRead(t, []byte(header+"\n"+row+"\n"), Options{})
}

func TestFrequencyUncertainty(t *testing.T) {
	half := func(last float64) float64 { return last / 2 / math.Sqrt(3) } // JCGM 100:2008, 4.3.7
	for _, c := range []struct {
		header, row string
		u           float64
		digits      bool
	}{
		{"f [MHz]", "1.523", half(1e3), true},
		{"f [MHz]", "1.5230", half(1e2), true},
		{"f [kHz]", "1523", half(1e3), true},
		{"f [Hz]", "1.50e6", half(1e4), true},
		{"f [MHz],f ± [kHz]", "1.523,0.5", 500, false},
		{"f [MHz],f ± [MHz]", "1.523,0.0005", 500, false},
		{"f [MHz],f ± [%]", "1.5,0.1", 1500, false},
		{"f [MHz],f ± [ppm]", "1.5,100", 150, false},
		{"f [MHz],f ±", "1.5,0.1 %", 1500, false},
		{"f [MHz],f ±", "1.5,500 Hz", 500, false},
		{"f [MHz],f ± [kHz]", "1.523,", half(1e3), true},
		{"f [MHz],f ± [kHz]", "1.523,-", half(1e3), true},
		{"f [MHz],frequency uncertainty [kHz]", "1.523,0.5", 500, false},
	} {
		r := one(t, c.header, c.row).Readings[0]
		if !(math.Abs(r.Uncertainty-c.u) <= 1e-12*c.u) || r.FromDigits != c.digits {
			t.Errorf("%s under %s: u = %v (from digits: %v), want %v", c.row, c.header, r.Uncertainty, r.FromDigits, c.u)
		}
	}
}

func TestStateColumns(t *testing.T) {
	const header = "f [MHz],core,covered [%],hand [cm],use"
	inf := math.Inf(1)
	for _, c := range []struct {
		row            string
		core           string
		from, to, hand float64
		use            bool
	}{
		{"1.5,,,,", "", 0, 0, inf, true},
		{"1.5,rod,,,", "rod", 0, 1, inf, true},
		{"1.5,rod,-,,", "rod", 0, 1, inf, true},
		{"1.5,rod,60,,yes", "rod", 0, 0.6, inf, true},
		{"1.5,rod,60 %,,1", "rod", 0, 0.6, inf, true},
		{"1.5,rod,20..60,,TRUE", "rod", 0.2, 0.6, inf, true},
		{"1.5,rod,0,,no", "", 0, 0, inf, false},
		{"1.5,rod,100,,0", "rod", 0, 1, inf, false},
		{"1.5,Air,0,,False", "", 0, 0, inf, false},
		{"1.5,none,,none,n", "", 0, 0, inf, false},
		{"1.5,NO,,-,No", "", 0, 0, inf, false},
		{"1.5,,,12.5,y", "", 0, 0, 0.125, true},
	} {
		r := one(t, header, c.row).Readings[0]
		if r.Core != c.core || r.From != c.from || r.To != c.to || r.Hand != c.hand || r.Use != c.use {
			t.Errorf("%s: %+v", c.row, r)
		}
	}
}

func TestAmplitudeAndQuality(t *testing.T) {
	l := mustRead(t, []byte("f [MHz],amplitude,Q\n1.5,2.1 V,80\n1.4,150 mV,\n1.3,,-\n"), Options{})
	for i, want := range []float64{2.1, 0.15, math.NaN()} {
		if got := l.Readings[i].Amplitude; got != want && !(math.IsNaN(got) && math.IsNaN(want)) {
			t.Errorf("amplitude %d: %v, want %v", i, got, want)
		}
	}
	if l.Readings[0].Quality != 80 || !math.IsNaN(l.Readings[1].Quality) || !math.IsNaN(l.Readings[2].Quality) {
		t.Errorf("quality factors: %+v", l.Readings)
	}
}

// TestFaultsAreCollected: all faults of a log at once, no more than 20 in
// words, and no reading at all.
func TestFaultsAreCollected(t *testing.T) {
	var b strings.Builder
	b.WriteString("f [MHz],core\n")
	for i := range 1000 {
		fmt.Fprintf(&b, "1.%dx,\n", i)
	}
	l, err := Read(strings.NewReader(b.String()), "log.csv", Options{})
	var faults cells.Faults
	if !errors.As(err, &faults) || len(faults.List) != 20 || faults.More != 980 || l != nil {
		t.Errorf("%v, %+v", l, faults)
	}
}

// TestReadFails: that the file can't be read is another error than that it is
// at fault.
func TestReadFails(t *testing.T) {
	broken := errors.New("disk on fire")
	for _, r := range []io.Reader{
		io.MultiReader(strings.NewReader("f [MHz]\n1.5\n"), failing{broken}),
		failing{broken},
	} {
		_, err := Read(r, "log.csv", Options{})
		var faults cells.Faults
		if !errors.Is(err, broken) || errors.As(err, &faults) {
			t.Errorf("%v", err)
		}
	}
}

type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }

// TestLongLine: a line without end is refused before it fills the memory.
func TestLongLine(t *testing.T) {
	long := "f [MHz],note\n1.5," + strings.Repeat("x", 2<<20) + "\n"
	if _, err := Read(strings.NewReader(long), "log.csv", Options{}); err == nil || !strings.Contains(err.Error(), "log.csv:2: this line is longer than") {
		t.Errorf("%v", err)
	}
}

// TestShippedLog reads the demonstration log, which nothing is wrong with.
func TestShippedLog(t *testing.T) {
	content := must.Get(os.ReadFile("../../testdata/lighthouse.csv")).In(t)
	l := mustRead(t, content, Options{})
	if len(l.Notices) > 0 || len(l.Readings) < 10 {
		t.Errorf("%d readings; notices %q", len(l.Readings), l.Notices)
	}
}

func FuzzRead(f *testing.F) {
	for _, pattern := range []string{"../../testdata/formats/log", "../../testdata/broken/log"} {
		entries := must.Get(os.ReadDir(pattern)).In(f)
		for _, e := range entries {
			if strings.HasSuffix(e.Name(), ".csv") {
				content := must.Get(os.ReadFile(pattern + "/" + e.Name())).In(f)
				f.Add(content)
			}
		}
	}
	f.Fuzz(func(t *testing.T, content []byte) {
		l, err := Read(strings.NewReader(string(content)), "log.csv", Options{})
		if err != nil {
			var faults cells.Faults
			if !errors.As(err, &faults) || len(faults.List) == 0 {
				t.Errorf("not a list of faults: %v", err)
			}
			return
		}
		checkReadings(t, l)
	})
}

// checkReadings holds what is true of every log that could be read.
func checkReadings(t *testing.T, l *Log) {
	t.Helper()
	for i, r := range l.Readings {
		checkState(t, r.State, l.Parts)
		if !(r.Frequency > 0) || math.IsInf(r.Frequency, 0) || !(r.Uncertainty > 0) || math.IsInf(r.Uncertainty, 0) {
			t.Errorf("reading %+v", r)
		}
		if r.Amplitude < 0 || r.Quality <= 0 || math.IsInf(r.Amplitude+r.Quality, 0) || r.Line < 2 || l.said[i] == "" {
			t.Errorf("reading %+v said %q", r, l.said[i])
		}
	}
	for _, p := range l.Parts {
		if p.Name == "" || p.Known && !(p.Capacitance > 0 && p.Uncertainty >= 0 && p.Uncertainty < p.Capacitance) {
			t.Errorf("part %+v", p)
		}
	}
}

// TestFarOffAnyBench: frequencies and distances that no bench has are told.
func TestFarOffAnyBench(t *testing.T) {
	for log, says := range map[string]string{
		"frequency [MHz]\n2519\n2400\n":                   "log.csv:2: a frequency of 2.519 GHz is far outside of what is seen on a bench (such rows in all: 2)",
		"frequency [Hz]\n2.519\n":                         "a frequency of 2.519 Hz is far outside",
		"frequency [MHz],hand [m]\n2.5,\n2.4,10\n":        "log.csv:3: a distance of the hand of 10.00 m is far outside",
		"frequency [MHz],hand [mm]\n2.5,\n2.4,1\n2.4,2\n": "a distance of the hand of 1.000 mm is far outside",
		"frequency [kHz],hand [cm]\n5,\n4,200\n4,0.5\n":   "",
		"frequency [MHz]\n900\n":                          "",
	} {
		l := mustRead(t, []byte(log), Options{})
		if got := strings.Join(l.Warnings, "; "); says == "" && got != "" || !strings.Contains(got, says) {
			t.Errorf("%q: %q", log, got)
		}
	}
}

// TestCoveredAsFraction: a column of fractions under covered [%] is refused; one per
// cent may be meant among others, and is told.
func TestCoveredAsFraction(t *testing.T) {
	const header = "frequency [MHz],core,covered [%]\n2.5,,\n"
	for rows, says := range map[string]string{
		"1.8,rod,1\n":                   `fault log.csv:3:3 (column C, "covered [%]"): read "1"`,
		"1.8,rod,1\n2.1,rod,0.5\n":      `fault log.csv:3:3`,
		"1.8,rod,0.2..0.6\n":            `fault log.csv:3:3`,
		"1.8,rod,100\n2.4,rod,1\n":      `log.csv:4: the core covers "1", read as 1 % of the winding: was all of it meant?`,
		"1.8,rod,100\n2.4,rod,0.6\n":    `log.csv:4: the core covers "0.6", less than 1 %: was a percentage meant?`,
		"1.8,rod,1 %\n":                 "",
		"1.8,rod,\n2.5,rod,0\n":         `covers 0 %`,
		"1.8,rod,100\n2.1,rod,20..60\n": "",
		"2.49,rod,1.5\n2.48,rod,2.5\n":  "",
	} {
		l, err := Read(strings.NewReader(header+rows), "log.csv", Options{})
		got := ""
		if err != nil {
			got = "fault " + err.Error()
		} else {
			got = strings.Join(l.Warnings, "; ")
		}
		if says == "" && got != "" || !strings.Contains(got, says) {
			t.Errorf("%q: %q", rows, got)
		}
	}
	for _, header := range []string{"quality factor [kHz]", "Q (dB)", "core [mm]", "use [%]"} {
		if _, err := Read(strings.NewReader("f [MHz],"+header+"\n1.8,\n"), "log.csv", Options{}); err == nil || !strings.Contains(err.Error(), "which has no unit") {
			t.Errorf("%s: %v", header, err)
		}
	}
	for _, header := range []string{"quality factor [1]", "Q (-)", "core (name)", "use [y/n]"} {
		mustRead(t, []byte("f [MHz],"+header+"\n1.8,\n"), Options{})
	}
}

// The day of a log is what it states itself, never that of the file.
func TestDateOfLog(t *testing.T) {
	for _, c := range [][2]string{
		{"frequency [MHz]\n2.5\n", ""},
		{"# evening of 2026-01-31, cold\nfrequency [MHz]\n2.5\n", "2026-01-31"},
		{"# 2026-13-31 is no day\nfrequency [MHz]\n2.5\n", ""},
		{"# begun 2025-12-30\nfrequency [MHz],time\n2.5,2026-01-31T23:50\n2.4,2026-02-01T00:10\n", "2026-01-31"},
		{"frequency [MHz],time\n2.5,23:50\n", ""},
	} {
		l := must.Get(Read(strings.NewReader(c[0]), "log.csv", Options{})).In(t)
		if got := l.Date(); got != c[1] {
			t.Errorf("%q: day %q, want %q", c[0], got, c[1])
		}
	}
}
