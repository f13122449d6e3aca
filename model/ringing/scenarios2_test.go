package ringing

import (
	"math"
	"math/rand/v2"
)

// resonator integrates x″ + (ω/Q)x′ + ω²x = ω²·drive(t) exactly enough: by the
// trapezoidal rule in steps of a hundredth of a cycle or less, and returns x
// at the samples.
func resonator(f, q float64, n int, interval float64, drive func(t float64) float64) []float64 {
	w := 2 * math.Pi * f
	steps := int(math.Ceil(interval * f * 200))
	h := interval / float64(steps)
	x, v := 0.0, 0.0
	rate := func(t, x, v float64) float64 { return w*w*(drive(t)-x) - w/q*v }
	y := make([]float64, n)
	for i := range y {
		y[i] = x
		for k := range steps { // Runge and Kutta's fourth order
			t := float64(i)*interval + float64(k)*h
			k1x, k1v := v, rate(t, x, v)
			k2x, k2v := v+h/2*k1v, rate(t+h/2, x+h/2*k1x, v+h/2*k1v)
			k3x, k3v := v+h/2*k2v, rate(t+h/2, x+h/2*k2x, v+h/2*k2v)
			k4x, k4v := v+h*k3v, rate(t+h, x+h*k3x, v+h*k3v)
			x += h / 6 * (k1x + 2*k2x + 2*k3x + k4x)
			v += h / 6 * (k1v + 2*k2v + 2*k3v + k4v)
		}
	}
	return y
}

// seen turns a computed voltage into samples, scaled to 1 V.
func seen(rng *rand.Rand, y []float64, interval float64) Signal {
	top := 0.0
	for _, v := range y {
		top = math.Max(top, math.Abs(v))
	}
	return scope(rng, len(y), interval, func(t float64) float64 { return y[int(math.Round(t/interval))] / top })
}

// gated drives a resonator with a generator for on of every period seconds.
func gated(q, detuned, start, on, period float64, n int) func(*rand.Rand) (Signal, truth) {
	return func(rng *rand.Rand) (Signal, truth) {
		f := vary(rng, coilHertz)
		y := resonator(f, q, n, 20e-9, func(t float64) float64 {
			if math.Mod(t+period-start, period) > on {
				return 0
			}
			return math.Sin(2 * math.Pi * f * (1 + detuned) * t)
		})
		return seen(rng, y, 20e-9), truth{f: f, q: q}
	}
}

// square is a ring on the edges of a square wave.
func square(q, half, start float64, n int) func(*rand.Rand) (Signal, truth) {
	return func(rng *rand.Rand) (Signal, truth) {
		f := vary(rng, coilHertz)
		y := resonator(f, q, n, fastInterval, func(t float64) float64 {
			if t < start {
				return 0
			}
			return 1 - math.Floor(math.Mod((t-start)/half, 2))
		})
		return seen(rng, y, fastInterval), truth{f: f, q: q}
	}
}

// pulsed captures: drive and ring take turns.
func pulsed() []scenario {
	differ := []NoteKind{BurstsDisagree}
	turns := func(f2 float64) func(*rand.Rand) (Signal, truth) {
		return func(rng *rand.Rand) (Signal, truth) {
			f := vary(rng, coilHertz)
			a, b := natural(1, f, 50, 1), natural(0.8, f*f2, 50, 2)
			return scope(rng, 16000, fastInterval, func(t float64) float64 {
				x := math.Mod(t, 40e-6) - 2e-6
				if math.Mod(t, 80e-6) < 40e-6 {
					return a.at(x)
				}
				return b.at(x)
			}), truth{f: f, q: 50}
		}
	}
	return []scenario{
		{name: "five bursts", make: of(40, 20000, func(_ *rand.Rand, s sine) func(float64) float64 {
			return func(t float64) float64 { return s.at(math.Mod(t, 40e-6) - 2e-6) }
		})},
		{name: "bursts of two tones", causes: differ, make: turns(1.3)},
		{name: "bursts 1 % apart", slow: true, causes: differ, make: turns(1.01)},
		{name: "gated drive, 4 of 20 µs", make: gated(60, 0, 14e-6, 4e-6, 20e-6, 5000)},
		{name: "gated drive, 2 % beside", slow: true, make: gated(60, 0.02, 14e-6, 4e-6, 20e-6, 5000)},
		{name: "gated drive, 10 of 50 µs", make: gated(40, -0.01, 35e-6, 10e-6, 50e-6, 10000)},
		{name: "gated drive, once", make: gated(50, 0.005, 10e-6, 20e-6, 90e-6, 4000)},
		{name: "square wave, half a period", make: square(8, 1, 0.3e-6, 400)},
		{name: "square wave, Q 5, 8 cycles in view", make: square(5, 1, -1e-9, 320)},
		{name: "square wave, one period", make: square(12, 6e-6, 1e-6, 1300)},
		{name: "square wave, many periods", slow: true, make: square(15, 10e-6, 1e-6, 8000)},
		{name: "ring on an exponential", make: of(20, 1500, func(rng *rand.Rand, s sine) func(float64) float64 {
			return func(t float64) float64 {
				x := t - 1e-6
				if x < 0 {
					return 0
				}
				return 0.5*s.at(x) + 1.5*math.Exp(-x/4e-6)
			}
		})},
	}
}

