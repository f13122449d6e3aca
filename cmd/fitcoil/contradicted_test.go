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
		answer := answered[struct {
			Contradicted bool
			Warnings     []string
		}](t, "", args...)
		if !answer.Contradicted || !strings.Contains(strings.Join(answer.Warnings, "\n"), `part "2.2 pF"`) {
			t.Errorf("%q --json: contradicted: %v; no contradiction among the warnings %q", args[:1], answer.Contradicted, answer.Warnings)
		}
		if args[0] != "predict" || len(args) == 3 { // a table of numbers has it beside it
			if csv := ask("", append(args, "--csv", "--quiet")...); !strings.Contains(csv.err, `part "2.2 pF"`) || csv.out == "" {
				t.Errorf("%q --csv: %q beside the table", args[:1], csv.err)
			}
		}
	}
	// What is contradicted says so in its title, and isn't offered to be quoted.
	for _, log := range []string{bad, good} {
		is := log == bad
		brief, full, csv := ask("", "fit", log).out, ask("", "fit", log, "--full").out, ask("", "fit", log, "--csv")
		for _, title := range []string{"Coil, bare, seen from the top (contradicted)", "Core rod, all the way in (contradicted)"} {
			if strings.Contains(brief, title) != is {
				t.Errorf("%s: is %q told?\n%s", log, title, brief)
			}
		}
		if strings.Contains(full, "The coil (contradicted)") != is || strings.Contains(full, "To cite") == is || strings.Contains(csv.out, " µH\n") == is || (csv.err != "") != is {
			t.Errorf("%s: %v that it contradicts itself\n%s%s%s", log, is, full, csv.out, csv.err)
		}
		answer := answered[struct {
			Contradicted bool
			Notes        []string
		}](t, "", "fit", log)
		if answer.Contradicted != is || !strings.Contains(strings.Join(answer.Notes, "\n"), "alone determines something") {
			t.Errorf("%s: %+v", log, answer)
		}
	}
	if text := ask("", "next", good, "--for", "L").out; text == "" || strings.Contains(text, "trusted") {
		t.Errorf("the same log without the exchange is doubted:\n%s", text)
	}
}
