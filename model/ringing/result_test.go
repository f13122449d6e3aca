package ringing

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/quantities"
)

const coilInterval = 4e-9 // s, 250 million samples a second

func analyse(t *testing.T, c invented, seed uint64) *Result {
	t.Helper()
	return must.Get(Analyse(c.signal(rand.New(rand.NewPCG(seed, 6))), Settings{})).In(t)
}

// within checks that an estimate is at most k standard uncertainties off.
func within(t *testing.T, what string, e quantities.Estimate, want, k float64) {
	t.Helper()
	if !e.Determined {
		t.Errorf("%s is undetermined", what)
		return
	}
	near.To(t, what, e.Value, want, k*e.Uncertainty)
}

func refused(t *testing.T, s Signal, want ...Reason) {
	t.Helper()
	_, err := Analyse(s, Settings{})
	var r *Refusal
	if !errors.As(err, &r) || !slices.Contains(want, r.Reason) {
		t.Errorf("got %v, want reason %d", err, want)
		return
	}
	if r.Need > 0 && !(r.Got < r.Need) { // what is told is what there is, and how much would do
		t.Errorf("refused, %v, with %v of %v", r.Reason, r.Got, r.Need)
	}
}

// Damped against undamped frequency and the logarithmic decrement, for
// x = exp(−ω₀t/2Q) cos(ω_d t): f_d/f_0 = √(1 − 1/4Q²), λ = π/√(Q² − ¼).
func TestDampedAgainstUndamped(t *testing.T) {
	for _, c := range []struct{ q, ratio, decrement float64 }{
		{2, 0.96824584, 1.622311},
		{5, 0.99498744, 0.631484},
		{10, 0.99874922, 0.314553},
		{20, 0.99968745, 0.157129},
		{50, 0.99995000, 0.062835},
		{100, 0.99998750, 0.031416},
	} {
		r := analyse(t, invented{n: 8000, interval: coilInterval, pretrig: 1000, tones: []sine{natural(1, 1.5e6, c.q, 0)}}, 1)
		near.To(t, "f_d/f_0", r.Frequency.Value/r.Resonance.Value, c.ratio, 1e-8)
		near.To(t, "decrement", r.Damping.Value/r.Frequency.Value, c.decrement, 1e-6)
		near.To(t, "f_0", r.Resonance.Value, 1.5e6, 1e-3)
		near.To(t, "Q", r.Quality.Value, c.q, 1e-6*c.q)
		if r.Kind != Decay {
			t.Errorf("Q = %g: kind %v", c.q, r.Kind)
		}
	}
	// At Q = 1 a cycle falls to 1/37: there is no third to be seen.
	c := invented{n: 8000, interval: coilInterval, pretrig: 1000, tones: []sine{natural(1, 1.5e6, 1, 0)}}
	refused(t, c.signal(rand.New(rand.NewPCG(1, 1))), TooFewCycles)
}

func TestQuality(t *testing.T) {
	for _, q := range []float64{5, 15, 50, 150, 300} {
		for _, cycles := range []float64{5, 15, 50} {
			const n, f0 = 20000, 1.5e6
			c := invented{n: n, interval: cycles / f0 / n, tones: []sine{natural(1, f0, q, 0.7)}, sigma: 0.00707, step: 0.01}
			r := analyse(t, c, uint64(q*cycles))
			near.To(t, "Q", r.Quality.Value, q, 0.02*q)
			within(t, "Q", r.Quality, q, 4)
			within(t, "f_0", r.Resonance, f0, 4)
			half := (r.Quality.Interval[1] - r.Quality.Interval[0]) / 2
			near.To(t, "half-width of Q's interval over its uncertainty", half/r.Quality.Uncertainty, 1.96, 0.03)
			near.To(t, "95 % bound below Q, over its uncertainty", (r.Quality.Value-r.QualityAtLeast)/r.Quality.Uncertainty, 1.645, 0.03)
		}
	}
}

func TestHarmonics(t *testing.T) {
	r := analyse(t, invented{n: 8000, interval: coilInterval, sigma: 0.007, step: 0.01,
		tones: []sine{{1, 1.5e6, 0, 1}, {0.03, 3e6, 0, 2}, {0.02, 4.5e6, 0, 2}}}, 1)
	if r.Kind != Steady || len(r.Tones) != 3 {
		t.Fatalf("%v with %d tones", r.Kind, len(r.Tones))
	}
	for i, want := range []float64{1, 0.03, 0.02} {
		within(t, "amplitude", r.Tones[i].Amplitude, want, 4)
	}
	if r.Tones[1].Harmonic != 2 || r.Tones[2].Harmonic != 3 || r.Tones[1].Relation != Harmonic {
		t.Errorf("harmonics %d and %d", r.Tones[1].Harmonic, r.Tones[2].Harmonic)
	}
}

