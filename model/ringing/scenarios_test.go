package ringing

import (
	"math"
	"math/rand/v2"
)

// truth is what a capture was made of.
type truth struct {
	f, q   float64 // Hz, of the resonance; q 0 where there is none to be told
	f2, q2 float64 // of a second mode, 0 where there is none
}

// scenario makes captures of one kind. All are invented.
type scenario struct {
	name   string
	make   func(rng *rand.Rand) (Signal, truth)
	causes []NoteKind // that name what is the matter; none where nothing is
	slow   bool       // takes long
	refuse bool       // there is nothing to be told: any answer without a cause is wrong
}

// The coil of most scenarios.
const (
	coilHertz    = 2.5e6
	coilStep     = 0.01  // V, of an 8-bit converter
	coilNoise    = 0.005 // V
	fastInterval = 10e-9 // s, 40 samples a cycle
)

// vary moves a value by up to a tenth.
func vary(rng *rand.Rand, x float64) float64 { return x * (1 + 0.2*(rng.Float64()-0.5)) }

func anyPhase(rng *rand.Rand) float64 { return 2 * math.Pi * rng.Float64() }

// scope turns a voltage into samples.
func scope(rng *rand.Rand, n int, interval float64, volt func(t float64) float64) Signal {
	y := make([]float64, n)
	for i := range y {
		y[i] = coilStep * math.Round((volt(float64(i)*interval)+coilNoise*rng.NormFloat64())/coilStep)
	}
	return Signal{Interval: interval, Samples: y}
}

// ringing is the free ring of a resonator struck at 0.
func (s sine) at(t float64) float64 {
	if t < 0 {
		return 0
	}
	return s.amplitude * math.Exp(-s.alpha*t) * math.Cos(2*math.Pi*s.frequency*t+s.phase)
}

// of makes a scenario of one resonator with something added or done to it.
func of(q float64, n int, also func(rng *rand.Rand, s sine) func(t float64) float64) func(*rand.Rand) (Signal, truth) {
	return func(rng *rand.Rand) (Signal, truth) {
		f, q := vary(rng, coilHertz), vary(rng, q)
		return scope(rng, n, fastInterval, also(rng, natural(1, f, q, anyPhase(rng)))), truth{f: f, q: q}
	}
}

func scenarios() []scenario {
	list := append(sound(), modes()...)
	list = append(list, withOthers()...)
	list = append(list, pulsed()...)
	list = append(list, crooked()...)
	return append(list, hopeless()...)
}

