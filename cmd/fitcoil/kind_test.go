package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestKinds: a capture given for a log is pointed to capture, a log given for a
// capture to fit, in every layout of either, as a file and as standard input.
func TestKinds(t *testing.T) {
	for _, c := range []struct{ pattern, verb, says string }{
		{"../../testdata/captures/*.[ct]*[vt]", "fit", "find its frequency with: fitcoil capture "},
		{"../../testdata/captures/*.[ct]*[vt]", "check", "find its frequency with: fitcoil capture "},
		{"../../testdata/broken/log/capture*.csv", "fit", "find its frequency with: fitcoil capture "},
		{"../../testdata/formats/log/*.csv", "capture", "fit it with: fitcoil fit "},
		{"../../testdata/[lr]*[et].csv", "capture", "fit it with: fitcoil fit "},
	} {
		files, err := filepath.Glob(c.pattern)
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: %v, %v", c.pattern, files, err)
		}
		for _, file := range files {
			content, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
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
