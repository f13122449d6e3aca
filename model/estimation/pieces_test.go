package estimation

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/drawing"
	"fitcoil/model/field"
	"fitcoil/model/forward"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// Where the primary is drawn, nothing is assumed of where it is.
func TestDrawnPrimaryIsNotAssumed(t *testing.T) {
	coil := field.Coil{Turns: 400, Diameter: 30e-3, Length: 280e-3, Wire: 0.3e-3, Slices: 12, Primary: field.Primary{Turns: 2, Diameter: 60e-3, Spacing: 5e-3, Wire: 1e-3}}
	r := must.Get(Fit(everything(t))).In(t)
	of := func(a Assumption) bool { return a.Kind == AssumedPrimary }
	if !slices.ContainsFunc(r.assumptions(), of) {
		t.Error("not assumed of a primary that nobody drew")
	}
	r.Problem.Resonator = resonator.NewLadder(must.Get(field.NewLadder(coil.Shape())).In(t), nil)
	if slices.ContainsFunc(r.assumptions(), of) {
		t.Error("assumed of the one drawn")
	}
}

// What Value and Spread of each kind of assumption hold, as the constants say.
func TestKindsOfAssumptions(t *testing.T) {
	factors := []AssumptionKind{AssumedEnds, AssumedMoved, AssumedHandOffset, AssumedCapacitance, AssumedHand, AssumedPart}
	units := map[AssumptionKind]string{AssumedHandOffset: "m", AssumedLead: "F", AssumedCapacitance: "F", AssumedHand: "F", AssumedPart: "F"}
	for k := NotAssumed; k <= AssumedEarlier; k++ {
		unit, ok := units[k]
		if !ok {
			unit = "1"
		}
		if k.Factor() != slices.Contains(factors, k) || k.unit() != unit {
			t.Errorf("%d: factor %v, unit %s", k, k.Factor(), k.unit())
		}
	}
}

// The alternative is what a fit by the other model alone comes to, with as many readings alike and
// with priors as loose.
func TestAlternativeIsTheOtherFit(t *testing.T) {
	c := simulated.Truth{L: 1.2e-3, Cw: 1e-15, Ct: 6e-12, Drift: 6e-3} // next to lumped
	log := c.Session(rand.New(rand.NewPCG(41, 3)), 1e-4, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(), simulated.Added(4.7), simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22))
	for i := range log.Readings {
		log.Readings[i].Uncertainty *= 1.2
	}
	s := Session{Log: log, Alike: 0.2}
	r := must.Get(Fit(s)).In(t)
	a := r.NewAlternative()
	s.Lumped = true
	other := must.Get(Fit(s)).In(t)
	if r.Scatter.Scale != 1 || other.Scatter.Scale != 1 || len(r.Problem.Loose) != 1 || len(other.Problem.Loose) != 1 || !(r.Problem.Alike > 1) {
		t.Fatalf("scales %v, %v, loose %v, %v", r.Scatter.Scale, other.Scatter.Scale, r.Problem.Loose, other.Problem.Loose)
	}
	near.Times(t, "χ²", a.Quality.ChiSquare, other.Quality.ChiSquare, 1e-4)
	near.Times(t, "AICc", a.Quality.AICc, other.Quality.AICc, 1e-4)
	near.Times(t, "p", a.Quality.PValue, other.Quality.PValue, 1e-3)
	if a.Resonator != "lumped" || a.Quality.DegreesOfFreedom != other.Quality.DegreesOfFreedom || a.Quality.Readings != 14 {
		t.Errorf("%+v, want %+v", a, other.Quality)
	}
	if s.Robust = true; must.Get(Fit(s)).In(t).NewAlternative() != nil {
		t.Error("robust fits compared")
	}
}

