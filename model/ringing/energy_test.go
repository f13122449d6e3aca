package ringing

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Of several tones, the ring is the one that decays with the most energy, v²/α, neither the loudest, that which dies soonest
// or latest, nor the first or last that is tried; a steady tone gives way to any.
func TestRingOfMostEnergyAmongSeveral(t *testing.T) {
	const n, fast, mid, slow, drive = 3000, 0.9, 0.5, 0.3, 0.2
	type part struct{ omega, amplitude, alpha float64 }
	for what, c := range map[string]struct {
		parts     []part
		want      float64
		intervals []float64
	}{
		"energies 1.6, 45 and 11": {[]part{{fast, 0.4, 0.1 / 3}, {mid, 0.3, 2e-3}, {slow, 0.15, 1e-3}}, mid, []float64{1, 1e-8}},
		"energies 32 and 20":      {[]part{{fast, 0.8, 2e-2}, {slow, 0.2, 2e-3}}, fast, []float64{1e-8}},
		"energies 40 and 60":      {[]part{{fast, 0.2, 1e-3}, {slow, 0.3, 1.5e-3}}, slow, []float64{1}},
		"energies 8 and 90":       {[]part{{fast, 0.4, 2e-2}, {slow, 0.3, 1e-3}}, slow, []float64{1}},
		"beside a steady tone":    {[]part{{drive, 0.3, 0}, {fast, 0.3, 5e-3}}, fast, []float64{1e-8}},
	} {
		y := noise(rand.New(rand.NewPCG(8, 1)), n, 1e-3)
		for _, p := range c.parts {
			decaying(y, 0, p.amplitude, p.omega, p.alpha)
		}
		for _, interval := range c.intervals {
			a := &analysis{signal: Signal{Interval: interval, Samples: y}}
			list, _ := find(y, a.need())
			f, err := a.choose(list)
			if err != nil {
				t.Errorf("%s: %v", what, err)
				continue
			}
			if got := f.loudest().fit.tones[0].omega * interval; !(math.Abs(got/c.want-1) <= 1e-2) {
				t.Errorf("%s: ring at %v, want %v", what, got, c.want)
			}
		}
	}
}
