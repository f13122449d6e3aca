package estimation

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/drawing"
	"fitcoil/model/field"
	"fitcoil/model/forward"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Readings with a core partly in scatter by what the model errs, too: how much more than stated all
// readings scatter is found without them, and what is left over enlarges all; where that makes them no
// finer than a quarter of the model's, all are enlarged alike.
func TestEnlargedWithoutTheModelFirst(t *testing.T) {
	for noise, apart := range map[float64]bool{1e-5: true, 6e-3: false} {
		log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(51, 2)), noise, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22),
			simulated.Added().Rod(1), simulated.Added(10).Rod(1), simulated.Added().Rod(1), simulated.Added(22).Rod(1), simulated.Added().Rod(0.5), simulated.Added(10).Rod(0.5), simulated.Added().Rod(0.5))
		for i := range log.Readings {
			log.Readings[i].Uncertainty /= 3
		}
		s := Session{Log: log, Known: still}
		r := must.Get(Fit(s)).In(t)
		freedom := float64(len(log.Readings))
		for _, o := range r.Readings {
			freedom -= o.Leverage
		}
		s.Log.Readings = slices.Clone(log.Readings)
		for i := range s.Log.Readings {
			s.Log.Readings[i].Use = !log.Readings[i].Partly()
		}
		plain := must.Get(Fit(s)).In(t)
		if !apart {
			if r.Scatter.Scale != r.Solution.Scale || !(r.Scatter.Scale > 2) || !(math.Abs(r.Scatter.Redundancy/freedom-1) <= 1e-3) {
				t.Errorf("all alike: %v, of the fit %v", r.Scatter, r.Solution.Scale)
			}
			continue
		}
		if e := r.Carry()[0]; e.Scale != r.Scatter.Scale || e.Scale == r.Solution.Scale {
			t.Errorf("carried with the scale %v, of the readings %v, of the fit %v", e.Scale, r.Scatter.Scale, r.Solution.Scale)
		}
		e := r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"})
		squares := 0.0
		for _, in := range r.Budget(e) {
			squares += in.Contribution * in.Contribution
		}
		near.Times(t, "the budget of the gain", math.Sqrt(squares), e.Uncertainty, 1e-6)
		told := 0
		for _, a := range r.Assumed {
			if a.Kind == AssumedShare {
				told++
				variance, _ := r.Covariance.Variance(Unit(r.Problem.N, r.Problem.Share))
				near.Times(t, "what is left of the prior", a.Left, math.Sqrt(variance)/a.Spread, 1e-6)
				near.Times(t, "by what it was moved", a.Moved, (r.Solution.X[r.Problem.Share]-a.Value)/a.Spread, 1e-6)
			}
		}
		if told != 1 {
			t.Errorf("%d priors of the share", told)
		}
		if m := r.MonteCarlo(fit.Trials{Most: 4, Seed: 5}); m.Degrees != r.Solution.ScaleDegrees || m.Degrees == r.Judged.ScaleDegrees || m.Seed != 5 || m.Trials+m.Failed != 4 {
			t.Errorf("%d trials with %v degrees of freedom", m.Trials, m.Degrees)
		}
		near.Times(t, "scale of the readings", r.Scatter.Scale/r.Solution.Scale, plain.Scatter.Scale, 5e-3)
		near.Times(t, "what it comes from", r.Scatter.Redundancy, plain.Scatter.Redundancy, 2e-3)
		first, second := plain.Solution.ScaleDegrees, trusted(r.Solution.Scale, freedom)
		near.Times(t, "degrees", r.Solution.ScaleDegrees, min(first, second), 5e-3)
		if !(plain.Scatter.Scale > 2) || r.Quality.Scale != r.Scatter.Scale || r.Quality.Redundancy != r.Scatter.Redundancy || r.Quality.PartScale != 1 || !r.Quality.Converged {
			t.Errorf("%+v of %+v", r.Quality, plain.Scatter)
		}
	}
}

