package model

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// chained fits the later log with what the earlier one says.
func chained(t *testing.T, earlier, later readings.Log, known ...quantities.Known) (whole, last *estimation.Result) {
	t.Helper()
	first, err := estimation.Fit(estimation.Session{Log: earlier, Known: known})
	if err != nil {
		t.Fatal(err)
	}
	e := first.Carry()
	if e == nil {
		t.Fatal("nothing to carry")
	}
	s := estimation.Session{Log: later, Known: known}
	for _, e := range e {
		s.Follow(e)
	}
	if last, err = estimation.Fit(s); err != nil {
		t.Fatal(err)
	}
	return first, last
}

// cut returns the readings of log that want names, with the parts that stand in them.
func cut(log readings.Log, want func(i int) bool) (out readings.Log) {
	index := map[int]int{}
	for i, o := range log.Readings {
		if !want(i) {
			continue
		}
		o.Parts = slices.Clone(o.Parts)
		for k, p := range o.Parts {
			if _, ok := index[p]; !ok {
				index[p] = len(out.Parts)
				out.Parts = append(out.Parts, log.Parts[p])
			}
			o.Parts[k] = index[p]
		}
		out.Readings = append(out.Readings, o)
	}
	return out
}

// Two halves of one log, the second with what the first one says, come to the fit of all of it,
// whatever half has the capacitors, the core or the hand.
func TestHalvesChainedAreTheWhole(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(91, 1)), 5e-5, 0.01, simulated.FullSession()...)
	for i := range log.Parts {
		if p := &log.Parts[i]; p.Known {
			p.Lot, p.Common = "one per cent", 0.25
		}
	}
	drift := quantities.Known{Key: quantities.Key{Name: quantities.Drift}} // it belongs to a session
	whole := must.Get(estimation.Fit(estimation.Session{Log: log, Known: []quantities.Known{drift}})).In(t)
	n := len(log.Readings)
	for name, first := range map[string]func(i int) bool{
		"first half":         func(i int) bool { return i < n/2 },
		"every other":        func(i int) bool { return i%2 == 0 },
		"without core":       func(i int) bool { return log.Readings[i].Core == "" },
		"only bare and core": func(i int) bool { return len(log.Readings[i].Parts) == 0 },
	} {
		before, last := chained(t, cut(log, first), cut(log, func(i int) bool { return !first(i) }), drift)
		squares, freedom := 0.0, 0.0
		for i, e := range last.Carry() {
			if squares, freedom = squares+e.Squares, freedom+e.Freedom; i == 0 && (e.Squares != before.Quality.ChiSquare || e.Freedom != float64(before.Quality.DegreesOfFreedom)) {
				t.Errorf("%s: χ² %v of %v carried on, was %v of %v", name, e.Squares, e.Freedom, before.Quality.ChiSquare, before.Quality.DegreesOfFreedom)
			}
		}
		if !(math.Abs(squares-whole.Quality.ChiSquare) <= 1e-3*whole.Quality.ChiSquare) || freedom != float64(whole.Quality.DegreesOfFreedom) {
			t.Errorf("%s: both sessions have χ² %v of %v, the whole log %v of %v", name, squares, freedom, whole.Quality.ChiSquare, whole.Quality.DegreesOfFreedom)
		}
		compared := 0
		for want := range whole.All() {
			got := last.Find(want.Key)
			if got == nil {
				t.Errorf("%s: no %v", name, want.Key)
				continue
			}
			if !want.Determined || !got.Determined {
				if want.Determined != got.Determined {
					t.Errorf("%s: %v determined: %v, want %v", name, want.Key, got.Determined, want.Determined)
				}
				continue
			}
			compared++
			off, wide := (got.Value-want.Value)/want.Uncertainty, got.Uncertainty/want.Uncertainty
			if !(math.Abs(off) <= 0.01) || !(math.Abs(wide-1) <= 1e-3) {
				t.Errorf("%s: %v is %g ± %g, by the whole log %g ± %g", name, want.Key, got.Value, got.Uncertainty, want.Value, want.Uncertainty)
			}
		}
		if compared < 15 {
			t.Errorf("%s: only %d quantities", name, compared)
		}
	}
}

