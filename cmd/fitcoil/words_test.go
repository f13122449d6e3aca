package main

import (
	"html"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// stumbling are words and phrases that readers stumbled over, with what to say in their
// place. The field has a standard term for each, or plain English does.
var stumbling = func() (list []phrase) {
	for _, p := range [][2]string{
		{`rests? on|resting on`, "variance from …"},
		{`\bbeliefs?\b|\bbelieving\b`, "prior; use"},
		{`deserves?\b`, "is consistent with"},
		{`\basks? for\b`, "needs; is multiplied by"},
		{`of what is uncertain`, "of the variance"},
		{`normal scatter`, "theoretical normal quantile"},
		{`read less fitted`, "residual (measured − fitted)"},
		{`further steps change`, "converged"},
		{`uncertainties ask`, "consistent with the readings"},
		{`claimed by|would claim a gain`, "apparent gain"},
		{`frequency of the crossings`, "damped frequency"},
		{`amplitude at the beginning`, "initial amplitude"},
		{`come by this page|come by the page`, "reproduce this report"},
		{`tells? nothing|tells? little|tells? more`, "adds no information"},
		{`not read yet`, "not measured"},
		{`vaguer than`, "relative uncertainty above"},
		{`too coarse`, "cannot resolve"},
		{`coupled slices|in slices`, "coupled sections"},
		{`lumped circuit`, "lumped model"},
		{`those of knowledge`, "readings plus priors minus parameters"},
		{`gain told`, "reported gain"},
		{`lands have to pass`, "what a change must pass"},
		{`worth knowing`, "notes"},
		{`speaks (for|against)`, "in favour of; against"},
		{`can't tell|cannot tell`, "not determined by these readings"},
		{`readings? tells?\b|would tell\b`, "determine"},
	} {
		list = append(list, phrase{regexp.MustCompile(p[0]), p[1]})
	}
	return list
}()

type phrase struct {
	re  *regexp.Regexp
	say string
}

// checkStumbling reports the words of a text that readers stumbled over.
func checkStumbling(t *testing.T, where, text string) {
	t.Helper()
	plain := strings.ToLower(strings.Join(strings.Fields(html.UnescapeString(text)), " "))
	for _, s := range stumbling {
		for _, at := range s.re.FindAllStringIndex(plain, 3) {
			t.Errorf("%s has …%s…; say: %s", where, plain[max(0, at[0]-30):min(len(plain), at[1]+30)], s.say)
		}
	}
}

// Outputs, help and documents keep to the standard terms.
func TestNobodyStumbles(t *testing.T) {
	top := filepath.Join("..", "..")
	var files []string
	for _, pattern := range []string{"*.md", "docs/*.md", "docs/schema/*.json", "docs/fitcoil.1", "ioformat/page/*.html", "ioformat/starter/*.csv"} {
		list, err := filepath.Glob(filepath.Join(top, filepath.FromSlash(pattern)))
		if err != nil || len(list) == 0 {
			t.Fatal(pattern, err)
		}
		files = append(files, list...)
	}
	for _, name := range files {
		content := must.Get(os.ReadFile(name)).In(t)
		checkStumbling(t, strings.TrimPrefix(filepath.ToSlash(name), "../../"), string(content))
	}
	for _, v := range verbs() {
		checkStumbling(t, v.name+" --help", v.manual())
	}
	names := benchLogs(t)
	var commands [][]string
	for _, name := range names {
		commands = append(commands, []string{"fit", name, "--full"}, []string{"fit", name})
	}
	commands = append(commands, [][]string{
		{"check", "semicolons.csv"}, {"next", "lighthouse.csv", "--for", "gain", "--full"}, {"next", "bare-only.csv", "--for", "L"},
		{"compare", "lighthouse.csv", "rebuilt.csv", "--full"}, {"compare", "bare-only.csv", "three-rows.csv"},
		{"predict", "lighthouse.csv", "added=3.3pF", "core=rod", "covered=20%", "--full"}, {"predict", "lighthouse.csv", "--reach", "1.5MHz"},
		{"coil", "lighthouse-coil.csv", "--hand", "10cm", "--full"}, {"fit", "lighthouse.csv", "--coil", "lighthouse-coil.csv", "--full"},
		{"capture", "captures/lighthouse-ringdown.csv", "--full"}, {"capture", "captures/clipped.csv", "--json"},
		{"fit", "misread.csv", "--json"}, {"report", "core-always.csv", "-o", "-"}, {"report", "misread.csv", "-o", "-"},
	}...)
	for _, c := range commands {
		a := askOf(append(c, "--quiet")...)
		if a.code != exitAnswered {
			t.Errorf("fitcoil %q: exit code %d: %s", c, a.code, a.err)
		}
		checkStumbling(t, "fitcoil "+strings.Join(c, " "), a.out)
	}
}
