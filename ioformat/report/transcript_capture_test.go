package report

import (
	"io"
	"testing"

	"fitcoil/ioformat/waveform"
	"fitcoil/model/drawing"
	"fitcoil/model/field"
	"fitcoil/model/quantities"
	"fitcoil/model/resonance"
	"fitcoil/model/ringing"
)

func TestCaptureTranscript(t *testing.T) {
	write := func(v View, list ...Captured) func(w io.Writer) error {
		return func(w io.Writer) error { return CaptureText(w, list, nil, v) }
	}
	c := inventedCapture()
	transcript(t, "in full", write(View{Full: true, Width: 120}, c), `
scope.csv, segment 2: 400 samples of column CH1, 25.00 ns apart

Notes
- mind this

A decaying tone (± is one standard uncertainty)
value ± 95 % interval
resonance frequency 1.234600 0.000030 MHz 1.234540 to 1.234660
damped frequency 1.234500 0.000040 MHz 1.234420 to 1.234580
quality factor 80.0 2.0 76.0 to 84.0
decay rate α 48480 120 1/s 48240 to 48720
initial amplitude 1.500 0.020 V 1.460 to 1.540
offset 250.0 3.0 mV 244.0 to 256.0
residual noise 4.2 mV rms

Modes (of the loudest ring)
undamped frequency ± quality factor ± amplitude ±
1.201000 0.000020 MHz 71.0 1.0 1.100 0.010 V
1.301000 0.000020 MHz 62.0 1.0 700 10 mV
split of the first two: 100.000 ± 0.014 kHz, 8.33 % of the lower one

Other tones
frequency ± amplitude ± quality factor ±
harmonic 2 2.400000 0.000010 MHz 200 10 mV 55.0 1.0

Rings
from to cycles frequency quality factor
1.000 µs 5.000 µs 17 1.201000 ± 0.000020 MHz 71.0 ± 1.0
6.000 µs 8.000 µs 9 1.301000 ± 0.000020 MHz 62.0 ± 1.0 left out
2 of 3 rings found were fitted; the others are too short, hold no tone, or are not among the loudest
fitted: 75.0 % of the capture; left out: 3.00 µs before the ring`)
	transcript(t, "in brief", write(View{}, c), `
scope.csv, segment 2: 400 samples of column CH1, 25.00 ns apart

Notes
- mind this

A decaying tone (± is one standard uncertainty)
value ± 95 % interval
resonance frequency 1.234600 0.000030 MHz 1.234540 to 1.234660
quality factor 80.0 2.0 76.0 to 84.0
initial amplitude 1.500 0.020 V 1.460 to 1.540

Modes (of the loudest ring)
undamped frequency ± quality factor ± amplitude ±
1.201000 0.000020 MHz 71.0 1.0 1.100 0.010 V
1.301000 0.000020 MHz 62.0 1.0 700 10 mV
split of the first two: 100.000 ± 0.014 kHz, 8.33 % of the lower one

Next fitcoil capture FILE --row STATE --append LOG adds it to a log;
more: --full`)
	other := inventedCapture()
	other.Capture.Name, other.Capture.Segment, other.Capture.Notes = "other.csv", 0, nil
	other.Result.Quality.Determined, other.Result.Kind = false, ringing.Steady
	transcript(t, "several", write(View{}, c, other), `
2 captures (± is one standard uncertainty)

Notes
- scope.csv, segment 2: mind this

resonance ± Q factor ±
scope.csv, segment 2 1.234600 0.000030 MHz 80.0 2.0 decaying
other.csv 1.234600 0.000030 MHz - steady`)
	var many []Captured
	for range 20 {
		many = append(many, other)
	}
	transcript(t, "many", write(View{}, many...), `
20 captures (± is one standard uncertainty)
resonance ± Q factor ±
other.csv 1.234600 0.000030 MHz - steady
other.csv 1.234600 0.000030 MHz - steady
other.csv 1.234600 0.000030 MHz - steady
other.csv 1.234600 0.000030 MHz - steady
other.csv 1.234600 0.000030 MHz - steady
other.csv 1.234600 0.000030 MHz - steady
other.csv 1.234600 0.000030 MHz - steady
other.csv 1.234600 0.000030 MHz - steady
other.csv 1.234600 0.000030 MHz - steady
other.csv 1.234600 0.000030 MHz - steady
other.csv 1.234600 0.000030 MHz - steady
other.csv 1.234600 0.000030 MHz - steady
other.csv 1.234600 0.000030 MHz - steady
other.csv 1.234600 0.000030 MHz - steady
other.csv 1.234600 0.000030 MHz - steady
other.csv 1.234600 0.000030 MHz - steady
other.csv 1.234600 0.000030 MHz - steady
other.csv 1.234600 0.000030 MHz - steady
and 2 more: --full`)
	c.Result.Unclaimed, c.Result.Quality, c.Result.QualityAtLeast = true, quantities.Estimate{}, 47
	c.Result.Resonance.Unclaimed = true
	c.Result.Covariance, c.Capture.Column = nil, "column B"
	c.Result.Notes = []ringing.Note{{Kind: ringing.Clipped, Values: [4]float64{12}}, {Kind: ringing.FewSteps, Values: [4]float64{5}}}
	transcript(t, "without ±", write(View{}, c), `
scope.csv, segment 2: 400 samples of column B, 25.00 ns apart

Notes
- mind this
- 12 clipped samples were left out; choose more volts per division
- the amplitude is only 5 steps of the converter; choose fewer volts per
division

A decaying tone (without ±: see the notes)
value ± 95 % interval
resonance frequency 1.234600 MHz not claimed
quality factor not determined
initial amplitude 1.500 0.020 V 1.460 to 1.540
quality factor at least 47

Modes (of the loudest ring)
undamped frequency ± quality factor ± amplitude ±
1.201000 0.000020 MHz 71.0 1.0 1.100 0.010 V
1.301000 0.000020 MHz 62.0 1.0 700 10 mV
split of the first two: 100.000 kHz, 8.33 % of the lower one

Next fitcoil capture FILE --row STATE --append LOG adds it to a log;
more: --full`)
	other.Result.Used, other.Result.Bursts = 0.999, other.Result.Bursts[:1]
	other.Result.Found = 1
	transcript(t, "steady", write(View{Full: true, Width: 120}, other), `
other.csv: 400 samples of column CH1, 25.00 ns apart

A steady tone (± is one standard uncertainty)
value ± 95 % interval
frequency of the tone 1.234500 0.000040 MHz 1.234420 to 1.234580
amplitude 1.500 0.020 V 1.460 to 1.540
offset 250.0 3.0 mV 244.0 to 256.0
residual noise 4.2 mV rms

Modes (of the loudest ring)
undamped frequency ± quality factor ± amplitude ±
1.201000 0.000020 MHz 71.0 1.0 1.100 0.010 V
1.301000 0.000020 MHz 62.0 1.0 700 10 mV
split of the first two: 100.000 ± 0.014 kHz, 8.33 % of the lower one

Other tones
frequency ± amplitude ± quality factor ±
harmonic 2 2.400000 0.000010 MHz 200 10 mV 55.0 1.0

Stretches
from to cycles frequency quality factor
1.000 µs 5.000 µs 17 1.201000 ± 0.000020 MHz -`)
}

