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
