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
	"fitcoil/model/internal/simulated"
	"fitcoil/model/loss"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// still is that nothing drifts, and nothing comes with clips.
var still = []quantities.Known{{Key: quantities.Key{Name: quantities.Drift}}, {Key: quantities.Key{Name: quantities.LeadCapacitance}}}

// parted makes two sessions of a list of steps, and one of all of them, with the same readings.
func parted(t *testing.T, at int, steps ...simulated.Step) (first, second, both Session) {
	t.Helper()
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(18, 5)), 2e-4, 0.02, steps...)
	both = Session{Log: log, Known: still}
	first, second = both, both
	first.Log.Readings, second.Log.Readings = log.Readings[:at], log.Readings[at:]
	return first, second, both
}

// A session that follows another knows as much as one of all readings of both.
func TestFollowingIsReadingOn(t *testing.T) {
	first, second, both := parted(t, 5, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added().Rod(1), simulated.Added(4.7, 10), simulated.Added(22), simulated.Added(4.7), simulated.Added().Rod(1), simulated.Added(10).Rod(1))
	first.Known = append(slices.Clone(still), quantities.Known{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.25e-3, Uncertainty: 0.05e-3})
	both.Known = first.Known
	before := must.Get(Fit(first)).In(t)
	carried := before.Carry()
	if len(carried) != 1 {
		t.Fatalf("%d sessions", len(carried))
	}
	e := carried[0]
	q := &before.Quality
	if e.Scale != 1 || e.Checked != before.Scatter.Redundancy || e.Squares != q.ChiSquare || e.Freedom != float64(q.DegreesOfFreedom) || len(e.States) != 5 || len(e.Shared) != 0 || len(e.Parts) != 2 || len(e.Known) != 1 || e.Known[0].Name != quantities.Inductance {
		t.Errorf("carried %+v", e)
	}
	for i, o := range first.Log.Readings {
		if e.Hertz[i] != o.Frequency || !(math.Abs(e.Relative[i]-o.Uncertainty/o.Frequency) <= 1e-15) {
			t.Errorf("carried %v ± %v, read %v ± %v", e.Hertz[i], e.Relative[i], o.Frequency, o.Uncertainty)
		}
	}
	e.Log = "first"
	second.Log.Parts = second.Log.Parts[:0:0]
	for _, k := range []int{2, 1, 0} { // the second session has its parts in another order
		second.Log.Parts = append(second.Log.Parts, both.Log.Parts[k])
	}
	second.Log.Readings = slices.Clone(second.Log.Readings)
	for i := range second.Log.Readings {
		s := &second.Log.Readings[i].State
		s.Parts = slices.Clone(s.Parts)
		for k := range s.Parts {
			s.Parts[k] = 2 - s.Parts[k]
		}
	}
	own := slices.Clone(second.Log.Parts)
	own[1].Known = false // it takes the value of the first, in a copy
	lent := second
	lent.Log.Parts = own
	if lent.Follow(e); own[1].Known || !lent.Log.Parts[1].Known || lent.Log.Parts[1].Capacitance != both.Log.Parts[1].Capacitance {
		t.Errorf("parts %+v, in the log before %+v", lent.Log.Parts, own)
	}
	second.Follow(e)
	if len(second.Log.Parts) != 3 || len(second.Known) != 3 || len(slices.Collect(second.StatesRead())) != 9 {
		t.Fatalf("parts %v, known %v", second.Log.Parts, second.Known)
	}
	got := must.Get(Fit(second)).In(t)
	want, err := Fit(both)
	if err != nil || want.Scatter.Scale != 1 {
		t.Fatal(err, want.Scatter.Scale)
	}
	for w := range want.All() {
		g := got.Find(w.Key)
		if g == nil || g.Determined != w.Determined || w.Determined && (!(math.Abs(g.Value-w.Value) <= 3e-3*w.Uncertainty) || !(math.Abs(g.Uncertainty/w.Uncertainty-1) <= 1e-3) || !(math.Abs(g.Budget.Readings+g.Budget.Earlier-w.Budget.Readings) <= 1e-3)) {
			t.Errorf("%+v: following %+v, together %+v", w.Key, g, w)
		}
	}
	l := got.Find(quantities.Key{Name: quantities.EffectiveInductance})
	list := got.Budget(l)
	i := slices.IndexFunc(list, func(in Input) bool { return in.Kind == EarlierSource })
	if in := list[i]; in.Earlier != "first" || in.Count != 5 || !(math.Abs(in.Share-l.Budget.Earlier) <= 1e-6) || !(math.Abs(in.Contribution-math.Sqrt(in.Share)*l.Uncertainty) <= 1e-9*l.Uncertainty) || !math.IsNaN(in.Value) || !math.IsNaN(in.Uncertainty) || !math.IsNaN(in.Sensitivity) || !math.IsInf(in.Degrees, 1) {
		t.Errorf("%+v, share %v", list[i], l.Budget.Earlier)
	}
	for k, in := range list {
		if k != i && in.Kind == EarlierSource {
			t.Error("two lines of one session")
		}
	}
	k := slices.IndexFunc(got.Assumed, func(a Assumption) bool { return a.Kind == AssumedEarlier })
	if a := got.Assumed[k]; !slices.Equal(a.Names, []string{"first", "rod", both.Log.Parts[0].Name, both.Log.Parts[1].Name}) || a.Count != 5 || !(math.Abs(a.Share-l.Budget.Earlier) <= 1e-6) {
		t.Errorf("%+v", got.Assumed[k])
	}
	// Degrees of freedom: no session scatters more than stated, so all together check that.
	share := l.Budget.Readings + l.Budget.Earlier
	if want := 1 / (share*share/fit.Trusted(1, math.Max(1, got.Scatter.Redundancy+e.Checked)) + math.Pow(l.Budget.Tolerance, 2)/got.PartErrors.degrees()); !(math.Abs(l.Degrees/want-1) <= 1e-9) {
		t.Errorf("%v degrees of freedom, want %v", l.Degrees, want)
	}
	again := got.Carry()
	if len(again) != 2 || again[0].Log != "first" || len(again[1].States) != 4 || !(math.Abs(again[1].Squares-got.Quality.ChiSquare+e.Squares) <= 1e-9) || again[1].Freedom != float64(got.Quality.DegreesOfFreedom)-e.Freedom {
		t.Errorf("carried on %+v", again)
	}
}

