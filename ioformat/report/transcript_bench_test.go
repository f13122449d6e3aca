package report

import (
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"fitcoil/fit"
	"fitcoil/ioformat/waveform"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonance"
	"fitcoil/model/ringing"
	"fitcoil/model/voltage"
)

// stressedState has gaps of all kinds; at 20 kV 4 kV stand between beads 1 and 2, 2 mm apart, where
// needles take 5 kV·2/4.2 = 2.4 kV, less a quarter 1.8 kV, and 400 V between turns, where air
// beside the wire takes 0.75·327 = 245 V.
func stressedState() decisions.Prediction {
	gaps := []voltage.Gap{{Kind: voltage.BetweenTurns, Share: 0.02, Distance: 5e-5, Height: 0.01}, {Kind: voltage.BetweenBeads, Lower: 1, Share: 0.2, Distance: 2e-3}, {Kind: voltage.BetweenBeads, Lower: 2, Share: 0.1, Distance: 2e-3},
		{Kind: voltage.CoreToWinding, Share: 0.05, Distance: 6e-3}, {Kind: voltage.ToPrimary, Share: 0.9, Distance: 12e-3}, {Kind: voltage.ToRing, Share: 0.5, Distance: 20e-3},
		{Kind: voltage.ToPlate, Share: 0.1, Distance: 0.1}, {Kind: voltage.ToBox, Share: 1, Distance: 0.3}}
	p := predicted(withState(readings.Bare(), func(s *readings.State) { s.Core, s.To = "rod", 1 }))
	p.Stress = &voltage.Stress{Profile: field.Profile{Height: []float64{0, 0.1}, Voltage: []float64{0, 1}, Current: []float64{1, 0.5}, Base: 5e-5},
		Gradient: 12.5, GradientAt: 0.01, Turns: 0.02, Current: 5e-5, Gaps: gaps}
	p.Heats = []estimation.Heat{{Key: quantities.Key{Name: quantities.QualityWinding}, PerSquare: 2.5e-8}, {Key: quantities.Key{Name: quantities.QualityCore, Core: "rod"}, PerSquare: 5e-9}}
	return p
}

