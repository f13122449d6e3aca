package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/repeat"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// Hold-out states, inside the range read and beyond it: in 95 % of simulated
// sessions the interval for a new reading holds a new reading, and that for the
// mean holds the true frequency.
func TestCoverageOfPredictions(t *testing.T) {
	c := simulated.Lighthouse()
	const noise, all = 3e-4, 1000
	n := repeat.Times(all)
	steps := []simulated.Step{simulated.Added(), simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(10), simulated.Added(2.2, 4.7),
		simulated.Added().Rod(1), simulated.Added(4.7).Rod(1), simulated.Added(10).Rod(1), simulated.Added().Near(0.1), simulated.Added().Near(0.2)}
	steps = append(steps, steps...) // read twice: the scatter of few readings, never scaled down, makes intervals wide
	held := []struct {
		name string
		simulated.Step
		outside bool
	}{
		{"part read, with the core", simulated.Added(2.2).Rod(1), false},
		{"two parts together", simulated.Added(2.2, 10), true},
		{"hand with the core", simulated.Added(4.7).Rod(1).Near(0.1), true},
		{"all on the top", simulated.Added(2.2, 4.7, 10), true},
	}
	mean, fresh := make([]int, len(held)), make([]int, len(held))
	for i := range n {
		rng := rand.New(rand.NewPCG(31, uint64(i)))
		c.Core = c.Cw * math.Expm1(estimation.CoreSigma*rng.NormFloat64())
		c.Moved = resonator.MovedMean * math.Exp(resonator.MovedSigma*rng.NormFloat64())
		all := append([]simulated.Step(nil), steps...)
		for _, h := range held {
			all = append(all, h.Step)
		}
		log := c.Session(rng, noise, 0.02, all...)
		late := log.Readings[len(steps):]
		log.Readings = log.Readings[:len(steps)]
		r := mustFit(t, idealBench(estimation.Session{Log: log}))
		for k, o := range late {
			p := decisions.Predict(r.Result, o.State, nil)
			if (len(p.Outside) > 0) != held[k].outside {
				t.Fatalf("%s: outside %+v", held[k].name, p.Outside)
			}
			truth := o.Uncertainty / noise // the simulated frequency before noise
			if p.Frequency.Interval[0] <= truth && truth <= p.Frequency.Interval[1] {
				mean[k]++
			}
			if p.NewReading[0] <= o.Frequency && o.Frequency <= p.NewReading[1] {
				fresh[k]++
			}
		}
	}
	for k, h := range held {
		t.Logf("%s: mean %d, new reading %d of %d", h.name, mean[k], fresh[k], n)
		for _, hits := range []int{mean[k], fresh[k]} {
			if !repeat.Covers95(hits, n, all) {
				t.Errorf("%s: %d of %d 95 %% intervals cover", h.name, hits, n)
			}
		}
	}
}

// A state that needs what no reading tells has no frequency.
func TestPredictRefusesTheUnknown(t *testing.T) {
	c := simulated.Lighthouse()
	rng := rand.New(rand.NewPCG(32, 1))
	r := mustFit(t, estimation.Session{Log: c.Session(rng, 1e-4, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added(10))})
	for _, s := range []readings.State{
		{Core: "rod", To: 1, Hand: math.Inf(1)},
		{Hand: 0.1},
		{Parts: []int{2}, Hand: math.Inf(1)},
	} {
		p := decisions.Predict(r.Result, s, []readings.Part{{Name: "roof"}})
		if p.Frequency.Determined || !math.IsNaN(p.Frequency.Value) || len(p.Missing) == 0 || len(p.Effects) > 0 {
			t.Errorf("%+v: %+v", s, p)
		}
	}
	// Frequencies alone: the bare frequency is known, one with a capacitor isn't.
	alone := mustFit(t, estimation.Session{Log: c.Session(rng, 1e-4, 0, simulated.Added(), simulated.Added())})
	if p := decisions.Predict(alone.Result, readings.Bare(), nil); !p.Frequency.Determined {
		t.Error("bare frequency undetermined from bare readings")
	}
	s := readings.Bare()
	s.Exact = 5e-12
	if p := decisions.Predict(alone.Result, s, nil); p.Frequency.Determined {
		t.Errorf("frequency with 5 pF: %v ± %v from bare readings alone", p.Frequency.Value, p.Frequency.Uncertainty)
	}
}