// The rows of earlier sessions: r of ln f measured less that of the model, with rᵀr = offᵀV⁻¹off for
// the covariance V of all of one, in any slices; on another bench with what may be more on the top.
func TestRowsOfEarlierSessions(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(19, 5)), 2e-4, 0.02, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(4.7, 10))
	s := Session{Log: log, Known: still}
	state := func(parts ...int) readings.State {
		s := readings.Bare()
		s.Parts = parts
		return s
	}
	list := []Earlier{
		{Log: "a", States: []readings.State{state(), state(0), state(1)}, Hertz: []float64{2.5e6, 1.6e6, 1.2e6}, Relative: []float64{1e-4, 2e-4, 3e-4}, Shared: [][]float64{{1e-4, 0, -2e-4}, {0, 3e-4, 1e-4}}, Parts: log.Parts[:2]},
		{Log: "b", States: []readings.State{state(), state(0, 1)}, Hertz: []float64{2.45e6, 1.02e6}, Relative: []float64{1e-4, 1e-4}, Parts: log.Parts[:2], Bench: 1},
	}
	for _, e := range list {
		s.Follow(e)
	}
	p, err := NewProblem(s)
	if err != nil || len(p.Strays) != 1 {
		t.Fatal(err, p.Strays)
	}
	x := p.Start(log)
	x[p.Strays[0]], x[p.PartAt[0]] = 0.3, 0.7
	rows := fit.Join(p.Width(), p.earlierRows()...)
	r, jac := make([]float64, 5), make([]float64, 5*p.N)
	rows.Evaluate(x, 0, r, jac)
	for first := range 5 {
		for m := 1; first+m <= 5; m++ {
			some, grad := make([]float64, m), make([]float64, m*p.N)
			rows.Evaluate(x, first, some, grad)
			if !slices.Equal(some, r[first:first+m]) || !slices.Equal(grad, jac[first*p.N:(first+m)*p.N]) {
				t.Errorf("rows %d to %d: %v, of all %v", first, first+m, some, r)
			}
			rows.Evaluate(x, first, some, nil)
			if !slices.Equal(some, r[first:first+m]) {
				t.Errorf("rows %d to %d without slopes: %v", first, first+m, some)
			}
		}
	}
	at := 0
	for i, e := range list {
		n := len(e.States)
		v := mat.NewSymDense(n, nil)
		off := mat.NewVecDense(n, nil)
		for k := range n {
			state := e.States[k]
			if i == 1 {
				state.Exact = 1e-12 * 0.3
			}
			off.SetVec(k, math.Log(e.Hertz[k]/p.Ideal(x, &state, nil)))
			for j := range n {
				sum := 0.0
				if j == k {
					sum = e.Relative[k] * e.Relative[k]
				}
				for _, shared := range e.Shared {
					sum += shared[j] * shared[k]
				}
				v.SetSym(j, k, sum)
			}
		}
		var cholesky mat.Cholesky
		if !cholesky.Factorize(v) {
			t.Fatal("no covariance")
		}
		var w mat.VecDense
		must.Do(t, cholesky.SolveVecTo(&w, off))
		squares := 0.0
		for _, v := range r[at : at+n] {
			squares += v * v
		}
		if want := mat.Dot(&w, off); !(math.Abs(squares/want-1) <= 1e-9) {
			t.Errorf("session %s: Σr² %v, want %v", e.Log, squares, want)
		}
		at += n
	}
	for j := range x {
		const h = 1e-5
		up, down := make([]float64, 5), make([]float64, 5)
		y := slices.Clone(x)
		y[j] += h
		rows.Evaluate(y, 0, up, nil)
		y[j] -= 2 * h
		rows.Evaluate(y, 0, down, nil)
		for i := range 5 {
			if want := (up[i] - down[i]) / 2 / h; !(math.Abs(jac[i*p.N+j]-want) <= 1e-4*math.Abs(want)+1e-3) {
				t.Errorf("row %d, unknown %d: %v, want %v", i, j, jac[i*p.N+j], want)
			}
		}
	}
	for i, o := range p.Origins {
		if o == FromEarlier {
			if e := p.earlierOf(i); (e.Log == "a") != (i < slices.Index(p.Origins, FromEarlier)+3) {
				t.Errorf("row %d is of %s", i, e.Log)
			}
		}
	}
}

