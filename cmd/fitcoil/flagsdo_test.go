package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/coilsheet"
	"fitcoil/ioformat/figure"
	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/page"
	"fitcoil/ioformat/report"
	"fitcoil/ioformat/starter"
	"fitcoil/ioformat/waveform"
	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
)

// Trials are as many as asked for, of the seed asked for; profiles are told as they are, and drawn of
// six quantities at most; several logs have neither.
func TestExtrasByDirectCalls(t *testing.T) {
	inWired(t)
	w := wire(t, "few.csv", "", benchlog.Options{}, estimation.Session{}, "--monte-carlo", "1000", "--seed", "7")
	w.quoted()
	trials := report.Extra{MonteCarlo: w.r.MonteCarlo(fit.Trials{Most: 1000, Seed: 7, Workers: runtime.GOMAXPROCS(0), Done: func(int) {}})}
	answers(t, "fit few.csv --monte-carlo 1000 --seed 7 --json", func(out io.Writer) error { return report.FitJSON(out, w.r, trials, w.src) })
	answers(t, "fit few.csv --monte-carlo 1000 --seed 7 --csv", func(out io.Writer) error { return report.FitCSV(out, w.r, trials) })
	answers(t, "report few.csv --monte-carlo 1000 --seed 7 --csv -o -", func(out io.Writer) error { return report.FitCSV(out, w.r, trials) })
	answers(t, "report few.csv --monte-carlo 1000 --seed 7 -o -", func(out io.Writer) error { // its flags are those that another log would be fitted with
		return page.Write(out, w.r, page.Source{Source: w.src, Extra: trials, Version: version(), Comments: starter.Written(w.log.Comments), Flags: "",
			Command: "fitcoil report few.csv --monte-carlo 1000 --seed 7 -o page.html", NewPart: page.NewPart{Tolerance: 0.05, Uncertainty: w.u}})
	})
	w = wire(t, "few.csv", "", benchlog.Options{}, estimation.Session{}, "--profile")
	profiles, ok := w.r.Profiles(func(int, int) {})
	for i := range profiles {
		profiles[i].Quote()
	}
	extra := report.Extra{Profiles: profiles}
	if !ok || len(profiles) == 0 {
		t.Fatal("no profiles")
	}
	answers(t, "fit few.csv --profile --json", func(out io.Writer) error { return report.FitJSON(out, w.r, extra, w.src) })
	answers(t, "fit few.csv --profile --csv", func(out io.Writer) error { return report.FitCSV(out, w.r, extra) })
	answers(t, "fit few.csv --profile --full", func(out io.Writer) error {
		if err := report.FitText(out, w.r, decisions.Planned{}, w.r.Parts(), w.src, report.View{Full: true}); err != nil {
			return err
		}
		return report.ExtraText(out, extra, report.View{Full: true})
	})
	c, _ := asking(t, fitVerb(), "few.csv")
	var bar strings.Builder
	defer func(was time.Duration) { patience = was }(patience)
	c.terminal, c.bar, patience = true, &bar, 0
	e := must.Get(c.extra(w.r, asked{profile: true}, true, true)).In(t)
	if got := doneOf(bar.String()); got != "profiles, regions" {
		t.Errorf("a terminal is told of %q", got)
	}
	var names []string
	for _, f := range figures(w.r, e) {
		names = append(names, f.Name)
	}
	if n := len(w.r.Principal(6)); e.Surface == nil || len(e.Surface.Curves) != n || n < 5 || !slices.Contains(names, "profiles") {
		t.Errorf("%d quantities, figures %q", n, names)
	}
	if e := must.Get(c.extra(w.r, asked{profile: true}, false, true)).In(t); e.Surface != nil {
		t.Error("a surface that nobody draws")
	}
	for _, flag := range []string{"--profile", "--monte-carlo 1000", "--known-from x.json", "--plots p"} {
		if a := ask("", append([]string{"fit", "a.csv", "b.csv"}, strings.Fields(flag)...)...); a.code != exitUsage || !strings.HasSuffix(a.err, "are for one log; see fitcoil fit --help\n") {
			t.Errorf("%s: exit code %d, %s", flag, a.code, a.err)
		}
	}
}

