package decisions

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/coupling"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// primed is the fit of a session with a primary shorted in air and with the core, and tuned in air:
// invented, of coupling 0.2.
func primed(t testing.TB, seed uint64) *estimation.Result {
	t.Helper()
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(seed, 5)), 2e-4, 0.02, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added().Rod(1), simulated.Added(10).Rod(1), simulated.Added())
	of := func(i int, kind readings.PrimaryKind, hz float64, upper bool) {
		o := log.Readings[i]
		o.Primary = readings.Primary{Kind: kind, Upper: upper}
		if kind == readings.PrimaryTuned {
			o.Primary.Capacitance = 4.7e-9
		}
		o.Frequency, o.Line = hz, len(log.Readings)+2
		log.Readings = append(log.Readings, o)
	}
	bare, rod := log.Readings[0].Frequency, log.Readings[3].Frequency
	of(0, readings.PrimaryShorted, bare/math.Sqrt(1-0.04), false)
	of(3, readings.PrimaryShorted, rod/math.Sqrt(1-0.04), false)
	lower, upper := coupling.Peaks(bare, 1.1*bare, 0.2)
	of(0, readings.PrimaryTuned, lower.Frequency, false)
	of(0, readings.PrimaryTuned, upper.Frequency, true)
	return must.Get(estimation.Fit(estimation.Session{Log: log})).In(t)
}

// What is read and measured for what: places of a core are eight at most and those of the core in
// question; a primary is shorted for its own coupling alone, and as it is asked for; capacitors are
// bought around the coil's own capacitance, and measured where a meter does better.
func TestCandidatesForWhatIsAsked(t *testing.T) {
	var places []simulated.Step
	for i := range 10 {
		places = append(places, simulated.Added().Rod(0.09*float64(i+1)))
	}
	r := tried(t, 61, places...)
	partly := func(want Measurand) (n int) {
		for _, c := range conditions(r, want) {
			if c.Core != "" && c.To-c.From < 1 {
				n++
			}
		}
		return n
	}
	for core, want := range map[string]int{"rod": 8, "yoke": 0} {
		if n := partly(Measurand{Key: quantities.Key{Name: quantities.CoreGain, Core: core}, State: readings.Bare()}); n != want {
			t.Errorf("for the gain of %s: %d places, want %d", core, n, want)
		}
		state := stateOf(func(s *readings.State) { s.Core, s.To = core, 1 })
		if n := partly(Measurand{Key: quantities.Key{Name: quantities.BareFrequency}, State: state}); n != want {
			t.Errorf("with %s: %d places, want %d", core, n, want)
		}
	}
	p := primed(t, 62)
	shorted := func(want Measurand) (list []string) {
		for _, c := range conditions(p, want) {
			if c.Primary.Kind == readings.PrimaryShorted {
				list = append(list, c.Core)
			}
		}
		return list
	}
	for core, want := range map[string][]string{"": {""}, "rod": {"rod"}} {
		if got := shorted(Measurand{Key: quantities.Key{Name: quantities.CouplingOfWindings, Core: core}, State: readings.Bare()}); !slices.Equal(got, want) {
			t.Errorf("for the coupling with %q: shorted with %q", core, got)
		}
	}
	asked := stateOf(func(s *readings.State) { s.Core, s.To, s.Primary.Kind = "rod", 0.4, readings.PrimaryShorted })
	list := conditions(p, Measurand{Key: quantities.Key{Name: "frequency"}, State: asked})
	if !slices.Contains(list, asked.Condition()) || len(shorted(Measurand{Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}})) != 0 {
		t.Errorf("conditions %+v", list)
	}
	// An empty clip in each condition, and a reading with nothing.
	want := Measurand{Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}, State: readings.Bare()}
	clips, empty := 0, 0
	for _, c := range Candidates(r, want, Bench{}) {
		if c.Kind == ReadState && len(c.State.Parts) == 0 {
			if empty++; c.State.Clip {
				clips++
			}
		}
	}
	if n := len(conditions(r, want)); clips != n || empty != 2*n {
		t.Errorf("%d clips, %d without parts in %d conditions", clips, empty, n)
	}
	// Hands: each distance read, and twice the largest.
	var hands []float64
	for _, c := range conditions(r, Measurand{Key: quantities.Key{Name: quantities.HandStrength}, State: readings.Bare()}) {
		if !math.IsInf(c.Hand, 1) {
			hands = append(hands, c.Hand)
		}
	}
	if !slices.Equal(hands, []float64{0.1, 0.2, 0.4}) {
		t.Errorf("hands at %v", hands)
	}
}

