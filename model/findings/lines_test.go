package findings

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/patterns"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// The straight line of 1/ω² against what was added meets zero where as much is taken away as the coil
// has. By hand: a coil of C read with b₁ and b₂ on top, a = L(C + b); its uncertainty by central
// differences of C = a₁(b₂ − b₁)/(a₂ − a₁) − b₁.
func TestCapacitanceOfTheStraightLine(t *testing.T) {
	const henry = 1e-3
	made := func(farad, b1, b2, relative, tolerance float64) *estimation.Result {
		log := readings.Log{Parts: []readings.Part{{Name: "a", Capacitance: b1, Uncertainty: tolerance * b1, Known: true}, {Name: "b", Capacitance: b2, Uncertainty: tolerance * b2, Known: true}}}
		for k, b := range []float64{b1, b2} {
			hz := 1 / (2 * math.Pi * math.Sqrt(henry*(farad+b)))
			s := readings.Bare()
			s.Parts = []int{k}
			log.Readings = append(log.Readings, readings.Reading{State: s, Use: true, Frequency: hz, Uncertainty: relative * hz})
		}
		return problemOf(t, estimation.Session{Log: log})
	}
	for _, c := range []struct {
		farad, b1, b2, relative, tolerance float64
		below, much                        bool
	}{
		{5e-12, 10e-12, 22e-12, 1e-4, 0.01, false, true},
		{30e-12, 10e-12, 22e-12, 1e-4, 0.01, false, false},                                                        // 52 to 40: less than half as much again
		{-5e-12, 10e-12, 22e-12, 1e-4, 0.01, true, true},                                                          // by more than three of 0.3 pF
		{-0.5e-12, 10e-12, 22e-12, 1e-4, 0.01, false, true},                                                       // by less
		{-0.66e-12, 10e-12, 22e-12, 1e-4, 0.01, false, true}, {-0.95e-12, 10e-12, 22e-12, 1e-4, 0.01, true, true}, // by 2.5, and 3.6
		{-5e-12, 10e-12, 22e-12, 0.2, 0.01, false, true},    // of readings that tell nothing
		{5e-12, 10e-12, 10.3e-12, 1e-4, 0.01, false, false}, // parts that may be alike
	} {
		r := made(c.farad, c.b1, c.b2, c.relative, c.tolerance)
		got, u, below := belowZero(r)
		if below != c.below || addsMuch(r) != c.much {
			t.Errorf("%+v: %v ± %v, below zero %v, much %v", c, got, u, below, addsMuch(r))
		}
		if c.b2 < 11e-12 {
			continue
		}
		x := []float64{henry * (c.farad + c.b1), henry * (c.farad + c.b2), c.b1, c.b2}
		line := func(x []float64) float64 { return x[0]*(x[3]-x[2])/(x[1]-x[0]) - x[2] }
		lead := 0.1e-12
		bu := []float64{math.Hypot(c.tolerance*c.b1, lead), math.Hypot(c.tolerance*c.b2, lead)}
		if !(math.Abs(got/c.farad-1) <= 1e-9) {
			t.Errorf("%+v: %v", c, got)
		}
		// What the parts do to the difference, and to the first, counted apart: the first in both.
		slope := x[0] / (x[1] - x[0])
		want := math.Hypot(bu[0], slope*math.Hypot(bu[0], bu[1]))
		if c.relative < 1e-3 && !(math.Abs(u/want-1) <= 0.02) || line(x) > 1e-10 {
			t.Errorf("%+v: ± %v, want %v", c, u, want)
		}
	}
	r := made(5e-12, 10e-12, 22e-12, 1e-4, 0.01)
	a, b := &r.Session.Log.Readings[0], &r.Session.Log.Readings[1]
	a.Frequency, b.Frequency = b.Frequency, a.Frequency // more on the top raises it
	if c, _, below := belowZero(r); !math.IsInf(c, -1) || !below {
		t.Errorf("the wrong way: %v, %v", c, below)
	}
	a.Uncertainty, b.Uncertainty = a.Frequency/4, b.Frequency/4
	if _, _, below := belowZero(r); below {
		t.Error("the wrong way, as well as readings of a quarter tell")
	}
}