// A log that tells of a primary and of losses has figures of both.
func TestFiguresOfPrimaryAndLosses(t *testing.T) {
	t.Chdir(t.TempDir())
	must.Do(t, os.WriteFile("p.csv", []byte("frequency [MHz],added [pF],core,primary,quality factor\n2.519,,,open,84\n1.937,2.2,,,88\n1.230,10,,,95\n2.566,,,shorted,80\n1.785,,rod,,60\n0.874,10,rod,,70\n1.846,,rod,shorted,58\n2.519,,,,84\n"), 0o666))
	c, _ := asking(t, fitVerb(), "p.csv")
	_, r, err := c.fitted("p.csv")
	must.Do(t, err)
	var names []string
	for _, f := range figures(r, report.Extra{}) {
		names = append(names, f.Name)
	}
	if !slices.Contains(names, "coupling") || !slices.Contains(names, "losses") || slices.Contains(names, "profiles") {
		t.Errorf("%q", names)
	}
}

// What is noticed of inputs is told once: in an answer for people among its warnings, else beside the
// answer, and if there is none after all; with --quiet not beside it.
func TestNoticesToldOnce(t *testing.T) {
	inWired(t)
	must.Do(t, os.WriteFile("states.csv", []byte("added [pF],fruit\n3.3,pear\n"), 0o666))
	const ofLog, ofSheet = "few.csv:7: the line begins with # and is left out", "s.csv:11: the permeability has no ±"
	for line, want := range map[string]struct{ log, sheet string }{ // told in the answer, beside it, or both
		"fit few.csv --coil s.csv --full":              {"in", "in"},
		"fit few.csv --coil s.csv --json":              {"in beside", "in beside"},
		"fit few.csv --coil s.csv --json --quiet":      {"in", "in"},
		"check few.csv":                                {"in", ""},
		"predict few.csv --coil s.csv core=rod --full": {"in", "in"},
		"report few.csv --coil s.csv -o -":             {"in beside", "in beside"},
		"fit few.csv --coil s.csv --known nut=1pF±5%":  {"beside", "beside"},
		"fit few.csv --known nut=1pF±5% --quiet":       {"", ""},
		"coil s.csv":        {"", "in"},
		"coil s.csv --json": {"", "in beside"},
		"coil s.csv --hand 1cm --hand 2cm --top-voltage": {"", ""},
		"log new.csv --coil s.csv":                       {"", "beside"},
		"next few.csv --coil s.csv --for L --json":       {"in beside", "in beside"},
		"budget few.csv --for L":                         {"in", ""},
	} {
		a := ask(".\n", strings.Fields(line)...)
		for text, want := range map[string]string{ofLog: want.log, ofSheet: want.sheet} {
			told := ""
			joined := strings.Join(strings.Fields(strings.ReplaceAll(a.out, "&#34;", `"`)), " ") // lines are broken
			if strings.Contains(joined, text) {
				told = "in"
			}
			if n := strings.Count(a.err, text); n == 1 {
				told = strings.TrimSpace(told + " beside")
			} else if n > 1 {
				t.Errorf("%s: told %d times beside the answer", line, n)
			}
			if told != want {
				t.Errorf("%s: %q is told %q, want %q\n%s", line, text, told, want, a.err)
			}
		}
	}
	for _, option := range []string{"", "--json"} {
		a := ask("", strings.Fields("predict few.csv --states states.csv "+option)...)
		if in, beside := strings.Contains(a.out, "fruit"), strings.Contains(a.err, "fruit"); !in || beside != (option != "") {
			t.Errorf("predict %s: a column not used is told in the answer: %v, beside: %v\n%s", option, in, beside, a.err)
		}
	}
}

