package main

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/report"
	"fitcoil/ioformat/waveform"
	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonance"
)

// fitInto fits a log and writes the JSON into a file.
func fitInto(t *testing.T, file string, args ...string) {
	t.Helper()
	a := ask("", append(append([]string{"fit"}, args...), "--json")...)
	if a.code != 0 {
		t.Fatalf("%q: %s", args, a.err)
	}
	must.Do(t, os.WriteFile(file, []byte(a.out), 0o666))
}

// What an earlier session calls a core or a part goes by the name that the log has for it: in its
// states, parts and known values. Each file of it is among the inputs.
func TestEarlierByTheNamesOfTheLog(t *testing.T) {
	inWired(t)
	fitInto(t, "first.json", "b.csv", "--known", "core_gain:rod=1.97±0.05", "--known", "ROOF=2.8pF±0.1pF")
	c, _ := asking(t, fitVerb(), "a.csv", "--known-from", "first.json")
	in := must.Get(c.readLog("a.csv")).In(t)
	if len(in.Earlier) != 1 || len(in.src.Files) != 2 || in.src.Files[1].Name != "first.json" || in.src.Files[1].SHA256 != hashed(t, "first.json", "").SHA256 {
		t.Fatalf("%+v, files %+v", in.Earlier, in.src.Files)
	}
	e := in.Earlier[0]
	cores := map[string]int{}
	for _, s := range e.States {
		cores[s.Core]++
		for _, p := range s.Parts { // indexes of the log's parts by now
			if name := in.Session.Log.Parts[p].Name; name != "Roof" && !strings.HasSuffix(name, " pF") {
				t.Errorf("part %q", name)
			}
		}
	}
	if len(cores) != 2 || cores["Rod"] != 3 || cores[""] != 8 {
		t.Errorf("cores %v", cores)
	}
	if len(e.Known) != 1 || e.Known[0] != (quantities.Known{Key: quantities.Key{Name: quantities.CoreGain, Core: "Rod"}, Value: 1.97, Uncertainty: 0.05}) {
		t.Errorf("known %+v", e.Known)
	}
	var names []string
	for i, p := range in.Session.Log.Parts {
		names = append(names, p.Name)
		if p.Name == "Roof" && (!p.Known || math.Abs(p.Capacitance/2.8e-12-1) > 1e-9 || math.Abs(p.Uncertainty/(0.1e-12/1.96)-1) > 1e-9) {
			t.Errorf("%+v", p)
		}
		if in.log.Parts[i] != p {
			t.Errorf("%+v, and in the states %+v", p, in.log.Parts[i])
		}
	}
	if got := strings.Join(names, ", "); got != "2.2 pF, 4.7 pF, 10 pF, Roof" {
		t.Error(got)
	}
}

// Benches are told apart: those of different files, and those before and after a move; none counts
// twice.
func TestEarlierBenches(t *testing.T) {
	inWired(t)
	for _, name := range []string{"c.csv", "d.csv", "e.csv"} { // other bytes, so other sessions
		must.Do(t, os.WriteFile(name, []byte("# "+name+"\n"+wiredLog), 0o666))
	}
	fitInto(t, "b.json", "b.csv")
	fitInto(t, "moved.json", "c.csv", "--known-from", "b.json", "--new-bench") // c here, b elsewhere
	fitInto(t, "d.json", "d.csv")
	fitInto(t, "again.json", "e.csv", "--known-from", "d.json", "--new-bench")
	for line, want := range map[string]string{
		"a.csv --known-from b.json":                                     "b.csv 0",
		"a.csv --known-from b.json --new-bench":                         "b.csv 1",
		"a.csv --known-from b.json --known-from d.json --new-bench":     "b.csv 1, d.csv 2",
		"a.csv --known-from moved.json":                                 "b.csv 1, c.csv 0",
		"a.csv --known-from moved.json --known-from again.json":         "b.csv 1, c.csv 0, d.csv 2, e.csv 0",
		"a.csv --known-from moved.json --known-from d.json --new-bench": "b.csv 2, c.csv 1, d.csv 3",
		"a.csv --known-from b.json --known-from b.json":                 "b.json: the readings of b.csv count already, by b.json ",
		"a.csv --known-from moved.json --known-from b.json":             "b.json: the readings of b.csv count already, by moved.json ",
		"b.csv --known-from b.json":                                     "b.json: the readings of b.csv count already, by b.csv ",
		"a.csv --known-from d.json --known-from again.json":             "again.json: the readings of d.csv count already, by d.json ",
	} {
		c, _ := asking(t, fitVerb(), strings.Fields(line)...)
		in, err := c.readLog(c.args[0])
		var got []string
		for _, e := range in.Earlier {
			got = append(got, fmt.Sprintf("%s %d", e.Log, e.Bench))
		}
		slices.Sort(got)
		text := strings.Join(got, ", ")
		if err != nil {
			text, _, _ = strings.Cut(err.Error(), "(")
		}
		if text != want {
			t.Errorf("%s: %s, want %s", line, text, want)
		}
	}
}