// moving makes a ring whose frequency is ω = ω₀(1 − k A²) of its amplitude A: its phase is
// the integral.
func moving(k float64) func(*rand.Rand, sine) func(float64) float64 {
	return func(_ *rand.Rand, s sine) func(float64) float64 {
		return func(t float64) float64 {
			x := t - 2e-6
			if x < 0 {
				return 0
			}
			w := 2 * math.Pi * s.frequency
			a := math.Exp(-s.alpha * x)
			return a * math.Cos(w*x-k*w*(1-a*a)/(2*s.alpha)+s.phase)
		}
	}
}

// crooked captures are no decaying sine.
func crooked() []scenario {
	moves := []NoteKind{NotOneSine, StartAndEndDiffer, Misfit}
	return []scenario{
		{name: "soft limiting", causes: moves, make: of(60, 6000, func(_ *rand.Rand, s sine) func(float64) float64 {
			return func(t float64) float64 { return math.Tanh(2.5*s.at(t-2e-6)) / 2.5 * 2 }
		})},
		{name: "frequency moves with amplitude", slow: true, causes: moves, make: of(60, 6000, moving(0.02))},
		{name: "frequency moves a little", slow: true, causes: moves, make: of(60, 6000, moving(0.002))},
		{name: "damping by a diode", slow: true, causes: moves, make: of(60, 6000, func(_ *rand.Rand, s sine) func(float64) float64 {
			// da/dt = −αa − βa²: more loss at large amplitudes.
			return func(t float64) float64 {
				x := t - 2e-6
				if x < 0 {
					return 0
				}
				e := math.Exp(-s.alpha * x)
				return e / (1 + 2*(1-e)) * math.Cos(2*math.Pi*s.frequency*x+s.phase)
			}
		})},
		{name: "averaged, the frequency jitters", causes: append([]NoteKind{Beating}, moves...), make: of(80, 6000, func(rng *rand.Rand, s sine) func(float64) float64 {
			// The mean of cos over Gaussian frequencies of relative deviation 0.4 %
			// falls as a Gaussian besides.
			sd := 0.004 * 2 * math.Pi * s.frequency
			return func(t float64) float64 {
				x := t - 2e-6
				return s.at(x) * math.Exp(-sd*sd*x*x/2)
			}
		})},
		{name: "a drive that wanders", slow: true, causes: append([]NoteKind{Driven}, moves...), make: func(rng *rand.Rand) (Signal, truth) {
			f, p := vary(rng, coilHertz), anyPhase(rng)
			return scope(rng, 8000, fastInterval, func(t float64) float64 {
				return math.Cos(2*math.Pi*f*t + p + 3*math.Sin(2*math.Pi*8e3*t))
			}), truth{f: f}
		}},
	}
}

// hopeless captures determine nothing.
func hopeless() []scenario {
	nothing := func(f func(rng *rand.Rand) func(t float64) float64) func(*rand.Rand) (Signal, truth) {
		return func(rng *rand.Rand) (Signal, truth) {
			return scope(rng, 4000, fastInterval, f(rng)), truth{}
		}
	}
	return []scenario{
		{name: "noise", refuse: true, make: func(rng *rand.Rand) (Signal, truth) {
			return invented{n: 4000, interval: fastInterval, sigma: 1}.signal(rng), truth{}
		}},
		{name: "random walk", refuse: true, make: nothing(func(rng *rand.Rand) func(float64) float64 {
			w := 0.0
			return func(float64) float64 { w += 0.05 * rng.NormFloat64(); return w }
		})},
		{name: "a step", refuse: true, make: nothing(func(rng *rand.Rand) func(float64) float64 {
			t0 := (5 + 30*rng.Float64()) * 1e-6
			return func(t float64) float64 { return math.Copysign(1, t-t0) }
		})},
		{name: "an exponential", refuse: true, make: nothing(func(rng *rand.Rand) func(float64) float64 {
			t0 := (2 + 10*rng.Float64()) * 1e-6
			return func(t float64) float64 {
				if t < t0 {
					return 0
				}
				return math.Exp(-(t - t0) / 5e-6)
			}
		})},
		{name: "two cycles", refuse: true, make: nothing(func(rng *rand.Rand) func(float64) float64 {
			p := anyPhase(rng)
			return func(t float64) float64 { return math.Cos(2*math.Pi*50e3*t + p) }
		})},
		{name: "Q 1", refuse: true, make: nothing(func(rng *rand.Rand) func(float64) float64 {
			s := natural(1, vary(rng, 1e6), 1, anyPhase(rng))
			return func(t float64) float64 { return s.at(t - 5e-6) }
		})},
		{name: "aliased", causes: []NoteKind{MayBeAliased}, make: func(rng *rand.Rand) (Signal, truth) {
			f := vary(rng, coilHertz)
			return scope(rng, 2000, 1/(f*1.6), natural(1, f, 200, anyPhase(rng)).at), truth{f: f, q: 200}
		}},
	}
}
