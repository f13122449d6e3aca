package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"strings"
	"syscall"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/model/estimation"
)

// answer is what one command line gave.
type answer struct {
	code     int
	out, err string
}

// ask runs a command line in this process.
func ask(in string, args ...string) answer {
	var out, told bytes.Buffer
	code := run(args, streams{in: strings.NewReader(in), out: &out, err: &told})
	return answer{code, out.String(), told.String()}
}

// inDemo goes to a folder that holds the demo files.
func inDemo(t *testing.T) {
	t.Helper()
	folder := t.TempDir()
	must.Do(t, copyDemo(folder))
	t.Chdir(folder)
}

// With nothing to do, fitcoil says in a screenful what it can.
func TestOverviewFitsAScreen(t *testing.T) {
	a := ask("")
	lines := strings.Split(strings.TrimSuffix(a.out, "\n"), "\n")
	if a.code != exitAnswered || a.err != "" || len(lines) > 25 {
		t.Errorf("exit code %d, %d lines:\n%s%s", a.code, len(lines), a.out, a.err)
	}
	for _, l := range lines {
		if n := len([]rune(l)); n > 100 {
			t.Errorf("a line of %d characters: %s", n, l)
		}
	}
	for _, v := range verbs() {
		if shown := strings.Contains(a.out, "\n  "+v.line()); shown == v.hidden {
			t.Errorf("%s: hidden %v, shown %v", v.name, v.hidden, shown)
		}
	}
}

// Every example of every --help does what it says, at the top of the repository.
func TestHelpExamples(t *testing.T) {
	folder := t.TempDir()
	must.Do(t, copyDemo(filepath.Join(folder, "testdata")))
	t.Chdir(folder)
	examples := 0
	for _, v := range verbs() {
		if len(v.example) != 2 && v.takesFiles() || len(v.example) == 0 {
			t.Errorf("%s --help has %d examples", v.name, len(v.example))
		}
		for _, e := range v.example {
			examples++
			words := shellWords(e)
			if words[0] != "fitcoil" || words[1] != v.name {
				t.Errorf("%s --help has an example of something else: %s", v.name, e)
			}
			if n := len(words) - 2; words[n] == ">" {
				words = words[:n]
			}
			if a := ask("", words[1:]...); a.code != exitAnswered {
				t.Errorf("%s: exit code %d\n%s", e, a.code, a.err)
			}
		}
	}
	for _, line := range strings.Split(overview(), "\n") {
		if words := shellWords(line); len(words) > 2 && strings.HasSuffix(words[2], ".csv") {
			examples++
			if a := ask("", words[1:]...); a.code != exitAnswered {
				t.Errorf("%s: exit code %d\n%s", line, a.code, a.err)
			}
		}
	}
	if examples < 12 {
		t.Errorf("only %d examples", examples)
	}
}

// shellWords splits a command line as a shell would, of which it knows blanks
// and quotation marks.
func shellWords(line string) (words []string) {
	var word strings.Builder
	quote, inside := rune(0), false
	for _, r := range line + " " {
		switch {
		case quote != 0 && r == quote:
			quote = 0
		case quote == 0 && (r == '\'' || r == '"'):
			quote, inside = r, true
		case quote == 0 && r == ' ':
			if inside {
				words = append(words, word.String())
			}
			word.Reset()
			inside = false
		default:
			word.WriteRune(r)
			inside = true
		}
	}
	return words
}

// Texts of help keep to 25 lines of 79 columns, and a flag that none names is in the
// manual page.
func TestHelpWidth(t *testing.T) {
	if what := measure(overview(), 25, 80); what != "" {
		t.Errorf("fitcoil: %s", what)
	}
	for _, v := range verbs() {
		if what := measure(v.manual(), 25, 80); what != "" {
			t.Errorf("fitcoil %s --help: %s", v.name, what)
		}
		for _, f := range v.flagTable() {
			if !strings.Contains(v.manual(), "--"+f.Name) || !strings.Contains(manPage(), roff("--"+f.Name)) {
				t.Errorf("fitcoil %s --help or the manual page lacks --%s", v.name, f.Name)
			}
		}
		for _, line := range strings.Split(v.manual(), "\n") {
			if n := len([]rune(line)); n > 79 && !strings.HasPrefix(line, "Usage:") && !strings.HasPrefix(line, "  fitcoil") {
				t.Errorf("%s --help has a line of %d characters: %s", v.name, n, line)
			}
		}
		if v.brief == "" || strings.HasSuffix(v.brief, ".") {
			t.Errorf("%s: brief %q", v.name, v.brief)
		}
	}
}

