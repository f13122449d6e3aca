package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// TestKinds: a capture given for a log is pointed to capture, a log given for a
// capture to fit, in every layout of either, as a file and as standard input.
func TestKinds(t *testing.T) {
	for _, c := range []struct{ pattern, verb, says string }{
		{"../../testdata/captures/*.[ct]*[vt]", "fit", "find its frequency with: fitcoil capture "},
		{"../../testdata/captures/*.[ct]*[vt]", "check", "find its frequency with: fitcoil capture "},
		{"../../testdata/broken/log/capture*.csv", "fit", "find its frequency with: fitcoil capture "},
		{"../../testdata/*-coil.csv", "fit", "compute the coil with: fitcoil coil "},
		{"../../testdata/formats/log/*.csv", "capture", "fit it with: fitcoil fit "},
		{"../../testdata/[lr]*[et].csv", "capture", "fit it with: fitcoil fit "},
	} {
		files, err := filepath.Glob(c.pattern)
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: %v, %v", c.pattern, files, err)
		}
		for _, file := range files {
			content := must.Get(os.ReadFile(file)).In(t)
			for _, name := range []string{file, "-"} {
				var out, told bytes.Buffer
				code := run([]string{c.verb, name}, streams{in: bytes.NewReader(content), out: &out, err: &told})
				if code != exitBadData || out.Len() > 0 || strings.Count(told.String(), "\n") != 1 || !strings.Contains(told.String(), c.says+name) {
					t.Errorf("%s %s of %s: exit code %d, told %q", c.verb, name, file, code, told.String())
				}
			}
		}
	}
}

// TestKindBesideAmplitudes: a log with amplitudes isn't read as a sweep of the drive.
func TestKindBesideAmplitudes(t *testing.T) {
	log := "frequency [MHz],added [pF],amplitude [V]\n2.48,,0.13\n2.50,,0.21\n2.51,,0.35\n2.52,4.7,0.41\n2.53,4.7,0.33\n2.54,10,0.20\n2.56,10,0.12\n"
	var out, told bytes.Buffer
	code := run([]string{"capture", "-"}, streams{in: strings.NewReader(log), out: &out, err: &told})
	if code != exitBadData || out.Len() > 0 || !strings.Contains(told.String(), "this is a bench log") {
		t.Errorf("exit code %d, told %q", code, told.String())
	}
}

// TestSweepIsNoLog: a table of frequencies and amplitudes across a resonance, given for a
// log, is pointed to capture; repeats with their amplitudes, and a log whose states change,
// are logs. Invented data.
func TestSweepIsNoLog(t *testing.T) {
	for _, c := range []struct {
		log   string
		sweep bool
	}{
		{"frequency [MHz],amplitude [mV]\n2.48,132\n2.50,206\n2.51,344\n2.52,410\n2.53,330\n2.54,210\n2.56,121\n", true},
		{"frequency [MHz],amplitude [mV],note\n2.56,132,\n2.54,206,\n2.53,344,\n2.52,350,peak\n2.50,121,\n", true},
		{"frequency [MHz],amplitude [mV]\n2.519,410\n2.520,402\n2.521,415\n2.5215,409\n2.522,411\n", false},
		{"frequency [MHz],amplitude [mV]\n2.519,410\n2.518,402\n2.520,715\n2.519,309\n2.517,301\n", false},
		{"frequency [MHz],added [pF],amplitude [mV]\n2.519,,132\n1.937,2.2,206\n1.613,4.7,344\n1.230,10,210\n0.888,22,121\n", false},
		{"frequency [MHz],amplitude [mV]\n2.48,132\n2.50,206\n2.51,344\n2.52,410\n2.53,530\n", false},
	} {
		var out, told bytes.Buffer
		code := run([]string{"fit", "-", "--quiet"}, streams{in: strings.NewReader(c.log), out: &out, err: &told})
		if sweep := code == exitBadData && strings.Contains(told.String(), "find its resonance with: fitcoil capture -"); sweep != c.sweep || !c.sweep && code != exitAnswered {
			t.Errorf("%s: exit code %d, %s%s", c.log, code, out.String(), told.String())
		}
	}
}
