package model

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// A known inductance splits what frequencies alone leave together: then
// C = 1/(ω²L), as uncertain as the inductance, and so is a characteristic
// impedance ω L.
func TestKnownInductanceSplits(t *testing.T) {
	c := simulated.Lighthouse()
	log := c.Session(rand.New(rand.NewPCG(54, 1)), 1e-6, 0, simulated.Added(), simulated.Added())
	const relative = 0.01
	r := mustFit(t, estimation.Session{Log: log, Lumped: true, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: c.L, Uncertainty: relative * c.L}}})
	omega := 2 * math.Pi * log.Readings[0].Frequency
	for _, k := range []struct {
		name string
		want float64
	}{{quantities.Inductance, c.L}, {quantities.TopCapacitance, 1 / (omega * omega * c.L)}, {quantities.Impedance, omega * c.L}} {
		e := r.Find(quantities.Key{Name: k.name})
		if !e.Determined || !(math.Abs(e.Value/k.want-1) <= 1e-5) || !(math.Abs(e.Uncertainty/e.Value/relative-1) <= 1e-3) || !(e.Budget.Known > 0.99) || !e.MostlyPrior() {
			t.Errorf("%s: %+v, want %v ± 1 %%", k.name, e, k.want)
		}
	}
}

// Known values that agree with the readings weigh as two measurements of one
// thing do: by the inverse squares of their uncertainties.
func TestKnownValueWeighsAsAMeasurement(t *testing.T) {
	pairs := [][2]float64{{2e6, 460e-12}, {4e6, 100e-12}}
	plain := mustFit(t, estimation.Session{Log: plainLog(pairs...), Lumped: true}).Find(quantities.Key{Name: quantities.Inductance})
	u := 2 * plain.Uncertainty
	known := quantities.Known{Key: quantities.Key{Name: quantities.Inductance}, Value: plain.Value + u, Uncertainty: u}
	e := mustFit(t, estimation.Session{Log: plainLog(pairs...), Lumped: true, Known: []quantities.Known{known}}).Find(quantities.Key{Name: quantities.Inductance})
	if want := plain.Value + u/5; !(math.Abs(e.Value-want) <= 1e-3*u) {
		t.Errorf("%v, weighted mean %v", e.Value, want)
	}
	if want := plain.Uncertainty * math.Sqrt(0.8); !(math.Abs(e.Stated/want-1) <= 1e-3) {
		t.Errorf("± %v, want %v", e.Stated, want)
	}
	if !(math.Abs(e.Budget.Known-0.2) <= 1e-3) {
		t.Errorf("%v of the variance from the known value, want 0.2", e.Budget.Known)
	}
}

// What no reading depends on can't be known for the fit; what could, is said.
func TestKnownValueOfNothingRead(t *testing.T) {
	c := simulated.Lighthouse()
	log := c.Session(rand.New(rand.NewPCG(54, 2)), 1e-4, 0, simulated.Added(), simulated.Added(10))
	_, err := Fit(estimation.Session{Log: log, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}, Value: 1.6, Uncertainty: 0.1}}})
	var unknown *quantities.UnknownQuantityError
	if !errors.As(err, &unknown) || unknown.Known.Core != "rod" || unknown.Error() == "" {
		t.Fatalf("a gain of a core never read: %v", err)
	}
	could := false
	for _, k := range unknown.Could {
		could = could || k.Name == quantities.Inductance
	}
	if !could {
		t.Errorf("what could be named: %+v", unknown.Could)
	}
}

func TestNothingToFit(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(54, 3)), 1e-4, 0, simulated.Added(), simulated.Added(10))
	for i := range log.Readings {
		log.Readings[i].Use = false
	}
	for _, log := range []readings.Log{{}, log} {
		if _, err := Fit(estimation.Session{Log: log}); !errors.Is(err, estimation.ErrNoReadings) {
			t.Errorf("%d readings, none used: %v", len(log.Readings), err)
		}
	}
}

// AICc counts the unknowns that the readings pay for, the sum of their leverages, also where
// an inductance is known.
func TestCriterionCountsLeverages(t *testing.T) {
	c := simulated.Lighthouse()
	log := c.Session(rand.New(rand.NewPCG(14, 25)), 1e-4, 0.01, simulated.Added(), simulated.Added(2.2), simulated.Added(10), simulated.Added(4.7), simulated.Added(22), simulated.Added(), simulated.Added(2.2), simulated.Added(10, 2.2), simulated.Added(22, 10), simulated.Added(), simulated.Added(4.7, 2.2), simulated.Added(1))
	r := must.Get(estimation.Fit(estimation.Session{Log: log, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.25e-3, Uncertainty: 0.02e-3}}})).In(t)
	k, n := 0.0, float64(len(r.Readings))
	for _, o := range r.Readings {
		k += o.Leverage
	}
	if r.Quality.Scale != 1 {
		t.Fatal("scaled")
	}
	if want := r.Quality.ChiSquare + 2*k + 2*k*(k+1)/(n-k-1); !(math.Abs(r.Quality.AICc-want) <= 1e-3) {
		t.Errorf("AICc = %v, by leverages %v", r.Quality.AICc, want)
	}
}
