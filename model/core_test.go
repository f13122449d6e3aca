package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

func near(t *testing.T, e *quantities.Estimate, want, sigmas float64) {
	t.Helper()
	if e == nil || !e.Determined {
		t.Fatalf("undetermined, want %v: %+v", want, e)
	}
	if !(math.Abs(e.Value-want) <= sigmas*e.Uncertainty) {
		t.Errorf("%s %s: %v ± %v, want %v", e.Name, e.Core, e.Value, e.Uncertainty, want)
	}
}

// A drop to 0.71 of the frequency with nothing else changed means roughly twice
// the inductance (common practice, no source). The rule holds where the core
// adds no capacitance, here known not to.
func TestRuleOfThumbTwiceTheInductance(t *testing.T) {
	log := plainLog([2]float64{2e6, 0}, [2]float64{1.6e6, 3e-12}, [2]float64{0.71 * 2e6, 0})
	log.Readings[2].Core, log.Readings[2].To = "rod", 1
	r := mustFit(t, estimation.Session{Log: log, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.CoreCapacitance, Core: "rod"}, Value: 0, Uncertainty: 1e-18}}})
	gain := r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"})
	if want := 1 / (0.71 * 0.71); !(math.Abs(gain.Value-want) <= 2*gain.Uncertainty) || !(math.Abs(gain.Value-2) <= 0.03) {
		t.Errorf("gain %v ± %v, want about two", gain.Value, gain.Uncertainty)
	}
}

// With two added capacitors, core in and out, the gain of inductance and the
// core's capacitance come out apart; the frequency ratio alone is biased. Without what a core
// moves to the top, which these readings must determine as well, 0.001 would do for 0.0014.
func TestCoreGainAndCapacitanceApart(t *testing.T) {
	c := simulated.Lighthouse()
	c.Gain, c.Core = 1.6, 0.3e-12
	rng := rand.New(rand.NewPCG(8, 1))
	r := mustFit(t, estimation.Session{Log: c.Session(rng, 1e-4, 0.01,
		simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added().Rod(1), simulated.Added(4.7).Rod(1), simulated.Added(10).Rod(1))})
	gain := r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"})
	near(t, gain, 1.6, 3)
	near(t, r.Find(quantities.Key{Name: quantities.CoreCapacitance, Core: "rod"}), 0.3e-12, 3)
	if rest := gain.Uncertainty * math.Sqrt(1-gain.Budget.Assumed); rest > 0.00145 || gain.Uncertainty > 0.0019 {
		t.Errorf("gain ± %v, %+v", gain.Uncertainty, gain.Budget)
	}
	claimed := r.Find(quantities.Key{Name: quantities.RatioGain, Core: "rod"})
	if claimed.Value-1.6 < 5*claimed.Uncertainty {
		t.Errorf("the ratio claims %v ± %v: no bias to show", claimed.Value, claimed.Uncertainty)
	}
}

// Several insertions of one core share its gain: with a partial insertion left
// out or in, the gain is the same within uncertainty.
func TestInsertionsShareOneGain(t *testing.T) {
	c := simulated.Lighthouse()
	rng := rand.New(rand.NewPCG(8, 2))
	steps := []simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added().Rod(1), simulated.Added(10).Rod(1)}
	for _, covered := range []float64{0.2, 0.4, 0.6, 0.8} {
		steps = append(steps, simulated.Added().Rod(covered))
	}
	r := mustFit(t, estimation.Session{Log: c.Session(rng, 1e-4, 0, steps...)})
	if len(r.Problem.Cores) != 1 {
		t.Fatalf("cores %+v", r.Problem.Cores)
	}
	near(t, r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"}), c.Gain, 3)
	for _, o := range r.Readings {
		if !(math.Abs(o.Standardised) <= 3.5) {
			t.Errorf("line %d: standardised residual %v", o.Line, o.Standardised)
		}
	}
}