func TestVoltageTranscript(t *testing.T) {
	bare := predicted(readings.Bare())
	bare.Stress = &voltage.Stress{Profile: field.Profile{Height: []float64{0, 0.1}, Voltage: []float64{0, 1}, Current: []float64{1, 0.5}, Base: 4e-5}, Gradient: 10, Turns: 0.01, Current: 4e-5, Density: 300}
	p := Predictions{List: []decisions.Prediction{bare, predicted(readings.Bare()), stressedState()}, Volts: 20e3}
	transcript(t, "voltages", func(w io.Writer) error {
		return PredictText(w, consistent(), p, decisions.Planned{}, Source{Log: "evening.csv"}, View{Full: true, Width: 120})
	}, `
evening.csv: predicted from 9 readings, consistent with the model (χ²/ν = 1.20, p = 0.306)

State frequency ± 95 % interval 95 %, new reading
bare 2.0000 0.0030 MHz 1.9940 to 2.0060 1.9920 to 2.0080
bare 2.0000 0.0030 MHz 1.9940 to 2.0060 1.9920 to 2.0080
core rod 2.0000 0.0030 MHz 1.9940 to 2.0060 1.9920 to 2.0080

Voltage with 20.0 kV at the top (peak values, lowest mode)
bare core rod
largest gradient 2.00 kV/cm 2.50 kV/cm
between turns 200 V 400 V
between beads, most 4.00 kV over 2.0 mm
core to winding, most 1.00 kV over 6.0 mm
coil to primary, worst 18.0 kV over 12 mm
coil to ring, worst 10.0 kV over 20 mm
coil to plate, worst 2.00 kV over 100 mm
coil to box, worst 20.0 kV over 300 mm
current at the grounded end 800 mA 1.00 A
in the wire 6.00 A/mm²
power lost, core rod, ringing steadily: winding 10 W, core rod, and winding with it 2.0 W
along the winding:
height bare core rod
0 m 0 V 0 V
10.0 mm 2.00 kV 2.00 kV
20.0 mm 4.00 kV 4.00 kV
30.0 mm 6.00 kV 6.00 kV
40.0 mm 8.00 kV 8.00 kV
50.0 mm 10.0 kV 10.0 kV
60.0 mm 12.0 kV 12.0 kV
70.0 mm 14.0 kV 14.0 kV
80.0 mm 16.0 kV 16.0 kV
90.0 mm 18.0 kV 18.0 kV
100 mm 20.0 kV 20.0 kV
- may spark, core rod: 4.00 kV between beads 1 and 2: 2.0 mm of air has been seen to spark from 1.8 kV; and 3 more
- the top may spark over 24 mm of air to a point, and farther in a train of sparks
- by sparking distances of needle points (AIEE), less a quarter for radio frequency (Peek); voids in potting spark
first; IEC 60664 ends at 1 kV; what is not named may spark too

± is one standard uncertainty.
High voltage burns whatever these numbers say: keep away, discharge it first.`)
	v, ok := NewVoltages(p.List, nil, 20e3)
	if !ok || len(v.Table.Rows) != 10 || len(v.Heats) != 1 || v.Heats[0] != "power lost, core rod, ringing steadily: "+nobreak("winding 10 W")+", "+nobreak("core rod, and winding with it 2.0 W") || len(v.Cautions) != 3 {
		t.Errorf("%v %+v %+v", ok, v, v.Table)
	}
	if _, ok := NewVoltages(p.List[1:2], nil, 20e3); ok {
		t.Error("voltages of a coil that isn't drawn")
	}
	transcript(t, "in brief", func(w io.Writer) error {
		return PredictText(w, consistent(), Predictions{List: p.List[2:]}, decisions.Planned{}, Source{Log: "evening.csv"}, View{})
	}, `
evening.csv: predicted from 9 readings,
consistent with the model (χ²/ν = 1.20, p = 0.306)

State frequency ± 95 %, new reading
core rod 2.0000 0.0030 MHz 1.9920 to 2.0080

± is one standard uncertainty. More: --full.
High voltage burns whatever these numbers say: keep away, discharge it first.`)
	var got []string
	for _, g := range stressedState().Stress.Gaps {
		got = append(got, gapCaution(g, 20e3))
	}
	transcript(t, "cautions", func(w io.Writer) error {
		for _, s := range got {
			if _, err := io.WriteString(w, s+"\n"); err != nil {
				return err
			}
		}
		return nil
	}, `
400 V between turns: air beside the wire has been seen to spark from 250 V
4.00 kV between beads 1 and 2: 2.0 mm of air has been seen to spark from 1.8 kV
2.00 kV between beads 2 and 3: 2.0 mm of air has been seen to spark from 1.8 kV
1.00 kV from core to winding: 6.0 mm of air has been seen to spark from 5.3 kV
18.0 kV from coil to primary: 12 mm of air has been seen to spark from 10 kV
10.0 kV from coil to ring: 20 mm of air has been seen to spark from 17 kV
2.00 kV from coil to plate: 100 mm of air has been seen to spark from 55 kV
20.0 kV from coil to box: 300 mm of air has been seen to spark from 130 kV`)
	j := voltagesJSON(p.stressed(p.List[2:]), 20e3)[0]
	if len(j.Lost) != 2 || j.Lost[0].By != "winding" || math.Abs(j.Lost[0].Power-0.025) > 1e-12 || j.Lost[1].By != "core" || j.Lost[1].Core != "rod" || len(j.MaySpark) != 4 || j.Density != nil {
		t.Errorf("%+v", j)
	}
	for i, want := range []string{"turns", "beads", "beads", "core and winding", "coil and primary", "coil and ring", "coil and plate", "coil and box"} {
		if j.Gaps[i].Between != want {
			t.Errorf("gap %d is between %s, want %s", i, j.Gaps[i].Between, want)
		}
	}
}