// Changes of the drawing are taken together, for each state asked of.
func TestRebuiltByDirectCalls(t *testing.T) {
	inWired(t)
	w := wire(t, "few.csv", "s.csv", benchlog.Options{}, estimation.Session{}, "--coil", "s.csv")
	list := w.states(t, "core=rod", "added=3.3pF")
	sheet := must.Get(must.Get(w.sheet.With("ball diameter=24mm")).In(t).With("beads=16")).In(t)
	after := must.Get(sheet.Drawing().Predict()).In(t)
	b := must.Get(decisions.NewRebuild(w.session.Drawn, after)).In(t)
	p := report.Predictions{Parts: w.s.Parts(), Change: "ball diameter=24mm, beads=16", Volts: 20e3}
	p.List = must.Get(decisions.RebuiltAll(w.r.Result, b, list, w.extra())).In(t)
	line := "predict few.csv --coil s.csv core=rod / added=3.3pF 'ball diameter=24mm' beads=16"
	answers(t, line+" --json", func(out io.Writer) error { return report.PredictJSON(out, w.r, p, w.src) })
	answers(t, line+" --csv", func(out io.Writer) error { return report.PredictCSV(out, p) })
	p.List = p.List[:1] // of one state nothing is told to read next: that would be for the coil as it is
	answers(t, strings.Replace(line, " / added=3.3pF", "", 1), func(out io.Writer) error {
		return report.PredictText(out, w.r, report.Predictions{Parts: w.r.Parts(), List: p.List, Change: p.Change, Volts: 20e3}, decisions.Planned{}, w.src, report.View{})
	})
}

// A change that changes nothing says whether the beads asked of are those drawn: another core has none.
func TestBeadsOfAnotherCore(t *testing.T) {
	in := input{Session: estimation.Session{Drawn: &drawing.Drawn{Drawing: drawing.Drawing{Core: "rod"}}}}
	for core, want := range map[string]string{"rod": "changes no frequency asked for: they are drawn so already, or", "slug": "changes no frequency asked for, of states without the beads: give core=rod", "": "changes no frequency asked for, of states without the beads: give core=rod"} {
		if got := in.idle([]readings.State{readings.Bare(), {Core: core}}); !strings.HasPrefix(got, want) {
			t.Errorf("%q: %q", core, got)
		}
	}
}

// A sweep is 15 values from one end to the other; at what is drawn now it is what is predicted now.
func TestSweepThroughThePresent(t *testing.T) {
	inWired(t)
	type estimate struct {
		Value       float64
		Uncertainty float64 `json:"standard_uncertainty"`
	}
	now := answered[struct{ Frequency estimate }](t, "", "predict", "few.csv", "--coil", "s.csv", "core=rod").Frequency
	s := answered[struct {
		Warnings []string
		Points   []struct {
			Value     float64
			Frequency estimate
		}
	}](t, "", "predict", "few.csv", "--coil", "s.csv", "core=rod", "--sweep", "ball diameter=16mm..20mm")
	if len(s.Points) != 15 || len(s.Warnings) < 2 {
		t.Fatalf("%+v", s)
	}
	for i, p := range s.Points {
		if math.Abs(p.Value-(0.016+0.004*float64(i)/14)) > 5.01e-6 || // of so many decimals
			i > 0 && !(p.Frequency.Value < s.Points[i-1].Frequency.Value) {
			t.Errorf("%d: %+v", i, p)
		}
	}
	if f := s.Points[7].Frequency; math.Abs(f.Value/now.Value-1) > 1e-9 || math.Abs(f.Uncertainty/now.Uncertainty-1) > 1e-6 {
		t.Errorf("at 18 mm %+v, and now %+v", f, now)
	}
}