// sound captures: one ring or one tone, with what every bench has.
func sound() []scenario {
	struck := func(t0 float64) func(*rand.Rand, sine) func(float64) float64 {
		return func(_ *rand.Rand, s sine) func(float64) float64 {
			return func(t float64) float64 { return s.at(t - t0) }
		}
	}
	return []scenario{
		{name: "ring, Q 50", make: of(50, 4000, struck(3e-6))},
		{name: "ring, Q 8", make: of(8, 4000, struck(3e-6))},
		{name: "ring, Q 300, not seen to its end", make: of(300, 4000, struck(-1e-6))},
		{name: "ring, struck late in the record", make: of(40, 8000, struck(60e-6))},
		{name: "ring, 2.5 samples a cycle", causes: []NoteKind{MayBeAliased}, make: func(rng *rand.Rand) (Signal, truth) {
			f := vary(rng, coilHertz) * 0.98
			return scope(rng, 2000, 160e-9, natural(1, f, 120, anyPhase(rng)).at), truth{f: f, q: 120}
		}},
		{name: "ring, a million samples", slow: true, make: of(150, 1e6, struck(1e-3))},
		{name: "ring with hum", make: of(50, 4000, func(rng *rand.Rand, s sine) func(float64) float64 {
			p := anyPhase(rng)
			return func(t float64) float64 { return s.at(t-3e-6) + 0.5*math.Sin(2*math.Pi*5e3*t+p) }
		})},
		{name: "ring on a drifting line", make: of(40, 4000, func(rng *rand.Rand, s sine) func(float64) float64 {
			return func(t float64) float64 { x := t / 40e-6; return s.at(t) + 2*x - 1.5*x*x }
		})},
		{name: "ring with spikes", make: func(rng *rand.Rand) (Signal, truth) {
			s, tr := of(50, 4000, struck(3e-6))(rng)
			for range 6 {
				s.Samples[rng.IntN(4000)] += 0.6 * rng.NormFloat64()
			}
			return s, tr
		}},
		{name: "ring, clipped", causes: []NoteKind{Clipped}, make: func(rng *rand.Rand) (Signal, truth) {
			s, tr := of(50, 4000, struck(3e-6))(rng)
			for i, y := range s.Samples {
				s.Samples[i] = math.Max(-0.6, math.Min(0.6, y))
			}
			return s, tr
		}},
		{name: "ring in slow noise", make: func(rng *rand.Rand) (Signal, truth) {
			f, q := vary(rng, coilHertz), vary(rng, 40)
			return invented{n: 2000, interval: 20e-9, pretrig: 100, tones: []sine{natural(1, f, q, 1)},
				noise: autoregressive(0.9, 0, 0.02)}.signal(rng), truth{f: f, q: q}
		}},
		{name: "ring after a spark", make: of(60, 6000, func(rng *rand.Rand, s sine) func(float64) float64 {
			return func(t float64) float64 {
				x := t - 4e-6
				if x < 0 {
					return 0
				}
				return s.at(x) + 1.5*math.Exp(-x/2e-7)*math.Cos(2*math.Pi*17e6*x) + 0.5*math.Exp(-x/3e-7)
			}
		})},
		{name: "steady tone", make: steadyOf(func(float64) float64 { return 0 })},
		{name: "steady tone, clipped", causes: []NoteKind{Clipped}, make: func(rng *rand.Rand) (Signal, truth) {
			s, tr := steadyOf(func(float64) float64 { return 0 })(rng)
			for i, y := range s.Samples {
				s.Samples[i] = math.Max(-0.85, math.Min(0.85, y))
			}
			return s, tr
		}},
		{name: "steady tone with hum", make: steadyOf(func(t float64) float64 { return 0.4 * math.Sin(2*math.Pi*7e3*t) })},
	}
}

// steadyOf makes a driven tone with something added.
func steadyOf(also func(t float64) float64) func(*rand.Rand) (Signal, truth) {
	return func(rng *rand.Rand) (Signal, truth) {
		s := sine{1, vary(rng, coilHertz), 0, anyPhase(rng)}
		return scope(rng, 4000, fastInterval, func(t float64) float64 { return s.at(t) + also(t) }), truth{f: s.frequency}
	}
}

// twoModes rings two at once; the stronger one is the resonance.
func twoModes(f, split, q, q2, ratio float64, n int) func(*rand.Rand) (Signal, truth) {
	return func(rng *rand.Rand) (Signal, truth) {
		f := vary(rng, f)
		high := f * (1 + split)
		a, b := natural(1, f, q, anyPhase(rng)), natural(ratio, high, q2, anyPhase(rng))
		interval := fastInterval * coilHertz / f
		t0 := 120 * interval
		return scope(rng, n, interval, func(t float64) float64 { return a.at(t-t0) + b.at(t-t0) }), truth{f, q, high, q2}
	}
}