// Two coupled equal circuits of coupling k ring at f₀/√(1 ± k).
func TestBeating(t *testing.T) {
	const f0, k, q = 1.5e6, 0.05, 50
	for _, weight := range []float64{0.5, 0.2} {
		c := invented{n: 12000, interval: coilInterval, sigma: 0.005, step: 0.01, tones: []sine{
			natural(1-weight, f0/math.Sqrt(1+k), q, 0.3), natural(weight, f0/math.Sqrt(1-k), q, 0)}}
		r := analyse(t, c, 1)
		if len(r.Tones) != 2 || r.Tones[1].Relation != Near {
			t.Fatalf("weight %g: %+v", weight, r.Tones)
		}
		lo, hi := r.Tones[0], r.Tones[1]
		if lo.Natural.Value > hi.Natural.Value {
			lo, hi = hi, lo
		}
		within(t, "lower", lo.Natural, f0/math.Sqrt(1+k), 4)
		within(t, "upper", hi.Natural, f0/math.Sqrt(1-k), 4)
		within(t, "Q", lo.Quality, q, 4)
		if !hasNote(r, Beating) {
			t.Error("beating isn't noted")
		}
	}
}

func hasNote(r *Result, k NoteKind) bool {
	return slices.ContainsFunc(r.Notes, func(n Note) bool { return n.Kind == k })
}

func TestBursts(t *testing.T) {
	r := analyse(t, invented{n: 80000, interval: coilInterval, sigma: 0.007, step: 0.01, pretrig: 900, every: 16000,
		tones: []sine{natural(1, 1.5e6, 50, 1)}}, 1)
	if len(r.Bursts) != 5 {
		t.Fatalf("%d bursts", len(r.Bursts))
	}
	for i, b := range r.Bursts {
		onset := float64(900+16000*i) * coilInterval
		if b.Start < onset || b.Start > onset+1.5e-6 || b.End > onset+16000*coilInterval {
			t.Errorf("burst %d from %g to %g s, onset %g s", i, b.Start, b.End, onset)
		}
	}
	within(t, "f_0", r.Resonance, 1.5e6, 3)
	within(t, "Q", r.Quality, 50, 3)
	if u := r.Bursts[0].Tone.Natural.Uncertainty; r.Resonance.Uncertainty > 0.7*u {
		t.Errorf("five bursts give ± %g, one ± %g Hz", r.Resonance.Uncertainty, u)
	}
}

// Bursts of a coil that was changed in between must not be averaged away.
func TestBurstsThatDiffer(t *testing.T) {
	c := invented{n: 20000, interval: coilInterval, tones: []sine{natural(1, 1.5e6, 60, 1)}}
	s := c.signal(rand.New(rand.NewPCG(1, 1)))
	other := c
	other.tones = []sine{natural(1, 1.5015e6, 60, 1)}
	copy(s.Samples[10000:], other.signal(rand.New(rand.NewPCG(2, 1))).Samples[:10000])
	r := must.Get(Analyse(s, Settings{})).In(t)
	if !hasNote(r, BurstsDisagree) || !r.Bursts[1].Apart {
		t.Errorf("bursts %+v, notes %v", r.Bursts, r.Notes)
	}
	near.To(t, "resonance", r.Resonance.Value, 1.5e6, 1)
}

// A generator drives the coil for 30 cycles, then lets it go.
func TestDrivenThenFree(t *testing.T) {
	const w, q, drive = 2 * math.Pi * 1.5e6, 40, 20e-6
	rng := rand.New(rand.NewPCG(1, 1))
	y := make([]float64, 20000)
	for i := range y {
		y[i] = 0.005 * rng.NormFloat64()
		if x := float64(i)*coilInterval - 10e-6; x > 0 {
			y[i] += math.Exp(-w*math.Max(0, x-drive)/(2*q)) * math.Sin(w*x)
		}
	}
	r := must.Get(Analyse(Signal{Interval: coilInterval, Samples: y}, Settings{})).In(t)
	within(t, "damping", r.Damping, w/(2*q), 4)
	within(t, "frequency", r.Frequency, 1.5e6, 4)
}