// Readings with a core partly in, once in its place, tell something of what the model errs by there:
// the state is then predicted as where a second reading that counts for nothing makes that error
// an unknown.
func TestWhatOneReadingInAPlaceTells(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(20, 5)), 2e-4, 0.02, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(), simulated.Added().Rod(1), simulated.Added(4.7).Rod(1), simulated.Added().Rod(0.5))
	log.Readings[6].Frequency *= 1.02
	s := Session{Log: log, Known: still}
	r := must.Get(Fit(s)).In(t)
	state := readings.Bare()
	state.Core, state.To, state.Parts = "rod", 0.5, []int{0}
	e := r.Frequency(state, nil)
	const huge = 1e7
	other := s
	other.Log.Readings = append(slices.Clone(log.Readings), readings.Reading{State: state, Use: true, Frequency: 1.4e6, Uncertainty: huge})
	o, err := Fit(other)
	if err != nil || len(o.Problem.Places) != 1 {
		t.Fatal(err)
	}
	want := o.Frequency(state, nil)
	if !(math.Abs(e.Value-want.Value) <= 0.05*want.Uncertainty) || !(math.Abs(e.Uncertainty/want.Uncertainty-1) <= 0.05) {
		t.Errorf("%v ± %v, want %v ± %v", e.Value, e.Uncertainty, want.Value, want.Uncertainty)
	}
	ideal := r.Problem.Frequency(r.Solution.X, &state, nil)
	if !(math.Abs(e.Value-ideal) > 0.05*e.Uncertainty) { // by what was learnt
		t.Errorf("%v, the model alone says %v ± %v", e.Value, ideal, e.Uncertainty)
	}
	told, budget := r.FrequencyBudget(state, nil)
	squares, shares := 0.0, 0.0
	for _, in := range budget {
		squares, shares = squares+in.Contribution*in.Contribution, shares+in.Share
	}
	near.Times(t, "its budget", math.Sqrt(squares), e.Uncertainty, 1e-6)
	near.Times(t, "all shares", shares, 1, 1e-6)
	if told != e {
		t.Errorf("budget of %+v, frequency %+v", told, e)
	}
	hz, u, ok := r.Spread(state)
	if !ok || !(math.Abs(hz/e.Value-1) <= 1e-12) || !(math.Abs(u/e.Uncertainty-1) <= 1e-9) {
		t.Errorf("spread %v ± %v, frequency %v ± %v", hz, u, e.Value, e.Uncertainty)
	}
}

