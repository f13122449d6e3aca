package report

import (
	"io"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// at is what a setting gives: 2 MHz ± 3 kHz.
func at(change func(s *readings.State)) decisions.Prediction {
	return predicted(withState(readings.Bare(), change))
}

func TestReachTranscript(t *testing.T) {
	src := Source{Log: "evening.csv"}
	added := decisions.Reached{Target: 1.5e6, By: decisions.ByAdded, Reachable: true, Setting: estimateOf("", "F", 7.31e-12, 0.12e-12),
		At:       at(func(s *readings.State) { s.Exact = 7.312345e-12 }),
		Standard: []decisions.Prediction{predicted(readings.Bare()), {Frequency: openEstimate("frequency", "Hz")}, predicted(readings.Bare())},
		Values:   []readings.Part{{Capacitance: 6.8e-12}, {Capacitance: 7.5e-12}, {Capacitance: 8.2e-12}}}
	added.At.Outside = []decisions.Outside{{Element: decisions.DrawingElement}}
	write := func(r *model.Result, a decisions.Reached, v View) func(w io.Writer) error {
		return func(w io.Writer) error { return ReachText(w, r, a, tidyParts, src, v) }
	}
	transcript(t, "added", write(consistent(), added, View{}), `
evening.csv: to reach 1.5000 MHz by added capacitance

To add 7.31 ± 0.12 pF, 95 % interval 7.07 to 7.55 pF
Standard value 6.8 pF gives 2.0000 ± 0.0030 MHz
Standard value 8.2 pF gives 2.0000 ± 0.0030 MHz
Extrapolated 7.312 pF: the change of the drawing is carried over to the
fitted values

± is one standard uncertainty. More: --full.
High voltage burns whatever these numbers say: keep away, discharge it first.`)
	covered := decisions.Reached{Target: 1.5e6, By: decisions.ByCovered, Closest: 0.854, At: at(func(s *readings.State) { s.Core, s.To = "rod", 0.854 })}
	transcript(t, "covered, out of reach", write(contradictory(), covered, View{Full: true}), `
evening.csv: to reach 1.5000 MHz by how much the core covers

Contradiction: no number below is to be trusted until it is resolved
- part "4.7 pF": the other readings give 5.20 pF, 3.4 standard deviations from
its value

Out of reach the closest is 85.4 % covered, which gives 2.0000 ± 0.0030 MHz

± is one standard uncertainty.
High voltage burns whatever these numbers say: keep away, discharge it first.`)
	hand := decisions.Reached{Target: 1.5e6, By: decisions.ByHand, Reachable: true, Setting: estimateOf("", "m", 0.123, 0.004), At: at(func(s *readings.State) { s.Hand = 0.123 })}
	transcript(t, "hand", write(consistent(), hand, View{}), `
evening.csv: to reach 1.5000 MHz by the distance of a hand

Hand at 123.0 ± 4.0 mm, 95 % interval 115.0 to 131.0 mm

± is one standard uncertainty. More: --full.
High voltage burns whatever these numbers say: keep away, discharge it first.`)
	hand.Setting.Determined = false
	transcript(t, "hand, anywhere", write(consistent(), hand, View{}), `
evening.csv: to reach 1.5000 MHz by the distance of a hand

Hand at not determined by these readings: the frequency there, known to
± 3.0 kHz, leaves it open

± is one standard uncertainty. More: --full.
High voltage burns whatever these numbers say: keep away, discharge it first.`)
	hand.Reachable, hand.At.Frequency = false, openEstimate("frequency", "Hz")
	transcript(t, "not determined", write(consistent(), hand, View{}), `
evening.csv: to reach 1.5000 MHz by the distance of a hand

Hand at not determined by these readings

± is one standard uncertainty. More: --full.
High voltage burns whatever these numbers say: keep away, discharge it first.`)
	for _, c := range []struct {
		by   decisions.Control
		at   float64
		want string
	}{{decisions.ByAdded, 0, "nothing added"}, {decisions.ByAdded, 3.3e-12, "3.30 pF added"}, {decisions.ByCovered, 0.854, "85.4 % covered"}, {decisions.ByHand, 0.2, "a hand at 20 cm"},
		{decisions.ByHand, 9, "a hand at 900 cm"}, {decisions.ByHand, 51, "nobody near"}} {
		if got := settingText(c.by, c.at); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	for v, want := range map[float64]float64{0: 0, 7.312345e-12: 7.312e-12, -1.23456: -1.235, 99999: 100000} {
		if got := rounded(v); got-want > 1e-9*max(want, -want) || want-got > 1e-9*max(want, -want) {
			t.Errorf("%v is rounded to %v, want %v", v, got, want)
		}
	}
}

func TestWaysTranscript(t *testing.T) {
	unit := func(text string, d quantity.Dimension) quantity.Unit {
		return must.Get(quantity.ParseUnit(text, d)).In(t)
	}
	far := at(func(s *readings.State) { s.Core, s.To = "rod", 1 })
	far.Outside = []decisions.Outside{{Element: decisions.CoveredElement, Predicted: 1, From: 0.2, To: 0.6}, {Element: decisions.DrawingElement}}
	open := decisions.Prediction{Frequency: openEstimate("frequency", "Hz")}
	a := Ways{Target: 1.5e6, Parts: tidyParts, From: predicted(readings.Bare()),
		Controls: []decisions.Reached{
			{By: decisions.ByAdded, Reachable: true, Setting: estimateOf("", "F", 7.31e-12, 0.12e-12), At: predicted(readings.Bare()),
				Standard: []decisions.Prediction{predicted(readings.Bare()), open}, Values: []readings.Part{{Capacitance: 6.8e-12}, {Capacitance: 7.5e-12}}},
			{By: decisions.ByCovered, Start: readings.State{Core: "rod"}, Reachable: true, Setting: estimateOf("", "1", 0.854, 0.02), At: far},
			{By: decisions.ByCovered, Start: readings.State{Core: "beads"}, Closest: 0.3, At: predicted(readings.Bare())},
			{By: decisions.ByHand, Reachable: true, Setting: openEstimate("", "m"), At: predicted(readings.Bare())},
			{By: decisions.ByHand, At: open},
		},
		AtHand: []decisions.Prediction{at(func(s *readings.State) { s.Parts = []int{0, 2} }), open},
		Redrawn: []Redrawn{
			{Name: "turns", Unit: quantity.UnitFor(1, 0, ""), Present: 300, Redrawn: decisions.Redrawn{Reachable: true, Setting: estimateOf("", "1", 352, 4)}},
			{Name: "length", Unit: unit("mm", quantity.Length), Present: 0.12, Problem: "the winding would be shorter than its wire", Redrawn: decisions.Redrawn{Closest: 0.1}},
			{Name: "diameter", Unit: unit("mm", quantity.Length), Present: 0.02, Redrawn: decisions.Redrawn{Closest: 0.02}},
			{Name: "top ball", Unit: unit("mm", quantity.Length), Present: 0.01, Redrawn: decisions.Redrawn{Closest: 0.0456789, At: predicted(readings.Bare())}},
			{Name: "wire", Unit: unit("mm", quantity.Length), Present: 0.0003, Redrawn: decisions.Redrawn{Reachable: true, Setting: openEstimate("", "m"), Closest: 0.0002, At: open}},
		}}
	src := Source{Log: "evening.csv"}
	transcript(t, "ways", func(w io.Writer) error { return WaysText(w, consistent(), a, src, View{}) }, `
evening.csv: to reach 1.5000 MHz, from bare, 2.0000 ± 0.0030 MHz

Way setting
added on the top 7.31 ± 0.12 pF
parts at hand 4.7 pF + 10 pF 2.0000 ± 0.0030 MHz
parts at hand hand at 0 cm not determined by these
readings
standard value 6.8 pF 2.0000 ± 0.0030 MHz
core rod, covered 85.4 ± 2.0 % extrapolated: 100 % covered
is beyond the 20 to 60 %
read with this core
core beads, covered out of reach at the closest, 30 %
covered, 2.0000 ± 0.0030 MHz
hand at not determined by these
readings: the frequency
there, known to ± 3.0 kHz,
leaves it open
hand at not determined by these
readings
turns 352.0 ± 4.0 now 300
length out of reach now 120 mm; the winding
would be shorter than its
wire
diameter out of reach now 20 mm; a change hardly
matters, or goes the other
way
top ball out of reach now 10 mm; 45.68 mm gives
2.0000 ± 0.0030 MHz
wire out of reach now 0.3 mm; 0.2 mm gives not
determined by these readings

± is one standard uncertainty. More: --full.
High voltage burns whatever these numbers say: keep away, discharge it first.`)
	a.Controls, a.Redrawn = a.Controls[4:], nil
	transcript(t, "contradicted", func(w io.Writer) error { return WaysText(w, contradictory(), a, src, View{Full: true, Width: 120}) }, `
evening.csv: to reach 1.5000 MHz, from bare

Contradiction: no number below is to be trusted until it is resolved
- part "4.7 pF": the other readings give 5.20 pF, 3.4 standard deviations from its value

Way setting
hand at not determined by these readings

± is one standard uncertainty.
High voltage burns whatever these numbers say: keep away, discharge it first.`)
}

// proposal lowers an inductance of 1 mH ± 5 % to ± as much as told.
func proposal(c decisions.Candidate, relative float64, why decisions.Reason) decisions.Suggestion {
	return decisions.Suggestion{Candidate: c, Before: estimateOf(quantities.Inductance, "H", 1e-3, 50e-6), After: estimateOf(quantities.Inductance, "H", 1e-3, 1e-3*relative), Reason: why}
}

func TestNextTranscript(t *testing.T) {
	src := Source{Log: "evening.csv"}
	new10 := decisions.Candidate{Kind: decisions.ReadNew, State: readings.Bare(), New: [2]float64{10e-12, 10e-12}, Relative: 0.01 / 1.96}
	newRange := decisions.Candidate{Kind: decisions.ReadNew, State: withState(readings.Bare(), func(s *readings.State) { s.Core, s.To = "rod", 1 }), New: [2]float64{4.7e-12, 22e-12}, Relative: 0.05 / 1.96}
	meter := decisions.Candidate{Kind: decisions.MeasurePart, Part: 2, Relative: 0.002 / 1.96}
	winding := decisions.Candidate{Kind: decisions.MeasureWinding}
	again := decisions.Candidate{State: withState(readings.Bare(), func(s *readings.State) { s.Parts = []int{2} })}
	p := decisions.Planned{Measurand: decisions.Measurand{Key: quantities.Key{Name: quantities.Inductance}}, Now: estimateOf(quantities.Inductance, "H", 1e-3, 50e-6), Tried: 7,
		Ranked: []decisions.Suggestion{proposal(new10, 0.01, decisions.ReasonNewPart), proposal(newRange, 0.02, decisions.ReasonNewPart), proposal(meter, 0.03, decisions.ReasonTolerance),
			proposal(winding, 0.035, decisions.ReasonMeasured), proposal(again, 0.04, decisions.ReasonRepeat), proposal(again, 0.05, decisions.ReasonNothing), proposal(again, 0.05, decisions.ReasonNothing)},
		Greedy: []decisions.Suggestion{proposal(new10, 0.01, decisions.ReasonNewPart), proposal(again, 0.009, decisions.ReasonRepeat)},
		Better: []decisions.Suggestion{proposal(meter, 0.03, decisions.ReasonTolerance), proposal(winding, 0.008, decisions.ReasonMeasured)}}
	p.Greedy[1].Before = p.Greedy[0].After
	write := func(r *model.Result, p decisions.Planned, most int, v View) func(w io.Writer) error {
		return func(w io.Writer) error { return NextText(w, r, p, tidyParts, most, src, v) }
	}
	transcript(t, "next", write(consistent(), p, 10, View{}), `
evening.csv: what to do next for the inductance, now 1.000 ± 0.050 mH (± 5.0 %)

Each alone uncertainty
a capacitor of 10 pF ± 1 % ± 5.0 % → ± 1.0 %
any capacitor of 4.7 to 22 pF ± 5 %, core rod ± 5.0 % → ± 2.0 %
10 pF measured to ± 0.2 % ± 5.0 % → ± 3.0 %
winding measured: turns, diameter, length ± 5.0 % → ± 3.5 %
10 pF ± 5.0 % → ± 4.0 %
not listed: 2 others that make no visible difference

The best set found
1 10 pF measured to ± 0.2 % ± 5.0 % → ± 3.0 %
2 winding measured: turns, diameter, length ± 5.0 % → ± 0.80 %

The first brings a new part, whose error is independent of the others.
A new capacitor is one that no reading has; its tolerance is a bound taken as
95 %.
A value by meter goes into the next fit as --known 'PART=VALUE±1%'.
Turns, diameter and length go into a coil sheet, --coil SHEET; the inductance
from them is taken as known to 1.2 %: 0.5 % of the diameter, of the length and
of the formula.
± is one standard uncertainty, as expected.`)
	transcript(t, "in full", write(consistent(), p, 3, View{Full: true, Width: 120}), `
evening.csv: what to do next for the inductance, now 1.000 ± 0.050 mH (± 5.0 %)

Each alone uncertainty
a capacitor of 10 pF ± 1 % ± 5.0 % → ± 1.0 % brings a new part, whose error is independent of the
others
any capacitor of 4.7 to 22 pF ± 5 %, core rod ± 5.0 % → ± 2.0 % brings a new part, whose error is independent of the
others
10 pF measured to ± 0.2 % ± 5.0 % → ± 3.0 % replaces tolerances by a measured value
not listed: 2 others that do less; 2 others that make no visible difference

A plan, one after the other
1 a capacitor of 10 pF ± 1 % ± 5.0 % → ± 1.0 %
2 10 pF ± 1.0 % → ± 0.90 %

A better set, by exchanging steps
1 10 pF measured to ± 0.2 % ± 5.0 % → ± 3.0 %
2 winding measured: turns, diameter, length ± 5.0 % → ± 0.80 %

A new capacitor is one that no reading has; its tolerance is a bound taken as 95 %.
A value by meter goes into the next fit as --known 'PART=VALUE±1%'.
± is one standard uncertainty, as expected.`)
	p.Better = nil
	p.Ranked = p.Ranked[:1]
	transcript(t, "one", write(contradictory(), p, 10, View{}), `
evening.csv: what to do next for the inductance,
contradictory (χ²/ν = 6.00, p < 0.0001)

Contradiction: no number below is to be trusted until it is resolved
- part "4.7 pF": the other readings give 5.20 pF, 3.4 standard deviations from
its value

Each alone uncertainty
a capacitor of 10 pF ± 1 % ± 5.0 % → ± 1.0 %

A plan, one after the other
1 a capacitor of 10 pF ± 1 % ± 5.0 % → ± 1.0 %
2 10 pF ± 1.0 % → ± 0.90 %

The first brings a new part, whose error is independent of the others.
A new capacitor is one that no reading has; its tolerance is a bound taken as
95 %.
± is one standard uncertainty, as expected.`)
	p.Ranked[0].Before, p.Now, p.Greedy = openEstimate(quantities.Inductance, "H"), openEstimate(quantities.Inductance, "H"), nil
	transcript(t, "separates", write(consistent(), p, 10, View{}), `
evening.csv: what to do next for the inductance,
now not determined by these readings

Each alone uncertainty
a capacitor of 10 pF ± 1 % not determined → ± 1.0 %

The first brings a new part, whose error is independent of the others.
A new capacitor is one that no reading has; its tolerance is a bound taken as
95 %.
± is one standard uncertainty, as expected.`)
	p.Ranked, p.Unmet = nil, true
	transcript(t, "unmet", write(consistent(), p, 10, View{}), `
evening.csv: what to do next for the inductance,
now not determined by these readings

None of the 7 steps tried alone determines it: --how-many 2 tries two
together, fitcoil fit names what is missing.`)
	p.Unmet, p.Tried, p.Now = false, 1, estimateOf(quantities.Inductance, "H", 1e-3, 50e-6)
	p.Greedy = []decisions.Suggestion{proposal(new10, 0.05, decisions.ReasonNothing), proposal(again, 0.009, decisions.ReasonRepeat)}
	transcript(t, "only together", write(consistent(), p, 10, View{}), `
evening.csv: what to do next for the inductance, now 1.000 ± 0.050 mH (± 5.0 %)

The one step tried does not lower its uncertainty by a twentieth: --have
10pF,47pF±1% names other parts.

Together, one after the other
1 a capacitor of 10 pF ± 1 % ± 5.0 % → ± 5.0 %
2 10 pF ± 5.0 % → ± 0.90 %`)
	for range 5 { // long plans are cut before their last step
		p.Greedy = append(p.Greedy[:1:1], p.Greedy...)
	}
	for i := range 30 {
		p.Ranked = append(p.Ranked, proposal(new10, 0.01+0.001*float64(i), decisions.ReasonNewPart))
	}
	p.Greedy = append(p.Greedy, p.Greedy...)
	transcript(t, "long", write(consistent(), p, 20, View{}), `
evening.csv: what to do next for the inductance, now 1.000 ± 0.050 mH (± 5.0 %)

Each alone uncertainty
a capacitor of 10 pF ± 1 % ± 5.0 % → ± 1.0 %
a capacitor of 10 pF ± 1 % ± 5.0 % → ± 1.1 %
a capacitor of 10 pF ± 1 % ± 5.0 % → ± 1.2 %
a capacitor of 10 pF ± 1 % ± 5.0 % → ± 1.3 %
a capacitor of 10 pF ± 1 % ± 5.0 % → ± 1.4 %
a capacitor of 10 pF ± 1 % ± 5.0 % → ± 1.5 %
a capacitor of 10 pF ± 1 % ± 5.0 % → ± 1.6 %
a capacitor of 10 pF ± 1 % ± 5.0 % → ± 1.7 %
not listed: 22 others that do less

A plan, one after the other
1 a capacitor of 10 pF ± 1 % ± 5.0 % → ± 5.0 %
2 a capacitor of 10 pF ± 1 % ± 5.0 % → ± 5.0 %
3 a capacitor of 10 pF ± 1 % ± 5.0 % → ± 5.0 %
4 a capacitor of 10 pF ± 1 % ± 5.0 % → ± 5.0 %
5 a capacitor of 10 pF ± 1 % ± 5.0 % → ± 5.0 %
6 a capacitor of 10 pF ± 1 % ± 5.0 % → ± 5.0 %
7 10 pF ± 5.0 % → ± 0.90 %
8 a capacitor of 10 pF ± 1 % ± 5.0 % → ± 5.0 %
9 a capacitor of 10 pF ± 1 % ± 5.0 % → ± 5.0 %
…
14 10 pF ± 5.0 % → ± 0.90 %

The first brings a new part, whose error is independent of the others.
A new capacitor is one that no reading has; its tolerance is a bound taken as
95 %.
± is one standard uncertainty, as expected.`)
}

// What to do next, and why, in words.
func TestProposalsInWords(t *testing.T) {
	bare := readings.Bare()
	for want, w := range map[string]decisions.Measurand{
		"the inductance": {Key: quantities.Key{Name: quantities.Inductance}}, "the frequency of bare": {Key: quantities.Key{Name: "frequency"}, State: bare},
		"the core gain of rod": {Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}}, "the capacitance of spike": {Key: quantities.Key{Name: quantities.PartCapacitance, Part: "spike"}},
		"the hand capacitance at 15 cm": {Key: quantities.Key{Name: quantities.HandCapacitance, Hand: 0.15}},
	} {
		if got := MeasurandText(w, tidyParts); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for reason, want := range map[decisions.Reason]string{
		decisions.ReasonSplits: "separates inductance and capacitance", decisions.ReasonRange: "has more on the top than any reading so far",
		decisions.ReasonNewPart: "brings a new part, whose error is independent of the others", decisions.ReasonCombination: "is a combination not measured yet",
		decisions.ReasonRepeat: "averages the scatter of a state already read", decisions.ReasonDirect: "is the gain itself", decisions.ReasonMissing: "adds what no reading has yet",
		decisions.ReasonTolerance: "replaces tolerances by a measured value", decisions.ReasonClip: "separates clips and leads from the parts",
		decisions.ReasonMeasured: "is an independent measurement of the inductance", decisions.ReasonNothing: "adds no information on the gain"} {
		if got := ReasonText(reason, "the gain"); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for _, c := range []struct {
		c     decisions.Candidate
		cores bool
		want  string
	}{
		{decisions.Candidate{State: bare}, false, "read bare"}, {decisions.Candidate{State: bare}, true, "read bare, core out"},
		{decisions.Candidate{State: withState(bare, func(s *readings.State) { s.Core, s.To = "rod", 1 })}, true, "read core rod"},
		{decisions.Candidate{Kind: decisions.MeasurePart, Part: 1, Relative: 0.01 / 1.96}, true, "measure part spike at a meter to ± 1 %"},
		{decisions.Candidate{Kind: decisions.MeasureWinding}, true, "measure turns, diameter and length of the winding for a coil sheet"},
		{decisions.Candidate{Kind: decisions.ReadNew, State: bare, New: [2]float64{4.7e-12, 22e-12}, Relative: 0.025 / 1.96}, false, "read with any capacitor of 4.7 to 22 pF ± 2.5 %"},
	} {
		if got := action(c.c, tidyParts, c.cores); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	if got := GainText(decisions.Suggestion{After: openEstimate("", "H")}); got != "still not determined" {
		t.Errorf("%q", got)
	}
}