func TestSweptTranscript(t *testing.T) {
	s := Swept{Sweep: &waveform.Sweep{Name: "sweep.csv", Column: "CH2", Unit: "V", Notes: []string{"mind this"}}, Result: &resonance.Result{
		Points:    []resonance.Point{{Frequency: 1.2e6}, {Frequency: 1.25e6}, {Frequency: 1.3e6}},
		Resonance: found(1.25e6, 100), Quality: found(63, 2), Peak: found(0.8, 0.01), Direct: found(0.04, 0.003), Scatter: 0.01234,
		Notes: []resonance.Note{{Kind: resonance.Pattern}, {Kind: resonance.FewInPeak, Value: 3}, {Kind: resonance.Below, Value: 0.7}, {Kind: resonance.Above, Value: 0.8}, {Kind: resonance.FewDigits, Value: 1000}, {Kind: resonance.Coupled, Value: 0.12}}}}
	write := func(v View) func(w io.Writer) error {
		return func(w io.Writer) error { return CaptureText(w, nil, []Swept{s}, v) }
	}
	transcript(t, "in full", write(View{Full: true, Width: 120}), `
sweep.csv: 3 amplitudes of column CH2, 1.200 MHz to 1.300 MHz

Notes
- mind this
- the readings don't scatter about the curve at random: this isn't one resonance alone, or drive or coil changed
during the sweep; the uncertainties are enlarged, but f and Q may be off by more
- only 3 readings lie within the half-power width: take more there
- below the peak the amplitude was followed to 70 % only: go on to half of it
- above the peak the amplitude was followed to 80 % only: go on to half of it
- the frequencies are written to 1 kHz, which makes most of the uncertainty: write as many digits as the generator
shows
- 12 % of the peak reaches the probe directly: move the probe away from the driver

A resonance curve (± is one standard uncertainty)
value ± 95 % interval
resonance frequency 1.25000 0.00010 MHz 1.24980 to 1.25020
quality factor 63.0 2.0 59.0 to 67.0
amplitude at resonance 800 10 mV 780 to 820
share that reaches the probe directly 0.0400 0.0030 0.0340 to 0.0460
the readings scatter by 1.2 % of the amplitude about the curve

Taken as given
- the drive is taken to be equally large at all frequencies
- the quality factor is that of the coil with all that loads it: driver and probe, coupled as they are, lower it`)
	s.Sweep.Notes, s.Result.Notes, s.Result.Constant = nil, nil, true
	transcript(t, "in brief", write(View{}), `
sweep.csv: 3 amplitudes of column CH2, 1.200 MHz to 1.300 MHz

A resonance curve (± is one standard uncertainty)
value ± 95 % interval
resonance frequency 1.25000 0.00010 MHz 1.24980 to 1.25020
quality factor 63.0 2.0 59.0 to 67.0
amplitude at resonance 800 10 mV 780 to 820
share that reaches the probe 0.0400 0.0030 0.0340 to 0.0460
directly
the readings scatter by 1.2 % of the peak about the curve

Limits the drive is taken to be equally large at all frequencies;
driver and probe lower the quality factor
Next fitcoil capture FILE --row STATE --append LOG adds it to a log;
more: --full`)
}

// A box of 60 mm takes about 20 % of the inductance of a coil of 24 mm.
func TestClosedMetalInWords(t *testing.T) {
	d := &drawing.Drawn{Prediction: &field.Prediction{Frequency: field.Value{Value: 1e6}}}
	d.Drawing.Coil = field.Coil{Turns: 560, Diameter: 24e-3, Length: 220e-3, Wire: 0.35e-3}
	if got := metalWords(d); got != nil {
		t.Errorf("%q", got)
	}
	d.Drawing.Coil.Metal.Box = field.Box{Diameter: 60e-3, Bottom: -20e-3, Top: 240e-3}
	takes := d.Drawing.Coil.MetalTakes() // of a long one, (24/60)² = 16 %
	if !(takes > 0.10 && takes < 0.22) {
		t.Errorf("it takes %g", takes)
	}
	const want = "Closed metal as drawn takes 15 % of the inductance, if it is thicker than its skin depth (copper at the bare frequency: 66 µm); a meter at low frequency reads more." // √(ρ/(π f µ₀)), ρ 17.2 nΩm
	if got := metalWords(d); len(got) != 1 || got[0] != want {
		t.Errorf("%q of %g", got, takes)
	}
}
