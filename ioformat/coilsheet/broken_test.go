package coilsheet

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

// TestBroken compares the answer to each broken sheet with the text beside it.
func TestBroken(t *testing.T) {
	files, err := filepath.Glob("../../testdata/broken/sheet/*.csv")
	if err != nil || len(files) < 25 {
		t.Fatalf("found %d broken sheets (%v)", len(files), err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".csv"), func(t *testing.T) {
			content, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			_, err = Read(bytes.NewReader(content), "coil.csv")
			if err == nil {
				t.Fatal("was read")
			}
			got := err.Error() + "\n"
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
