package benchlog

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func updating() bool { return flag.Lookup("update").Value.String() == "true" }

func TestMain(m *testing.M) {
	flag.Bool("update", false, "write the golden files anew")
	flag.Parse()
	os.Exit(m.Run())
}

// answer is all that a maker is told of a log.
func answer(content []byte) string {
	l, err := Read(bytes.NewReader(content), "log.csv", Options{})
	if err != nil {
		return err.Error() + "\n"
	}
	var b strings.Builder
	for _, n := range l.Notices {
		b.WriteString("notice: " + n + "\n")
	}
	if len(l.Notices) == 0 {
		b.WriteString("read without a word\n")
	}
	return b.String()
}

// TestBroken compares the answer to each broken log with the text beside it.
func TestBroken(t *testing.T) {
	files, err := filepath.Glob("../../testdata/broken/log/*.csv")
	if err != nil || len(files) < 60 {
		t.Fatalf("found %d broken logs (%v)", len(files), err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".csv"), func(t *testing.T) {
			content, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			got := answer(content)
			golden := strings.TrimSuffix(file, ".csv") + ".txt"
			if updating() {
				if err := os.WriteFile(golden, []byte(got), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("got:\n%swant:\n%s", got, want)
			}
		})
	}
}