// Whether readings are finer, enlarged, than a quarter of what the model adds; what is enlarged of a
// weight; and a problem without the model's rows has their weights.
func TestFiner(t *testing.T) {
	log := readings.Log{Readings: make([]readings.Reading, 3)}
	for i := range log.Readings {
		log.Readings[i] = readings.Reading{State: readings.Bare(), Frequency: 1e6, Uncertainty: 10}
	}
	p := &Problem{Model: &forward.Model{}, Log: log, Rows: []int{0, 1, 2}, Weighed: []float64{10, math.Hypot(20, 300), 10}, factors: []float64{1, 2, 1}, model: []float64{0, 0, 2e-4}}
	for scale, want := range map[float64]bool{3.7: true, 3.8: false, 4.9: false, 5.1: false} { // 2·10·3.75 is a quarter of 300, 10·5 one of 200
		if p.finer(scale) != want {
			t.Errorf("× %v: %v", scale, !want)
		}
	}
	p.model, p.Weighed[1] = []float64{0, 0, 1.4e-4}, 20
	for scale, want := range map[float64]bool{3.4: true, 3.6: false} { // 10·3.5 of 140
		if p.finer(scale) != want {
			t.Errorf("× %v of the unknown: %v", scale, !want)
		}
	}
	p.Weighed[1] = math.Hypot(20, 300)
	p.spread(3)
	near.Times(t, "three times", p.Weighed[1], math.Hypot(60, 300), 1e-12)
	near.Times(t, "one by itself", p.Weighed[0], 30, 1e-12)
	log.Readings[0].State = readings.State{Core: "rod", To: 0.5, Hand: math.Inf(1)}
	p.spread(1)
	q := p.withoutModel()
	if !slices.Equal(q.Rows, []int{1, 2}) || !slices.Equal(q.factors, []float64{2, 1}) || !slices.Equal(q.model, []float64{0, 1.4e-4}) || !slices.Equal(q.Weighed, []float64{math.Hypot(20, 300), 10}) || q.Alike != 0.75 || q.Data.N != 2 {
		t.Errorf("%+v", q)
	}
}

// To start from, readings of earlier sessions stand behind those of the log; from them alone the
// start is the coil.
func TestStartFromEarlierSessions(t *testing.T) {
	log, farad, _, _, _ := lumpedLog()
	e := Earlier{Log: "one", Parts: log.Parts[:2]}
	for _, o := range log.Readings[1:4] {
		e.States, e.Hertz, e.Relative = append(e.States, o.State), append(e.Hertz, o.Frequency), append(e.Relative, 1e-4*float64(len(e.Hertz)+1))
	}
	s := Session{Log: log, Lumped: true, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.LeadCapacitance}}}}
	s.Log.Readings = log.Readings[:1]
	s.Follow(e)
	p := must.Get(NewProblem(s)).In(t)
	x := p.Start(s.Log)
	near.To(t, "L", x[forward.AtL], math.Log(1.3e-3), 1e-9)
	near.To(t, "C", x[forward.AtC], math.Log(farad), 1e-9)
	q, all := p.beside(s.Log)
	for k := range 3 {
		o := all.Readings[q.Rows[k+1]]
		near.Times(t, "u", o.Uncertainty, 1e-4*float64(k+1)*e.Hertz[k], 1e-12)
		if o.Frequency != e.Hertz[k] || !o.Use || !readings.Same(&o.State, &e.States[k]) {
			t.Errorf("%+v", o)
		}
	}
	if len(all.Readings) != 4 || len(s.Log.Readings) != 1 || len(p.Rows) != 1 {
		t.Error("the log itself has changed")
	}
}

