package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/golden"
	"fitcoil/internal/must"
)

// Every block of a document that begins with ```console shows commands, each on
// a line after "$ ", with what they print. The commands are run, in a folder with
// a copy of testdata, and must print just that; a line "…" stands for any lines
// left out.
func TestDocumentsShowWhatCommandsPrint(t *testing.T) {
	top := must.Get(filepath.Abs(filepath.Join("..", ".."))).In(t)
	folder := t.TempDir()
	must.Do(t, copyDemo(filepath.Join(folder, "testdata")))
	t.Chdir(folder)
	documents := must.Get(filepath.Glob(filepath.Join(top, "docs", "*.md"))).In(t)
	commands := 0
	for _, name := range append(documents, filepath.Join(top, "README.md")) {
		old := must.Get(os.ReadFile(name)).In(t)
		text, n := rerun(t, name, string(old))
		commands += n
		if golden.Updating() && text != string(old) {
			must.Do(t, os.WriteFile(name, []byte(text), 0o666))
		}
	}
	if commands == 0 {
		t.Error("no document shows a command")
	}
}

// Links between the documents lead somewhere.
func TestLinksLeadSomewhere(t *testing.T) {
	link := regexp.MustCompile(`\]\(([^)#:]+)(#[^)]*)?\)`)
	top := filepath.Join("..", "..")
	documents, err := filepath.Glob(filepath.Join(top, "docs", "*.md"))
	if err != nil || len(documents) < 5 {
		t.Fatal(documents, err)
	}
	for _, name := range append(documents, filepath.Join(top, "README.md"), filepath.Join(top, "DEVELOPERS.md")) {
		text := must.Get(os.ReadFile(name)).In(t)
		for _, m := range link.FindAllSubmatch(text, -1) {
			if _, err := os.Stat(filepath.Join(filepath.Dir(name), string(m[1]))); err != nil {
				t.Errorf("%s links to %s, which isn't there", name, m[1])
			}
		}
	}
}

// rerun runs the commands shown in text and returns it with their outputs as
// they are now.
func rerun(t *testing.T, name, text string) (out string, commands int) {
	t.Helper()
	var b strings.Builder
	inside := false
	lines := strings.SplitAfter(text, "\n")
	for i := 0; i < len(lines); i++ {
		line := lines[i]
		b.WriteString(line)
		if !inside || !strings.HasPrefix(line, "$ ") {
			inside = inside && !strings.HasPrefix(line, "```") || strings.HasPrefix(line, "```console")
			continue
		}
		commands++
		end := i + 1
		for end < len(lines) && !strings.HasPrefix(lines[end], "$ ") && !strings.HasPrefix(lines[end], "```") {
			end++
		}
		shown := strings.Join(lines[i+1:end], "")
		printed := printedBy(t, strings.TrimSpace(line[2:]))
		switch same := matches(shown, printed); {
		case same:
			b.WriteString(shown)
		case golden.Updating():
			text, ok := abridge(shown, printed)
			b.WriteString(text)
			if !ok {
				t.Errorf("%s:%d: %s prints something else, and what to leave out isn't clear:\n%s", name, i+1, line, printed)
			}
		default:
			b.WriteString(shown)
			t.Errorf("%s:%d: %s prints something else:\n%s", name, i+1, line, printed)
		}
		i = end - 1
	}
	return b.String(), commands
}

// printedBy returns the standard output of a command line.
func printedBy(t *testing.T, command string) string {
	t.Helper()
	words := shellWords(command)
	if words[0] != "fitcoil" {
		t.Fatalf("can't run %q", command)
	}
	in := []byte{}
	if n := len(words); n > 2 && words[n-2] == "<" {
		var err error
		if in, err = os.ReadFile(words[n-1]); err != nil {
			t.Fatal(err)
		}
		words = words[:n-2]
	}
	var out, diagnostics bytes.Buffer
	if code := run(words[1:], streams{in: bytes.NewReader(in), out: &out, err: &diagnostics}); code != 0 {
		t.Errorf("%s: exit code %d: %s", command, code, diagnostics.String())
	}
	return out.String()
}

// matches tells whether printed is what shown says, in which a line "…" stands
// for any lines.
func matches(shown, printed string) bool {
	pieces := strings.Split(shown, "…\n")
	rest := printed
	for i, p := range pieces {
		at := strings.Index(rest, p)
		if at < 0 || i == 0 && at != 0 {
			return false
		}
		rest = rest[at+len(p):]
	}
	return rest == "" || strings.HasSuffix(shown, "…\n")
}

// abridge leaves out of printed what is left out of shown: of each piece between
// the lines "…" the lines that look like its own, numbers aside, are kept.
func abridge(shown, printed string) (text string, ok bool) {
	pieces := strings.Split(shown, "…\n")
	if len(pieces) == 1 {
		return printed, true
	}
	lines := strings.SplitAfter(printed, "\n")
	for i, p := range pieces {
		mine := strings.SplitAfter(p, "\n")
		mine = mine[:len(mine)-1]
		at := 0
		switch {
		case len(mine) == 0:
		case i == len(pieces)-1:
			at = len(lines) - 1 - len(mine)
		case i > 0:
			at = slices.IndexFunc(lines, func(l string) bool { return outline(l) == outline(mine[0]) })
		}
		if at < 0 || at+len(mine) > len(lines) {
			return shown, false
		}
		if i > 0 {
			text += "…\n"
		}
		text += strings.Join(lines[at:at+len(mine)], "")
		lines = lines[at+len(mine):]
	}
	return text, true
}

// outline is a line without its numbers and the width of its columns.
func outline(line string) string {
	numbers := func(r rune) rune {
		if strings.ContainsRune("0123456789.+-", r) {
			return -1
		}
		return r
	}
	return strings.Join(strings.Fields(strings.Map(numbers, line)), " ")
}

func TestAbridge(t *testing.T) {
	const printed = "log: 21 readings\n\n  L  1.3 mH\n  C  4 pF\n  f  2 MHz\n\nend\n"
	for _, c := range []struct{ shown, want string }{
		{"log: 20 readings\n…\n", "log: 21 readings\n…\n"},
		{"…\n  C   3.5  pF\n…\n", "…\n  C  4 pF\n…\n"},
		{"log: 1 readings\n…\n  C   3.5  pF\n  f\n…\nend\n", "log: 21 readings\n…\n  C  4 pF\n  f  2 MHz\n…\nend\n"},
		{"anything\n", printed},
	} {
		if got, ok := abridge(c.shown, printed); !ok || got != c.want {
			t.Errorf("%q: got %q, want %q", c.shown, got, c.want)
		}
	}
	if got, ok := abridge("…\n  Q  30\n…\n", printed); ok {
		t.Errorf("got %q of a line that isn't there", got)
	}
}