// Ways to a frequency start from the state asked of, and tell what the drawing has now; what reaches
// it comes first, and taken leads there.
func TestWaysByDirectCalls(t *testing.T) {
	inWired(t)
	w := wire(t, "a.csv", "", benchlog.Options{}, estimation.Session{}, "--reach", "1.5MHz", "--have", "1pF,3.3pF±1%")
	for _, part := range []string{"1pF", "3.3pF±1%"} {
		if _, known, err := w.s.Have(part); known || err != nil {
			t.Fatal(err)
		}
	}
	for _, from := range []string{"bare", "core=rod"} {
		state := w.states(t, from)[0]
		in := state
		in.Core = "Rod"
		reach := func(by decisions.Control) decisions.Reached {
			s := state
			if by == decisions.ByCovered {
				s = in
			}
			return decisions.Reach(w.r.Result, 1.5e6, s, w.extra(), by, w.u)
		}
		ways := report.Ways{Target: 1.5e6, Parts: w.s.Parts(), From: decisions.Predict(w.r.Result, state, w.extra()),
			Controls: []decisions.Reached{reach(decisions.ByAdded), reach(decisions.ByCovered), reach(decisions.ByHand)},
			// 2.2, 4.7, 10 pF, and 1 and 3.3 pF at hand; nobody knows the roof's
			AtHand: decisions.NearestAtHand(w.r.Result, 1.5e6, state, w.extra(), []int{0, 1, 2, 4, 5}, 3)}
		if len(w.s.Parts()) != 6 || len(ways.AtHand) != 3 {
			t.Fatalf("%+v", ways)
		}
		line := "predict a.csv --reach 1.5MHz --have 1pF,3.3pF±1% " + from
		answers(t, line+" --json", func(out io.Writer) error { return report.WaysJSON(out, w.r, ways, w.src) })
		answers(t, line+" --csv", func(out io.Writer) error { return report.WaysCSV(out, ways) })
		answers(t, line, func(out io.Writer) error { return report.WaysText(out, w.r, ways, w.src, report.View{}) })
	}
}

// Changes of the drawing that reach a frequency: the quantities as drawn now, beads by whole ones and
// only where they are in, and what leads there first.
func TestRedrawnWays(t *testing.T) {
	inWired(t)
	type change struct {
		Quantity  string
		Present   float64
		Reachable bool
		Setting   struct {
			Value       float64
			Uncertainty float64 `json:"standard_uncertainty"`
		}
	}
	for from, want := range map[string]map[string]float64{
		"bare":     {"turns": 640, "winding length": 0.24, "ball diameter": 0.018},
		"core=rod": {"turns": 640, "winding length": 0.24, "ball diameter": 0.018, "bead count": 17},
	} {
		a := onTerminal(t, "predict", "few.csv", "--coil", "s.csv", from, "--reach", "1.9MHz", "--json")
		var out struct {
			Redrawn []change `json:"drawing_changes"`
		}
		must.Do(t, json.Unmarshal([]byte(a.out), &out))
		if n := len(want); !strings.Contains(a.err, fmt.Sprintf("\r%d of %d changes of the drawing tried\n", n, n)) {
			t.Errorf("%s: told of %q", from, a.err)
		}
		list := out.Redrawn
		if len(list) != len(want) {
			t.Errorf("%s: %+v", from, list)
		}
		for i, c := range list {
			if now, ok := want[c.Quantity]; !ok || math.Abs(c.Present/now-1) > 1e-9 {
				t.Errorf("%s: %+v", from, c)
			}
			if i > 0 && c.Reachable && !list[i-1].Reachable {
				t.Errorf("%s: %s reaches it, and comes behind one that doesn't", from, c.Quantity)
			}
			if c.Quantity == "bead count" && c.Reachable && c.Setting.Value != math.Round(c.Setting.Value) {
				t.Errorf("%g beads", c.Setting.Value)
			}
		}
	}
}