// What is lost where, what a core does to couplings, and what closed metal takes, in sentences.
func TestLossesAndCouplingsInWords(t *testing.T) {
	r := fittedInvented(t)
	r.Derived = append(r.Derived, ofCore("rod", estimateOf(quantities.ImpedanceRatio, "1", 1.28, 0.01)))
	r.Session.Log.Readings = nil
	for i, core := range []string{"", "rod"} {
		s := readings.Bare()
		if core != "" {
			s.Core, s.To = core, 1
		}
		r.Session.Log.Readings = append(r.Session.Log.Readings, readings.Reading{State: s, Line: i + 2, Frequency: 2e6, Amplitude: 4 - 2*float64(i), Quality: 100 - 20*float64(i), Use: true})
	}
	// Amplitude × 0.5, of which × 0.8 is the quality factor's, √(1.28·0.72) = × 0.96 the capacitance's: 0.5/0.768 = 0.65.
	list := contrastWords(r, "rod")
	if want := "With the same current in the drive, of the bare coil's amplitude ratio, × 0.50, the quality factor explains × 0.80, the capacitance × 0.96; for coupling and pickup, × 0.65 is left."; len(list) != 3 || list[2] != want {
		t.Errorf("%q, want %q", list, want)
	}
	if got := contrastWords(r, "other"); len(got) == 0 || !strings.Contains(got[0], "without it × 2.00") {
		t.Errorf("%q", got)
	}
	air, with := estimateOf(quantities.CouplingAtResonance, "1", 0.1, 0.004), ofCore("rod", estimateOf(quantities.CouplingAtResonance, "1", 0.125, 0.004))
	r.Derived = append(r.Derived, air, with)
	list = contrastWords(r, "rod")
	if want := "With the same current in the drive, of the bare coil's amplitude ratio, × 0.50, the quality factor explains × 0.80, the capacitance × 0.96, the coupling × 1.25; for what else changes, × 0.52 is left."; list[2] != want {
		t.Errorf("%q, want %q", list[2], want)
	}
	open := openEstimate(quantities.CouplingOfWindings, "1")
	words := primaryWords(r, []quantities.Estimate{open, air, with})
	if len(words) != 2 || words[0] != "At resonance: k² = 1 − (f_open/f_short)², the coil bare or with the core; of the windings: with the same current in all turns." ||
		words[1] != "Core rod takes the coupling at resonance to 1.25 times that in air." {
		t.Errorf("%q", words)
	}
	if words := primaryWords(r, []quantities.Estimate{open}); words != nil {
		t.Errorf("%q", words)
	}
	q := ofCore("rod", estimateOf(quantities.QualityCore, "1", 80, 5))
	words = lossWords(r, []quantities.Estimate{openEstimate(quantities.QualityWinding, "1"), q})
	if len(words) != 2 || words[0] != "1/Q is the sum of 1 over these; winding and dielectric of the bare coil, core with the core in and nothing added." ||
		words[1] != "That of a core holds what its field adds to the winding's loss; the ± of each quality factor read is guessed as 5 %, and corrected by their scatter." {
		t.Errorf("%q", words)
	}
	d := drawnCoil()
	d.Core = &field.CorePrediction{}
	d.Estimates = append(d.Estimates, estimateOf(quantities.QualityCore, "1", 200, 20))
	r.Session.Drawn = d
	if words = lossWords(r, []quantities.Estimate{q}); len(words) != 3 || words[2] != "Its material alone would leave a quality factor of 200 ± 20, by the sheet's loss tangent." {
		t.Errorf("%q", words)
	}
	d.Drawing.Core = "beads" // another core
	if words = lossWords(r, []quantities.Estimate{q}); len(words) != 2 {
		t.Errorf("%q", words)
	}
	if words := metalWords(d); words != nil {
		t.Errorf("%q", words)
	}
	r.Session.Drawn = nil
	for _, g := range Groups(r) {
		if want := map[string]int{"The primary": 2}[g.Title]; want > 0 && len(g.Estimates) != want {
			t.Errorf("%s has %d", g.Title, len(g.Estimates))
		}
	}
}

// A table of priors has what was believed and what is known now.
func TestPriorsTable(t *testing.T) {
	r := mustFit(t, estimation.Session{Log: log(0, 2.2, 4.7, 10), Known: []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.25e-3, Uncertainty: 10e-6}}})
	r.Assumed = append(r.Assumed, estimation.Assumption{Kind: estimation.AssumedDigits, Count: 2, Share: 0.5})
	tab, left := MovedPriors(r)
	sum, rows := 0.0, map[string][]string{}
	for _, s := range r.Sources(r.Find(quantities.Key{Name: quantities.EffectiveInductance})) {
		sum += s.Share
	}
	for _, row := range tab.Rows {
		rows[row[0]] = row
	}
	if left != 0 || math.Abs(sum-1) > 1e-9 {
		t.Errorf("%d left, shares sum to %v", left, sum)
	}
	for name, want := range map[string][2]string{"b": {"2.200 ± 0.022 pF", "stated"}, "inductance in air": {"1.250 ± 0.010 mH", "stated"}, "± of 2 readings": {"half a unit of the last digit, rectangular", "column frequency ±"},
		"top's share of the coil's capacitance": {"", "--coil with winding diameter and length, or --known winding_capacitance=VALUE±"}} {
		row := rows[name]
		if row == nil || want[0] != "" && row[1] != want[0] || row[5] != want[1] {
			t.Errorf("%s: %q, want %q in %q", name, row, want, tab.Rows)
		}
	}
	for _, b := range r.MovedPriors() {
		if b.Kind == estimation.PartSource && b.Part == "d" {
			row := rows["d"]
			share := 0.0
			for _, s := range r.Sources(r.Find(quantities.Key{Name: quantities.EffectiveInductance})) {
				if s.Kind == estimation.PartSource && s.Part == "d" {
					share = s.Share
				}
			}
			if row[4] != shareText(share) || share < 0.01 {
				t.Errorf("%q, want a share of %v", row, share)
			}
		}
	}
	if row := rows["± of 2 readings"]; row[2] != "-" || row[3] != "-" || row[4] != "50 %" {
		t.Errorf("%q", row)
	}
	for range 40 {
		r.Assumed = append(r.Assumed, r.Assumed[len(r.Assumed)-1])
	}
	n := len(tab.Rows)
	if tab, left = MovedPriors(r); left != n || len(tab.Rows) != 40 {
		t.Errorf("%d rows, %d left, want %d", len(tab.Rows), left, n)
	}
}

