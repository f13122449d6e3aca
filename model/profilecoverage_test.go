package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/resonator"
)

// drawn is a coil as the priors expect it.
func drawn(rng *rand.Rand) simulated.Truth {
	c := simulated.Lighthouse()
	share := -1.0
	for share < 0.01 || share > 0.95 {
		share = 0.3 + 0.3*rng.NormFloat64()
	}
	const whole = 6.8e-12
	c.Cw, c.Ct = (1-share)*whole, share*whole
	c.Core = c.Cw * math.Expm1(estimation.CoreSigma*rng.NormFloat64())
	c.Moved = resonator.MovedMean * math.Exp(resonator.MovedSigma*rng.NormFloat64())
	c.D0, c.P = 0.07*math.Exp(rng.NormFloat64()), 2.4+0.6*rng.NormFloat64()
	c.K = 5e-14 * math.Pow(0.1+c.D0, c.P)
	c.Off = map[float64]float64{}
	for _, d := range []float64{0.03, 0.06, 0.12, 0.25, 0.5} {
		c.Off[d] = forward.HandSpread * rng.NormFloat64()
	}
	c.Lead, c.Drift = 0.1e-12*rng.NormFloat64(), 5e-4*rng.NormFloat64()
	return c
}

// Where readings are few, a core adds next to no capacitance, or a hand's law is asked for, the
// law is far from straight. Intervals by profile likelihood cover there as they claim, where the
// linear ones may not: of coils as the priors expect them, with uncertainties that are as stated
// and taken so, without the doubt that makes all intervals longer where few readings check them.
func TestProfileCovers(t *testing.T) {
	bare, small, large := simulated.Added(), simulated.Added(4.7), simulated.Added(22)
	type target struct {
		key      quantities.Key
		positive bool
		truth    func(c simulated.Truth) float64
	}
	l := target{quantities.Key{Name: quantities.EffectiveInductance}, true, func(c simulated.Truth) float64 { l, _, _ := c.Bare(); return l }}
	capacitance := target{quantities.Key{Name: quantities.EffectiveCapacitance}, true, func(c simulated.Truth) float64 { _, v, _ := c.Bare(); return v }}
	gain := target{quantities.Key{Name: quantities.CoreGain, Core: "rod"}, true, func(c simulated.Truth) float64 { return c.Gain }}
	adds := target{quantities.Key{Name: quantities.CoreCapacitance, Core: "rod"}, false, func(c simulated.Truth) float64 { return c.Core }}
	exponent := target{quantities.Key{Name: quantities.HandExponent}, false, func(c simulated.Truth) float64 { return c.P }}
	strength := target{quantities.Key{Name: quantities.HandCapacitance, Hand: 0.12}, true, func(c simulated.Truth) float64 { return c.Hand(0.12) }}
	for _, c := range []struct {
		name      string
		noise     float64
		tolerance float64
		steps     []simulated.Step
		targets   []target
	}{
		{"few readings", 0.01, 0.05, []simulated.Step{bare, small, large}, []target{l, capacitance}},
		{"capacitance of a core near zero", 1e-4, 0.005, []simulated.Step{bare, small, large, bare.Rod(1), small.Rod(1), large.Rod(1), bare}, []target{adds, gain, l}},
		{"exponent of a hand", 3e-5, 0.005, []simulated.Step{bare, small, large, bare.Near(0.03), bare.Near(0.06), bare.Near(0.12), bare.Near(0.25), bare.Near(0.5), bare}, []target{exponent, strength}},
	} {
		var told, linear, profiled [4]int
		for seed := range uint64(40 * max(1, *seeds)) {
			rng := rand.New(rand.NewPCG(94, seed))
			coil := drawn(rng)
			s := estimation.Session{Log: coil.Session(rng, c.noise, c.tolerance, c.steps...)}
			u := 0.05 * coil.Cw // known beforehand, lest the prior on the share decide, which has a bound
			s.Known = []quantities.Known{{Key: quantities.Key{Name: quantities.WindingCapacitance}, Value: coil.Cw + u*rng.NormFloat64(), Uncertainty: u}}
			r, err := estimation.Fit(s)
			if err != nil || r.Scatter.Scale > 1 { // enlarged uncertainties cover more
				continue
			}
			r.Solution.ScaleDegrees = math.Inf(1)
			for i := range c.targets {
				e := r.Find(c.targets[i].key)
				if e == nil || !e.Determined || e.Bound != 0 {
					continue
				}
				e.Cover(math.Inf(1), c.targets[i].positive)
				truth := c.targets[i].truth(coil)
				told[i]++
				if truth >= e.Interval[0] && truth <= e.Interval[1] {
					linear[i]++
				}
				if p := r.ProfileOf(e); truth >= p.Profile[0] && truth <= p.Profile[1] {
					profiled[i]++
				}
			}
		}
		for i := range c.targets {
			n := float64(told[i])
			t.Logf("%s: %s of %d: linear %.1f %%, profile %.1f %%", c.name, c.targets[i].key.Name, told[i], 100*float64(linear[i])/n, 100*float64(profiled[i])/n)
			if off := math.Abs(float64(profiled[i]) - 0.95*n); off > 0.01*n+3*math.Sqrt(0.0475*n) || n < 20 {
				t.Errorf("%s: the profile of %s covers %d of %d", c.name, c.targets[i].key.Name, profiled[i], told[i])
			}
		}
	}
}
