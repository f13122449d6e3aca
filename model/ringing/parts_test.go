package ringing

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/near"
	"fitcoil/model/quantities"
)

// wave is a cosine of the frequency omega [rad per sample].
func wave(n int, amplitude, omega, phase float64) []float64 {
	y := make([]float64, n)
	for i := range y {
		y[i] = amplitude * math.Cos(omega*float64(i)+phase)
	}
	return y
}

// A tone of a whole number of cycles shows with its frequency and amplitude, its power over the
// floor, fewer than three cycles as slow.
func TestLookAtOneTone(t *testing.T) {
	const n = 1024
	rng := rand.New(rand.NewPCG(9, 1))
	noisy := func(cycles float64) []float64 {
		y := wave(n, 0.5, 2*math.Pi*cycles/n, 1)
		for i := range y {
			y[i] += 0.01 * rng.NormFloat64()
		}
		return y
	}
	for _, factor := range []float64{1, 4} {
		list, _ := look(noisy(100), factor, 20)
		if len(list) < 1 || len(list) > 3 { // with the window's side lobes
			t.Fatalf("%+v", list)
		}
		c := list[0]
		near.To(t, "frequency", c.omega, 2*math.Pi*100/n/factor, 1e-4/factor)
		near.To(t, "cycles", c.cycles, 100, 0.02)
		near.To(t, "amplitude", c.amplitude, 0.5, 0.01)
		near.To(t, "noise", c.noise/factor, 1e-4, 3e-5)
		near.To(t, "power", c.power*c.noise/factor*n*3/8, math.Pow(0.5*n/4, 2), 0.02*n*n/64)
		near.To(t, "weight", c.weight(), c.amplitude*math.Sqrt(c.omega), 1e-12)
	}
	if list, _ := look(noisy(400), 4, 20); len(list) != 0 { // above half the band
		t.Errorf("%+v", list)
	}
	if _, slow := look(noisy(2), 1, 20); !(math.Abs(slow.cycles-2) <= 0.3) || !(math.Abs(slow.amplitude-0.5) <= 0.05) {
		t.Errorf("two cycles: slow %+v", slow)
	}
}

// Of one peak seen in several chunks the most powerful stays, with the largest amplitude; the
// weightiest comes first. Apart are those four bins of the wider of the two apart.
func TestDistinctPeaks(t *testing.T) {
	of := func(omega, power, cycles, amplitude float64) candidate {
		return candidate{omega: omega, power: power, cycles: cycles, amplitude: amplitude}
	}
	got := distinct([]candidate{of(1, 50, 100, 1), of(1.039, 90, 200, 0.5), of(1.041, 70, 1000, 3), of(0.5, 80, 100, 9)})
	if len(got) != 2 || got[0].amplitude != 9 || got[1].omega != 1.039 || got[1].amplitude != 3 {
		t.Errorf("%+v", got)
	}
	if got := distinct([]candidate{of(1, 50, 100, 1), of(1.041, 90, 200, 0.5)}); len(got) != 2 || got[0].omega != 1 {
		t.Errorf("%+v", got)
	}
}

// Every fourth sample, under a low pass: a constant and a slow tone stay, a tone of more than half
// the old band over four is gone.
func TestDecimateEveryFourth(t *testing.T) {
	for _, c := range []struct{ omega, kept, room float64 }{{0, 1, 1e-12}, {0.1, 1, 1e-3}, {0.38, 1, 1e-3}, {1.2, 0, 2e-3}, {1.6, 0, 1e-3}, {3, 0, 1e-3}} {
		out := decimate(wave(4000, 1, c.omega, 0))
		if len(out) != 1000 {
			t.Fatalf("%d samples", len(out))
		}
		for m := 10; m < 990; m++ { // sample m stands in the middle of its four
			near.To(t, "decimated", out[m], c.kept*math.Cos(c.omega*(4*float64(m)+1.5)), c.room)
		}
	}
	flat := decimate(slices.Repeat([]float64{2}, 40))
	near.To(t, "at the ends", flat[0]+flat[9], 4, 1e-12)
}