// The spark that sets a coil ringing must not count as decay.
func TestFirstCyclesLeftOut(t *testing.T) {
	c := invented{n: 12000, interval: coilInterval, sigma: 0.005, step: 0.01, pretrig: 1000, tones: []sine{natural(1, 1.5e6, 60, 0.3)}}
	s := c.signal(rand.New(rand.NewPCG(1, 1)))
	for i := range 200 {
		x := float64(i) * coilInterval
		s.Samples[1000+i] += 1.5*math.Exp(-x/2e-7)*math.Cos(2*math.Pi*17e6*x) + 0.5*math.Exp(-x/3e-7)
	}
	r := must.Get(Analyse(s, Settings{})).In(t)
	within(t, "f_0", r.Resonance, 1.5e6, 4)
	within(t, "Q", r.Quality, 60, 4)
	if !hasNote(r, FirstSkipped) || r.Bursts[0].Skipped < 0.5 || r.Bursts[0].Skipped > 4 {
		t.Errorf("left out %g cycles", r.Bursts[0].Skipped)
	}
}

func TestClipped(t *testing.T) {
	for _, c := range []invented{
		{n: 8000, interval: coilInterval, sigma: 0.007, step: 0.01, rail: 0.6, tones: []sine{natural(1, 1.5e6, 50, 1)}},
		{n: 8000, interval: coilInterval, sigma: 0.007, step: 0.01, rail: 0.9, tones: []sine{{1, 1.5e6, 0, 1}}},
		// Much noise at the rails: it must not choose the samples that count.
		{n: 40000, interval: coilInterval, sigma: 0.05, step: 0.01, rail: 0.8, tones: []sine{{1, 1.5e6, 0, 1}}},
	} {
		r := analyse(t, c, 1)
		within(t, "frequency", r.Frequency, c.tones[0].frequency, 4)
		within(t, "amplitude", r.Amplitude, 1, 4)
		if c.tones[0].alpha > 0 {
			within(t, "damping", r.Damping, c.tones[0].alpha, 4)
		}
		if !r.Clipping.High || !r.Clipping.Low || !hasNote(r, Clipped) {
			t.Errorf("clipping %+v", r.Clipping)
		}
	}
}

func TestDriftingOffset(t *testing.T) {
	c := invented{n: 8000, interval: coilInterval, sigma: 0.005, step: 0.01, tones: []sine{natural(1, 1.5e6, 30, 1)}}
	s := c.signal(rand.New(rand.NewPCG(1, 1)))
	for i := range s.Samples {
		x := float64(i) / 8000
		s.Samples[i] += 2*x - 1.5*x*x
	}
	r := must.Get(Analyse(s, Settings{})).In(t)
	within(t, "f_0", r.Resonance, 1.5e6, 4)
	within(t, "Q", r.Quality, 30, 4)
	if !hasNote(r, Drifting) || r.Resonance.Uncertainty > 25 {
		t.Errorf("± %g Hz, notes %v", r.Resonance.Uncertainty, r.Notes)
	}
}

// A steady tone is the drive's and says nothing of the quality factor, not even
// a bound.
func TestSteadyHasNoQuality(t *testing.T) {
	r := analyse(t, invented{n: 2000, interval: coilInterval, sigma: 0.007, tones: []sine{{1, 1.5e6, 0, 1}}}, 1)
	if r.Kind != Steady || r.Quality.Determined || r.Damping.Determined || !math.IsNaN(r.Quality.Value) || r.QualityAtLeast != 0 || !hasNote(r, Driven) {
		t.Errorf("%v, Q %+v, at least %g", r.Kind, r.Quality, r.QualityAtLeast)
	}
	if r.Resonance != r.Frequency {
		t.Error("a steady tone's resonance is not its frequency")
	}
}

func TestGrowing(t *testing.T) {
	r := analyse(t, invented{n: 8000, interval: coilInterval, sigma: 0.005, tones: []sine{{0.1, 1.5e6, -7e4, 0}}}, 1)
	within(t, "frequency", r.Frequency, 1.5e6, 4)
	if r.Quality.Determined || !hasNote(r, Growing) {
		t.Errorf("Q %+v, notes %v", r.Quality, r.Notes)
	}
}

