package report

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"testing"

	"fitcoil/model"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// What limits an estimate, by what its variance comes from: tolerances, of each part and in common, as one,
// readings as one, and each known value and prior by its name, the largest first.
func TestLimitsByTheirSources(t *testing.T) {
	of := log(0, 2.2, 4.7, 10)
	for i := range of.Parts {
		of.Parts[i].Lot, of.Parts[i].Common = "box", 0.5
	}
	inCore, bare := of.Readings[1], of.Readings[0]
	inCore.State.Core, inCore.State.To, inCore.State.Parts, inCore.Line, inCore.Frequency, inCore.Uncertainty = "rod", 0.5, nil, 6, 2e6, 2e3
	of.Readings = append(of.Readings, inCore)
	for i, d := range []float64{0.1, 0.15, 0.2, 0.3} { // more than the law of a hand has unknowns
		o := bare
		o.State.Hand, o.Line, o.Frequency, o.Uncertainty = d, 7+i, bare.Frequency*(1-0.012*math.Pow(0.1/d, 2.4)), 200
		of.Readings = append(of.Readings, o)
	}
	r := mustFit(t, estimation.Session{Log: of, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.WindingCapacitance}, Value: 2e-12, Uncertainty: 0.2e-12}}})
	common, laws := 0.0, 0.0
	for e := range r.All() {
		if !e.Determined {
			continue
		}
		list := limitsOf(r, e)
		if !slices.IsSortedFunc(list, func(a, b contribution) int { return cmp.Compare(b.share, a.share) }) {
			t.Errorf("%s: %+v isn't the largest first", e.Name, list)
		}
		var got quantities.Budget
		for _, c := range list {
			of := &got.Known
			switch {
			case strings.HasPrefix(c.what, "tolerances of the capacitors"):
				of = &got.Tolerance
			case strings.HasPrefix(c.what, "uncertainty of the readings"):
				of = &got.Readings
			case strings.Contains(c.what, ", prior "):
				of = &got.Assumed
			case c.what == "model of a partly covered winding":
				of = &got.Model
			case c.what == "what a hand's law errs by at a distance":
				of, laws = &got.Model, laws+c.share
			case c.what != "known value of winding capacitance":
				t.Errorf("%s: limited by %q", e.Name, c.what)
			}
			*of += c.share
		}
		want := e.Budget
		common += want.Common
		for _, c := range [][2]float64{{got.Tolerance, want.Tolerance}, {got.Readings, want.Readings}, {got.Known, want.Known}, {got.Assumed, want.Assumed}, {got.Model, want.Model}} {
			if !(math.Abs(c[0]-c[1]) < 1e-6) {
				t.Errorf("%s: %+v, want %+v", e.Name, got, want)
				break
			}
		}
	}
	if !(common > 0.1) || !(laws > 0.01) {
		t.Errorf("parts have %v in common, and the law brings %v", common, laws)
	}
}

// A known value is from the drawing, unless there is none or somebody stated that very value.
func TestWhoKnowsAValue(t *testing.T) {
	const drawn, stated = "winding capacitance computed from the drawing", "known value of winding capacitance"
	of := func(name string) []quantities.Known { return []quantities.Known{{Key: quantities.Key{Name: name}}} }
	for _, c := range []struct {
		drawing *drawing.Drawn
		known   []quantities.Known
		want    string
	}{{&drawing.Drawn{}, nil, drawn}, {&drawing.Drawn{}, of(quantities.Inductance), drawn}, {&drawing.Drawn{}, of(quantities.WindingCapacitance), stated},
		{&drawing.Drawn{}, append(of(quantities.Inductance), of(quantities.WindingCapacitance)...), stated}, {nil, of(quantities.WindingCapacitance), stated}} {
		r := &model.Result{Result: &estimation.Result{Problem: &estimation.Problem{}}}
		r.Session.Drawn, r.Session.Known = c.drawing, c.known
		if got := knownSource(r, quantities.WindingCapacitance); got != c.want {
			t.Errorf("%+v: %q, want %q", c, got, c.want)
		}
	}
}
