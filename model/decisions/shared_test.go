package decisions

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
)

// kitted is the fit of a session with parts out of one kit of two lots.
func kitted(t testing.TB, seed uint64, change func(s *estimation.Session), pF ...float64) *estimation.Result {
	t.Helper()
	steps := []simulated.Step{simulated.Added(), simulated.Added().Rod(1)}
	if seed == 72 { // whose rows then stand elsewhere
		steps = append(steps, simulated.Added().Near(0.1))
	}
	for _, v := range pF {
		steps = append(steps, simulated.Added(v))
	}
	s := estimation.Session{Log: simulated.Lighthouse().With(map[float64]float64{4.7: 0.01, 10: -0.02, 22: 0.005, 33: 0.01}).Session(rand.New(rand.NewPCG(seed, 5)), 2e-4, 0.02, append(steps, simulated.Added())...)}
	for i := range s.Log.Parts {
		p := &s.Log.Parts[i]
		p.Default = true
		p.Lot, p.Common = map[bool]string{true: "small", false: "large"}[p.Capacitance < 15e-12], 0.25
	}
	if change != nil {
		change(&s)
	}
	return must.Get(estimation.Fit(s)).In(t)
}

// widened is r with its tolerances taken for so many times as large, at the same solution.
func widened(r *estimation.Result, by float64) *estimation.Result {
	p := r.Problem
	p.Wide = by
	p.Prior = p.Priors(p.Anchors)
	r.PartErrors.Factor, r.PartErrors.Redundancy = by, 5
	r.SetCovariances()
	for _, e := range []*quantities.Estimate{r.Find(quantities.Key{Name: quantities.EffectiveInductance}), r.Find(quantities.Key{Name: quantities.TopCapacitance})} {
		for _, q := range p.Quantities() {
			if q.Key == e.Key {
				*e = r.Estimate(q)
			}
		}
	}
	return r
}

// unknownOf names what a prior row speaks of.
func unknownOf(r *estimation.Result, row int) string {
	p := r.Problem
	jac := make([]float64, p.Width())
	p.Prior.Evaluate(r.Solution.X, row, make([]float64, 1), jac)
	at := slices.IndexFunc(jac, func(v float64) bool { return v != 0 })
	for i := range p.Parts {
		switch at {
		case p.PartAt[i]:
			return "part " + p.Parts[i].Name
		case p.LotAt[i]:
			return "lot " + p.Parts[i].Lot
		}
	}
	if row < len(p.Assumed) {
		return fmt.Sprint("prior ", p.Assumed[row].Kind, p.Assumed[row].Names)
	}
	return fmt.Sprint("known ", p.Knowns[row-len(p.Origins)+len(p.Knowns)].Key)
}

// An error in common is of the same thing in both sessions, however each lists it, once each: of
// parts, of lots, of priors and of known values that are the same; its size is what tolerances are
// widened to.
func TestErrorsInCommonAreOfTheSame(t *testing.T) {
	value := func(v float64) quantities.Known {
		return quantities.Known{Key: quantities.Key{Name: quantities.Inductance}, Value: v, Uncertainty: 0.05e-3}
	}
	gain := quantities.Known{Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}, Value: 1.6, Uncertainty: 0.05}
	a := kitted(t, 71, func(s *estimation.Session) { s.Known = []quantities.Known{value(1.25e-3), gain} }, 4.7, 10, 22, 33)
	for _, known := range []float64{1.25e-3, 1.26e-3} {
		b := kitted(t, 72, func(s *estimation.Session) { s.Known = []quantities.Known{gain, value(known)} }, 33, 22, 10, 4.7)
		a.Problem.Wide, b.Problem.Wide = 2, 3
		counted := map[string]int{}
		for _, e := range commonErrors(a, b) {
			first, second := unknownOf(a, e.a), unknownOf(b, e.b)
			counted[first[:4]]++
			if first != second {
				t.Errorf("%s in one, %s in the other", first, second)
			}
			if e.both != math.Min(e.ofA, e.ofB) {
				t.Errorf("%s: %+v", first, e)
			}
			if i := a.Problem.PriorOf[min(e.a, len(a.Problem.PriorOf)-1)]; first[:4] == "part" {
				u := a.Problem.Parts[i].Uncertainty
				near.Times(t, first, e.ofA, 2*u, 1e-12)
				near.Times(t, first, e.ofB, 3*u, 1e-12)
			}
		}
		want := map[string]int{"part": 4, "lot ": 2, "prio": counted["prio"], "know": 2}
		if known != 1.25e-3 {
			want["know"] = 1
		}
		if fmt.Sprint(counted) != fmt.Sprint(want) || counted["prio"] < 4 {
			t.Errorf("in common %v, want %v", counted, want)
		}
	}
}

