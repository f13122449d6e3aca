package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/golden"
	"fitcoil/internal/must"
)

// The manual page that comes along is the one that the flags make, and the
// completions are looked at whenever a flag changes.
func TestGenerated(t *testing.T) {
	golden.Match(t, filepath.Join("..", "..", "docs", "fitcoil.1"), manPage())
	golden.Match(t, filepath.Join("testdata", "completion", "fitcoil.bash"), completion("bash"))
	golden.Match(t, filepath.Join("testdata", "completion", "_fitcoil"), completion("zsh"))
	golden.Match(t, filepath.Join("testdata", "completion", "fitcoil.fish"), completion("fish"))
}

func TestRoff(t *testing.T) {
	for text, want := range map[string]string{
		"--json":        `\-\-json`,
		`a\b`:           `a\eb`,
		".hidden":       `\&.hidden`,
		"'tis":          `\&'tis`,
		"1.5MHz ± 2 %.": "1.5MHz ± 2 %.",
	} {
		if got := roff(text); got != want {
			t.Errorf("%q: got %q, want %q", text, got, want)
		}
	}
}

// A formatter of manual pages finds nothing to complain of.
func TestManPageFormats(t *testing.T) {
	if _, err := exec.LookPath("groff"); err != nil {
		t.Skip("groff is not installed")
	}
	cmd := exec.Command("groff", "-man", "-ww", "-Kutf8", "-Tutf8")
	cmd.Stdin = strings.NewReader(manPage())
	var told strings.Builder
	cmd.Stderr = &told
	page, err := cmd.Output()
	if err != nil || told.Len() > 0 {
		t.Errorf("%v\n%s", err, told.String())
	}
	for _, v := range verbs() {
		if !v.hidden && !strings.Contains(string(page), "fitcoil "+v.name) {
			t.Errorf("the page lacks %s", v.name)
		}
	}
}

// complete asks the completion for bash what it offers after words, the last of
// which is being typed.
func complete(t *testing.T, words ...string) []string {
	t.Helper()
	script := completion("bash") + "compopt() { :; }\nCOMP_WORDS=(\"$@\"); COMP_CWORD=$(($#-1)); _fitcoil; printf '%s\\n' \"${COMPREPLY[@]}\"\n"
	cmd := exec.Command("bash", append([]string{"-c", script, "bash"}, words...)...)
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return strings.Split(strings.TrimSpace(string(out)), "\n")
}

func TestBashCompletion(t *testing.T) {
	if _, err := exec.LookPath("bash"); err != nil {
		t.Skip("bash is not installed")
	}
	inDemo(t)
	must.Do(t, os.WriteFile("two words.csv", nil, 0o666))
	programAsFitcoil(t)
	const sly = "frequency [MHz],added [pF],core\n2.519,,\n1.937,2.2,\n1.785,,rod $(touch taken)\n"
	must.Do(t, os.WriteFile("sly.csv", []byte(sly), 0o666))
	for _, c := range []struct {
		words []string
		want  []string // among the answers
		not   string
	}{
		{[]string{"fitcoil", "f"}, []string{"fit"}, "check"},
		{[]string{"fitcoil", ""}, []string{"fit", "predict", "next", "compare", "check", "completion", "version", "help"}, "man"},
		{[]string{"fitcoil", "fit", "--pl"}, []string{"--plots"}, "--json"},
		{[]string{"fitcoil", "fit", "x.csv", "--"}, []string{"--json", "--known", "--help"}, "--reach"},
		{[]string{"fitcoil", "fit", "--format", ""}, []string{"svg", "png", "pdf"}, "lighthouse.csv"},
		{[]string{"fitcoil", "fit", "--plots", "cap"}, []string{"captures"}, "lighthouse.csv"},
		{[]string{"fitcoil", "fit", "light"}, []string{"lighthouse.csv"}, "rebuilt.csv"},
		{[]string{"fitcoil", "fit", "two"}, []string{"two words.csv"}, ""},
		{[]string{"fitcoil", "predict", ""}, []string{"lighthouse.csv", "added="}, "fit"},
		{[]string{"fitcoil", "predict", "lighthouse.csv", "co"}, []string{"core=", "covered=", "core=rod"}, "lighthouse.csv"},
		{[]string{"fitcoil", "predict", "lighthouse.csv", "added", "=", "la"}, []string{`lantern\ roof`}, "rod"},
		{[]string{"fitcoil", "predict", "lighthouse.csv", "core", "="}, []string{"rod"}, "core=rod"},
		{[]string{"fitcoil", "predict", "sly.csv", "core", "=", "r"}, []string{`rod\ \$\(touch\ taken\)`}, "rod"},
		{[]string{"fitcoil", "next", "lighthouse.csv", "--for", ""}, []string{"L", "C", "gain", "hand", "frequency@", "gain:rod"}, "lighthouse.csv"},
		{[]string{"fitcoil", "next", "lighthouse.csv", "--for", "gain", ":", "r"}, []string{"rod"}, "L"},
		{[]string{"fitcoil", "next", "--for", "g"}, []string{"gain"}, "gain:rod"},
		{[]string{"fitcoil", "predict", "lighthouse.csv", "--by", ""}, []string{"added", "covered", "hand"}, "lighthouse.csv"},
		{[]string{"fitcoil", "predict", "lighthouse.csv", "--states", "pl"}, []string{"planned.csv"}, "lighthouse.csv"},
		{[]string{"fitcoil", "completion", ""}, []string{"bash", "zsh", "fish"}, "lighthouse.csv"},
		{[]string{"fitcoil", "help", "pr"}, []string{"predict"}, "fit"},
		{[]string{"fitcoil", "version", ""}, nil, "lighthouse.csv"},
	} {
		got := complete(t, c.words...)
		for _, w := range c.want {
			if !slices.Contains(got, w) {
				t.Errorf("%q: offers %q without %q", c.words, got, w)
			}
		}
		if slices.Contains(got, c.not) {
			t.Errorf("%q: offers %q", c.words, c.not)
		}
	}
	if _, err := os.Stat("taken"); err == nil {
		t.Error("a name in a log was run as a command")
	}
}

// The shells accept their scripts.
func TestCompletionSyntax(t *testing.T) {
	for _, c := range []struct {
		shell, script string
		args          []string
	}{
		{"bash", completion("bash"), []string{"-n"}},
		{"zsh", completion("zsh"), []string{"-n"}},
		{"fish", completion("fish"), []string{"--no-execute"}},
	} {
		t.Run(c.shell, func(t *testing.T) {
			if _, err := exec.LookPath(c.shell); err != nil {
				t.Skip(c.shell + " is not installed")
			}
			file := filepath.Join(t.TempDir(), "completion")
			must.Do(t, os.WriteFile(file, []byte(c.script), 0o666))
			if out, err := exec.Command(c.shell, append(c.args, file)...).CombinedOutput(); err != nil || len(out) > 0 {
				t.Errorf("%v\n%s", err, out)
			}
		})
	}
}
