package decisions

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// A meter's knowledge of a part, with what its lot has in it, takes the place of the tolerance: what
// both know of the part's own error together is what the meter knows, however wide the tolerance is
// taken. A capacitor from a range counts as the middle one, what is bought with what it is off by.
func TestWhatACandidateAdds(t *testing.T) {
	for _, wide := range []float64{1, 1.6} {
		r := widened(kitted(t, 81, func(s *estimation.Session) {
			for i := range s.Log.Parts {
				s.Log.Parts[i].Lot = ""
			}
		}, 4.7, 10, 22), wide)
		k := r.Problem.PartAt[1]
		row := newEvidence(r, &Candidate{Kind: MeasurePart, Part: 1, Relative: 0.003}).now
		near.Times(t, "meter and tolerance", row[k]*row[k]+1/wide/wide, math.Pow(0.02/0.003, 2), 1e-9)
	}
	r := kitted(t, 82, func(s *estimation.Session) {
		for i := range s.Log.Parts {
			s.Log.Parts[i].Common = 0.36
		}
	}, 4.7, 10, 22)
	row := newEvidence(r, &Candidate{Kind: MeasurePart, Part: 1, Relative: 0.003}).now
	near.Times(t, "own", row[r.Problem.PartAt[1]], 0.8*0.02/0.003, 1e-9)
	near.Times(t, "the lot's", row[r.Problem.LotAt[1]], 0.6*0.02/0.003, 1e-9)
	of := func(from, to float64) []float64 {
		return newEvidence(r, &Candidate{Kind: ReadNew, State: readings.Bare(), New: [2]float64{from, to}, Relative: 0.05}).now
	}
	for i, v := range of(6e-12, 6e-12) {
		near.To(t, "middle of a range", of(3e-12, 12e-12)[i], v, 1e-9*math.Abs(v))
	}
	s := stateOf(func(s *readings.State) { s.Exact, s.Clip = 6e-12, true })
	r.Problem.Frequency(r.Solution.X, &s, make([]float64, r.Problem.N))
	r.Problem.At(r.Solution.X, &s)
	u := math.Hypot(r.TypicalUncertainty(), r.Problem.Resonance.PerTop*6e-12*0.05)
	near.Times(t, "∂ln f/∂ln L", of(6e-12, 6e-12)[forward.AtL], 0.5/u, 1e-9)
	hand := stateOf(func(s *readings.State) { s.Hand = 0.15 })
	for i, c := range []Candidate{{Kind: MeasurePart, Part: 1, Relative: 0.01}, {Kind: MeasureWinding, Relative: 0.01}, {State: readings.Bare()}, {State: hand}} {
		e := newEvidence(r, &c)
		if c.Kind == MeasureWinding {
			for k, v := range e.now {
				near.To(t, "winding", v, map[int]float64{forward.AtL: 100}[k], 1e-9)
			}
		}
		if e.known != (i < 2) || e.hand != map[int]float64{3: 0.15}[i] || e.known && !slices.Equal(e.now, e.stated) {
			t.Errorf("%d: %+v", i, e)
		}
	}
}

// Another reading in digits of a state that was read so has the same rounding error, where readings
// scatter no more than stated and none is a mean: it tells of the drift alone, as the difference of two.
func TestReadInDigits(t *testing.T) {
	fitted := func(change func(o *readings.Reading)) *estimation.Result {
		log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(83, 5)), 2e-4, 0.02, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added())
		for i := range log.Readings {
			log.Readings[i].FromDigits = true
		}
		change(&log.Readings[4])
		r := must.Get(estimation.Fit(estimation.Session{Log: log})).In(t)
		r.Scatter.Scale = 1
		return r
	}
	bare := Candidate{Kind: ReadState, State: readings.Bare()}
	r := fitted(func(*readings.Reading) {})
	_, slope := r.Problem.Drifted(r.Solution.X, r.Problem.Afterwards())
	for k, v := range newEvidence(r, &bare).now {
		want := 0.0
		if k == r.Problem.Drift {
			want = -slope / math.Sqrt2 / r.TypicalUncertainty()
		}
		near.To(t, "row", v, want, 1e-9*math.Abs(want))
	}
	whole := func(what string, r *estimation.Result) {
		t.Helper()
		if row := newEvidence(r, &bare).now; row[forward.AtL] == 0 {
			t.Errorf("%s tells nothing", what)
		}
	}
	whole("beside one with a ±", fitted(func(o *readings.Reading) { o.FromDigits = false }))
	whole("beside a mean", fitted(func(o *readings.Reading) { o.Repeats = &readings.Repeats{Count: 9} }))
	r.Scatter.Scale = 1.5
	whole("among readings that scatter", r)
	if row := newEvidence(r, &Candidate{State: stateOf(func(s *readings.State) { s.Core, s.To = "yoke", 1 })}).now; slices.ContainsFunc(row, func(v float64) bool { return v != 0 }) {
		t.Errorf("a core that has no unknown tells %v", row)
	}
}

