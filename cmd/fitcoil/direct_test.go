package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/coilsheet"
	"fitcoil/ioformat/page"
	"fitcoil/ioformat/report"
	"fitcoil/ioformat/starter"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// A log with a row left out by #, and a sheet without ± of the permeability: invented, after the
// coil in the model lighthouse. Both readers have something to warn of.
const (
	wiredLog = "# taken on 2026-01-31\nfrequency [MHz],frequency ± [kHz],added [pF],core,covered [%],hand [cm]\n2.519,0.8,,,,\n1.937,0.8,2.2,,,\n1.613,0.8,4.7,,,\n1.230,0.8,10,,,\n#1.231,0.8,10,,,\n" +
		"1.839,0.8,Roof,,,\n1.785,0.8,,Rod,,\n1.146,0.8,4.7,Rod,,\n0.874,0.8,10,Rod,,\n2.485,0.8,,,,10\n2.507,0.8,,,,20\n2.519,0.8,,,,\n"
	// fewLog is for what is fitted with the sheet, which takes long.
	fewLog = "# taken on 2026-01-31\nfrequency [MHz],frequency ± [kHz],added [pF],core,covered [%],hand [cm]\n2.519,0.8,,,,\n1.613,0.8,4.7,,,\n1.785,0.8,,Rod,,\n1.146,0.8,4.7,Rod,,\n#1.231,0.8,10,,,\n" +
		"1.839,0.8,Roof,,,\n2.485,0.8,,,,10\n"
	wiredSheet = "quantity,value,±,unit\nturns,640,,\nwinding diameter,28.3,0.1,mm\nwinding length,240,0.5,mm\nwire diameter,0.32,0.01,mm\nball diameter,18,0.1,mm\nbead diameter,16,0.1,mm\n" +
		"bead length,10,0.1,mm\nbead spacing,4,0.3,mm\nbead count,17,,\nbead permeability,120,,\nbead start,2,0.5,mm\ncore,Rod,,\ntop voltage,20,,kV\n"
)

// wired is what a command should make of its inputs, by direct calls of the packages below.
type wired struct {
	session estimation.Session
	sheet   *coilsheet.Sheet
	log     *benchlog.Log
	s       *benchlog.States
	r       *model.Result
	src     report.Source
	u       float64 // of a new part
}

// hashed is an input as answers name it.
func hashed(t *testing.T, name, day string) report.File {
	t.Helper()
	sum := sha256.Sum256(must.Get(os.ReadFile(name)).In(t))
	return report.File{Name: name, SHA256: hex.EncodeToString(sum[:]), Dated: day, Modified: must.Get(os.Stat(name)).In(t).ModTime()}
}

// wire reads and fits a log, with a sheet unless its name is empty.
func wire(t *testing.T, log, sheet string, opt benchlog.Options, how estimation.Session, options ...string) *wired {
	t.Helper()
	w := &wired{session: how, u: opt.StandardUncertainty()}
	files := []report.File{hashed(t, log, "2026-01-31")}
	var warnings []string
	if sheet != "" {
		w.sheet = must.Get(coilsheet.Read(strings.NewReader(text(t, sheet)), sheet)).In(t)
		warnings, files = w.sheet.Notices, append(files, hashed(t, sheet, ""))
		if len(warnings) != 1 || !strings.Contains(warnings[0], "the permeability has no ±") {
			t.Fatalf("%q", warnings)
		}
	}
	w.log = must.Get(benchlog.Read(strings.NewReader(text(t, log)), log, opt)).In(t)
	if n := len(w.log.Warnings); n != 1 || !strings.Contains(w.log.Warnings[0], "the line begins with # and is left out") {
		t.Fatalf("%q", w.log.Warnings)
	}
	w.session.Log = w.log.Log
	if w.sheet != nil {
		must.Do(t, w.sheet.Tell(&w.session))
	}
	w.r = must.Get(model.Fit(w.session)).In(t)
	w.s = w.log.States()
	w.src = report.Source{Log: log, SHA256: files[0].SHA256, Program: &report.Program{Version: version(), Options: options}, Files: files, Warnings: slices.Concat(warnings, w.log.Warnings)}
	return w
}