// A record with several voltages says which was taken, and why not another.
func TestChannelsInWords(t *testing.T) {
	channel := func(name string, f float64, kind ringing.Kind) Channel {
		c := inventedCapture()
		c.Capture.Call = name
		c.Result.Kind, c.Result.Resonance = kind, found(f, 10)
		return Channel{Capture: c.Capture, Result: c.Result}
	}
	silent := channel("CH3", 0, ringing.Decay)
	silent.Result, silent.Err = nil, errors.New("there is only noise; look at the probe")
	list := []Channel{channel("CH1", 1.2346e6, ringing.Decay), channel("CH2", 50, ringing.Steady), silent}
	title := list[0].Capture.Title
	if got, want := TookChannel(list, 0), "only "+title+" rings, and is taken; "+title+": a steady tone of 50.00 Hz; "+title+": there is only noise"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := TookChannel(list, 1), "only "+title+" holds a tone, and is taken; "+title+": a decaying tone of 1.235 MHz; "+title+": there is only noise"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := NoChannel(list[2:]), "no column holds a tone; "+title+": there is only noise"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	problem, do := ManyChannels([]Channel{silent, list[1], list[0]})
	if problem != "several columns hold a tone: "+title+": a steady tone of 50.00 Hz; "+title+": a decaying tone of 1.235 MHz" || do != "choose that of the probe at the coil, as in --column CH2" {
		t.Errorf("%q, %q", problem, do)
	}
}