// How an estimate comes to its number: what the model errs by, limits at zero, intervals in squares,
// a number that only the scatter denies, and none of a law at its bound.
func TestRulesOfEstimates(t *testing.T) {
	r := must.Get(Fit(everything(t))).In(t)
	p, x := r.Problem, r.Solution.X
	linear := func(q forward.Quantity, i int, value, by float64) forward.Quantity {
		q.Value = func(_ *forward.Model, y, grad []float64) float64 {
			clear(grad)
			grad[i] = by
			return value + by*(y[i]-x[i])
		}
		return q
	}
	plain := r.Estimate(linear(forward.Quantity{Positive: true}, p.Drift, 1e6, 1e3))
	ratio := plain.Uncertainty / plain.Stated
	model := linear(forward.Quantity{Positive: true}, p.Drift, 1e6, 1e3)
	model.Model = func(*forward.Model, []float64) float64 { return 3e-3 }
	wide := r.Estimate(model)
	near.Times(t, "with the model", wide.Uncertainty, math.Hypot(plain.Uncertainty, 3e3), 1e-9)
	near.Times(t, "as stated", wide.Stated, math.Hypot(plain.Stated, 3e3), 1e-9)
	near.Times(t, "the model's share", wide.Budget.Model, 9e6/wide.Uncertainty/wide.Uncertainty, 1e-4)
	near.Times(t, "in the logarithm", math.Log(wide.Interval[1]/1e6)*1e6, wide.Coverage*wide.Uncertainty, 1e-9)
	if u := plain.Uncertainty; !(plain.Budget.Readings > 0.5) || !(ratio > 1.2) {
		t.Fatalf("± %v, %+v, × %v", u, plain.Budget, ratio)
	}
	at := r.Estimate(linear(forward.Quantity{Unsigned: true}, p.Drift, plain.Uncertainty, 1e3))
	if k := at.Coverage; at.Interval[0] != 0 || !(math.Abs(at.Interval[1]/plain.Uncertainty-1-k) <= 1e-9) {
		t.Errorf("above zero %v", at.Interval)
	}
	below := r.Estimate(linear(forward.Quantity{}, p.Drift, plain.Uncertainty, 1e3))
	near.Times(t, "below zero", below.Interval[0]/plain.Uncertainty, 1-below.Coverage, 1e-9)
	squared := r.Estimate(linear(forward.Quantity{Positive: true, Squared: true}, p.Drift, 3*plain.Uncertainty, 1e3))
	near.Times(t, "in the square", math.Pow(squared.Interval[1]/plain.Uncertainty, 2), 9+6*squared.Coverage, 1e-9)
	inductance := linear(forward.Quantity{Positive: true, Squared: true}, p.Lots[0].At, 1, 0.01)
	if e := r.Estimate(inductance); e.Budget.Readings > 0.5 || !(math.Abs(math.Log(e.Interval[1])-e.Coverage*e.Uncertainty) <= 1e-9) {
		t.Errorf("mostly not from readings: %+v", e)
	}
	// ± 55 % with the scatter, less than 50 % as stated.
	if e := r.Estimate(linear(forward.Quantity{Positive: true}, p.Drift, plain.Uncertainty/0.55, 1e3)); e.Determined || !e.Scattered {
		t.Errorf("but for the scatter: %+v", e)
	}
	if e := r.Estimate(linear(forward.Quantity{Positive: true}, p.Drift, plain.Uncertainty/0.51/ratio, 1e3)); e.Determined || e.Scattered {
		t.Errorf("as stated neither: %+v", e)
	}
	quiet := *r
	quiet.Scatter.Scale = 1
	if e := quiet.Estimate(linear(forward.Quantity{Positive: true}, p.Drift, plain.Uncertainty/0.55, 1e3)); e.Scattered {
		t.Error("scattered without any scatter")
	}
	for name, want := range map[string]bool{quantities.TopCapacitance: true, quantities.WindingCapacitance: true, quantities.Inductance: false} {
		if e := r.Find(quantities.Key{Name: name}); e.Equivalent != want {
			t.Errorf("%s equivalent %v", name, e.Equivalent)
		}
	}
	strength := r.Find(quantities.Key{Name: quantities.HandExponent})
	all := p.Quantities()
	q := all[slices.IndexFunc(all, func(q forward.Quantity) bool { return q.Key == strength.Key })]
	bound := *r
	bound.Solution.AtBound = slices.Clone(r.Solution.AtBound)
	bound.Solution.AtBound[p.Hand+2] = fit.AtUpper
	if !r.Estimate(q).Determined || bound.Estimate(q).Determined {
		t.Error("the exponent at its bound")
	}
}