// states parses states as they are typed.
func (w *wired) states(t *testing.T, typed ...string) (list []readings.State) {
	t.Helper()
	for _, text := range typed {
		if text == "bare" {
			list = append(list, readings.Bare())
			continue
		}
		list = append(list, must.Get(w.s.Parse(strings.Fields(text))).In(t))
	}
	return list
}

// next plans n readings for a quantity, with what is at hand.
func (w *wired) next(want decisions.Measurand, n int, at decisions.Bench) decisions.Planned {
	at.Buy, at.Tolerance = true, w.u
	return decisions.Next(w.r.Result, want, decisions.Candidates(w.r.Result, want, at), at.Parts, n)
}

// extra are the parts that the log doesn't have.
func (w *wired) extra() []readings.Part { return w.s.Parts()[len(w.r.Parts()):] }

// quoted replaces linear intervals by profiles where those are told.
func (w *wired) quoted() {
	for _, e := range w.r.Curved() {
		p := w.r.ProfileOf(e)
		p.Quote()
	}
}

var inductance = decisions.Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}, State: readings.Bare()}

// answers is compared with what direct calls print.
func answers(t *testing.T, line string, direct func(out io.Writer) error) {
	t.Helper()
	var want bytes.Buffer
	must.Do(t, direct(&want))
	a := ask("", shellWords(line)...)
	if a.code == 0 && a.out == want.String() && a.out != "" {
		return
	}
	got, direct1 := strings.Split(a.out, "\n"), strings.Split(want.String(), "\n")
	i := 0
	for i < min(len(got), len(direct1)) && got[i] == direct1[i] {
		i++
	}
	t.Errorf("%s: exit code %d %s\nline %d is\n%s\nand by direct calls\n%s", line, a.code, a.err, i+1, strings.Join(got[i:min(i+2, len(got))], "\n"), strings.Join(direct1[i:min(i+2, len(direct1))], "\n"))
}

func inWired(t *testing.T) {
	t.Helper()
	t.Chdir(t.TempDir())
	for name, content := range map[string]string{"a.csv": wiredLog, "few.csv": fewLog, "s.csv": wiredSheet,
		"b.csv":       strings.NewReplacer("2.519,", "2.509,", "Rod", "ROD", "Roof", "roof").Replace(wiredLog),
		"planned.csv": "added [pF],core\n3.3,\n,Rod\n"} {
		must.Do(t, os.WriteFile(name, []byte(content), 0o666))
	}
}

