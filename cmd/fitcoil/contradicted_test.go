package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// TestContradictionComesFirst: where readings contradict each other (an invented
// log, its capacitor of 2.2 pF taken for one of 3.3 pF), every command that
// prints numbers fitted to them says so before the first of them, and in JSON.
func TestContradictionComesFirst(t *testing.T) {
	dir := t.TempDir()
	write := func(name, second string) string {
		path := filepath.Join(dir, name)
		content := "frequency [MHz],frequency ± [kHz],added,core\n3.912,1,,\n" + second + ",1,2.2pF±1%,\n3.335,1,4.7pF±1%,\n2.910,1,10pF±1%,\n2.951,1,,rod\n3.911,1,,\n"
		must.Do(t, os.WriteFile(path, []byte(content), 0o644))
		return path
	}
	bad, good := write("bad.csv", "3.460"), write("good.csv", "3.610")
	verbs := [][]string{{"fit", bad}, {"fit", bad, "--full"}, {"fit", bad, good}, {"predict", bad, "added=2pF"}, {"predict", bad, "--reach", "3.5MHz"},
		{"predict", bad, "--reach", "3.5MHz", "--by", "added"}, {"next", bad, "--for", "L"}, {"budget", bad, "--for", "L"}, {"compare", good, bad}}
	for _, args := range verbs {
		text := ask("", args...).out
		if head, _, _ := strings.Cut(text, " ± "); !strings.Contains(head, "no number below is to be trusted") {
			t.Errorf("%q: numbers come before the contradiction:\n%s", args[:1], text)
		}
		if args[len(args)-1] == "--full" {
			continue
		}
		answer := answered[struct{ Warnings []string }](t, "", args...)
		if !strings.Contains(strings.Join(answer.Warnings, "\n"), `part "2.2 pF"`) {
			t.Errorf("%q --json: no contradiction among the warnings %q", args[:1], answer.Warnings)
		}
	}
	if text := ask("", "next", good, "--for", "L").out; text == "" || strings.Contains(text, "trusted") {
		t.Errorf("the same log without the exchange is doubted:\n%s", text)
	}
}
