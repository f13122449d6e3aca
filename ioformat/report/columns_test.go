package report

import (
	"slices"
	"strings"
	"testing"
)

// shapes are the tables of the transcripts, in their order: each column's heading, the side that
// its cells keep to, and the first of these.
const shapes = `
# TestVoltageTranscript, voltages
State ~ bare | frequency > 2.0000 | ± = 0.0030 |  = MHz | 95 % interval = 1.9940 to 2.0060 | 95 %, new reading < 1.9920 to 2.0080
< largest gradient | bare > 2.00 kV/cm | core rod > 2.50 kV/cm
height > 0 m | bare > 0 V | core rod > 0 V

# TestVoltageTranscript, in brief
State > core rod | frequency > 2.0000 | ± = 0.0030 |  = MHz | 95 %, new reading < 1.9920 to 2.0080

# TestBudgetTranscript, in full
input < line 2, bare | value > 2.5000 MHz | u(x) > 0.0010 MHz | c > -3.0 mH/MHz | u(y) > -0.0030 mH | share > 9.0 %

# TestBudgetTranscript, brief
input < 2 readings bare | value = 50.0 mm | u(x) = ln: 0.5 | c = 0.0060 mH | u(y) = 0.0050 mH | share > 25.0 %
tolerance of 10 pF < 1 reading with a | 10.00 pF = 1.50000 MHz | 0.10 pF = 0.00050 MHz | 0.0080 mH/pF > 1.0 mH/MHz | 8.0e-4 mH = 5.0e-4 mH | 0.6 % = 0.3 %
1 more input = y, root sum of |  = 1.000 mH | 1.0e-5 mH = 0.0062 mH | < 0.1 % > 100 %

# TestBudgetTranscript, long
input < 2 readings bare | value > 50.0 mm | u(x) > ln: 0.5 | c > 0.0060 mH | u(y) = 0.0050 mH | share > 25.0 %

# TestCheckTranscript, check
line > 2 | frequency > 2.5000 | ± < 0.0010 |  = MHz | ± from < the log | state < bare

# TestCheckTranscript, in full, with means
line > 2-9 | readings > 3 | scatter = 1.7 kHz | frequency > 2.5000 | ± < 0.0010 |  = MHz | ± from < all of them | state < bare
4.7 pF < spike | 4.70 > to be found | 0.10 = 0.050 | pF = pF

# TestCheckTranscript, many
line > 2-9 | readings > 3 | scatter = 1.7 kHz | frequency > 2.5000 | ± < 0.0010 |  = MHz | ± from < all of them | state < bare
3 = 3 | 1 = 1 | 1.70000 = 1.70000 | 0.00030 = 0.00030 | MHz = MHz | digits = digits | bare = bare

# TestOtherIntervalsTranscript, profiles
< effective inductance | linear = 0.960 to 1.040 | profile > 0.962 to 1.042 |  = mH | u = 0.020

# TestOtherIntervalsTranscript, in full
< effective inductance | linear = 0.960 to 1.040 | profile > 0.962 to 1.042 |  = mH | u = 0.020

# TestOtherIntervalsTranscript, agree
= effective inductance | linear = 0.960 to 1.040 | profile = 0.962 to 1.042 |  = mH | u = 0.020

# TestOtherIntervalsTranscript, trials
95 % intervals < effective inductance | linear = 0.960 to 1.040 | shortest = 0.970 to 1.050 |  = mH | u = 0.022 | δ = 0.005

# TestOtherIntervalsTranscript, trials in full
95 % intervals < effective inductance | linear = 0.960 to 1.040 | shortest = 0.970 to 1.050 |  = mH | u = 0.022 | δ = 0.005 | valid < no

# TestOtherIntervalsTranscript, trials agree
95 % intervals = effective capacitance | linear = 3.840 to 4.160 | shortest = 3.840 to 4.160 |  = pF | u = 0.081 | δ = 0.005

# TestOtherIntervalsTranscript, trials without a variance
95 % intervals = effective capacitance | linear = 3.840 to 4.160 | shortest = 3.840 to 4.160 |  = pF | u = – | δ = 0.005

# TestSweepTranscript, sweep
turns = 300 turns | core gain > 1.750 | frequency > 2.5000 | ± = 0.0030 |  = MHz

# TestCoilTranscript, coil
< inductance in air | value = 1.000 | ± = 0.012 |  = mH | 95 % interval = 0.976 to 1.024

# TestCoilTranscript, coil in full
< inductance in air | value > 1.000 | ± < 0.012 |  = mH | 95 % interval < 0.976 to 1.024
largest gradient < between turns | 2.00 kV/cm > 200 V
height > 0 m | bare > 0 V

# TestCoilTranscript, with voltage
< inductance in air | value > 1.000 | ± < 0.012 |  = mH | 95 % interval < 0.976 to 1.024
< largest gradient | bare > 2.00 kV/cm | core rod > 2.00 kV/cm

# TestCoilTranscript, short coil, figures for one kilovolt
= inductance in air | value = 1.000 | ± = 0.012 |  = mH | 95 % interval = 0.976 to 1.024
< largest gradient | bare > 100 V/cm | core rod > 100 V/cm
height > 0 m | bare > 0 V | core rod > 0 V

# TestCompareTranscript, compare
< core rod, gain | A > 1.800 | B > 1.900 |  < pF | B − A > 0.100 | ± < 0.025 | sigmas > +4.0
= bare frequency | A = 2.5000 | B = 2.4976 |  = MHz | B − A = -0.0024 | ± = 0.0010 | sigmas > -2.4
Not moved < Not determined | inductance in air (to ± 0.80 %); core rod, capacitance < characteristic impedance

# TestCompareTranscript, in full
< L × C | A > 4000.0 | B > 4100.0 |  < ns² | B − A > 100.0 | ± < 1.0 | sigmas > +100.0
= bare frequency | A = 2.5000 | B = 2.4976 |  = MHz | B − A = -0.0024 | ± = 0.0010 | sigmas > -2.4
< characteristic impedance | A > 15.00 | B > — |  = kΩ | B − A > 0.0004 | ± < 0.0080 | sigmas > +0.1

# TestCompareTranscript, A doesn't separate
Not moved < Next | inductance in air (to ± 0.80 %) = resolve the contradiction first: fitcoil fit of that log says

# TestCompareTranscript, B doesn't separate
Not moved < Next | inductance in air (to ± 0.80 %) = read in session B the bare coil and a known capacitor on the

# TestCompareTranscript, many
= L × C | A = 4000.0 | B = 4100.0 |  = ns² | B − A = 100.0 | ± = 1.0 | sigmas = +100.0

# TestConsensusTranscript, consensus
quantity = inductance | consensus > 1.0000 | ± = 0.0040 |  = mH | between > 0.0060 | A [σ] > +1.2 | B [σ] > -1.5 | C [σ] > 0.0 | D [σ] > 0.0 | E [σ] > +2.5

# TestConsensusTranscript, in full
quantity < gain, core rod | consensus > 1.800 | ± < 0.020 |  = pF | between > 0 | A [σ] > 0.0 | B [σ] > +0.1 | C [σ] > – | D [σ] > 0.0 | E [σ] > 0.0

# TestConsensusTranscript, many
quantity < bare frequency | consensus > 2.0000 | ± < 0.0040 |  < MHz | between > 0.0060 | A [σ] > +1.2 | B [σ] > -1.2

# TestConsensusTranscript, none in common
quantity = inductance in air | consensus > 1.0000 | ± = 0.0040 |  = mH | between > – | A [σ] = alone | B [σ] > –

# TestFitTranscript, fit
frequency < inductance | 2.5000 ± 0.0010 MHz < 1.000 ± 0.020 mH |  < at low frequency 1.200 ± 0.030 mH
inductance   × 1.900 ± 0.020 ~ capacitance  + 0.200 ± 0.050 pF

# TestFitTranscript, in full
< bare frequency | value > 2.5000 | ± < 0.0010 |  < MHz | 95 % interval < 2.4980 to 2.5020
< gain | value > 1.900 | ± < 0.020 |  < mH | 95 % interval < 1.860 to 1.940
= frequency drop at 10 cm | value > 25.00 | ± = 0.50 |  = kHz | 95 % interval < 24.00 to 26.00
= spike | value = 0.800 | ± = 0.020 |  = pF | 95 % interval = 0.760 to 0.840
< lead capacitance | value > 0.30 | ± < 0.10 |  < pF | 95 % interval < 0.10 to 0.50
< bare frequency | readings > 20 | tolerances > 70 | priors > 10
< inductance in air | drawing > 1.000 | ± = 0.012 | readings > 1.100 | ± < 0.010 |  = mH | change > +10 % | sigmas > +6.4
line > 2 | state < bare | read MHz > 2.50000 | fitted > 2.49960 | residual > +0.40 kHz | standardised > +0.9 |  = suspect

# TestFitTranscript, with a drawing
frequency < inductance | 2.5000 ± 0.0010 MHz < 1.000 ± 0.020 mH |  < at low frequency 1.200 ± 0.030 mH
inductance   × 1.900 ± 0.020 ~ capacitance  + 0.200 ± 0.050 pF
Drawing < Not determined | inductance in air as measured +10 % against the drawing (6.4 σ) < how the hand's capacitance falls with distance

# TestFitTranscript, contradictory
frequency < inductance | 2.5000 ± 0.0010 MHz < 1.000 ± 0.020 mH |  < at low frequency 1.200 ± 0.030 mH
inductance   × 1.900 ± 0.020 ~ capacitance  + 0.200 ± 0.050 pF
Drawing < Not determined | consistent with the readings < how the hand's capacitance falls with distance

# TestFitTranscript, many cores
frequency < inductance | 2.5000 ± 0.0010 MHz < 1.000 ± 0.020 mH |  < at low frequency 1.200 ± 0.030 mH
< rod | inductance < not determined | capacitance = + 0.200 ± 0.050 pF | frequency = − 700.0 ± 2.0 kHz
Q factor by < Hand near | winding 150 ± 10, core rod, and winding with it 90.0 ± 8.0 < at 10 cm − 25.00 ± 0.50 kHz; and 10 more

# TestFitTranscript, open
frequency < L × C | 2.5000 ± 0.0010 MHz < 4050.0 ± 3.2 ns²
inductance < capacitance | 2.280 ± 0.040 mH with the core < + 0.200 ± 0.050 pF

# TestFitTranscript, more open
frequency < L × C | 2.5000 ± 0.0010 MHz < 4050.0 ± 3.2 ns²
inductance < capacitance | not determined by these readings < + 0.200 ± 0.050 pF

# TestPredictTranscript, one
State > 4.7 pF + 10 pF, core rod 60 % | frequency > 2.0000 | ± = 0.0030 |  = MHz | 95 %, new reading < 1.9920 to 2.0080

# TestPredictTranscript, one in full
State > 4.7 pF + 10 pF, core rod 60 % | frequency > 2.0000 | ± = 0.0030 |  = MHz | 95 % interval = 1.9940 to 2.0060 | 95 %, new reading < 1.9920 to 2.0080
Limited by < Next | tolerances of the capacitors: 60 % of the variance of the frequency; uncertainty of the readings: 30 % < read 10 pF: frequency to ± 0.050 % (now ± 0.15 %)
< characteristic impedance | value = 15.00 | ± = 0.20 |  = kΩ | bare × > 1.250 | ± = 0.050

# TestPredictTranscript, several
State ~ hand at 15 cm | frequency > not determined | ± = 0.0030 |  = MHz | 95 %, new reading < 0.8900 to 0.9100
No prediction = No prediction | hand at 15 cm: no reading used has a hand near < hand at 15 cm: the capacitance of "spike" is in no reading used
No prediction = No prediction | hand at 15 cm: core "rod" is in no reading used = hand at 15 cm: no reading used has the primary so with the core

# TestPredictTranscript, several in full
State ~ hand at 15 cm | frequency > not determined | ± = 3.0 |  = kHz | 95 % interval = 894.0 to 906.0 | 95 %, new reading < 890.0 to 910.0
No prediction < No prediction | hand at 15 cm: no reading used has a hand near < hand at 15 cm: the capacitance of "spike" is in no reading used

# TestReachTranscript, added
To add < Standard value | 7.31 ± 0.12 pF, 95 % interval 7.07 to 7.55 pF < 6.8 pF gives 2.0000 ± 0.0030 MHz

# TestWaysTranscript, ways
Way ~ added on the top | setting < 7.31 ± 0.12 pF |  < 2.0000 ± 0.0030 MHz
standard value = core rod, covered | 6.8 pF = 85.4 ± 2.0 % | 2.0000 ± 0.0030 MHz = extrapolated: 100 % covered
turns = length | 352.0 ± 4.0 = out of reach | now 300 = now 120 mm; the winding

# TestWaysTranscript, contradicted
Way > hand at | setting = not determined by these readings

# TestNextTranscript, next
Each alone ~ a capacitor of 10 pF ± 1 % | uncertainty = ± 5.0 % → ± 1.0 %
1 = 2 | 10 pF measured to ± 0.2 % = winding measured: turns, diameter, length | ± 5.0 % → ± 3.0 % = ± 5.0 % → ± 0.80 %

# TestNextTranscript, in full
Each alone > a capacitor of 10 pF ± 1 % | uncertainty = ± 5.0 % → ± 1.0 % |  = brings a new part, whose error is independent of the
1 = 2 | a capacitor of 10 pF ± 1 % < 10 pF | ± 5.0 % → ± 1.0 % = ± 1.0 % → ± 0.90 %
1 = 2 | 10 pF measured to ± 0.2 % = winding measured: turns, diameter, length | ± 5.0 % → ± 3.0 % = ± 5.0 % → ± 0.80 %

# TestNextTranscript, one
Each alone > a capacitor of 10 pF ± 1 % | uncertainty = ± 5.0 % → ± 1.0 %
1 = 2 | a capacitor of 10 pF ± 1 % < 10 pF | ± 5.0 % → ± 1.0 % = ± 1.0 % → ± 0.90 %

# TestNextTranscript, separates
Each alone > a capacitor of 10 pF ± 1 % | uncertainty = not determined → ± 1.0 %

# TestNextTranscript, only together
1 = 2 | a capacitor of 10 pF ± 1 % < 10 pF | ± 5.0 % → ± 5.0 % = ± 5.0 % → ± 0.90 %

# TestNextTranscript, long
Each alone > a capacitor of 10 pF ± 1 % | uncertainty = ± 5.0 % → ± 1.0 %
1 = 2 | a capacitor of 10 pF ± 1 % < a capacitor of 10 pF ± 1 % | ± 5.0 % → ± 5.0 % < ± 5.0 % → ± 5.0 %

# TestCaptureTranscript, in full
< resonance frequency | value > 1.234600 | ± < 0.000030 |  < MHz | 95 % interval < 1.234540 to 1.234660
undamped frequency > 1.201000 | ± = 0.000020 |  = MHz | quality factor > 71.0 | ± = 1.0 | amplitude > 1.100 | ± < 0.010 |  < V
= harmonic 2 | frequency > 2.400000 | ± = 0.000010 |  = MHz | amplitude > 200 | ± = 10 |  = mV | quality factor > 55.0 | ± = 1.0
from = 1.000 µs | to = 5.000 µs | cycles > 17 | frequency = 1.201000 ± 0.000020 MHz | quality factor > 71.0 ± 1.0 |  = left out

# TestCaptureTranscript, in brief
< resonance frequency | value > 1.234600 | ± < 0.000030 |  < MHz | 95 % interval < 1.234540 to 1.234660
undamped frequency > 1.201000 | ± = 0.000020 |  = MHz | quality factor > 71.0 | ± = 1.0 | amplitude > 1.100 | ± < 0.010 |  < V

# TestCaptureTranscript, several
< scope.csv, segment 2 | resonance > 1.234600 | ± = 0.000030 |  = MHz | Q factor > 80.0 | ± = 2.0 |  < decaying

# TestCaptureTranscript, many
= other.csv | resonance > 1.234600 | ± = 0.000030 |  = MHz | Q factor > - | ± =  |  = steady

# TestCaptureTranscript, without ±
< resonance frequency | value > 1.234600 | ± = 0.020 |  < MHz | 95 % interval < not claimed
undamped frequency > 1.201000 | ± = 0.000020 |  = MHz | quality factor > 71.0 | ± = 1.0 | amplitude > 1.100 | ± < 0.010 |  < V

# TestCaptureTranscript, steady
< frequency of the tone | value > 1.234500 | ± < 0.000040 |  < MHz | 95 % interval < 1.234420 to 1.234580
undamped frequency > 1.201000 | ± = 0.000020 |  = MHz | quality factor > 71.0 | ± = 1.0 | amplitude > 1.100 | ± < 0.010 |  < V
= harmonic 2 | frequency > 2.400000 | ± = 0.000010 |  = MHz | amplitude > 200 | ± = 10 |  = mV | quality factor > 55.0 | ± = 1.0
from = 1.000 µs | to = 5.000 µs | cycles > 17 | frequency = 1.201000 ± 0.000020 MHz | quality factor > -

# TestSweptTranscript, in full
< resonance frequency | value > 1.25000 | ± < 0.00010 |  < MHz | 95 % interval < 1.24980 to 1.25020

# TestSweptTranscript, in brief
< resonance frequency | value > 1.25000 | ± < 0.00010 |  < MHz | 95 % interval < 1.24980 to 1.25020

`

