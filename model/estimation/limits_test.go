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
)

// Which session a row is of, and on how many benches sessions were.
func TestRowsOfThreeSessions(t *testing.T) {
	list := []Earlier{{Log: "a", States: make([]readings.State, 2), Bench: 2}, {Log: "b", States: make([]readings.State, 1)}, {Log: "c", States: make([]readings.State, 3), Bench: 1}}
	p := &Problem{Earlier: list, Origins: slices.Concat([]Origin{fromBench, FromCommon}, slices.Repeat([]Origin{FromEarlier}, 6))}
	for i, want := range "aabccc" {
		if e := p.earlierOf(i + 2); e.Log != string(want) {
			t.Errorf("row %d is of %s", i, e.Log)
		}
	}
	s := Session{Earlier: list}
	if e := s.earlier(); e.Benches != 2 || len(e.States) != 6 {
		t.Errorf("%+v", e)
	}
	q := must.Get(NewProblem(everything(t))).In(t)
	i := slices.IndexFunc(q.Assumed, func(a Assumption) bool { return a.Kind == AssumedStray })
	if q.Origins[i] != fromBench || q.Assumed[i].Spread != 1e-12 || q.Assumed[i].Value != 0 {
		t.Errorf("what the other bench may have more: %+v of %v", q.Assumed[i], q.Origins[i])
	}
}

// What the model errs by is taken anew where a fit has come to, once; what was enlarged before is
// from the new one on. More readings in a place than have an unknown count √n times.
func TestTakenAnew(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(61, 4)), 1e-4, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added().Rod(0.5), simulated.Added(4.7).Rod(0.5), simulated.Added().Rod(0.7))
	p := must.Get(NewProblem(Session{Log: log, Known: still})).In(t)
	x := p.Start(log)
	p.spread(3)
	p.spread(1)
	x[p.Cores[0].At] += 0.3
	if !p.Reweigh(x) || p.Reweigh(x) {
		t.Error("changed once")
	}
	if n := p.placed[log.Readings[2].Stretch()]; n != 2 {
		t.Errorf("%d readings in the place", n)
	}
	near.Times(t, "of a place", p.model[2], p.ModelUncertainty(x, &log.Readings[2].State), 1e-12)
	p.spread(2)
	for k := range log.Readings {
		o := &log.Readings[k]
		near.Times(t, "weighed", p.Weighed[k], math.Hypot(2*o.Uncertainty, p.Alone(x, &o.State)*o.Frequency), 1e-9)
	}
	p.spread(1)
	x[p.Cores[0].At] += 0.3
	copy(p.Weighed, []float64{p.Weighed[0], p.Weighed[1], p.among(x, 2), p.among(x, 3), p.among(x, 4)})
	if !p.Reweigh(x) {
		t.Error("that of places alone has changed")
	}
	alone := log.Readings[4].State
	one := p.Alone(x, &alone)
	p.placed[alone.Stretch()] = 9
	near.Times(t, "nine in a place", p.Alone(x, &alone), 3*one, 1e-12)
	// In a place with an unknown, and with a coupling carried over, both count.
	both := simulated.Lighthouse().Session(rand.New(rand.NewPCG(61, 6)), 1e-4, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added().Rod(0.5), simulated.Added().Rod(0.5), simulated.Added(4.7).Rod(0.5))
	for _, i := range []int{3, 4} {
		both.Readings[i].Primary.Kind = readings.PrimaryShorted
		both.Readings[i].Frequency *= 1.05
	}
	p = must.Get(NewProblem(Session{Log: both, Known: still})).In(t)
	x = p.Start(both)
	coupled := &both.Readings[4].State
	mode, apart := p.TransferUncertainty(x, coupled), 0.2*p.ModelUncertainty(x, coupled)
	near.Times(t, "both", p.Alone(x, coupled), math.Hypot(mode, apart), 1e-12)
	if !(mode > 0.05*apart && apart > 0.05*mode) {
		t.Errorf("by the mode %v, by the place %v", mode, apart)
	}
	// Without a core a shorted primary, too, makes an uncertainty of its own.
	log = simulated.Lighthouse().Session(rand.New(rand.NewPCG(61, 5)), 1e-4, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(), simulated.Added(10))
	for _, i := range []int{3, 4} {
		log.Readings[i].Primary.Kind = readings.PrimaryShorted
		log.Readings[i].Frequency *= 1.05
	}
	p = must.Get(NewProblem(Session{Log: log, Known: still})).In(t)
	x = p.Start(log)
	o := &log.Readings[4]
	if u := p.TransferUncertainty(x, &o.State); !(u > 1e-5) || !(math.Abs(p.Weighed[4]/math.Hypot(o.Uncertainty, u*o.Frequency)-1) <= 1e-9) {
		t.Errorf("weighed %v, by the mode %v", p.Weighed[4], u)
	}
}