var modified = regexp.MustCompile(`,\s*"modified": "[^"]*"`)

// A log on standard input gives what it gives from a file, but for its name.
func TestStandardInput(t *testing.T) {
	inDemo(t)
	log := must.Get(os.ReadFile("lighthouse.csv")).In(t)
	states := must.Get(os.ReadFile("planned.csv")).In(t)
	for _, c := range []struct{ in, args, file string }{
		{string(log), "fit -", "lighthouse.csv"},
		{string(log), "fit - --json", "lighthouse.csv"},
		{string(log), "check -", "lighthouse.csv"},
		{string(log), "check - --json", "lighthouse.csv"},
		{string(log), "predict - added=3.3pF core=rod", "lighthouse.csv"},
		{string(log), "predict - --reach 1.5MHz --by added --json", "lighthouse.csv"},
		{string(log), "next - --for L", "lighthouse.csv"},
		{string(log), "compare - rebuilt.csv", "lighthouse.csv"},
		{string(log), "compare rebuilt.csv -", "lighthouse.csv"},
		{string(states), "predict lighthouse.csv --states -", "planned.csv"},
		{string(states), "predict lighthouse.csv --states - --json", "planned.csv"},
	} {
		piped := strings.Fields(c.args)
		named := strings.Fields(strings.Replace(c.args+" ", " - ", " "+c.file+" ", 1))
		a, b := ask(c.in, piped...), ask("", named...)
		a.out = strings.NewReplacer("-: ", c.file+": ", `"-"`, `"`+c.file+`"`, "A: -:", "A: "+c.file+":", "B: -:", "B: "+c.file+":").Replace(a.out)
		for _, out := range []*string{&a.out, &b.out} { // a file was changed some time, standard input never
			*out = modified.ReplaceAllString(*out, "")
		}
		if !strings.Contains(c.args, "json") { // a name of another length is wrapped elsewhere
			plain := func(s string) string { return strings.Join(strings.Fields(s), " ") }
			a.out, b.out = plain(a.out), plain(b.out)
		}
		if a != b || a.code != exitAnswered || a.out == "" {
			t.Errorf("%s: exit codes %d and %d\n%s\n%s\n%s%s", c.args, a.code, b.code, a.out, b.out, a.err, b.err)
		}
	}
	for _, args := range []string{"compare - -", "predict - --states -"} {
		if a := ask(string(log), strings.Fields(args)...); a.code != exitUsage || !strings.Contains(a.err, "standard input can be read once only") {
			t.Errorf("%s: exit code %d, %s", args, a.code, a.err)
		}
	}
}

// failing is a stream that fails.
type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }
func (f failing) Read([]byte) (int, error)  { return 0, f.err }

func TestStreamsThatFail(t *testing.T) {
	inDemo(t)
	var told bytes.Buffer
	for _, c := range []struct {
		in   io.Reader
		out  error
		args string
		code int
		want string
	}{
		{nil, &os.PathError{Op: "write", Path: "/dev/stdout", Err: syscall.ENOSPC}, "fit lighthouse.csv", exitUnwritable,
			"fitcoil: can't write standard output: no space is left; free some, or choose another place\n"},
		{nil, syscall.ENOSPC, "fit lighthouse.csv --json", exitUnwritable,
			"fitcoil: can't write standard output: no space is left; free some, or choose another place\n"},
		{nil, syscall.ENOSPC, "check -h", exitUnwritable,
			"fitcoil: can't write standard output: no space is left; free some, or choose another place\n"},
		{nil, &os.PathError{Op: "write", Path: "|1", Err: syscall.EPIPE}, "fit lighthouse.csv", exitUnwritable, ""},
		{nil, io.ErrClosedPipe, "", exitUnwritable, ""},
		{failing{errors.New("the line is dead")}, nil, "fit -", exitUnreadable,
			"fitcoil: can't read standard input: the line is dead\n"},
		{failing{errors.New("the line is dead")}, nil, "predict lighthouse.csv --states -", exitUnreadable,
			"fitcoil: can't read standard input: the line is dead\n"},
	} {
		told.Reset()
		code := run(strings.Fields(c.args), streams{in: c.in, out: failing{c.out}, err: &told})
		if code != c.code || told.String() != c.want {
			t.Errorf("%s: exit code %d, %q; want %d, %q", c.args, code, told.String(), c.code, c.want)
		}
	}
}