// A plan starts from what the fit reports, and carries that on: its value, and its uncertainties as
// they are to those worked out in the same way; intervals are those of the quantity.
func TestPlanCarriesOnWhatIsReported(t *testing.T) {
	r := tried(t, 84)
	f := Measurand{Key: quantities.Key{Name: "frequency"}, State: stateOf(func(s *readings.State) { s.Parts = []int{2} })}
	c := []Candidate{{State: f.State}}
	for _, want := range []Measurand{f, {Key: quantities.Key{Name: quantities.EffectiveInductance}}, {Key: quantities.Key{Name: quantities.CoreCapacitance, Core: "rod"}}} {
		p := must.Get(newPlan(r, want, c, nil)).In(t)
		if now := Predict(r, f.State, nil).Frequency; want.Name == f.Name && p.now != now {
			t.Errorf("now %+v, predicted %+v", p.now, now)
		}
		was := p.expect(p.rows[0])
		p.now.Value, p.now.Uncertainty, p.now.Stated = 1.5*p.now.Value, 2*p.now.Uncertainty, 3*p.now.Stated
		is := p.expect(p.rows[0])
		near.Times(t, "value", is.Value, 1.5*was.Value, 1e-9)
		near.Times(t, "uncertainty", is.Uncertainty, 2*was.Uncertainty, 1e-9)
		near.Times(t, "stated", is.Stated, 3*was.Stated, 1e-9)
		k := is.Coverage * is.Uncertainty
		if want.Name == quantities.CoreCapacitance {
			near.Times(t, "upper limit", is.Interval[1], is.Value+k, 1e-9)
		} else {
			near.Times(t, "upper limit", is.Interval[1], is.Value*math.Exp(k/is.Value), 1e-12)
		}
	}
	k := quantities.Key{Name: quantities.EffectiveInductance}
	e := r.Find(k)
	e.Uncertainty = 7 * e.Uncertainty // whatever it is
	if p := must.Get(newPlan(r, Measurand{Key: k}, c, nil)).In(t); p.now != *e {
		t.Errorf("now %+v, reported %+v", p.now, e)
	}
	e.Bound = fit.AtLower
	if p := must.Get(newPlan(r, Measurand{Key: k}, c, nil)).In(t); p.now != p.same || p.now.Uncertainty == e.Uncertainty {
		t.Errorf("at a bound: now %+v", p.now)
	}
	for fixed, want := range map[bool]float64{true: 1e-3 * forward.LeadSigma, false: 40 * forward.LeadSigma} {
		r.Problem.Loose, r.Problem.BenchFixed = []int{r.Problem.Lead}, fixed
		assumed := must.Get(Extend(r, nil, nil)).In(t).Problem.Assumed
		if i := slices.IndexFunc(assumed, func(a estimation.Assumption) bool { return a.Kind == estimation.AssumedLead }); i < 0 {
			t.Errorf("bench fixed %v: %+v", fixed, assumed)
		} else {
			near.Times(t, "lead", assumed[i].Spread, want, 1e-12)
		}
	}
	r.Problem.BenchFixed = true
	x := must.Get(Extend(r, []readings.Part{{Name: "new", Capacitance: 1e-12, Uncertainty: 1e-14, Known: true}}, []readings.State{stateOf(func(s *readings.State) { s.Parts = []int{len(r.Parts())} })})).In(t)
	if !slices.Equal(x.Problem.Loose, r.Problem.Loose) || !x.Problem.BenchFixed || x.Problem.PartAt[len(r.Parts())] < 0 || x.Problem.Anchors != r.Problem.Anchors {
		t.Errorf("%+v", x.Problem.Loose)
	}
}