// At the bench, a log is read and fitted with the flags given; what is at hand and wanted is in the
// proposals from the first.
func TestFlagsAtTheBench(t *testing.T) {
	inWired(t)
	far := strings.Replace(wiredLog, "1.146,", "1.160,", 1) // a misread one
	must.Do(t, os.WriteFile("a.csv", []byte(far), 0o666))
	plain := ask("", "fit", "a.csv").out
	for _, flags := range []string{"--lumped", "--robust", "--known inductance=1.27mH±0.01mH", "--known roof=2.8pF±0.01pF", "--tolerance 1%", "--coil s.csv"} {
		args := strings.Fields("a.csv " + flags)
		want := ask("", append([]string{"fit"}, args...)...).out
		got := ask("fit\n.\n", append([]string{"log"}, args...)...).out
		_, got, _ = strings.Cut(got, "> fit\n")
		got, _, _ = strings.Cut(got, "> .\n")
		w, g := quantitiesTold(want), quantitiesTold(got)
		if w != g || w == "" || w == quantitiesTold(plain) {
			t.Errorf("%s: at the bench\n%s\nas a command\n%s", flags, got, want)
		}
	}
	for goal, want := range map[string]string{"L": "\n  L is ", "C": "\n  C is "} {
		a := ask(".\n", "log", "a.csv", "--for", goal)
		if !strings.Contains(a.out, want) || strings.Count(a.out, " is ") != 1 {
			t.Errorf("for %s:\n%s", goal, a.out)
		}
	}
	for _, c := range []struct{ flags, says string }{{"--have 1nH", "--have: "}, {"--for luck", "--for: "}} {
		if a := ask(".\n", append([]string{"log", "a.csv"}, strings.Fields(c.flags)...)...); a.code != exitUsage || !strings.HasPrefix(a.err, "fitcoil: "+c.says) {
			t.Errorf("%s: exit code %d, %s", c.flags, a.code, a.err)
		}
	}
	loose, tight := ask(".\n", "log", "a.csv", "--for", "L", "--tolerance", "20%").out, ask(".\n", "log", "a.csv", "--for", "L", "--tolerance", "0.1%").out
	if loose == tight {
		t.Error("a tolerance changes nothing at the bench")
	}
}

// quantitiesTold is what an answer tells of the coil, its cores and parts.
func quantitiesTold(answer string) string {
	_, answer, _ = strings.Cut(answer, "\nCoil, bare, ")
	answer, _, _ = strings.Cut(answer, "\nLimited by ")
	return answer
}

// ringDown is a capture of n samples of a tone of 2.5 MHz that dies [s].
func ringDown(step, decay float64, n int) string {
	var b strings.Builder
	b.WriteString("time [s],CH1 [V]\n")
	for i := range n {
		s := float64(i) * step
		fmt.Fprintf(&b, "%.9f,%.4f\n", s, math.Exp(-s/decay)*math.Sin(2*math.Pi*2.5e6*s))
	}
	return b.String()
}

// A capture taken in at the bench is a reading of the state asked for: of a ring-down, or of a sweep;
// two are none, nor is one that may be an alias.
func TestCaptureAtTheBench(t *testing.T) {
	t.Chdir(t.TempDir())
	one := ringDown(1e-8, 5e-6, 2000)
	for name, content := range map[string]string{"ring.csv": one, "drive.csv": drive(), "twice.csv": one + strings.TrimPrefix(one, "time [s],CH1 [V]\n")} {
		must.Do(t, os.WriteFile(name, []byte(content), 0o666))
	}
	c, _ := asking(t, logVerb(), "log.csv")
	for _, name := range []string{"ring.csv", "drive.csv"} {
		row := must.Get(c.oneCapture(name, []string{"core=rod", "added=4.7pF"})).In(t)
		content, _, err := benchlog.Append(nil, "log", row)
		must.Do(t, err)
		r := must.Get(benchlog.Read(strings.NewReader(string(content)), "log", benchlog.Options{})).In(t).Readings
		if len(r) != 1 || r[0].Core != "rod" || len(r[0].Parts) != 1 || math.Abs(r[0].Frequency/2.5e6-1) > 1e-3 {
			t.Errorf("%s: %+v", name, r)
		}
	}
	if _, err := c.oneCapture("twice.csv", nil); err == nil || err.Error() != "twice.csv holds 2 captures; take them in one by one with fitcoil capture" {
		t.Error(err)
	}
	if c.args[0] != "log.csv" {
		t.Errorf("the log is now %q", c.args)
	}
}

// A row whose frequency may be that of an alias goes into a log by --force alone: 2.4 samples a cycle
// leave open which of two tones it was.
func TestAliasByForceAlone(t *testing.T) {
	t.Chdir(t.TempDir())
	must.Do(t, os.WriteFile("alias.csv", []byte(ringDown(1.7e-7, 3e-5, 600)), 0o666))
	line := []string{"capture", "alias.csv", "--row", "bare", "--append", "log.csv"}
	if a := ask("", line...); a.code != exitUnanswerable || !strings.HasPrefix(a.err, "fitcoil: alias.csv: not added to log.csv: only 2.35 samples per cycle") {
		t.Errorf("exit code %d, %s", a.code, a.err)
	}
	if _, err := os.Stat("log.csv"); err == nil {
		t.Error("a log is written")
	}
	if a := ask("", append(line, "--force")...); a.code != 0 || !strings.Contains(a.err, "note: alias.csv: only 2.35 samples per cycle") || !strings.Contains(a.err, "note: log.csv: 1 row added") {
		t.Errorf("exit code %d, %s", a.code, a.err)
	}
	if log := must.Get(benchlog.Read(strings.NewReader(text(t, "log.csv")), "log.csv", benchlog.Options{})).In(t); len(log.Readings) != 1 {
		t.Errorf("%+v", log.Readings)
	}
	c, _ := asking(t, logVerb(), "log.csv")
	if _, err := c.oneCapture("alias.csv", nil); err == nil || !strings.HasPrefix(err.Error(), "alias.csv: not added to ") {
		t.Error(err)
	}
}