// A candidate is accounted for by a tone within four bins, by a multiple within 0.3, at least a
// part in a thousand.
func TestAccountedFor(t *testing.T) {
	a := &analysis{signal: Signal{Interval: 0.5}}
	seen := []tone{{omega: 2}} // 1 rad per sample
	for _, c := range []struct {
		omega, cycles float64
		want          bool
	}{
		{1.039, 100, true}, {1.05, 100, false}, {0.962, 100, true}, {0.95, 100, false},
		{2.005, 100, true}, {2.0061, 100, false}, {1.0009, 1e5, true}, {1.0011, 1e5, false},
		{3.0029, 1e5, true}, {3.0031, 1e5, false}, {0.5, 100, false}, {0.5, 4, false},
	} {
		if a.accounted(candidate{omega: c.omega, cycles: c.cycles}, seen) != c.want {
			t.Errorf("%+v", c)
		}
	}
}

// Of several voltages the coil's is the only one with a tone, or that decays.
func TestSole(t *testing.T) {
	steady, decay := &Result{Kind: Steady}, &Result{Kind: Decay}
	for _, c := range []struct {
		of []*Result
		at int
		ok bool
	}{
		{nil, 0, false}, {[]*Result{nil, steady}, 1, true}, {[]*Result{nil, nil, decay}, 2, true}, {[]*Result{steady, decay, nil}, 1, true},
		{[]*Result{steady, steady}, 0, false}, {[]*Result{decay, steady, decay}, 0, false},
	} {
		if at, ok := Sole(c.of); at != c.at || ok != c.ok {
			t.Errorf("%v: %d, %v", c.of, at, ok)
		}
	}
}

// What cannot be analysed, on either side of its limit.
func TestCheckOfASignal(t *testing.T) {
	good := func() Signal { return Signal{Interval: 1, Samples: make([]float64, 16)} }
	for what, c := range map[string]struct {
		change func(s *Signal)
		want   *Refusal
	}{
		"good":        {func(s *Signal) {}, nil},
		"few":         {func(s *Signal) { s.Samples = s.Samples[:15] }, &Refusal{Reason: TooFewSamples, Got: 15, Need: 16}},
		"no interval": {func(s *Signal) { s.Interval = 0 }, &Refusal{Reason: BadInterval}},
		"backward":    {func(s *Signal) { s.Interval = -1 }, &Refusal{Reason: BadInterval, Got: -1}},
		"endless":     {func(s *Signal) { s.Interval = math.Inf(1) }, &Refusal{Reason: BadInterval, Got: math.Inf(1)}},
		"uncertain":   {func(s *Signal) { s.IntervalUncertainty = -1 }, &Refusal{Reason: BadInterval, Got: 1}},
		"unknown":     {func(s *Signal) { s.IntervalUncertainty = math.Inf(1) }, &Refusal{Reason: BadInterval, Got: 1}},
		"overload":    {func(s *Signal) { s.Samples[3] = -9.9e37 }, &Refusal{Reason: NotFinite, Got: -9.9e37, Index: 3}},
		"large":       {func(s *Signal) { s.Samples[3] = -9.8e37 }, nil},
	} {
		s := good()
		c.change(&s)
		got, _ := s.check().(*Refusal)
		if (got == nil) != (c.want == nil) || got != nil && *got != *c.want {
			t.Errorf("%s: %+v, want %+v", what, got, c.want)
		}
	}
	s := Signal{Start: -0.3, Interval: 0.1}
	near.To(t, "time", s.time(5), 0.2, 1e-15)
	if v := s.time(3); v != 0 {
		t.Errorf("%v is not 0", v)
	}
	if v := (Signal{Start: -0.3 + 2e-7, Interval: 0.1}).time(3); v == 0 {
		t.Error("a fifth of a millionth is 0")
	}
}