// A capacitance at its bound, zero, is below what raises χ² by k² where it is known, k by the degrees
// of freedom of what it comes from. Which quantity stands at which bound; and where the law of a hand
// does, its unknowns have no value.
func TestAtTheBound(t *testing.T) {
	c := simulated.Lighthouse()
	c.Cw, c.Ct = 6.5e-12, -0.5e-12
	log := c.Session(rand.New(rand.NewPCG(42, 5)), 4e-4, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(), simulated.Added(22), simulated.Added(47))
	for i := range log.Readings {
		log.Readings[i].Uncertainty /= 3
	}
	s := Session{Log: log, Known: still}
	r := must.Get(Fit(s)).In(t)
	e := r.Find(quantities.Key{Name: quantities.TopCapacitance})
	if e.Bound != fit.AtLower || e.Interval[0] != 0 || !math.IsNaN(e.Uncertainty) || !math.IsNaN(e.Stated) || r.Find(quantities.Key{Name: quantities.WindingCapacitance}).Bound != fit.Free {
		t.Fatalf("%+v", e)
	}
	if slices.Contains(r.told(), e) {
		t.Error("a profile of what is at its bound")
	}
	held := *r.Problem
	held.Knowns = slices.Clone(r.Problem.Knowns)
	all := held.Quantities()
	held.match(quantities.Known{Key: e.Key, Value: e.Interval[1], Uncertainty: e.Interval[1] * 1e-4}, all, nil, false)
	held.Prior = held.Priors(held.Anchors)
	x := slices.Clone(r.Solution.X)
	x[held.Share] = 0.01
	o := must.Get(fit.Solve(weighedBy(held.Problem, r.Solution.Scale), x, SolverSettings(s))).In(t)
	k := fit.CoverageFactor(0.95, e.Degrees)
	near.Times(t, "k² at the end", o.Objective-r.Solution.Objective, k*k, 0.01)
	if !(math.Abs(e.Degrees/r.Solution.ScaleDegrees-1) > 0.02) {
		t.Errorf("%v degrees of freedom of %v", e.Degrees, r.Solution.ScaleDegrees)
	}
	// What a prior has become is told with the share free.
	d := newDense(t, r.Problem, r.Solution.X, r.Solution.Scale)
	left := d.variance(Unit(r.Problem.N, r.Problem.Share))
	told := 0
	for _, b := range r.MovedPriors() {
		if b.Assumption.Kind == AssumedShare {
			told++
			near.Times(t, "left of the share", b.Left, math.Sqrt(left), 1e-6)
		}
	}
	if told != 1 {
		t.Errorf("told %d times what is left of the share", told)
	}
	for share, want := range map[fit.Bound][2]fit.Bound{fit.Free: {}, fit.AtLower: {fit.AtLower, fit.Free}, fit.AtUpper: {fit.Free, fit.AtLower}} {
		r := &Result{Problem: &Problem{Model: &forward.Model{Unknowns: forward.Unknowns{Share: 1, Hand: -1}}}, Solution: fit.Result{AtBound: []fit.Bound{0, share}}}
		if got := [2]fit.Bound{r.boundOf(quantities.TopCapacitance), r.boundOf(quantities.WindingCapacitance)}; got != want || r.boundOf(quantities.Inductance) != fit.Free {
			t.Errorf("share %v: top and winding %v, want %v", share, got, want)
		}
		r.Problem.Share, r.Problem.Hand = -1, 1
		if r.boundOf(quantities.TopCapacitance) != fit.Free {
			t.Error("a bound of no share")
		}
		for i := range 5 {
			r.Solution.AtBound = make([]fit.Bound, 5)
			r.Solution.AtBound[i] = fit.AtUpper
			if r.lawAtBound() != (i >= 1 && i <= 3) {
				t.Errorf("unknown %d at its bound", i)
			}
		}
	}
}

// weighedBy divides the data rows of p by scale.
func weighedBy(p fit.Problem, scale float64) fit.Problem {
	evaluate := p.Data.Evaluate
	p.Data.Evaluate = func(x []float64, first int, r, jac []float64) {
		evaluate(x, first, r, jac)
		for i := range r {
			r[i] /= scale
		}
		for i := range jac {
			jac[i] /= scale
		}
	}
	return p
}

