package report

import (
	"math"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"fitcoil/internal/must"
	"fitcoil/ioformat/waveform"
	"fitcoil/model/quantities"
	"fitcoil/model/resonance"
	"fitcoil/model/ringing"
)

// found is an estimate of an invented capture.
func found(v, u float64) quantities.Estimate {
	return quantities.Estimate{Value: v, Uncertainty: u, Interval: [2]float64{v - 2*u, v + 2*u}, Determined: true}
}

// inventedCapture rings with two modes that are coupled, and hums.
func inventedCapture() Captured {
	tone := func(f, q, a float64) ringing.Tone {
		return ringing.Tone{Frequency: found(f, 10), Natural: found(f+1000, 20), Quality: found(q, 1), Amplitude: found(a, 0.01)}
	}
	r := &ringing.Result{Kind: ringing.Decay, Resonance: found(1.2346e6, 30), Frequency: found(1.2345e6, 40), Quality: found(80, 2), Damping: found(48481, 120),
		Amplitude: found(1.5, 0.02), Offset: found(0.25, 0.003), Modes: []ringing.Tone{tone(1.2e6, 71, 1.1), tone(1.3e6, 62, 0.7)},
		Covariance: ringing.Covariance{{400, 0, 300, 0}, {0, 1, 0, 0}, {300, 0, 400, 0}, {0, 0, 0, 1}}, Noise: ringing.Noise{RMS: 0.0042}, Used: 0.75, Found: 3,
		Left: []ringing.Left{{Start: 0, End: 2e-6, Why: ringing.BeforeRing}, {Start: 8e-6, End: 9e-6, Why: ringing.BeforeRing}}}
	hum := tone(2.4e6, 55, 0.2)
	hum.Relation, hum.Harmonic = ringing.Harmonic, 2
	r.Tones = append([]ringing.Tone{r.Modes[0]}, r.Modes[1], hum)
	r.Bursts = []ringing.Burst{{Start: 1e-6, End: 5e-6, Cycles: 17, Tone: r.Modes[0]}, {Start: 6e-6, End: 8e-6, Cycles: 9, Tone: r.Modes[1], Apart: true}}
	c := &waveform.Capture{Name: "scope.csv", Column: "CH1", Unit: "V", Segment: 2, Notes: []string{"mind this"}}
	c.Signal.Samples, c.Signal.Interval = make([]float64, 400), 25e-9
	return Captured{c, r}
}

func textOf(t *testing.T, list []Captured, sweeps []Swept, v View) string {
	t.Helper()
	var b strings.Builder
	must.Do(t, CaptureText(&b, list, sweeps, v))
	return strings.Join(strings.Fields(b.String()), " ")
}

// A capture is told with all that was found: values, ±, intervals, in the units of the scope.
func TestCaptureText(t *testing.T) {
	c := inventedCapture()
	says(t, "full", textOf(t, []Captured{c}, nil, View{Full: true, Width: 120}), "scope.csv, segment 2: 400 samples of column CH1, 25.00 ns apart", "Notes - mind this", "A decaying tone",
		"resonance frequency 1.234600 0.000030 MHz 1.234540 to 1.234660", "damped frequency 1.234500 0.000040 MHz", "quality factor 80.0 2.0 76.0 to 84.0",
		"decay rate α 48480 120 1/s", "initial amplitude 1.500 0.020 V", "offset 250.0 3.0 mV", "residual noise 4.2 mV rms",
		"Modes", "1.201000 0.000020 MHz 71.0 1.0 1.100 0.010 V", "1.301000 0.000020 MHz 62.0 1.0 700 10 mV",
		"split of the first two: 100.000 ± 0.014 kHz, 8.33 % of the lower one", // √(400 + 400 − 2·300) = 14 Hz
		"Other tones", "harmonic 2 2.400000 0.000010 MHz 200 10 mV 55.0 1.0",
		"Rings", "1.000 µs 5.000 µs 17 1.201000 ± 0.000020 MHz 71.0 ± 1.0", "6.000 µs 8.000 µs 9 1.301000 ± 0.000020 MHz 62.0 ± 1.0 left out",
		"2 of 3 rings found were fitted", "fitted: 75.0 % of the capture; left out: 3.00 µs")
	brief := textOf(t, []Captured{c}, nil, View{})
	says(t, "brief", brief, "resonance frequency 1.234600", "quality factor 80.0", "initial amplitude 1.500", "Modes", "Next fitcoil capture FILE --row STATE --append LOG")
	if strings.Contains(brief, "decay rate") || strings.Contains(brief, "Rings") || strings.Contains(brief, "Other tones") {
		t.Errorf("brief: %q", brief)
	}
	several := textOf(t, []Captured{c, c}, nil, View{})
	says(t, "several", several, "2 captures", "Notes", "scope.csv, segment 2: mind this", "scope.csv, segment 2 1.234600 0.000030 MHz 80.0 2.0 decaying")
	var b strings.Builder
	must.Do(t, CaptureText(&b, []Captured{c, c}, nil, View{}))
	lines := strings.Split(b.String(), "\n") // heads end where their numbers do
	for i := range lines[1:] {
		for head, number := range map[string]string{"resonance": "1.234600", "Q factor": "80.0"} {
			before, _, ok := strings.Cut(lines[i], head)
			above, _, _ := strings.Cut(lines[i+1], number)
			if ok && utf8.RuneCountInString(above+number) != utf8.RuneCountInString(before+head) {
				t.Errorf("%q over %q", lines[i], lines[i+1])
			}
		}
	}
	c.Result.Unclaimed, c.Result.Quality, c.Result.QualityAtLeast = true, quantities.Estimate{}, 47
	c.Result.Resonance.Unclaimed = true
	says(t, "without ±", textOf(t, []Captured{c}, nil, View{}), "A decaying tone (without ±: see the notes)", "resonance frequency 1.234600 MHz not claimed", "quality factor at least 47")
	c.Result.Kind, c.Result.Unclaimed = ringing.Steady, false
	says(t, "steady", textOf(t, []Captured{c}, nil, View{Full: true, Width: 120}), "A steady tone", "frequency of the tone 1.234500", "amplitude 1.500", "offset 250.0", "Stretches")
}