// L and C are told apart where C is known to a half, and neither is at a bound.
func TestTellsApart(t *testing.T) {
	for sigma, want := range map[float64]bool{0.49: true, 0.51: false} {
		p := fit.Problem{Params: 2, Prior: fit.Gaussians(2, []fit.Gaussian{{Param: forward.AtL, Sigma: 9}, {Param: forward.AtC, Sigma: sigma}})}
		r := &Result{Problem: &Problem{Model: &forward.Model{Unknowns: forward.Unknowns{N: 2}}}, Solution: must.Get(fit.Solve(p, []float64{0, 0}, fit.Settings{})).In(t)}
		r.Covariance = r.Solution.Covariance()
		if r.SplitDetermined() != want {
			t.Errorf("± %v: %v", sigma, !want)
		}
		near.Times(t, "u", r.Relative(forward.AtC), sigma, 1e-9)
		for i := range 2 {
			r.Solution.AtBound = make([]fit.Bound, 2)
			r.Solution.AtBound[i] = fit.AtLower
			if r.SplitDetermined() {
				t.Errorf("unknown %d at a bound", i)
			}
		}
	}
}

// A mean of n readings whose scatter nothing else checks is known as well as they check it, the one
// with fewest.
func TestMeansVouchForThemselves(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(52, 2)), 1e-4, 0.01, simulated.Added(), simulated.Added(4.7))
	for _, counts := range [][2]int{{1, 1}, {6, 9}, {9, 4}, {1, 9}} {
		for i := range log.Readings {
			log.Readings[i].Repeats = &readings.Repeats{Count: counts[i]}
		}
		r := must.Get(Fit(Session{Log: log, Known: still})).In(t)
		n := max(1, float64(min(counts[0], counts[1])-1))
		if !(r.Scatter.Redundancy < 1) {
			t.Fatal(r.Scatter)
		}
		near.Times(t, "degrees", r.Solution.ScaleDegrees, trusted(1, n), 1e-9)
	}
	log = simulated.Lighthouse().Session(rand.New(rand.NewPCG(52, 3)), 1e-4, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added(), simulated.Added(4.7))
	for i := range log.Readings {
		log.Readings[i].Repeats = &readings.Repeats{Count: 99}
	}
	r := must.Get(Fit(Session{Log: log, Known: still})).In(t)
	n := r.Scatter.Redundancy
	if !(n > 1.5 && n < 2.5) {
		t.Fatal(r.Scatter)
	}
	near.Times(t, "where others check it", r.Solution.ScaleDegrees, trusted(r.Solution.Scale, n), 1e-9)
}