// Beats while both last, three time constants of the shorter at most; what is resolved, on either
// side of each limit, in a record of 1 s: three swings, a damping of a quarter of ω, growth by e³.
func TestResolved(t *testing.T) {
	s := &series{block: 1, sampling: 1e-3, re: make([]float64, 1000)}
	at := func(hz, alpha float64) tone { return tone{2 * math.Pi * hz, alpha} }
	near.To(t, "beats", s.beats(at(10, 0), at(14, -1)), 4, 1e-12)
	near.To(t, "beats of a decay", s.beats(at(14, 6), at(10, 1)), 2, 1e-12)
	for _, c := range []struct {
		tones []tone
		want  bool
	}{
		{[]tone{at(3.01, 0)}, true}, {[]tone{at(2.99, 0)}, false},
		{[]tone{at(10, 15.7)}, true}, {[]tone{at(10, 15.8)}, false}, {[]tone{at(10, -2.99)}, true}, {[]tone{at(10, -3.01)}, false},
		{[]tone{at(10, 0), at(10.26, 0)}, true}, {[]tone{at(10, 0), at(10.24, 0)}, false},
		{[]tone{at(10, 0), at(20, 0), at(20.2, 0)}, false},
	} {
		if (&projection{series: s, tones: c.tones}).resolved() != c.want {
			t.Errorf("%v: %v", c.tones, !c.want)
		}
	}
}

// The strongest tone is the one with most energy: A²(1 − e^{−2αT})/2α, T where it is steady.
func TestStrongestFirst(t *testing.T) {
	const n = 1000
	y := make([]float64, n)
	tones := []tone{{0.3, 0.02}, {0.5, 0}, {0.9, 0.002}}
	for k, a := range []float64{1, 0.2, 0.3} { // energies 25, 40, 22
		for i := range y {
			y[i] += a * math.Exp(-tones[k].alpha*float64(i)) * math.Cos(tones[k].omega*float64(i))
		}
	}
	p := project(average(y, 1, 0, 1, nil), tones)
	p.at(make([]float64, 6))
	sorted := p.strongestFirst()
	if sorted.tones[0] != tones[1] || sorted.tones[1] != tones[0] || sorted.tones[2] != tones[2] {
		t.Errorf("%v", sorted.tones)
	}
	near.To(t, "amplitude", math.Hypot(sorted.coef[0], sorted.coef[1]), 0.2, 1e-9)
}

// A tone surely decays from four standard uncertainties on, and if it falls by a hundredth; one
// surely lasts if its damping, two more included, is below a fifth of the strongest's.
func TestDecayingAndSteady(t *testing.T) {
	of := func(alpha, u, second, v float64) *ring {
		g := solved(10, []tone{{1e6, alpha}, {2e6, second}}, 1, 0, 1, 0, 0)
		g.cov[1][1], g.cov[3][3] = u*u, v*v
		return g // 1000 rows of 10 ns
	}
	for _, c := range []struct {
		alpha, u float64
		want     bool
	}{{4.1e4, 1e4, true}, {3.9e4, 1e4, false}, {1010, 10, true}, {990, 10, false}, {-1e5, 10, false}} {
		if of(c.alpha, c.u, 0, 1).decaying(0) != c.want {
			t.Errorf("%+v", c)
		}
	}
	for _, c := range []struct {
		second, v float64
		want      bool
	}{{1.7e4, 1e3, true}, {1.9e4, 1e3, false}, {-1.9e4, 1e3, false}, {-1.7e4, 1e3, true}} {
		if of(1e5, 10, c.second, c.v).steady(1) != c.want {
			t.Errorf("%+v", c)
		}
	}
	if of(500, 10, 0, 1).steady(1) {
		t.Error("beside a steady tone another lasts")
	}
	// A tone that dies away comes before a steady one, unless it is weak or a harmonic.
	for _, c := range []struct {
		tones []tone
		size  float64
		first int
	}{
		{[]tone{{1e6, 0}, {1.7e6, 1e5}}, 0.06, 1}, {[]tone{{1e6, 0}, {1.7e6, 1e5}}, 0.04, 0}, {[]tone{{1e6, 0}, {2.01e6, 1e5}}, 0.5, 0},
		{[]tone{{1e6, 0}, {2.03e6, 1e5}}, 0.5, 1}, {[]tone{{1e6, 2e5}, {1.7e6, 1e5}}, 0.5, 0}, {[]tone{{1e6, 0}, {1.7e6, 0}}, 0.5, 0},
	} {
		y := make([]float64, 1000)
		for i := range y {
			s := float64(i) * 1e-8
			for k, o := range c.tones {
				y[i] += []float64{1, c.size}[k] * math.Exp(-o.alpha*s) * math.Cos(2*math.Pi*o.omega*s)
			}
		}
		for k := range c.tones {
			c.tones[k].omega *= 2 * math.Pi
		}
		p := project(average(y, 1e-8, 0, 1, nil), c.tones)
		p.at(make([]float64, 4))
		g := &ring{fit: p, cov: make([][]float64, 9)}
		for i := range g.cov {
			g.cov[i] = make([]float64, 9)
		}
		if g.ringFirst(); g.fit.tones[0] != c.tones[c.first] || len(g.fit.tones) != 2 {
			t.Errorf("%v, %v of the first: %v", c.tones, c.size, g.fit.tones)
		}
	}
}

