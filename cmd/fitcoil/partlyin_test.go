package main

import (
	"math"
	"os"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/quantities"
)

// partlyIn is a log (invented, by the formulas of a uniform line) of a core that was never all in, and
// allIn the same coil with it all in.
const (
	partlyIn = "frequency [MHz],frequency ± [kHz],added [pF],added ± [%],core,covered [%]\n4.23237,0.4,,,,\n2.77516,0.4,3.3,2,,\n2.19008,0.4,6.8,2,,\n" +
		"1.59447,0.4,15,2,,\n3.28047,0.4,,,beads,3..58\n1.76081,0.4,6.8,2,beads,3..58\n1.29039,0.4,15,2,beads,3..58\n4.23237,0.4,,,,\n"
	allIn = "frequency [MHz],frequency ± [kHz],added [pF],added ± [%],core\n4.23237,0.4,,,\n2.77516,0.4,3.3,2,\n2.19008,0.4,6.8,2,\n" +
		"1.59447,0.4,15,2,\n2.99692,0.4,,,beads\n1.55802,0.4,6.8,2,beads\n1.13485,0.4,15,2,beads\n4.23237,0.4,,,\n"
	beadSheet = "quantity,value,±,unit\nturns,450,,\nwinding diameter,22,0.1,mm\nwinding length,160,0.5,mm\nwire diameter,0.25,0.005,mm\nball diameter,14,0.1,mm\n" +
		"core,beads,,\nbead diameter,12,0.1,mm\nbead length,8,0.1,mm\nbead spacing,3,0.2,mm\nbead count,COUNT,,\nbead start,5,0.5,mm\nbead permeability,250,20 %,\n"
)

// The drop that is told of a core that was never all in is that of the stretch that was read, and
// says so; a log that has it all in is not compared with it.
func TestCoreNeverAllIn(t *testing.T) {
	t.Chdir(t.TempDir())
	write := func(name, content string) { must.Do(t, os.WriteFile(name, []byte(content), 0o644)) }
	write("partly.csv", partlyIn)
	write("all.csv", allIn)
	for _, c := range []struct {
		log, title string
		covered    []float64
	}{{"partly.csv", "Core beads, all the way in; frequency with 3..58 % covered\n", []float64{0.03, 0.58}}, {"all.csv", "Core beads, all the way in\n", nil}} {
		if text := ask("", "fit", c.log).out; !strings.Contains(text, c.title) {
			t.Errorf("%s: no %q in\n%s", c.log, c.title, text)
		}
		full := ask("", "fit", c.log, "--full").out
		if strings.Contains(full, "the most that was read") != (c.covered != nil) {
			t.Errorf("%s", full)
		}
		f := answered[struct {
			Derived []struct {
				Name    string
				Covered []float64
				Value   float64
			}
		}](t, "", "fit", c.log)
		for _, e := range f.Derived {
			effect := e.Name == quantities.FrequencyRatio || e.Name == quantities.CoreFrequencyDrop || e.Name == quantities.RatioGain || e.Name == quantities.ImpedanceRatio
			if (e.Covered != nil) != (effect && c.covered != nil) || e.Covered != nil && (e.Covered[0] != c.covered[0] || e.Covered[1] != c.covered[1]) {
				t.Errorf("%s: %+v", c.log, e)
			}
			// By hand: 4.23237 MHz less what was read with the core.
			if want := map[string]float64{"partly.csv": 951.9e3, "all.csv": 1235.45e3}[c.log]; e.Name == quantities.CoreFrequencyDrop && !(math.Abs(e.Value-want) <= 1e3) {
				t.Errorf("%s: %v, want %v", c.log, e.Value, want)
			}
		}
	}
	if text := ask("", "compare", "partly.csv", "all.csv", "--full").out; strings.Contains(text, "drop") || !strings.Contains(text, "gain") {
		t.Errorf("drops of different stretches are compared:\n%s", text)
	}
}

// A change of the beads changes the frequency, or the command says why it doesn't, and what to ask.
func TestChangeOfBeadsChangesSomething(t *testing.T) {
	t.Chdir(t.TempDir())
	for name, content := range map[string]string{"partly.csv": partlyIn, "all.csv": allIn, "full-sheet.csv": strings.Replace(beadSheet, "COUNT", "14", 1), "half-sheet.csv": strings.Replace(beadSheet, "COUNT", "8", 1)} {
		must.Do(t, os.WriteFile(name, []byte(content), 0o644))
	}
	frequency := func(args ...string) float64 {
		return answered[struct{ Frequency struct{ Value float64 } }](t, "", append([]string{"predict", "all.csv", "--coil", "full-sheet.csv", "core=beads"}, args...)...).Frequency.Value
	}
	last := frequency()
	for _, beads := range []string{"beads=13", "beads=12", "beads=8", "beads=4"} {
		if f := frequency(beads); !(f > last*1.003) {
			t.Errorf("%s: %v Hz, with more of them %v", beads, f, last)
		} else {
			last = f
		}
	}
	const without = "changes no frequency asked for, of states without the beads: give core=beads"
	const already = "changes no frequency asked for: they are drawn so already, or the state says by covered where they are; without covered, they are where they are drawn"
	const partly = "a change of the beads is carried over from a drawing in which they fill the winding, and these cover 3..58% of it; write that in the column covered of the log, and ask for the stretch that others cover, as core=beads covered=3..58%"
	for _, c := range []struct{ args, says string }{
		{"predict all.csv --coil full-sheet.csv bare beads=12", "beads=12: " + without},
		{"predict all.csv --coil full-sheet.csv core=beads beads=14", "beads=14: " + already},
		{"predict all.csv --coil full-sheet.csv bare --sweep beads=4..12", "--sweep: bead count " + without},
		{"predict all.csv --coil full-sheet.csv core=beads beads=20", "reaches into the ball"},
		{"predict partly.csv --coil half-sheet.csv core=beads beads=6", "beads=6: " + partly},
		{"predict partly.csv --coil half-sheet.csv core=beads --sweep beads=4..6", "--sweep: " + partly},
	} {
		a := ask("", strings.Fields(c.args)...)
		if whole := a.err == "fitcoil: "+c.says+"\n"; a.code != exitUsage || !whole && (strings.Contains(c.says, ": ") || !strings.Contains(a.err, c.says)) {
			t.Errorf("%s: %d, %s", c.args, a.code, a.err)
		}
	}
	// What the last two say to ask for has an answer.
	if a := ask("", "predict", "partly.csv", "--coil", "half-sheet.csv", "core=beads", "covered=3..45%"); a.code != 0 || !strings.Contains(a.out, "core beads 3..45 %") {
		t.Errorf("%s%s", a.out, a.err)
	}
	// A log that has the core all in, of a drawing that has it along a half, is told so.
	for log, is := range map[string]bool{"partly.csv": false, "all.csv": true} {
		if text := ask("", "fit", log, "--coil", "half-sheet.csv", "--full").out; strings.Contains(text, "and the log has it all in") != is {
			t.Errorf("%s:\n%s", log, text)
		}
	}
}