// broken is a stream that panics, as code with a bug would.
type broken struct{}

func (broken) Write([]byte) (int, error) { panic("index out of\nrange") }

// A bug ends in one line and the exit code for it, not in a stack.
func TestPanicIsToldInOneLine(t *testing.T) {
	var out bytes.Buffer
	code := run([]string{"version"}, streams{out: broken{}, err: &out})
	told := regexp.MustCompile(`^fitcoil: this is a fault of fitcoil, not of yours: please report it with the command and its input \(index out of range, at manners_test\.go:[1-9][0-9]*\)\n$`)
	if code != exitInternal || !told.MatchString(out.String()) {
		t.Errorf("exit code %d, %q", code, out.String())
	}
	if code, text := outcome(errors.New("nobody expected this")); code != exitInternal ||
		text != "fitcoil: this is a fault of fitcoil, not of yours: please report it with the command and its input (nobody expected this)" {
		t.Errorf("exit code %d, %q", code, text)
	}
}

// A fit that found no answer says so in words for people who wind coils.
func TestUnsettledIsToldInPlainWords(t *testing.T) {
	technical := regexp.MustCompile("(?i)iteration|rounding|runaway|stalled|squares|slope|derivative|start|converge|finite")
	for _, status := range []fit.Status{fit.Unsolved, fit.RoundingLimited, fit.IterationLimit, fit.Stalled, fit.Runaway, fit.StartNotFinite} {
		err := fmt.Errorf("wrapped: %w", &estimation.NotConvergedError{Status: status})
		if code, text := outcome(err); code != exitUnanswerable || technical.MatchString(text) ||
			!strings.HasPrefix(text, "fitcoil: the readings lead to no answer to vouch for: ") || strings.Contains(text, "\n") {
			t.Errorf("%d: exit code %d, %s", status, code, text)
		}
	}
}

func TestVersionText(t *testing.T) {
	info := &debug.BuildInfo{Main: debug.Module{Path: "fitcoil", Version: "v1.2.3"}, Settings: []debug.BuildSetting{
		{Key: "vcs.revision", Value: "1284870abc"}, {Key: "vcs.time", Value: "2026-11-25T08:14:03Z"}, {Key: "vcs.modified", Value: "false"}}}
	const whole = "fitcoil v1.2.3\nrevision 1284870abc of 2026-11-25T08:14:03Z, unchanged\ngo"
	if got := versionText(info); !strings.HasPrefix(got, whole) {
		t.Errorf("got %q, want %q…", got, whole)
	}
	info.Settings[2].Value = "true"
	if got := versionText(info); !strings.Contains(got, "2026-11-25T08:14:03Z, with changes\n") {
		t.Errorf("got %q", got)
	}
	if got := versionText(&debug.BuildInfo{}); !strings.HasPrefix(got, "fitcoil of unknown version\ngo") {
		t.Errorf("got %q", got)
	}
}

// What a file lost on its way to the disk must not look like success: no verb
// writes files but by the functions that an interrupt waits for.
func TestFilesAreWrittenInOnePlace(t *testing.T) {
	sources, err := filepath.Glob("*.go")
	if err != nil || len(sources) < 10 {
		t.Fatal(sources, err)
	}
	for _, name := range sources {
		text := must.Get(os.ReadFile(name)).In(t)
		for _, call := range []string{"outfile.Write", "outfile.Replace", "os.WriteFile", "os.Create"} {
			if name != "output.go" && !strings.HasSuffix(name, "_test.go") && bytes.Contains(text, []byte(call+"(")) {
				t.Errorf("%s calls %s: use what output.go has", name, call)
			}
		}
	}
}

// What a page tells to type, beside a setting tried on it, fits the log as the page did.
func TestPageTellsHowItsLogWasFitted(t *testing.T) {
	inDemo(t)
	a := ask("", "report", "lighthouse.csv", "--coil", "lighthouse-coil.csv", "--known", "inductance=1.27mH±1%", "--quiet", "-o", "-")
	want := `data-flags="--coil lighthouse-coil.csv --known inductance=1.27mH±1%"`
	if a.code != exitAnswered || !strings.Contains(a.out, want) {
		t.Errorf("exit code %d, no %s", a.code, want)
	}
}