// modes of coupled circuits.
func modes() []scenario {
	beat := []NoteKind{Beating}
	return []scenario{
		{name: "two modes, 14 %, Q 120", causes: beat, make: twoModes(coilHertz, 0.14, 120, 120, 0.95, 4000)},
		{name: "two modes, 6 %, Q 40", causes: beat, make: twoModes(coilHertz, 0.06, 40, 40, 0.6, 4000)},
		{name: "two modes of an audio circuit", causes: beat, make: twoModes(1508.5, 0.161, 25, 30, 0.9, 3000)},
		{name: "two modes, 10 %, Q 100 and 15", causes: beat, make: twoModes(coilHertz, 0.10, 100, 15, 0.9, 4000)},
		{name: "two modes, 3 %, Q 150", causes: beat, make: twoModes(coilHertz, 0.03, 150, 150, 0.8, 8000)},
		{name: "two modes, the weak one 4 %", causes: beat, make: twoModes(coilHertz, 0.09, 80, 80, 0.04, 4000)},
		{name: "two modes at 1 : 2.02", make: twoModes(coilHertz, 1.02, 60, 60, 0.3, 4000)},
		{name: "two modes at 1 : 2.7", make: twoModes(coilHertz, 1.7, 60, 80, 0.5, 4000)},
		{name: "two modes, long record", slow: true, causes: beat, make: twoModes(coilHertz, 0.08, 60, 60, 0.7, 60000)},
	}
}

// withOthers: the ring in company: tones that are not the coil's.
func withOthers() []scenario {
	with := func(amplitude, f float64) func(*rand.Rand, sine) func(float64) float64 {
		return func(rng *rand.Rand, s sine) func(float64) float64 {
			p := anyPhase(rng)
			return func(t float64) float64 { return s.at(t-20e-6) + amplitude*math.Cos(2*math.Pi*f*t+p) }
		}
	}
	return []scenario{
		{name: "2 % of a broadcast station, 250 µs", make: of(50, 25000, with(0.02, 1.05e6))},
		{name: "10 % of a station near the resonance", make: of(40, 25000, with(0.1, 2.65e6))},
		{name: "a station half as strong", slow: true, causes: []NoteKind{Driven}, make: of(60, 25000, with(0.5, 0.9e6))},
		{name: "a ring 4 % beside a drive's tone", slow: true, causes: []NoteKind{Driven}, make: of(50, 25000, func(rng *rand.Rand, s sine) func(float64) float64 {
			p := anyPhase(rng)
			s.amplitude = 0.05
			return func(t float64) float64 { return s.at(t-60e-6) + math.Cos(2*math.Pi*1.9e6*t+p) }
		})},
		{name: "a station, short record", make: of(40, 4000, with(0.1, 1.4e6))},
		{name: "a switching supply's 100 kHz", slow: true, make: of(50, 25000, func(rng *rand.Rand, s sine) func(float64) float64 {
			return func(t float64) float64 { return s.at(t-20e-6) + 0.5*(math.Mod(t*100e3, 1)-0.5) }
		})},
		{name: "weak fast ring on a strong slow tone, long record", slow: true, make: func(rng *rand.Rand) (Signal, truth) {
			f, q, p := vary(rng, coilHertz), 100.0, anyPhase(rng)
			s := natural(0.4, f, q, anyPhase(rng))
			return scope(rng, 200000, fastInterval, func(t float64) float64 {
				return s.at(t-1e-3) + 1.0*math.Sin(2*math.Pi*2e3*t+p)
			}), truth{f: f, q: q}
		}},
		{name: "fast tone, slow record", slow: true, causes: []NoteKind{MayBeAliased}, make: func(rng *rand.Rand) (Signal, truth) {
			s, p := sine{0.3, vary(rng, coilHertz), 0, anyPhase(rng)}, anyPhase(rng)
			return scope(rng, 500000, 100e-9, func(t float64) float64 {
				return s.at(t) + 0.4*math.Sin(2*math.Pi*50*t+p)
			}), truth{f: s.frequency}
		}},
		{name: "driven, with a diode's harmonics", slow: true, make: steadyHarmonic},
	}
}

func steadyHarmonic(rng *rand.Rand) (Signal, truth) {
	s := sine{1, vary(rng, coilHertz), 0, anyPhase(rng)}
	return scope(rng, 4000, fastInterval, func(t float64) float64 {
		y := s.at(t)
		return y + 0.3*math.Log1p(math.Exp(-8*(y+0.6)))/8*4
	}), truth{f: s.frequency}
}