// What a session knows of its parts' tolerances, of priors and known values counts once, however
// often the same is stated: a log without a reading that says anything new changes nothing.
func TestChainCountsNothingTwice(t *testing.T) {
	c := simulated.Lighthouse()
	log := c.Session(rand.New(rand.NewPCG(91, 2)), 1e-4, 0.01, simulated.FullSession()...)
	known := []quantities.Known{{Key: quantities.Key{Name: quantities.LeadCapacitance}, Value: 0, Uncertainty: 2e-14},
		{Key: quantities.Key{Name: quantities.EffectiveInductance}, Value: 1.1e-3, Uncertainty: 1e-5}}
	vague := cut(log, func(i int) bool { return i < 5 })
	for i := range vague.Readings {
		vague.Readings[i].Uncertainty = vague.Readings[i].Frequency
	}
	first, last := chained(t, log, vague, known...)
	for want := range first.All() {
		got := last.Find(want.Key)
		if want.Name == quantities.Drift || !want.Determined {
			continue
		}
		if got == nil || !(math.Abs(got.Value-want.Value) <= 0.01*want.Uncertainty) || !(math.Abs(got.Uncertainty/want.Uncertainty-1) <= 2e-3) {
			t.Errorf("%v was %g ± %g, and then %+v", want.Key, want.Value, want.Uncertainty, got)
		}
	}
}

// Three evenings with one coil and one kit of parts, each with its own drift and readings, each
// following the one before: 95 % intervals of the last cover as they claim.
func TestChainedSessionsCover(t *testing.T) {
	c := simulated.Lighthouse()
	bare, small, large := simulated.Added(), simulated.Added(4.7), simulated.Added(22)
	evenings := [][]simulated.Step{
		{bare, small, bare, large, small, bare, large, small, bare},
		{bare, bare.Rod(1), small.Rod(1), bare, large.Rod(1), bare.Rod(1), small.Rod(1), large.Rod(1), bare},
		{bare, small, bare.Rod(1), simulated.Added(simulated.Spike), small, large, bare.Rod(1), simulated.Added(simulated.Spike), bare},
	}
	contradicted := 0
	covered, n, squares := map[string]int{}, map[string]int{}, map[string]float64{}
	for seed := range uint64(60 * max(1, *seeds)) {
		rng := rand.New(rand.NewPCG(92, seed))
		kit := map[float64]float64{4.7: 0.02 * rng.NormFloat64(), 22: 0.02 * rng.NormFloat64()}
		coil := c
		share := -1.0
		for share < 0.02 || share > 0.9 { // as the prior expects
			share = 0.3 + 0.3*rng.NormFloat64()
		}
		coil.Cw, coil.Ct = (1-share)*6.8e-12, share*6.8e-12
		l, capacitance, hz := coil.Bare()
		coil.Lead = 0.1e-12 * rng.NormFloat64()
		coil.Moved *= math.Exp(resonator.MovedSigma * rng.NormFloat64())
		var before []estimation.Earlier
		var r *estimation.Result
		for _, steps := range evenings {
			coil.Drift = 5e-4 * rng.NormFloat64()
			s := estimation.Session{Log: coil.With(kit).Session(rng, 2e-4, 0.02, steps...)}
			for _, e := range before {
				s.Follow(e)
			}
			var err error
			if r, err = estimation.Fit(s); err != nil {
				t.Fatal(err)
			}
			before = r.Carry()
			if _, found := findings.CheckEarlier(r); found {
				contradicted++
			}
		}
		for key, truth := range map[quantities.Key]float64{
			{Name: quantities.EffectiveInductance}: l, {Name: quantities.EffectiveCapacitance}: capacitance, {Name: quantities.BareFrequency}: hz,
			{Name: quantities.CoreGain, Core: "rod"}: c.Gain, {Name: quantities.PartCapacitance, Part: "spike"}: c.Spike,
		} {
			if e := r.Find(key); e != nil && e.Determined {
				n[key.Name]++
				squares[key.Name] += math.Pow((e.Value-truth)/e.Uncertainty, 2)
				if truth >= e.Interval[0] && truth <= e.Interval[1] {
					covered[key.Name]++
				}
			}
		}
	}
	for name, n := range n {
		if z := math.Sqrt(squares[name] / float64(n)); float64(covered[name]) < 0.95*float64(n)-3*math.Sqrt(0.0475*float64(n)) || z > 1+3/math.Sqrt(2*float64(n)) {
			t.Errorf("%s: %d of %d covered, z %.2f rms", name, covered[name], n, z)
		}
		t.Logf("%s: %d of %d, %.1f %%, z %.2f rms", name, covered[name], n, 100*float64(covered[name])/float64(n), math.Sqrt(squares[name]/float64(n)))
	}
	sessions := 60 * max(1, *seeds)
	t.Logf("%d of %d sessions that follow others are said to contradict them", contradicted, 2*sessions)
	if float64(contradicted) > 0.01*float64(2*sessions)+3*math.Sqrt(0.01*float64(2*sessions)) {
		t.Errorf("%d of %d sessions are said to contradict those before", contradicted, 2*sessions)
	}
}

