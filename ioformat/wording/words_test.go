package wording

import (
	"math"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// States are spelled for people, and as they are typed.
func TestStatesAsTyped(t *testing.T) {
	far := math.Inf(1)
	parts := []readings.Part{{Name: "4.7 pF"}, {Name: "spike"}, {Name: "0.1 nF"}}
	for _, c := range []struct {
		s          readings.State
		said, word string
	}{
		{readings.Bare(), "bare", "bare"},
		{readings.State{Parts: []int{0, 1, 2}, Hand: far}, "4.7 pF + spike + 0.1 nF", "added=4.7pF+spike+0.1nF"},
		{readings.State{Clip: true, Hand: far}, "empty clip", "added=clip"},
		{readings.State{Clip: true, Parts: []int{0}, Hand: far}, "4.7 pF", "added=4.7pF"},
		{readings.State{Clip: true, Exact: 3.3e-12, Hand: far}, "3.3 pF", "added=3.3pF"},
		{readings.State{Exact: 0.5e-12, Parts: []int{1}, Hand: far}, "spike + 500 fF", "added=spike+500fF"},
		{readings.State{Core: "rod", To: 1, Hand: far}, "core rod", "core=rod"},
		{readings.State{Core: "rod", To: 0.625, Hand: 0.15}, "core rod 62.5 %, hand at 15 cm", "core=rod covered=62.5% hand=15cm"},
		{readings.State{Core: "rod", To: 0.98765, Hand: 0.123456}, "core rod 98.8 %, hand at 12.3 cm", "core=rod covered=98.77% hand=12.35cm"},
		{readings.State{Core: "rod", From: 0.2, To: 1, Hand: far}, "core rod 20..100 %", "core=rod covered=20..100%"},
		{readings.State{Core: "rod", From: 0.123456, To: 0.98765, Hand: far}, "core rod 12.3..98.8 %", "core=rod covered=12.35..98.77%"},
		{readings.State{Hand: far, Primary: readings.Primary{Kind: readings.PrimaryShorted}}, "primary shorted", "primary=shorted"},
		{readings.State{Core: "rod", To: 1, Hand: far, Primary: readings.Primary{Kind: readings.PrimaryTuned, Capacitance: 4.7e-9}}, "core rod, primary tuned with 4.70 nF, lower peak", "core=rod primary=tuned 4.7 nF"},
		{readings.State{Hand: far, Primary: readings.Primary{Kind: readings.PrimaryTuned, Capacitance: 4.7e-9, Upper: true}}, "primary tuned with 4.70 nF, upper peak", "primary=tuned 4.7 nF"},
	} {
		if got := State(c.s, parts); got != c.said {
			t.Errorf("%+v: %q, want %q", c.s, got, c.said)
		}
		if got := Words(c.s, parts); got != c.word {
			t.Errorf("%+v: %q, want %q", c.s, got, c.word)
		}
	}
}

// Quantities have the names of the trade, with what they belong to.
func TestQuantitiesByName(t *testing.T) {
	key := func(name, core, part string, hand float64) quantities.Estimate {
		return quantities.Estimate{Key: quantities.Key{Name: name, Core: core, Part: part, Hand: hand}}
	}
	equivalent := key(quantities.TopCapacitance, "", "", 0)
	equivalent.Equivalent = true
	other := key(quantities.EffectiveCapacitance, "", "", 0)
	other.Equivalent = true
	for _, c := range []struct {
		e        quantities.Estimate
		own, all string
	}{
		{key(quantities.LCProduct, "", "", 0), "L × C", "L × C"}, {key(quantities.Inductance, "", "", 0), "inductance in air", "inductance in air"}, {key(quantities.RatioGain, "rod", "", 0), "apparent gain (f_air/f_core)²", "apparent gain (f_air/f_core)², core rod"},
		{key(quantities.WindingCapacitance, "", "", 0), "winding capacitance", "winding capacitance"}, {equivalent, "top capacitance, equivalent line", "top capacitance, equivalent line"}, {other, "effective capacitance", "effective capacitance"},
		{key(quantities.PartCapacitance, "", "spike", 0), "spike", "spike"}, {key(quantities.CoreGain, "rod", "", 0), "gain", "gain, core rod"}, {key(quantities.CouplingAtResonance, "rod", "", 0), "coupling at resonance, core rod", "coupling at resonance, core rod"},
		{key(quantities.CouplingOfWindings, "", "", 0), "coupling of windings", "coupling of windings"}, {key(quantities.HandFrequencyDrop, "", "", 0.125), "frequency drop at 12.5 cm", "hand, frequency drop at 12.5 cm"},
		{key(quantities.QualityWinding, "", "", 0), "winding", "quality factor, winding"}, {key(quantities.QualityDielectric, "", "", 0), "dielectric", "quality factor, dielectric"}, {key(quantities.QualityCore, "rod", "", 0), "core rod, and winding with it", "quality factor, core rod, and winding with it"},
		{key(quantities.BareFrequency, "", "", 0), "bare frequency", "bare frequency"},
	} {
		if got := Quantity(&c.e); got != c.own {
			t.Errorf("%q, want %q", got, c.own)
		}
		if got := QuantityOf(&c.e); got != c.all {
			t.Errorf("%q, want %q", got, c.all)
		}
	}
	for d, want := range map[float64]string{0.1: "10 cm", 0.1234: "12.3 cm", math.Inf(1): "nobody near"} {
		if got := Distance(d); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	// The digits that tell a coefficient from one: as many as 1 − |r| has zeros, and one.
	for r, want := range map[float64]string{0.5: "0.50", -0.5: "−0.50", 0.9: "0.90", 0.91: "0.910", 0.99: "0.990", 0.991: "0.9910", -0.99929: "−0.99929", 0.99999999: "1.000000", 1: "1.00", 0: "0.00", -0.001: "0.00", 0.004: "0.00"} {
		if got := Correlation(r); got != want {
			t.Errorf("%v: %q, want %q", r, got, want)
		}
	}
	for n, want := range map[int]string{1: "line 5", 2: "lines 5 and 6", 3: "lines 5, 6 and 7", 8: "lines 5, 6, 7, 8, 9, 10, 11 and 12", 9: "lines 5, 6, 7, 8, 9, 10, 11, 12 and 13", 10: "lines 5, 6, 7, 8, 9, 10, 11, 12 and 2 more"} {
		if got := Lines([]int{5, 6, 7, 8, 9, 10, 11, 12, 13, 14}[:n]); got != want {
			t.Errorf("%d lines: %q, want %q", n, got, want)
		}
	}
	for z, want := range map[float64]string{0.049: "0.0", -0.049: "0.0", 0.051: "+0.1", -1.26: "-1.3"} {
		if got := Moved(z); got != want {
			t.Errorf("%v: %q, want %q", z, got, want)
		}
	}
}

// Priors are told as they were believed and as they are known now, each in the unit it is thought of in.
func TestMovedPriorsInWords(t *testing.T) {
	of := func(kind estimation.AssumptionKind, names ...string) estimation.MovedPrior {
		return estimation.MovedPrior{Kind: estimation.AssumptionSource, Assumption: estimation.Assumption{Kind: kind, Names: names}}
	}
	with := func(b estimation.MovedPrior, unit string, v, u, now, left float64) estimation.MovedPrior {
		b.Unit, b.Value, b.Uncertainty, b.Now, b.Left = unit, v, u, now, left
		return b
	}
	logarithm := func(b estimation.MovedPrior) estimation.MovedPrior { b.Logarithmic = true; return b }
	for _, c := range []struct {
		b                       estimation.MovedPrior
		what, believed, now, of string
	}{
		{with(estimation.MovedPrior{Kind: estimation.PartSource, Part: "10 pF"}, "F", 10e-12, 0.1e-12, 10.05e-12, 0.05e-12), "10 pF", "10.00 ± 0.10 pF", "10.050 ± 0.050 pF", ""},
		{with(estimation.MovedPrior{Kind: estimation.PartSource, Part: "0.1 pF"}, "F", 0.1e-12, 0.01e-12, 0.1e-12, 0.01e-12), "0.1 pF", "0.100 ± 0.010 pF", "0.100 ± 0.010 pF", ""},
		{with(estimation.MovedPrior{Kind: estimation.CommonSource}, "1", 0, 0.005, -0.0001, 0.005), "tolerances in common", "0.00 ± 0.50 %", "-0.01 ± 0.50 %", ""},
		{with(estimation.MovedPrior{Kind: estimation.KnownSource, Known: quantities.Key{Name: quantities.CoreGain, Core: "rod"}}, "1", 1.6, 0.1, 1.65, 0.05), "gain, core rod", "1.60 ± 0.10", "1.650 ± 0.050", ""},
		{with(estimation.MovedPrior{Kind: estimation.KnownSource, Known: quantities.Key{Name: quantities.Inductance}}, "H", 0.98e-3, 0.02e-3, 1.02e-3, 0.01e-3), "inductance in air", "0.980 ± 0.020 mH", "1.020 ± 0.010 mH", ""}, // one unit, that of the larger
		{with(estimation.MovedPrior{Kind: estimation.KnownSource, Known: quantities.Key{Name: quantities.Inductance}}, "H", 1.02e-3, 0.02e-3, 0.98e-3, 0.01e-3), "inductance in air", "1.020 ± 0.020 mH", "0.980 ± 0.010 mH", ""},
		{with(of(estimation.AssumedCoreCapacitance, "rod"), "1", 0, 0.07, 0.05, 0.02), "capacitance of core rod, of the winding's", "0.0 ± 7.0 %", "5.0 ± 2.0 %", ", of the winding's"},
		{with(of(estimation.AssumedDrift), "1", 0, 200e-6, -100e-6, 30e-6), "drift during the session", "0 ± 200 ppm", "-100 ± 30 ppm", ""},
		{logarithm(with(of(estimation.AssumedHandOffset), "m", 0.05, math.Log(2), 0.0633, math.Log(1.5))), "offset of the hand's law", "5 cm (factor 2.0)", "6.3 cm (factor 1.5)", ""},
		{logarithm(with(of(estimation.AssumedEnds, "rod"), "1", 0.05, math.Log(1.5), 0.06, math.Log(1.2))), "end effect of core rod, of the length", "0.050 (factor 1.5)", "0.060 (factor 1.2)", ", of the length"},
		{logarithm(with(of(estimation.AssumedMoved, "rod"), "1", 0.05, math.Log(2), 0.04, math.Log(2))), "capacitance moved by core rod, of the winding's", "5.0 % (factor 2.0)", "4.0 % (factor 2.0)", ", of the winding's"},
		{with(of(estimation.AssumedLead), "F", 0, 0.1e-12, -1e-17, 0.02e-12), "capacitance of clips and leads", "0.00 ± 0.10 pF", "0.000 ± 0.020 pF", ""},
		{with(of(estimation.AssumedHandExponent), "1", 1.2, 0.3, 1.1, 0.1), "exponent of the hand's law", "1.20 ± 0.30", "1.10 ± 0.10", ""},
	} {
		what, believed, now := MovedPrior(&c.b)
		if what != c.what || believed != c.believed || now != c.now || MovedOf(&c.b) != c.of {
			t.Errorf("%q, %q, %q, %q, want %+v", what, believed, now, MovedOf(&c.b), c)
		}
	}
	for kind, want := range map[estimation.AssumptionKind]string{estimation.AssumedTolerance: "tolerance of a, b", estimation.AssumedShare: "top's share of the capacitance", estimation.AssumedCoreCapacitance: "capacitance of core a, b", estimation.AssumedEnds: "end effect of core a, b",
		estimation.AssumedMoved: "capacitance moved by core a, b", estimation.AssumedHandOffset: "offset of the hand's law", estimation.AssumedHandExponent: "exponent of the hand's law", estimation.AssumedLead: "capacitance of clips and leads", estimation.AssumedDrift: "drift during the session",
		estimation.AssumedCapacitance: "capacitance of winding and top", estimation.AssumedHand: "capacitance of the hand", estimation.AssumedStray: "stray capacitance of the other bench", estimation.AssumedPart: "capacitance of a, b", estimation.AssumedDigits: "prior"} {
		if got := Prior(&estimation.Assumption{Kind: kind, Names: []string{"a", "b"}}); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if got := Source(&estimation.Source{Kind: estimation.EarlierSource, Count: 3, Earlier: "mon.csv"}); got != "3 readings of mon.csv" {
		t.Errorf("%q", got)
	}
	if got := Source(&estimation.Source{Kind: estimation.AssumptionSource, Assumption: estimation.Assumption{Kind: estimation.AssumedLead}}); got != "capacitance of clips and leads" {
		t.Errorf("%q", got)
	}
}
