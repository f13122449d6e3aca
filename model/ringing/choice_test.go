package ringing

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/floats"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// Of two rings the one with more energy, A²/α, is told, though the other is louder.
func TestRingOfMostEnergy(t *testing.T) {
	y := noise(rand.New(rand.NewPCG(1, 3)), 6000, 1e-3)
	decaying(y, 200, 1, 0.9, 2e-2)
	decaying(y, 200, 0.5, 0.3, 1e-3)
	r := must.Get(Analyse(Signal{Interval: 1e-8, Samples: y}, Settings{Columns: 10})).In(t)
	near.Times(t, "frequency", r.Frequency.Value*2*math.Pi*1e-8, 0.3, 1e-4)
	// What decays hardly in the part that is fitted sample by sample may do so over the whole.
	for length, want := range map[int]bool{150: true, 50: false} {
		g := solved(100, []tone{{8e6, 1e4}}, 1, 0, 0)
		g.cov[1][1], g.stretch = 1e4, stretch{0, 10} // 1/s², of a decay of 1e4 1/s
		long := solved(100, []tone{{8e6, 1e4}}, 1, 0, 0)
		long.cov[1][1], long.stretch = 1e4, stretch{0, length}
		g.long = long
		if (finding{rings: []*ring{g}}).decays(1e-8) != want {
			t.Errorf("falls by %v: %v", 1e4*float64(length)*1e-8, !want)
		}
	}
	quiet := solved(100, []tone{{8e6, 1e4}}, 0.5, 0, 0)
	loud := solved(100, []tone{{8e6, 1e4}}, -0.4, 0.4, 0)
	if got := (finding{rings: []*ring{quiet, loud, quiet}}).loudest(); got != loud {
		t.Errorf("loudest %v", got.fit.coef)
	}
}

// Where less than two of five samples aren't clipped a ring isn't fitted; a ring beside a steady tone comes first, with
// its own covariance.
func TestDecayRefusedAndReordered(t *testing.T) {
	const n = 4000
	y := noise(rand.New(rand.NewPCG(2, 3)), n, 1e-3)
	decaying(y, 0, 1, 0.3, 0)
	a := &analysis{signal: Signal{Interval: 1, Samples: y}}
	for level, want := range map[float64]bool{-0.36: true, -0.25: false} { // arccos: 0.617, 0.580 of the time
		a.scan.clip = Clipping{High: true, HighLevel: level}
		_, err := a.decay(stretch{0, n}, candidate{omega: 0.3, cycles: 190})
		r, _ := err.(*Refusal)
		if (r != nil && r.Reason == TooMuchClipped) != want {
			t.Errorf("clipped from %v on: %v", level, err)
			continue
		}
		if want {
			near.To(t, "share clipped", r.Got, math.Acos(level)/math.Pi, 2e-3)
		}
	}
	a.scan.clip = Clipping{}
	decaying(y, 0, 0.5, 0.47, 3e-3)
	r := must.Get(a.decay(stretch{0, n}, candidate{omega: 0.3, cycles: 190})).In(t)
	near.Times(t, "the ring first", r.fit.tones[0].omega, 0.47, 1e-4)
	again := *r
	must.Do(t, again.settle())
	near.Times(t, "variance of its damping", r.cov[1][1], again.cov[1][1], 1e-12)
	if !r.decaying(0) || len(r.fit.tones) != 2 {
		t.Errorf("%+v", r.fit.tones)
	}
}

// Halves differ from 4.5 standard uncertainties on; a difference of a millionth of the frequency counts for one.
func TestHalvesThatDiffer(t *testing.T) {
	if !(halves{z: 4.6}).moved() || (halves{z: 4.4}).moved() {
		t.Error("4.5 standard uncertainties")
	}
	const n = 4000
	y := make([]float64, n) // phase goes on, ω is 20 millionths more in the second half
	for i := range y {
		phase := 0.3 * float64(i)
		if i > n/2 {
			phase += 0.3 * 20e-6 * float64(i-n/2)
		}
		y[i] = math.Cos(phase)
	}
	r := fitted(y, 1, 0, tone{0.3 * (1 + 10e-6), 0})
	r.fit = r.fit.series.solve(r.fit.tones)
	must.Do(t, r.settle())
	h, ok := r.halves()
	if !ok {
		t.Fatal("no halves")
	}
	near.Times(t, "standard uncertainties", h.z, 20, 0.05)
}

