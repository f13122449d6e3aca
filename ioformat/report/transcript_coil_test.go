package report

import (
	"io"
	"math"
	"testing"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/field"
	"fitcoil/model/quantities"
)

func TestSweepTranscript(t *testing.T) {
	s := NewSweep("turns", []float64{300, 320}, func(v float64) string { return quantity.Decimals(v, 0) + " turns" },
		[]decisions.SweepPoint{{Gain: 1.75, Frequency: estimateOf("", "Hz", 2.5e6, 3e3)}, {Gain: math.NaN(), Frequency: estimateOf("", "Hz", 2.4e6, 4e3)}})
	transcript(t, "sweep", func(w io.Writer) error { return SweepText(w, contradictory(), s, Source{Log: "evening.csv"}, View{}) }, `
evening.csv: the effect of turns

Contradiction: no number below is to be trusted until it is resolved
- part "4.7 pF": the other readings give 5.20 pF, 3.4 standard deviations from
its value

turns core gain frequency ±
300 turns 1.750 2.5000 0.0030 MHz
320 turns - 2.4000 0.0040 MHz

± is one standard uncertainty. --plots DIR draws it.`)
}

// drawnCoil is wound 10 cm long, 5 kV/m per kilovolt at the top all along it: 10 V from each of
// 100 turns to the next, 50 mA into the grounded end per kilovolt.
func drawnCoil() *drawing.Drawn {
	p := field.Profile{Height: []float64{0, 0.05, 0.1}, Voltage: []float64{0, 0.5, 1}, Current: []float64{1, 0.75, 0.5}, Base: 5e-5}
	return &drawing.Drawn{Prediction: &field.Prediction{Bare: p}, Drawing: drawing.Drawing{Coil: field.Coil{Turns: 100, Length: 0.1, Diameter: 0.02, Wire: 0.5e-3, Ball: 0.01}},
		Estimates: []quantities.Estimate{estimateOf(quantities.Inductance, "H", 1e-3, 12e-6), estimateOf(quantities.WindingCapacitance, "F", 1.5e-12, 0.03e-12)}}
}