// Quality factors divide by how the parts of 1/Q grow: the winding's as √f over f, times the share
// of the energy that is in its copper; insulators' by the electric energy that isn't in added
// capacitors; a core's as f. All of it by hand, from frequencies as fitted, and divided by the same
// least squares as elsewhere.
func TestLossesByHand(t *testing.T) {
	steps := []simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(4.7, 22), simulated.Added(), simulated.Added().Rod(1), simulated.Added(10).Rod(1), simulated.Added(22).Rod(1), simulated.Added().Near(0.1)}
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(21, 5)), 2e-4, 0.01, steps...)
	quality := []float64{120, 95, 90, 75, 70, 118, 60, 70, 62, 90}
	for i := range log.Readings {
		log.Readings[i].Quality = quality[i]
	}
	r := must.Get(Fit(Session{Log: log, Known: still})).In(t)
	if want := readings.Contrasts(log); len(want) == 0 || !slices.Equal(r.Contrasts, want) {
		t.Errorf("contrasts %+v, want %+v", r.Contrasts, want)
	}
	f, x := r.Problem.Model, r.Solution.X
	at := func(s readings.State) (hz, perTop float64) {
		return f.Ideal(x, &s, nil), f.Resonance.PerTop
	}
	bare, full := readings.Bare(), readings.Bare()
	full.Core, full.To = "rod", 1
	base, _ := at(bare)
	rod, _ := at(full)
	gain := r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"}).Value
	var rows []loss.Row
	for i := range 9 {
		s := log.Readings[i].State
		hz, perTop := at(s)
		added := 0.0
		for _, p := range s.Parts {
			added += f.Part(x, p)
		}
		w := []float64{math.Sqrt(hz/base) * base / hz, 1 + 2*perTop*added, 0}
		if s.Core != "" {
			w[0] /= gain
			w[2] = hz / rod
		}
		rows = append(rows, loss.Row{Inverse: 1 / quality[i], Uncertainty: 0.05 / quality[i], Read: true, Weights: w})
	}
	got := r.lossRows()
	if len(got) != 9 {
		t.Fatalf("%d rows", len(got))
	}
	for i := range rows {
		for j := range 3 {
			if !(math.Abs(got[i].Weights[j]-rows[i].Weights[j]) <= 1e-9) || got[i].Inverse != rows[i].Inverse || got[i].Uncertainty != rows[i].Uncertainty || !got[i].Read {
				t.Errorf("row %d: %+v, want %+v", i, got[i], rows[i])
			}
		}
	}
	parts := loss.Split(rows, 3)
	keys := []quantities.Key{{Name: quantities.QualityWinding}, {Name: quantities.QualityDielectric}, {Name: quantities.QualityCore, Core: "rod"}}
	determined := 0
	for j, p := range parts {
		e := r.Find(keys[j])
		if e == nil || e.Determined != p.Determined {
			t.Errorf("%v: %+v of %+v", keys[j], e, p)
			continue
		}
		if !p.Determined {
			continue
		}
		determined++
		near := func(a, b float64) bool { return math.Abs(a/b-1) <= 1e-9 }
		if !near(e.Value, 1/p.Inverse) || !near(e.Uncertainty, p.Uncertainty/p.Inverse/p.Inverse) || e.Stated != e.Uncertainty || !near(e.Interval[0], 1/p.Interval[1]) || !near(e.Interval[1], 1/p.Interval[0]) || e.Budget != (quantities.Budget{Readings: 1}) || e.Degrees != p.Degrees || !near(e.Coverage, fit.CoverageFactor(0.95, p.Degrees)) || e.Unit != "1" {
			t.Errorf("%v: %+v of %+v", keys[j], e, p)
		}
	}
	if determined < 2 {
		t.Errorf("%d of three determined", determined)
	}
	of, list := r.Losses()
	if determined == 3 && (len(of) != 3 || len(list) != 9) || determined < 3 && (of != nil || list != nil) {
		t.Errorf("%d losses in %d readings", len(of), len(list))
	}
	for i, o := range list {
		for k, e := range of {
			if !(math.Abs(o.Parts[k]-rows[i].Weights[k]/e.Value) <= 1e-12) || o.Uncertainty != rows[i].Uncertainty || o.Line != log.Readings[i].Line {
				t.Errorf("reading %d, part %d: %v", i, k, o)
			}
		}
	}
	all := make([]float64, len(keys)) // once all are determined, and without one that there isn't
	for k := range r.Derived {
		if e := &r.Derived[k]; slices.Contains(keys, e.Key) {
			was := *e
			defer func() { *e = was }()
			e.Determined, e.Value = true, 100+float64(k)
			all[slices.Index(keys, e.Key)] = e.Value
		}
	}
	lists := func(want ...int) {
		t.Helper()
		of, list := r.Losses()
		if len(of) != len(want) || len(want) > 0 && len(list) != 9 || len(want) == 0 && list != nil {
			t.Fatalf("%d losses in %d readings", len(of), len(list))
		}
		for i, o := range list {
			for k, j := range want {
				if of[k].Key != keys[j] || len(o.Parts) != len(want) {
					t.Fatalf("%+v of %+v", o, of[k])
				}
				near.To(t, "part", o.Parts[k], rows[i].Weights[j]/all[j], 1e-12)
			}
		}
	}
	lists(0, 1, 2)
	losses := r.Derived
	without := func(gone func(k quantities.Key) bool) {
		r.Derived = slices.DeleteFunc(slices.Clone(losses), func(e quantities.Estimate) bool { return gone(e.Key) })
	}
	without(func(k quantities.Key) bool { return k == keys[1] })
	lists(0, 2)
	without(func(k quantities.Key) bool { return slices.Contains(keys, k) })
	lists()
	r.Derived = losses
	r.Find(keys[2]).Determined = false
	lists()
	r.Find(keys[2]).Determined = true
	determined = 3
	// Heat at 1 V: ½ω C/Q of each, by its weight.
	hz, _ := at(full)
	farad := f.Resonance.Capacitance
	before := -1
	for _, h := range r.Heats(f, x, full) {
		j := slices.Index(keys, h.Key)
		if j <= before {
			t.Errorf("%v after %v", h.Key, keys[before])
		}
		before = j
		weight := []float64{math.Sqrt(hz/base) * base / hz / gain, 1, 1}[j]
		if want := math.Pi * hz * farad * weight / r.Find(h.Key).Value; !(math.Abs(h.PerSquare/want-1) <= 1e-9) {
			t.Errorf("%v: %v W/V², want %v", h.Key, h.PerSquare, want)
		}
	}
	for _, kind := range []readings.PrimaryKind{readings.PrimaryShorted, readings.PrimaryTuned} {
		driven := bare
		driven.Primary.Kind = kind
		if r.Heats(f, x, driven) != nil {
			t.Errorf("heats with a primary %v", kind)
		}
	}
	if len(r.Heats(f, x, full)) != determined {
		t.Error("how many heats")
	}
	r.Session.Log.Readings = slices.Clone(log.Readings)
	for _, kind := range []readings.PrimaryKind{readings.PrimaryOpen, readings.PrimaryShorted} {
		r.Session.Log.Readings[0].Primary.Kind = kind
		if _, ok := r.lossRow(0); ok != (kind == readings.PrimaryOpen) {
			t.Errorf("primary %v: a row %v", kind, ok)
		}
	}
}