// Peaks that pass what is needed, on either side of it; tones of 2.8 cycles are no longer slow. What looks slow in a
// short chunk of a long capture isn't.
func TestLookAtItsLimits(t *testing.T) {
	make1 := func(cycles float64) []float64 {
		y := noise(rand.New(rand.NewPCG(5, 1)), 1024, 0.05)
		decaying(y, 0, 0.5, 2*math.Pi*cycles/1024, 0)
		return y
	}
	list, _ := look(make1(100), 1, 20)
	for factor, want := range map[float64]int{0.999: 1, 1.001: 0} {
		if got, _ := look(make1(100), 1, list[0].power*factor); len(got) != want {
			t.Errorf("%v of its power is needed: %d peaks", factor, len(got))
		}
	}
	if list, _ := look(make1(2.8), 1, 20); len(list) == 0 || math.Abs(list[0].cycles-2.8) > 0.2 {
		t.Errorf("2.8 cycles: %+v", list)
	}
	y := noise(rand.New(rand.NewPCG(5, 2)), 1<<14, 0.05)
	decaying(y, 0, 0.5, 2*math.Pi*20/(1<<14), 0)
	list, slow := find(y, 20)
	if len(list) == 0 || !(slow.power < 100) || !(list[0].power > 1e4) {
		t.Errorf("slow: %+v", slow)
	}
}

// Noise that repeats itself after 35 rows is known from the 350 rows on that ten lags each take.
func TestOrdersOfColour(t *testing.T) {
	for n, want := range map[int]bool{2000: true, 345: false} {
		y := noise(rand.New(rand.NewPCG(4, 1)), n, 1)
		for i := 35; i < n; i++ {
			y[i] += 0.9 * y[i-35]
		}
		if got := len(colourOf(average(y, 1, 0, 1, nil), y, 0).coefficients); (got >= 35) != want {
			t.Errorf("%d rows: order %d", n, got)
		}
	}
}

// ΣQ by brute force: of red noise the covariance at k rows is that of one times r^k; real columns, one, two or three, and
// those of a series turned back, each part by itself.
func TestColouringByBruteForce(t *testing.T) {
	const n, r = 256, 0.9
	c := colour{variance: 1 / (1 - r*r), innovation: 1, coefficients: []float64{r}}
	rng := rand.New(rand.NewPCG(4, 2))
	for _, turned := range []bool{false, true} {
		s := &series{block: 1, sampling: 1, re: make([]float64, n)}
		if turned {
			s.im = make([]float64, n)
		}
		for columns := 1; columns <= 3; columns++ {
			var q [][]float64
			for range columns {
				q = append(q, noise(rng, s.rows(), 1))
			}
			got := s.colouring(q, c)
			for k, col := range q {
				for i := range col {
					part := i / n * n
					sum := 0.0
					for j := range n {
						sum += c.variance * math.Pow(r, math.Abs(float64(i-part-j))) * col[part+j]
					}
					near.To(t, "ΣQ", got[k][i], sum, 1e-3)
				}
			}
		}
	}
}

// Cycles of a series of more than a cycle a row; the drift of a parabola whose least isn't in the middle; the noise at the
// tone of one that was turned back.
func TestRowsOfManyCycles(t *testing.T) {
	g := solved(10, []tone{{2 * math.Pi * 50, 0.1}}, 3, 4, 0)
	g.fit.series.sampling, g.colour.innovation = 1, 0.1
	near.To(t, "cycles", g.cycles(), 50*math.Min(1000, math.Log(5/math.Sqrt(0.2))/0.1), 1e-9)
	// 0.1 c + 0.1 (3c² − 1)/2 is least at c = −1/3, −1/15; greatest at 1, 0.2.
	near.To(t, "drift", (&projection{series: &series{drifts: bent}, coef: []float64{1, 0.1, 0.1}}).drift(), 0.2+1./15, 1e-4)
	g = solved(20, []tone{{8e6, 1e5}}, 0.6, 0.8, 0)
	g.long = solved(20, []tone{{8e6 + 3e4, 1e5}}, 0.6, 0.8, 0)
	g.long.fit.series.shift, g.long.fit.series.block = 8e6-2e5, 10
	g.long.colour = colour{variance: 4, innovation: 3, coefficients: []float64{0.5}, degrees: 20}
	near.To(t, "at the tone", g.noise().AtTone, 0.75/(1.25-math.Cos(2e5*1e-7)), 1e-9)
}

