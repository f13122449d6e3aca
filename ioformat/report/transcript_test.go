package report

import (
	"bytes"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// The answers below are of invented results in round numbers, so that each number of a text can
// be worked out by heart from the result above it.

// transcript wants a text word for word, whatever the spaces between them.
func transcript(t *testing.T, what string, write func(w io.Writer) error, want string) {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatalf("%s: %v", what, err)
	}
	lineUp(t, what, b.String())
	got, wanted := wordsOf(b.String()), wordsOf(want)
	for i := range max(len(got), len(wanted)) {
		g, w := "(nothing)", "(nothing)"
		if i < len(got) {
			g = got[i]
		}
		if i < len(wanted) {
			w = wanted[i]
		}
		if g != w {
			t.Errorf("%s: line %d is\n%s\nand should be\n%s\nin\n%s", what, i+1, g, w, b.String())
			return
		}
	}
}

// longNumber is one with all its digits, of which the last ones may differ between machines.
var longNumber = regexp.MustCompile(`[0-9]+\.[0-9]{9,}(e-[0-9]+)?`)

// wordsOf returns the lines of a text, one space between words, long numbers in six digits.
func wordsOf(text string) []string {
	text = longNumber.ReplaceAllStringFunc(text, func(s string) string {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			return s
		}
		return strconv.FormatFloat(v, 'g', 6, 64)
	})
	lines := strings.Split(strings.Trim(text, "\n"), "\n")
	for i, l := range lines {
		lines[i] = strings.Join(strings.Fields(l), " ")
	}
	return lines
}

// estimateOf is an estimate ± u with k = 2.
func estimateOf(name, unit string, v, u float64) quantities.Estimate {
	return quantities.Estimate{Key: quantities.Key{Name: name}, Unit: unit, Value: v, Uncertainty: u, Stated: u / 2,
		Interval: [2]float64{v - 2*u, v + 2*u}, Coverage: 2, Degrees: 60, Determined: true}
}

// ofCore and atHand say what an estimate belongs to.
func ofCore(core string, e quantities.Estimate) quantities.Estimate { e.Core = core; return e }
func atHand(d float64, e quantities.Estimate) quantities.Estimate   { e.Hand = d; return e }
func ofPart(part string, e quantities.Estimate) quantities.Estimate { e.Part = part; return e }

func openEstimate(name, unit string) quantities.Estimate {
	return quantities.Estimate{Key: quantities.Key{Name: name}, Unit: unit}.Forget()
}

// tidyParts are those that states below refer to.
var tidyParts = []readings.Part{{Name: "4.7 pF", Capacitance: 4.7e-12, Uncertainty: 0.1e-12, Known: true}, {Name: "spike"},
	{Name: "10 pF", Capacitance: 10e-12, Uncertainty: 0.05e-12, Known: true}}

// consistent is a result of nine readings that the model agrees with: χ²/ν = 6/5.
func consistent() *model.Result {
	return &model.Result{Result: &estimation.Result{Quality: estimation.Quality{Readings: 9, DegreesOfFreedom: 5, ChiSquare: 6, PValue: 0.306, Scale: 1, PartScale: 1, Redundancy: 4}}}
}

// contradictory is one that a part off its tolerance makes doubtful: it is read at 5.2 pF, 3.4 of
// its standard uncertainties off.
func contradictory() *model.Result {
	r := consistent()
	r.Quality.PValue, r.Quality.ChiSquare = 0.00002, 30
	r.Findings = []findings.Finding{{Kind: findings.PartOffTolerance, Name: "4.7 pF", Value: 5.2e-12, Other: 3.4}}
	return r
}

func withState(state readings.State, change func(s *readings.State)) readings.State {
	change(&state)
	return state
}

// predicted is one of 2 MHz ± 3 kHz; a new reading is up to 8 kHz away.
func predicted(s readings.State) decisions.Prediction {
	return decisions.Prediction{State: s, Frequency: estimateOf("frequency", "Hz", 2e6, 3e3), NewReading: [2]float64{1.992e6, 2.008e6}, Nearest: -1}
}

