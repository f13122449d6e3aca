package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/coilsheet"
	"fitcoil/ioformat/starter"
	"fitcoil/ioformat/waveform"
)

// Each verb has the flags that its question needs, and no text names one that there isn't.
func TestFlagsOfVerbs(t *testing.T) {
	const read, fitted, earlier, drawn, output = " tolerance known", " tolerance known coil lumped robust", " known-from new-bench", " plots format force", " full json quiet"
	want := map[string]string{
		"fit":     fitted + earlier + drawn + output + " csv monte-carlo profile seed",
		"predict": "states reach by have sweep" + fitted + earlier + " top-voltage" + drawn + output + " csv",
		"next":    "for have how-many list" + fitted + earlier + output + " csv",
		"budget":  "for" + fitted + earlier + output + " csv",
		"compare": fitted + output + " csv",
		"check":   read + output + " csv",
		"log":     "new have for" + fitted + " csv",
		"coil":    "hand top-voltage" + drawn + output + " csv",
		"capture": "column interval timebase row append" + drawn + output + " csv",
		"report":  "output" + fitted + earlier + " top-voltage monte-carlo profile seed csv force quiet",
	}
	all := map[string]bool{"help": true}
	for _, v := range verbs() {
		var names []string
		for _, f := range v.flagTable() {
			names = append(names, f.Name)
			all[f.Name] = true
		}
		if got := strings.Join(names, " "); got != strings.TrimSpace(want[v.name]) {
			t.Errorf("%s has %s, want %s", v.name, got, want[v.name])
		}
		delete(want, v.name)
	}
	if len(want) > 0 {
		t.Errorf("no verb %v", want)
	}
	flag := regexp.MustCompile(`--([a-z][a-z-]*)`)
	for _, v := range verbs() {
		texts := append([]string{v.brief, v.about, v.details, v.args, overview()}, v.example...)
		for _, f := range v.flagTable() {
			texts = append(texts, f.Text)
		}
		for _, m := range flag.FindAllStringSubmatch(strings.Join(texts, "\n"), -1) {
			if !all[m[1]] {
				t.Errorf("%s names the flag %s", v.name, m[0])
			}
		}
	}
}

