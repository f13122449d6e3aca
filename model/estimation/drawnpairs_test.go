package estimation

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/drawing"
	"fitcoil/model/field"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Beside the pair of all that is known stands that of the readings alone, as a fit without the drawing
// has it, and the drawing's own.
func TestPairsBesideEachOther(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(12, 21)), 2e-4, 0.05, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added())
	d := must.Get(drawing.Drawing{Coil: field.Coil{Turns: 470, Diameter: 0.03, Length: 0.2, Wire: 0.3e-3, Slices: 12}}.Predict()).In(t)
	s := Session{Log: log, Drawn: d}
	s.Known = append(s.Known, quantities.Known{Key: quantities.Key{Name: quantities.LeadCapacitance}})
	r := must.Get(Fit(s)).In(t)
	s.Drawn = nil
	alone := must.Get(Fit(s)).In(t).Widen()
	_, pairs := r.CompareWithDrawing()
	want, _ := alone.Pair()
	all, _ := r.Pair()
	if pairs.Readings == nil || pairs.All == nil || pairs.Readings.Inductance.Value != want.Inductance.Value || pairs.All.Inductance.Value != all.Inductance.Value || want.Inductance.Value == all.Inductance.Value {
		t.Errorf("%+v", pairs)
	}
}

// A new part's tolerance is enlarged as those read are, where parts contradict their own.
func TestNewPartOfContradictedTolerances(t *testing.T) {
	log := offTolerance()
	r := must.Get(Fit(Session{Log: log})).In(t).Widen()
	wide := r.Problem.Wide
	if !(wide > 1.5) {
		t.Fatalf("tolerances are enlarged %v times", wide)
	}
	state := readings.Bare()
	state.Parts = []int{len(log.Parts)}
	e, list := r.FrequencyBudget(state, []readings.Part{{Name: "new", Capacitance: 3.3e-12, Uncertainty: 0.05e-12, Known: true}})
	for _, in := range list {
		if c := in.Sensitivity * in.Uncertainty; !(math.Abs(c-in.Contribution) <= 1e-9*e.Uncertainty) {
			t.Errorf("%+v: %v by sensitivity", in, c)
		}
		if in.Part == "new" {
			near.Times(t, "u of the new part", in.Uncertainty, 0.05e-12*wide, 1e-12)
		}
	}
}

// A state's spread is the uncertainty of its frequency, where a core is partly in and a hand stands
// where none was read, too.
func TestSpreadIsTheUncertainty(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(3, 23)), 1e-4, 0.02, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added().Rod(1), simulated.Added(4.7).Rod(1),
		simulated.Added().Near(0.05), simulated.Added().Near(0.1), simulated.Added().Near(0.2), simulated.Added())
	r := must.Get(Fit(Session{Log: log})).In(t)
	state := readings.Bare()
	state.Core, state.To, state.Hand = "rod", 0.5, 0.4
	e := r.Frequency(state, nil)
	hz, u, ok := r.Spread(state)
	f, x := r.With(nil)
	law, model := f.LawUncertainty(x, &state), f.ModelUncertainty(x, &state)
	if !ok || !(law*model > 1e-4*u*u/hz/hz) {
		t.Fatalf("%v of the law, %v of the model in %v", law, model, u/hz)
	}
	near.Times(t, "f", hz, e.Value, 1e-12)
	near.Times(t, "u", u, e.Uncertainty, 1e-9)
}

// Of readings that scatter, the correlation of a pair is that by which the uncertainty of the product comes about; priors
// are listed by kind; a value known in both sessions counts once.
func TestPairsPriorsAndKnownValuesOfScatteredReadings(t *testing.T) {
	s := everything(t)
	r := must.Get(Fit(s)).In(t)
	l, c := r.Find(quantities.Key{Name: quantities.EffectiveInductance}), r.Find(quantities.Key{Name: quantities.EffectiveCapacitance})
	pair, ok := r.Pair()
	if got := r.Correlations([]*quantities.Estimate{l, c}); !ok || l.Uncertainty == l.Stated || got[0] != 1 || got[3] != 1 || got[1] != got[2] {
		t.Errorf("correlations %v", got)
	} else {
		near.To(t, "correlation", got[1], pair.Correlation, 1e-6)
	}
	kinds := map[SourceKind]int{}
	last := PartSource
	for _, b := range r.MovedPriors() {
		if kinds[b.Kind]++; b.Kind < last {
			t.Errorf("%v behind %v", b.Kind, last)
		}
		last = b.Kind
	}
	if len(kinds) != 4 {
		t.Errorf("priors %v", kinds)
	}
	other := quantities.Known{Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}, Value: 1.6, Uncertainty: 0.1}
	n := len(s.Known)
	s.Follow(Earlier{Log: "three", Known: []quantities.Known{s.Known[0], other}})
	if len(s.Known) != n+1 || s.Known[n] != other {
		t.Errorf("known are %+v", s.Known)
	}
}
