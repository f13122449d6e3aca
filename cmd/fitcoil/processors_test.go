package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// Whatever a command works out side by side, its answer has the same bytes in
// every run and on any number of processors.
func TestAnswersOnAnyProcessors(t *testing.T) {
	folder := t.TempDir()
	must.Do(t, copyDemo(folder))
	ringdown := filepath.Join("captures", "lighthouse-ringdown.csv")
	for _, args := range [][]string{
		{"fit", "lighthouse.csv"},
		{"fit", "lighthouse.csv", "--robust"},
		{"fit", "lighthouse.csv", "--coil", "lighthouse-coil.csv"},
		{"predict", "lighthouse.csv", "added=3.3pF", "core=rod", "covered=60%", "hand=20cm"},
		{"predict", "lighthouse.csv", "--states", "planned.csv", "--coil", "lighthouse-coil.csv"},
		{"predict", "lighthouse.csv", "--coil", "lighthouse-coil.csv", "core=rod", "--sweep", "beads=13..17"},
		{"predict", "lighthouse.csv", "--reach", "1.5MHz", "--by", "added"},
		{"next", "lighthouse.csv", "--for", "L"},
		{"coil", "lighthouse-coil.csv"},
		{"capture", ringdown},
		{"compare", "lighthouse.csv", "rebuilt.csv"},
		{"fit", "lighthouse.csv", "lighthouse-whole.csv", "rebuilt.csv"},
		{"fit", "lighthouse-whole.csv", "--monte-carlo", "1000", "--profile"},
		{"budget", "lighthouse.csv", "--for", "L"},
		{"check", "lighthouse.csv"},
	} {
		t.Run(strings.Join(args, " "), func(t *testing.T) {
			t.Parallel()
			var first []byte
			for _, processors := range []string{"1", "2", "4", "2"} {
				cmd := exec.Command("fitcoil", append(args, "--json")...)
				cmd.Dir = folder
				cmd.Env = append(os.Environ(), "GOMAXPROCS="+processors)
				out, err := cmd.Output()
				switch {
				case err != nil || len(out) == 0:
					t.Fatalf("on %s processors: %v, %d bytes", processors, err, len(out))
				case first == nil:
					first = out
				case !bytes.Equal(first, out):
					t.Errorf("on %s processors the answer is another", processors)
				}
			}
		})
	}
}