// A parabola for each quantity and an ellipse for each pair, by standard uncertainty, correlation
// and k; the profile ends its interval where it has risen by k², and nearly is the parabola where
// the readings are good; steps are told one by one.
func TestSurface(t *testing.T) {
	_, r := tried(t)
	list := r.Principal(3)
	var told []int
	s := r.Surface(list, func(i, n int) {
		if told = append(told, i); n != 6 {
			t.Errorf("of %d steps", n)
		}
	})
	if !slices.Equal(told, []int{1, 2, 3, 4, 5, 6}) || len(s.Curves) != 3 || len(s.Regions) != 3 {
		t.Fatalf("steps %v, %d curves, %d regions", told, len(s.Curves), len(s.Regions))
	}
	correlations := r.Correlations(list)
	for i, c := range s.Curves {
		e := list[i]
		k, u := e.Coverage, e.Uncertainty/e.Value
		if c.Estimate != e || c.Limit != k*k || len(c.Linear) != 97 || len(c.Profile) < 19 {
			t.Errorf("%s: limit %v, %d and %d points", e.Name, c.Limit, len(c.Linear), len(c.Profile))
		}
		for j, p := range c.Linear {
			z := 1.3 * k * (float64(j)/48 - 1)
			if !(math.Abs(p.Rise-z*z) <= 1e-9) || !(math.Abs(math.Log(p.At/e.Value)-z*u) <= 1e-9) {
				t.Errorf("%s, point %d: %+v", e.Name, j, p)
			}
		}
		for side, p := range []fit.CurvePoint{c.Profile[0], c.Profile[len(c.Profile)-1]} {
			if root := math.Sqrt(p.Rise) / k; !(root > 1.27 && root < 1.6) || (p.At > e.Value) != (side == 1) {
				t.Errorf("%s: the profile ends at %v times k", e.Name, root)
			}
		}
		profile := r.ProfileOf(e)
		for side, at := range profile.Profile {
			rise := 0.0 // of the profile there, straight between its points
			for j := 1; j < len(c.Profile); j++ {
				if a, b := c.Profile[j-1], c.Profile[j]; a.At <= at && at <= b.At {
					rise = a.Rise + (b.Rise-a.Rise)*(at-a.At)/(b.At-a.At)
				}
			}
			if !(math.Abs(rise/(k*k)-1) <= 0.12) || profile.Better || !(math.Abs(math.Log(at/e.Value)) <= 4*k*u) || (at > e.Value) != (side == 1) {
				t.Errorf("%s ends at %v, where χ² has risen by %v, k² is %v", e.Name, at, rise, k*k)
			}
		}
		for j := range list {
			if s.Correlation(i, j) != correlations[3*i+j] {
				t.Errorf("correlation %v", s.Correlation(i, j))
			}
		}
	}
	for n, g := range s.Regions {
		if want := [][2]int{{0, 1}, {0, 2}, {1, 2}}[n]; g.First != want[0] || g.Second != want[1] || len(g.Linear) != 96 || len(g.Profile) != 48 {
			t.Fatalf("region %d: %+v", n, g)
		}
		a, b := list[g.First], list[g.Second]
		rho := s.Correlation(g.First, g.Second)
		k := fit.JointFactor(0.95, math.Min(a.Degrees, b.Degrees))
		for _, p := range g.Profile {
			x, y := math.Log(p[0]/a.Value)/a.Uncertainty*a.Value, math.Log(p[1]/b.Value)/b.Uncertainty*b.Value
			if z := math.Hypot(x, (y-rho*x)/math.Sqrt(1-rho*rho)); !(z > 0.5*k && z < 2*k) {
				t.Errorf("region %d: a point %v times k off", n, z/k)
			}
		}
		for i, p := range g.Linear {
			x, y := math.Log(p[0]/a.Value)/a.Uncertainty*a.Value, math.Log(p[1]/b.Value)/b.Uncertainty*b.Value
			angle := 2 * math.Pi * float64(i) / 96
			if !(math.Abs(x-k*math.Cos(angle)) <= 1e-9) || !(math.Abs((y-rho*x)/math.Sqrt(1-rho*rho)-k*math.Sin(angle)) <= 1e-6*k) {
				t.Errorf("region %d, point %d: %v, %v", n, i, x, y)
			}
		}
	}
	var names []string
	for _, e := range r.Principal(99) {
		names = append(names, e.Name+e.Core+e.Part)
	}
	want := []string{"effective_inductance", "effective_capacitance", "core_gainrod", "core_capacitancerod", "part_capacitancespike", "hand_frequency_drop", "bare_frequency", "winding_capacitance", "top_capacitance", "inductance", "lead_capacitance", "drift"}
	want = slices.DeleteFunc(want, func(name string) bool { return !slices.Contains(names, name) })
	if !slices.Equal(names, want) || len(names) < 8 {
		t.Errorf("principal are %v", names)
	}
	if e := r.Principal(99)[5]; e.Name != quantities.HandFrequencyDrop || e.Hand != 0.1 {
		t.Errorf("the nearest hand is %+v", e.Key)
	}
	if !slices.EqualFunc(r.Principal(3), list, func(a, b *quantities.Estimate) bool { return a == b }) {
		t.Error("three of them")
	}
	p := Profiled{Estimate: &quantities.Estimate{Uncertainty: 10, Interval: [2]float64{80, 120}}, Profile: [2]float64{80.9, 119.1}}
	if p.Differs() {
		t.Error("by less than a tenth")
	}
	for _, ends := range [][2]float64{{81.1, 120}, {80, 121.1}, {math.Inf(-1), 120}, {80, math.NaN()}} {
		if p.Profile = ends; !p.Differs() {
			t.Errorf("%v doesn't differ", ends)
		}
	}
}

