package findings

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
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

// What leaves nothing that tests it is kept, though neither named nor counted: of three readings with parts known to a tenth hardly any is redundant.
func TestEditThatNothingTests(t *testing.T) {
	s := sessionOf(153, simulated.Added(), simulated.Added(4.7), simulated.Added(10))
	for i := range s.Log.Parts {
		s.Log.Parts[i].Uncertainty *= 10
	}
	o := fitted(t, s)
	if !(o.Quality.PValue > 0.02 && o.Scatter.Redundancy < 0.2) {
		t.Fatalf("%+v, redundancy %v", o.Quality, o.Scatter.Redundancy)
	}
	r := *o
	r.Quality.ChiSquare = o.Quality.ChiSquare + 100
	e := editor{Result: &r, least: math.Inf(1), counted: map[int]bool{}}
	e.edits = []edit{{session: s, changed: []int{0}, told: func(*estimation.Result) *Mistake { return &Mistake{} }}}
	e.settle()
	if e.explain != 0 || len(e.counted) != 0 || e.best != nil || len(e.perhaps) != 1 || !e.perhaps[0].strikes {
		t.Errorf("%d explain, best %+v, kept %+v", e.explain, e.best, e.perhaps)
	}
}

// The most promising edit is fitted first; one that can't come within six of it isn't fitted any more, but tells that
// others explain the log too. One that doesn't explain it when it is fitted counts for nothing.
func TestEditsInTheirOrder(t *testing.T) {
	s := sessionOf(152, full()...)
	o := fitted(t, s)
	r := *o
	r.Quality.ChiSquare = o.Quality.ChiSquare + 100
	wrong := leaving(s)
	for i := range wrong.Log.Readings {
		wrong.Log.Readings[i].Frequency *= 1 + 0.01*float64(i%3)
	}
	for least, want := range map[float64][]string{5.9: {"best", "late"}, 6.1: {"best"}} {
		var fits []string
		told := func(what string) func(*estimation.Result) *Mistake {
			return func(*estimation.Result) *Mistake {
				fits = append(fits, what)
				return &Mistake{Kind: MistakenRows, Meant: 5, Lines: []int{len(fits)}}
			}
		}
		e := editor{Result: &r, least: math.Inf(1), counted: map[int]bool{}}
		chi := o.Quality.ChiSquare
		e.edits = []edit{{s, 0, told("late"), chi + least, []int{3}}, {wrong, 0, told("wrong"), chi - 2, []int{4}}, {s, 0, told("best"), chi - 1, []int{1, 2}}}
		e.settle()
		if !slices.Equal(fits, want) || e.explain != 2 || len(e.counted) != 3 || e.best == nil || e.best.Lines[0] != 1 || e.least != chi {
			t.Errorf("%v: fitted %v, %d explain, %v, best %+v", least, fits, e.explain, e.counted, e.best)
		}
	}
}

// Of up to forty readings all are tried; of more those of which a linear estimate leaves less than half as much again as
// explains a log: what each takes away, all that an edit changes together.
func TestWhichEditsAreHopeful(t *testing.T) {
	r := &estimation.Result{Problem: &estimation.Problem{Rows: make([]int, 41)}, Quality: estimation.Quality{ChiSquare: 200, DegreesOfFreedom: 30}}
	most := 1.5 * distuv.ChiSquared{K: 30}.Quantile(0.98)
	for _, by := range []float64{0.01, -0.01} {
		e := editor{Result: r, excess: []float64{7, 100, 100 - most + by, 3}}
		if got := e.hopeful([]int{1, 2}); got != (by > 0) {
			t.Errorf("%v more: %v", by, got)
		}
		if e.hopeful([]int{0, 3}) {
			t.Error("of readings that agree")
		}
	}
	r.Problem.Rows = r.Problem.Rows[:40]
	if !(&editor{Result: r, excess: make([]float64, 4)}).hopeful([]int{0}) {
		t.Error("of forty")
	}
}

// What an edit leaves at the best is no more than a whole fit finds, and explains a log that drifts, or whose leads bring,
// by far more than is taken for granted; of a log that contradicts itself it leaves far more than explains it.
func TestWhatIsLeftAtBest(t *testing.T) {
	far := simulated.Lighthouse()
	far.Drift, far.Lead = 8e-3, 1.2e-12 // of 0.5e-3 and 0.1e-12
	for what, truth := range map[string]simulated.Truth{"good": simulated.Lighthouse(), "far": far} {
		s := estimation.Session{Log: truth.Session(rand.New(rand.NewPCG(154, 9)), 2e-4, 0.01, append(full(), full()...)...)}
		r := fitted(t, s)
		chi, p := atBest(s, r.Problem.Anchors)
		if !(chi <= r.Quality.ChiSquare+1e-6) || !(p > 0.02) || !(chi > 4) {
			t.Errorf("%s: χ² %v of %v, p %v", what, chi, r.Quality.ChiSquare, p)
		}
		s.Log.Readings = slices.Clone(s.Log.Readings)
		s.Log.Readings[5].Frequency *= 1.05
		if chi, p = atBest(s, r.Problem.Anchors); !(chi > 500) || !(p < 1e-9) {
			t.Errorf("%s, misread: χ² %v, p %v", what, chi, p)
		}
	}
	if chi, p := atBest(estimation.Session{}, 0); !math.IsInf(chi, 1) || p != 0 {
		t.Errorf("of nothing: %v, %v", chi, p)
	}
}

// Of more than forty readings, those with most of χ² are tried; of more than a dozen parts of known value that the fit may
// move, those whose readings have most of it together. A part without a value is none, nor one that is exact.
func TestWhichAreTriedOneByOne(t *testing.T) {
	p := &estimation.Problem{}
	var excess []float64
	for i := range 45 {
		p.Rows, excess = append(p.Rows, i), append(excess, float64((i*7)%45))
	}
	e := editor{Result: &estimation.Result{Problem: p}, excess: excess}
	rows := e.suspectedRows()
	slices.Sort(rows)
	if want := slices.DeleteFunc(slices.Clone(p.Rows), func(i int) bool { return (i*7)%45 < 5 }); !slices.Equal(rows, want) {
		t.Errorf("tried %v, want %v", rows, want)
	}
	p.Rows = p.Rows[:40]
	if got := e.suspectedRows(); !slices.Equal(got, p.Rows) {
		t.Errorf("of forty %v", got)
	}
	steps := []simulated.Step{simulated.Added(), simulated.Added(simulated.Spike), simulated.Added(simulated.Spike, 100)} // parts 0 and 1
	for i := range 13 {
		steps = append(steps, simulated.Added(float64(10+i)), simulated.Added(float64(10+i)))
	}
	s := sessionOf(155, steps...)
	s.Log.Parts[1].Uncertainty = 0
	r := problemOf(t, s)
	with := with(&s.Log)
	excess = make([]float64, len(steps))
	excess[1], excess[2] = 1e3, 1e3
	for i := range 13 { // the part of least is i = 4, though one of its readings has much
		excess[3+2*i], excess[4+2*i] = 10+float64(i), 10-float64(i)+2
	}
	excess[3+8], excess[4+8] = 21, 0
	all := []int{2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14}
	parts := (&editor{Result: r, excess: excess}).suspectedParts(with)
	slices.Sort(parts)
	if want := slices.DeleteFunc(slices.Clone(all), func(p int) bool { return p == 6 }); !slices.Equal(parts, want) {
		t.Errorf("parts %v, want %v", parts, want)
	}
}
