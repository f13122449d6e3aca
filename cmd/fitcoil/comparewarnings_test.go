package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// What compare warns of names the session, once each: also in JSON.
func TestWarningsOfComparisonNameTheSession(t *testing.T) {
	log := filepath.Join(t.TempDir(), "few.csv")
	rows := "frequency [MHz],frequency ± [kHz],added [pF]\n2.5190,0.5,\n1.6130,0.5,4.7\n0.8880,0.5,22\n2.5170,0.5,\n"
	must.Do(t, os.WriteFile(log, []byte(rows), 0o600))
	var out, stderr bytes.Buffer
	if code := run([]string{"compare", log, log, "--json"}, streams{in: &bytes.Buffer{}, out: &out, err: &stderr}); code != 0 {
		t.Fatalf("exit code %d: %s", code, stderr.String())
	}
	var d struct{ Warnings []string }
	must.Do(t, json.Unmarshal(out.Bytes(), &d))
	seen := map[string]bool{}
	for _, w := range d.Warnings {
		if seen[w] || !strings.HasPrefix(w, "A: ") && !strings.HasPrefix(w, "B: ") {
			t.Errorf("%q, told before: %v", w, seen[w])
		}
		seen[w] = true
	}
	if len(seen) < 2 {
		t.Errorf("%q: nothing to compare", d.Warnings)
	}
}