// Why there is no answer.
func TestRefusalsInWords(t *testing.T) {
	for status, want := range map[fit.Status]string{fit.Stalled: "the search for it did not settle", fit.RoundingLimited: "its last digits do not settle", fit.IterationLimit: "the search went on and on",
		fit.Runaway: "a quantity ran off to where no reading depends on it", fit.StartNotFinite: "a value is too large or too small to compute with"} {
		if got := Unsettled(&estimation.NotConvergedError{Status: status}); got != "the readings lead to no answer to vouch for: "+want+"; look with fitcoil check for a misread value, a wrong unit or a known value that can't be" {
			t.Errorf("%v: %q", status, got)
		}
	}
	if got := Unsettled(&estimation.NotConvergedError{Status: fit.Stalled, Raised: [2]int{4, 7}}); !strings.Contains(got, "line 7 has more on the top or a hand nearer than line 4, and a higher frequency") {
		t.Errorf("a frequency raised: %q", got)
	}
	for _, c := range []struct {
		r    resonance.Refusal
		want string
	}{
		{resonance.Refusal{Reason: resonance.TooFew, Got: 4, Need: 7}, "a resonance curve of 4 frequencies; at least 7 are needed, three of them where the amplitude is above 70 % of the peak"},
		{resonance.Refusal{Reason: resonance.BelowAll}, "the amplitude falls from the lowest frequency on, 1.200 MHz: the resonance is below; begin the sweep lower"},
		{resonance.Refusal{Reason: resonance.AboveAll}, "the amplitude rises to the highest frequency, 1.300 MHz: the resonance is above; sweep on"},
		{resonance.Refusal{Reason: resonance.NoPeak}, "the amplitude doesn't rise to a peak more clearly than the readings scatter: take more of them, from half of the peak on one side to half on the other"},
		{resonance.Refusal{Reason: resonance.Slip}, "the amplitude at 1.200 MHz is far from that at both its neighbours: check it, or take more readings there, where another peak or a dip may be"},
		{resonance.Refusal{Reason: resonance.TwoPeaks}, "there are two peaks, near 1.200 MHz and 1.300 MHz: two coupled circuits or two modes; sweep around one alone, or loosen the coupling to the driver"},
		{resonance.Refusal{Reason: resonance.NoWidth}, "the readings leave the width of the resonance open: take more of them, on both sides down to half of the peak"},
		{resonance.Refusal{Reason: resonance.NoLine}, "no resonance curve fits the readings: look at them; the amplitude should rise to one peak and fall behind it"},
	} {
		c.r.Frequencies = [2]float64{1.2e6, 1.3e6}
		if got := SweepRefused(&c.r); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	if got := SweepRefused(errFull); got != errFull.Error() {
		t.Errorf("%q", got)
	}
}

// Captures of a steady tone each make a sweep; seven at least, none far from the others.
func TestDrivenSweep(t *testing.T) {
	steady := func(f float64) Captured {
		return Captured{&waveform.Capture{Unit: "V"}, &ringing.Result{Kind: ringing.Steady, Frequency: found(f, 1e-6*f), Amplitude: found(f/1e6, 0.01)}}
	}
	var list []Captured
	for i := range 7 {
		list = append(list, steady(1e6+5e4*float64(i)))
	}
	list[3].Result.Frequency.Uncertainty *= 4
	s, timebase, ok := DrivenSweep(list)
	if !ok || s.Name != "7 captures" || s.Column != "amplitude" || s.Unit != "V" || len(s.Points) != 7 || s.Points[2].Frequency != 1.1e6 || s.Points[2].Amplitude != 1.1 || math.Abs(timebase-4e-6) > 1e-12 {
		t.Errorf("%+v, %v, %v", s, timebase, ok)
	}
	if _, _, ok := DrivenSweep(list[:6]); ok {
		t.Error("six captures")
	}
	for what, spoil := range map[string]func(c *Captured){"decays": func(c *Captured) { c.Result.Kind = ringing.Decay }, "open": func(c *Captured) { c.Result.Amplitude.Determined = false },
		"nothing": func(c *Captured) { c.Result.Amplitude.Value = 0 }, "another unit": func(c *Captured) { c.Capture.Unit = "mA" }, "far": func(c *Captured) { c.Result.Frequency.Value = 1.5e6 }} {
		c := steady(1.05e6)
		spoil(&c)
		if _, _, ok := DrivenSweep(append([]Captured{c}, list...)); ok {
			t.Error(what)
		}
	}
	swept := Swept{Sweep: &waveform.Sweep{Unit: "1", Notes: []string{"mind"}}, Result: &resonance.Result{Resonance: found(1.25e6, 100), Quality: found(63, 2), Peak: found(0.8, 0.01)}}
	row := SweepRow(swept, []string{"core=rod"})
	if row.Frequency != 1.25e6 || row.Uncertainty != 100 || row.Amplitude != 0.8 || row.AmplitudeUnit != "" || row.Quality != 63 || len(row.State) != 1 || row.Cautions[0] != "mind" {
		t.Errorf("%+v", row)
	}
	swept.Sweep.Unit = "V"
	if row := SweepRow(swept, nil); row.AmplitudeUnit != "V" {
		t.Errorf("%+v", row)
	}
}

// The answer in brief has blocks, cells and points as the text has.
func TestBriefHasWhatTextHas(t *testing.T) {
	r := fittedInvented(t)
	a := Brief(r, decisions.Planned{}, tidyParts)
	if a.Counted != "4 readings" || a.Verdict != "consistent with the model (χ²/ν = 1.20, p = 0.306)" || len(a.Blocks) != 2 {
		t.Fatalf("%+v", a)
	}
	b := a.Blocks[0]
	if b.Title != "Coil, bare, seen from the top" || b.Head != nil || b.Rows[1][0] != "inductance" || b.Rows[1][1] != "1.000 ± 0.020 mH" || b.Rows[1][2] != "at low frequency 1.200 ± 0.030 mH" || b.Rows[2][2] != "" || b.Rows[2][1] != "4.050 ± 0.080 pF" {
		t.Errorf("%+v", b)
	}
	if p := a.Points[0]; p.Label != "Hand near" || p.Text[0] != "at 10 cm − 25.00 ± 0.50 kHz; at 20 cm − 8.00 ± 0.50 kHz" {
		t.Errorf("%+v", p)
	}
	r.Parameters = append(r.Parameters, ofCore("two", estimateOf(quantities.CoreGain, "1", 1.5, 0.01)))
	a = Brief(r, decisions.Planned{}, tidyParts)
	if b := a.Blocks[1]; len(b.Head) != 4 || b.Head[1] != "inductance" || len(b.Rows) != 2 || b.Rows[1][0] != "two" || b.Rows[1][2] != "not determined" {
		t.Errorf("%+v", b)
	}
}
