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