// The lines of a frequency's budget: of a part and of a lead that no reading has, of what the model
// errs by with a core partly in, with a coupling carried over, and the hand's law at a distance not
// read; the squares of all of them make its variance.
func TestBudgetOfAFrequencyToCome(t *testing.T) {
	s := everything(t)
	for i := range s.Log.Readings { // nothing there that a lead comes with, nor at the first bench
		o := &s.Log.Readings[i]
		o.Use = o.Core == "" || !o.Partly()
	}
	for _, wide := range []float64{0, 1.5} {
		s.wide = wide
		r := must.Get(Fit(s)).In(t)
		state := readings.Bare()
		state.Core, state.To, state.Hand = "rod", 0.4, 0.6
		state.Parts = []int{len(s.Log.Parts)}
		new := []readings.Part{{Name: "new", Capacitance: 3.3e-12, Uncertainty: 0.05e-12, Known: true}}
		shorted := readings.Bare()
		shorted.Primary.Kind, shorted.Exact = readings.PrimaryShorted, 3e-12
		for what, state := range map[string]readings.State{"partly": state, "shorted": shorted} {
			f, x := r.With(new)
			e, list := r.FrequencyBudget(state, new)
			f.Frequency(x, &state, nil)
			want := map[SourceKind][]float64{}
			for kind, u := range map[SourceKind]float64{ModelSource: f.ModelUncertainty(x, &state) + f.TransferUncertainty(x, &state), LawSource: f.LawUncertainty(x, &state)} {
				if u > 0 {
					want[kind] = []float64{u}
				}
			}
			if what == "shorted" != (f.TransferUncertainty(x, &state) > 0) {
				t.Errorf("%s: %v by the mode", what, f.TransferUncertainty(x, &state))
			}
			sum := 0.0
			for _, in := range list {
				sum += in.Contribution * in.Contribution
				near.To(t, what+": a share", in.Share, math.Pow(in.Contribution/e.Uncertainty, 2), 1e-9)
				if in.Kind != EarlierSource && !(math.Abs(in.Sensitivity*in.Uncertainty-in.Contribution) <= 1e-9*e.Uncertainty) {
					t.Errorf("%s: %+v", what, in)
				}
				if in.Sensitivity == e.Value { // what comes with the state alone
					if in.Unit != "1" || len(want[in.Kind]) != 1 || !(math.Abs(in.Uncertainty/want[in.Kind][0]-1) <= 1e-6) || in.Kind == LawSource && in.Hand != 0.6 || !math.IsInf(in.Degrees, 1) {
						t.Errorf("%s: %+v, want %v", what, in, want)
					}
					delete(want, in.Kind)
				}
				if in.Part == "new" {
					near.Times(t, "u of the new part", in.Uncertainty, 0.05e-12*r.Problem.Wide, 1e-12)
				}
			}
			near.Times(t, what+": all of them", math.Sqrt(sum), e.Uncertainty, 1e-6)
			if len(want) > 0 {
				t.Errorf("%s: not told %v", what, want)
			}
			if what != "shorted" {
				continue
			}
			if hz, u, ok := r.Spread(state); !ok || !(math.Abs(hz/e.Value-1) <= 1e-9) || !(math.Abs(u/e.Uncertainty-1) <= 1e-9) {
				t.Errorf("spread %v ± %v, want %v ± %v", hz, u, e.Value, e.Uncertainty)
			}
		}
	}
}

// Of what errs at each distance of a hand, a line of the law, in the order of the distances.
func TestInputsOfTheHandsLaw(t *testing.T) {
	r := must.Get(Fit(everything(t))).In(t)
	var at []float64
	for _, in := range r.Budget(r.Find(quantities.Key{Name: quantities.HandExponent})) {
		if in.Kind == LawSource {
			at = append(at, in.Hand)
			near.Times(t, "u of a distance", in.Uncertainty, 0.03, 1e-12)
		}
	}
	if !slices.Equal(at, []float64{0.05, 0.08, 0.13, 0.2, 0.4}) {
		t.Errorf("at %v", at)
	}
}