func TestCoilTranscript(t *testing.T) {
	d := drawnCoil()
	medhurst := estimateOf("", "F", 1.2e-12, 0.03e-12)
	c := drawing.CrossCheck{Shape: 5, Drawn: estimateOf("", "F", 1.1e-12, 0.02e-12), Measured: &medhurst}
	src := Source{Log: "coil.csv"}
	write := func(volts float64, v View) func(w io.Writer) error {
		return func(w io.Writer) error { return CoilText(w, d, &c, volts, src, v) }
	}
	transcript(t, "coil", write(0, View{}), `
coil.csv: the coil from its drawing, before any reading

From the drawing (± is one standard uncertainty)
value ± 95 % interval
inductance in air 1.000 0.012 mH 0.976 to 1.024
winding capacitance 1.500 0.030 pF 1.440 to 1.560

Limits bench, mount and wires add stray capacitance at the top, so that
the coil will ring lower than this bare frequency
Cross-check self-capacitance of the winding alone, without ball and core,
1.100 ± 0.020 pF; coils of its length over diameter (5) measured
by Medhurst (1947): 1.200 ± 0.030 pF, +9.1 %
Next read the bare coil, and with a known capacitor on the top; then
fitcoil fit LOG --coil SHEET gives the stray capacitance

High voltage burns whatever these numbers say: keep away, discharge it first.`)
	src.Warnings = []string{"no wire is given"}
	d.Drawing.Coil.Primary.Metal = field.Grounded
	c.Shape = 0.5
	d.Estimates = append(d.Estimates, ofCore("rod", estimateOf(quantities.CoreGain, "1", 2, 0.1)), ofCore("rod", estimateOf(quantities.QualityCore, "1", 200, 20)),
		estimateOf("gain_as_placed", "1", 1.5, 0.1))
	for i := range 8 {
		d.Estimates = append(d.Estimates, atHand(0.05*float64(i+1), estimateOf(quantities.HandCapacitance, "F", 0.2e-12/float64(i+1), 0.01e-12)))
	}
	transcript(t, "coil in full", write(20e3, View{Full: true, Width: 120}), `
coil.csv: the coil from its drawing, before any reading

Warnings
- no wire is given

From the drawing (± is one standard uncertainty)
value ± 95 % interval
inductance in air 1.000 0.012 mH 0.976 to 1.024
winding capacitance 1.500 0.030 pF 1.440 to 1.560
core gain, rod all along the winding 2.00 0.10 1.80 to 2.20
quality factor by core rod's material 200 20 160 to 240
gain as placed, beads 1.50 0.10 1.30 to 1.70
hand capacitance at 5 cm 0.200 0.010 pF 0.180 to 0.220
hand capacitance at 10 cm 0.100 0.010 pF 0.080 to 0.120
hand capacitance at 15 cm 0.067 0.010 pF 0.047 to 0.087
hand capacitance at 20 cm 0.050 0.010 pF 0.030 to 0.070
hand capacitance at 25 cm 0.040 0.010 pF 0.020 to 0.060
hand capacitance at 30 cm 0.033 0.010 pF 0.013 to 0.053
hand capacitance at 35 cm 0.029 0.010 pF 0.009 to 0.049
hand capacitance at 40 cm 0.025 0.010 pF 0.005 to 0.045

Voltage with 20.0 kV at the top (peak values, lowest mode)
bare
largest gradient 2.00 kV/cm
between turns 200 V
current at the grounded end 1.00 A
in the wire 5.09 A/mm²
along the winding:
height bare
0 m 0 V
10.0 mm 2.00 kV
20.0 mm 4.00 kV
30.0 mm 6.00 kV
40.0 mm 8.00 kV
50.0 mm 10.0 kV
60.0 mm 12.0 kV
70.0 mm 14.0 kV
80.0 mm 16.0 kV
90.0 mm 18.0 kV
100 mm 20.0 kV
- the top may spark over 24 mm of air to a point, and farther in a train of sparks
- by sparking distances of needle points (AIEE), less a quarter for radio frequency (Peek); voids in potting spark
first; IEC 60664 ends at 1 kV; what is not named may spark too

Limits bench, mount and wires add stray capacitance at the top, so that the coil will ring lower than this bare
frequency
Primary its turns count as grounded metal in the electric field; a row "primary metal" in the sheet may say
floating
Cross-check self-capacitance of the winding alone, without ball and core, 1.100 ± 0.020 pF; coils of its length over
diameter (0.5) measured by Medhurst (1947): 1.200 ± 0.030 pF, +9.1 %
For short coils, leads and the thickness of the turns matter; the drawing has neither.
Next read the bare coil, and with a known capacitor on the top; then fitcoil fit LOG --coil SHEET gives the
stray capacitance

High voltage burns whatever these numbers say: keep away, discharge it first.`)
	c.Measured, d.Drawing.Coil.Ball = nil, 0
	d.Core, d.Drawing.Core = &field.CorePrediction{Mode: d.Bare}, "rod"
	transcript(t, "with voltage", write(20e3, View{}), `
coil.csv: the coil from its drawing, before any reading

Warnings
- no wire is given

From the drawing (± is one standard uncertainty)
value ± 95 % interval
inductance in air 1.000 0.012 mH 0.976 to 1.024
winding capacitance 1.500 0.030 pF 1.440 to 1.560
core gain, rod all along the winding 2.00 0.10 1.80 to 2.20
quality factor by core rod's material 200 20 160 to 240
gain as placed, beads 1.50 0.10 1.30 to 1.70
hand capacitance at 5 cm 0.200 0.010 pF 0.180 to 0.220
hand capacitance at 10 cm 0.100 0.010 pF 0.080 to 0.120
hand capacitance at 15 cm 0.067 0.010 pF 0.047 to 0.087
hand capacitance at 20 cm 0.050 0.010 pF 0.030 to 0.070
hand capacitance at 25 cm 0.040 0.010 pF 0.020 to 0.060
hand capacitance at 30 cm 0.033 0.010 pF 0.013 to 0.053
and more of the hand: --full

Voltage with 20.0 kV at the top (peak values, lowest mode)
bare core rod
largest gradient 2.00 kV/cm 2.00 kV/cm
between turns 200 V 200 V
current at the grounded end 1.00 A 1.00 A
in the wire 5.09 A/mm² 5.09 A/mm²
- the top may spark over 24 mm of air to a point, and farther in a train of
sparks
- by sparking distances of needle points (AIEE), less a quarter for radio
frequency (Peek); voids in potting spark first; IEC 60664 ends at 1 kV; what
is not named may spark too

Cross-check self-capacitance of the winding alone 1.100 ± 0.020 pF;
Medhurst's table of measured coils (1947) has none of length
over diameter 0.5
Next read the bare coil, and with a known capacitor on the top; then
fitcoil fit LOG --coil SHEET gives the stray capacitance

High voltage burns whatever these numbers say: keep away, discharge it first.`)
	c.Measured, c.Shape = &medhurst, 1
	d.Estimates = d.Estimates[:1]
	transcript(t, "short coil, figures for one kilovolt", write(0, View{Full: true}), `
coil.csv: the coil from its drawing, before any reading

Warnings
- no wire is given

From the drawing (± is one standard uncertainty)
value ± 95 % interval
inductance in air 1.000 0.012 mH 0.976 to 1.024

Voltage with 1.00 kV at the top (peak values, lowest mode)
bare core rod
largest gradient 100 V/cm 100 V/cm
between turns 10.0 V 10.0 V
current at the grounded end 50.0 mA 50.0 mA
in the wire 255 mA/mm² 255 mA/mm²
along the winding:
height bare core rod
0 m 0 V 0 V
10.0 mm 100 V 100 V
20.0 mm 200 V 200 V
30.0 mm 300 V 300 V
40.0 mm 400 V 400 V
50.0 mm 500 V 500 V
60.0 mm 600 V 600 V
70.0 mm 700 V 700 V
80.0 mm 800 V 800 V
90.0 mm 900 V 900 V
100 mm 1.00 kV 1.00 kV

Primary its turns count as grounded metal in the electric field; a row
"primary metal" in the sheet may say floating
Cross-check self-capacitance of the winding alone, without ball and core,
1.100 ± 0.020 pF; coils of its length over diameter (1) measured
by Medhurst (1947): 1.200 ± 0.030 pF, +9.1 %
Coils of this shape agree with the drawing within some 5 %, on a
solid former.
Next read the bare coil, and with a known capacitor on the top; then
fitcoil fit LOG --coil SHEET gives the stray capacitance

High voltage burns whatever these numbers say: keep away, discharge it first.`)
}

// cross is the check of a coil that no table has.
func cross(d *drawing.Drawn) drawing.CrossCheck {
	return drawing.CrossCheck{Shape: d.Drawing.Coil.Length / d.Drawing.Coil.Diameter, Drawn: short(drawing.SelfCapacitance, "F")}
}