// shapesOf finds the tables of a text: lines that have two spaces or more between words, one
// below the other, and the columns that these spaces part.
func shapesOf(text string) (list []string) {
	var block [][]rune
	end := func() {
		if len(block) > 1 {
			list = append(list, shapeOf(block))
		}
		block = nil
	}
	for _, l := range strings.Split(text, "\n") {
		if !strings.Contains(strings.TrimSpace(l), "  ") {
			end()
			continue
		}
		block = append(block, []rune(l))
	}
	end()
	return list
}

func shapeOf(block [][]rune) string {
	width := 0
	for _, l := range block {
		width = max(width, len(l))
	}
	used := func(c int) bool {
		return slices.ContainsFunc(block, func(l []rune) bool { return c < len(l) && l[c] != ' ' })
	}
	var columns []string
	for from := 0; from < width; {
		if !used(from) {
			from++
			continue
		}
		to := from
		for to < width && (used(to) || to+1 < width && used(to+1)) {
			to++
		}
		columns = append(columns, columnOf(block, from, to))
		from = to
	}
	return strings.TrimSpace(strings.Join(columns, " | "))
}

// columnOf words the column from one place to another.
func columnOf(block [][]rune, from, to int) string {
	cell := func(l []rune) string { return string(l[min(from, len(l)):min(to, len(l))]) }
	left, right, first := true, true, ""
	for _, l := range block[1:] {
		text := []rune(cell(l) + strings.Repeat(" ", to))[:to-from]
		if strings.TrimSpace(string(text)) == "" {
			continue
		}
		if first == "" {
			first = strings.TrimSpace(string(text))
		}
		left, right = left && text[0] != ' ', right && text[len(text)-1] != ' '
	}
	side := map[[2]bool]string{{true, false}: "<", {false, true}: ">", {true, true}: "=", {false, false}: "~"}[[2]bool{left, right}]
	return strings.TrimSpace(cell(block[0])) + " " + side + " " + first
}

// lineUp wants the tables of a transcript as shapes has them.
func lineUp(t *testing.T, what, text string) {
	t.Helper()
	name := t.Name() + ", " + what
	got := strings.Join(shapesOf(text), "\n")
	_, want, _ := strings.Cut(shapes, "\n# "+name+"\n")
	want, _, _ = strings.Cut(want, "\n\n")
	if got != strings.TrimSpace(want) {
		t.Errorf("the tables of\n# %s\n%s\n\nshould be\n%s", name, got, strings.TrimSpace(want))
	}
}