// What a session hands on, beside the frequencies: of readings of one place what the model errs by in
// all of them, of a drift that nobody knows its prior's room; each as uncertain as the fit counts it;
// none with a primary, and of known values those that weren't drawn.
func TestWhatIsCarried(t *testing.T) {
	for _, loose := range []bool{false, true} {
		s := everything(t)
		r := must.Get(Fit(s)).In(t)
		p := r.Problem
		room := 1.0
		if p.Loose = nil; loose {
			p.Loose, room = []int{p.Drift}, 40
		}
		list := r.Carry()
		e := list[2]
		if len(list) != 3 || list[0].Log != "one" || list[1].Log != "two" || len(e.States) != 20 || len(e.Shared) != 2 || len(e.Known) != 1 {
			t.Fatalf("%d sessions, %d states, %d shared", len(list), len(e.States), len(e.Shared))
		}
		n := 0
		for k := range p.Rows {
			o := &s.Log.Readings[k]
			if o.Primary.Kind != readings.PrimaryOpen {
				continue
			}
			near.Times(t, "frequency", e.Hertz[n], o.Frequency, 1e-15)
			near.Times(t, "u", e.Relative[n], p.Weighed[k]*r.Solution.Scale/o.Frequency, 1e-9)
			near.To(t, "drift", e.Shared[0][n], room*5e-4*(float64(k)/20-0.5), 1e-15)
			place := 0.0
			if o.Partly() {
				place = math.Sqrt(0.96) * p.ModelUncertainty(r.Solution.X, &o.State)
			}
			near.To(t, "place", e.Shared[1][n], place, 1e-3*place)
			if len(e.States[n].Parts) != len(o.Parts) || len(o.Parts) > 0 && e.Parts[e.States[n].Parts[0]].Name != s.Log.Parts[o.Parts[0]].Name {
				t.Errorf("reading %d: parts %v of %v", k, e.States[n].Parts, e.Parts)
			}
			n++
		}
		near.Times(t, "degrees of freedom", e.Freedom, float64(r.Quality.DegreesOfFreedom)-list[0].Freedom-list[1].Freedom, 1e-12)
		if e.Scale != r.Scatter.Scale || e.Checked != r.Scatter.Redundancy || e.Squares != e.Freedom {
			t.Errorf("%+v", e)
		}
		p.Knowns[0].Drawn = true
		if e := r.Carry()[2]; len(e.Known) != 0 {
			t.Errorf("of the drawing, %v", e.Known)
		}
	}
	// A robust fit's weights: what it counts for less is less certain, and what it forgot isn't there.
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(43, 5)), 2e-4, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(), simulated.Added(22), simulated.Added(4.7))
	log.Readings[3].Frequency *= 1.01
	r := must.Get(Fit(Session{Log: log, Known: still, Robust: true})).In(t)
	e := r.Carry()[0]
	if !slices.Equal(r.Solution.Forgotten, []int{3}) || len(e.States) != 9 {
		t.Fatalf("forgotten %v of %d", r.Solution.Forgotten, len(e.States))
	}
	for n, k := range []int{0, 1, 2, 4, 5, 6, 7, 8, 9} {
		o := &log.Readings[k]
		z := (o.Frequency - r.Readings[k].Fitted) / (4.685 * r.Solution.Scale * o.Uncertainty)
		near.Times(t, "u", e.Relative[n], o.Uncertainty*r.Solution.Scale/o.Frequency/(1-z*z), 1e-3)
	}
	// A later session takes as many readings as there may be.
	r = must.Get(Fit(Session{Log: log, Known: still})).In(t)
	for n, want := range map[int]bool{500: true, 501: false} {
		r.Problem.Rows = slices.Repeat([]int{0}, n)
		r.Problem.Weighed, r.Problem.model = slices.Repeat(r.Problem.Weighed[:1], n), nil
		r.Solution.DataRows = n
		if got := r.Carry() != nil; got != want {
			t.Errorf("%d readings carried: %v", n, got)
		}
	}
}

// Degrees of freedom of sessions one after another: as long as none scatters more than stated, all of
// them check that together; each one that does has its own, and the least counts for the earlier ones.
// Of tolerances, those of their factor, from one and a half of them on.
func TestDegreesOfSessions(t *testing.T) {
	b := quantities.Budget{Readings: 0.3, Earlier: 0.5, Tolerance: 0.1}
	for _, c := range []struct {
		earlier []Earlier
		now     float64
		want    float64
	}{
		{nil, 1, 0.3 * 0.3 / 7},
		{[]Earlier{{Scale: 1, Checked: 3}, {Scale: 1, Checked: 2}}, 1, 0.64 / trusted(1, 9)},
		{[]Earlier{{Scale: 1, Checked: 3}}, 1.5, 0.09/7 + 0.25/trusted(1, 3)},
		{[]Earlier{{Scale: 2, Checked: 3}, {Scale: 1, Checked: 6}}, 1, 0.09/7 + 0.25/trusted(2, 3)},
		{[]Earlier{{Scale: 1, Checked: 6}, {Scale: 2, Checked: 0.2}}, 1, 0.09/7 + 0.25/trusted(2, 1)},
	} {
		r := &Result{Problem: &Problem{Earlier: c.earlier}, Solution: fit.Result{ScaleDegrees: 7}, Scatter: fit.Scatter{Scale: c.now, Redundancy: 4}}
		near.Times(t, "degrees", r.degrees(b), 1/c.want, 1e-9)
		r.PartErrors = partSpread{Factor: 1.3, Redundancy: 2.5}
		near.Times(t, "with those of tolerances", r.degrees(b), 1/(c.want+0.01/doubtful(1.3, 2.5, 2./3*math.Exp(-2.5*2.5/49))), 1e-9)
	}
	for redundancy, known := range map[float64]bool{1.49: false, 1.51: true} {
		if s := (partSpread{Factor: 1, Redundancy: redundancy}); math.IsInf(s.degrees(), 1) == known {
			t.Errorf("of %v tolerances: %v", redundancy, s.degrees())
		}
	}
}

