package ringing

import (
	"math"
	"math/rand/v2"
)

// invented is a capture made up for a test.
type invented struct {
	n         int
	interval  float64 // s
	tones     []sine
	offset    float64
	sigma     float64 // V, white noise
	step      float64 // V, of the converter; 0 means none
	rail      float64 // V, both rails; 0 means none
	pretrig   int     // samples before the onset
	every     int     // samples between onsets; 0 means one burst
	noise     func(rng *rand.Rand) func() float64
	timeStart float64
}

// sine is A e^{−αt} cos(2πft + φ).
type sine struct{ amplitude, frequency, alpha, phase float64 }

// natural returns the sine of a resonator with undamped frequency f0 and
// quality factor q.
func natural(amplitude, f0, q, phase float64) sine {
	w0 := 2 * math.Pi * f0
	return sine{amplitude, f0 * math.Sqrt(1-1/(4*q*q)), w0 / (2 * q), phase}
}

func (c invented) signal(rng *rand.Rand) Signal {
	y := make([]float64, c.n)
	noise := func() float64 { return c.sigma * rng.NormFloat64() }
	if c.noise != nil {
		noise = c.noise(rng)
	}
	for i := range y {
		y[i] = c.offset + noise()
		n := i - c.pretrig
		if n < 0 {
			continue
		}
		if c.every > 0 {
			n %= c.every
		}
		t := float64(n) * c.interval
		for _, s := range c.tones {
			y[i] += s.amplitude * math.Exp(-s.alpha*t) * math.Cos(2*math.Pi*s.frequency*t+s.phase)
		}
	}
	for i := range y {
		if c.step > 0 {
			y[i] = c.step * math.Round(y[i]/c.step)
		}
		if c.rail > 0 {
			y[i] = math.Max(-c.rail, math.Min(c.rail, y[i]))
		}
	}
	return Signal{Start: c.timeStart, Interval: c.interval, Samples: y}
}