// What is in company is taken off and added where it was, its offset only once.
func TestCompanyIsTakenOff(t *testing.T) {
	tones := []tone{{0.4, 0}}
	y := wave(200, 2, 0.4, 0.3)
	for i := range y {
		y[i] += 0.7
	}
	p := project(average(y[50:150], 1, 0, 1, nil), tones)
	p.at(make([]float64, 2))
	a := &analysis{signal: Signal{Interval: 1, Samples: y}}
	b := a.without(&company{fit: p, from: 50})
	for _, v := range b.signal.Samples {
		near.To(t, "left", v, 0.7, 1e-10)
	}
	if &b.whole[0] != &y[0] || b.company == nil {
		t.Error("the whole is lost")
	}
	back := slices.Clone(b.signal.Samples[20:30])
	b.company.add(back, 20, 1)
	for i, v := range back {
		near.To(t, "back", v, y[20+i], 1e-10)
	}
	(*company)(nil).add(back, 0, 1)
}

// All that is told has no uncertainty once what a ring leaves is four times the noise.
func TestDisclaim(t *testing.T) {
	made := func(excess float64) *Result {
		return &Result{Notes: []Note{{Kind: Misfit, Values: [4]float64{9}}, {Kind: NotOneSine, Values: [4]float64{excess}}}, QualityAtLeast: 5, Covariance: Covariance{{1}},
			Tones: []Tone{{QualityAtLeast: 1}}, Modes: []Tone{{QualityAtLeast: 1}}, Bursts: []Burst{{Tone: Tone{QualityAtLeast: 1}}}}
	}
	all := func(r *Result) (list []bool) {
		for _, e := range []quantities.Estimate{r.Resonance, r.Frequency, r.Quality, r.Damping, r.Amplitude, r.Offset} {
			list = append(list, e.Unclaimed)
		}
		for _, t := range []Tone{r.Tones[0], r.Modes[0], r.Bursts[0].Tone} {
			list = append(list, t.Frequency.Unclaimed, t.Natural.Unclaimed, t.Damping.Unclaimed, t.Quality.Unclaimed, t.Amplitude.Unclaimed, t.QualityAtLeast == 0)
		}
		return append(list, r.Unclaimed, r.QualityAtLeast == 0, r.Covariance == nil)
	}
	r := made(4.1)
	if r.disclaim(); slices.Contains(all(r), false) {
		t.Errorf("%+v", r)
	}
	r = made(4)
	if r.disclaim(); slices.Contains(all(r), true) {
		t.Errorf("%+v", r)
	}
}