// Where no candidate can be fitted, what is told is why the first can't.
func TestFirstErrorIsTold(t *testing.T) {
	y := noise(rand.New(rand.NewPCG(6, 1)), 1000, 1)
	reason := func(list ...candidate) Refusal {
		a := &analysis{signal: Signal{Interval: 1, Samples: y}}
		_, err := a.choose(list)
		r, ok := err.(*Refusal)
		if !ok {
			t.Fatal(err)
		}
		return *r
	}
	slow, fast := candidate{omega: 2 * math.Pi / 600, cycles: 1.7, amplitude: 1}, candidate{omega: 0.9, cycles: 143, amplitude: 1}
	if a, b := reason(slow), reason(fast); a == b || reason(slow, fast) != a || reason(fast, slow) != b {
		t.Errorf("%v, %v; %v, %v", a, b, reason(slow, fast), reason(fast, slow))
	}
}

// A ring behind a steady tone is looked for where that is one stretch of half the capture or more, without clipping; the
// tone then keeps the analysis company, and the samples as they were are kept.
func TestLookedForBehind(t *testing.T) {
	const n = 8000
	y := noise(rand.New(rand.NewPCG(7, 3)), n, 2e-3)
	decaying(y, 0, 1, 0.25, 0)
	decaying(y, 3000, 0.3, 0.41, 5e-3)
	looked := func(change func(a *analysis, f *finding)) (*analysis, finding, bool) {
		a := &analysis{signal: Signal{Interval: 1, Samples: y}}
		steady := fitted(y, 1, 0, tone{0.25, 0})
		f := finding{rings: []*ring{steady}}
		change(a, &f)
		g, ok := a.behind(f)
		return a, g, ok
	}
	a, g, ok := looked(func(*analysis, *finding) {})
	if !ok || a.company == nil || &a.whole[0] != &y[0] || &a.signal.Samples[0] == &y[0] {
		t.Fatalf("%v, %+v", ok, a.company)
	}
	near.Times(t, "frequency of the ring", g.loudest().fit.tones[0].omega, 0.41, 1e-3)
	near.Times(t, "its damping", g.loudest().fit.tones[0].alpha, 5e-3, 0.03)
	near.Times(t, "frequency of the company", a.company.fit.tones[0].omega, 0.25, 1e-5)
	// Once more where the ring has died away, ten time constants of 200 samples behind its beginning at 3000: before it there is less.
	near.To(t, "first sample of the company", float64(a.company.from), 3000+10/5e-3, 60)
	near.To(t, "end of the company", float64(a.company.ring.to), n, 0)
	left := 0.0
	for _, v := range a.signal.Samples[6000:] {
		left += v * v / 2000
	}
	near.Times(t, "what the company leaves", math.Sqrt(left), 2e-3, 0.04)
	for what, change := range map[string]func(a *analysis, f *finding){
		"two stretches": func(a *analysis, f *finding) { f.rings = append(f.rings, f.rings[0]) }, "clipped": func(a *analysis, f *finding) { a.scan.clip = Clipping{Low: true, LowLevel: -5} },
		"less than half": func(a *analysis, f *finding) { f.rings[0].to = n/2 - 1 },
	} {
		if a, _, ok := looked(change); ok || a.company != nil {
			t.Errorf("%s: looked for a ring", what)
		}
	}
	if _, _, ok := looked(func(a *analysis, f *finding) { f.rings[0].to = n / 2 }); !ok {
		t.Error("half of the capture")
	}
}

