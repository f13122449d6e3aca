package ringing

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/quantities"
)

// FuzzAnalyse makes samples of bytes, at any scale: the answer must be finite
// and within the sampled band, or a refusal in words.
func FuzzAnalyse(f *testing.F) {
	rng := rand.New(rand.NewPCG(1, 1))
	for _, c := range []invented{
		{n: 400, tones: []sine{{100, 0.03, 0, 0}}},
		{n: 400, tones: []sine{natural(100, 0.05, 20, 1)}, sigma: 2, pretrig: 50},
		{n: 400, tones: []sine{natural(100, 0.1, 10, 1)}, sigma: 2, every: 130},
		{n: 400, tones: []sine{{200, 0.07, 0, 1}}, rail: 120},
		{n: 400, tones: []sine{natural(60, 0.1, 30, 1), natural(60, 0.11, 30, 1)}},
		{n: 400, sigma: 30},
		{n: 400, tones: []sine{{100, 0.002, 0, 1}}},
	} {
		c.interval, c.step = 1, 1
		var b []byte
		for _, y := range c.signal(rng).Samples {
			b = append(b, byte(128+int(y)))
		}
		f.Add(b, 0.02, 4e-9)
	}
	f.Add(make([]byte, 40), 1.0, 1.0)
	f.Fuzz(func(t *testing.T, b []byte, scale, interval float64) {
		if len(b) > 3000 {
			return
		}
		y := make([]float64, len(b))
		for i, v := range b {
			y[i] = scale * (float64(v) - 128)
		}
		r, err := Analyse(Signal{Interval: interval, Samples: y}, Settings{Columns: 20})
		if err != nil {
			var refusal *Refusal
			if !errors.As(err, &refusal) || err.Error() == "" {
				t.Errorf("error %v", err)
			}
			return
		}
		for _, e := range []quantities.Estimate{r.Frequency, r.Resonance, r.Amplitude, r.Offset, r.Quality, r.Damping} {
			if e.Determined && (math.IsNaN(e.Value) || math.IsInf(e.Value, 0) || !(e.Uncertainty >= 0) || !(e.Interval[0] <= e.Value && e.Value <= e.Interval[1])) {
				t.Errorf("estimate %+v", e)
			}
		}
		if f := r.Frequency.Value; !(f > 0 && f <= 0.5/interval) {
			t.Errorf("frequency %g Hz sampled at %g Hz", f, 1/interval)
		}
	})
}