// Of a coil known by its frequency alone, another reading of it leaves the inductance open, and one with
// a known capacitor determines it: at a capacitance as coils have.
func TestWhatDeterminesAtAll(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(85, 5)), 2e-4, 0.02, simulated.Added(), simulated.Added())
	r := must.Get(estimation.Fit(estimation.Session{Log: log})).In(t)
	extra := []readings.Part{{Name: "10 pF", Capacitance: 10e-12, Uncertainty: 0.1e-12, Known: true}}
	l := Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}, State: readings.Bare()}
	bare, with := Candidate{State: readings.Bare()}, Candidate{State: stateOf(func(s *readings.State) { s.Parts = []int{0} })}
	if out := Next(r, l, []Candidate{bare}, extra, 1); !out.Unmet || out.Now.Determined || len(out.Ranked) != 1 || out.Ranked[0].Reason != ReasonNothing {
		t.Errorf("bare: %+v", out)
	}
	out := Next(r, l, []Candidate{bare, with}, extra, 1)
	if best := &out.Ranked[0]; out.Unmet || !best.After.Determined || best.Reason != ReasonSplits || best.Worth() > 0.1 || !readings.Same(&best.State, &with.State) {
		t.Errorf("with 10 pF: %+v", out.Ranked)
	}
	if out := Next(r, l, nil, nil, 1); !out.Unmet {
		t.Errorf("with nothing: %+v", out)
	}
	if e := must.Get(Extend(r, nil, nil)).In(t); e.Problem.Anchors < 1 || !(math.Abs(e.Solution.X[forward.AtC]-math.Log(estimation.AnchorMean)) <= 0.1) {
		t.Errorf("stands at %v F with %d anchors", math.Exp(e.Solution.X[forward.AtC]), e.Problem.Anchors)
	}
}

// Why, where the measurand is determined for the first time: a core, or a primary, brings in what is
// missing, whatever is on the top; more on the top than read is more than in any reading.
func TestReasonsOfTheFirst(t *testing.T) {
	r := tried(t, 86)
	p := must.Get(newPlan(r, Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}}, nil, nil)).In(t)
	open, done := quantities.Estimate{}, quantities.Estimate{Value: 1e-3, Uncertainty: 1e-5, Determined: true}
	for what, s := range map[string]readings.State{
		"core": stateOf(func(s *readings.State) { s.Core, s.Parts = "rod", []int{1} }), "primary": stateOf(func(s *readings.State) { s.Primary.Kind, s.Parts = readings.PrimaryShorted, []int{1} }),
	} {
		if got := p.reason(&Candidate{State: s}, open, done); got != ReasonMissing {
			t.Errorf("%s: %v", what, got)
		}
	}
	better := done
	better.Uncertainty = 0.949e-5
	if got := p.reason(&Candidate{State: readings.Bare()}, done, better); got != ReasonRepeat {
		t.Errorf("better by a twentieth: %v", got)
	}
	both := stateOf(func(s *readings.State) { s.Parts = []int{1, 2} })
	near.Times(t, "most read", p.seen.most, r.Problem.Added(r.Solution.X, &both), 1e-12)
}

// How far a frequency is lowered by a hand: symmetrically about it, and never below nothing.
func TestHandDropEndsAtNothing(t *testing.T) {
	r := tried(t, 87)
	e := HandDrop(r, stateOf(func(s *readings.State) { s.Hand = 0.14 }))
	near.Times(t, "lower limit", e.Interval[0], e.Value-e.Coverage*e.Uncertainty, 1e-9)
	near.Times(t, "upper limit", e.Interval[1], e.Value+e.Coverage*e.Uncertainty, 1e-9)
	met := 0
	log := r.Session.Log
	log.Readings = slices.Clone(log.Readings)
	for i := range log.Readings {
		if !math.IsInf(log.Readings[i].Hand, 1) { // read so coarsely that the drop is known by half
			log.Readings[i].Uncertainty = 4e-3 * log.Readings[i].Frequency
		}
	}
	r = must.Get(estimation.Fit(estimation.Session{Log: log})).In(t)
	for d := 0.05; d < 1; d += 0.01 {
		far := HandDrop(r, stateOf(func(s *readings.State) { s.Hand = d }))
		if k := far.Coverage * far.Uncertainty; k > far.Value {
			met++
			near.To(t, "lower limit", far.Interval[0], 0, 0)
			near.Times(t, "upper limit", far.Interval[1], far.Value+k, 1e-9)
		}
	}
	if met == 0 {
		t.Error("each is known to be above nothing")
	}
}

// One more distance of a hand is one that the law then goes by, in its place; one that was read is none more.
func TestHandReadAtOneMoreDistance(t *testing.T) {
	r := tried(t, 88)
	for d, want := range map[float64][]float64{0.05: {0.05, 0.1, 0.2}, 0.1: {0.1, 0.2}, 0.15: {0.1, 0.15, 0.2}, 0.2: {0.1, 0.2}, 0.4: {0.1, 0.2, 0.4}} {
		if got := readAt(r.Problem, d).Distances; !slices.Equal(got, want) || !slices.Equal(r.Problem.Distances, []float64{0.1, 0.2}) {
			t.Errorf("%v m more: %v, want %v; before %v", d, got, want, r.Problem.Distances)
		}
	}
}