// A new part brings its own tolerance: u(f)/f = ½ · its share of the energy · 5 %/1.96,
// which for a top load far above the coil's own capacitance tends to a half of
// its relative uncertainty.
func TestPredictionCarriesTheNewPartsTolerance(t *testing.T) {
	c := simulated.Lighthouse()
	rng := rand.New(rand.NewPCG(32, 2))
	r := mustFit(t, estimation.Session{Log: c.Session(rng, 1e-6, 0, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(47), simulated.Added(100))})
	s := readings.Bare()
	s.Parts = []int{len(r.Parts())}
	p := decisions.Predict(r.Result, s, []readings.Part{{Capacitance: 1e-9, Uncertainty: 0.02e-9, Known: true}})
	if u := p.Frequency.Uncertainty / p.Frequency.Value; !(math.Abs(u/0.01-1) <= 0.01) {
		t.Errorf("relative uncertainty %v, want half of 2 %%", u)
	}
}

// Setting and prediction are each other's inverse; the standard values lie on
// both sides; what can't be reached says the closest.
func TestReach(t *testing.T) {
	c := simulated.Lighthouse()
	rng := rand.New(rand.NewPCG(33, 1))
	r := mustFit(t, estimation.Session{Log: c.Session(rng, 1e-4, 0.01, simulated.FullSession()...)})
	rod := readings.Bare()
	rod.Core, rod.To = "rod", 1
	for _, k := range []struct {
		by     decisions.Control
		state  readings.State
		target float64
	}{{decisions.ByAdded, readings.Bare(), 1.5e6}, {decisions.ByCovered, rod, 2.2e6}, {decisions.ByHand, readings.Bare(), 2.45e6}, {decisions.ByAdded, rod, 1.2e6}, {decisions.ByAdded, readings.Bare(), 5e3}} {
		a := decisions.Reach(r.Result, k.target, k.state, nil, k.by, 0.025)
		if !a.Reachable || !(math.Abs(a.At.Frequency.Value/k.target-1) <= 1e-9) {
			t.Errorf("by %d: %+v", k.by, a)
		}
		if u := a.Setting.Uncertainty; !(u > 0) || !(a.Setting.Interval[0] < a.Setting.Value && a.Setting.Value < a.Setting.Interval[1]) {
			t.Errorf("by %d: setting %+v", k.by, a.Setting)
		}
	}
	a := decisions.Reach(r.Result, 1.5e6, readings.Bare(), nil, decisions.ByAdded, 0.025)
	if len(a.Standard) != 2 || !(a.Standard[0].Frequency.Value > 1.5e6 && a.Standard[1].Frequency.Value < 1.5e6) ||
		a.Values[0].Capacitance > a.Setting.Value || a.Values[1].Capacitance < a.Setting.Value {
		t.Errorf("standard values %+v", a.Values)
	}
	for _, k := range []struct {
		by      decisions.Control
		state   readings.State
		target  float64
		closest float64
	}{{decisions.ByAdded, readings.Bare(), 3e6, 0}, {decisions.ByCovered, rod, 1.5e6, 1}, {decisions.ByCovered, rod, 2.9e6, 0}} {
		a := decisions.Reach(r.Result, k.target, k.state, nil, k.by, 0)
		if a.Reachable || a.Setting.Determined || a.Closest != k.closest || !a.At.Frequency.Determined {
			t.Errorf("to %v by %d: %+v", k.target, k.by, a)
		}
	}
}

// The series of preferred numbers (IEC 60063:2015, E24).
func TestPreferred(t *testing.T) {
	for _, k := range [][3]float64{{4e-12, 3.9e-12, 4.3e-12}, {3.9e-12, 3.9e-12, 4.3e-12}, {9.5e-12, 9.1e-12, 10e-12}, {1e-12, 1e-12, 1.1e-12}, {0.97e-12, 0.91e-12, 1e-12}} {
		below, above := decisions.Preferred(k[0])
		if !(math.Abs(below/k[1]-1) <= 1e-9) || !(math.Abs(above/k[2]-1) <= 1e-9) {
			t.Errorf("around %v: %v and %v, want %v and %v", k[0], below, above, k[1], k[2])
		}
	}
}

// What the model errs by with a core partly in is a part of a prediction's variance, and
// the shares add up.
func TestBudgetOfPredictionsHasTheModel(t *testing.T) {
	c := simulated.Lighthouse()
	r := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(160, 1)), 3e-4, 0.025, simulated.Added(), simulated.Added(2.2), simulated.Added(10), simulated.Added().Rod(1), simulated.Added(10).Rod(1))})
	for _, covered := range []float64{0.3, 0.6, 1} {
		s := readings.Bare()
		s.Core, s.To = "rod", covered
		e := decisions.Predict(r.Result, s, nil).Frequency
		b := e.Budget
		if sum := b.Readings + b.Tolerance + b.Known + b.Assumed + b.Model; !(math.Abs(sum-1) <= 1e-9) {
			t.Errorf("%v covered: %+v add up to %v", covered, b, sum)
		}
		own := r.Problem.ModelUncertainty(r.Solution.X, &s) * e.Value / e.Uncertainty
		if !(math.Abs(b.Model-own*own) <= 1e-9) || (b.Model > 0.01) != (covered < 1) {
			t.Errorf("%v covered: the model has %v of the variance, want %v", covered, b.Model, own*own)
		}
	}
}

