package main

import (
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
)

// Each verb does its work with as many arguments as it has use for, and says what it takes of fewer and of
// more: none is left aside unsaid.
func TestNumbersOfArguments(t *testing.T) {
	const any = 5 // more than these are tried of none
	for name, takes := range map[string]struct {
		least, most int
		args        string
	}{
		"fit": {1, any, "LOG..."}, "predict": {1, any, "LOG [STATE...]"}, "next": {1, 1, "LOG --for GOAL"}, "budget": {1, 1, "LOG --for QUANTITY"},
		"compare": {2, 2, "LOG_A LOG_B"}, "check": {1, 1, "LOG"}, "log": {0, 1, "LOG"}, "coil": {1, 1, "SHEET"}, "capture": {1, any, "FILE..."}, "report": {1, 1, "LOG -o PAGE"},
		"completion": {1, 1, "bash|zsh|fish"}, "complete": {1, any, "predict|for WORD..."}, "man": {0, 0, ""}, "version": {0, 0, ""},
	} {
		all := verbs()
		at := slices.IndexFunc(all, func(v *verb) bool { return v.name == name })
		if at < 0 || len(all) != 14 {
			t.Fatalf("%d verbs, and %s is one: %v", len(all), name, at >= 0)
		}
		for n := range any + 1 {
			args := strings.Fields("one two three four five")[:n]
			var got []string
			did := false
			all[at].do = func(c *call) error {
				got, did = c.args, true
				return nil
			}
			err := all[at].run(args, streams{out: io.Discard, err: io.Discard})
			want := ""
			switch {
			case n < takes.least:
				want = name + " needs " + takes.args
			case n > takes.most && takes.most == 0:
				want = name + ` takes no argument, but there is "one"`
			case n > takes.most:
				want = fmt.Sprintf("%s takes %s, but there is also %q", name, takes.args, args[takes.most])
			}
			if want == "" && (err != nil || !did || !slices.Equal(got, args)) || want != "" && (did || err == nil || err.Error() != want+"; see fitcoil "+name+" --help") {
				t.Errorf("%s with %d arguments: %v, done %v of %q, want %q", name, n, err, did, got, want)
			}
		}
	}
}

// In lists of commands and of flags all texts begin in one column, two spaces behind the longest name, and go
// on in it; each command and flag has a line, in its order.
func TestListsLinedUp(t *testing.T) {
	lined := func(of, list string, names, texts []string) {
		t.Helper()
		longest := 0
		for _, n := range names {
			longest = max(longest, len(n))
		}
		lines := strings.Split(strings.TrimSuffix(list, "\n"), "\n")
		for i, n := range names {
			start := "  " + n + strings.Repeat(" ", longest-len(n)+2)
			said := ""
			for j := 0; len(lines) > 0 && (j == 0 || strings.HasPrefix(lines[0], strings.Repeat(" ", len(start)))); j++ {
				if begun := strings.HasPrefix(lines[0], start); begun == (j > 0) {
					t.Errorf("%s: %q, want it to begin with %q", of, lines[0], start)
				}
				said += " " + lines[0][min(len(start), len(lines[0])):]
				lines = lines[1:]
			}
			if said != " "+texts[i] {
				t.Errorf("%s: of %s stands %q, want %q", of, n, said[min(1, len(said)):], texts[i])
			}
		}
		if len(lines) > 0 || len(names) < 2 {
			t.Errorf("%s: %d names, and behind them %q", of, len(names), lines)
		}
	}
	var names, briefs []string
	for _, v := range verbs() {
		if !v.hidden {
			names, briefs = append(names, v.line()), append(briefs, v.brief)
		}
	}
	_, list, _ := strings.Cut(overview(), "what the coil is\n\n")
	list, after, _ := strings.Cut(list, "\n\n")
	lined("fitcoil", list, names, briefs)
	if !strings.HasPrefix(after, "Examples:\n  fitcoil ") {
		t.Errorf("behind the commands stands %q", after)
	}
	helped := 0
	for _, v := range verbs() {
		var names, texts []string
		for _, f := range v.flagTable() {
			if slices.Contains(rare, f.Name) || f.Name == "known-from" && v.name != "fit" {
				continue
			}
			text, _, _ := strings.Cut(f.Text, "; ")
			names, texts = append(names, f.Usage()), append(texts, text)
		}
		_, list, found := strings.Cut(v.manual(), "\nFlags:\n")
		list, _, _ = strings.Cut(list, "\n\n")
		list, _, _ = strings.Cut(list, "\n  and --")
		if found {
			helped++
			lined(v.name, list, names, texts)
		}
	}
	if helped != 10 {
		t.Errorf("%d verbs have flags", helped)
	}
	lined("long", flagHelp([]flagRow{{Name: "a", Text: "alone; and no more"}, {Name: "switch", Short: "s", Value: "word", Text: strings.TrimSpace(strings.Repeat("what goes on ", 20))}, {Name: "z", Text: "last"}}),
		[]string{"--a", "-s, --switch word", "--z"}, []string{"alone", strings.TrimSpace(strings.Repeat("what goes on ", 20)), "last"})
}

