package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/coilsheet"
	"fitcoil/ioformat/figure"
	"fitcoil/ioformat/figure/chart"
)

// asking is a call of a verb with flags given, and what it tells beside the answer.
func asking(t *testing.T, v *verb, args ...string) (c *call, told *strings.Builder) {
	t.Helper()
	told = &strings.Builder{}
	c = v.newCall(streams{out: io.Discard, err: told})
	must.Do(t, c.flags.Parse(args))
	c.args = c.flags.Args()
	return c, told
}

// What says how a log is fitted is given again, in the order in which it was; where the answer goes
// is not.
func TestFlagsGivenAgain(t *testing.T) {
	c, _ := asking(t, reportVerb(), "a log.csv", "--seed", "3", "--profile", "--known", "inductance=1 mH", "-o", "page.html", "--robust", "--known", "x=1pF±5%", "--force", "--quiet", "--monte-carlo=1000", "--top-voltage", "20kV", "--new-bench")
	all := []string{"--seed", "3", "--profile", "--known", "'inductance=1 mH'", "--known", "x=1pF±5%", "--robust", "--monte-carlo", "1000", "--top-voltage", "20kV", "--new-bench"}
	if got := c.given(); !slices.Equal(got, all) {
		t.Errorf("%q", got)
	}
	if got := strings.Join(c.given("profile", "monte-carlo", "seed"), " "); got != "--known 'inductance=1 mH' --known x=1pF±5% --robust --top-voltage 20kV --new-bench" {
		t.Error(got)
	}
	if got := c.typed(); got != "fitcoil report 'a log.csv' "+strings.Join(all, " ")+" -o page.html" {
		t.Error(got)
	}
}

// Where an answer goes and how much of it is no way to fit.
func TestFlagsThatChangeNoFit(t *testing.T) {
	c, _ := asking(t, fitVerb(), "a.csv", "--full", "--json", "--plots", "p", "--csv", "--format", "svg", "--force", "--quiet", "--lumped")
	if got := c.program().Options; !slices.Equal(got, []string{"--lumped"}) {
		t.Errorf("%q", got)
	}
}

// A flag that may be given again takes a comma as part of its value, and says that it may be given again.
func TestFlagsGivenSeveralTimes(t *testing.T) {
	found := map[string]int{}
	for _, v := range verbs() {
		for _, f := range v.flagTable() {
			again := strings.HasSuffix(f.Text, "; may be given again")
			if again != f.Several {
				t.Errorf("%s --%s may be given again: %v, but says %q", v.name, f.Name, f.Several, f.Text)
			}
			if !again {
				continue
			}
			found[f.Name]++
			c, _ := asking(t, v, "--"+f.Name, "a, b=1", "--"+f.Name, "c")
			if got := c.given(); !slices.Equal(got, []string{"--" + f.Name, "'a, b=1'", "--" + f.Name, "c"}) {
				t.Errorf("%s: %q", v.name, got)
			}
		}
	}
	if len(found) != 3 || found["known"] < 8 || found["known-from"] < 5 || found["hand"] != 1 {
		t.Errorf("%v", found)
	}
}

// Words of states are told from changes of the drawing, whose names may have spaces.
func TestWordsAndChanges(t *testing.T) {
	words, changes := splitChanges([]string{"added=3.3pF", "ball diameter=30mm", "core=rod", "/", "bare hand=12cm", "bare", "beads=20", "turns=600", "winding  length = 1m", "covered=20..60%", "hand=1 m", "core=old rod"})
	if got := strings.Join(words, "|"); got != "added=3.3pF|core=rod|/|bare hand=12cm|bare|covered=20..60%|hand=1 m|core=old rod" {
		t.Errorf("words %q", got)
	}
	if got := strings.Join(changes, "|"); got != "ball diameter=30mm|beads=20|turns=600|winding  length = 1m" {
		t.Errorf("changes %q", got)
	}
}

// The voltage at the top is that of the flag, or else of the sheet.
func TestVoltageOfFlagOrSheet(t *testing.T) {
	sheet := must.Get(coilsheet.Read(strings.NewReader("quantity,value,unit\nturns,500,\ntop voltage,20,kV\n"), "sheet.csv")).In(t)
	for text, want := range map[string]float64{"": 20e3, "30kV": 30e3} {
		c := &call{opt: options{volts: text}}
		if got, err := c.topVoltage(sheet); got != want || err != nil {
			t.Errorf("%q: %g, %v", text, got, err)
		}
	}
	if got, err := (&call{}).topVoltage(nil); got != 0 || err != nil {
		t.Errorf("%g, %v", got, err)
	}
}