// A value that --known gives is of a part of any log, or of a state asked of; the readings of two logs
// must be two.
func TestKnownOfAnyLog(t *testing.T) {
	inWired(t)
	must.Do(t, os.WriteFile("same.csv", []byte(wiredLog), 0o666))
	must.Do(t, os.WriteFile("less.csv", []byte(strings.Replace(wiredLog, "1.839,0.8,Roof,,,\n", "", 1)), 0o666))
	for line, want := range map[string]string{
		"fit a.csv less.csv --known roof=2.8pF±5%":            "",
		"fit less.csv a.csv --known roof=2.8pF±5%":            "",
		"compare less.csv b.csv --known roof=2.8pF±5%":        "",
		"predict a.csv added=nut --known nut=1pF±5%":          "",
		"fit less.csv --known roof=2.8pF±5%":                  "fitcoil: --known roof: neither a quantity nor a part on the top has this name",
		"fit less.csv --known roof=2pF±5% --known nut=1pF±5%": "fitcoil: --known nut: neither",
		"fit a.csv less.csv --known nut=1pF±5%":               "fitcoil: --known nut: neither",
		"predict a.csv added=4.7pF --known nut=1pF±5%":        "fitcoil: --known nut: neither",
		"next less.csv --for L --known roof=2.8pF±5%":         "fitcoil: --known roof: neither",
		"budget less.csv --for L --known roof=2.8pF±5%":       "fitcoil: --known roof: neither",
		"check less.csv --known roof=2.8pF±5%":                "fitcoil: --known roof: neither",
		"report less.csv -o - --known roof=2.8pF±5%":          "fitcoil: --known roof: neither",
		"fit a.csv less.csv same.csv":                         "same.csv: the same readings as a.csv (the same SHA-256, ",
	} {
		a := ask("", append(strings.Fields(line), "--quiet")...)
		if (a.code == 0) != (want == "") || !strings.HasPrefix(a.err, want) || want == "" && a.err != "" {
			t.Errorf("%s: exit code %d, %s", line, a.code, a.err)
		}
	}
}

// The figure of a sweep is drawn of its points, with what is drawn now; that of states of the
// predictions.
func TestFiguresByDirectCalls(t *testing.T) {
	inWired(t)
	w := wire(t, "few.csv", "s.csv", benchlog.Options{}, estimation.Session{})
	same := func(line, file string, f figure.Figure) {
		t.Helper()
		a := onTerminal(t, append(shellWords(line), "--plots", "p", "--format", "svg")...)
		if a.code != 0 || strings.Contains(line, "--sweep") && !strings.Contains(a.err, "\r3 of 3 drawings computed\n") {
			t.Fatalf("%s: %s", line, a.err)
		}
		if want := must.Get(f.Render("svg", chart.Light)).In(t); text(t, file) != string(want) {
			t.Errorf("%s: %s isn't the figure", line, file)
		}
	}
	p := decisions.PredictAll(w.r.Result, w.states(t, "core=rod", "hand=12cm"), w.s.Parts())
	same("predict few.csv --coil s.csv core=rod / hand=12cm", "p/predictions.svg", figure.Predictions(w.r, p, w.s.Parts()))
	s := must.Get(coilsheet.ParseSweep("beads=15..17")).In(t)
	var drawings []drawing.Drawing
	for _, v := range []float64{15, 16, 17} {
		drawings = append(drawings, must.Get(w.sheet.With(fmt.Sprintf("beads=%g", v))).In(t).Drawing())
		drawings[len(drawings)-1].Variants = nil
	}
	all := must.Get(drawing.PredictAll(drawings, func() {})).In(t)
	points := must.Get(decisions.Sweep(w.r.Result, w.session.Drawn, all, w.states(t, "core=rod")[0], w.extra())).In(t)
	same("predict few.csv --coil s.csv core=rod --sweep beads=15..17", "p/sweep.svg", figure.Rebuilds(s.Name, s.Base(), []float64{15, 16, 17}, 17, points))
}