// What fit, check, predict and report print is what the packages make of log, flags and states; the
// answer in brief has no interval, and so none by profile likelihood.
func TestFitAndPredictByDirectCalls(t *testing.T) {
	inWired(t)
	flags := []string{"--known", "core_gain:ROD=1.97±0.05", "--known", "roof=2.8pF±0.1pF", "--tolerance", "4%"}
	w := wire(t, "a.csv", "", wiredOptions, estimation.Session{Known: []quantities.Known{wiredGain}}, flags...)
	brief, full := report.View{}, report.View{Full: true}
	with := " a.csv " + strings.Join(flags, " ")
	answers(t, "fit"+with, func(out io.Writer) error {
		return report.FitText(out, w.r, w.next(inductance, 1, decisions.Bench{}), w.r.Parts(), w.src, brief)
	})
	list := w.states(t, "added=3.3pF core=rod", "hand=12cm")
	p := report.Predictions{Parts: w.s.Parts(), List: decisions.PredictAll(w.r.Result, list, w.s.Parts())}
	two := "predict" + with + " added=3.3pF core=rod / hand=12cm"
	answers(t, two+" --json", func(out io.Writer) error { return report.PredictJSON(out, w.r, p, w.src) })
	answers(t, two+" --csv", func(out io.Writer) error { return report.PredictCSV(out, p) })
	answers(t, two, func(out io.Writer) error {
		return report.PredictText(out, w.r, p, decisions.Planned{}, w.src, brief)
	})
	one := p
	one.List = p.List[:1]
	plan := w.next(decisions.Measurand{Key: quantities.Key{Name: "frequency"}, State: list[0]}, 1, decisions.Bench{Parts: w.extra()})
	for option, plan := range map[string]decisions.Planned{"": plan, " --full": {}} {
		answers(t, "predict"+with+" added=3.3pF core=rod"+option, func(out io.Writer) error {
			return report.PredictText(out, w.r, one, plan, w.src, report.View{Full: option != ""})
		})
	}
	reached := decisions.Reach(w.r.Result, 1.2e6, w.states(t, "core=rod")[0], w.extra(), decisions.ByAdded, w.u)
	by := w.src
	by.Program = &report.Program{Version: version(), Options: append(slices.Clone(flags), "--reach", "1.2MHz", "--by", "added")}
	reach := "predict" + with + " core=rod --reach 1.2MHz --by added"
	w.s = w.log.States() // without the part of the states before
	answers(t, reach+" --json", func(out io.Writer) error { return report.ReachJSON(out, w.r, reached, w.s.Parts(), by) })
	answers(t, reach+" --csv", func(out io.Writer) error { return report.ReachCSV(out, reached, w.s.Parts()) })
	answers(t, reach, func(out io.Writer) error { return report.ReachText(out, w.r, reached, w.s.Parts(), by, brief) })
	for _, log := range []string{"check" + with + " --json", "check" + with + " --csv", "log" + with + " --csv"} {
		answers(t, log, func(out io.Writer) error {
			if strings.HasSuffix(log, "--csv") {
				return report.CheckCSV(out, w.log.Log)
			}
			return report.CheckJSON(out, w.log.Log, w.src)
		})
	}
	w.quoted() // from here on intervals are told
	answers(t, "fit"+with+" --csv", func(out io.Writer) error { return report.FitCSV(out, w.r, report.Extra{}) })
	answers(t, "report"+with+" --csv -o -", func(out io.Writer) error { return report.FitCSV(out, w.r, report.Extra{}) })
	answers(t, "fit"+with+" --full", func(out io.Writer) error {
		return report.FitText(out, w.r, decisions.Planned{}, w.r.Parts(), w.src, full)
	})
}

var (
	wiredGain    = quantities.Known{Key: quantities.Key{Name: quantities.CoreGain, Core: "Rod"}, Value: 1.97, Uncertainty: 0.05}
	wiredOptions = benchlog.Options{Tolerance: 0.04, Parts: map[string]benchlog.PartValue{"Roof": {Capacitance: 2.8e-12, Uncertainty: 0.1e-12 / 1.96}}} // a bound that 95 % keep
)

// With a sheet, answers have its drawing, its voltage unless the flag gives one, and the warnings of
// both inputs, the sheet's first.
func TestWithSheetByDirectCalls(t *testing.T) {
	inWired(t)
	flags := []string{"--coil", "s.csv", "--known", "core_gain:ROD=1.97±0.05", "--known", "roof=2.8pF±0.1pF", "--tolerance", "4%"}
	w := wire(t, "few.csv", "s.csv", wiredOptions, estimation.Session{Known: []quantities.Known{wiredGain}}, flags...)
	with := " few.csv " + strings.Join(flags, " ")
	p := report.Predictions{Parts: w.s.Parts(), List: decisions.PredictAll(w.r.Result, w.states(t, "core=rod", "bare"), w.s.Parts()), Volts: 20e3}
	answers(t, "predict"+with+" core=rod / bare --json", func(out io.Writer) error { return report.PredictJSON(out, w.r, p, w.src) })
	p.Volts = 35e3
	flag := w.src
	flag.Program = &report.Program{Version: version(), Options: append(slices.Clone(flags), "--top-voltage", "35kV")}
	answers(t, "predict"+with+" core=rod / bare --top-voltage 35kV", func(out io.Writer) error {
		return report.PredictText(out, w.r, p, decisions.Planned{}, flag, report.View{})
	})
	w.quoted()
	answers(t, "fit"+with+" --json", func(out io.Writer) error { return report.FitJSON(out, w.r, report.Extra{}, w.src) })
	answers(t, "report"+with+" -o -", func(out io.Writer) error {
		return page.Write(out, w.r, page.Source{Source: w.src, Volts: 20e3, Version: version(), Comments: starter.Written(w.log.Comments),
			Command: "fitcoil report" + with + " -o page.html", Flags: strings.Join(flags, " "),
			NewPart: page.NewPart{Tolerance: 0.04, Uncertainty: w.u}})
	})
}