func TestWhatMayBeBoughtAndMeasured(t *testing.T) {
	open := must.Get(estimation.Fit(estimation.Session{Log: simulated.Lighthouse().Session(rand.New(rand.NewPCG(63, 5)), 2e-4, 0.02, simulated.Added(), simulated.Added().Rod(1))})).In(t)
	air := readings.Condition{Hand: math.Inf(1)}
	values := func(list []Candidate, relative float64) (farad []float64) {
		for _, c := range list {
			if c.Relative == relative {
				farad = append(farad, c.New[0])
			}
			if c.New[0] != c.New[1] || c.Kind != ReadNew {
				t.Errorf("%+v", c)
			}
		}
		return farad
	}
	// Of a coil of which nobody knows the capacitance: around what coils have.
	coil := estimation.AnchorMean
	list := bought(open, air, 0.05)
	if got := values(list, 0.05); open.SplitDetermined() || !slices.Equal(got, series6(math.Max(1e-12, coil/10), 10*coil)) {
		t.Errorf("bought %v", got)
	}
	for _, farad := range values(list, meterRelative) {
		if farad < 2e-12*(1-1e-9) { // 0.02 pF of it are 1 %
			t.Errorf("%v F measured to 1 %%", farad)
		}
	}
	if list = bought(open, air, 0.001); len(values(list, 0.001)) != len(list) {
		t.Errorf("bought better than a meter tells, and measured: %+v", list)
	}
	r := *tried(t, 64)
	known := Bench{Measured: []Measure{{Part: 1, Relative: 0.002}, {Part: 0, Relative: 0.004}}}
	told := map[int]float64{}
	winding := 0
	for _, c := range measurements(&r, known) {
		if c.Kind == MeasureWinding {
			winding++
		} else {
			told[c.Part] = c.Relative
		}
	}
	if told[0] != 0.004 || told[1] != 0.002 || told[2] != meter(r.Problem.Part(r.Solution.X, 2)) || winding != 1 {
		t.Errorf("measured to %v, windings %d", told, winding)
	}
	log := r.Session.Log // a part that no reading has
	log.Parts = append(slices.Clone(log.Parts), readings.Part{Name: "unread", Capacitance: 10e-12, Uncertainty: 1e-12, Known: true})
	for _, c := range measurements(must.Get(estimation.Fit(estimation.Session{Log: log})).In(t), Bench{}) {
		if c.Kind == MeasurePart && c.Part == len(log.Parts)-1 {
			t.Error("what no reading has is measured")
		}
	}
	r.Session.Drawn = &drawing.Drawn{}
	for _, c := range measurements(&r, known) {
		if c.Kind == MeasureWinding {
			t.Error("a drawn winding is measured again")
		}
	}
}

// Capacitors of one condition that do as well make one range; better known ones are told where they do
// better by a twentieth.
func TestRangesByHowWellTheyAreKnown(t *testing.T) {
	of := func(farad, relative, u float64, core string) Suggestion {
		s := readings.Bare()
		s.Core = core
		return Suggestion{Candidate: Candidate{Kind: ReadNew, State: s, New: [2]float64{farad, farad}, Relative: relative}, After: quantities.Estimate{Value: 1, Uncertainty: u, Determined: true}}
	}
	read := Suggestion{Candidate: Candidate{State: readings.Bare()}}
	for _, c := range []struct {
		better float64
		want   []float64 // relative, of those left
	}{{0.0100, []float64{0, 0.05}}, {0.0099, []float64{0, 0.05, 0.005}}} {
		list := ranges([]Suggestion{of(1, 0.005, c.better, ""), read, of(2, 0.05, 0.0105, ""), of(1, 0.05, 0.01, "")})
		var got []float64
		for _, s := range list {
			got = append(got, s.Relative)
		}
		if !slices.Equal(got, c.want) || list[1].New != [2]float64{1, 2} {
			t.Errorf("%v: %+v", c.better, list)
		}
	}
	if list := ranges([]Suggestion{of(1, 0.05, 0.01, ""), of(1, 0.05, 0.01, "rod")}); len(list) != 2 {
		t.Errorf("of two conditions: %+v", list)
	}
}