// Couplings have no value where their coil's frequency with an open primary has none, nor those of
// windings without those at resonance, in that state of the core alone.
func TestForgottenCouplings(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(44, 5)), 2e-4, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(), simulated.Added().Rod(1))
	for _, i := range []int{3, 4} {
		log.Readings[i].Primary.Kind = readings.PrimaryShorted
		log.Readings[i].Frequency *= 1.03
	}
	s := Session{Log: log, Known: still}
	determined := func(r *Result) (list []bool) {
		for _, core := range []string{"", "rod"} {
			for _, name := range []string{quantities.CouplingAtResonance, quantities.CouplingOfWindings} {
				list = append(list, r.Find(quantities.Key{Name: name, Core: core}).Determined)
			}
		}
		return list
	}
	r := must.Get(Fit(s)).In(t)
	if got := determined(r); !slices.Equal(got, []bool{true, true, false, false}) { // no open reading with the rod
		t.Errorf("%v", got)
	}
	open := log.Readings[4]
	open.Primary.Kind, open.Frequency = readings.PrimaryOpen, open.Frequency/1.03
	s.Log.Readings = append(slices.Clone(log.Readings), open)
	r = must.Get(Fit(s)).In(t)
	if got := determined(r); slices.Contains(got, false) {
		t.Fatalf("%v", got)
	}
	r.Find(quantities.Key{Name: quantities.CouplingAtResonance, Core: "rod"}).Determined = false
	if r.forgetCouplings(); !slices.Equal(determined(r), []bool{true, true, false, false}) {
		t.Errorf("without that at resonance: %v", determined(r))
	}
}

// A drawing is compared with the readings' own estimate of the same hand; without a drawing the pair
// of the readings is that of all; and what the drawing makes of tolerances goes with it.
func TestCompared(t *testing.T) {
	e := func(hand, v float64) quantities.Estimate {
		return quantities.Estimate{Key: quantities.Key{Name: quantities.HandCapacitance, Hand: hand}, Value: v, Uncertainty: 1, Determined: true}
	}
	list := checks(&drawing.Drawn{Estimates: []quantities.Estimate{e(0.2, 5), e(0.3, 6)}}, &Result{Derived: []quantities.Estimate{e(0.1, 9), e(0.2, 4)}})
	if len(list) != 1 || list[0].Readings.Value != 4 || !(math.Abs(list[0].Sigmas+1/math.Sqrt2) <= 1e-12) {
		t.Errorf("%+v", list)
	}
	log := offTolerance()
	s := Session{Log: log, Known: still}
	alone := must.Get(Fit(s)).In(t)
	if list, pairs := alone.CompareWithDrawing(); list != nil || pairs.Drawing != nil || pairs.Readings == nil || pairs.Readings.Inductance.Value != alone.Find(quantities.Key{Name: quantities.EffectiveInductance}).Value {
		t.Errorf("without a drawing: %v, %+v", list, pairs)
	}
	s.Drawn = must.Get(drawing.Drawing{Coil: field.Coil{Turns: 470, Diameter: 0.03, Length: 0.2, Wire: 0.3e-3, Slices: 12}}.Predict()).In(t)
	_, pairs := must.Get(Fit(s)).In(t).CompareWithDrawing()
	wide := alone.Widen()
	want, u := wide.Find(quantities.Key{Name: quantities.EffectiveInductance}), alone.Find(quantities.Key{Name: quantities.EffectiveInductance}).Uncertainty
	if got := pairs.Readings.Inductance; !(want.Uncertainty > 1.3*u) || got.Uncertainty != want.Uncertainty || got.Value != want.Value {
		t.Errorf("± %v, want %v, with tolerances as stated %v", got.Uncertainty, want.Uncertainty, u)
	}
}
