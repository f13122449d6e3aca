package findings

import (
	"math"
	"slices"
	"testing"

	"fitcoil/model/estimation"
)

// Neighbours exchanged are named wherever in the log they stand, the first and the last among them, and those between
// which a reading is that isn't used.
func TestExchangedAnywhere(t *testing.T) {
	for what, c := range map[string]struct{ i, j, unused int }{"first": {0, 1, -1}, "last": {24, 25, -1}, "one unused between": {3, 5, 4}, "the last unused": {23, 24, 25}, "the first unused": {1, 2, 0}} {
		s := sessionOf(151, append(full(), full()...)...)
		a, b := &s.Log.Readings[c.i], &s.Log.Readings[c.j]
		a.Frequency, b.Frequency, a.Uncertainty, b.Uncertainty = b.Frequency, a.Frequency, b.Uncertainty, a.Uncertainty
		if c.unused >= 0 {
			s.Log.Readings[c.unused].Use = false
		}
		if m := findMistake(fitted(t, s), nil); m == nil || m.Kind != MistakenRows || !slices.Equal(m.Lines, []int{a.Line, b.Line}) {
			t.Errorf("%s: %+v, want lines %d and %d", what, m, a.Line, b.Line)
		}
	}
}

// An edit that explains the log is kept with its χ² and its price, less three where a slip of the pen makes the number
// meant (an even chance of five, −2 ln ⅕ = 3.2); it strikes where it brings sixty more, in what is left a degree of
// freedom. Of readings that scatter only those that strike are kept; the best strikes, with something left that tests it.
func TestWhatAnEditIsWorth(t *testing.T) {
	s := sessionOf(152, full()...)
	o := fitted(t, s)
	chi, rest := o.Quality.ChiSquare, o.Scatter.Redundancy
	if !(o.Quality.PValue > 0.02 && chi < float64(o.Quality.DegreesOfFreedom)) {
		t.Fatalf("%+v", o.Quality)
	}
	slip, reading, rows := Mistake{Kind: MistakenReading, Meant: 1e6, Lines: []int{3}}, Mistake{Kind: MistakenReading, Meant: math.NaN(), Lines: []int{3}}, Mistake{Kind: MistakenRows, Meant: 7, Lines: []int{3, 4}}
	for what, c := range map[string]struct {
		found                 *Mistake
		price, gain, scale    float64 // gain: of χ², over what is left and the price
		kept, strikes, found2 bool
		worth                 float64 // over χ² of what is left
	}{
		"slip": {&slip, 4, 60.1, 1, true, true, true, 1}, "reading": {&reading, 4, 60.1, 1, true, true, true, 4}, "rows": {&rows, 0, 60.1, 1, true, true, true, 0},
		"not striking": {&slip, 4, 59.9, 1, true, false, false, 1}, "of scatter": {&reading, 4, 59.9, 1.2, false, false, false, 4}, "striking, of scatter": {&reading, 4, 60.1, 1.2, true, true, true, 4},
		"nothing": {nil, 4, 100, 1, false, false, false, 4},
	} {
		r := *o
		r.Quality.ChiSquare, r.Scatter.Scale = chi+c.price+c.gain, c.scale
		e := editor{Result: &r, least: math.Inf(1), counted: map[int]bool{}}
		e.edits = []edit{{session: s, price: c.price, least: chi + c.price, changed: []int{1}, told: func(got *estimation.Result) *Mistake {
			if got.Quality != o.Quality {
				t.Errorf("%s: told of %+v", what, got.Quality)
			}
			return c.found
		}}}
		e.settle()
		if e.explain != 1 || !e.counted[1] || len(e.counted) != 1 {
			t.Errorf("%s: %d explain, %v", what, e.explain, e.counted)
		}
		if (len(e.perhaps) == 1) != c.kept || (e.best != nil) != c.found2 || c.found2 && e.rest != rest {
			t.Errorf("%s: kept %+v, best %+v of %v", what, e.perhaps, e.best, e.rest)
			continue
		}
		if c.kept && (e.perhaps[0].strikes != c.strikes || !(math.Abs(e.perhaps[0].chi-chi-c.worth) <= 1e-9) || e.perhaps[0].Mistake != c.found) {
			t.Errorf("%s: %+v, want χ² %v", what, e.perhaps[0], chi+c.worth)
		}
		if c.found2 && (!(math.Abs(e.least-chi-c.worth) <= 1e-9) || c.found.OrScatter != (&editor{Result: &r}).mayScatter(o)) {
			t.Errorf("%s: least %v, or scatter %v", what, e.least, c.found.OrScatter)
		}
	}
}