// In JSON each row of the covariance has the name of its mode.
func TestCovarianceIsNamed(t *testing.T) {
	c := inventedCapture()
	if got := strings.Join(captured(&c).Covariance.Names, " "); got != "frequency_1 quality_factor_1 frequency_2 quality_factor_2" {
		t.Errorf("%q", got)
	}
}

// A row for a log has the frequency without losses, and only what was found.
func TestRowOfACapture(t *testing.T) {
	c := inventedCapture()
	r := Row(c, []string{"core=rod"})
	if r.Frequency != 1.2346e6 || r.Uncertainty != 30 || r.Unclaimed || r.Amplitude != 1.5 || r.AmplitudeUnit != "V" || r.Quality != 80 || r.State[0] != "core=rod" || r.Cautions[0] != "mind this" {
		t.Errorf("%+v", r)
	}
	c.Result.Amplitude.Determined, c.Result.Quality.Determined = false, false
	if r := Row(c, nil); r.Amplitude == r.Amplitude || r.Quality == r.Quality { // NaN
		t.Errorf("%+v", r)
	}
}

// A sweep is told with its range, and with what its readings scatter by.
func TestSweptText(t *testing.T) {
	s := Swept{Sweep: &waveform.Sweep{Name: "sweep.csv", Column: "CH2", Unit: "V"}, Result: &resonance.Result{
		Points:    []resonance.Point{{Frequency: 1.2e6}, {Frequency: 1.25e6}, {Frequency: 1.3e6}},
		Resonance: found(1.25e6, 100), Quality: found(63, 2), Peak: found(0.8, 0.01), Direct: found(0.04, 0.003), Scatter: 0.0123}}
	says(t, "sweep", textOf(t, nil, []Swept{s}, View{}), "sweep.csv: 3 amplitudes of column CH2, 1.200 MHz to 1.300 MHz", "resonance frequency 1.25000 0.00010 MHz",
		"quality factor 63.0 2.0", "amplitude at resonance 800 10 mV", "reaches the probe 0.0400 0.0030", "scatter by 1.2 % of the amplitude", "Limits", "Next")
	s.Result.Constant, s.Captures = true, 3
	says(t, "constant scatter", textOf(t, nil, []Swept{s}, View{Full: true}), "sweep.csv as a sweep of the drive", "1.2 % of the peak", "Taken as given", "drive", "quality factor")
	for _, c := range []struct {
		note resonance.Note
		want string
	}{
		{resonance.Note{Kind: resonance.FewInPeak, Value: 3}, "only 3 readings"}, {resonance.Note{Kind: resonance.Below, Value: 0.7}, "below the peak the amplitude was followed to 70 %"},
		{resonance.Note{Kind: resonance.Above, Value: 0.6}, "above the peak the amplitude was followed to 60 %"}, {resonance.Note{Kind: resonance.FewDigits, Value: 1e4}, "written to 10 kHz"},
		{resonance.Note{Kind: resonance.Coupled, Value: 0.12}, "12 % of the peak"}, {resonance.Note{Kind: resonance.Pattern}, "at random"},
	} {
		s.Result.Notes = []resonance.Note{c.note}
		says(t, c.want, strings.Join(sweepNotes(s), ""), c.want)
	}
}