// What one reading in a place tells of the model's error there, by hand; others in another place
// tell nothing. Neither does the inductance change that: it shifts ln f alone, by −½.
func TestErrorOfOnePlaceByHand(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(62, 5)), 2e-4, 0.02, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(), simulated.Added(22), simulated.Added().Rod(1), simulated.Added(4.7).Rod(1), simulated.Added().Rod(0.5), simulated.Added().Rod(0.3))
	log.Readings[7].Frequency *= 1.02
	log.Readings[7].Uncertainty *= 12
	r := must.Get(Fit(Session{Log: log})).In(t)
	r.Scatter.Scale = 1.7
	f, x := r.With(nil)
	s := log.Readings[7].State
	s.Parts = []int{0}
	o := &log.Readings[7]
	m, there := f.ModelUncertainty(x, &s), f.ModelUncertainty(x, &o.State)
	row := make([]float64, f.N)
	rho := math.Log(o.Frequency / f.Ideal(x, &o.State, row) / r.DriftAt(7))
	row[f.Drift] = forward.DriftSigma * r.Problem.moments[7] / r.DriftAt(7)
	u := math.Hypot(1.7*o.Uncertainty/o.Frequency, 0.2*there)
	common := math.Sqrt(0.96)
	information := 1 + math.Pow(common*there/u, 2)
	grad := make([]float64, f.N)
	shift, left := r.atPlace(f, x, &s, grad)
	near.Times(t, "shift", shift, common*m*common*there*rho/(u*u)/information, 1e-9)
	near.Times(t, "left", left, m*math.Sqrt(0.04+0.96/information), 1e-9)
	for j := range grad {
		near.To(t, "slope", grad[j], -common*m*common*there*row[j]/(u*u)/information, 1e-5*math.Abs(row[j])*common*m*common*there/(u*u)/information+1e-15)
	}
	if !(1.7*o.Uncertainty/o.Frequency > 0.1*there) || !(math.Abs(row[f.Drift]) > 1e-5) {
		t.Errorf("± %v, the model %v", u, there)
	}
}

