// Package golden compares what the program makes with files of what it made before, for the
// tests. With the flag -update the files are written anew.
package golden

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the golden files anew, and what documents show of outputs")

// Updating tells whether files are to be written anew.
func Updating() bool { return *update }

// Match compares got with the content of file.
func Match(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s: got:\n%swant:\n%s", file, got, want)
	}
}

// Broken compares what is answered to each of the files NAME.csv in folder, at least so many,
// with NAME.txt beside it.
func Broken(t *testing.T, folder string, least int, answer func(content []byte) string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(folder, "*.csv"))
	if err != nil || len(files) < least {
		t.Fatalf("found %d files in %s (%v)", len(files), folder, err)
	}
	for _, file := range files {
		name := strings.TrimSuffix(file, ".csv")
		t.Run(filepath.Base(name), func(t *testing.T) {
			content, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			Match(t, name+".txt", answer(content))
		})
	}
}