// The manual page has each command with all that its help says, the exit codes that there are, and what to beware of.
func TestManPageSaysAll(t *testing.T) {
	page := manPage()
	open := false
	for line := range strings.SplitSeq(page, "\n") { // what is set as it stands ends
		if line == ".nf" || line == ".fi" {
			if open == (line == ".nf") {
				t.Errorf("%s where it stands already", line)
			}
			open = line == ".nf"
		}
	}
	if open {
		t.Error("the page ends as it stands")
	}
	var sections []string
	rest := page
	for _, v := range verbs() {
		if v.hidden {
			continue
		}
		begin := "\n.SH " + strings.ToUpper(v.name) + "\n" + roff(v.synopsis()) + "\n.PP\n" + paragraphs(v.about)
		_, after, found := strings.Cut(rest, begin)
		if !found {
			t.Errorf("%s isn't in the page, or not in the order of the commands", v.name)
			continue
		}
		rest = after
		own, _, _ := strings.Cut(after, "\n.SH ")
		sections = append(sections, v.name)
		last := 0
		for _, f := range v.flagTable() {
			at := strings.Index(own, ".TP\n.B "+roff(f.Usage())+"\n"+roff(f.Text)+"\n")
			if at < last {
				t.Errorf("%s: --%s isn't there, or not in its order", v.name, f.Name)
			}
			last = max(last, at)
		}
		if v.details != "" && !strings.HasPrefix(own, ".PP\n"+paragraphs(v.details)) {
			t.Errorf("%s lacks its details", v.name)
		}
		for _, e := range v.example {
			if !strings.Contains(own, "\n"+roff("  "+e)+"\n") {
				t.Errorf("%s lacks the example %s", v.name, e)
			}
		}
		rests := ".B fitcoil " + v.name + "\n"
		if usage := strings.TrimPrefix(v.usageLine(), "fitcoil "+v.name+" "); usage != v.usageLine() {
			rests += roff(usage) + "\n"
		}
		if !strings.Contains(page, rests) {
			t.Errorf("%s lacks its synopsis", v.name)
		}
	}
	if len(sections) < 10 {
		t.Errorf("%q", sections)
	}
	for _, want := range []string{
		"\n.SH NAME\nfitcoil \\- from a page of resonance frequencies to what the coil is\n",
		fmt.Sprintf("\n.SH EXIT STATUS\n%d answered, %d internal fault, %d usage, %d bad data, %d input\nunreadable, %d output unwritable, %d the readings can't answer, %d interrupted.\n",
			exitAnswered, exitInternal, exitUsage, exitBadData, exitUnreadable, exitUnwritable, exitUnanswerable, exitInterrupted),
		"\n.SH SAFETY\nThese coils make high voltage. It burns through air, keeps its charge,\n",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	for text, want := range map[string]string{"a\nb": "a\nb\n", "\na\n\n b\n  c\n\nd\n": "a\n.PP\n.nf\n b\n  c\n.fi\n.PP\nd\n", " a": "a\n"} {
		if got := paragraphs(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// A fault in standard input is told as one of standard input, whatever was read from it.
func TestStandardInputByItsName(t *testing.T) {
	inWired(t)
	for _, line := range []string{"fit -", "check -", "capture -", "coil -", "predict few.csv --states -", "fit few.csv --coil -", "fit few.csv --known-from -", "report - -o -", "compare - few.csv",
		"budget - --for L", "next - --for L", "predict - bare"} {
		a := ask("hello,you\n1,2\n", strings.Fields(line)...)
		told := ""
		for said := range strings.SplitSeq(strings.TrimSpace(a.err), "\n") {
			if !strings.HasPrefix(said, "fitcoil: note: ") {
				told += said
			}
		}
		if a.code != exitBadData || !strings.HasPrefix(told, "standard input:") || strings.Contains(told, "-:") || a.out != "" {
			t.Errorf("%s: exit code %d, %s", line, a.code, a.err)
		}
	}
	for line, log := range map[string]string{"fit -": "-", "coil -": "-", "check -": "-"} {
		content := map[bool]string{true: wiredSheet, false: fewLog}[line == "coil -"]
		a := ask(content, append(strings.Fields(line), "--json")...)
		if !strings.Contains(a.out, fmt.Sprintf("\"name\": %q", log)) || strings.Contains(a.err, "-:") || !strings.Contains(a.err, "standard input:") {
			t.Errorf("%s: %s\n%s", line, a.err, a.out[:min(len(a.out), 300)])
		}
	}
}

// Standard input is read once; of a file that is missing, the neighbour that was perhaps meant is named, in its folder.
func TestInputsThatAreNone(t *testing.T) {
	inWired(t)
	must.Do(t, os.MkdirAll("sub/nose", 0o777))
	must.Do(t, os.WriteFile("sub/evening.csv", nil, 0o666))
	must.Do(t, os.WriteFile("same.csv", []byte(fewLog), 0o666))
	must.Do(t, os.WriteFile("late.csv", []byte(strings.Repeat("# a remark\n", waveform.KindSize/2/11)+wiredSheet), 0o666))
	const once, none = "fitcoil: standard input can be read once only; put one of the inputs into a file; see fitcoil %s --help\n", "name one that exists, or - for standard input"
	for line, want := range map[string]string{
		"compare - -":              fmt.Sprintf(once, "compare"),
		"predict - --states -":     fmt.Sprintf(once, "predict"),
		"fit - --known-from -":     fmt.Sprintf(once, "fit"),
		"fit - -":                  fmt.Sprintf(once, "fit"),
		"fit sub/evenning.csv":     "fitcoil: can't read sub/evenning.csv: there is no such file; did you mean sub/evening.csv?\n",
		"fit ./sub/../few.cvs":     "fitcoil: can't read ./sub/../few.cvs: there is no such file; did you mean ./sub/../few.csv?\n",
		"fit sub/noze":             "fitcoil: can't read sub/noze: there is no such file; " + none + "\n",
		"fit few.csv --coil z.csv": "fitcoil: can't read z.csv: there is no such file; did you mean a.csv?\n",
		"fit late.csv":             "late.csv: this is a coil sheet, not a bench log; compute the coil with: fitcoil coil late.csv, or give it beside a log with --coil\n",
		"check few.csv b c":        "fitcoil: check takes LOG, but there is also \"b\"; see fitcoil check --help\n",
		"fit few.csv same.csv":     "same.csv: the same readings as few.csv (the same SHA-256, " + hashed(t, "few.csv", "").SHA256[:8] + "…); give each log once: read twice they would count twice\n",
		"fit sub":                  "fitcoil: can't read sub: it is a folder; name a file in it\n",
		"fit few.csv --coil sub":   "fitcoil: can't read sub: it is a folder; name a file in it\n",
	} {
		if a := ask(fewLog, append(strings.Fields(line), "--quiet")...); a.err != want || a.out != "" || (a.code == exitUsage) != strings.Contains(want, "; see fitcoil ") {
			t.Errorf("%s: exit code %d, %s", line, a.code, a.err)
		}
	}
}

// What is begun is a log and a sheet beside it, in the folder asked for; the commands told are of that log.
func TestBegunLogs(t *testing.T) {
	t.Chdir(t.TempDir())
	must.Do(t, os.Mkdir("sub", 0o777))
	for name, files := range map[string][2]string{"": {"log.csv", "log-coil.csv"}, "sub/my.csv": {"sub/my.csv", "sub/my-coil.csv"}, "plain": {"plain", "plain-coil"}, "./a.b.txt": {"./a.b.txt", "./a.b-coil.txt"}} {
		line := append([]string{"log", "--new"}, strings.Fields(name)...)
		a := ask("", line...)
		log := files[0]
		want := "wrote " + log + ", a log to fill in, and " + files[1] + ", a coil sheet\nFill in readings in a spreadsheet, or one by one with: fitcoil log " + log + "\nThen: fitcoil check " + log + "\n      fitcoil fit " + log + "\n      fitcoil next " + log + " --for L\n"
		if a != (answer{0, want, ""}) {
			t.Errorf("%q: %+v, want %q", name, a, want)
		}
		for i, content := range [][]byte{starter.Log, starter.Sheet} {
			if got := text(t, filepath.FromSlash(files[i])); got != string(content) {
				t.Errorf("%s: %q", files[i], got)
			}
		}
		if a := ask("", line...); a.code != exitUnwritable || a.err != "fitcoil: can't write "+filepath.Clean(log)+": it exists; choose another name, or overwrite it with --force\n" {
			t.Errorf("%q once more: %+v", name, a)
		}
	}
	for line, want := range map[string]string{
		"log --new -":         "2 fitcoil: log --new needs the name of a file to write; see fitcoil log --help\n",
		"log -":               "2 fitcoil: log needs the name of a file to write; see fitcoil log --help\n",
		"log --new --csv":     "2 fitcoil: --csv is for the readings of a log, and --new begins one without; see fitcoil log --help\n",
		"log --new a.csv b":   "2 fitcoil: log takes LOG, but there is also \"b\"; see fitcoil log --help\n",
		"log --new gone/a":    "",
		"log sub":             "4 fitcoil: can't read sub: it is a folder; name a file in it\n",
		"log --csv nothing":   "4 fitcoil: can't read nothing: there is no such file; name one that exists, or - for standard input\n",
		"log gone/b/log.csv ": "",
	} {
		if a := ask("", strings.Fields(line)...); want != "" && fmt.Sprintf("%d %s", a.code, a.err) != want {
			t.Errorf("%s: %d %s", line, a.code, a.err)
		}
	}
	if _, err := os.Stat("gone/a"); err != nil {
		t.Errorf("a folder that is missing is made: %v", err)
	}
}

// A line of a script is taken whole, however long, and shown as if typed; from 64 KiB on it is no line of readings.
func TestLongLines(t *testing.T) {
	t.Chdir(t.TempDir())
	note := strings.Repeat("a long remark ", 500) // several times what is read at once
	a := ask("2.519 note="+note+"\n", "log", "log.csv")
	if !strings.Contains(a.out, "\n> 2.519 note="+note+"\nline 2: ") || !strings.Contains(text(t, "log.csv"), strings.TrimSpace(note)) || !strings.HasSuffix(a.out, "\n> \nlog.csv holds 1 reading.\n") {
		t.Errorf("%+v", a)
	}
	for n, refused := range map[int]bool{1<<16 - 10: false, 1<<16 + 10: true} {
		a := ask(strings.Repeat("x", n)+"\n", "log", "log.csv")
		if (a.code == exitUsage) != refused || refused && a.err != "fitcoil: a line is longer than 65536 characters: is this a list of readings?\n" {
			t.Errorf("%d characters: exit code %d, %s", n, a.code, a.err)
		}
	}
	a = ask("2.518 bare", "log", "log.csv") // the last line may lack its end
	if a.code != 0 || !strings.HasSuffix(a.out, "log.csv holds 2 readings.\n") {
		t.Errorf("%+v", a)
	}
}

// A voltage at the top is at most 100 MV, and needs a coil that is drawn.
func TestTopVoltageOfACoilDrawn(t *testing.T) {
	inWired(t)
	must.Do(t, os.WriteFile("p.csv", []byte("quantity,value,±,unit\nturns,640,,\npart Roof,2.9,0.1,pF\ntop voltage,20,,kV\n"), 0o666))
	const needs = "fitcoil: --top-voltage needs --coil with a sheet that gives turns, winding diameter and winding length: voltages stand between turns\n"
	for line, want := range map[string]string{"": needs, " --coil p.csv": needs} {
		if a := ask("", strings.Fields("predict few.csv --top-voltage 20kV --quiet"+line)...); a.code != exitUsage || a.err != want {
			t.Errorf("%s: exit code %d, %s", line, a.code, a.err)
		}
	}
	sheet := must.Get(coilsheet.Read(strings.NewReader(wiredSheet), "s.csv")).In(t)
	for text, ok := range map[string]bool{"100000kV": true, "100001kV": false, "1V": true, "0V": false} {
		if _, err := (&call{opt: options{volts: text}}).topVoltage(sheet); (err == nil) != ok {
			t.Errorf("%s: %v", text, err)
		}
	}
}

// What a verb prints that has no input is all of it, whichever way it is asked for.
func TestPrintedWhole(t *testing.T) {
	want := map[string]string{"version": versionText(buildInfo()), "--version": versionText(buildInfo()), "man": manPage(), "": overview(), "help": overview(), "-h": overview(), "--help": overview(), "nonsense --help": overview(), "help -h": overview(), "help --help": overview(), "help --json fit": fitVerb().manual()}
	for _, shell := range []string{"bash", "zsh", "fish"} {
		want["completion "+shell] = completion(shell)
	}
	for _, v := range verbs() {
		for _, line := range []string{"help " + v.name, v.name + " --help", v.name + " -h", "--help " + v.name, "-h " + v.name, v.name + " a b --json -h"} {
			want[line] = v.manual()
		}
	}
	for line, want := range want {
		if a := ask("", strings.Fields(line)...); a != (answer{0, want, ""}) || want == "" {
			t.Errorf("%s: %+v, want %q", line, a, want)
		}
	}
	const beware = "\n\nSafety: these coils make high voltage. It burns through air, keeps its charge,\nmakes ozone and ultraviolet light, disturbs radio and can start fires. Take\nreadings at low power with a pickup probe held away from the coil, never by\ntouching. Local codes and licensed practice come before anything printed here.\n"
	if !strings.HasSuffix(overview(), "\n\nMore: fitcoil COMMAND --help, fitcoil man. \"-\" is standard input."+beware) {
		t.Errorf("the overview ends otherwise: %s", overview())
	}
	lines := strings.Split(strings.TrimPrefix(versionText(buildInfo()), "fitcoil "), "\n") // on one line without the machine
	if got, want := version(), strings.Join(lines[:len(lines)-2], ", "); got != want || strings.Contains(got, "\n") {
		t.Errorf("%q, want %q", got, want)
	}
}

// Of notices those that the answer will have are kept back, unless it is read by a program, or is a page or a dialogue.
func TestNoticesKeptBack(t *testing.T) {
	for _, c := range []struct {
		verb         *verb
		opt          options
		told, unsaid string
	}{
		{fitVerb(), options{}, "a c", "b d"}, {fitVerb(), options{quiet: true}, "", "b d"}, {fitVerb(), options{json: true}, "a b c d", ""}, {fitVerb(), options{csv: true}, "a c", "b d"},
		{reportVerb(), options{}, "a b c d", ""}, {logVerb(), options{}, "a b c d", ""}, {logVerb(), options{quiet: true}, "", ""},
	} {
		var told strings.Builder
		run := &call{streams: streams{err: &told}, verb: c.verb, opt: c.opt}
		run.noteRead([]string{"a", "b", "c", "d"}, []string{"x", "d", "b"})
		want := ""
		for _, n := range strings.Fields(c.told) {
			want += "fitcoil: note: " + n + "\n"
		}
		if told.String() != want || strings.Join(run.unsaid, " ") != c.unsaid {
			t.Errorf("%s %+v: told %q, want %q; kept back %q", c.verb.name, c.opt, told.String(), want, run.unsaid)
		}
	}
}

// Every answer for people is broken into lines as wide as the terminal, and has more to say with --full.
func TestWidthOfAnswers(t *testing.T) {
	inWired(t)
	must.Do(t, os.WriteFile("drive.csv", []byte(drive()), 0o666))
	for _, line := range []string{"fit a.csv", "check a.csv", "predict a.csv hand=12cm", "predict a.csv --reach 1.5MHz", "predict a.csv --reach 1.5MHz --by added", "next a.csv --for L", "budget a.csv --for L",
		"compare a.csv b.csv", "fit a.csv b.csv", "coil s.csv", "capture drive.csv"} {
		told := func(width int, flags ...string) string {
			var out strings.Builder
			if code := run(append(strings.Fields(line), flags...), streams{in: strings.NewReader(""), out: &out, err: io.Discard, width: width}); code != 0 {
				t.Fatalf("%s: exit code %d", line, code)
			}
			return out.String()
		}
		if narrow, wide := told(50), told(0); len(strings.Fields(narrow)) < 10 || strings.Count(narrow, "\n") <= strings.Count(wide, "\n") {
			t.Errorf("%s in 50 columns:\n%s\nand else\n%s", line, narrow, wide)
		} else if full := told(0, "--full"); !strings.Contains(line, "capture") && !strings.Contains(line, "--reach") && len(full) <= len(wide) {
			t.Errorf("%s --full tells no more:\n%s", line, full)
		}
	}
}

// What help says of units, of bounds and of how sure a number is, is what the program keeps to: the words on which
// that depends. (The bounds themselves: TestRefusals, TestDefaultsAreThoseTold.)
func TestClaimsOfHelp(t *testing.T) {
	for of, words := range map[string][]string{
		"capture --timebase":    {"relative uncertainty of the time base", "50ppm", "a standard uncertainty"},
		"capture --interval":    {"time between samples, such as 10ns", "where the file doesn't say it"},
		"capture --append":      {"made if missing"},
		"coil --hand":           {"distance of a hand from the top, as 10cm"},
		"fit --plots":           {"made if missing", "figures drawn by fitcoil are replaced"},
		"fit --json":            {"SI units throughout"},
		"fit --csv":             {"SI units throughout"},
		"fit --lumped":          {"the lumped model instead of the line"},
		"fit --robust":          {"give readings far off less weight, or none (MM-estimate)"},
		"fit --profile":         {"95 % intervals by profile likelihood"},
		"fit --monte-carlo":     {"at most this number of random trials", "JCGM 101"},
		"fit --tolerance":       {"parts for which the log states none", "common or own, and rectangular"},
		"fit --known":           {"inductance=770uH±2%", "core_gain:rod=1.6±0.1", "lead=0pF±0.02pF", "roof=2.8pF±5%"},
		"next --how-many":       {"up to 20"},
		"predict --states":      {"the columns of a log but the frequency", "- is standard input"},
		"coil --top-voltage":    {"peak voltage at the top when the coil works, as 20kV"},
		"report --output":       {"- for standard output"},
		"budget":                {"The squares of the contributions sum to the square of the\nstandard uncertainty", "(GUM, JCGM 100:2008, 5.1)", "less than\na thousandth of the variance"},
		"next":                  {"a reading with up\nto two parts", "by less than a twentieth is not listed"},
		"compare":               {"by Holm's test of all together", "of n differences tested at 95 % each, n/20 do"},
		"fit":                   {"With --full come 95 %\nintervals"},
		"capture":               {"seven captures\nof a steady tone or more"},
		"log":                   {"Each reading is on disk before\nit is answered"},
		"check":                 {"All faults are reported at once"},
		"predict":               {"What isn't named in a state is as in the bare coil"},
		"report":                {"Writes one page that needs nothing else"},
		"predict --top-voltage": {"peak voltage"},
	} {
		name, flag, _ := strings.Cut(of, " --")
		said := 0
		for _, v := range verbs() {
			if v.name != name {
				continue
			}
			text := v.about + "\n" + v.details
			for _, f := range v.flagTable() {
				if f.Name == flag {
					text = f.Text
				}
			}
			for _, w := range words {
				if said++; !strings.Contains(text, w) {
					t.Errorf("%s doesn't say %q: %s", of, w, text)
				}
			}
		}
		if said != len(words) {
			t.Errorf("%s: no such command", of)
		}
	}
}