func TestPredictTranscript(t *testing.T) {
	bare := readings.Bare()
	rod := withState(bare, func(s *readings.State) { s.Core, s.To = "rod", 0.6 })
	first := predicted(withState(rod, func(s *readings.State) { s.Parts = []int{0, 2} }))
	first.Frequency.Budget = quantities.Budget{Readings: 0.3, Tolerance: 0.6, Model: 0.1}
	first.Outside = []decisions.Outside{{Element: decisions.AddedElement, Predicted: 14.7e-12, From: 0, To: 4.7e-12}, {Element: decisions.CoveredElement, Predicted: 0.6, From: 1, To: 1}}
	first.Nearest = 1
	ratio := estimateOf("", "1", 1.25, 0.05)
	first.Effects = []decisions.Effect{{Estimate: estimateOf("characteristic_impedance", "Ω", 15e3, 200), Ratio: ratio}, {Estimate: openEstimate("stored_energy", "J"), Ratio: estimateOf("", "1", 0.5, 0.02)}}
	r := consistent()
	r.Readings = []estimation.ReadingResult{{Reading: readings.Reading{State: bare, Line: 2}}, {Reading: readings.Reading{State: rod, Line: 7, Frequency: 1.5e6, Uncertainty: 400}}}
	plan := decisions.Planned{Ranked: []decisions.Suggestion{{Candidate: decisions.Candidate{State: withState(bare, func(s *readings.State) { s.Parts = []int{2} })},
		Before: estimateOf("frequency", "Hz", 2e6, 3e3), After: estimateOf("frequency", "Hz", 2e6, 1e3)}}}
	one := Predictions{List: []decisions.Prediction{first}, Parts: tidyParts}
	src := Source{Log: "evening.csv"}
	transcript(t, "one", func(w io.Writer) error { return PredictText(w, r, one, plan, src, View{}) }, `
evening.csv: predicted from 9 readings,
consistent with the model (χ²/ν = 1.20, p = 0.306)

State frequency ± 95 %, new reading
4.7 pF + 10 pF, core rod 60 % 2.0000 0.0030 MHz 1.9920 to 2.0080

Extrapolated 4.7 pF + 10 pF, core rod 60 %: 14.7 pF on the top is beyond the
0 pF to 4.70 pF read in this condition; 60 % covered is below
the 100 % read with this core; nearest reading: line 7, core …
Limited by tolerances of the capacitors: 60 % of the variance of the
frequency; uncertainty of the readings: 30 %
Next read 10 pF: frequency to ± 0.050 % (now ± 0.15 %)

± is one standard uncertainty. More: --full.
High voltage burns whatever these numbers say: keep away, discharge it first.`)
	transcript(t, "one in full", func(w io.Writer) error {
		return PredictText(w, r, one, plan, src, View{Full: true, Width: 120})
	}, `
evening.csv: predicted from 9 readings, consistent with the model (χ²/ν = 1.20, p = 0.306)

State frequency ± 95 % interval 95 %, new reading
4.7 pF + 10 pF, core rod 60 % 2.0000 0.0030 MHz 1.9940 to 2.0060 1.9920 to 2.0080

Extrapolated 4.7 pF + 10 pF, core rod 60 %: 14.7 pF on the top is beyond the 0 pF to 4.70 pF read in this condition;
60 % covered is below the 100 % read with this core; nearest reading: line 7, core rod 60 %,
1.50000 ± 0.00040 MHz
Limited by tolerances of the capacitors: 60 % of the variance of the frequency; uncertainty of the readings: 30 %
Next read 10 pF: frequency to ± 0.050 % (now ± 0.15 %)

Other effects: 4.7 pF + 10 pF, core rod 60 %
value ± bare × ±
characteristic impedance 15.00 0.20 kΩ 1.250 0.050
stored energy 0.500 0.020

± is one standard uncertainty.
High voltage burns whatever these numbers say: keep away, discharge it first.`)
	open := decisions.Prediction{State: withState(bare, func(s *readings.State) { s.Hand = 0.15 }), Frequency: openEstimate("frequency", "Hz"), Nearest: -1}
	open.Missing = []decisions.Missing{{Kind: decisions.HandElement}, {Kind: decisions.AddedElement, Name: "spike"}, {Kind: decisions.AddedElement}, {Kind: decisions.CoreElement, Name: "rod"},
		{Kind: decisions.PrimaryElement}, {Kind: decisions.PrimaryElement, Name: "rod"}}
	hand := predicted(withState(bare, func(s *readings.State) { s.Hand = 0.05 }))
	hand.Frequency = estimateOf("frequency", "Hz", 900e3, 3e3) // told in the unit of the highest
	hand.NewReading = [2]float64{890e3, 910e3}
	hand.Outside = []decisions.Outside{{Element: decisions.HandElement, Predicted: 0.05, From: 0.1, To: 0.3}, {Element: decisions.CoveredElement, Predicted: 0.6, From: 0.2, To: 1},
		{Element: decisions.DrawingElement}, {Element: decisions.CombinedElement, From: math.NaN()}, {Element: decisions.PrimaryElement}}
	var many []decisions.Prediction
	for range 14 {
		many = append(many, predicted(bare))
	}
	src.Warnings = []string{"the unit of hand was taken as cm"}
	transcript(t, "several", func(w io.Writer) error {
		return PredictText(w, contradictory(), Predictions{List: append([]decisions.Prediction{open, hand}, many...), Parts: tidyParts, Change: "turns = 300"}, decisions.Planned{}, src, View{})
	}, `
evening.csv: predicted from 9 readings, contradictory (χ²/ν = 6.00, p < 0.0001)
After a change of the drawing: turns = 300

Contradiction: no number below is to be trusted until it is resolved
- part "4.7 pF": the other readings give 5.20 pF, 3.4 standard deviations from
its value
and 1 more: --full

State frequency ± 95 %, new reading
hand at 15 cm not determined
hand at 5 cm 0.9000 0.0030 MHz 0.8900 to 0.9100
bare 2.0000 0.0030 MHz 1.9920 to 2.0080
bare 2.0000 0.0030 MHz 1.9920 to 2.0080
bare 2.0000 0.0030 MHz 1.9920 to 2.0080
bare 2.0000 0.0030 MHz 1.9920 to 2.0080
and 10 more: --full

No prediction hand at 15 cm: no reading used has a hand near
No prediction hand at 15 cm: the capacitance of "spike" is in no reading used
No prediction hand at 15 cm: what it needs is not determined by these
readings; fitcoil fit names the remedy
No prediction hand at 15 cm: core "rod" is in no reading used
No prediction hand at 15 cm: no reading used has the primary so with the core
out
No prediction hand at 15 cm: no reading used has the primary so with core
"rod" there
Extrapolated hand at 5 cm: 5 cm is below the 10 cm to 30 cm read; 60 %
covered is beyond the 20 to 100 % read with this core; the
change of the drawing is carried over to the fitted values …

± is one standard uncertainty. More: --full.
High voltage burns whatever these numbers say: keep away, discharge it first.`)
	transcript(t, "several in full", func(w io.Writer) error {
		return PredictText(w, consistent(), Predictions{List: []decisions.Prediction{open, hand}, Parts: tidyParts}, decisions.Planned{}, src, View{Full: true, Width: 120})
	}, `
evening.csv: predicted from 9 readings, consistent with the model (χ²/ν = 1.20, p = 0.306)

Warnings
- the unit of hand was taken as cm

State frequency ± 95 % interval 95 %, new reading
hand at 15 cm not determined
hand at 5 cm 900.0 3.0 kHz 894.0 to 906.0 890.0 to 910.0

No prediction hand at 15 cm: no reading used has a hand near
No prediction hand at 15 cm: the capacitance of "spike" is in no reading used
No prediction hand at 15 cm: what it needs is not determined by these readings; fitcoil fit names the remedy
No prediction hand at 15 cm: core "rod" is in no reading used
No prediction hand at 15 cm: no reading used has the primary so with the core out
No prediction hand at 15 cm: no reading used has the primary so with core "rod" there
Extrapolated hand at 5 cm: 5 cm is below the 10 cm to 30 cm read; 60 % covered is beyond the 20 to 100 % read with
this core; the change of the drawing is carried over to the fitted values; core and hand were never read
together; it is outside what was read

± is one standard uncertainty.
High voltage burns whatever these numbers say: keep away, discharge it first.`)
}