// Where two sessions take what they share to be unlike uncertain, the smaller holds: a part, what a lot or the coil is
// is one thing, and who knows it better is right. Each session's shifts are by what it took it for.
func TestSmallerOfUnlikeUncertaintiesHolds(t *testing.T) {
	pF := []float64{4.7, 10, 22, 33}
	for _, by := range []float64{0.5, 3} { // of the second, as a part of those of the first
		a := kitted(t, 71, nil, pF...)
		b := kitted(t, 72, func(s *estimation.Session) {
			for i := range s.Log.Parts {
				s.Log.Parts[i].Uncertainty *= by
			}
		}, pF...)
		spread := map[string][2]float64{} // of each prior in both
		for i := range b.Problem.Assumed {
			b.Problem.Assumed[i].Spread *= by * (1 + 0.01*float64(i))
			spread[unknownOf(b, i)] = [2]float64{0, b.Problem.Assumed[i].Spread}
		}
		for i := range a.Problem.Assumed {
			both := spread[unknownOf(a, i)]
			spread[unknownOf(a, i)] = [2]float64{a.Problem.Assumed[i].Spread, both[1]}
		}
		counted := map[string]int{}
		for _, e := range commonErrors(a, b) {
			what := unknownOf(a, e.a)
			counted[what[:4]]++
			if other := unknownOf(b, e.b); what != other {
				t.Errorf("%s in one, %s in the other", what, other)
			}
			ratio := by
			switch what[:4] {
			case "part":
				near.Times(t, what, e.ofA, a.Problem.Wide*a.Problem.Parts[a.Problem.PriorOf[e.a]].Uncertainty, 1e-12)
			case "prio":
				both := spread[what]
				near.Times(t, what, e.ofA, both[0], 1e-12)
				ratio = both[1] / both[0]
			}
			near.Times(t, what+", second", e.ofB/e.ofA, ratio, 1e-12)
			near.Times(t, what+", of both", e.both/e.ofA, math.Min(1, ratio), 1e-12)
		}
		if counted["part"] != 4 || counted["lot "] != 2 || counted["prio"] < 4 {
			t.Errorf("in common %v", counted)
		}
	}
}

// What each prior row shifts an estimate by is what its budget has from priors, in their order; of
// the stray capacitance, that of the whole at the top.
func TestShiftsAreThoseOfTheBudget(t *testing.T) {
	r := kitted(t, 73, nil, 4.7, 10, 22, 33)
	for e := range r.All() {
		if !e.Determined {
			continue
		}
		var want []float64
		for _, in := range r.Budget(e) {
			if in.Kind > estimation.HandReadings {
				want = append(want, in.Contribution)
			}
		}
		got := along(r, e, r.Covariance)
		for i := range want {
			if len(got) != len(want) || !(math.Abs(got[i]-want[i]) <= 1e-9*e.Uncertainty) {
				t.Errorf("%s: %v, want %v", e.Name, got, want)
				break
			}
		}
	}
	top := r.Find(quantities.Key{Name: quantities.TopCapacitance})
	stray := quantities.Estimate{Key: quantities.Key{Name: quantities.StrayCapacitance}}
	if got, want := along(r, &stray, r.Covariance), along(r, top, r.Covariance); !slices.Equal(got, want) || !slices.ContainsFunc(got, func(v float64) bool { return v != 0 }) {
		t.Errorf("stray %v, top %v", got, want)
	}
}

