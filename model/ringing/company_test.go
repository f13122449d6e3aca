package ringing

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
)

// A ring shows behind a steady tone five and twenty times as large, of a station or a drive
// that goes on: damped frequency and quality factor that the capture was made with.
func TestRingBehindASteadyTone(t *testing.T) {
	const interval, frequency, quality = 20e-9, 2.5e6, 60.0
	omega := 2 * math.Pi * frequency
	for _, c := range []struct{ amplitude, frequency float64 }{{5, 2.1e6}, {20, 0.9e6}} {
		rng := rand.New(rand.NewPCG(1, 2))
		y := make([]float64, 12000)
		for i := range y {
			at := float64(i) * interval
			y[i] = c.amplitude*math.Sin(2*math.Pi*c.frequency*at) + 0.002*rng.NormFloat64()
			if at -= 60e-6; at > 0 {
				y[i] += math.Exp(-omega*at/2/quality) * math.Sin(omega*at)
			}
		}
		r := must.Get(Analyse(Signal{Samples: y, Interval: interval}, Settings{})).In(t)
		if r.Kind != Decay {
			t.Errorf("%v: the ring doesn't show, %v Hz does", c, r.Frequency.Value)
			continue
		}
		within(t, "frequency", r.Frequency, frequency, 4)
		within(t, "quality factor", r.Quality, math.Sqrt(quality*quality+0.25), 4)
	}
}
