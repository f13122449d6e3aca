package benchlog

import (
	"bytes"
	"crypto/sha256"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/readings"
)

// bare strips a log of the lines its readings stand on, and makes what was not
// recorded comparable.
func bare(l readings.Log) readings.Log {
	var list []readings.Reading
	for _, r := range l.Readings {
		r.Line = 0
		if math.IsNaN(r.Amplitude) {
			r.Amplitude = -1
		}
		if math.IsNaN(r.Quality) {
			r.Quality = -1
		}
		if len(r.Parts) == 0 {
			r.Parts = nil
		}
		list = append(list, r)
	}
	return readings.Log{Readings: list, Parts: l.Parts}
}

func mustRead(t *testing.T, content []byte, opt Options) *Log {
	t.Helper()
	return must.Get(Read(bytes.NewReader(content), "log.csv", opt)).In(t)
}

// TestFormats reads one log in each of the ways in which people and programs
// write it.
func TestFormats(t *testing.T) {
	inf := math.Inf(1)
	digit := func(last float64) float64 { return last / math.Sqrt(12) } // JCGM 100:2008, 4.3.7
	want := readings.Log{
		Readings: []readings.Reading{
			{State: readings.State{Hand: inf}, Frequency: 1.523e6, Uncertainty: 500, Amplitude: 2.1, Quality: 88, Use: true, Note: "as built"},
			{State: readings.State{Parts: []int{0}, Hand: inf}, Frequency: 1.401e6, Uncertainty: digit(1e3), FromDigits: true, Amplitude: -1, Quality: -1, Use: true, Note: "10 µm tape"},
			{State: readings.State{Parts: []int{0, 1}, Core: "rod", From: 0.2, To: 0.6, Hand: inf}, Frequency: 1.3e6, Uncertainty: digit(1e4), FromDigits: true, Amplitude: 1.8, Quality: -1, Use: true, Note: "a, b"},
			{State: readings.State{Parts: []int{2, 0}, Core: "rod", To: 1, Hand: 0.2}, Frequency: 1.2045e6, Uncertainty: 1500, Amplitude: -1, Quality: -1, Use: false, Note: `said "no"`},
			{State: readings.State{Parts: []int{0, 3}, Hand: 0.125}, Frequency: 1.377e6, Uncertainty: digit(1e3), FromDigits: true, Amplitude: -1, Quality: 75.5, Use: true},
		},
		Parts: []readings.Part{
			{Name: "4.7 pF", Capacitance: 4.7e-12, Uncertainty: 0.05 * 4.7e-12 / 1.96, Known: true},
			{Name: "10 pF", Capacitance: 10e-12, Uncertainty: 0.05 * 10e-12 / 1.96, Known: true},
			{Name: "spike"},
			{Name: "4.7 pF (2)", Capacitance: 4.7e-12, Uncertainty: 0.05 * 4.7e-12 / 1.96, Known: true},
		},
	}
	files, err := filepath.Glob("../../testdata/formats/log/*.csv")
	if err != nil || len(files) < 30 {
		t.Fatalf("found %d logs (%v)", len(files), err)
	}
	var plain readings.Log
	for _, file := range append([]string{"../../testdata/formats/log/plain.csv"}, files...) {
		content := must.Get(os.ReadFile(file)).In(t)
		l, err := Read(bytes.NewReader(content), filepath.Base(file), Options{})
		if err != nil {
			t.Error(err)
			continue
		}
		got := bare(l.Log)
		if plain.Readings == nil {
			plain = got
			checkLog(t, got, want)
		}
		if !reflect.DeepEqual(got, plain) {
			t.Errorf("%s differs from plain.csv:\n%+v\n%+v", file, got, plain)
		}
	}
}

// checkLog compares within the rounding of a few operations.
func checkLog(t *testing.T, got, want readings.Log) {
	t.Helper()
	near := func(a, b float64) bool { return a == b || math.Abs(a-b) <= 1e-14*math.Abs(b) }
	if len(got.Readings) != len(want.Readings) || len(got.Parts) != len(want.Parts) {
		t.Fatalf("got %+v", got)
	}
	for i, g := range got.Readings {
		w := want.Readings[i]
		if !near(g.Frequency, w.Frequency) || !near(g.Uncertainty, w.Uncertainty) {
			t.Errorf("reading %d: %v ± %v, want %v ± %v", i, g.Frequency, g.Uncertainty, w.Frequency, w.Uncertainty)
		}
		g.Frequency, g.Uncertainty = w.Frequency, w.Uncertainty
		if !reflect.DeepEqual(g, w) {
			t.Errorf("reading %d: %+v\nwant %+v", i, g, w)
		}
	}
	for i, g := range got.Parts {
		w := want.Parts[i]
		if g.Name != w.Name || g.Known != w.Known || !near(g.Capacitance, w.Capacitance) || !near(g.Uncertainty, w.Uncertainty) {
			t.Errorf("part %d: %+v, want %+v", i, g, w)
		}
	}
}

func TestDialectNotices(t *testing.T) {
	for file, want := range map[string]string{
		"plain":           "",
		"bom":             "",
		"crlf":            "",
		"semicolon-comma": "cells are separated by the semicolon, the decimal mark is the comma",
		"semicolon-point": "cells are separated by the semicolon, the decimal mark is the point",
		"tab-comma":       "cells are separated by the tab, the decimal mark is the comma",
		"utf16le":         "the characters are read as UTF-16",
		"windows-1252":    "the characters are read as Windows-1252",
	} {
		content := must.Get(os.ReadFile("../../testdata/formats/log/" + file + ".csv")).In(t)
		got := strings.Join(mustRead(t, content, Options{}).Notices, "\n")
		if want != "" {
			want = "log.csv: " + want
		}
		if got != want {
			t.Errorf("%s: %q, want %q", file, got, want)
		}
	}
}

func TestLogKeepsWhatWasWritten(t *testing.T) {
	// The digest
	// of this log was taken with sha256sum (GNU coreutils).
	l := mustRead(t, []byte("frequency [MHz],added [pF]\n1.50,4.70\n1.401,\n"), Options{Digest: sha256.New()})
	if got := l.said[0] + "|" + l.said[1]; got != "1.50,4.70|1.401," {
		t.Errorf("said %q", got)
	}
	if l.Readings[0].Line != 2 || l.Readings[1].Line != 3 {
		t.Errorf("lines %d, %d", l.Readings[0].Line, l.Readings[1].Line)
	}
	if l.SHA256 != "c962f000c58dce35b4172ea17a2880b10c09731a3778c6fa68708e046bdc4662" {
		t.Errorf("SHA-256 %s", l.SHA256)
	}
}