// Neighbours alike are told in the order in which they are: of residuals put here, along the run and
// along what was added, by the same numbers as for any values.
func TestWhichNeighboursAreAlike(t *testing.T) {
	var steps []simulated.Step
	for i := range 24 {
		steps = append(steps, simulated.Added(1+float64((i*7)%24)))
	}
	r := fitted(t, sessionOf(91, steps...))
	put := func(values func(i int) float64) {
		for i := range r.Readings {
			r.Readings[i].Standardised = values(i)
		}
	}
	slow := func(k int) float64 { return math.Sin(2 * math.Pi * float64(k) / 24) }
	order := make([]float64, 24)
	for i := range order {
		order[i] = slow(i)
	}
	rho, p := patterns.Neighbours(order)
	for _, c := range []struct {
		values func(i int) float64
		name   string
	}{
		{slow, RunOrder}, {func(i int) float64 { return slow((i * 7) % 24) }, AddedOrder},
		{func(i int) float64 { return 0.1 * slow(i) }, ""}, {func(i int) float64 { return float64(1 - 2*(i%2)) }, ""},
	} {
		put(c.values)
		f, found := CheckNeighbours(r)
		if found != (c.name != "") || found && (f.Kind != NeighboursAlike || f.Name != c.name || !(math.Abs(f.Value-math.Min(rho, 0.9)) <= 1e-12) || !(math.Abs(f.Other/p-1) <= 1e-9)) {
			t.Errorf("%s: %+v, %v; want %v, %v", c.name, f, found, rho, p)
		}
	}
	// A trend with time is told as such.
	put(func(i int) float64 { return 0.1 * float64(i-12) })
	want, chance := patterns.Trend(usedResiduals(r))
	list := All(r, r, nil)
	i := slices.IndexFunc(list, func(f Finding) bool { return f.Kind == RunOrderTrend })
	if i < 0 || list[i].Value != want || list[i].Other != chance || !(want > 0.99) {
		t.Errorf("%+v", list)
	}
}

// Repeats that share one rounding error are one neighbour; those that scatter by themselves are many.
func TestRepeatsOfOneRoundingAreOneNeighbour(t *testing.T) {
	var steps []simulated.Step
	for i := range 32 {
		steps = append(steps, simulated.Added(3+float64(i/4)))
	}
	s := sessionOf(93, steps...)
	for i := range s.Log.Readings { // of each state one number, read four times
		s.Log.Readings[i].Frequency = s.Log.Readings[i/4*4].Frequency
	}
	for _, digits := range []bool{false, true} {
		for i := range s.Log.Readings {
			s.Log.Readings[i].FromDigits = digits
		}
		r := fitted(t, s)
		for i := range r.Readings {
			r.Readings[i].Standardised = float64(1 - 2*(i/4%2))
		}
		if f, found := CheckNeighbours(r); found == digits {
			t.Errorf("from digits %v: %+v, %v", digits, f, found)
		}
	}
}