// What a lead and a drift come to without their priors: the rows left, solved anew.
func TestByReadingsAlone(t *testing.T) {
	s := everything(t)
	for _, loose := range []bool{false, true} {
		p := must.Get(NewProblem(s)).In(t)
		if loose {
			p.Loose = []int{p.Lead}
			p.Prior = p.Priors(0)
		}
		e := must.Get(p.Enlarge(p.Start(s.Log), SolverSettings(s))).In(t)
		d := newDense(t, p, e.X, e.Scale)
		for row, a := range p.Assumed {
			at := p.Lead
			if a.Kind == AssumedDrift {
				at = p.Drift
			} else if a.Kind != AssumedLead {
				continue
			}
			var information, left mat.Dense
			must.Do(t, information.Inverse(&d.covariance))
			j := mat.Row(nil, row, d.prior)
			information.Sub(&information, outer(j))
			must.Do(t, left.Inverse(&information))
			v, u := p.ByReadings(e, at)
			near.Times(t, "u", u, math.Sqrt(left.At(at, at)), 1e-6)
			near.Times(t, "value", v, e.X[at]+left.At(at, at)*j[at]*j[at]*e.X[at], 1e-6) // what pulled it to zero is gone
		}
		limit := fit.CoverageFactor(0.8, e.ScaleDegrees)
		for _, far := range []float64{0.98, 1.02} {
			v, u := p.ByReadings(e, p.Lead)
			moved := e
			moved.X = slices.Clone(e.X)
			moved.X[p.Lead] *= far * limit * math.Hypot(u, 1) / math.Abs(v)
			if p.contradicted(moved, p.Lead) != (far > 1) {
				t.Errorf("%v of the limit", far)
			}
			moved.Judgement.Redundancy = 0.9
			if p.contradicted(moved, p.Lead) {
				t.Error("by readings too few to tell their scatter")
			}
		}
	}
}

func outer(v []float64) *mat.Dense {
	var m mat.Dense
	m.Outer(1, mat.NewVecDense(len(v), v), mat.NewVecDense(len(v), v))
	return &m
}

// Where all parts of a lot of which nobody said what they have in common err alike, an answer moves
// as all their values written one standard uncertainty larger move it, beside what else it is
// uncertain by; the most of it is of what an answer begins with.
func TestIfAllOfALotErrAlike(t *testing.T) {
	const step = 0.01
	s := everything(t)
	r := must.Get(Fit(s)).In(t)
	other := s
	other.Log.Parts = slices.Clone(s.Log.Parts)
	var lot []string
	for i := range other.Log.Parts {
		if p := &other.Log.Parts[i]; p.Lot != "" {
			lot = append(lot, p.Name)
			by := math.Exp(step * p.Uncertainty / p.Capacitance)
			p.Capacitance, p.Uncertainty = p.Capacitance*by, p.Uncertainty*by
		}
	}
	moved := must.Get(Fit(other)).In(t)
	most := 1.0
	for _, k := range []quantities.Key{{Name: quantities.Inductance}, {Name: quantities.EffectiveInductance}, {Name: quantities.EffectiveCapacitance}, {Name: quantities.PartCapacitance, Part: "spike"}, {Name: quantities.TopCapacitance}} {
		e := r.Find(k)
		own := 0.0
		for _, in := range r.Budget(e) {
			if in.Kind == CommonSource || in.Kind == PartSource && slices.Contains(lot, in.Part) {
				own += in.Share
			}
		}
		shift := (moved.Find(k).Value - e.Value) / step / e.Uncertainty
		got := r.IfCommon(e)
		near.Times(t, k.Name, got, math.Sqrt(1-own+shift*shift), 0.01)
		if k.Name != quantities.TopCapacitance {
			most = max(most, got)
		}
	}
	near.Times(t, "the most", r.MostIfCommon(), most, 1e-12)
	if !(most > 1.1) {
		t.Errorf("× %v", most)
	}
	for i := range s.Log.Parts {
		s.Log.Parts[i].Common = 0.3 // said
	}
	if got := must.Get(Fit(s)).In(t).MostIfCommon(); got != 1 {
		t.Errorf("× %v where all is said", got)
	}
}

