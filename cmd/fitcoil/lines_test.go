package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// benchLogs copies the logs of testdata/logs, invented sessions of all kinds, beside
// the demo, goes there, and returns their names.
func benchLogs(t *testing.T) (names []string) {
	t.Helper()
	list, err := filepath.Glob(filepath.Join("testdata", "logs", "*.csv"))
	if err != nil || len(list) < 10 {
		t.Fatal(list, err)
	}
	content := map[string][]byte{}
	for _, path := range list {
		if content[filepath.Base(path)], err = os.ReadFile(path); err != nil {
			t.Fatal(err)
		}
		names = append(names, filepath.Base(path))
	}
	inDemo(t)
	for name, c := range content {
		must.Do(t, os.WriteFile(name, c, 0o666))
	}
	return append(names, "lighthouse.csv")
}

// gave is what commands gave of the logs that benchLogs lays out, which are the same for each test.
var gave = map[string]answer{}

// askOf runs a command line on a log of benchLogs, unless it ran before.
func askOf(args ...string) answer {
	key := strings.Join(args, " ")
	a, ran := gave[key]
	if !ran {
		a = ask("", args...)
		gave[key] = a
	}
	return a
}

// What every verb prints of every log has at most 30 lines of at most 80 columns, and
// all of it at most 80 columns too.
func TestLinesAndColumns(t *testing.T) {
	names := benchLogs(t)
	commands := [][]string{
		{"coil", "lighthouse-coil.csv"},
		{"coil", "lighthouse-coil.csv", "--hand", "5cm", "--hand", "10cm", "--hand", "15cm", "--hand", "20cm", "--hand", "30cm", "--hand", "40cm", "--hand", "60cm", "--hand", "80cm", "--hand", "100cm", "--hand", "150cm"},
		{"capture", "captures/lighthouse-ringdown.csv"},
		{"capture", "captures/clipped.csv", "captures/decimal-comma.csv", "captures/lighthouse-ringdown.csv", "captures/row-numbers.csv", "captures/two-channels-utf16.txt"},
		{"fit", "lighthouse.csv", "--coil", "lighthouse-coil.csv"},
		{"fit", "lighthouse.csv", "rebuilt.csv"},
		{"fit", "lighthouse-whole.csv", "--coil", "lighthouse-made-of.csv"},
		{"predict", "lighthouse-whole.csv", "--coil", "lighthouse-made-of.csv", "--top-voltage", "60kV", "core=rod", "/", "bare"},
		{"predict", "lighthouse.csv", "--coil", "lighthouse-coil.csv", "core=rod", "ball diameter=30mm"},
		{"predict", "lighthouse.csv", "--coil", "lighthouse-coil.csv", "core=rod", "--reach", "2MHz", "--have", "1pF"},
		{"predict", "lighthouse.csv", "--states", "planned.csv"},
		{"next", "lighthouse.csv", "--for", "gain", "--how-many", "20"},
	}
	last := ""
	for _, name := range names {
		commands = append(commands, []string{"fit", name}, []string{"check", name})
		if info, err := os.Stat(name); err != nil {
			t.Fatal(err)
		} else if info.Size() > 2000 { // a long log takes long, and what else is printed of it is no longer
			continue
		}
		if last != "" {
			commands = append(commands, []string{"compare", name, last})
		}
		last = name
		commands = append(commands,
			[]string{"next", name, "--for", "L"},
			[]string{"budget", name, "--for", "L"},
			[]string{"predict", name, "added=3.3pF"},
			[]string{"predict", name, "bare", "/", "added=1pF", "/", "hand=7cm", "/", "added=a part that nobody has read so far, anywhere", "/", "added=100pF", "hand=5cm"},
			[]string{"predict", name, "--reach", "700kHz", "--by", "added"},
			[]string{"predict", name, "--reach", "1.1MHz", "--have", "1pF,39pF"},
			[]string{"next", name, "--for", "L", "--have", "1pF,39pF,47pF,68pF±1%", "--how-many", "3"},
		)
	}
	for _, c := range commands {
		brief := askOf(append(c, "--quiet")...)
		if brief.code != exitAnswered && brief.code != exitUnanswerable && brief.code != exitUsage {
			t.Errorf("fitcoil %q: exit code %d: %s", c, brief.code, brief.err)
		}
		if what := measure(brief.out, 30, 80); what != "" {
			t.Errorf("fitcoil %q: %s\n%s", c, what, brief.out)
		}
		if c[0] == "predict" || c[0] == "next" { // whose tables are the same
			continue
		}
		full := askOf(append(c, "--full", "--quiet")...)
		if what := measure(full.out, 10000, 80); what != "" {
			t.Errorf("fitcoil %q --full: %s", c, what)
		}
		if brief.code == exitAnswered && full.code == exitAnswered && len(full.out) < len(brief.out)/2 {
			t.Errorf("fitcoil %q: --full prints less:\n%s", c, full.out)
		}
	}
}

// What stands in an answer in brief is not said twice in it.
func TestNothingIsSaidTwice(t *testing.T) {
	for _, name := range benchLogs(t) {
		seen := map[string]bool{}
		for _, line := range strings.Split(askOf("fit", name, "--quiet").out, "\n") {
			line = strings.TrimSpace(line)
			if len(line) > 20 && seen[line] && !strings.Contains(line, notDeterminedWords) {
				t.Errorf("%s: twice: %s", name, line)
			}
			seen[line] = true
		}
	}
}

const notDeterminedWords = "not determined by these readings"