// Tolerances are from nothing to below all; a part has one value, however it is spelled.
func TestToldOfParts(t *testing.T) {
	for text, want := range map[string]float64{"0%": 0, "5%": 0.05, "99.9%": 0.999} {
		opt, _, err := (&call{opt: options{tolerance: text}}).logOptions()
		if err != nil || opt.Tolerance != want || opt.Exact != (want == 0) {
			t.Errorf("%s: %+v, %v", text, opt, err)
		}
	}
	for _, text := range []string{"100%", "-1%", "5", "x"} {
		if _, _, err := (&call{opt: options{tolerance: text}}).logOptions(); err == nil || !strings.Contains(err.Error(), "--tolerance: ") {
			t.Errorf("%s: %v", text, err)
		}
	}
	for _, known := range [][]string{{"roof=2pF±5%", "Roof=3pF±5%"}, {"4.7pF=4.6pF±1%", "4.7 pF=4.8pF±1%"}, {"roof=2pF±5%", "roof=2pF±5%"}} {
		if _, _, err := (&call{opt: options{known: known}}).logOptions(); err == nil || !strings.HasPrefix(strings.ToLower(err.Error()), "--known "+strings.ToLower(known[0][:3])) || !strings.Contains(err.Error(), ": given twice; give one value for a part") {
			t.Errorf("%q: %v", known, err)
		}
	}
	opt, values, err := (&call{opt: options{known: []string{"inductance=1mH±2%", "roof=2pF±5%", "wall=3pF±1pF", "core_gain:rod=1.6±0.1"}}}).logOptions()
	if err != nil || len(values) != 2 || len(opt.Parts) != 2 || opt.Parts["roof"].Capacitance != 2e-12 {
		t.Errorf("%+v, %+v, %v", opt.Parts, values, err)
	}
}

// A shell is offered each core, distance and part of a log once, as a state or as a goal.
func TestWordsOfALog(t *testing.T) {
	t.Chdir(t.TempDir())
	must.Do(t, os.WriteFile("log.csv", []byte("frequency [MHz],added [pF],core,hand [cm]\n2.5,,,\n2.4,roof,,\n1.9,4.7,,\n1.6,,rod,\n1.61,,rod,\n2.45,,,5\n2.49,,,20\n2.499,,,150\n"), 0o666))
	log := quietly("log.csv")
	if log == nil {
		t.Fatal("the log isn't read")
	}
	words := wordsOf(log, true)
	slices.Sort(words)
	if got := strings.Join(words, " "); got != "added=4.7pF added=roof core=rod hand=150cm hand=20cm hand=5cm" {
		t.Error(got)
	}
	if got := strings.Join(wordsOf(log, false), " "); got != "gain:rod part_capacitance:roof" {
		t.Error(got)
	}
	if quietly("none.csv") != nil || quietly(".") != nil {
		t.Error("what is no log is read")
	}
}

// Cores and parts of several logs are spelled as in the first, known values' too.
func TestLogsOfOneCoil(t *testing.T) {
	t.Chdir(t.TempDir())
	for i, names := range [][4]string{{"Roof", "Rod", "pF", "4.7"}, {"roof", "ROD", "nF", "0.0047"}} {
		must.Do(t, os.WriteFile(fmt.Sprintf("%d.csv", i), []byte(fmt.Sprintf("frequency [MHz],added [%s],core\n2.5,,\n2.4,%s,\n1.9,%s,\n1.6,,%s\n", names[2], names[0], names[3], names[1])), 0o666))
	}
	c, _ := asking(t, compareVerb(), "0.csv", "1.csv", "--known", "core_gain:ROD=1.6±0.1")
	in := must.Get(c.readLogs()).In(t)
	for i := range in {
		var cores, parts []string
		for _, r := range in[i].Session.Log.Readings {
			cores = append(cores, r.Core)
		}
		for _, p := range in[i].Session.Log.Parts {
			parts = append(parts, p.Name)
		}
		if cores[3] != "Rod" || parts[0] != "Roof" || parts[1] != "4.7 pF" || in[i].Known[0].Core != "Rod" {
			t.Errorf("log %d: cores %q, parts %q, known %+v", i, cores, parts, in[i].Known)
		}
	}
}