// A difference takes, of both sessions, what each has to itself, and of what they share the
// difference of the shifts; with uncertainties as they scatter, and as stated, which is no larger.
// Its degrees of freedom are by Welch and Satterthwaite from the readings of each.
func TestDifferenceOfScatteredSessions(t *testing.T) {
	less := func(s *estimation.Session) {
		for i := range s.Log.Readings {
			s.Log.Readings[i].Uncertainty /= 4
		}
	}
	a, b := kitted(t, 74, less, 4.7, 10, 22, 33, 4.7, 10), kitted(t, 75, less, 33, 22, 10, 4.7, 10)
	if !(a.Scatter.Scale > 1.2 && b.Scatter.Scale > 1.2) {
		t.Fatalf("scatter %v and %v", a.Scatter.Scale, b.Scatter.Scale)
	}
	common := commonErrors(a, b)
	for _, name := range []string{quantities.EffectiveInductance, quantities.BareFrequency, quantities.EffectiveCapacitance} {
		x, y := a.Find(quantities.Key{Name: name}), b.Find(quantities.Key{Name: name})
		c := compare(a, b, *x, *y, common)
		d := c.Difference
		if c.Sigmas != d.Value/d.Uncertainty || !(math.Abs(c.Chance-fit.Chance(c.Sigmas, d.Degrees)) <= 1e-12) || c.Alone != (d.Interval[0] > 0 || d.Interval[1] < 0) {
			t.Errorf("%s: %+v", name, c)
		}
		sum := func(u, v float64, ga, gb []float64) float64 {
			own := u*u + v*v
			for _, e := range common {
				own -= ga[e.a]*ga[e.a] + gb[e.b]*gb[e.b]
			}
			for _, e := range common {
				own += math.Pow((gb[e.b]/e.ofB-ga[e.a]/e.ofA)*e.both, 2)
			}
			return math.Sqrt(own)
		}
		u := sum(x.Uncertainty, y.Uncertainty, along(a, x, a.Covariance), along(b, y, b.Covariance))
		near.Times(t, name, d.Uncertainty, u, 1e-9)
		near.Times(t, name+" stated", d.Stated, sum(x.Stated, y.Stated, along(a, x, a.StatedCovariance), along(b, y, b.StatedCovariance)), 1e-9)
		read := math.Pow(x.Uncertainty*x.Uncertainty*x.Budget.Readings, 2)/a.Solution.ScaleDegrees + math.Pow(y.Uncertainty*y.Uncertainty*y.Budget.Readings, 2)/b.Solution.ScaleDegrees
		near.Times(t, name+" degrees", d.Degrees, math.Pow(u, 4)/read, 1e-9)
	}
	x, y := *a.Find(quantities.Key{Name: quantities.BareFrequency}), *b.Find(quantities.Key{Name: quantities.BareFrequency})
	x.Stated, y.Stated = 3*x.Uncertainty, 3*y.Uncertainty
	if d := compare(a, b, x, y, nil).Difference; d.Stated != d.Uncertainty {
		t.Errorf("stated %v of %v", d.Stated, d.Uncertainty)
	}
}

