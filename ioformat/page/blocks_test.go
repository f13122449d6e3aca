package page

import (
	"bytes"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/coilsheet"
	"fitcoil/ioformat/figure"
	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// museum fits the log that has a primary and quality factors, with the sheet of what the coil is
// made of.
func museum(t *testing.T, sheeted bool) *model.Result {
	t.Helper()
	if sheeted && drawnMuseum != nil {
		return drawnMuseum
	}
	text := must.Get(os.ReadFile("../../testdata/lighthouse-whole.csv")).In(t)
	log := must.Get(benchlog.Read(bytes.NewReader(text), "whole.csv", benchlog.Options{})).In(t)
	s := estimation.Session{Log: log.Log}
	if sheeted {
		f := must.Get(os.Open("../../testdata/lighthouse-made-of.csv")).In(t)
		defer f.Close()
		sheet := must.Get(coilsheet.Read(f, "made-of.csv")).In(t)
		must.Do(t, sheet.Tell(&s))
		drawnMuseum = mustFit(t, s)
		return drawnMuseum
	}
	return mustFit(t, s)
}

// drawnMuseum is the fit with the sheet, which takes long: tests share it, and change nothing of it.
var drawnMuseum *model.Result

// sectionOf returns the section of a page with that heading; nil without one.
func sectionOf(root *node, title string) *node {
	for _, s := range root.all("section") {
		if h := s.all("h2"); len(h) == 1 && h[0].words() == title {
			return s
		}
	}
	return nil
}

// cell returns that of the row whose head begins with name; column 0 is the first behind it.
func cell(t *testing.T, s *node, name string, column int) string {
	t.Helper()
	for _, tr := range s.all("tr") {
		if th := tr.all("th"); len(th) > 0 && strings.HasPrefix(th[0].words(), name) && len(tr.all("td")) > column {
			return tr.all("td")[column].words()
		}
	}
	t.Errorf("no row %q in %q", name, s.words())
	return ""
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	first, _, _ := strings.Cut(strings.ReplaceAll(text, "\u00a0", " "), " ")
	v, err := strconv.ParseFloat(first, 64)
	if err != nil {
		t.Errorf("%q is no number", text)
	}
	return v
}

// Coupling, losses and voltage have blocks of their own where log and sheet tell of them, with
// the numbers of the fit and of its predictions, and nowhere else.
func TestBlocks(t *testing.T) {
	r := museum(t, true)
	const volts = 20e3
	root := parse(t, writtenBy(t, r, Source{Volts: volts}))
	coupling, losses, voltage := sectionOf(root, "Coupling of the primary"), sectionOf(root, "Losses"), sectionOf(root, "Voltage")
	if coupling == nil || losses == nil || voltage == nil {
		t.Fatal("a block is missing")
	}
	for name, key := range map[string]quantities.Key{
		"coupling at resonance": {Name: quantities.CouplingAtResonance}, "coupling of windings": {Name: quantities.CouplingOfWindings},
		"coupling at resonance, core rod": {Name: quantities.CouplingAtResonance, Core: "rod"}, "coupling of windings, core rod": {Name: quantities.CouplingOfWindings, Core: "rod"},
	} {
		if e := r.Find(key); !(math.Abs(number(t, cell(t, coupling, name, 0))-e.Value) <= e.Uncertainty/10) {
			t.Errorf("%s: %s, want %g", name, cell(t, coupling, name, 0), e.Value)
		}
	}
	for name, key := range map[string]quantities.Key{"winding": {Name: quantities.QualityWinding}, "dielectric": {Name: quantities.QualityDielectric}, "core rod": {Name: quantities.QualityCore, Core: "rod"}} {
		if e := r.Find(key); !(math.Abs(number(t, cell(t, losses, name, 0))-e.Value) <= 0.51) {
			t.Errorf("%s: %s, want %g", name, cell(t, losses, name, 0), e.Value)
		}
	}
	in := readings.Bare()
	in.Core, in.To = "rod", 1
	for i, s := range []readings.State{readings.Bare(), in} {
		stress := decisions.Predict(r.Result, s, nil).Stress
		if got, want := number(t, cell(t, voltage, "largest gradient", i)), stress.Gradient*volts/1e5; !(math.Abs(got/want-1) <= 0.006) {
			t.Errorf("gradient %g kV/cm, want %g", got, want)
		}
	}
	for _, b := range []*node{coupling, losses, voltage} {
		if len(b.all("figure")) != 1 {
			t.Errorf("%d figures in %q", len(b.all("figure")), b.all("h2")[0].words())
		}
	}
	if !strings.Contains(voltage.words(), "what is not named may spark too") || strings.Contains(strings.ToLower(voltage.words()), "safe") {
		t.Errorf("cautions: %s", voltage.words())
	}
	bare := parse(t, writtenBy(t, museum(t, false), Source{}))
	if sectionOf(bare, "Voltage") != nil || sectionOf(bare, "Losses") == nil {
		t.Error("without a sheet nothing tells where the voltage stands, but quality factors are read")
	}
	r, _ = demo(t)
	if root := parse(t, written(t, r)); sectionOf(root, "Losses") != nil || sectionOf(root, "Coupling of the primary") != nil {
		t.Error("blocks of a log without primary and quality factors")
	}
}

// Without a voltage the block counts per kilovolt, and names no gap.
func TestVoltagePerKilovolt(t *testing.T) {
	root := parse(t, writtenBy(t, museum(t, true), Source{}))
	s := sectionOf(root, "Voltage")
	if s == nil || !strings.Contains(s.words(), "Per kilovolt at the top") || len(s.all("li")) != 0 {
		t.Errorf("%v", s)
	}
}

// What was asked for besides stands on the page with its numbers, and is not there unasked.
func TestChecked(t *testing.T) {
	r, _ := demo(t)
	profiles, _ := r.Profiles(nil)
	surface := r.Surface(r.Principal(3), nil)
	trials := r.MonteCarlo(fit.Trials{Most: 1000, Seed: 1, Workers: 1})
	root := parse(t, writtenBy(t, r, Source{Extra: report.Extra{Profiles: profiles, Surface: &surface, MonteCarlo: trials}}))
	s := sectionOf(root, "Linear intervals checked")
	if s == nil || len(s.all("table")) != 3 || len(s.all("figure")) != 1 { // one table is the figure's
		t.Fatalf("%v", s)
	}
	for _, p := range profiles {
		if p.Key == (quantities.Key{Name: quantities.EffectiveInductance}) {
			if got := number(t, cell(t, s, "effective inductance", 1)); !(math.Abs(got/1e3-p.Profile[0]) <= 0.6e-6) {
				t.Errorf("profile from %g mH, want %g H", got, p.Profile[0])
			}
		}
	}
	if !strings.Contains(s.words(), "1000 trials, seed 1") {
		t.Errorf("%s", s.words())
	}
	if sectionOf(parse(t, written(t, r)), "Linear intervals checked") != nil {
		t.Error("nobody asked")
	}
}

// There is room for the voltages of the bare coil and of two cores all in: bead and rod of three here.
func TestVoltagesOfTwoCores(t *testing.T) {
	log := must.Get(benchlog.Read(strings.NewReader("frequency [MHz],frequency ± [kHz],added [pF],core,covered [%]\n2.519,0.8,,,\n1.613,0.8,4.7,,\n1.9,0.8,,bead,50\n1.3,0.8,4.7,bead,50\n1.785,0.8,,rod,\n1.146,0.8,4.7,rod,\n1.85,0.8,,tube,\n1.19,0.8,4.7,tube,\n"), "x.csv", benchlog.Options{})).In(t)
	sheet := must.Get(coilsheet.Read(strings.NewReader("quantity,value,±,unit\nturns,560,,\nwinding diameter,24,0.1,mm\nwinding length,220,1,mm\n"), "sheet.csv")).In(t)
	s := estimation.Session{Log: log.Log}
	must.Do(t, sheet.Tell(&s))
	r := mustFit(t, s)
	b := must.Get(voltageBlock(r, 0)).In(t)
	var heads []string
	for _, c := range b.Tables[0].Columns {
		heads = append(heads, c.Head)
	}
	if title := b.Figures[0].Title; title != "Where does the voltage stand with 1.00 kV at the top?" {
		t.Errorf("%q", title)
	}
	if b := must.Get(voltageBlock(r, 5e3)).In(t); b.Figures[0].Title != "Where does the voltage stand with 5.00 kV at the top?" || b.Words[0] != "With 5.00 kV at the top." {
		t.Errorf("%q, %q", b.Figures[0].Title, b.Words)
	}
	if got := strings.Join(heads, "|"); got != "|bare|core bead|core rod" {
		t.Errorf("%q", got)
	}
	for i, core := range []string{"", "bead", "rod"} {
		state := readings.Bare()
		if core != "" {
			state.Core, state.To = core, 1
		}
		stress := decisions.Predict(r.Result, state, nil).Stress // a kilovolt, and a hundred volts per centimetre are 10 kV/m
		found := false
		for _, row := range b.Tables[0].Rows {
			if row[0] == "largest gradient" {
				v, unit, _ := strings.Cut(strings.ReplaceAll(row[1+i], "\u00a0", " "), " ")
				found = unit == "V/cm" && math.Abs(number(t, v)/(stress.Gradient*1e3/100)-1) < 0.01
			}
		}
		if !found {
			t.Errorf("%s: %v, want %v V/cm", core, b.Tables[0].Rows, stress.Gradient*1e3/100)
		}
	}
}

// What heats and what may spark stands with the voltages, as the text has it; what may spark only at a voltage told.
func TestHeatsAndCautions(t *testing.T) {
	r := museum(t, true)
	in := readings.Bare()
	in.Core, in.To = "rod", 1
	for _, volts := range []float64{0, 20e3} {
		b := must.Get(voltageBlock(r, volts)).In(t)
		v, _ := report.NewVoltages(decisions.PredictAll(r.Result, []readings.State{readings.Bare(), in}, r.Parts()), r.Parts(), map[bool]float64{true: 1e3, false: 20e3}[volts == 0])
		var heats, cautions []string
		for _, s := range v.Heats {
			heats = append(heats, sentence(s))
		}
		for _, s := range v.Cautions {
			cautions = append(cautions, sentence(s))
		}
		if volts == 0 {
			cautions = nil
		}
		if len(heats) == 0 || !slices.Equal(b.Words[1:], heats) || !slices.Equal(b.List, cautions) || volts > 0 && len(cautions) == 0 {
			t.Errorf("%q and %q, want %q and %q", b.Words, b.List, heats, cautions)
		}
	}
}

// A figure's table has so many lines, and says how many more there are; profiles are told of all quantities.
func TestRowsOfTables(t *testing.T) {
	for more, left := range map[int]int{-1: 0, 0: 0, 1: 1, 5: 5} {
		f := figure.Figure{Name: "x", Title: "x", Alt: "x", Panels: []chart.Panel{{Height: 50, Empty: "invented", X: chart.Over("x", 0, 1, 3), Y: chart.Over("y", 0, 1, 3)}}}
		for range report.MostLines + more {
			f.Table.Rows = append(f.Table.Rows, []string{"1"})
		}
		if d := must.Get(newDrawing(f)).In(t); len(d.Shown) != report.MostLines+min(0, more) || d.Left != left || d.Wide {
			t.Errorf("%d more: %d are shown, %d left, wide %v", more, len(d.Shown), d.Left, d.Wide)
		}
	}
	r, _ := demo(t)
	profiles, _ := r.Profiles(nil)
	b := must.Get(checked(r, report.Extra{Profiles: profiles})).In(t)
	if n := len(b.Tables[0].Rows); n != len(profiles) || n < 8 || b.Figures != nil {
		t.Errorf("%d rows of %d profiles", n, len(profiles))
	}
}

// Trials are told below their table, what they say last of all first, each sentence once; their first is the caption.
func TestTrialsInWords(t *testing.T) {
	r, _ := demo(t)
	trials := r.MonteCarlo(fit.Trials{Most: 200, Seed: 1, Workers: 1})
	for _, failed := range []int{0, 3} {
		trials.Failed = failed
		_, words := report.MonteCarloTable(trials, true)
		b := must.Get(checked(r, report.Extra{MonteCarlo: trials})).In(t)
		want := []string{"By Monte Carlo: " + words[len(words)-1]}
		for _, s := range words[1 : len(words)-1] {
			want = append(want, sentence(s))
		}
		if b.Tables[0].Caption != words[0] || !slices.Equal(b.Words, want) {
			t.Errorf("%q below %q, want %q", b.Words, b.Tables[0].Caption, want)
		}
	}
}