// Runs of three and more hold most of the samples; how many samples lie flat at a rail.
func TestRunsAndRails(t *testing.T) {
	one := func(v float64) bool { return v == 1 }
	for _, c := range []struct {
		y    []float64
		want bool
	}{
		{[]float64{1, 1, 1, 0, 1, 1}, true}, {[]float64{1, 1, 0, 1, 1, 0, 1, 1, 1}, false}, {[]float64{1, 1, 0, 1, 1, 1}, true}, {[]float64{0, 1, 1, 1, 0, 1, 1, 0, 1}, false},
	} {
		n := 0
		for _, v := range c.y {
			n += int(v)
		}
		if inRuns(c.y, one, n) != c.want {
			t.Errorf("%v", c.y)
		}
	}
	y := wave(4000, 1, 2*math.Pi/130.7, 0)
	high := 0
	for i, v := range y {
		if v > 0.6 {
			y[i] = 0.6
			high++
		}
	}
	s := scanSamples(y)
	if !s.clip.High || s.clip.Low || s.max != 0.6 || !(math.Abs(s.min+1) <= 1e-3) || !(s.clip.Samples-high >= 0 && s.clip.Samples-high < 60) || !(s.clip.HighLevel > 0.59 && s.clip.HighLevel < 0.6) {
		t.Errorf("%+v, %d at the rail", s, high)
	}
	c := Clipping{High: true, HighLevel: 1, LowLevel: -1}
	if !c.beyond(1.01, 0) || c.beyond(1, 0) || !c.beyond(0.95, 0.1) || c.beyond(-2, 0) || !c.any() || (Clipping{}).any() {
		t.Errorf("%+v", c)
	}
	if c = (Clipping{Low: true, HighLevel: 1, LowLevel: -1}); !c.beyond(-1.01, 0) || c.beyond(-1, 0) || !c.beyond(-0.95, 0.1) || c.beyond(2, 0) || !c.any() {
		t.Errorf("%+v", c)
	}
}

// Pieces that may belong together lie no more than 400 cycles apart, and have no more rows in all
// than are fitted at once: 2¹⁴ of 32 a cycle.
func TestJoinable(t *testing.T) {
	c := candidate{omega: 2 * math.Pi / 10}
	of := func(from ...int) *pieces {
		p := &pieces{}
		for _, f := range from {
			p.list = append(p.list, stretch{f, f + 100})
		}
		return p
	}
	for _, x := range []struct {
		p    *pieces
		i    int
		want int
	}{
		{of(0, 4000, 8000), 0, 2}, {of(0, 4001), 0, 0}, {of(0, 2000, 6001), 0, 1}, {of(0, 9000, 10000), 1, 2}, {of(0), 0, 0},
		{of(0, 4000, 8000, 12000, 16000, 16284), 0, 5}, {of(0, 4000, 8000, 12000, 16000, 16285), 0, 4},
	} {
		if got := x.p.joinable(x.i, c); got != x.want {
			t.Errorf("%v from %d: %d, want %d", x.p.list, x.i, got, x.want)
		}
	}
	slow := candidate{omega: 2 * math.Pi / 320}
	if got := of(0, 100000, 163740).joinable(0, slow); got != 2 { // rows of ten samples
		t.Error(got)
	}
	if got := of(0, 100000, 163741).joinable(0, slow); got != 1 {
		t.Error(got)
	}
}

// A fit over several pieces explains them if it leaves no more than 1.3 times what their own leave,
// or, where they have none, than 3 % of the energy.
func TestExplains(t *testing.T) {
	const n = 400
	y := wave(n, 1, 0.3, 0)
	fitOf := func(amplitude float64) *projection { // coefficients of a wave that isn't fitted
		return &projection{series: &series{block: 1, sampling: 1, re: make([]float64, n)}, tones: []tone{{0.3, 0}}, coef: []float64{amplitude, 0, 0}}
	}
	a := &analysis{signal: Signal{Interval: 1, Samples: y}}
	g := &ring{stretch: stretch{0, n}, fit: fitOf(0.9)}
	near.To(t, "squares", a.squares(g, stretch{0, n}), 0.01*n/2, 0.02)
	for left, want := range map[float64]bool{0.1 * math.Sqrt(1.28): true, 0.1 * math.Sqrt(1.32): false} {
		if r := (&ring{stretch: stretch{0, n}, fit: fitOf(1 - left)}); a.explains(r, []*ring{nil, g}) != want {
			t.Errorf("%v of the wave left, beside 0.1: %v", left, !want)
		}
	}
	for left, want := range map[float64]bool{math.Sqrt(0.0385): true, math.Sqrt(0.0395): false} {
		if r := (&ring{stretch: stretch{0, n}, fit: fitOf(1 - left)}); a.explains(r, []*ring{nil}) != want {
			t.Errorf("%v of the wave left, beside nothing: %v", left, !want)
		}
	}
	a.scan.clip = Clipping{High: true, HighLevel: 0.5}
	if got := a.squares(g, stretch{0, n}); !(got < 0.01*n/2*0.75) {
		t.Errorf("squares without what is clipped: %v", got)
	}
}
