package ringing

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"
)

func show(t *testing.T, name string, c invented) {
	s := c.signal(rand.New(rand.NewPCG(1, 2)))
	t0 := time.Now()
	r, err := Analyse(s, Settings{})
	fmt.Printf("--- %s %v\n", name, time.Since(t0))
	if err != nil {
		fmt.Println("   refused:", err)
		return
	}
	fmt.Printf("  %v f=%.9g ± %.2g  f0=%.9g ± %.2g Q=%.5g ± %.2g (≥%.4g) A=%.5g ± %.2g off %.3g noise %+v clip %+v\n", r.Kind, r.Frequency.Value, r.Frequency.Uncertainty, r.Resonance.Value, r.Resonance.Uncertainty, r.Quality.Value, r.Quality.Uncertainty, r.QualityAtLeast, r.Amplitude.Value, r.Amplitude.Uncertainty, r.Offset.Value, r.Noise, r.Clipping)
	for _, x := range r.Tones[1:] {
		fmt.Printf("  tone %v %d %.7g ± %.2g  A %.4g Q %.4g\n", x.Relation, x.Harmonic, x.Frequency.Value, x.Frequency.Uncertainty, x.Amplitude.Value, x.Quality.Value)
	}
	for _, b := range r.Bursts {
		fmt.Printf("  burst %.4g..%.4g cycles %.4g skipped %.3g f0 %.8g ± %.2g misfit %v\n", b.Start, b.End, b.Cycles, b.Skipped, b.Tone.Natural.Value, b.Tone.Natural.Uncertainty, b.Misfit)
	}
	for _, n := range r.Notes {
		fmt.Println("  note:", n)
	}
}

func TestTry(t *testing.T) {
	T := 4e-9
	show(t, "steady 20dB", invented{n: 2000, interval: T, tones: []sine{{1, 1.5e6, 0, 0.3}}, sigma: 0.0707})
	show(t, "steady 40dB 8bit", invented{n: 2000, interval: T, tones: []sine{{1, 1.5e6, 0, 0.3}}, sigma: 0.00707, step: 0.01, offset: 0.1})
	show(t, "steady 60dB 8bit", invented{n: 2000, interval: T, tones: []sine{{1, 1.5e6, 0, 0.3}}, sigma: 0.000707, step: 0.01})
	show(t, "noise free", invented{n: 2000, interval: T, tones: []sine{{1, 1.5e6, 0, 0.3}}})
	show(t, "noise free decay", invented{n: 2000, interval: T, tones: []sine{natural(1, 1.5e6, 10, 1)}})
	show(t, "decay Q50 pretrig", invented{n: 8000, interval: T, tones: []sine{natural(1, 1.5e6, 50, 1)}, sigma: 0.007, step: 0.01, pretrig: 900})
	show(t, "decay Q5", invented{n: 4000, interval: 1e-9, tones: []sine{natural(1, 1.5e6, 5, 1)}, sigma: 0.007, pretrig: 500})
	show(t, "decay Q1", invented{n: 4000, interval: 1e-9, tones: []sine{natural(1, 1.5e6, 1, 1)}, sigma: 0.007, pretrig: 500})
	show(t, "beat", invented{n: 8000, interval: T, tones: []sine{natural(1, 1.5e6, 80, 1), natural(0.7, 1.42e6, 70, 2)}, sigma: 0.007, step: 0.01})
	show(t, "harmonics", invented{n: 8000, interval: T, tones: []sine{{1, 1.5e6, 0, 1}, {0.03, 3e6, 0, 2}, {0.02, 4.5e6, 0, 2}}, sigma: 0.007, step: 0.01})
	show(t, "clipped decay", invented{n: 8000, interval: T, tones: []sine{natural(1, 1.5e6, 50, 1)}, sigma: 0.007, step: 0.01, rail: 0.6})
	show(t, "clipped steady", invented{n: 8000, interval: T, tones: []sine{{1, 1.5e6, 0, 1}}, sigma: 0.007, step: 0.01, rail: 0.9})
	show(t, "square", invented{n: 8000, interval: T, tones: []sine{{30, 1.5e6, 0, 1}}, sigma: 0.007, step: 0.01, rail: 0.9})
	show(t, "bursts", invented{n: 80000, interval: T, tones: []sine{natural(1, 1.5e6, 50, 1)}, sigma: 0.007, step: 0.01, pretrig: 900, every: 16000})
	show(t, "noise", invented{n: 8000, interval: T, sigma: 0.007, step: 0.01})
	show(t, "2 cycles", invented{n: 330, interval: T, tones: []sine{{1, 1.5e6, 0, 1}}, sigma: 0.007})
	show(t, "4 cycles", invented{n: 660, interval: T, tones: []sine{{1, 1.5e6, 0, 1}}, sigma: 0.007})
	show(t, "2.2 samples per cycle", invented{n: 2000, interval: T, tones: []sine{{1, 113e6, 0, 1}}, sigma: 0.007})
	show(t, "1M Q100", invented{n: 1000000, interval: T, tones: []sine{natural(1, 1.5e6, 100, 1)}, sigma: 0.007, step: 0.01, pretrig: 300000})
	show(t, "10M steady", invented{n: 10000000, interval: T, tones: []sine{{1, 21.5e6, 0, 1}}, sigma: 0.1, step: 0.01})
	show(t, "10M slow steady", invented{n: 10000000, interval: T, tones: []sine{{1, 2.5e3, 0, 1}}, sigma: 0.1, step: 0.01})
	show(t, "10M Q 1e5", invented{n: 10000000, interval: T, tones: []sine{natural(1, 21.5e6, 1e5, 1)}, sigma: 0.1, step: 0.01})
	show(t, "10M bursts", invented{n: 10000000, interval: T, tones: []sine{natural(1, 1.5e6, 50, 1)}, sigma: 0.007, step: 0.01, pretrig: 900, every: 500000})
}
