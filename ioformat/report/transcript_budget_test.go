package report

import (
	"io"
	"math"
	"testing"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

func TestBudgetTranscript(t *testing.T) {
	e := estimateOf(quantities.Inductance, "H", 1e-3, 10e-6)
	input := func(kind estimation.SourceKind, count, line int, v float64, unit string, u, c float64) estimation.Input {
		in := estimation.Input{Source: estimation.Source{Kind: kind, Count: count}, Line: line, Value: v, Unit: unit, Uncertainty: u, Sensitivity: c, Contribution: c * u, Degrees: math.Inf(1)}
		in.Share = math.Pow(in.Contribution/e.Uncertainty, 2)
		return in
	}
	part := input(estimation.PartSource, 0, 0, 10e-12, "F", 0.1e-12, 8e6/1e-0) // 8 µH/pF·0.1 pF = 0.8 µH
	part.Part = "10 pF"
	logarithm := input(estimation.AssumptionSource, 0, 0, 0.05, "m", 0.5, 6e-6)
	logarithm.Logarithmic, logarithm.Assumption.Kind = true, estimation.AssumedHandOffset
	b := Budget{Estimate: &e, Inputs: []estimation.Input{input(estimation.BareReadings, 1, 2, 2.5e6, "Hz", 1e3, -3e-9),
		input(estimation.CoreReadings, 1, 7, 1.5e6, "Hz", 500, 1e-9), input(estimation.BareReadings, 1, 3, 2.5e6, "Hz", 1e3, 4e-9),
		part, logarithm, input(estimation.ModelSource, 0, 0, 0, "1", 0.002, 1e-3), input(estimation.CommonSource, 0, 0, 0, "1", 0.001, 1e-5)}}
	src := Source{Log: "evening.csv"}
	write := func(b Budget, v View) func(w io.Writer) error {
		return func(w io.Writer) error { return BudgetText(w, consistent(), b, src, v) }
	}
	transcript(t, "in full", write(b, View{Full: true, Width: 120}), `
evening.csv: uncertainty budget of inductance in air
y = 1.000 ± 0.010 mH; 95 % interval 0.980 to 1.020 mH, k = 2 (60 degrees of freedom)

input value u(x) c u(y) share
line 2, bare 2.5000 MHz 0.0010 MHz -3.0 mH/MHz -0.0030 mH 9.0 %
line 7, with a core 1.50000 MHz 0.00050 MHz 1.0 mH/MHz 5.0e-4 mH 0.3 %
line 3, bare 2.5000 MHz 0.0010 MHz 4.0 mH/MHz 0.0040 mH 16.0 %
tolerance of 10 pF 10.00 pF 0.10 pF 0.0080 mH/pF 8.0e-4 mH 0.6 %
offset of the hand's law 50.0 mm ln: 0.5 0.0060 mH 0.0030 mH 9.0 %
model, core partly in 0 0.2 % 0.010 mH/% 0.0020 mH 4.0 %
tolerances in common 0 0.1 % 1.0e-4 mH/% 1.0e-5 mH < 0.1 %
y, root sum of squares 1.000 mH 0.0062 mH 100 %

u(x): standard uncertainty of the input, ln: of its logarithm; c: sensitivity dy/dx; u(y) = c u(x).`)
	transcript(t, "brief", write(b, View{}), `
evening.csv: uncertainty budget of inductance in air
y = 1.000 ± 0.010 mH; 95 % interval 0.980 to 1.020 mH, k = 2 (60 degrees of
freedom)

input value u(x) c u(y) share
2 readings bare 0.0050 mH 25.0 %
offset of the 50.0 mm ln: 0.5 0.0060 mH 0.0030 mH 9.0 %
hand's law
model, core partly 0 0.2 % 0.010 mH/% 0.0020 mH 4.0 %
in
tolerance of 10 pF 10.00 pF 0.10 pF 0.0080 mH/pF 8.0e-4 mH 0.6 %
1 reading with a 1.50000 MHz 0.00050 MHz 1.0 mH/MHz 5.0e-4 mH 0.3 %
core
1 more input 1.0e-5 mH < 0.1 %
y, root sum of 1.000 mH 0.0062 mH 100 %
squares

u(x): standard uncertainty of the input, ln: of its logarithm; c: sensitivity
dy/dx; u(y) = c u(x).
Each reading by itself: --full.`)
	e.Degrees = 12.4
	b.State, b.Parts = &readings.State{Parts: []int{0}, Hand: math.Inf(1)}, tidyParts
	for range 30 {
		b.Inputs = append(b.Inputs, part)
	}
	src.Warnings = []string{"a row was left out"}
	transcript(t, "long", write(b, View{}), `
evening.csv: uncertainty budget of the frequency, 4.7 pF

Warnings
- a row was left out

y = 1.000 ± 0.010 mH; 95 % interval 0.980 to 1.020 mH, k = 2 (12 degrees of
freedom)

input value u(x) c u(y) share
2 readings bare 0.0050 mH 25.0 %
offset of the hand's law 50.0 mm ln: 0.5 0.0060 mH 0.0030 mH 9.0 %
model, core partly in 0 0.2 % 0.010 mH/% 0.0020 mH 4.0 %
tolerance of 10 pF 10.00 pF 0.10 pF 0.0080 mH/pF 8.0e-4 mH 0.6 %
tolerance of 10 pF 10.00 pF 0.10 pF 0.0080 mH/pF 8.0e-4 mH 0.6 %
tolerance of 10 pF 10.00 pF 0.10 pF 0.0080 mH/pF 8.0e-4 mH 0.6 %
tolerance of 10 pF 10.00 pF 0.10 pF 0.0080 mH/pF 8.0e-4 mH 0.6 %
tolerance of 10 pF 10.00 pF 0.10 pF 0.0080 mH/pF 8.0e-4 mH 0.6 %
tolerance of 10 pF 10.00 pF 0.10 pF 0.0080 mH/pF 8.0e-4 mH 0.6 %
tolerance of 10 pF 10.00 pF 0.10 pF 0.0080 mH/pF 8.0e-4 mH 0.6 %
tolerance of 10 pF 10.00 pF 0.10 pF 0.0080 mH/pF 8.0e-4 mH 0.6 %
tolerance of 10 pF 10.00 pF 0.10 pF 0.0080 mH/pF 8.0e-4 mH 0.6 %
tolerance of 10 pF 10.00 pF 0.10 pF 0.0080 mH/pF 8.0e-4 mH 0.6 %
tolerance of 10 pF 10.00 pF 0.10 pF 0.0080 mH/pF 8.0e-4 mH 0.6 %
tolerance of 10 pF 10.00 pF 0.10 pF 0.0080 mH/pF 8.0e-4 mH 0.6 %
21 more inputs 0.0035 mH 12.4 %
y, root sum of squares 1.000 mH 0.0076 mH 100 %

u(x): standard uncertainty of the input, ln: of its logarithm; c: sensitivity
dy/dx; u(y) = c u(x).
Each reading by itself: --full.`)
	b.Inputs, b.State = nil, nil
	transcript(t, "at a bound", write(b, View{}), `
evening.csv: inductance in air is at its bound: it has no standard
uncertainty.`)
	e = ofPart("spike", openEstimate(quantities.PartCapacitance, "F"))
	transcript(t, "open", write(b, View{}), `
evening.csv: the capacitance of spike is not determined by these readings.`)
}

func TestCheckTranscript(t *testing.T) {
	bare := readings.Bare()
	log := readings.Log{Parts: tidyParts, Readings: []readings.Reading{{State: bare, Line: 2, Frequency: 2.5e6, Uncertainty: 1e3, Use: true},
		{State: withState(bare, func(s *readings.State) { s.Parts = []int{0} }), Line: 3, Frequency: 1.7e6, Uncertainty: 300, FromDigits: true, Use: true},
		{State: withState(bare, func(s *readings.State) { s.Hand = 0.1 }), Line: 4, Frequency: 900e3, Uncertainty: 2e3}}}
	src := Source{Log: "evening.csv", Warnings: []string{"hand taken as cm"}}
	write := func(v View) func(w io.Writer) error {
		return func(w io.Writer) error { return CheckText(w, log, src, v) }
	}
	transcript(t, "check", write(View{}), `
evening.csv: 3 readings, no fault

How the input was read
- hand taken as cm

Readings (± is one standard uncertainty)
line frequency ± ± from state
2 2.5000 0.0010 MHz the log bare
3 1.70000 0.00030 MHz digits 4.7 pF
4 0.9000 0.0020 MHz the log hand at 10 cm (not used)

Parts 4.7 pF: 4.70 ± 0.10 pF; spike: to be found; 10 pF:
10.000 ± 0.050 pF`)
	log.Readings[0].Repeats = &readings.Repeats{Count: 3, Last: 9, Deviation: 1.7e3}
	transcript(t, "in full, with means", write(View{Full: true}), `
evening.csv: 5 readings, as the means of 3 states, no fault

How the input was read
- hand taken as cm

Readings (± is one standard uncertainty)
line readings scatter frequency ± ± from state
2-9 3 1.7 kHz 2.5000 0.0010 MHz all of them bare
3 1 1.70000 0.00030 MHz digits 4.7 pF
4 1 0.9000 0.0020 MHz the log hand at 10 cm
(not used)

Parts (± is one standard uncertainty: a tolerance is a bound taken as 95 %)
4.7 pF 4.70 0.10 pF
spike to be found
10 pF 10.000 0.050 pF`)
	log.Parts, src.Warnings = nil, nil
	log.Readings[1].Parts = nil
	for len(log.Readings) < 40 {
		log.Readings = append(log.Readings, log.Readings[1])
	}
	transcript(t, "many", write(View{}), `
evening.csv: 42 readings, as the means of 40 states, no fault

Readings (± is one standard uncertainty)
line readings scatter frequency ± ± from state
2-9 3 1.7 kHz 2.5000 0.0010 MHz all of them bare
3 1 1.70000 0.00030 MHz digits bare
4 1 0.9000 0.0020 MHz the log hand at 10 cm
(not used)
3 1 1.70000 0.00030 MHz digits bare
3 1 1.70000 0.00030 MHz digits bare
3 1 1.70000 0.00030 MHz digits bare
3 1 1.70000 0.00030 MHz digits bare
3 1 1.70000 0.00030 MHz digits bare
3 1 1.70000 0.00030 MHz digits bare
3 1 1.70000 0.00030 MHz digits bare
3 1 1.70000 0.00030 MHz digits bare
3 1 1.70000 0.00030 MHz digits bare
3 1 1.70000 0.00030 MHz digits bare
3 1 1.70000 0.00030 MHz digits bare
3 1 1.70000 0.00030 MHz digits bare
3 1 1.70000 0.00030 MHz digits bare
3 1 1.70000 0.00030 MHz digits bare
3 1 1.70000 0.00030 MHz digits bare
3 1 1.70000 0.00030 MHz digits bare
3 1 1.70000 0.00030 MHz digits bare
and 20 more: --full`)
}

// others are intervals of 1.00 ± 0.02 mH, 0.96 to 1.04 mH by the linear law, by other ways.
func TestOtherIntervalsTranscript(t *testing.T) {
	l, c, air := estimateOf(quantities.EffectiveInductance, "H", 1e-3, 20e-6), estimateOf(quantities.EffectiveCapacitance, "F", 4e-12, 0.08e-12), estimateOf(quantities.Inductance, "H", 1.2e-3, 30e-6)
	list := []estimation.Profiled{{Estimate: &l, Profile: [2]float64{0.9621e-3, 1.0419e-3}}, {Estimate: &c, Profile: [2]float64{3.84e-12, 4.2e-12}}, {Estimate: &air, Better: true, Profile: [2]float64{math.NaN(), math.Inf(1)}}}
	profiles := func(list []estimation.Profiled, v View) func(w io.Writer) error {
		return func(w io.Writer) error { return ExtraText(w, Extra{Profiles: list}, v) }
	}
	transcript(t, "profiles", profiles(list, View{}), `
95 % intervals by profile likelihood
linear profile u
effective inductance 0.960 to 1.040 0.962 to 1.042 mH 0.020
effective capacitance 3.840 to 4.160 3.840 to 4.200 pF 0.080
inductance in air 1.140 to 1.260 a better fit exists mH 0.030
3 of 3 linear intervals differ from these by more than a tenth of the standard
uncertainty (--json has all): quote the profile's there.`)
	transcript(t, "in full", profiles(list, View{Full: true}), `
95 % intervals by profile likelihood
linear profile u
effective inductance 0.960 to 1.040 0.962 to 1.042 mH 0.020
effective capacitance 3.840 to 4.160 3.840 to 4.200 pF 0.080
inductance in air 1.140 to 1.260 a better fit exists mH 0.030
3 of 3 linear intervals differ from these by more than a tenth of the standard
uncertainty: quote the profile's there.`)
	transcript(t, "agree", profiles(list[:1], View{}), `
95 % intervals by profile likelihood
linear profile u
effective inductance 0.960 to 1.040 0.962 to 1.042 mH 0.020
1 of 1 linear intervals differ from these by more than a tenth of the standard
uncertainty (--json has all): quote the profile's there.`)
	m := estimation.MonteCarlo{Trials: 5000, Failed: 3, Seed: 11, Degrees: 7.2, Quantities: []estimation.Propagated{
		{Estimate: &l, Mean: 1.01e-3, Deviation: 22e-6, Shortest: [2]float64{0.97e-3, 1.05e-3}, Validation: fit.Validation{Tolerance: 5e-6, Low: 6e-6, High: 1e-6}},
		{Estimate: &air, Mean: 1.2e-3, Deviation: 31e-6, Shortest: [2]float64{1.13e-3, 1.26e-3}, Validation: fit.Validation{Tolerance: 5e-6, Low: 4e-6, High: 1e-6}},
		{Estimate: &c, Mean: 4e-12, Deviation: 0.081e-12, Shortest: [2]float64{3.84e-12, 4.16e-12}, Validation: fit.Validation{Tolerance: 0.005e-12, Low: 0.001e-12}}}}
	trials := func(v View) func(w io.Writer) error {
		return func(w io.Writer) error { return ExtraText(w, Extra{MonteCarlo: &m}, v) }
	}
	transcript(t, "trials", trials(View{}), `
Monte Carlo (JCGM 101:2008): 5000 trials, seed 11, stopped there, not yet
settled to δ/5
3 further trials have no solution and are left out
1 of 3 linear 95 % intervals differ from the probabilistically symmetric ones
of the trials by more than δ, the numerical tolerance of one digit of u
(--json has all): quote those of the trials there.
95 % intervals linear shortest u δ
effective inductance 0.960 to 1.040 0.970 to 1.050 mH 0.022 0.005
effective capacitance 3.840 to 4.160 3.840 to 4.160 pF 0.081 0.005
Few readings check the stated uncertainties: the trials draw that doubt too
(Student's t, 7 degrees of freedom), so that the tails of what is no straight
function of the readings, as a core's gain, are longer than by --profile.`)
	m.Degrees, m.Failed, m.Settled = 30, 0, true
	transcript(t, "trials in full", trials(View{Full: true}), `
Monte Carlo (JCGM 101:2008): 5000 trials, seed 11, settled to δ/5
95 % intervals linear shortest u δ valid
effective inductance 0.960 to 1.040 0.970 to 1.050 mH 0.022 0.005 no
inductance in air 1.140 to 1.260 1.130 to 1.260 mH 0.031 0.005 yes
effective capacitance 3.840 to 4.160 3.840 to 4.160 pF 0.081 0.005 yes
1 of 3 linear 95 % intervals differ from the probabilistically symmetric ones
of the trials by more than δ, the numerical tolerance of one digit of u: quote
those of the trials there.`)
	m.Quantities = m.Quantities[1:]
	transcript(t, "trials agree", trials(View{}), `
Monte Carlo (JCGM 101:2008): 5000 trials, seed 11, settled to δ/5
95 % intervals linear shortest u δ
effective capacitance 3.840 to 4.160 3.840 to 4.160 pF 0.081 0.005
The linear 95 % intervals of all 2 quantities agree with the probabilistically
symmetric ones of the trials within δ, the numerical tolerance of one digit of
u.`)
	m.Quantities[1].Mean, m.Quantities[1].Deviation = math.NaN(), math.NaN()
	transcript(t, "trials without a variance", trials(View{}), `
Monte Carlo (JCGM 101:2008): 5000 trials, seed 11, settled to δ/5
The linear 95 % intervals of all 2 quantities agree with the probabilistically
symmetric ones of the trials within δ, the numerical tolerance of one digit of
u.
95 % intervals linear shortest u δ
effective capacitance 3.840 to 4.160 3.840 to 4.160 pF – 0.005
u –: one in a thousand trials makes most of that variance: the distribution
has no standard deviation to quote.`)
	for v, want := range map[float64]string{0.5: "0.5", 5: "5", 0.05: "0.05", 0.001: "0.001", 50: "50"} {
		if got := plainDigit(v); got != want {
			t.Errorf("%v: %q, want %q", v, got, want)
		}
	}
}
