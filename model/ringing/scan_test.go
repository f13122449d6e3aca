package ringing

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/near"
)

func TestQuantum(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for _, c := range []struct {
		step, digits, want float64
	}{
		{0.01, 0, 0.01},
		{0.00784, 0.001, 0.00784}, // an 8-bit code, written with three decimals
		{0, 0, 0},                 // noise without steps
	} {
		y := invented{n: 5000, interval: 4e-9, sigma: 0.01, step: c.step, tones: []sine{{0.8, 1.5e6, 0, 0}}}.signal(rng).Samples
		for i := range y {
			if c.digits > 0 {
				y[i] = c.digits * math.Round(y[i]/c.digits)
			}
		}
		s := scanSamples(y)
		near.To(t, "step", s.step, c.want, 0.01*c.want)
	}
}

// Crests of a sine are not flat tops, whatever the converter makes of them.
func TestCrestsAreNotClipped(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for _, perCycle := range []float64{4, 10, 20, 80, 100, 166.7, 1000} {
		for _, sigma := range []float64{0, 0.002, 0.02} {
			for _, step := range []float64{0, 0.01, 0.05} {
				for _, q := range []float64{0, 20} {
					s := sine{1, 1, 0, 0.4 * rng.Float64()}
					if q > 0 {
						s = natural(1, 1, q, 0)
					}
					y := invented{n: 20000, interval: 1 / perCycle, sigma: sigma, step: step, tones: []sine{s}}.signal(rng).Samples
					if c := scanSamples(y).clip; c.any() {
						t.Errorf("%g samples a cycle, noise %g, step %g, Q %g: %+v", perCycle, sigma, step, q, c)
					}
				}
			}
		}
	}
}

func TestClippingIsSeen(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for _, rail := range []float64{0.5, 0.8, 0.93} {
		for _, sigma := range []float64{0, 0.02} {
			for _, step := range []float64{0, 0.01} {
				y := invented{n: 4000, interval: 1 / 130.7, sigma: sigma, step: step, rail: rail, tones: []sine{{1, 1, 0, 0}}}.signal(rng).Samples
				if c := scanSamples(y).clip; !c.High || !c.Low {
					t.Errorf("rails at %g, noise %g, step %g: %+v", rail, sigma, step, c)
				}
			}
		}
	}
}