// Where figures are drawn, the folder has a file of each and the note names them: those of all that the log
// tells and the flags ask for, in each form.
func TestFiguresOfVerbs(t *testing.T) {
	t.Chdir(t.TempDir())
	for name, content := range map[string]string{"ring.csv": ringDown(1e-8, 5e-6, 2000), "drive.csv": drive(),
		"t.csv": "frequency [MHz],added [pF]\n2.519,\n1.612,4.7\n1.231,10\n",
		"p.csv": "frequency [MHz],added [pF],core,primary,quality factor\n2.519,,,open,84\n1.937,2.2,,,88\n1.230,10,,,95\n2.566,,,shorted,80\n1.785,,rod,,60\n0.874,10,rod,,70\n1.846,,rod,shorted,58\n2.519,,,,84\n"} {
		must.Do(t, os.WriteFile(name, []byte(content), 0o666))
	}
	const fitted = "frequency inverse-square inductance-capacitance variance-budget priors " +
		"residuals-added-capacitance residuals-run-order residuals-by-state residuals-normal-quantiles correlations"
	for line, want := range map[string]string{
		"fit p.csv --json":                   fitted + " coupling losses",
		"fit t.csv --csv --profile --lumped": fitted + " profiles",
		"predict t.csv added=3.3pF":          "predictions",
		"capture ring.csv --row bare":        "capture",
		"capture ring.csv drive.csv --json":  "resonance capture",
		"capture drive.csv --format":         "resonance",
	} {
		line, both := strings.CutSuffix(line, " --format")
		for format, forms := range map[string][]string{"": {"svg", "png"}, "svg": {"svg"}} {
			if both != (format == "") {
				continue
			}
			folder := t.TempDir()
			args := append(strings.Fields(line), "--plots", folder)
			if format != "" {
				args = append(args, "--format", format)
			}
			a := ask("", args...)
			var files, expected []string
			for _, e := range must.Get(os.ReadDir(folder)).In(t) {
				files = append(files, e.Name())
			}
			for _, name := range strings.Fields(want) {
				for _, form := range forms {
					expected = append(expected, name+"."+form)
				}
			}
			slices.Sort(expected)
			said := fmt.Sprintf("fitcoil: note: %s: drew %s, as %s\n", folder, strings.Join(strings.Fields(want), ", "), strings.Join(forms, " and "))
			if a.code != 0 || a.out == "" || !slices.Equal(files, expected) || !strings.Contains(a.err, said) {
				t.Errorf("%s: exit code %d, drew %q, want %q\n%s", line, a.code, files, expected, a.err)
			}
		}
	}
}

// A capture taken in at the bench is the row that fitcoil capture makes of it: no flag of capture is given
// there, and none is as if given.
func TestCapturesAtTheBenchAreThoseOfCapture(t *testing.T) {
	t.Chdir(t.TempDir())
	for name, content := range map[string]string{"ring.csv": ringDown(1e-8, 5e-6, 2000), "drive.csv": drive()} {
		must.Do(t, os.WriteFile(name, []byte(content), 0o666))
		c, _ := asking(t, logVerb(), "log.csv")
		row := must.Get(c.oneCapture(name, []string{"core=rod", "added=4.7pF"})).In(t)
		content, unplaced, err := benchlog.Append(nil, "log.csv", row)
		must.Do(t, err)
		if a := ask("", "capture", name, "--row", "core=rod added=4.7pF"); a.code != 0 || a.out != string(content) || len(unplaced) > 0 || !strings.Contains(a.out, "rod") {
			t.Errorf("%s: at the bench\n%s%q\nas a row\n%s%s", name, content, unplaced, a.out, a.err)
		}
	}
}