// From which distribution trials draw each row: digits and limits are rectangular.
func TestDistributionsOfRows(t *testing.T) {
	steps := []simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(4.7), simulated.Added().Rod(1), simulated.Added().Rod(0.5)}
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(22, 5)), 2e-4, 0.01, steps...)
	for _, i := range []int{0, 2, 6} {
		log.Readings[i].FromDigits = true
	}
	log.Readings[2].Repeats = &readings.Repeats{Count: 2}
	log.Parts[1].Rectangular = true
	for i := range log.Parts {
		log.Parts[i].Lot, log.Parts[i].Common = "kit", 0.25
	}
	r, err := Fit(Session{Log: log})
	if err != nil || r.Solution.Scale != 1 {
		t.Fatal(err)
	}
	d := r.distributions()
	for k := range log.Readings {
		if (d.Data[k] != nil) != (k == 0) {
			t.Errorf("reading %d", k)
		}
	}
	for i, o := range r.Problem.Origins {
		if (d.Prior[i] != nil) != (o == FromTolerance && r.Problem.PriorOf[i] == 1) {
			t.Errorf("prior %d of origin %v", i, o)
		}
		if checked := r.PartErrors.Redundancy >= 1.5; checked && d.Doubtful[i] != (o == FromTolerance || o == FromCommon) || !checked && d.Doubtful != nil {
			t.Errorf("prior %d: in doubt %v", i, d.Doubtful)
		}
	}
	log.Parts[0].Rectangular = true // the first of the lot
	r, _ = Fit(Session{Log: log})
	d = r.distributions()
	for i, o := range r.Problem.Origins {
		if (d.Prior[i] != nil) != (o == FromCommon || o == FromTolerance && r.Problem.PriorOf[i] < 2) {
			t.Errorf("prior %d of origin %v", i, o)
		}
	}
	loud := *r
	loud.Solution.Scale, loud.PartErrors = 1.5, partSpread{Factor: 1.2, Redundancy: 2.5}
	d = loud.distributions()
	for k := range log.Readings {
		if d.Data[k] != nil {
			t.Errorf("reading %d scatters, and is drawn by its digits", k)
		}
	}
	if d.DoubtDegrees != loud.PartErrors.degrees() || len(d.Doubtful) != len(r.Problem.Origins) {
		t.Errorf("%v degrees, %v", d.DoubtDegrees, d.Doubtful)
	}
	for i, o := range r.Problem.Origins {
		if d.Doubtful[i] != (o == FromTolerance || o == FromCommon) {
			t.Errorf("prior %d of origin %v in doubt", i, o)
		}
	}
	shared, problem := *r, *r.Problem
	problem.factors = slices.Repeat([]float64{1.4}, len(log.Readings))
	if shared.Problem = &problem; shared.distributions().Data[0] != nil {
		t.Error("a rounding error that others share drawn by its digits")
	}
	shorter := 0.0
	m := r.MonteCarlo(fit.Trials{Most: 200, Seed: 3})
	if m.Trials+m.Failed != 200 || m.Seed != 3 || m.Degrees != r.Solution.ScaleDegrees || len(m.Quantities) != len(r.told()) {
		t.Errorf("%+v", m)
	}
	for _, p := range m.Quantities {
		shorter = max(shorter, (p.Symmetric[1]-p.Symmetric[0])/(p.Shortest[1]-p.Shortest[0])-1)
		if !(math.Abs(p.Low-math.Abs(p.Symmetric[0]-p.Interval[0])) <= 1e-9*math.Abs(p.Value)) || !(math.Abs(p.High-math.Abs(p.Symmetric[1]-p.Interval[1])) <= 1e-9*math.Abs(p.Value)) {
			t.Errorf("%s: ends apart by %v and %v", p.Name, p.Low, p.High)
		}
		if !(math.Abs(p.Mean-p.Value) <= 0.5*p.Deviation) || !(p.Deviation > 0.6*p.Uncertainty && p.Deviation < 4*p.Uncertainty) || !(p.Shortest[1]-p.Shortest[0] <= p.Symmetric[1]-p.Symmetric[0]) || !(p.Symmetric[0] < p.Value && p.Value < p.Symmetric[1]) {
			t.Errorf("%s: %v ± %v in %v, by trials %v ± %v in %v and %v", p.Name, p.Value, p.Uncertainty, p.Interval, p.Mean, p.Deviation, p.Symmetric, p.Shortest)
		}
	}
	if !(shorter > 1e-3) {
		t.Errorf("the shortest intervals are by %v shorter", shorter)
	}
}

