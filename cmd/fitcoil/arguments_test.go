package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/pflag"
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

// What a flag without a value switches is off unless it is given.
func TestSwitchesAreOff(t *testing.T) {
	switches := 0
	for _, v := range verbs() {
		v.newCall(streams{out: io.Discard, err: io.Discard}).flags.VisitAll(func(f *pflag.Flag) {
			if f.Value.Type() != "bool" {
				return
			}
			if switches++; f.DefValue != "false" || f.Value.String() != "false" {
				t.Errorf("%s --%s is on", v.name, f.Name)
			}
		})
	}
	if switches < 20 {
		t.Errorf("only %d switches", switches)
	}
}
