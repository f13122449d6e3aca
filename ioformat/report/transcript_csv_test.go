package report

import (
	"bytes"
	"io"
	"math"
	"strings"
	"testing"

	"fitcoil/ioformat/waveform"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonance"
)

// What each row of each table is of.
func TestWordsOfCSV(t *testing.T) {
	bare := readings.Bare()
	rod := withState(bare, func(s *readings.State) { s.Parts, s.Core, s.To = []int{0}, "rod", 1 })
	gain := ofCore("rod", estimateOf(quantities.CoreGain, "1", 1.8, 0.02))
	hand := atHand(0.15, openEstimate(quantities.HandCapacitance, "F"))
	spike := ofPart("spike", estimateOf(quantities.PartCapacitance, "F", 2e-12, 0.1e-12))
	spike.Coverage = 0
	r := consistent()
	r.Parameters, r.Derived = []quantities.Estimate{gain, hand}, []quantities.Estimate{spike}
	l := estimateOf(quantities.Inductance, "H", 1e-3, 10e-6)
	extra := Extra{Profiles: []estimation.Profiled{{Estimate: &gain, Profile: [2]float64{1.7, math.Inf(1)}}, {Estimate: &l, Profile: [2]float64{9e-4, 1.1e-3}}},
		MonteCarlo: &estimation.MonteCarlo{Quantities: []estimation.Propagated{{Estimate: &l, Mean: 1.001e-3, Deviation: 11e-6, Shortest: [2]float64{0.97e-3, 1.03e-3}}}}}
	transcript(t, "fit", func(w io.Writer) error { return FitCSV(w, r, extra) }, `
name,of,value,u,lo,hi,unit,k,dof,quoted
core_gain,rod,1.8,0.02,1.76,1.84,1,2,60,1.800(20)
hand_capacitance,15 cm,,,,,F,,,
part_capacitance,spike,2e-12,1e-13,1.8e-12,2.2e-12,F,,,2.00(10) pF
core_gain,"rod, profile likelihood",1.8,0.02,1.7,,1,2,60,1.800(20)
inductance,profile likelihood,0.001,1e-05,0.0009,0.0011,H,2,60,1.000(10) mH
inductance,Monte Carlo,0.001001,1.1e-05,0.00097,0.00103,H,,,1.001(11) mH`)
	transcript(t, "predict", func(w io.Writer) error {
		return PredictCSV(w, Predictions{List: []decisions.Prediction{predicted(rod), {State: bare, Frequency: openEstimate("frequency", "Hz")}}, Parts: tidyParts})
	}, `
name,of,value,u,lo,hi,unit,k,dof,quoted
frequency,"4.7 pF, core rod",2e+06,3000,1.994e+06,2.006e+06,Hz,2,60,2.0000(30) MHz
frequency,bare,,,,,Hz,,,`)
	c := decisions.Comparison{Changes: []decisions.Change{changed(gain, 1.9, 0.025, true, true), changed(l, 1.1e-3, 14e-6, true, true)}}
	transcript(t, "compare", func(w io.Writer) error { return CompareCSV(w, c) }, `
name,of,value,u,lo,hi,unit,k,dof,quoted
core_gain,"rod, first log",1.8,0.02,1.76,1.84,1,2,60,1.800(20)
core_gain,"rod, second log",1.9,0.02,1.76,1.84,1,2,60,1.900(20)
core_gain,"rod, difference",0.1,0.025,0.05,0.15,1,2,60,0.100(25)
inductance,first log,0.001,1e-05,0.00098,0.00102,H,2,60,1.000(10) mH
inductance,second log,0.0011,1e-05,0.00098,0.00102,H,2,60,1.100(10) mH
inductance,difference,0.0001,1.4e-05,7.2e-05,0.000128,H,2,60,100(14) µH`)
	d := drawnCoil()
	transcript(t, "coil", func(w io.Writer) error { return CoilCSV(w, d) }, `
name,of,value,u,lo,hi,unit,k,dof,quoted
inductance,,0.001,1.2e-05,0.000976,0.001024,H,2,60,1.000(12) mH
winding_capacitance,,1.5e-12,3e-14,1.44e-12,1.56e-12,F,2,60,1.500(30) pF`)
	plan := decisions.Planned{Measurand: decisions.Measurand{Key: quantities.Key{Name: "frequency"}, State: rod}, Now: estimateOf("", "Hz", 2e6, 3e3),
		Ranked: []decisions.Suggestion{{Candidate: decisions.Candidate{State: bare}, After: estimateOf("", "Hz", 2e6, 2e3)}}, Greedy: []decisions.Suggestion{{Candidate: decisions.Candidate{Kind: decisions.MeasurePart, Part: 2, Relative: 0.01 / 1.96}, After: estimateOf("", "Hz", 2e6, 1e3)}},
		Better: []decisions.Suggestion{{Candidate: decisions.Candidate{State: rod}, After: estimateOf("", "Hz", 2e6, 1e3)}}}
	transcript(t, "next", func(w io.Writer) error { return NextCSV(w, plan, tidyParts) }, `
name,of,value,u,lo,hi,unit,k,dof,quoted
"frequency@4.7 pF, core rod",now,2e+06,3000,1.994e+06,2.006e+06,Hz,2,60,2.0000(30) MHz
"frequency@4.7 pF, core rod",after bare,2e+06,2000,1.996e+06,2.004e+06,Hz,2,60,2.0000(20) MHz
"frequency@4.7 pF, core rod","plan, after 10 pF measured to ± 1 %",2e+06,1000,1.998e+06,2.002e+06,Hz,2,60,2.0000(10) MHz
"frequency@4.7 pF, core rod","better set, after 4.7 pF, core rod",2e+06,1000,1.998e+06,2.002e+06,Hz,2,60,2.0000(10) MHz`)
	log := readings.Log{Parts: tidyParts[:2], Readings: []readings.Reading{{State: rod, Line: 4, Frequency: 2e6, Uncertainty: 1e3, Use: true, Repeats: &readings.Repeats{Count: 2, Last: 8}}, {State: bare, Line: 5, Frequency: 2.5e6, Uncertainty: 2e3}}}
	transcript(t, "check", func(w io.Writer) error { return CheckCSV(w, log) }, `
name,of,value,u,lo,hi,unit,k,dof,quoted
frequency,"line 4-8, 4.7 pF, core rod",2e+06,1000,,,Hz,,,2.0000(10) MHz
frequency,"line 5, bare, not used",2.5e+06,2000,,,Hz,,,2.5000(20) MHz
part_capacitance,4.7 pF,4.7e-12,1e-13,,,F,,,4.70(10) pF
part_capacitance,spike,,,,,F,,,`)
	reach := decisions.Reached{By: decisions.ByHand, Start: bare, Setting: estimateOf("", "", 0.1, 0.01), At: predicted(withState(bare, func(s *readings.State) { s.Hand = 0.1 }))}
	added := decisions.Reached{By: decisions.ByAdded, Start: rod, Setting: openEstimate("", ""), At: predicted(rod), Standard: []decisions.Prediction{predicted(rod)}, Values: []readings.Part{{Capacitance: 6.8e-12}}}
	transcript(t, "reach", func(w io.Writer) error { return ReachCSV(w, reach, tidyParts) }, `
name,of,value,u,lo,hi,unit,k,dof,quoted
hand,bare,0.1,0.01,0.08,0.12,m,2,60,100(10) mm
frequency,hand at 10 cm,2e+06,3000,1.994e+06,2.006e+06,Hz,2,60,2.0000(30) MHz`)
	ways := Ways{Parts: tidyParts, From: predicted(bare), Controls: []decisions.Reached{added}, AtHand: []decisions.Prediction{predicted(rod)},
		Redrawn: []Redrawn{{Name: "turns", Redrawn: decisions.Redrawn{Setting: estimateOf("", "1", 320, 4), At: predicted(bare)}}}}
	transcript(t, "ways", func(w io.Writer) error { return WaysCSV(w, ways) }, `
name,of,value,u,lo,hi,unit,k,dof,quoted
frequency,bare,2e+06,3000,1.994e+06,2.006e+06,Hz,2,60,2.0000(30) MHz
added,"4.7 pF, core rod",,,,,F,,,
frequency,"4.7 pF, core rod",2e+06,3000,1.994e+06,2.006e+06,Hz,2,60,2.0000(30) MHz
frequency,"6.8 pF, standard value",2e+06,3000,1.994e+06,2.006e+06,Hz,2,60,2.0000(30) MHz
frequency,"4.7 pF, core rod, at hand",2e+06,3000,1.994e+06,2.006e+06,Hz,2,60,2.0000(30) MHz
turns,drawing,320,4,312,328,1,2,60,320.0(40)
frequency,turns changed,2e+06,3000,1.994e+06,2.006e+06,Hz,2,60,2.0000(30) MHz`)
	s := Sweep{Name: "turns", At: []string{"300"}, Points: []decisions.SweepPoint{{Frequency: estimateOf("frequency", "Hz", 2e6, 3e3)}}}
	transcript(t, "sweep", func(w io.Writer) error { return SweepCSV(w, s) }, `
name,of,value,u,lo,hi,unit,k,dof,quoted
frequency,turns = 300,2e+06,3000,1.994e+06,2.006e+06,Hz,2,60,2.0000(30) MHz`)
	captured := inventedCapture()
	captured.Result.Damping.Unclaimed = true
	swept := Swept{Sweep: &waveform.Sweep{Name: "sweep.csv", Column: "CH2", Unit: "1"}, Result: &resonance.Result{Resonance: found(1.25e6, 100), Quality: found(63, 2), Peak: found(0.8, 0.01), Direct: found(0.04, 0.003)}}
	transcript(t, "capture", func(w io.Writer) error { return CaptureCSV(w, []Captured{captured}, []Swept{swept}) }, `
name,of,value,u,lo,hi,unit,k,dof,quoted
resonance_frequency,sweep.csv,1.25e+06,100,1.2498e+06,1.2502e+06,Hz,,,1.25000(10) MHz
quality_factor,sweep.csv,63,2,59,67,1,,,63.0(20)
amplitude,sweep.csv,0.8,0.01,0.78,0.82,1,,,0.800(10)
direct_share,sweep.csv,0.04,0.003,0.034,0.046,1,,,0.0400(30)
resonance_frequency,"scope.csv, segment 2",1.2346e+06,30,1.23454e+06,1.23466e+06,Hz,,,1.234600(30) MHz
crossing_frequency,"scope.csv, segment 2",1.2345e+06,40,1.23442e+06,1.23458e+06,Hz,,,1.234500(40) MHz
quality_factor,"scope.csv, segment 2",80,2,76,84,1,,,80.0(20)
damping,"scope.csv, segment 2",48481,,,,1/s,,,
amplitude,"scope.csv, segment 2",1.5,0.02,1.46,1.54,V,,,1.500(20) V
offset,"scope.csv, segment 2",0.25,0.003,0.244,0.256,V,,,250.0(30) mV
frequency,"scope.csv, segment 2, mode 1",1.201e+06,20,1.20096e+06,1.20104e+06,Hz,,,1.201000(20) MHz
quality_factor,"scope.csv, segment 2, mode 1",71,1,69,73,1,,,71.0(10)
amplitude,"scope.csv, segment 2, mode 1",1.1,0.01,1.08,1.12,V,,,1.100(10) V
frequency,"scope.csv, segment 2, mode 2",1.301e+06,20,1.30096e+06,1.30104e+06,Hz,,,1.301000(20) MHz
quality_factor,"scope.csv, segment 2, mode 2",62,1,60,64,1,,,62.0(10)
amplitude,"scope.csv, segment 2, mode 2",0.7,0.01,0.68,0.72,V,,,700(10) mV`)
	var b bytes.Buffer
	list := []estimation.Input{{Source: estimation.Source{Kind: estimation.BareReadings, Count: 1, Share: 0.25}, Line: 7, Value: 2.5e6, Uncertainty: 800, Unit: "Hz", Degrees: math.Inf(1), Sensitivity: 0.5, Contribution: 400},
		{Source: estimation.Source{Kind: estimation.CommonSource}, Unit: "1", Uncertainty: 0.013, Degrees: 6}, {Source: estimation.Source{Kind: estimation.EarlierSource, Earlier: "a.csv", Count: 4}, Value: math.NaN(), Uncertainty: math.NaN(), Sensitivity: math.NaN()},
		{Source: estimation.Source{Kind: estimation.CommonSource}, Value: 2, Uncertainty: 0.7, Logarithmic: true}}
	transcript(t, "budget", func(w io.Writer) error { return BudgetCSV(w, Budget{Estimate: &gain, Inputs: list}) }, `
name,of,value,u,lo,hi,unit,k,dof,quoted,line,logarithmic,sensitivity,contribution,share
core_gain,rod,1.8,0.02,1.76,1.84,1,2,60,1.800(20),,,,,
"line 7, bare",core_gain,2.5e+06,800,,,Hz,,,2.50000(80) MHz,7,,0.5,400,0.25
tolerances in common,core_gain,0,0.013,,,1,,6,0.000(13),,,0,0,0
4 readings of a.csv,core_gain,,,,,,,0,,,,,0,0
tolerances in common,core_gain,2,0.7,,,,,0,,,yes,0,0,0`)
	hz := estimateOf("frequency", "Hz", 1.8e6, 2e3)
	if err := BudgetCSV(&b, Budget{Estimate: &hz, State: &bare}); err != nil || !strings.Contains(b.String(), "\nfrequency,bare,1.8e+06,2000,") {
		t.Errorf("%v: %q", err, b.String())
	}
}
