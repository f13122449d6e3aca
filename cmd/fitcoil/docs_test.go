package main

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "rewrite golden files and the outputs shown in documents")

// Every block of a document that begins with ```console shows commands, each on
// a line after "$ ", with what they print. The commands are run, from the top
// folder, and must print just that; a line "…" stands for any lines left out.
func TestDocumentsShowWhatCommandsPrint(t *testing.T) {
	t.Chdir("../..")
	documents, err := filepath.Glob("docs/*.md")
	if err != nil {
		t.Fatal(err)
	}
	commands := 0
	for _, name := range append(documents, "README.md") {
		old, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		text, n := rerun(t, name, string(old))
		commands += n
		if *update && text != string(old) {
			if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
	if commands == 0 {
		t.Error("no document shows a command")
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
		case same || *update && strings.Contains(shown, "…\n"):
			b.WriteString(shown)
			if !same {
				t.Errorf("%s:%d: %s prints something else:\n%s", name, i+1, line, printed)
			}
		case *update:
			b.WriteString(printed)
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
	words := strings.Fields(command)
	if words[0] != "fitcoil" {
		t.Fatalf("can't run %q", command)
	}
	var out, diagnostics bytes.Buffer
	if code := run(words[1:], streams{in: strings.NewReader(""), out: &out, err: &diagnostics}); code != 0 {
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