// Effects of a core that was in differently far are not compared, nor agreed upon; what is of a day
// has no consensus either.
func TestOnlyAlikeIsCompared(t *testing.T) {
	a := tried(t, 76)
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(77, 5)), 2e-4, 0.02, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added().Rod(0.5), simulated.Added(10).Rod(0.5), simulated.Added())
	b := must.Get(estimation.Fit(estimation.Session{Log: log})).In(t)
	bare := must.Get(estimation.Fit(estimation.Session{Log: simulated.Lighthouse().Session(rand.New(rand.NewPCG(78, 5)), 2e-4, 0.02, simulated.Added(), simulated.Added())})).In(t)
	priors := map[int]bool{} // of those of the bare coil alone each is one with itself, but for what is of the day
	for i, o := range bare.Problem.Origins {
		if o.IsPrior() && bare.Problem.Assumed[i].Kind != estimation.AssumedDrift {
			priors[i] = true
		}
	}
	common := commonErrors(bare, bare)
	for _, e := range common {
		if !priors[e.a] || e.a != e.b {
			t.Errorf("%+v in common, of %v", e, priors)
		}
	}
	if len(common) != len(priors) || len(priors) == 0 {
		t.Errorf("%d in common of %d", len(common), len(priors))
	}
	for _, list := range [][]*estimation.Result{{a, bare}, {bare, a}} { // what one alone determines has its consensus, too
		for _, c := range Agree(list) {
			if c.Count() == 0 {
				t.Errorf("a consensus of none: %+v", c)
			}
		}
		for _, derived := range []bool{false, true} {
			for _, r := range list {
				estimates := r.Parameters
				if derived {
					estimates = r.Derived
				}
				for _, e := range estimates {
					var told []Agreed
					for _, c := range Agree(list) {
						if c.Key == e.Key {
							told = append(told, c)
						}
					}
					determined := 0
					for _, o := range list {
						if e := o.Find(e.Key); e != nil && e.Determined && e.Uncertainty > 0 {
							determined++
						}
					}
					want := min(1, determined)
					if quantities.OfBench(e.Name) {
						want = 0
					}
					if len(told) != want || want == 1 && told[0].Count() != determined {
						t.Errorf("%v, determined by %d: %+v", e.Key, determined, told)
					}
				}
			}
		}
	}
	for _, c := range []Comparison{Compare(a, bare), Compare(bare, a)} {
		if c.SplitA == c.SplitB {
			t.Errorf("both know inductance and capacitance apart: %v", c.SplitA)
		}
	}
	if c := Compare(bare, a); c.SplitA || !c.SplitB {
		t.Errorf("the bare session knows them apart: %v", c.SplitA)
	}
	k := quantities.Key{Name: quantities.FrequencyRatio, Core: "rod"}
	for _, c := range Compare(a, b).Changes {
		if c.A.Key == k {
			t.Errorf("all in and half in are compared: %+v", c)
		}
	}
	if got, ok := agree([]*estimation.Result{a, b}, k); !ok || got.Count() != 1 || got.Sessions[1] != nil || !math.IsNaN(got.PValue) || got.Deviations[0] != 0 || got.Value != a.Find(k).Value {
		t.Errorf("all in and half in agree: %+v", got)
	}
	gain := quantities.Key{Name: quantities.CoreGain, Core: "rod"}
	if got, ok := agree([]*estimation.Result{bare, a, b}, gain); !ok || got.Count() != 2 || got.Sessions[0] != nil || !math.IsNaN(got.Own[0]+got.Deviations[0]) || !math.IsNaN(got.Sigmas[0]) || got.Sessions[2] != b.Find(gain) {
		t.Errorf("behind one without it: %+v", got)
	}
	for _, r := range []*estimation.Result{a, b} {
		stray := *r.Find(quantities.Key{Name: quantities.EffectiveCapacitance})
		stray.Name = quantities.StrayCapacitance
		r.Derived = append(r.Derived, stray)
	}
	intervals := 0
	for _, c := range Agree([]*estimation.Result{a, b}) {
		if c.Name == quantities.StrayCapacitance || quantities.OfBench(c.Name) {
			t.Errorf("a consensus on %s", c.Name)
		}
		if k, u := c.Coverage, c.Uncertainty/c.Value; c.Name == quantities.Inductance { // of a positive quantity, in its logarithm
			intervals++
			near.To(t, "interval", math.Log(c.Interval[1]/c.Value), k*u, 1e-9)
			near.To(t, "interval", math.Log(c.Interval[0]/c.Value), -k*u, 1e-9)
		}
	}
	if intervals != 1 {
		t.Errorf("%d consensuses on the inductance", intervals)
	}
}