func TestAliasing(t *testing.T) {
	r := analyse(t, invented{n: 2000, interval: coilInterval, sigma: 0.007, tones: []sine{{1, 113e6, 0, 1}}}, 1)
	if !hasNote(r, MayBeAliased) {
		t.Errorf("notes %v", r.Notes)
	}
	// The third harmonic of 61 MHz, 183 MHz, is seen at 250 − 183 = 67 MHz.
	r = analyse(t, invented{n: 4000, interval: coilInterval, sigma: 0.007, tones: []sine{{1, 61e6, 0, 1}, {0.1, 183e6, 0, 0}}}, 1)
	if !hasNote(r, FoldedHarmonic) || len(r.Tones) != 2 || r.Tones[1].Harmonic != 3 {
		t.Errorf("notes %v", r.Notes)
	}
}

// The time base's uncertainty is common to all bursts and never averages out.
func TestTimebase(t *testing.T) {
	c := invented{n: 80000, interval: coilInterval, sigma: 0.007, step: 0.01, every: 16000, tones: []sine{natural(1, 1.5e6, 50, 1)}}
	s := c.signal(rand.New(rand.NewPCG(1, 1)))
	s.IntervalUncertainty = 30e-6 * s.Interval
	r := must.Get(Analyse(s, Settings{Timebase: 40e-6})).In(t)
	if u := r.Resonance.Uncertainty; u < 75 || u > 76 {
		t.Errorf("± %g Hz for 50 ppm of 1.5 MHz", u)
	}
	if half := (r.Resonance.Interval[1] - r.Resonance.Interval[0]) / 2; half < 1.9*75 || half > 2.2*76 {
		t.Errorf("interval of half-width %g Hz", half)
	}
	if !hasNote(r, FewDigits) || r.Quality.Uncertainty > 0.1 {
		t.Errorf("notes %v, Q ± %g", r.Notes, r.Quality.Uncertainty)
	}
}

func TestRefusals(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	sampled := func(n int, f func(i int) float64) Signal {
		y := make([]float64, n)
		for i := range y {
			y[i] = f(i)
		}
		return Signal{Interval: coilInterval, Samples: y}
	}
	cos := func(i int) float64 { return math.Cos(2 * math.Pi * 1.5e6 * coilInterval * float64(i)) }
	refused(t, sampled(8, cos), TooFewSamples)
	refused(t, Signal{Samples: sampled(800, cos).Samples}, BadInterval)
	refused(t, Signal{Interval: math.NaN(), Samples: sampled(800, cos).Samples}, BadInterval)
	for _, bad := range []float64{math.NaN(), math.Inf(1), 9.9e37, -9.91e37} {
		s := sampled(800, cos)
		s.Samples[17] = bad
		refused(t, s, NotFinite)
	}
	refused(t, sampled(800, func(int) float64 { return 0.25 }), Flat)
	refused(t, sampled(8000, func(int) float64 { return rng.NormFloat64() }), NoTone)
	refused(t, sampled(330, func(i int) float64 { return cos(i) + 0.007*rng.NormFloat64() }), TooFewCycles)
	refused(t, sampled(100, func(i int) float64 { return cos(i) + 0.007*rng.NormFloat64() }), TooFewCycles)
	refused(t, sampled(8000, func(i int) float64 { return math.Copysign(1, cos(i)) }), TooMuchClipped)
	walk := 0.0
	refused(t, sampled(8000, func(int) float64 { walk += rng.NormFloat64(); return walk }), TooFewCycles, NoFit)
	// A coil of Q = 1.2 is quiet before its third cycle.
	c := invented{n: 4000, interval: coilInterval, sigma: 0.007, pretrig: 400, tones: []sine{natural(1, 1.5e6, 1.2, 0)}}
	refused(t, c.signal(rng), TooFewCycles, NoFit)
}

// Noise alone is not called a tone: at most once in a thousand.
func TestFalseAlarms(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 1))
	for i := range repetitions(1000) {
		s := invented{n: 1000, interval: coilInterval, sigma: 1}.signal(rng)
		if r, err := Analyse(s, Settings{Columns: 1}); err == nil {
			t.Errorf("capture %d: %+v", i, r.Frequency)
		}
	}
}

func TestProgress(t *testing.T) {
	last := 0.0
	set := Settings{Progress: func(done float64) {
		if done < last || done > 1 {
			t.Errorf("progress goes from %g to %g", last, done)
		}
		last = done
	}}
	s := invented{n: 8000, interval: coilInterval, every: 2000, tones: []sine{natural(1, 1.5e6, 20, 0)}}.signal(rand.New(rand.NewPCG(1, 1)))
	if _, err := Analyse(s, set); err != nil || last != 1 {
		t.Error(err, last)
	}
}