// A log that has a core all in which is drawn along a part is told where, by hand: eight beads of 8 mm,
// each with a gap of 3 mm, from 5 mm on end at 93 mm, of 160; the first line with them is the sixth.
func TestDrawnAlongAPart(t *testing.T) {
	t.Chdir(t.TempDir())
	must.Do(t, os.WriteFile("all.csv", []byte(allIn+"#1.5,0.4,3.3,2,\n"), 0o666))
	must.Do(t, os.WriteFile("half.csv", []byte(strings.NewReplacer("COUNT", "8", "20 %", "").Replace(beadSheet)), 0o666))
	c, _ := asking(t, fitVerb(), "all.csv", "--coil", "half.csv")
	w := must.Get(c.readLog("all.csv")).In(t).src.Warnings
	const want = "core beads is drawn along 3..58 % of the winding, and the log has it all in, first in line 6: give each such line the stretch that it covered (column covered), or draw the core as it was"
	if n := len(w); n != 3 || !strings.Contains(w[0], "half.csv:") || !strings.Contains(w[1], "all.csv:") || w[2] != want { // behind those of the sheet and the log
		t.Errorf("%q", w)
	}
}

// What a sheet knows of parts and what --known says of them both count, the latter first.
func TestPartsOfSheetAndFlag(t *testing.T) {
	inWired(t)
	must.Do(t, os.WriteFile("p.csv", []byte("quantity,value,±,unit\nturns,640,,\npart Roof,2.9,0.1,pF\npart 4.7 pF,4.6,0.05,pF\n"), 0o666))
	c, _ := asking(t, fitVerb(), "a.csv", "--coil", "p.csv", "--known", "roof=2.7pF±0.1pF")
	in := must.Get(c.readLog("a.csv")).In(t)
	for name, want := range map[string]float64{"Roof": 2.7e-12, "4.7 pF": 4.6e-12} {
		for _, p := range in.Session.Log.Parts {
			if p.Name == name && math.Abs(p.Capacitance/want-1) > 1e-9 {
				t.Errorf("%+v", p)
			}
		}
	}
	if unused := in.given.Unused(in.Session.Log.Parts[:3]); !slices.Equal(unused, []string{"roof"}) {
		t.Errorf("%q", unused)
	}
}

// The time base of --timebase goes into the frequency of a sweep: by hand, its square is added.
func TestTimebaseOfASweep(t *testing.T) {
	t.Chdir(t.TempDir())
	must.Do(t, os.WriteFile("drive.csv", []byte(drive()), 0o666))
	file := must.Get(waveform.Read(strings.NewReader(drive()), "drive.csv", waveform.Options{})).In(t)
	var u [2]float64
	for i, timebase := range []float64{0, 0.002} {
		r := must.Get(resonance.Fit(file.Sweep.Points, resonance.Settings{Timebase: timebase})).In(t)
		u[i] = r.Resonance.Uncertainty
		line := "capture drive.csv --json"
		if timebase > 0 {
			line += " --timebase 2000ppm"
		}
		found := []report.Swept{{Sweep: file.Sweep, Result: r}}
		answers(t, line, func(out io.Writer) error { return report.CaptureJSON(out, nil, found) })
		answers(t, strings.Replace(line, "json", "csv", 1), func(out io.Writer) error { return report.CaptureCSV(out, nil, found) })
		answers(t, strings.Replace(line, "--json", "", 1), func(out io.Writer) error { return report.CaptureText(out, nil, found, report.View{}) })
	}
	if want := math.Hypot(u[0], 0.002*2.5e6); math.Abs(u[1]/want-1) > 1e-3 || u[0] > want/2 {
		t.Errorf("± %v Hz, want %v", u, want)
	}
}