// The quantity that differs most surely, and the session furthest off it, unless there are but two.
func TestFurthest(t *testing.T) {
	e, nan := &quantities.Estimate{}, math.NaN()
	of := func(p float64, differs bool, sigmas ...float64) Agreed {
		a := Agreed{PValue: p, Differs: differs, Sigmas: sigmas}
		for _, s := range sigmas {
			if math.IsNaN(s) {
				a.Sessions = append(a.Sessions, nil)
			} else {
				a.Sessions = append(a.Sessions, e)
			}
		}
		return a
	}
	for what, c := range map[string]struct {
		list        []Agreed
		at, session int
	}{
		"none":           {[]Agreed{of(1e-9, false, 1, 2, 3)}, -1, -1},
		"the surest":     {[]Agreed{of(1e-3, true, 9, 1, 1), of(1e-9, false, 9, 1, 1), of(1e-5, true, 1, -4, 3, nan), of(1e-4, true, 1, 1, 9)}, 2, 1},
		"first unread":   {[]Agreed{of(1e-5, true, nan, 1, 2, 1.5)}, 0, 2},
		"of two":         {[]Agreed{of(1e-5, true, 4, -4)}, 0, -1},
		"of two of many": {[]Agreed{of(1e-5, true, 4, nan, -4)}, 0, -1},
	} {
		if at, session := Furthest(c.list); at != c.at || session != c.session {
			t.Errorf("%s: %d, %d, want %d, %d", what, at, session, c.at, c.session)
		}
	}
}

// An error that sessions share is as large as the smaller of what is stated, widened by the larger of
// the factors, with the fewer degrees of freedom, however the sessions come; what is of one value or
// prior has one name.
func TestSharedErrorsOfWidenedTolerances(t *testing.T) {
	own := func(s *estimation.Session) {
		for i := range s.Log.Parts {
			s.Log.Parts[i].Lot = ""
		}
	}
	wide, plain := widened(kitted(t, 78, own, 4.7, 10, 22, 33), 1.6), kitted(t, 79, func(s *estimation.Session) {
		own(s)
		s.Log.Parts[1].Uncertainty /= 2
	}, 4.7, 10, 22, 33)
	k := quantities.Key{Name: quantities.EffectiveInductance}
	for _, list := range [][]*estimation.Result{{wide, plain}, {plain, wide}} {
		all := sharedErrors{}
		var budgets []shares
		for _, r := range list {
			budgets = append(budgets, all.split(r, r.Find(k)))
		}
		for i, part := range plain.Parts() {
			at := slices.IndexFunc(all.list, func(o sharedError) bool { return o.name == fmt.Sprintf("part %s %.4g", part.Name, part.Capacitance) })
			if at < 0 {
				t.Fatalf("no error of %s in %+v", part.Name, all.list)
			}
			o := all.list[at]
			near.Times(t, "uncertainty", o.uncertainty, math.Min(part.Uncertainty, wide.Parts()[i].Uncertainty), 1e-9)
			near.To(t, "widened", o.wide, wide.Problem.Wide, 0)
			if math.IsInf(o.degrees, 1) {
				t.Errorf("%+v", o)
			}
			for n := range list {
				near.Times(t, "shift", all.shifts(budgets)[n][at], budgets[n].shared[o.name]*o.uncertainty*o.wide, 1e-12)
			}
		}
	}
	input := func(kind estimation.SourceKind, a estimation.AssumptionKind, u float64, of ...string) string {
		in := estimation.Input{Source: estimation.Source{Kind: kind}, Value: 4.7e-12, Uncertainty: u}
		in.Part, in.Known, in.Assumption = of[0], quantities.Key{Name: of[0], Core: of[len(of)-1]}, estimation.Assumption{Kind: a, Names: of}
		return sharedInput(&in, 2)
	}
	for _, c := range []struct{ got, want string }{
		{input(estimation.PartSource, 0, 1, "a"), "part a 4.7e-12"}, {input(estimation.CommonSource, 0, 0.03, "a"), "common 0.015"},
		{input(estimation.KnownSource, 0, 1, "inductance", ""), "known inductance "}, {input(estimation.KnownSource, 0, 1, "core_gain", "rod"), "known core_gain rod"}, {input(estimation.AssumptionSource, estimation.AssumedDrift, 1, "x"), ""},
		{input(estimation.HandReadings, 0, 1, "x"), ""}, {input(estimation.ModelSource, 0, 1, "x"), ""},
		{input(estimation.AssumptionSource, estimation.AssumedShare, 1, "x", "y"), fmt.Sprintf("prior %dx,y", estimation.AssumedShare)},
	} {
		if c.got != c.want {
			t.Errorf("named %q, want %q", c.got, c.want)
		}
	}
}