// The states of the command line come before those of a file, those of a file in their order.
func TestStatesInOrder(t *testing.T) {
	inWired(t)
	w := wire(t, "a.csv", "", benchlog.Options{}, estimation.Session{}, "--states", "planned.csv")
	list := w.states(t, "hand=12cm", "added=4.7pF", "added=3.3pF", "core=rod")
	p := report.Predictions{Parts: w.s.Parts(), List: decisions.PredictAll(w.r.Result, list, w.s.Parts())}
	answers(t, "predict a.csv hand=12cm / added=4.7pF --states planned.csv --csv", func(out io.Writer) error { return report.PredictCSV(out, p) })
}

// How a log is fitted is as the flags say: --lumped, --robust, a tolerance of all parts in common.
func TestWaysOfFittingByDirectCalls(t *testing.T) {
	inWired(t)
	for line, c := range map[string]struct {
		opt benchlog.Options
		how estimation.Session
	}{
		"--lumped":                         {how: estimation.Session{Lumped: true}},
		"--robust":                         {benchlog.Options{Robust: true}, estimation.Session{Robust: true}},
		"--tolerance '3% own'":             {opt: benchlog.Options{Tolerance: 0.03, Share: share(t, "3% own")}},
		"--tolerance '3% common'":          {opt: benchlog.Options{Tolerance: 0.03, Share: share(t, "3% common")}},
		"--tolerance 0%":                   {opt: benchlog.Options{Exact: true}},
		"--known inductance=1.27mH±0.02mH": {how: estimation.Session{Known: []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.27e-3, Uncertainty: 0.02e-3}}}},
	} {
		w := wire(t, "a.csv", "", c.opt, c.how, shellWords(line)...)
		w.quoted()
		w.src.Program.Options = pasted(w.src.Program.Options)
		answers(t, "fit a.csv --json "+line, func(out io.Writer) error { return report.FitJSON(out, w.r, report.Extra{}, w.src) })
	}
}

func share(t *testing.T, typed string) benchlog.Share {
	_, s := benchlog.CutShare(typed)
	return s
}