// A triangle stays one, and RᵀR what it is, when its first two rows are turned.
func TestTriangular(t *testing.T) {
	const n = 4
	r := []float64{3, 1, 2, 5, 4, 2, -1, 7, 0, 0, 6, 2, 0, 0, 0, 1}
	was := slices.Clone(r)
	triangular(r, n)
	square := func(r []float64, i, j int) (sum float64) {
		for k := range n {
			sum += r[k*n+i] * r[k*n+j]
		}
		return sum
	}
	for i := range n {
		for j := range n {
			if !(math.Abs(square(r, i, j)-square(was, i, j)) <= 1e-12) {
				t.Errorf("RᵀR: %v, was %v", square(r, i, j), square(was, i, j))
			}
		}
	}
	if r[n] != 0 || !(math.Abs(r[0]-5) <= 1e-12) {
		t.Errorf("%v", r[:2*n])
	}
}

// An interval by profile likelihood becomes that of its estimate where it differs from the linear one
// by more than a tenth of u, and was found; what is compared with the linear one afterwards still is.
func TestProfilesQuoted(t *testing.T) {
	for name, c := range map[string]struct {
		profile [2]float64
		better  bool
		quoted  bool
	}{
		"differs":       {[2]float64{7.7, 14}, false, true},
		"nearly linear": {[2]float64{8.05, 11.95}, false, false},
		"open":          {[2]float64{8, math.Inf(1)}, false, true},
		"not found":     {[2]float64{math.NaN(), 14}, false, false},
		"better fit":    {[2]float64{7.7, 14}, true, false},
	} {
		e := quantities.Estimate{Value: 10, Uncertainty: 1, Interval: [2]float64{8, 12}, Determined: true}
		p := Profiled{&e, c.profile, c.better}
		differs := p.Differs()
		for range 2 { // once more changes nothing
			p.Quote()
			want := [2]float64{8, 12}
			if c.quoted {
				want = c.profile
			}
			if e.ByProfile != c.quoted || e.Interval != want || e.LinearInterval() != [2]float64{8, 12} || p.Differs() != differs {
				t.Errorf("%s: %+v", name, e)
			}
		}
	}
}