// A frequency that is known to within a factor has no number, however it is asked for; a new part's
// tolerance is as stated among what was stated, however others are enlarged; and how much more a
// reading scatters is in what one reading is worth.
func TestLimitsOfFrequencies(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(63, 5)), 1e-4, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22))
	for i := range log.Readings {
		log.Readings[i].Uncertainty /= 5
	}
	log.Parts = append(log.Parts, readings.Part{Name: "vague", Capacitance: 100e-12, Uncertainty: 120e-12, Known: true}, readings.Part{Name: "lot", Capacitance: 10e-12, Uncertainty: 1e-12, Known: true, Lot: "kit", Common: 1}, readings.Part{Name: "exact", Capacitance: 10e-12, Known: true})
	s := Session{Log: log, Known: still}
	s.wide = 2
	r := must.Get(Fit(s)).In(t)
	vague := readings.Bare()
	vague.Parts = []int{3}
	e := r.Frequency(vague, nil)
	if _, _, ok := r.Spread(vague); ok || e.Determined {
		t.Errorf("%+v, %v", e, ok)
	}
	f, x := r.With(nil)
	if f.N != r.Problem.N+2 || f.PartAt[3] < r.Problem.N || f.PartAt[5] >= 0 || f.Lead >= 0 || len(x) != f.N {
		t.Errorf("%d unknowns more: parts at %v, lead at %d", f.N-r.Problem.N, f.PartAt, f.Lead)
	}
	s.Log.Parts = slices.Clone(log.Parts)
	s.Log.Parts[0].Lot, s.Log.Parts[0].Common = "kit", 1
	if of := must.Get(Fit(s)).In(t); of.Problem.LotAt[4] < 0 {
		t.Error("one lot is another")
	} else if f, _ := of.With(nil); f.N != of.Problem.N+1 || f.PartAt[4] >= 0 {
		t.Errorf("all that a part errs by is its lot's, and yet it stands at %d of %d", f.PartAt[4], f.N)
	}
	state := readings.Bare()
	state.Parts = []int{len(log.Parts)}
	exact := r.Frequency(state, []readings.Part{{Name: "new", Capacitance: 5e-12, Known: true}})
	new := r.Frequency(state, []readings.Part{{Name: "new", Capacitance: 5e-12, Uncertainty: 0.2e-12, Known: true}})
	now, stated := math.Pow(new.Uncertainty, 2)-math.Pow(exact.Uncertainty, 2), math.Pow(new.Stated, 2)-math.Pow(exact.Stated, 2)
	near.Times(t, "enlarged", now/stated, 4, 1e-6)
	b := new.Budget
	near.Times(t, "all shares", b.Readings+b.Tolerance+b.Known+b.Assumed+b.Model, 1, 1e-9)
	near.Times(t, "what readings bring", b.Readings, exact.Budget.Readings*math.Pow(exact.Uncertainty/new.Uncertainty, 2), 1e-6)
	typical := 0.0
	for _, o := range log.Readings {
		typical += math.Pow(r.Scatter.Scale*o.Uncertainty/o.Frequency, 2) / 7
	}
	near.Times(t, "one reading", r.TypicalUncertainty(), math.Sqrt(typical), 1e-12)
	loaded := log.Readings[1].State
	near.Times(t, "added", r.Added(loaded), r.Problem.Part(r.Solution.X, 0), 1e-12)
	if !(r.Scatter.Scale > 2) {
		t.Error(r.Scatter)
	}
}

// Parts of their own, which a fit eliminates, are among the unknowns like others: in the rows of
// values known of them, and with one more part.
func TestPartsOfTheirOwn(t *testing.T) {
	steps := []simulated.Step{simulated.Added()}
	for i := range 30 {
		steps = append(steps, simulated.Added(2+float64(i)))
	}
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(64, 5)), 1e-4, 0.01, steps...)
	for i := range log.Parts {
		log.Parts[i].Name = string(rune('a'+i%26)) + string(rune('a'+i/26))
	}
	known := []quantities.Known{{Key: quantities.Key{Name: quantities.PartCapacitance, Part: "ha"}, Value: 9.1e-12, Uncertainty: 0.1e-12}, {Key: quantities.Key{Name: quantities.TopCapacitance}, Value: 0.9e-12, Uncertainty: 0.3e-12}}
	r := must.Get(Fit(Session{Log: log, Known: append(known, still...)})).In(t)
	p, x := r.Problem, r.Solution.X
	if p.Owned != 30 {
		t.Fatalf("%d of their own", p.Owned)
	}
	for i, k := range p.PartAt {
		if own := p.ownOf(p.Parts[i].Name); own != max(k-p.Common(), -1) {
			t.Errorf("part %d is own part %d", i, own)
		}
	}
	n, w := len(p.Knowns), p.Width()
	res, jac := make([]float64, n), slices.Repeat([]float64{7}, n*w)
	p.knownRows(x, 0, res, jac)
	for i, k := range p.Knowns {
		own := -1
		if k.q.Part != "" {
			own = p.PartAt[slices.IndexFunc(p.Parts, func(p readings.Part) bool { return p.Name == k.q.Part })] - p.Common()
		}
		if p.ownOf(k.q.Part) != own {
			t.Errorf("%s is own part %d, want %d", k.q.Part, p.ownOf(k.q.Part), own)
		}
		for j := range w {
			at := j
			if j == p.Common() {
				if at = j + own; own < 0 {
					near.To(t, "no own part", jac[i*w+j], 0, 0)
					continue
				}
			}
			up, down := slices.Clone(x), slices.Clone(x)
			up[at], down[at] = x[at]+1e-5, x[at]-1e-5
			a, b := make([]float64, n), make([]float64, n)
			p.knownRows(up, 0, a, nil)
			p.knownRows(down, 0, b, nil)
			near.To(t, "slope", jac[i*w+j], (a[i]-b[i])/2e-5, 1e-5*max(1, math.Abs(jac[i*w+j])))
		}
	}
	f, _ := r.With([]readings.Part{{Name: "new", Capacitance: 5e-12, Uncertainty: 0.2e-12, Known: true}})
	if f.Owned != 31 || f.N != p.N+1 || f.Common() != p.Common() {
		t.Errorf("%d of their own of %d", f.Owned, f.N)
	}
}