// Few readings that scatter once, twice or five times as much as stated: in 93 % of sessions
// or more the interval of the bare frequency holds it, and that of a new reading the reading.
// Twice is covered by about nine of ten also where the readings are so few that nothing shows
// their scatter: a stated uncertainty that nothing tests is in doubt (without that, 70 %).
func TestFewReadingsThatScatterAreCovered(t *testing.T) {
	c := simulated.Lighthouse()
	steps := []simulated.Step{simulated.Added(), simulated.Added(10), simulated.Added(), simulated.Added(4.7), simulated.Added(22), simulated.Added(2.2),
		simulated.Added(10), simulated.Added(), simulated.Added(4.7), simulated.Added(22), simulated.Added(2.2), simulated.Added()}
	const sessions = 400
	count := func(rows int, more, tolerance float64, bench func(estimation.Session) estimation.Session) (fresh, bare int) {
		for seed := range uint64(sessions) {
			rng := rand.New(rand.NewPCG(7161, seed))
			log := c.Session(rng, more*1e-4, tolerance, steps[:rows]...)
			for i := range log.Readings {
				log.Readings[i].Uncertainty /= more
			}
			r := mustFit(t, bench(estimation.Session{Log: log}))
			truth := c.Frequency(readings.Bare(), nil)
			next := truth * (1 + more*1e-4*rng.NormFloat64())
			if p := decisions.Predict(r.Result, readings.Bare(), nil); p.NewReading[0] <= next && next <= p.NewReading[1] {
				fresh++
			}
			if in := r.Find(quantities.Key{Name: quantities.BareFrequency}).Interval; in[0] <= truth && truth <= in[1] {
				bare++
			}
		}
		return fresh, bare
	}
	all := map[float64]int{}
	rows := []int{4, 6, 12}
	for _, n := range rows {
		for _, more := range []float64{1, 2, 5} {
			fresh, bare := count(n, more, 0, idealBench)
			t.Logf("%d rows, scatter × %v: new reading %.1f %%, bare frequency %.1f %%", n, more, 100*float64(fresh)/sessions, 100*float64(bare)/sessions)
			if least := min(fresh, bare); least < 0.91*sessions { // 93 % less what 400 sessions scatter by
				t.Errorf("%d rows, scatter × %v: %d of %d covered", n, more, least, sessions)
			}
			if n == 12 && more == 1 && max(fresh, bare) > 0.99*sessions {
				t.Errorf("%d rows that scatter as stated: %d and %d of %d covered", n, fresh, bare, sessions)
			}
			all[more] += fresh + bare
		}
	}
	for more, hits := range all {
		if share := float64(hits) / float64(2*len(rows)*sessions); share < 0.93 {
			t.Errorf("scatter × %v: %.1f %% covered", more, 100*share)
		}
	}
	fresh, bare := count(6, 2, 0.025, func(s estimation.Session) estimation.Session { return s })
	t.Logf("6 rows at a real bench, scatter × 2: new reading %.1f %%, bare frequency %.1f %%", 100*float64(fresh)/sessions, 100*float64(bare)/sessions)
	if min(fresh, bare) < 0.88*sessions {
		t.Errorf("6 rows at a real bench, scatter × 2: %d and %d of %d covered", fresh, bare, sessions)
	}
}

// Spread is Frequency without its budget.
func TestSpreadIsThatOfFrequency(t *testing.T) {
	c := simulated.Lighthouse()
	r := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(33, 1)), 1e-4, 0.01, append(simulated.FullSession(), simulated.Added().Rod(0.5), simulated.Added(4.7).Rod(0.5))...)})
	for _, s := range []readings.State{readings.Bare(), {Exact: 3e-12, Hand: 0.15}, {Core: "rod", To: 0.5, Hand: math.Inf(1)}, {Core: "rod", To: 0.3, Hand: 0.3, Exact: 1e-12}, {Core: "none", To: 1, Hand: math.Inf(1)}} {
		e := r.Frequency(s, nil)
		hz, u, determined := r.Spread(s)
		if determined != e.Determined || e.Determined && (math.Abs(hz/e.Value-1) > 1e-12 || math.Abs(u/e.Uncertainty-1) > 1e-9) {
			t.Errorf("%+v: %v ± %v, %v; Frequency has %+v", s, hz, u, determined, e)
		}
	}
}