// Bursts are found to a hop of the envelope of their own cycle where that of the whole is coarse.
func TestOnsetsFound(t *testing.T) {
	const n, cycle = 1 << 19, 20 // more cycles than 2¹⁴ windows: each is of two
	y := noise(rand.New(rand.NewPCG(7, 4)), n, 1e-3)
	var onsets []int
	for from := 5003; from < n-60000; from += 100001 {
		onsets = append(onsets, from)
		decaying(y[:min(n, from+100001)], from, 1, 2*math.Pi/cycle, 3e-4)
	}
	a := &analysis{signal: Signal{Interval: 1, Samples: y}}
	list := a.bursts(candidate{omega: 2 * math.Pi / cycle, noise: 1e-6, cycles: 800})
	if len(list) != len(onsets) {
		t.Fatalf("%d bursts of %d", len(list), len(onsets))
	}
	for i, st := range list {
		if late := st.from - onsets[i]; late < -cycle/2 || late > cycle {
			t.Errorf("burst %d is found %d samples behind its onset", i, late)
		}
	}
}

// Amplitude, offset and noise are those of the loudest burst, wherever it comes.
func TestLoudestBurstIsTold(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 2))
	y := append(noise(rng, 3000, 5e-3), noise(rng, 3000, 1e-3)...)
	decaying(y[:3000], 10, 0.5, 2*math.Pi/20, 0.004)
	decaying(y, 3010, 1, 2*math.Pi/20, 0.004)
	for i := range y {
		y[i] += 0.3
	}
	r := must.Get(Analyse(Signal{Interval: 1e-8, Samples: y}, Settings{Columns: 10})).In(t)
	if len(r.Bursts) != 2 {
		t.Fatalf("%d bursts", len(r.Bursts))
	}
	near.Times(t, "noise", r.Noise.RMS, 1e-3, 0.04)
	near.Times(t, "amplitude", r.Amplitude.Value, 1, 0.01)
	near.To(t, "offset", r.Offset.Value, 0.3, 1e-3)
	near.Times(t, "first burst", r.Bursts[0].Tone.Amplitude.Value, 0.5, 0.01)
	// Its spectrum is drawn, and its beginning from one cycle of 20 samples before it: under Hann's window a sine that
	// decays peaks at twice the mean of window times decay.
	length := (r.Bursts[1].End - r.Bursts[1].Start) / 1e-8
	peak := 0.0
	for i := 0.0; i < length; i++ {
		peak += 2 * math.Pow(math.Sin(math.Pi*i/length), 2) * math.Exp(-0.004*i) / length
	}
	near.Times(t, "peak of the spectrum", floats.Max(r.Drawing.Spectrum.Trace), peak, 0.02)
	near.To(t, "first column of the detail", r.Drawing.Detail.Trace.Time[0]/1e-8, 3010-20+0.05*12*20, 2)
}

// An offset that moves is kept when the stretch is cut behind the ring.
func TestOffsetMovesOn(t *testing.T) {
	const n = 6000
	y := noise(rand.New(rand.NewPCG(9, 3)), n, 1e-3)
	decaying(y, 0, 1, 0.3, 5e-3)
	for i := range y {
		x := float64(i) / n
		y[i] += 0.8*x - 3*x*x
	}
	a := &analysis{signal: Signal{Interval: 1, Samples: y}}
	r := must.Get(a.decay(stretch{0, n}, candidate{omega: 0.3, cycles: 200, noise: 1e-6})).In(t)
	if r.fit.series.drifts != bent || !(r.to < n/2) {
		t.Errorf("drifts %v, cut at %d", r.fit.series.drifts, r.to)
	}
	near.Times(t, "damping", r.fit.tones[0].alpha, 5e-3, 0.01)
}

// A peak that was passed over is left out as far as its decay makes it wide.
func TestPassedOverAsWideAsItIs(t *testing.T) {
	const n, alpha = 4096, 4e-3
	r := &ring{fit: &projection{series: &series{block: 1, sampling: 1, re: make([]float64, n)}, tones: []tone{{0.2, alpha}}}}
	r.fit.residual = noise(rand.New(rand.NewPCG(9, 4)), n, 1e-2)
	decaying(r.fit.residual, 0, 1.2e-2, 0.9, alpha)
	omega, ok := r.nextPeak(nil)
	if !ok || math.Abs(omega-0.9) > alpha {
		t.Errorf("%v, %v", omega, ok)
	}
	if at, again := r.nextPeak([]float64{omega}); again {
		t.Errorf("found again at %v", at)
	}
}
