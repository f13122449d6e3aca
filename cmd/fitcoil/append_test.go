package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"fitcoil/internal/must"
)

// Four processes that append to one log at once, again and again, lose no row,
// whether the log was there before or not.
func TestAppendsAtOnce(t *testing.T) {
	const processes, rounds = 4, 5
	capture := must.Get(filepath.Abs("../../testdata/captures/row-numbers.csv")).In(t)
	dir := t.TempDir()
	log := filepath.Join(dir, "session.csv")
	var all sync.WaitGroup
	for p := range processes {
		all.Go(func() {
			for r := range rounds {
				cmd := exec.Command("fitcoil", "capture", capture, "--append", log, "--row", fmt.Sprintf("note=run %d.%d", p, r))
				if out, err := cmd.CombinedOutput(); err != nil || !strings.Contains(string(out), "1 row added") {
					t.Errorf("%v: %s", err, out)
				}
			}
		})
	}
	all.Wait()
	content := must.Get(os.ReadFile(log)).In(t)
	for p := range processes {
		for r := range rounds {
			if n := strings.Count(string(content), fmt.Sprintf("run %d.%d;", p, r)); n != 1 {
				t.Errorf("the row of run %d.%d is there %d times", p, r, n)
			}
		}
	}
	if entries, _ := os.ReadDir(dir); len(entries) != 1 {
		t.Errorf("the folder holds %v", entries)
	}
}
