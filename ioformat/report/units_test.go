package report

import (
	"io"
	"strings"
	"testing"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/waveform"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonance"
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
