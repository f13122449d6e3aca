package report

import (
	"io"
	"math"
	"strings"
	"testing"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/waveform"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonance"
	"fitcoil/model/voltage"
)

// Numbers that stand together have the unit of the largest of them, and tolerances their digits.
func TestUnitsOfNeighbours(t *testing.T) {
	capacitor := func(from, to, tolerance float64) string {
		return CandidateText(decisions.Candidate{Kind: decisions.ReadNew, State: readings.Bare(), New: [2]float64{from, to}, Relative: tolerance * benchlog.BoundToStandard}, nil)
	}
	unit := func(list ...[2]float64) string {
		var p []decisions.Prediction
		for _, f := range list {
			q := predicted(readings.Bare())
			q.Frequency.Value, q.Frequency.Uncertainty = f[0], f[1]
			p = append(p, q)
		}
		return frequencyUnit(p).Symbol
	}
	sweep := func(unit string) string {
		list := sweepQuantities(Swept{Sweep: &waveform.Sweep{Unit: unit}, Result: &resonance.Result{}})
		return list[0].unit + " " + list[1].unit + " " + list[2].unit + " " + list[3].unit
	}
	least := func(determined bool) string {
		c := inventedCapture()
		c.Result.Quality.Determined, c.Result.QualityAtLeast = determined, 35
		return yes(textOf(t, []Captured{c}, nil, View{}), "quality factor at least 35")
	}
	cases{
		{capacitor(680e-12, 1.5e-9, 0.01), "any capacitor of 0.68 to 1.5 nF ± 1 %"}, {capacitor(33e-12, 47e-12, 0.0025), "any capacitor of 33 to 47 pF ± 0.25 %"}, {capacitor(10e-12, 10e-12, 0.125), "a capacitor of 10 pF ± 12.5 %"},
		{unit([2]float64{0.5e6, 1e3}, [2]float64{999600, 30}), "kHz"}, {unit([2]float64{999600, 30}, [2]float64{0.5e6, 1e3}), "kHz"}, {unit([2]float64{999600, 30}, [2]float64{1.5e6, 1e3}), "MHz"},
		{sweep(""), "Hz 1 1 1"}, {sweep("V"), "Hz 1 V 1"},
		{least(false), "true"}, {least(true), "false"},
	}.check(t)
}

// Of L × C, what moved is told where either session does not separate the two; parts are those of the first session.
func TestComparedWhereOneSeparates(t *testing.T) {
	product := changed(estimateOf(quantities.LCProduct, "s²", 4e-15, 1e-18), 4.1e-15, 1e-18, true, true)
	for i, split := range [][2]bool{{true, true}, {true, false}, {false, true}, {false, false}} {
		text := flat(t, func(w io.Writer) error {
			return CompareText(w, decisions.Comparison{SplitA: split[0], SplitB: split[1], Changes: []decisions.Change{product}}, [2]*model.Result{consistent(), consistent()}, [2]Source{{Log: "a.csv"}, {Log: "b.csv"}}, View{})
		})
		if got := strings.Contains(text, " L × C 4000.0 4100.0 ns² "); got != (i > 0) {
			t.Errorf("%v: %q", split, text)
		}
	}
	a := consistent()
	a.Session.Log.Parts = []readings.Part{{Name: "roof", Known: true}}
	c := decisions.Comparison{Changes: []decisions.Change{changed(ofPart("roof", estimateOf(quantities.PartCapacitance, "F", 4.7e-12, 1e-14)), 5e-12, 1e-14, true, true)}}
	type compared struct{ Warnings []string }
	for _, r := range [][2]*model.Result{{a, consistent()}, {consistent(), a}} {
		j := decoded[compared](t, func(w io.Writer) error { return CompareJSON(w, c, r, Source{}, Source{}) })
		if told := len(j.Warnings) == 1 && strings.HasPrefix(j.Warnings[0], "roof: parts stay what they are"); told != (r[0] == a) {
			t.Errorf("%q", j.Warnings)
		}
	}
}

// Probabilities are told to three decimals or two digits, and as beyond a bound where these would be 0 or 1.
func TestProbabilitiesInWords(t *testing.T) {
	for p, want := range map[float64]string{0: "p < 0.0001", 0.00009: "p < 0.0001", 0.00011: "p = 0.00011", 0.0123: "p = 0.012", 0.0999: "p = 0.1", 0.1234: "p = 0.123", 0.9992: "p = 0.999", 0.9996: "p > 0.999", 1: "p > 0.999"} {
		if got := pText(p); got != want {
			t.Errorf("%v: %q, want %q", p, got, want)
		}
	}
}

// A prior's share is that of the source of its kind, part, known value and assumption alone.
func TestSharesOfOnePrior(t *testing.T) {
	key := func(name, core string) quantities.Key { return quantities.Key{Name: name, Core: core} }
	sources := []estimation.Source{{Kind: estimation.KnownSource, Known: key(quantities.Inductance, ""), Share: 0.01}, {Kind: estimation.KnownSource, Known: key(quantities.CoreGain, "rod"), Share: 0.02}, {Kind: estimation.KnownSource, Known: key(quantities.CoreGain, "bead"), Share: 0.04},
		{Kind: estimation.PartSource, Part: "a", Share: 0.08}, {Kind: estimation.PartSource, Part: "b", Share: 0.16},
		{Kind: estimation.AssumptionSource, Assumption: estimation.Assumption{Kind: estimation.AssumedEnds, Names: []string{"rod"}}, Share: 0.1}, {Kind: estimation.AssumptionSource, Assumption: estimation.Assumption{Kind: estimation.AssumedEnds, Names: []string{"bead"}}, Share: 0.2}, {Kind: estimation.AssumptionSource, Assumption: estimation.Assumption{Kind: estimation.AssumedMoved, Names: []string{"rod"}}, Share: 0.3}}
	for i, s := range sources {
		if got := movedShare(&estimation.MovedPrior{Kind: s.Kind, Part: s.Part, Known: s.Known, Assumption: s.Assumption}, sources); got != s.Share {
			t.Errorf("%d: %v, want %v", i, got, s.Share)
		}
	}
	if got := movedShare(&estimation.MovedPrior{}, nil); !math.IsNaN(got) {
		t.Errorf("%v of nothing", got)
	}
}

// The voltage of a drawing with a core in is told with what lies between the core and the winding, bare without.
func TestVoltageOfADrawnCore(t *testing.T) {
	d := drawnCoil()
	d.Drawing.Coil.Beads.Count, d.Drawing.Coil.Beads.Diameter, d.Drawing.Coil.Beads.Length, d.Drawing.Coil.Beads.Spacing = 2, 0.01, 0.03, 0.01
	d.Core, d.Drawing.Core = &field.CorePrediction{Mode: d.Bare}, "rod"
	list := drawnStress(d)
	if len(list) != 2 || list[0].name != "bare" || list[1].name != "core rod" {
		t.Fatalf("%+v", list)
	}
	for i, s := range list {
		if _, ok := s.Widest(voltage.CoreToWinding); ok != (i == 1) {
			t.Errorf("%s: core to winding %v", s.name, ok)
		}
	}
}