// Readings of the same states that scatter more than stated: their pooled standard deviation over the
// stated, and whether what is left of χ² goes with it, by hand.
func TestRepeatsByHand(t *testing.T) {
	s := sessionOf(92, append(full(), full()...)...)
	s.Known = []quantities.Known{{Key: quantities.Key{Name: quantities.Drift}}}
	for i := range s.Log.Readings {
		s.Log.Readings[i].Uncertainty /= 3
	}
	unused := &s.Log.Readings[0] // has no part in it
	unused.Use, unused.Frequency = false, 4*unused.Frequency
	r := fitted(t, s)
	got := repeatScatter(r)
	if got == nil {
		t.Fatal("repeats agree")
	}
	var squares, relative, all, degrees float64
	for i := range r.Readings {
		o := &r.Readings[i]
		if !o.Use {
			continue
		}
		u := r.Problem.Uncertainty(r.Solution.X, &o.Reading)
		all += o.Residual * o.Residual / u / u
		var sum, weight float64
		first := true
		for k := range r.Readings {
			other := &r.Readings[k]
			if other.Use && readings.Same(&other.State, &o.State) {
				w := math.Pow(r.Problem.Uncertainty(r.Solution.X, &other.Reading), -2)
				sum, weight = sum+w*other.Residual, weight+w
				if k < i {
					first = false
				}
			}
		}
		if !first {
			degrees++
		}
		d := o.Residual - sum/weight
		squares += d * d / u / u
		relative += d * d / o.Frequency / o.Frequency
	}
	scatter := squares / degrees
	left := float64(r.Quality.DegreesOfFreedom) - degrees
	p := fit.RatioSurvival((all-squares)/scatter/left+r.Solution.PriorSquares/left, left, degrees)
	if !(math.Abs(got.Ratio/math.Sqrt(scatter)-1) <= 1e-9) || !(math.Abs(got.Relative/math.Sqrt(relative/degrees)-1) <= 1e-9) || got.Degrees != degrees || !(math.Abs(got.PValue/p-1) <= 1e-9) || got.Explain() != (p >= 0.01) {
		t.Errorf("%+v, want %v, %v, %v, %v", got, math.Sqrt(scatter), math.Sqrt(relative/degrees), degrees, p)
	}
	if !(got.Ratio > 1.8 && got.Ratio < 4.5) {
		t.Errorf("a third of what they scatter was stated: %v", got.Ratio)
	}
	if got := repeatScatter(fitted(t, sessionOf(93, append(full(), full()...)...))); got != nil {
		t.Errorf("in a good session %+v", got)
	}
	var none *Repeats
	if none.Explain() || !(&Repeats{PValue: math.NaN()}).Explain() || (&Repeats{PValue: 0.009}).Explain() || !(&Repeats{PValue: 0.011}).Explain() {
		t.Error("what explains")
	}
}

// A session that contradicts the one that it follows is told so, with the p-value of what χ² has risen
// by over what both have alone; one that agrees isn't.
func TestContradictedEarlierSession(t *testing.T) {
	for _, by := range []float64{1, 1.01} {
		log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(94, 9)), 2e-4, 0.001, append(full(), full()...)...)
		first, second := estimation.Session{Log: log}, estimation.Session{Log: log}
		first.Log.Readings, second.Log.Readings = log.Readings[:13], slices.Clone(log.Readings[13:])
		for i := range second.Log.Readings {
			second.Log.Readings[i].Frequency *= by
		}
		e := fitted(t, first).Carry()[0]
		e.Log = "first.csv"
		second.Follow(e)
		r := fitted(t, second)
		f, found := CheckEarlier(r)
		want := fit.ChiSquareSurvival(r.Quality.ChiSquare-e.Squares, float64(r.Quality.DegreesOfFreedom)-e.Freedom)
		if found != (by > 1) || found && (f.Kind != EarlierContradicts || f.Name != "first.csv" || f.Value != want) {
			t.Errorf("frequencies %v times as high: %+v, %v; p %v", by, f, found, want)
		}
	}
	if _, found := CheckEarlier(fitted(t, sessionOf(95, full()...))); found {
		t.Error("without an earlier one")
	}
}

// Of very many readings the studentised residual tells by itself, at one in a hundred sessions and 3.5
// stated uncertainties.
func TestSuspectAmongMany(t *testing.T) {
	r := problemOf(t, sessionOf(96, full()...))
	r.Solution.X = r.Problem.Start(r.Session.Log)
	r.Scatter.Redundancy = 9
	most := fit.CoverageFactor(1-0.01/13, 9)
	r.Readings = make([]estimation.ReadingResult, len(r.Session.Log.Readings))
	for i := range r.Readings {
		o := &r.Readings[i]
		o.Reading = r.Session.Log.Readings[i]
		o.Standardised, o.Residual = []float64{1.01, 0.99, -1.01}[i%3]*most, 4*o.Uncertainty
		if i > 8 {
			o.Residual = 3 * o.Uncertainty
		}
	}
	suspectAmongMany(r)
	for i, o := range r.Readings {
		if want := i <= 8 && i%3 != 1; o.Flagged != want || want && o.Deleted != o.Standardised {
			t.Errorf("reading %d: %+v", i, o)
		}
	}
}
