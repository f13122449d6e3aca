package estimation

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// What a session hands on is each frequency as in its middle, where a drift is known, with the
// uncertainty that its scatter has made of the stated one; what the drift is known to is shared.
func TestCarriedAsInTheMiddle(t *testing.T) {
	truth := simulated.Lighthouse()
	truth.Drift = 2e-3
	log := truth.Session(rand.New(rand.NewPCG(2, 9)), 3e-4, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(4.7), simulated.Added(10), simulated.Added(), simulated.Added(4.7), simulated.Added())
	for i := range log.Readings {
		log.Readings[i].Uncertainty /= 10
	}
	const known = 2e-5
	r := must.Get(Fit(Session{Log: log, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.Drift}, Value: truth.Drift, Uncertainty: known}}})).In(t)
	s := r.Scatter.Scale
	if !(s > 2) {
		t.Fatalf("the readings scatter %v times", s)
	}
	e := r.Carry()[0]
	if nu := float64(r.Quality.DegreesOfFreedom); e.Squares != nu || e.Freedom != nu { // the ± it carries explain it
		t.Errorf("carried χ² %v of %v", e.Squares, e.Freedom)
	}
	if len(e.Known) != 0 { // it is in the frequencies
		t.Errorf("carried %v", e.Known)
	}
	if len(e.Shared) != 1 {
		t.Fatalf("%d shared", len(e.Shared))
	}
	for i, o := range log.Readings {
		moment := float64(i)/7 - 0.5
		if want := o.Frequency * math.Exp(-truth.Drift*moment); !(math.Abs(e.Hertz[i]/want-1) <= 1e-9) {
			t.Errorf("reading %d: carried %v, in the middle it is %v", i, e.Hertz[i], want)
		}
		if want := s * o.Uncertainty / o.Frequency; !(math.Abs(e.Relative[i]/want-1) <= 1e-9) {
			t.Errorf("reading %d: carried with %v, scatters by %v", i, e.Relative[i], want)
		}
		if want := known * moment; !(math.Abs(e.Shared[0][i]-want) <= 1e-9*known) {
			t.Errorf("reading %d: shares %v, want %v", i, e.Shared[0][i], want)
		}
	}
}

// A drift known per hour is, over a session of three and a half, three and a half times as much.
func TestDriftKnownPerHour(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(2, 10)), 3e-4, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added(10))
	log.Hours, log.Moments = true, []float64{9, 10, 12.5}
	p := must.Get(NewProblem(Session{Log: log, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.Drift}, Value: 1e-3, Uncertainty: 2e-4}}})).In(t)
	mean, u := p.expectedDrift()
	near.Times(t, "drift", mean, 3.5e-3, 1e-12)
	near.Times(t, "its uncertainty", u, 7e-4, 1e-12)
}

// A session hands on the parts that it read, each once, in whatever order the log lists them; the states go by theirs.
// What a third session gets of the first is what the second got.
func TestPartsCarriedByTheirStates(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(2, 11)), 3e-4, 0.01, simulated.Added(2.2), simulated.Added(4.7), simulated.Added(), simulated.Added(10), simulated.Added(10, 4.7), simulated.Added(4.7), simulated.Added())
	log.Readings = log.Readings[1:] // the first part is in none, and the others come last first
	log.Readings[0], log.Readings[3] = log.Readings[3], log.Readings[0]
	r := must.Get(Fit(Session{Log: log})).In(t)
	e := r.Carry()[0]
	if len(e.Parts) != 2 || e.Parts[0].Capacitance != 10e-12 || e.Parts[1].Capacitance != 4.7e-12 || len(e.States) != len(log.Readings) {
		t.Fatalf("carried %+v of %d states", e.Parts, len(e.States))
	}
	for i := range e.States {
		farad, want := 0.0, 0.0
		for _, p := range e.States[i].Parts {
			farad += e.Parts[p].Capacitance
		}
		for _, p := range log.Readings[i].Parts {
			want += log.Parts[p].Capacitance
		}
		near.To(t, "on the top", farad, want, 1e-18)
	}
	later := Session{Log: simulated.Lighthouse().Session(rand.New(rand.NewPCG(2, 13)), 3e-4, 0.01, simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added())}
	later.Follow(e)
	list := must.Get(Fit(later)).In(t).Carry() // handed on once more as it came
	if len(list) != 2 || !reflect.DeepEqual(list[0].States, e.States) || !reflect.DeepEqual(list[0].Parts, e.Parts) || len(list[1].Parts) != 2 {
		t.Errorf("handed on %+v", list)
	}
}

// What an earlier session names are the cores of its states, each once, and its parts.
func TestWhatEarlierNames(t *testing.T) {
	e := Earlier{States: []readings.State{{Core: "rod"}, {}, {Core: "bead"}, {Core: "rod"}, {Core: "yoke"}}, Parts: []readings.Part{{Name: "a"}, {Name: "b"}}}
	if got := e.named(); !slices.Equal(got, []string{"rod", "bead", "yoke", "a", "b"}) {
		t.Errorf("named %v", got)
	}
}

// Another fit of the log keeps the priors that gave way, of lead and drift each, wherever they stand in it.
func TestPriorsAdopted(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(2, 12)), 3e-4, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added().Rod(1), simulated.Added(10))
	problem := func(lumped bool) *Problem { return must.Get(NewProblem(Session{Log: log, Lumped: lumped})).In(t) }
	other := problem(true)
	other.BenchFixed = true
	for _, loose := range [][2]bool{{true, true}, {true, false}, {false, true}, {false, false}} {
		p := problem(false)
		var want []int
		other.Loose, p.Loose = nil, []int{p.Drift}
		if loose[0] {
			other.Loose, want = append(other.Loose, other.Lead), append(want, p.Lead)
		}
		if loose[1] {
			other.Loose, want = append(other.Loose, other.Drift), append(want, p.Drift)
		}
		if p.adoptPriors(other); !slices.Equal(p.Loose, want) || !p.BenchFixed || p.Lead == other.Lead {
			t.Errorf("%v: loose are %v, want %v", loose, p.Loose, want)
		}
	}
}