// Of several voltages the one that rings is taken, and said so; --column asks for one; where several
// ring, nothing is taken. A capture of seven steady tones is one sweep.
func TestOneOfSeveralVoltages(t *testing.T) {
	t.Chdir(t.TempDir())
	var b, both strings.Builder
	b.WriteString("time [s],CH1 [V],CH2 [V],CH3 [V]\n")
	both.WriteString("# invented\ntime [s],CH1 [V],CH2 [V]\n")
	for i := range 2000 {
		s := float64(i) * 1e-8
		ring := math.Exp(-s/5e-6) * math.Sin(2*math.Pi*2.5e6*s)
		slow := math.Exp(-s/6e-6) * math.Sin(2*math.Pi*1.5e6*s)
		fmt.Fprintf(&b, "%.8f,0.25,%.4f,0.5\n", s, ring)
		fmt.Fprintf(&both, "%.8f,%.4f,%.4f\n", s, slow, ring)
	}
	must.Do(t, os.WriteFile("one.csv", []byte(b.String()), 0o666))
	must.Do(t, os.WriteFile("both.csv", []byte(both.String()), 0o666))
	for i, name := range []string{"first.csv", "second.csv"} { // the one that rings, of two
		table := "time [s],CH1 [V],CH2 [V]\n"
		for line := range strings.SplitSeq(strings.TrimSpace(b.String()), "\n") {
			if c := strings.Split(line, ","); c[0] != "time [s]" {
				table += c[0] + "," + c[2-i] + "," + c[1+i] + "\n"
			}
		}
		must.Do(t, os.WriteFile(name, []byte(table), 0o666))
	}
	type captures struct {
		Captures []struct {
			Column    string
			Notes     []string                `json:"warnings"`
			Resonance struct{ Value float64 } `json:"resonance_frequency"`
		}
	}
	for line, hertz := range map[string]float64{"one.csv": 2.5e6, "both.csv --column CH2": 2.5e6, "both.csv --column CH1": 1.5e6, "both.csv --column B": 1.5e6, "both.csv --column 3": 2.5e6, "first.csv": 2.5e6, "second.csv": 2.5e6} {
		out := answered[captures](t, "", append([]string{"capture"}, strings.Fields(line)...)...).Captures
		if len(out) != 1 || math.Abs(out[0].Resonance.Value/hertz-1) > 1e-3 {
			t.Errorf("%s: %+v", line, out)
			continue
		}
		notes := strings.Join(out[0].Notes, "\n")
		want := map[string]string{"first.csv": "only CH1 [V] (column B) rings, and is taken; CH2 [V] (column C): all samples are equal",
			"second.csv": "only CH2 [V] (column C) rings, and is taken; CH1 [V] (column B): all samples are equal"}[line]
		if line == "one.csv" {
			want = "only CH2 [V] (column C) rings, and is taken; CH1 [V] (column B): all samples are equal: there is no signal; CH3 [V] (column D): all samples are equal"
		}
		if !strings.Contains(notes, want) || strings.Contains(notes, "and is taken") != (want != "") {
			t.Errorf("%s: %q", line, notes)
		}
	}
	if a := ask("", "capture", "both.csv"); a.code != exitBadData || !strings.HasPrefix(a.err, "both.csv:3: several columns hold a tone: ") {
		t.Errorf("exit code %d, %s", a.code, a.err)
	}
	names := strings.Fields(steady(t))
	var all map[string]any
	must.Do(t, json.Unmarshal([]byte(ask("", append([]string{"capture", "--json"}, names...)...).out), &all))
	if sweeps, ok := all["sweeps"].([]any); !ok || len(sweeps) != 1 {
		t.Errorf("%v", all)
	} else if f := sweeps[0].(map[string]any); f["captures"] != 7.0 {
		t.Errorf("%v", f)
	}
	a := ask("", append([]string{"capture", "--row", "core=rod"}, names...)...)
	rows := must.Get(benchlog.Read(strings.NewReader(a.out), "rows", benchlog.Options{})).In(t).Readings
	if len(rows) != 1 || rows[0].Core != "rod" || math.Abs(rows[0].Frequency/2.5e6-1) > 1e-3 {
		t.Errorf("%+v", rows)
	}
}

// A value that --known gives of a part which only the earlier session had counts instead of what was
// said then.
func TestKnownPartOfEarlierSession(t *testing.T) {
	inWired(t)
	must.Do(t, os.WriteFile("less.csv", []byte(strings.Replace(wiredLog, "1.839,0.8,Roof,,,\n", "", 1)), 0o666))
	fitInto(t, "open.json", "b.csv")
	fitInto(t, "told.json", "b.csv", "--known", "roof=2.8pF±0.1pF")
	for _, file := range []string{"open.json", "told.json"} {
		c, _ := asking(t, fitVerb(), "less.csv", "--known-from", file, "--known", "ROOF=2.7pF±0.2pF")
		in, _, err := c.fitted("less.csv")
		must.Do(t, err)
		i := slices.IndexFunc(in.Session.Log.Parts, func(p readings.Part) bool { return strings.EqualFold(p.Name, "roof") })
		if i < 0 {
			t.Fatalf("%s: %+v", file, in.Session.Log.Parts)
		}
		if p := in.Session.Log.Parts[i]; !p.Known || math.Abs(p.Capacitance/2.7e-12-1) > 1e-9 || math.Abs(p.Uncertainty/(0.2e-12/1.96)-1) > 1e-9 {
			t.Errorf("%s: %+v", file, p)
		}
	}
}