// A sweep's JSON has its file and column, what the scatter is of, what is in doubt, and what is taken as given; without a
// limit to the degrees of freedom there are as many as readings.
func TestWordsOfSweptJSON(t *testing.T) {
	s := Swept{Sweep: &waveform.Sweep{Name: "sweep.csv", Column: "CH2", Unit: "mV", Notes: []string{"mind this"}}, Result: &resonance.Result{
		Points: make([]resonance.Point, 9), Notes: []resonance.Note{{Kind: resonance.FewInPeak, Value: 2}}, Degrees: 5, Scatter: 0.25}}
	for _, c := range []struct {
		constant bool
		of       string
		degrees  float64
		told     float64
	}{{false, "amplitude", 5, 5}, {true, "peak", 5, 5}, {true, "peak", math.Inf(1), 9}, {false, "amplitude", math.Inf(1), 9}} {
		s.Result.Constant, s.Result.Degrees = c.constant, c.degrees
		j := sweptJSON(&s)
		if j.Name != "sweep.csv" || j.Column != "CH2" || j.Readings != 9 || j.ScatterOf != c.of || j.Scatter != 0.25 || j.DegreesOf != c.told || !slices.Equal(j.Assumed, sweepAssumptions) ||
			!slices.Equal(j.Warnings, []string{"mind this", "only 2 readings lie within the half-power width: take more there"}) {
			t.Errorf("%+v: %+v", c, j)
		}
		var names []string
		for _, q := range j.Quantities {
			names = append(names, q.Name+" "+q.Unit)
		}
		if got := strings.Join(names, ", "); got != "resonance_frequency Hz, quality_factor 1, amplitude mV, direct_share 1" {
			t.Errorf("%s", got)
		}
	}
	if row := SweepRow(s, nil); !slices.Equal(row.Cautions, sweepNotes(s)) {
		t.Errorf("%q", row.Cautions)
	}
}

// Words and yes or no of a capture's JSON, each by itself.
func TestWordsOfCaptureJSON(t *testing.T) {
	c := inventedCapture()
	c.Capture.Unit = "A"
	c.Result.Notes = []ringing.Note{{Kind: ringing.Clipped, Values: [4]float64{7}}}
	c.Result.Left[1].Why = ringing.OtherRing
	c.Result.QualityAtLeast = 0.5
	j := captured(&c)
	if j.Name != "scope.csv" || j.Column != "CH1" || j.Kind != "decaying" || j.IntervalUnit != "s" || *j.QualityAtLeast != 0.5 || !slices.Equal(j.Warnings, []string{"mind this", "7 clipped samples were left out; choose more volts per division"}) {
		t.Errorf("%+v", j)
	}
	if j.Tones[2].Relation != "harmonic" || j.Tones[2].Harmonic != 2 || j.Tones[0].Harmonic != 0 || j.Bursts[0].LeftOut || !j.Bursts[1].LeftOut || j.LeftOut[0].Why != ringing.BeforeRing.String() || j.LeftOut[1].Why != ringing.OtherRing.String() {
		t.Errorf("%+v", j)
	}
	for _, q := range [][3]string{{j.Resonance.Name, j.Resonance.Unit, "resonance_frequency Hz"}, {j.Frequency.Name, j.Frequency.Unit, "crossing_frequency Hz"}, {j.Quality.Name, j.Quality.Unit, "quality_factor 1"},
		{j.Damping.Name, j.Damping.Unit, "damping 1/s"}, {j.Amplitude.Name, j.Amplitude.Unit, "amplitude A"}, {j.Offset.Name, j.Offset.Unit, "offset A"}, {j.Modes[0].Amplitude.Name, j.Modes[0].Amplitude.Unit, "amplitude A"},
		{j.Tones[0].Frequency.Name, j.Tones[0].Frequency.Unit, "frequency Hz"}, {j.Bursts[0].Quality.Name, j.Bursts[0].Quality.Unit, "quality_factor 1"}} {
		if q[0]+" "+q[1] != q[2] {
			t.Errorf("%s %s, want %s", q[0], q[1], q[2])
		}
	}
	c.Result.QualityAtLeast, c.Result.Covariance, c.Result.Notes = 0, nil, nil
	c.Result.Quality, c.Result.Offset = quantities.Estimate{Value: 3}, found(1, 0.1)
	c.Result.Offset.Interval[0] = math.Inf(-1)
	if j := captured(&c); j.QualityAtLeast != nil || j.Covariance != nil || j.Quality.Value != nil || j.Quality.Determined || j.Offset.Interval != nil || j.Offset.Uncertainty == nil {
		t.Errorf("%+v", j)
	}
}