// What one session doesn't determine has no difference, nor what it knows no uncertainty of; what is of the bench of a
// day, as its drift, is not compared at all.
func TestNoDifferenceOfWhatOneLeavesOpen(t *testing.T) {
	a, b := tried(t, 44), tried(t, 45)
	key := quantities.Key{Name: quantities.BareFrequency}
	for what, change := range map[string]func(x, y *quantities.Estimate){
		"first open": func(x, _ *quantities.Estimate) { x.Determined = false }, "second open": func(_, y *quantities.Estimate) { y.Determined = false },
		"first of no uncertainty": func(x, _ *quantities.Estimate) { x.Uncertainty = math.NaN() }, "second of none": func(_, y *quantities.Estimate) { y.Uncertainty = math.NaN() },
	} {
		x, y := *a.Find(key), *b.Find(key)
		change(&x, &y)
		c := compare(a, b, x, y, nil)
		if d := c.Difference; d.Determined || !math.IsNaN(d.Value) || d.Key != key || d.Unit != "Hz" || !math.IsNaN(c.Sigmas) || !math.IsNaN(c.Chance) || c.Alone || c.Moved || c.A.Key != key || c.B.Key != key {
			t.Errorf("%s: %+v", what, c)
		}
	}
	bench, compared := 0, map[quantities.Key]bool{}
	for _, c := range Compare(a, b).Changes {
		compared[c.Difference.Key] = true
	}
	for e := range a.All() {
		other := b.Find(e.Key)
		if quantities.OfBench(e.Name) {
			bench++
		}
		if want := other != nil && other.Covered == e.Covered && !quantities.OfBench(e.Name); compared[e.Key] != want {
			t.Errorf("%+v is compared: %v", e.Key, !want)
		}
	}
	if bench == 0 || len(compared) < 5 {
		t.Errorf("%d of the bench, %d compared", bench, len(compared))
	}
}

// Assumptions are of one thing where they are of one kind and name, each with a spread: but for the drift, which is of a day.
func TestAssumptionsOfOneThing(t *testing.T) {
	of := func(kind estimation.AssumptionKind, spread float64, names ...string) estimation.Assumption {
		return estimation.Assumption{Kind: kind, Spread: spread, Names: names}
	}
	rod := of(estimation.AssumedCoreCapacitance, 0.1, "rod")
	for i, c := range []struct {
		a, b estimation.Assumption
		want bool
	}{
		{rod, rod, true}, {rod, of(estimation.AssumedCoreCapacitance, 0.3, "rod"), true}, {rod, of(estimation.AssumedCoreCapacitance, 0.1, "beads"), false}, {rod, of(estimation.AssumedCoreCapacitance, 0.1), false},
		{rod, of(estimation.AssumedShare, 0.1, "rod"), false}, {rod, of(estimation.AssumedCoreCapacitance, 0, "rod"), false}, {of(estimation.AssumedCoreCapacitance, 0, "rod"), rod, false},
		{of(estimation.AssumedDrift, 0.1), of(estimation.AssumedDrift, 0.1), false}, {of(estimation.AssumedLead, 0.1), of(estimation.AssumedLead, 0.2), true},
	} {
		if got := ofCoil(&c.a, &c.b); got != c.want {
			t.Errorf("%d: %v", i, got)
		}
	}
}