// From readings with the core all along in every row, the inductance with the
// core is known and that in air is not.
func TestCoreInEveryReading(t *testing.T) {
	c := simulated.Lighthouse()
	c.Core = 0
	rng := rand.New(rand.NewPCG(8, 3))
	r := mustFit(t, estimation.Session{Log: c.Session(rng, 1e-4, 0, simulated.Added().Rod(1), simulated.Added(4.7).Rod(1), simulated.Added(10).Rod(1), simulated.Added(22).Rod(1))})
	near(t, r.Find(quantities.Key{Name: quantities.InductanceWithCore, Core: "rod"}), c.L*c.Gain, 3)
	for _, e := range []*quantities.Estimate{r.Find(quantities.Key{Name: quantities.Inductance}), r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"}), r.Find(quantities.Key{Name: quantities.BareFrequency})} {
		if e.Determined {
			t.Errorf("%s = %v ± %v without a reading in air", e.Name, e.Value, e.Uncertainty)
		}
	}
	kinds := map[findings.Gap]findings.Advice{}
	for _, g := range r.Undetermined {
		kinds[g.What] = g.Advice
	}
	if a, ok := kinds[findings.GapCoreAlways]; !ok || a != findings.ReadWithoutCore {
		t.Errorf("gaps %+v", r.Undetermined)
	}
}

// Only cores and no capacitor: the ratio is known, and with it the apparent gain. The gain
// itself hangs on what the prior says of a core's capacitance, and has no number.
func TestOnlyCores(t *testing.T) {
	c := simulated.Lighthouse()
	rng := rand.New(rand.NewPCG(8, 4))
	r := mustFit(t, estimation.Session{Log: c.Session(rng, 1e-4, 0, simulated.Added(), simulated.Added().Rod(1), simulated.Added().Rod(1), simulated.Added())})
	near(t, r.Find(quantities.Key{Name: quantities.FrequencyRatio, Core: "rod"}), c.Frequency(readings.State{Core: "rod", To: 1, Hand: math.Inf(1)}, nil)/c.Frequency(readings.Bare(), nil), 3)
	if e := r.Find(quantities.Key{Name: quantities.RatioGain, Core: "rod"}); !e.Determined {
		t.Error("no apparent gain")
	}
	if e := r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"}); e.Determined {
		t.Errorf("gain %v ± %v from %+v", e.Value, e.Uncertainty, e.Budget)
	}
	if e := r.Find(quantities.Key{Name: quantities.Inductance}); e.Determined {
		t.Errorf("inductance %v ± %v from no capacitor", e.Value, e.Uncertainty)
	}
}

// Amplitudes and quality factors with the core in and out, from pairs alike in
// all else (invented figures).
func TestContrasts(t *testing.T) {
	c := simulated.Lighthouse()
	rng := rand.New(rand.NewPCG(8, 5))
	log := c.Session(rng, 1e-4, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added(), simulated.Added().Rod(1), simulated.Added(4.7).Rod(1), simulated.Added(10).Rod(1), simulated.Added().Rod(0.5))
	for i, amplitude := range []float64{2.0, 1.0, 2.2, 1.05, 0.6, 0.4, 1.9} {
		log.Readings[i].Amplitude = amplitude
	}
	log.Readings[0].Quality, log.Readings[3].Quality = 80, 60
	got := mustFit(t, estimation.Session{Log: log}).Contrasts
	if len(got) != 2 {
		t.Fatalf("%+v", got)
	}
	// Pairs: 1.05 to the mean of 2.0 and 2.2, and 0.6 to 1.0.
	a, b := math.Log(1.05/2.1), math.Log(0.6/1.0)
	if want := math.Exp((a + b) / 2); got[0].Quality || got[0].Pairs != 2 || !(math.Abs(got[0].Ratio/want-1) <= 1e-12) ||
		!(math.Abs(got[0].Uncertainty/(want*math.Abs(a-b)/2)-1) <= 1e-9) {
		t.Errorf("amplitude: %+v, want ratio %v", got[0], want)
	}
	if q := got[1]; !q.Quality || q.Pairs != 1 || !(math.Abs(q.Ratio-0.75) <= 1e-12) || !math.IsNaN(q.Uncertainty) {
		t.Errorf("quality factor: %+v, want 0.75 from one pair", q)
	}
}