// A reading that is left out stands beside what the others make of its state at its moment; those
// that share their rounding are as far off as one of them alone.
func TestResidualsOfOthers(t *testing.T) {
	c := simulated.Lighthouse()
	c.Drift = 8e-4
	log := c.Session(rand.New(rand.NewPCG(53, 2)), 2e-4, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(), simulated.Added(22), simulated.Added(10), simulated.Added(4.7), simulated.Added(), simulated.Added(4.7))
	log.Readings[5].Use = false
	r := must.Get(Fit(Session{Log: log})).In(t)
	const huge = 1e7
	with := log
	with.Readings = slices.Clone(log.Readings)
	with.Readings[5].Use, with.Readings[5].Uncertainty = true, huge
	o, want := r.Readings[5], must.Get(Fit(Session{Log: with})).In(t).Readings[5]
	u := huge * math.Sqrt(want.Leverage)
	near.Times(t, "fitted", o.Fitted, want.Fitted, 1e-8)
	near.Times(t, "residual", o.Residual, log.Readings[5].Frequency-want.Fitted, 1e-4)
	near.Times(t, "standardised", o.Standardised, o.Residual/math.Hypot(log.Readings[5].Uncertainty*r.Scatter.Scale, u), 1e-3)
	if !math.IsNaN(o.Leverage) || !math.IsNaN(o.Cook) || !(math.Abs(r.Solution.X[r.Problem.Drift]) > 0.3) {
		t.Errorf("%+v", o)
	}
	// Four readings of the same digits, and one of them.
	one := simulated.Lighthouse().Session(rand.New(rand.NewPCG(54, 2)), 2e-4, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(), simulated.Added(4.7))
	one.Readings[2].FromDigits = true
	four := one
	four.Readings = slices.Insert(slices.Clone(one.Readings), 2, one.Readings[2], one.Readings[2], one.Readings[2])
	a, b := must.Get(Fit(Session{Log: one, Known: still})).In(t), must.Get(Fit(Session{Log: four, Known: still})).In(t)
	for k := 2; k < 6; k++ {
		near.Times(t, "of the same digits", b.Readings[k].Standardised, a.Readings[2].Standardised, 1e-3)
	}
	near.Times(t, "p", b.Quality.PValue, a.Quality.PValue, 1e-3)
	if a.Quality.DegreesOfFreedom != b.Quality.DegreesOfFreedom {
		t.Errorf("%d degrees of freedom, %d", a.Quality.DegreesOfFreedom, b.Quality.DegreesOfFreedom)
	}
}

// Which resonator, which line has the core all in that is drawn along a part, how neighbours that err
// alike count, and when one more reading comes.
func TestWordsOfASession(t *testing.T) {
	ladder := &field.Ladder{}
	for want, s := range map[string]Session{"line": {}, "ladder": {Ladder: ladder}, "lumped": {Ladder: ladder, Lumped: true}} {
		if got := resonatorName(s); got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
	core := func(name string, from, to float64, use bool, line int) readings.Reading {
		return readings.Reading{State: readings.State{Core: name, From: from, To: to, Hand: math.Inf(1)}, Use: use, Line: line}
	}
	beads := drawing.Drawing{Core: "rod", Coil: field.Coil{Length: 0.2, Beads: field.Beads{Start: 0, Length: 0.01, Count: 5}}}
	s := Session{Log: readings.Log{Readings: []readings.Reading{core("rod", 0.1, 1, true, 2), core("rod", 0, 0.5, true, 3), core("rod", 0, 1, false, 4), core("yoke", 0, 1, true, 5), core("rod", 0, 1, true, 6), core("rod", 0, 1, true, 7)}},
		Drawn: &drawing.Drawn{Drawing: beads, Prediction: &field.Prediction{}}}
	if got := s.AllInOfPart(); got != 0 {
		t.Errorf("without a core %d", got)
	}
	s.Drawn.Core = &field.CorePrediction{}
	if got := s.AllInOfPart(); got != 6 {
		t.Errorf("line %d", got)
	}
	s.Drawn.Drawing.Coil.Beads.Count = 20
	if got := s.AllInOfPart(); got != 0 {
		t.Errorf("drawn all in: line %d", got)
	}
	for n, want := range map[int]float64{1: 1.5, 2: 1.5, 5: 0.75} {
		near.Times(t, "one more", (&Problem{Rows: make([]int, n)}).Afterwards(), want, 1e-12)
	}
	s.Alike = 0.6
	near.Times(t, "counts", s.Counts(), 2, 1e-12)
}