// The hash of an input is that of all its bytes, however many were needed; what couldn't be read is
// named once.
func TestInputsByTheirBytes(t *testing.T) {
	t.Chdir(t.TempDir())
	must.Do(t, os.WriteFile("long", []byte("abc"+strings.Repeat("x", 10000)), 0o666))
	c, _ := asking(t, fitVerb(), "long")
	start, file, err := readHashed(c, "long", func(r io.Reader, name string) (string, error) {
		b := make([]byte, 3)
		_, err := io.ReadFull(r, b)
		return name + ":" + string(b), err
	})
	if err != nil || start != "long:abc" || file.SHA256 != hashed(t, "long", "").SHA256 {
		t.Errorf("%q, %+v, %v", start, file, err)
	}
	for err, want := range map[error]string{
		fmt.Errorf("log.csv: %w", errors.New("the disk is gone")): "can't read log.csv: the disk is gone",
		fmt.Errorf("log.csv: %w", fs.ErrPermission):               "can't read log.csv: you have no permission; ask its owner for it",
	} {
		if code, text := outcome(readFault("log.csv", err)); code != exitUnreadable || text != "fitcoil: "+want {
			t.Errorf("%d, %q", code, text)
		}
	}
	r := &rememberer{Reader: strings.NewReader("abc" + strings.Repeat("x", 3*waveform.KindSize))}
	b := make([]byte, waveform.KindSize/2+7)
	for err := error(nil); err == nil; {
		_, err = r.Read(b)
	}
	if len(r.start) != waveform.KindSize || string(r.start) != "abc"+strings.Repeat("x", waveform.KindSize-3) {
		t.Errorf("%d bytes are remembered", len(r.start))
	}
	for name, want := range map[string]string{"a.csv": "a.csv", "a b.csv": "FILE", "a(1).csv": "FILE", "it's": "FILE", "a)": "FILE", "a;b": "FILE", "ä-1_2.csv": "ä-1_2.csv", "a\tb": "FILE", `a"b`: "FILE", `a\b`: "FILE", "a$b": "FILE", "a&b": "FILE", "-": "-"} {
		if got := word(name); got != want {
			t.Errorf("%q is called %q, want %q", name, got, want)
		}
	}
}

// What is told of a log's reading is told to its reader: a log of very many readings has means that a
// misread one moves, unless --robust is given.
func TestReaderIsTold(t *testing.T) {
	for _, robust := range []bool{false, true} {
		for _, share := range []string{"", " common", " own"} {
			opt, _, err := (&call{opt: options{robust: robust, tolerance: "2%" + share}}).logOptions()
			_, want := benchlog.CutShare("2%" + share)
			if err != nil || opt.Robust != robust || opt.Share != want || opt.Tolerance != 0.02 || opt.Exact {
				t.Errorf("%v, %q: %+v, %v", robust, share, opt, err)
			}
		}
	}
}

// What to do next is planned with capacitors as they are bought, or of a per cent; where all is printed, nothing is.
func TestPlanWithNewCapacitors(t *testing.T) {
	inWired(t)
	for tolerance, u := range map[string]float64{"10%": 0.1 / 1.96, "0.5%": 0.005 / 1.96} {
		c, _ := asking(t, fitVerb(), "a.csv", "--tolerance", tolerance)
		in, r, err := c.fitted("a.csv")
		must.Do(t, err)
		bought := 0
		for _, s := range c.plan(r, in, inductance).Ranked {
			if s.Kind == decisions.ReadNew {
				as, better := math.Abs(s.Relative/u-1) < 1e-9, math.Abs(s.Relative/(0.01/1.96)-1) < 1e-9
				if as {
					bought++
				}
				if !as && !better {
					t.Errorf("%s: %+v", tolerance, s)
				}
			}
		}
		if bought == 0 {
			t.Errorf("%s: nothing is bought", tolerance)
		}
		for _, all := range []*bool{&c.opt.full, &c.opt.json} {
			*all = true
			if p := c.plan(r, in, inductance); p.Ranked != nil {
				t.Errorf("%+v", p)
			}
			*all = false
		}
	}
}