// What next, budget, compare, coil and the consensus of several logs print is what the packages make
// of it.
func TestDecisionsByDirectCalls(t *testing.T) {
	inWired(t)
	plain := func(log string, f ...string) *wired {
		return wire(t, log, "", benchlog.Options{}, estimation.Session{}, f...)
	}
	w := plain("a.csv", "--for", "L", "--have", "22pF,4.7pF±1%,33pF±2%", "--how-many", "2", "--list", "3", "--csv")
	at := decisions.Bench{}
	for i, part := range []string{"22pF", "4.7pF±1%", "33pF±2%"} {
		m, known, err := w.s.Have(part)
		if err != nil || known != (i == 1) {
			t.Fatalf("%s: known %v, %v", part, known, err)
		}
		if known {
			at.Measured = append(at.Measured, m)
		}
	}
	at.Parts = w.extra()
	if len(at.Parts) != 2 {
		t.Fatalf("%+v", at.Parts)
	}
	plan := w.next(inductance, 2, at)
	line := "next a.csv --for L --have 22pF,4.7pF±1%,33pF±2% --how-many 2 --list 3"
	w.src.Program.Options = w.src.Program.Options[:8]
	answers(t, line+" --json", func(out io.Writer) error { return report.NextJSON(out, w.r, plan, w.s.Parts(), w.src) })
	answers(t, line+" --csv", func(out io.Writer) error { return report.NextCSV(out, plan, w.s.Parts()) })
	answers(t, line, func(out io.Writer) error {
		return report.NextText(out, w.r, plan, w.s.Parts(), 3, w.src, report.View{})
	})

	w = plain("a.csv", "--for", "'frequency@added=3.3pF,core=rod'")
	state := w.states(t, "added=3.3pF core=rod")[0]
	e, inputs := w.r.FrequencyBudget(state, w.extra())
	b := report.Budget{Estimate: &e, Inputs: inputs, State: &state, Parts: w.s.Parts()}
	line = "budget a.csv --for frequency@added=3.3pF,core=rod"
	answers(t, line+" --json", func(out io.Writer) error { return report.BudgetJSON(out, w.r, b, w.src) })
	answers(t, line+" --csv", func(out io.Writer) error { return report.BudgetCSV(out, b) })
	answers(t, line, func(out io.Writer) error { return report.BudgetText(out, w.r, b, w.src, report.View{}) })
	for _, c := range [][2]string{{"L", quantities.EffectiveInductance}, {"C", quantities.EffectiveCapacitance}} {
		w = plain("a.csv", "--for", c[0])
		w.quoted()
		b = report.Budget{Estimate: w.r.Find(quantities.Key{Name: c[1]})}
		b.Inputs = w.r.Budget(b.Estimate)
		answers(t, "budget a.csv --json --for "+c[0], func(out io.Writer) error { return report.BudgetJSON(out, w.r, b, w.src) })
	}

	// In the second log core and roof are spelled as in the first.
	v := []*wired{plain("a.csv"), plain("b.csv")}
	second := must.Get(benchlog.Read(strings.NewReader(strings.NewReplacer("ROD", "Rod", "roof", "Roof").Replace(text(t, "b.csv"))), "b.csv", benchlog.Options{})).In(t)
	v[1].r = must.Get(model.Fit(estimation.Session{Log: second.Log})).In(t)
	r, src := [2]*model.Result{v[0].r, v[1].r}, [2]report.Source{v[0].src, v[1].src}
	changes := decisions.Compare(r[0].Result, r[1].Result)
	answers(t, "compare a.csv b.csv --json", func(out io.Writer) error { return report.CompareJSON(out, changes, r, src[0], src[1]) })
	answers(t, "compare a.csv b.csv --csv", func(out io.Writer) error { return report.CompareCSV(out, changes) })
	answers(t, "compare a.csv b.csv", func(out io.Writer) error { return report.CompareText(out, changes, r, src, report.View{}) })
	agreed := decisions.Agree([]*estimation.Result{r[0].Result, r[1].Result})
	answers(t, "fit a.csv b.csv --json", func(out io.Writer) error { return report.ConsensusJSON(out, r[:], agreed, src[:]) })
	answers(t, "fit a.csv b.csv --csv", func(out io.Writer) error { return report.ConsensusCSV(out, r[:], agreed, src[:]) })
	answers(t, "fit a.csv b.csv", func(out io.Writer) error { return report.ConsensusText(out, r[:], agreed, src[:], report.View{}) })
}

// What coil prints is the drawing with all hands asked for, the voltage of the flag or else of the
// sheet, and the notice of the sheet.
func TestCoilByDirectCalls(t *testing.T) {
	inWired(t)
	sheet := must.Get(coilsheet.Read(strings.NewReader(wiredSheet), "s.csv")).In(t)
	drawn := must.Get(sheet.Drawing().Predict(0.1, 0.2)).In(t)
	cross := must.Get(sheet.Drawing().CrossCheck()).In(t)
	for options, volts := range map[string]float64{"--hand 10cm --hand 20cm": 20e3, "--hand 10cm --hand 20cm --top-voltage 30kV": 30e3} {
		src := report.Source{Log: "s.csv", Warnings: sheet.Notices, Program: &report.Program{Version: version(), Options: strings.Fields(options)}, Files: []report.File{hashed(t, "s.csv", "")}}
		answers(t, "coil s.csv --json "+options, func(out io.Writer) error { return report.CoilJSON(out, drawn, cross, volts, src) })
		answers(t, "coil s.csv --csv "+options, func(out io.Writer) error { return report.CoilCSV(out, drawn) })
		answers(t, "coil s.csv "+options, func(out io.Writer) error {
			return report.CoilText(out, drawn, cross, volts, src, report.View{})
		})
	}
}
