package waveform

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
)

// The interval goes by each of the names that instruments give it; a name that is given to cursors and durations too counts
// beside a setting that says where the record begins.
func TestNamesOfAnInterval(t *testing.T) {
	rows := "CH1\n" + count(20, "%[2]d.5")
	of := func(settings string) string {
		f, err := Read(strings.NewReader(settings+rows), "scope.csv", Options{})
		if err != nil {
			return err.Error()
		}
		return fmt.Sprintf("%.6g", f.Captures[0].Signal.Interval)
	}
	for _, name := range []string{"Sample interval", "Sampling interval", "Sample period", "Sampling period", "Sample spacing", "Increment", "X increment", "XIncr", "XInc", "Time increment", "T increment", "Time step", "T step",
		"Time per sample", "Time per point", "Seconds per sample", "Seconds per point", "Time between samples", "Sample step"} {
		if got := of(name + ",2.5,us\n"); got != "2.5e-06" {
			t.Errorf("%s: %s", name, got)
		}
	}
	for _, name := range []string{"Sample rate", "Sampling rate", "Sample frequency", "Sampling frequency", "Samples per second", "Fs"} {
		if got := of(name + ",400,kHz\n"); got != "2.5e-06" {
			t.Errorf("%s: %s", name, got)
		}
	}
	for _, name := range []string{"Sample time", "Sampling time", "dt", "Delta T", "Delta", "Δt", "∆t", "Interval", "Time interval", "Horizontal interval", "Time resolution", "Horizontal resolution", "Clock", "dx", "Delta x", "Δx", "∆x"} {
		if got := of(name + ",2.5,us\n"); !strings.HasPrefix(got, fmt.Sprintf(`scope.csv:1:2 (column B): "%s 2.5" may be the time between samples, or that between two cursors`, name)) {
			t.Errorf("%s: %s", name, got)
		}
		for _, begins := range []string{"T0", "X0", "X zero", "X origin", "Start", "Start time"} {
			for _, settings := range []string{begins + ",0\n" + name + ",2.5,us\n", name + ",2.5,us\n" + begins + ",0\n"} {
				if got := of(settings); got != "2.5e-06" {
					t.Errorf("%q: %s", settings, got)
				}
			}
		}
	}
}

// Plain text is ASCII with line feeds, each alone or behind a carriage return.
func TestPlainText(t *testing.T) {
	for text, want := range map[string]bool{"1,2\n": true, "1,2\r\n3,4\r\n": true, "1\t2\n": true, "1,2": false, "": false, "\n": true, "1,2\r3,4\n": false, "1\r\r\n": false, "1,2\n3\r": true, "\x001\n": false, "1\x00\n": false,
		"µs\n": false, "1,2\nµ": false, "~ \n": true, "\x7f\n": false, "\x1f\n": false, "\r1\n": false, "\r\n": true} {
		if plainText([]byte(text)) != want {
			t.Errorf("%q is plain: %v", text, !want)
		}
	}
}

// Delimiters in quotes don't cut a line.
func TestCellsInQuotes(t *testing.T) {
	for line, want := range map[string][]string{
		`a,b`: {"a", "b"}, `"a,b",c`: {`"a,b"`, "c"}, `a,"b,c",d`: {"a", `"b,c"`, "d"}, `"a","b,c"`: {`"a"`, `"b,c"`}, `"a,b","c,d"`: {`"a,b"`, `"c,d"`}, `,"",`: {"", `""`, ""}, `"a""b,c",d`: {`"a""b,c"`, "d"}, ``: {""}, `"a,b`: {`"a,b`},
	} {
		if got := splitQuoted(line, ','); !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %q, want %q", line, got, want)
		}
	}
	c := file(t, "\"Time, local [s]\",\"CH1, near [V]\",\"CH2 \"\"far\"\" [V]\"\n"+count(20, `"%[1]de-6",%[2]d.5,"%[2]d.25"`), Options{}).Captures
	if len(c) != 2 || c[0].Column != "CH1, near [V]" || c[1].Signal.Samples[1] != 2.25 || c[0].Signal.Samples[1] != 2.5 || fmt.Sprintf("%.4g", c[0].Signal.Interval) != "1e-06" {
		t.Errorf("%+v", c)
	}
}
