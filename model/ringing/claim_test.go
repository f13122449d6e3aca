package ringing

import (
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/quantities"
)

// Crosstalk that dies with the ring leaves far more than noise: no ± is claimed
// then, of nothing. A clean ring claims one.
func TestNoUncertaintyIsClaimed(t *testing.T) {
	c := invented{n: 6000, interval: coilInterval, sigma: 0.002, step: 0.004, pretrig: 1000, tones: []sine{natural(1, 1.5e6, 60, 0.3)}}
	clean := c.signal(rand.New(rand.NewPCG(1, 1)))
	r, err := Analyse(clean, Settings{})
	if err != nil || r.Unclaimed || r.Resonance.Unclaimed || r.Covariance == nil {
		t.Fatal(err, r)
	}
	crossed := c.signal(rand.New(rand.NewPCG(1, 1)))
	rng := rand.New(rand.NewPCG(2, 2))
	for range 40 { // spikes, as of a switch
		crossed.Samples[1100+rng.IntN(1800)] += 0.4 * rng.NormFloat64()
	}
	r = must.Get(Analyse(crossed, Settings{})).In(t)
	if !r.Unclaimed || !hasNote(r, NotOneSine) || r.Covariance != nil || r.QualityAtLeast != 0 {
		t.Errorf("claimed: %v, notes %v", !r.Unclaimed, r.Notes)
	}
	for _, e := range []quantities.Estimate{r.Resonance, r.Quality, r.Tones[0].Frequency, r.Modes[0].Natural, r.Bursts[0].Tone.Quality} {
		if !e.Unclaimed {
			t.Errorf("%+v is claimed", e)
		}
	}
}