// A covariance matrix leaves single parts out where they are very many; a pair is none at a bound, and
// what most depends on a lot may be either of it.
func TestJointOfMany(t *testing.T) {
	r := must.Get(Fit(everything(t))).In(t)
	parts := func(r *Result) (n int) {
		for _, e := range r.Joint().Estimates {
			if e.Part != "" {
				n++
			}
		}
		return n
	}
	many := *r
	many.Parameters = append(slices.Clone(r.Parameters), make([]quantities.Estimate, 201-len(r.Parameters))...)
	few := many
	few.Parameters = few.Parameters[:200]
	if n := len(r.Joint().Estimates); len(many.Joint().Estimates) != n-6 || len(few.Joint().Estimates) != n || n < 15 {
		t.Errorf("%d quantities, of many %d", n, len(many.Joint().Estimates))
	}
	if parts(r) != 6 || parts(&few) != 6 || parts(&many) != 0 {
		t.Errorf("%d parts, %d, of many %d", parts(r), parts(&few), parts(&many))
	}
	for _, name := range []string{quantities.EffectiveInductance, quantities.EffectiveCapacitance, quantities.Inductance} {
		e := r.Find(quantities.Key{Name: name})
		one := *r
		one.Parameters, one.Derived = nil, []quantities.Estimate{*e}
		near.Times(t, name, one.MostIfCommon(), max(1, r.IfCommon(e)), 1e-12)
		if name == quantities.Inductance {
			continue
		}
		e.Bound = fit.AtLower
		if _, ok := r.Pair(); ok {
			t.Errorf("%s at its bound", name)
		}
		e.Bound = fit.Free
	}
	// What nothing is known of isn't known exactly.
	s := everything(t)
	s.Known = append(s.Known, quantities.Known{Key: quantities.Key{Name: quantities.CoreGain, Core: "yoke"}})
	if _, err := NewProblem(s); err == nil {
		t.Error("a core that isn't there is known exactly")
	}
}

// Priors on lead and drift give way to readings that contradict them, but not to a known value; and
// another fit of the same log takes them over.
func TestLoosened(t *testing.T) {
	c := simulated.Lighthouse()
	c.Drift, c.Lead = 8e-3, 0
	var steps []simulated.Step
	for range 3 {
		steps = append(steps, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.EmptyClip())
	}
	log := c.Session(rand.New(rand.NewPCG(65, 5)), 2e-4, 0.01, steps...)
	key := func(name string, u float64) []quantities.Known {
		return []quantities.Known{{Key: quantities.Key{Name: name}, Value: 1e-6 * u, Uncertainty: u}}
	}
	for what, known := range map[string][]quantities.Known{"nothing": nil, "lead": key(quantities.LeadCapacitance, 1e-13), "drift": key(quantities.Drift, 1e-3)} {
		p := must.Get(Fit(Session{Log: log, Known: known})).In(t).Problem
		if got := slices.Contains(p.Loose, p.Drift); got != (what != "drift") {
			t.Errorf("%s known: drift loose %v", what, got)
		}
		for kind, name := range map[AssumptionKind]string{AssumedLead: "lead", AssumedDrift: "drift"} {
			if i := slices.IndexFunc(p.Assumed, func(a Assumption) bool { return a.Kind == kind }); (i >= 0) != (name != what) {
				t.Errorf("%s known, %s assumed in row %d", what, name, i)
			}
		}
	}
	line, lumped := must.Get(NewProblem(Session{Log: log})).In(t), must.Get(NewProblem(Session{Log: log, Lumped: true})).In(t)
	for _, k := range []int{line.Lead, line.Drift} {
		line.Loose = []int{k}
		lumped.adoptPriors(line)
		want := lumped.Lead
		if k == line.Drift {
			want = lumped.Drift
		}
		if !slices.Equal(lumped.Loose, []int{want}) || lumped.BenchFixed || lumped.Anchors != 0 {
			t.Errorf("loose %v, want %v", lumped.Loose, want)
		}
		i := slices.IndexFunc(lumped.Assumed, func(a Assumption) bool {
			return a.Kind == map[bool]AssumptionKind{true: AssumedDrift, false: AssumedLead}[k == line.Drift]
		})
		r, jac := make([]float64, 1), make([]float64, lumped.N)
		lumped.Prior.Evaluate(make([]float64, lumped.N), i, r, jac)
		near.Times(t, "its prior", jac[want], 1./40, 1e-12)
	}
	line.BenchFixed = true
	line.Priors(2)
	if lumped.adoptPriors(line); !lumped.BenchFixed || lumped.Anchors != 2 {
		t.Errorf("fixed %v, %d anchors", lumped.BenchFixed, lumped.Anchors)
	}
	p := &Problem{Problem: fit.Problem{Lower: []float64{-10, -30}, Upper: []float64{-5, -20}}}
	for x, want := range map[[2]float64]bool{{-7, -25}: true, {-11, -25}: false, {-4, -25}: false, {-7, -31}: false, {-7, -19}: false, {-10, -20}: true} {
		if p.onBench(x[:]) != want {
			t.Errorf("%v on the bench: %v", x, !want)
		}
	}
}

