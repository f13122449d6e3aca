package report

import (
	"io"
	"math"
	"strings"
	"testing"

	"fitcoil/fit"
	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// changed is what a quantity did between two sessions, in standard uncertainties.
func changed(a quantities.Estimate, b, u float64, moved, alone bool) decisions.Change {
	c := decisions.Change{A: a, B: a, Difference: estimateOf("", a.Unit, b-a.Value, u), Sigmas: (b - a.Value) / u, Moved: moved, Alone: alone}
	c.B.Value = b
	return c
}

// How far a quantity of the coil itself could have moved unseen is told however few are compared; of
// cores, parts and hands it isn't. 3 of 150 are 2.0 %.
func TestUnmovedTellToWhat(t *testing.T) {
	coil := []string{quantities.BareFrequency, quantities.EffectiveInductance, quantities.EffectiveCapacitance, quantities.Impedance, quantities.Inductance, quantities.StrayCapacitance}
	all := []decisions.Change{}
	for _, name := range coil {
		all = append(all, changed(estimateOf(name, "1", 150, 1), 150, 3, false, false))
	}
	for _, e := range []quantities.Estimate{ofCore("rod", estimateOf(quantities.CoreGain, "1", 150, 1)), ofPart("roof", estimateOf(quantities.PartCapacitance, "F", 150, 1)), atHand(0.1, estimateOf(quantities.HandFrequencyDrop, "Hz", 150, 1))} {
		all = append(all, changed(e, 150, 3, false, false))
	}
	for i := range all {
		w := newText(View{})
		w.unmoved(all[i:i+1], func(*decisions.Change) bool { return true }, 0)
		if got := strings.Contains(w.String(), "(to ± 2.0 %)"); got != (i < len(coil)) {
			t.Errorf("%s alone: %q", all[i].A.Name, w.String())
		}
	}
}

func TestCompareTranscript(t *testing.T) {
	src := [2]Source{{Log: "monday.csv"}, {Log: "friday.csv", Warnings: []string{"a drift was left out"}}}
	gain := changed(ofCore("rod", estimateOf(quantities.CoreGain, "1", 1.8, 0.02)), 1.9, 0.025, true, true)
	half := changed(estimateOf(quantities.Impedance, "Ω", 15e3, 100), 15e3, 0, false, false)
	half.Difference, half.B, half.Sigmas = openEstimate("", "Ω"), openEstimate(quantities.Impedance, "Ω"), math.NaN()
	bound := changed(ofPart("spike", estimateOf(quantities.PartCapacitance, "F", 2e-15, 1e-15)), 0, 1, false, false)
	bound.Difference, bound.A, bound.B.Bound, bound.B.Interval, bound.Moved = openEstimate("", "F"), openEstimate(quantities.PartCapacitance, "F"), fit.AtLower, [2]float64{0, 0.4e-12}, true
	bound.A.Part = "spike"
	c := decisions.Comparison{Tested: 30, SplitA: true, SplitB: true, Changes: []decisions.Change{gain,
		changed(estimateOf(quantities.Inductance, "H", 1e-3, 20e-6), 1.0004e-3, 8e-6, false, false), half, bound,
		changed(estimateOf(quantities.BareFrequency, "Hz", 2.5e6, 1e3), 2.4976e6, 1e3, false, true),
		changed(estimateOf(quantities.WindingCapacitance, "F", 3e-12, 1e-13), 3.01e-12, 0.1e-12, false, false),
		changed(atHand(0.1, estimateOf(quantities.HandFrequencyDrop, "Hz", 20e3, 300)), 21e3, 400, true, true),
		changed(ofCore("rod", estimateOf(quantities.CoreCapacitance, "F", 0.05e-12, 1e-15)), 0.05e-12, 0.002e-12, false, false),
		changed(estimateOf(quantities.LCProduct, "s²", 4e-15, 1e-18), 4.1e-15, 1e-18, true, true)}}
	write := func(c decisions.Comparison, r [2]*model.Result, v View) func(w io.Writer) error {
		return func(w io.Writer) error { return CompareText(w, c, r, src, v) }
	}
	good := [2]*model.Result{consistent(), consistent()}
	good[1].Session.Log.Readings = make([]readings.Reading, 9)
	transcript(t, "compare", write(c, good, View{}), `
A: monday.csv: 0 readings, consistent with the model (χ²/ν = 1.20, p = 0.306)
B: friday.csv: 9 readings, consistent with the model (χ²/ν = 1.20, p = 0.306)

Warnings
- a drift was left out

Moved (Holm's test of all differences together, at 5 %)
A B B − A ± sigmas
core rod, gain 1.800 1.900 0.100 0.025 +4.0
spike — 0.00 pF
frequency drop at 10 cm 20.00 21.00 kHz 1.00 0.40 +2.5
— not determined by these readings

May have moved (outside its own 95 % interval, as about one in twenty is by
chance)
A B B − A ± sigmas
bare frequency 2.5000 2.4976 MHz -0.0024 0.0010 -2.4

Not moved inductance in air (to ± 0.80 %); core rod, capacitance
Not determined characteristic impedance
Next fitcoil next LOG --for L, C or gain, for each log: what makes
its side better known shows smaller differences
± is one standard uncertainty. More: --full.`)
	transcript(t, "in full", write(c, good, View{Full: true, Width: 120}), `
A: monday.csv: 0 readings, consistent with the model (χ²/ν = 1.20, p = 0.306)
B: friday.csv: 9 readings, consistent with the model (χ²/ν = 1.20, p = 0.306)

Warnings
- a drift was left out

30 differences tested; at 95 % each, about 1.5 would seem to move by chance

Moved (Holm's test of all differences together, at 5 %)
A B B − A ± sigmas
L × C 4000.0 4100.0 ns² 100.0 1.0 +100.0
core rod, gain 1.800 1.900 0.100 0.025 +4.0
spike — 0.00 pF
frequency drop at 10 cm 20.00 21.00 kHz 1.00 0.40 +2.5
— not determined by these readings

May have moved (outside its own 95 % interval, as about one in twenty is by chance)
A B B − A ± sigmas
bare frequency 2.5000 2.4976 MHz -0.0024 0.0010 -2.4

Not moved, as far as the readings show
A B B − A ± sigmas
characteristic impedance 15.00 — kΩ
inductance in air 1.0000 1.0004 mH 0.0004 0.0080 +0.1
winding capacitance 3.00 3.01 pF 0.01 0.10 +0.1
core rod, capacitance 0.0500 0.0500 pF 0.0000 0.0020 0.0
— not determined by these readings`)
	c.SplitA, c.Changes = false, c.Changes[1:2]
	transcript(t, "A doesn't separate", write(c, [2]*model.Result{contradictory(), consistent()}, View{}), `
A: monday.csv: 0 readings, contradictory (χ²/ν = 6.00, p < 0.0001)
B: friday.csv: 0 readings, consistent with the model (χ²/ν = 1.20, p = 0.306)

Contradiction: no number below is to be trusted until it is resolved
- A: part "4.7 pF": the other readings give 5.20 pF, 3.4 standard deviations
from its value

Warnings
- a drift was left out

A does not separate inductance and capacitance: of the coil itself, only L × C
and what follows from frequencies is compared

Moved (Holm's test of all differences together, at 5 %)
nothing

Not moved inductance in air (to ± 0.80 %)
Next resolve the contradiction first: fitcoil fit of that log says
what contradicts
± is one standard uncertainty. More: --full.`)
	c.SplitA, c.SplitB, c.Changes = true, false, c.Changes[:1]
	transcript(t, "B doesn't separate", write(c, good, View{}), `
A: monday.csv: 0 readings, consistent with the model (χ²/ν = 1.20, p = 0.306)
B: friday.csv: 9 readings, consistent with the model (χ²/ν = 1.20, p = 0.306)

Warnings
- a drift was left out

B does not separate inductance and capacitance: of the coil itself, only L × C
and what follows from frequencies is compared

Moved (Holm's test of all differences together, at 5 %)
nothing

Not moved inductance in air (to ± 0.80 %)
Next read in session B the bare coil and a known capacitor on the
top: inductance and capacitance can then be compared
± is one standard uncertainty. More: --full.`)
	c.SplitA, c.Changes = false, nil
	for range 9 {
		c.Changes = append(c.Changes, changed(estimateOf(quantities.LCProduct, "s²", 4e-15, 1e-18), 4.1e-15, 1e-18, true, true))
	}
	for range 12 {
		c.Changes = append(c.Changes, changed(estimateOf(quantities.LCProduct, "s²", 4e-15, 1e-18), 4e-15, 1e-18, false, false))
	}
	transcript(t, "many", write(c, good, View{}), `
A: monday.csv: 0 readings, consistent with the model (χ²/ν = 1.20, p = 0.306)
B: friday.csv: 9 readings, consistent with the model (χ²/ν = 1.20, p = 0.306)

Warnings
- a drift was left out

neither session separates inductance and capacitance: of the coil itself, only
L × C and what follows from frequencies is compared

Moved (Holm's test of all differences together, at 5 %)
A B B − A ± sigmas
L × C 4000.0 4100.0 ns² 100.0 1.0 +100.0
L × C 4000.0 4100.0 ns² 100.0 1.0 +100.0
L × C 4000.0 4100.0 ns² 100.0 1.0 +100.0
L × C 4000.0 4100.0 ns² 100.0 1.0 +100.0
L × C 4000.0 4100.0 ns² 100.0 1.0 +100.0
L × C 4000.0 4100.0 ns² 100.0 1.0 +100.0
L × C 4000.0 4100.0 ns² 100.0 1.0 +100.0
L × C 4000.0 4100.0 ns² 100.0 1.0 +100.0
L × C 4000.0 4100.0 ns² 100.0 1.0 +100.0

Not moved L × C (to ± 0.025 %); L × C (to ± 0.025 %); L × C
(to ± 0.025 %); L × C (to ± 0.025 %); L × C (to ± 0.025 %); L
× C (to ± 0.025 %); L × C (to ± 0.025 %); L × C (to ± 0.025 %);
and 4 more
Next read in both sessions the bare coil and a known capacitor on the
top: inductance and capacitance can then be compared
± is one standard uncertainty. More: --full.`)
	for s, want := range map[float64]string{math.Inf(1): "-", 0.049: "0.0", -0.049: "0.0", 0.05: "+0.1", -2.34: "-2.3"} {
		if got := sigmas(s); got != want {
			t.Errorf("%v: %q, want %q", s, got, want)
		}
	}
	pF, _ := quantity.ParseUnit("pF", quantity.Capacitance)
	for want, x := range map[string][2]float64{"0.0123 0.0020": {1.23e-14, 2e-15}, "0.010 0.010": {1e-14, 9.96e-15}, "0.000 0.020": {-1e-16, 20e-15}, "-0.0123 0.0020": {-1.23e-14, 2e-15},
		"5.00 0.20": {5e-12, 0.2e-12}, "0.00000 0.00020": {1e-19, 2e-16}} {
		if got := plainly(pF, x[0], x[1]); got.Value+" "+got.Uncertainty != want || got.Unit != "pF" {
			t.Errorf("%v: %+v, want %q", x, got, want)
		}
	}
}

func TestConsensusTranscript(t *testing.T) {
	agreed := func(e quantities.Estimate, between, p float64, sigmas ...float64) decisions.Agreed {
		a := decisions.Agreed{Estimate: e, Between: between, PValue: p, Differs: p < 0.02, Sigmas: sigmas}
		for _, s := range sigmas {
			var own *quantities.Estimate
			if !math.IsNaN(s) {
				own = &e
			}
			a.Sessions = append(a.Sessions, own)
		}
		return a
	}
	nan := math.NaN()
	list := []decisions.Agreed{agreed(estimateOf(quantities.HandStrength, "F", 2e-12, 3e-13), 0, nan, nan, 0, nan, nan, nan, nan),
		agreed(ofCore("rod", estimateOf(quantities.CoreGain, "1", 1.8, 0.02)), 0, 0.7, 0, 0.1, nan, 0, 0, 0),
		agreed(estimateOf(quantities.Inductance, "H", 1e-3, 4e-6), 6e-6, 0.01, 1.24, -1.5, 0.02, -0.03, 2.5, -3.5)}
	var sources []Source
	var r []*model.Result
	for _, log := range []string{"mon.csv", "tue.csv", "wed.csv", "thu.csv", "fri.csv", "sat.csv", "sun.csv", "again.csv", "last.csv"} {
		sources, r = append(sources, Source{Log: log}), append(r, consistent())
	}
	r[1], sources[2].Warnings = contradictory(), []string{"hand taken as cm"}
	write := func(n int, list []decisions.Agreed, v View) func(w io.Writer) error {
		return func(w io.Writer) error { return ConsensusText(w, r[:n], list, sources[:n], v) }
	}
	transcript(t, "consensus", write(9, list, View{}), `
Consensus of 9 sessions of one coil
A: mon.csv
B: tue.csv
C: wed.csv
D: thu.csv
E: fri.csv
F: sat.csv

Contradiction: no number below is to be trusted until it is resolved
- B: part "4.7 pF": the other readings give 5.20 pF, 3.4 standard deviations
from its value

Warnings
- hand taken as cm

quantity consensus ± between A [σ] B [σ] C [σ] D [σ] E [σ]
inductance 1.0000 0.0040 mH 0.0060 +1.2 -1.5 0.0 0.0 +2.5
in air
gain, core 1.800 0.020 0 0.0 +0.1 – 0.0 0.0
rod
hand 2.00 0.30 pF – – alone – – –
strength

1 of 2 quantities differs between sessions by more than their uncertainties
explain (Holm's test of all together, at 5 %), most surely the inductance in
air in session F: the coil or the bench changed; fitcoil compare tells what.
±: one standard uncertainty; between: standard deviation between sessions
beside it (DerSimonian and Laird); σ: deviation of a session over its standard
uncertainty; –: not determined. The same parts, clips, known values and priors
on the coil err alike in all sessions.`)
	transcript(t, "in full", write(9, list[:2], View{Full: true, Width: 120}), `
Consensus of 9 sessions of one coil
A: mon.csv
B: tue.csv
C: wed.csv
D: thu.csv
E: fri.csv
F: sat.csv
G: sun.csv
H: again.csv
I: last.csv

Contradiction: no number below is to be trusted until it is resolved
- B: part "4.7 pF": the other readings give 5.20 pF, 3.4 standard deviations from its value

Warnings
- hand taken as cm

quantity consensus ± between A [σ] B [σ] C [σ] D [σ] E [σ]
gain, core rod 1.800 0.020 0 0.0 +0.1 – 0.0 0.0
hand strength 2.00 0.30 pF – – alone – – –

The sessions agree within their uncertainties (Holm's test of all quantities together, at 5 %).
±: one standard uncertainty; between: standard deviation between sessions beside it (DerSimonian and Laird); σ:
deviation of a session over its standard uncertainty; –: not determined. The same parts, clips, known values and
priors on the coil err alike in all sessions.`)
	transcript(t, "nothing", write(1, nil, View{}), `
Consensus of 1 session of one coil
A: mon.csv
No quantity is determined by any of them.`)
	two := agreed(ofCore("rod", estimateOf(quantities.CoreGain, "1", 1.8, 0.02)), 0, 0.7, 0.5, -0.5)
	list = []decisions.Agreed{agreed(estimateOf(quantities.Inductance, "H", 1e-3, 4e-6), 6e-6, 0.01, 1.24, -1.24), agreed(estimateOf(quantities.BareFrequency, "Hz", 2e6, 4e3), 6e3, 0.001, 1.24, -1.24)}
	for range 20 {
		list = append(list, two)
	}
	transcript(t, "many", write(2, list, View{}), `
Consensus of 2 sessions of one coil
A: mon.csv
B: tue.csv

Contradiction: no number below is to be trusted until it is resolved
- B: part "4.7 pF": the other readings give 5.20 pF, 3.4 standard deviations
from its value

quantity consensus ± between A [σ] B [σ]
bare frequency 2.0000 0.0040 MHz 0.0060 +1.2 -1.2
inductance in air 1.0000 0.0040 mH 0.0060 +1.2 -1.2
gain, core rod 1.800 0.020 0 +0.5 -0.5
gain, core rod 1.800 0.020 0 +0.5 -0.5
gain, core rod 1.800 0.020 0 +0.5 -0.5
gain, core rod 1.800 0.020 0 +0.5 -0.5
gain, core rod 1.800 0.020 0 +0.5 -0.5
gain, core rod 1.800 0.020 0 +0.5 -0.5
gain, core rod 1.800 0.020 0 +0.5 -0.5
gain, core rod 1.800 0.020 0 +0.5 -0.5
gain, core rod 1.800 0.020 0 +0.5 -0.5
gain, core rod 1.800 0.020 0 +0.5 -0.5

and 10 more: --full
2 of 22 quantities differ between sessions by more than their uncertainties
explain (Holm's test of all together, at 5 %), most surely the bare frequency:
the coil or the bench changed; fitcoil compare tells what.
±: one standard uncertainty; between: standard deviation between sessions
beside it (DerSimonian and Laird); σ: deviation of a session over its standard
uncertainty; –: not determined. The same parts, clips, known values and priors
on the coil err alike in all sessions.`)
	transcript(t, "none in common", write(2, []decisions.Agreed{agreed(estimateOf(quantities.Inductance, "H", 1e-3, 4e-6), 0, nan, 0, nan)}, View{}), `
Consensus of 2 sessions of one coil
A: mon.csv
B: tue.csv

Contradiction: no number below is to be trusted until it is resolved
- B: part "4.7 pF": the other readings give 5.20 pF, 3.4 standard deviations
from its value

quantity consensus ± between A [σ] B [σ]
inductance in air 1.0000 0.0040 mH – alone –

No quantity is determined by more than one session.
±: one standard uncertainty; between: standard deviation between sessions
beside it (DerSimonian and Laird); σ: deviation of a session over its standard
uncertainty; –: not determined. The same parts, clips, known values and priors
on the coil err alike in all sessions.`)
	if session(25) != "Z" || session(26) != "27" {
		t.Errorf("%s, %s", session(25), session(26))
	}
}