// Ways to a frequency slide in each core of the log, or the one that is in; the others stay out.
func TestWaysByCores(t *testing.T) {
	inDemo(t)
	log := must.Get(os.ReadFile("lighthouse.csv")).In(t)
	must.Do(t, os.WriteFile("two.csv", append(log, "1.90,0.8,,,slug,,,\n1.30,0.8,4.7,5,slug,,,\n"...), 0o666))
	for state, want := range map[string]string{"bare": "rod slug", "core=rod": "rod", "core=slug": "slug"} {
		a := ask("", "predict", "two.csv", state, "--reach", "1.7MHz", "--json")
		var told struct {
			Ways []struct {
				By string
				At struct{ State struct{ Core string } }
			}
		}
		if err := json.Unmarshal([]byte(a.out), &told); a.code != 0 || err != nil {
			t.Fatalf("%s: exit code %d, %v, %s", state, a.code, err, a.err)
		}
		var cores []string
		for _, w := range told.Ways {
			if w.By == "covered" {
				cores = append(cores, w.At.State.Core)
			}
		}
		if got := strings.Join(cores, " "); got != want {
			t.Errorf("from %s by %q, want %q", state, got, want)
		}
	}
}

// An input is never written over, whatever is asked.
func TestInputsStay(t *testing.T) {
	inDemo(t)
	before := must.Get(os.ReadFile("lighthouse.csv")).In(t)
	if a := ask("", "report", "lighthouse.csv", "-o", "./lighthouse.csv", "--force"); a.code != exitUnwritable || !strings.Contains(a.err, "it is an input of this run") {
		t.Errorf("exit code %d, %s", a.code, a.err)
	}
	if after := must.Get(os.ReadFile("lighthouse.csv")).In(t); !slices.Equal(before, after) {
		t.Error("the log was changed")
	}
}

// A coil has a figure of its voltage where one is asked for, in the format asked for alone.
func TestFiguresOfACoil(t *testing.T) {
	inDemo(t)
	must.Do(t, os.WriteFile("s.csv", []byte(wiredSheet), 0o666)) // which has a voltage
	for sheet, want := range map[string]string{"lighthouse-coil.csv": "section.svg voltage.svg", "./lighthouse-coil.csv": "section.svg", "s.csv": "section.svg voltage.svg"} {
		folder := t.TempDir()
		args := map[string][]string{"lighthouse-coil.csv": {"--top-voltage", "20kV"}}[sheet]
		if a := ask("", append([]string{"coil", sheet, "--plots", folder, "--format", "svg"}, args...)...); a.code != 0 {
			t.Fatalf("exit code %d, %s", a.code, a.err)
		}
		var names []string
		for _, e := range must.Get(os.ReadDir(folder)).In(t) {
			names = append(names, e.Name())
		}
		if got := strings.Join(names, " "); got != want {
			t.Errorf("%q: drew %s, want %s", args, got, want)
		}
		if args == nil {
			continue
		}
		drawn := must.Get(must.Get(coilsheet.Read(strings.NewReader(text(t, "lighthouse-coil.csv")), "lighthouse-coil.csv")).In(t).Drawing().Predict()).In(t)
		f := figure.DrawnVoltage(drawn, 20e3)
		if got := text(t, filepath.Join(folder, "voltage.svg")); got != string(must.Get(f.Render("svg", chart.Light)).In(t)) {
			t.Errorf("%q: the figure is another", args)
		}
	}
}

// A known value is of the core as the log spells it; a file is told with its time, standard input
// without.
func TestKnownAsTheLogSpells(t *testing.T) {
	t.Chdir(t.TempDir())
	must.Do(t, os.WriteFile("log.csv", []byte("frequency [MHz],added [pF],core\n2.5,,\n1.9,4.7,\n1.6,,Rod\n"), 0o666))
	c, _ := asking(t, fitVerb(), "log.csv", "--known", "core_gain:ROD=1.6±0.1")
	in := must.Get(c.readLog("log.csv")).In(t)
	if len(in.Known) != 1 || in.Known[0].Core != "Rod" {
		t.Errorf("%+v", in.Known)
	}
	info := must.Get(os.Stat("log.csv")).In(t)
	if f := in.src.Files[0]; !f.Modified.Equal(info.ModTime()) || f.Name != "log.csv" || f.SHA256 != in.log.SHA256 {
		t.Errorf("%+v", f)
	}
	if f := fileOf("-", "hash"); !f.Modified.IsZero() || f.SHA256 != "hash" {
		t.Errorf("%+v", f)
	}
}