// A coil that was rewound contradicts its earlier session, which is said. One that stands on
// another bench does too, unless that is said: then only its top's capacitance is found anew, and
// the core's gain, which this session didn't read, is what it was.
func TestChainOfAChangedCoil(t *testing.T) {
	c := simulated.Lighthouse()
	bare, small, large := simulated.Added(), simulated.Added(4.7), simulated.Added(22)
	kit := map[float64]float64{4.7: 0, 22: 0}
	before := c.With(kit).Session(rand.New(rand.NewPCG(93, 1)), 1e-4, 0.01, bare, small, large, bare.Rod(1), small.Rod(1), large.Rod(1), bare)
	later := []simulated.Step{bare, small, large, small, bare}
	said := func(newBench bool, coil simulated.Truth) (*estimation.Result, bool) {
		first := must.Get(estimation.Fit(estimation.Session{Log: before})).In(t)
		s := estimation.Session{Log: coil.With(kit).Session(rand.New(rand.NewPCG(93, 2)), 1e-4, 0.01, later...)}
		for _, e := range first.Carry() {
			if newBench {
				e.Bench = 1
			}
			s.Follow(e)
		}
		r := must.Get(estimation.Fit(s)).In(t)
		_, found := findings.CheckEarlier(r)
		return r, found
	}
	rewound, moved := c, c
	rewound.L *= 1.01
	moved.Ct += 0.4e-12
	if _, told := said(false, c); told {
		t.Error("the same coil is said to contradict itself")
	}
	if _, told := said(false, rewound); !told {
		t.Error("a coil with 1 % more inductance goes unnoticed")
	}
	if _, told := said(false, moved); !told {
		t.Error("another bench goes unnoticed")
	}
	r, told := said(true, moved)
	if told {
		t.Error("another bench is a contradiction though it was declared")
	}
	_, capacitance, hz := moved.Bare()
	for key, want := range map[quantities.Key]float64{{Name: quantities.EffectiveCapacitance}: capacitance, {Name: quantities.BareFrequency}: hz,
		{Name: quantities.CoreGain, Core: "rod"}: c.Gain, {Name: quantities.Inductance}: c.L} {
		if e := r.Find(key); !e.Determined || !(math.Abs(e.Value-want) <= 3*e.Uncertainty) || e.Uncertainty > 0.03*want {
			t.Errorf("%v is %g ± %g, truth %g", key, e.Value, e.Uncertainty, want)
		}
	}
}

// Two sessions on one bench, and a third one elsewhere: what the first two say together of the core
// holds, since their stray capacitance is the same one, whatever it is.
func TestChainOfOneBenchBefore(t *testing.T) {
	c := simulated.Lighthouse()
	bare, small, large := simulated.Added(), simulated.Added(4.7), simulated.Added(22)
	kit := map[float64]float64{4.7: 0, 22: 0}
	moved := c
	moved.Ct += 0.4e-12
	var e []estimation.Earlier
	for seed, steps := range [][]simulated.Step{{bare, small, large, bare}, {bare.Rod(1), small.Rod(1), large.Rod(1), bare.Rod(1)}} {
		log := moved.With(kit).Session(rand.New(rand.NewPCG(94, uint64(seed))), 1e-4, 0.01, steps...)
		e = append(e, must.Get(estimation.Fit(estimation.Session{Log: log})).In(t).Carry()...)
	}
	drop := func(benches ...int) *quantities.Estimate {
		s := estimation.Session{Log: c.With(kit).Session(rand.New(rand.NewPCG(94, 9)), 1e-4, 0.01, bare, small, bare)}
		for i := range e {
			e[i].Bench = benches[i]
			s.Follow(e[i])
		}
		r := must.Get(estimation.Fit(s)).In(t)
		if want := slices.Max(benches); len(r.Problem.Strays) != want {
			t.Errorf("benches %v: %d stray capacitances", benches, len(r.Problem.Strays))
		}
		if gain := r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"}); !(math.Abs(gain.Value-c.Gain) <= 3*gain.Uncertainty) {
			t.Errorf("benches %v: gain %g ± %g, truth %g", benches, gain.Value, gain.Uncertainty, c.Gain)
		}
		return r.Find(quantities.Key{Name: quantities.CoreFrequencyDrop, Core: "rod"})
	}
	one, two := drop(1, 1), drop(1, 2)
	t.Logf("drop ± %g with one bench before, ± %g with two", one.Uncertainty, two.Uncertainty)
	if !(one.Uncertainty < 0.3*two.Uncertainty) && two.Determined {
		t.Errorf("drop ± %g with one bench before, ± %g with two", one.Uncertainty, two.Uncertainty)
	}
}