// Parts that nobody stated a tolerance for are told as assumed, those known exactly not at all; a core
// never read with a quality factor has none; and a coil of coupled sections is no equivalent line.
func TestWhatIsTold(t *testing.T) {
	s := everything(t)
	s.Log.Parts[3].Uncertainty, s.Log.Parts[3].Lot, s.Log.Parts[3].Default = 0, "", false
	for i := range 5 {
		s.Log.Readings[i].Quality = 100 - 5*float64(i)
	}
	r := must.Get(Fit(s)).In(t)
	told := 0
	for _, b := range r.MovedPriors() {
		if b.Kind != PartSource {
			continue
		}
		told++
		i := slices.IndexFunc(s.Log.Parts, func(p readings.Part) bool { return p.Name == b.Part })
		if p := &s.Log.Parts[i]; (b.Assumption.Kind == AssumedTolerance) != p.Default || p.Uncertainty == 0 || p.Default && b.Assumption.Spread != p.Uncertainty/p.Capacitance {
			t.Errorf("%+v of %+v", b, p)
		}
	}
	if told != 4 {
		t.Errorf("%d parts told", told)
	}
	if r.Find(quantities.Key{Name: quantities.QualityWinding}) == nil || r.Find(quantities.Key{Name: quantities.QualityCore, Core: "rod"}) != nil {
		t.Error("quality factors")
	}
	d := drawing.Drawing{Coil: field.Coil{Turns: 500, Diameter: 0.03, Length: 0.2, Wire: 0.3e-3, Slices: 8}}
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(68, 5)), 2e-4, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added(10))
	drawn := Session{Log: log, Known: still, Ladder: must.Get(d.Ladder()).In(t), Drawn: must.Get(d.Predict()).In(t)}
	ladder := must.Get(Fit(drawn)).In(t)
	for _, k := range ladder.Problem.Knowns {
		if !k.Drawn {
			t.Errorf("%+v isn't drawn", k.Known)
		}
	}
	if e := ladder.Find(quantities.Key{Name: quantities.WindingCapacitance}); e.Equivalent || ladder.Resonator != "ladder" || len(ladder.Carry()[0].Known) != 0 {
		t.Errorf("%+v", e)
	}
}

// The outline of two quantities, of which one is positive: straight in its logarithm and in the
// other itself.
func TestEllipseOfTwoKinds(t *testing.T) {
	a, b := &quantities.Estimate{Value: 4, Uncertainty: 0.4}, &quantities.Estimate{Value: 1, Uncertainty: 3}
	k := math.Sqrt(-2 * math.Log(0.05))
	outline := ellipse(a, b, true, false, 0.6, math.Inf(1))
	for i, q := range outline {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(len(outline)))
		near.Times(t, "positive", q[0], 4*math.Exp(0.1*k*cos), 1e-9)
		near.To(t, "other", q[1], 1+3*k*(0.6*cos+0.8*sin), 1e-9)
	}
}
