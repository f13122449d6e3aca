package ringing

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// fitted is a ring of tones over samples that are fitted as they are, with the tones given.
func fitted(y []float64, interval float64, from int, tones ...tone) *ring {
	p := project(average(y[from:], interval, 0, 1, nil), tones)
	p.at(make([]float64, 2*len(tones)))
	return &ring{stretch: stretch{from, len(y)}, fit: p}
}

// decaying adds to y a tone of unit interval that begins at a sample.
func decaying(y []float64, from int, amplitude, omega, alpha float64) {
	for i := from; i < len(y); i++ {
		y[i] += amplitude * math.Exp(-alpha*float64(i-from)) * math.Cos(omega*float64(i-from))
	}
}

func noise(rng *rand.Rand, n int, sigma float64) []float64 {
	y := make([]float64, n)
	for i := range y {
		y[i] = sigma * rng.NormFloat64()
	}
	return y
}

// squared is the mean square about a straight line through all, or as it is.
func squared(y []float64, line bool) (sum float64) {
	x := make([]float64, len(y))
	for i := range x {
		x[i] = float64(i)
	}
	var a, b float64
	if line {
		a, b = stat.LinearRegression(x, y, nil, false)
	}
	for i, v := range y {
		sum += (v - a - b*x[i]) * (v - a - b*x[i]) / float64(len(y))
	}
	return sum
}

// The residual of the first time constant (200 rows) over that of the quietest place: behind three time
// constants, behind the ring or before it, each of 64 rows and three cycles at least, a straight line taken
// off what the ring isn't fitted in; no less than the steps of the converter leave, nor 1e-5 of the
// amplitude; and 1 where an F distribution gives as much once in 100 000.
func TestExcessByHand(t *testing.T) {
	const n, omega = 1000, 2 * math.Pi / 20
	rng := rand.New(rand.NewPCG(11, 1))
	make1 := func(early float64) (*analysis, *ring) {
		y := make([]float64, 3*n)
		copy(y, noise(rng, n, 0.5))
		copy(y[2*n:], noise(rng, n, 0.4))
		for i := range y[:n] {
			y[i] += 1e-3 * float64(i)
			y[2*n+i] -= 2e-3 * float64(i)
		}
		a := &analysis{signal: Signal{Interval: 1, Samples: y}}
		r := &ring{stretch: stretch{n, 2 * n}, fit: &projection{series: &series{block: 1, sampling: 1, re: make([]float64, n)}, tones: []tone{{omega, 1. / 200}}, coef: []float64{3, 4, 0}}}
		r.fit.residual = append(noise(rng, 200, early), noise(rng, 800, 1)...)
		return a, r
	}
	a, r := make1(3)
	here := squared(r.fit.residual[:200], false)
	late := squared(r.fit.residual[600:], false)
	behind, before := squared(a.signal.Samples[2*n:], true), squared(a.signal.Samples[:n], true)
	for i, c := range []struct {
		st     stretch
		before stretch
		there  float64
	}{
		{stretch{n, 2 * n}, stretch{}, late}, {stretch{n, 3 * n}, stretch{}, behind}, {stretch{n, 2 * n}, stretch{0, n}, before},
		{stretch{n, 3 * n}, stretch{0, n}, behind}, {stretch{n, 2*n + 63}, stretch{n - 63, n}, late},
		{stretch{n, 2*n + 64}, stretch{}, squared(a.signal.Samples[2*n:2*n+64], true)}, {stretch{n, 2 * n}, stretch{n - 64, n}, squared(a.signal.Samples[n-64:n], true)},
	} {
		r.before = c.before
		near.Times(t, "excess "+string(rune('0'+i)), a.excess(r, c.st), math.Sqrt(here/c.there), 1e-9)
	}
	r.before = stretch{}
	a.scan.step = 6
	near.Times(t, "above the steps", a.excess(r, r.stretch), math.Sqrt(here/3), 1e-9)
	a.scan.step = 0
	r.fit.coef = []float64{1.2e5, 0, 0}
	near.Times(t, "above rounding", a.excess(r, r.stretch), math.Sqrt(here/1.44), 1e-9)
	r.fit.coef[0] = 5
	most := distuv.F{D1: 200, D2: 400}.Quantile(1 - 1e-5)
	for factor, told := range map[float64]bool{0.97: false, 1.03: true} {
		now := squared(r.fit.residual[:200], false)
		for i := range 200 {
			r.fit.residual[i] *= math.Sqrt(factor * most * late / now)
		}
		if got := a.excess(r, r.stretch); got > 1 != told {
			t.Errorf("%v of what chance gives: %v", factor, got)
		}
	}
	r.fit.tones[0].alpha = 0
	near.To(t, "of a steady tone", a.excess(r, stretch{n, 3 * n}), 1, 0)
}

// A tone must stand out of its uncertainty as the strongest of n independent bins does once in 10 000; what
// doesn't is no tone, or, where it is twice as large as white noise of the residual's size allows, no fit. Fewer
// than three cycles are too few: the record ends, or the ring dies in one that held six.
func TestSettledAtItsLimits(t *testing.T) {
	const n = 2000
	need := math.Sqrt(2 * math.Log(n/1e-4))
	y := noise(rand.New(rand.NewPCG(3, 3)), 3*n, 1e-3)
	decaying(y, n, 1, 0.2, 0)
	settle := func(u, rms, omega float64, rows int) (*analysis, *ring, *Refusal) {
		a := &analysis{signal: Signal{Interval: 1, Samples: y}, first: n}
		r := fitted(y[:n+rows], 1, n, tone{omega, 0})
		v, _ := solved(1, r.fit.tones, r.fit.coef...).amplitude(0)
		r.rms, r.colour.degrees, r.colour.innovation = rms, 100, 1e-6
		r.cov = make([][]float64, 5)
		for i := range r.cov {
			r.cov[i] = make([]float64, 5)
			r.cov[i][i] = v * v * u * u
		}
		r, err := a.settled(r, stretch{n, 3 * n}, candidate{omega: omega})
		refusal, _ := err.(*Refusal)
		return a, r, refusal
	}
	if a, r, err := settle(0.99/need, 1, 0.2, n); err != nil || r.before != (stretch{0, n - 2*31}) || a.like != r.fit.tones[0] || r.excess != 1 {
		t.Errorf("%+v, %+v", err, r)
	}
	white := 1 / (2 * need * math.Sqrt(2./n))
	for rms, want := range map[float64]Reason{1.03 * white: NoTone, 0.97 * white: NoFit} {
		_, _, err := settle(1.01/need, rms, 0.2, n)
		if err == nil || err.Reason != want {
			t.Errorf("%+v, want %v", err, want)
			continue
		}
		if want == NoTone {
			near.Times(t, "what there is", err.Got, need/1.01, 1e-6)
			near.Times(t, "what would do", err.Need, need, 1e-9)
		}
	}
	for _, c := range []struct {
		omega float64
		rows  int
		want  Short
		too   bool
	}{{0.2, 95, 0, false}, {0.2, 93, Dies, true}, {2 * math.Pi / 660, 1900, Dies, true}, {2 * math.Pi / 680, 2000, RecordEnds, true}} {
		_, _, err := settle(1e-3, 1, c.omega, c.rows)
		if (err != nil) != c.too || c.too && (err.Reason != TooFewCycles || err.Short != c.want || !(err.Got < 3) || err.Need != 3) {
			t.Errorf("%+v: %+v", c, err)
		}
	}
	a := &analysis{signal: Signal{Samples: append(make([]float64, 4096), 1, -1, 1, -1)}}
	near.To(t, "loudness of the beginning", a.loudness(stretch{0, 4100}), 0, 0)
	near.Times(t, "of another", a.loudness(stretch{4096, 4100}), 1, 1e-12)
	near.Times(t, "of 4096 samples", a.loudness(stretch{4, 4100}), (4-0.)/4096, 1e-9)
}

// A stretch is cut ten time constants behind its beginning, at 16 samples at the earliest, where that is a
// twentieth of it or more, and where nothing is left there: 2 % of the amplitude, two steps of the converter,
// six times the scatter of the envelope.
func TestShortenedAtItsLimits(t *testing.T) {
	c := candidate{omega: 2 * math.Pi / 12}
	shorten := func(to int, alpha, left, step, noise float64) (int, bool) {
		y := make([]float64, 2000)
		decaying(y, 100, left, c.omega, 0)
		a := &analysis{signal: Signal{Interval: 2, Samples: y}, scan: scan{step: step}}
		r := &ring{stretch: stretch{100, to}, limited: true, fit: &projection{tones: []tone{{c.omega / 2, alpha}}, coef: []float64{3, 4, 0}}}
		c.noise = noise
		cut := a.shorten(r, c)
		if cut == r.limited {
			t.Errorf("cut %v, limited %v", cut, r.limited)
		}
		return r.to, cut
	}
	for i, x := range []struct {
		to                      int
		alpha, left, step, size float64
		want                    int
	}{
		{1100, 0.01, 0, 0, 0, 600}, {1100, 0.00501, 0, 0, 0, 1100}, {1100, 0.0055, 0, 0, 0, 100 + 910}, {1100, 10, 0, 0, 0, 116}, {1100, 0, 0, 0, 0, 1100}, {1100, -1, 0, 0, 0, 1100},
		{1100, 10. / 2 / 949, 0, 0, 0, 1049}, {1100, 10. / 2 / 951, 0, 0, 0, 1100},
		{1100, 0.01, 0.099, 0, 0, 600}, {1100, 0.01, 0.101, 0, 0, 1100}, {1100, 0.01, 0.99, 0.5, 0, 600}, {1100, 0.01, 1.01, 0.5, 0, 1100},
		{1100, 0.01, 5.9, 0, 6, 600}, {1100, 0.01, 6.1, 0, 6, 1100}, // scatter √(2·6/12)
	} {
		if to, cut := shorten(x.to, x.alpha, x.left, x.step, x.size); to != x.want || cut != (x.want < x.to) {
			t.Errorf("%d: cut at %d, want %d", i, to, x.want)
		}
	}
}

// Clipped are the samples at the rail, and, once there is a fit, those that the model puts within a step and
// three residuals of it. A fit has moved them when more than one in a thousand changes.
func TestClippedByTheModel(t *testing.T) {
	y := make([]float64, 3000)
	y[1] = 0.95
	a := &analysis{signal: Signal{Interval: 1, Samples: y}, scan: scan{step: 0.02, clip: Clipping{High: true, HighLevel: 0.9}}}
	r := &ring{stretch: stretch{0, 3000}, rms: 0.01}
	drop := a.clipped(r)
	if drop(0) || !drop(1) {
		t.Error("before a fit: not the one at the rail")
	}
	slow := func(amplitude float64) *projection {
		return &projection{series: &series{block: 1, sampling: 1, re: y}, tones: []tone{{1e-9, 0}}, coef: []float64{amplitude, 0, 0}}
	}
	r.fit = slow(0.84)
	if drop = a.clipped(r); drop(0) || !drop(1) {
		t.Error("the model is 0.06 below the rail")
	}
	r.fit = slow(0.86)
	if drop = a.clipped(r); !drop(0) {
		t.Error("the model is 0.04 below the rail, a step and three residuals 0.05")
	}
	r.fit = slow(0)
	for moved, want := range map[int]bool{0: false, 3: false, 4: true} {
		s := &series{skip: make([]bool, 3000)}
		s.skip[1] = true
		for i := range moved {
			s.skip[10+i] = true
		}
		if a.reclip(r, s) != want {
			t.Errorf("%d of 3000 moved: %v", moved, !want)
		}
	}
	a.scan.clip = Clipping{}
	if a.clipped(r) != nil || a.reclip(r, &series{skip: make([]bool, 3000)}) {
		t.Error("clipped without a rail")
	}
}

// The start of a tone: the highest bin within a spread of three bins or more; of the dampings −4, −2, −1, 0, ½, 1,
// 2, 4 … over the record the one that leaves least; eight rows a cycle are enough. An offset that moves as a
// parabola or fades is seen.
func TestStartOfATone(t *testing.T) {
	const n, omega = 2000, 0.2
	for _, decays := range []float64{-4, -2, -1, 0, 0.5, 1, 2, 4, 8, 16, 32} {
		y := make([]float64, n)
		decaying(y, 0, 1, omega, decays/n)
		best, left := average(y, 1, 0, 1, nil).startDamping(omega)
		near.Times(t, "damping", n+best.alpha*n, n+decays, 1e-12)
		if best.omega != omega || left > 1e-12*n {
			t.Errorf("%v decays: %+v leaves %v", decays, best, left)
		}
	}
	y := make([]float64, n)
	decaying(y, 0, 1, omega, 0)
	decaying(y, 0, 2, 0.3, 0)
	s := average(y, 1, 0, 1, nil)
	near.Times(t, "within the spread", s.startFrequency(0.19, 0.03), omega, 2e-3)
	near.Times(t, "the higher", s.startFrequency(0.22, 0.1), 0.3, 2e-3)
	near.Times(t, "three bins at least", s.startFrequency(omega+2.5*2*math.Pi/4096, 0), omega, 2e-3)
	coarse := average(make([]float64, n), 0.5, 0, 3, nil).coarse(2 * math.Pi / 100 / 0.5) // 33.3 rows a cycle
	if coarse.block != 12 || len(coarse.re) != 166 {
		t.Errorf("coarse: blocks of %d, %d rows", coarse.block, len(coarse.re))
	}
	for what, offset := range map[drift]func(x float64) float64{
		still: func(x float64) float64 { return 3 }, bent: func(x float64) float64 { return 2*x - 1.5*x*x }, fading: func(x float64) float64 { return 4 * math.Exp(-30*x) },
	} {
		y := noise(rand.New(rand.NewPCG(8, 8)), n, 1e-3)
		decaying(y, 0, 1, omega, 2./n)
		for i := range y {
			y[i] += offset(float64(i) / n)
		}
		s := average(y, 1, 0, 1, nil)
		best := s.start(omega, 0.01)
		near.Times(t, "frequency", best.omega, omega, 2e-3)
		near.Times(t, "damping", best.alpha*1998, 2, 1e-12) // in 666 rows of three
		if s.drifts != what {
			t.Errorf("the offset moves as %v, want %v", s.drifts, what)
		}
	}
}

// Starts of two tones: on a grid of beats and dampings, about the one or to either side, the four that leave
// least; the first is what the record is made of.
func TestPairsOnTheGrid(t *testing.T) {
	const omega = 1.4
	for _, c := range []struct{ n, beats, decays, at float64 }{{700, 0.3, 0, 0}, {700, 1, 1, 0}, {700, 1.5, 4, 0.5}, {700, 8, 8, 1}, {700, 32, 0.5, 1}, {700, 24, 16, 0.5}, {700, 3, 2, 0}, {60, 1, 16, 0.5}} {
		n := c.n
		apart := 2 * math.Pi * c.beats / n
		y := make([]float64, int(n))
		decaying(y, 0, 1, omega-c.at*apart, c.decays/n)
		decaying(y, 0, 0.5, omega-c.at*apart+apart, c.decays/n)
		starts := average(y, 1, 0, 1, nil).pairs(tone{omega, 0})
		if len(starts) != 4 {
			t.Fatalf("%d starts", len(starts))
		}
		for k, want := range []tone{{omega - c.at*apart, c.decays / n}, {omega + (1-c.at)*apart, c.decays / n}} {
			near.Times(t, "frequency", starts[0][k].omega, want.omega, 1e-9)
			near.To(t, "damping", starts[0][k].alpha, want.alpha, 1e-12)
		}
	}
	for _, start := range average(noise(rand.New(rand.NewPCG(1, 2)), 60, 1), 1, 0, 1, nil).pairs(tone{omega, 0}) {
		if start[1].omega-start[0].omega > 0.25*omega || start[0].alpha > omega/4 {
			t.Errorf("a start of %v", start)
		}
	}
}

// A further tone is looked for in the residual where a peak is higher than noise of the floor once in 10 000
// records, ln(bins/1e-4) times the mean; peaks passed over are not looked at again. The criterion is Schwarz's.
func TestNextPeak(t *testing.T) {
	const n, sigma = 4096, 0.3
	for seed := range uint64(4) {
		least := math.Sqrt(4 * sigma * sigma / n * math.Log(n/2/1e-4))
		for times, want := range map[float64]bool{1.45: true, 0.6: false} {
			r := &ring{fit: &projection{series: &series{block: 1, sampling: 1, re: make([]float64, n)}, tones: []tone{{0.2, 0}}}}
			r.fit.residual = noise(rand.New(rand.NewPCG(seed, 5)), n, sigma)
			decaying(r.fit.residual, 0, times*least, 0.9, 0)
			omega, ok := r.nextPeak(nil)
			if ok != want || want && math.Abs(omega-0.9) > 1e-3 {
				t.Errorf("%v times the least: %v at %v", times, ok, omega)
			}
			if _, again := r.nextPeak([]float64{0.9}); again {
				t.Error("what was passed over is found again")
			}
		}
	}
	r := &ring{fit: &projection{series: &series{re: make([]float64, 100), skip: append(make([]bool, 99), true)}, tones: make([]tone, 2), coef: make([]float64, 7)},
		colour: colour{innovation: 0.5, coefficients: []float64{0.1, 0.2, 0.3}}}
	near.To(t, "criterion", r.criterion(), 99*math.Log(0.5)+(7+4+3)*math.Log(99), 1e-9)
}

// The rms is over the samples that aren't left out, block by block.
func TestRMSOfSamples(t *testing.T) {
	const n = 10000
	y := noise(rand.New(rand.NewPCG(6, 6)), n, 1)
	a := &analysis{signal: Signal{Interval: 1, Samples: y}}
	skip := make([]bool, n-100)
	for i := range skip {
		skip[i] = i%3 == 1
	}
	r := &ring{stretch: stretch{100, n}, fit: &projection{series: &series{block: 1, sampling: 1, re: y[100:], skip: skip}, tones: []tone{{0.3, 1e-3}}, coef: []float64{2, 1, 0.5}}}
	sum, count := 0.0, 0.0
	for i, left := range skip {
		if !left {
			s, c := math.Sincos(0.3 * float64(i))
			d := y[100+i] - 0.5 - math.Exp(-1e-3*float64(i))*(2*c-s)
			sum, count = sum+d*d, count+1
		}
	}
	near.Times(t, "rms", a.rms(r), math.Sqrt(sum/count), 1e-9)
}

// A decay is fitted from its first sample on, in blocks of a 32nd of a cycle, up to 2¹⁴ of them, or to twelve time
// constants of the ring before; sample by sample where some are clipped.
func TestDecayInBlocks(t *testing.T) {
	const n, omega = 100000, 2 * math.Pi / 200
	y := noise(rand.New(rand.NewPCG(2, 9)), n, 0.01)
	decaying(y, 1000, 1, omega, 2e-5)
	c := candidate{omega: omega, cycles: 80}
	for _, k := range []struct {
		like  float64
		clip  bool
		to    int
		block int
		most  bool
	}{{0, false, 1000 + 6*16384, 6, true}, {1e-3, false, 1000 + 12000, 6, true}, {0, true, 1000 + 1<<16, 1, true}} {
		a := &analysis{signal: Signal{Interval: 1, Samples: y}, like: tone{omega, k.like}}
		if k.clip {
			a.scan.clip = Clipping{High: true, HighLevel: 0.99}
		}
		r := must.Get(a.decay(stretch{1000, n}, c)).In(t)
		if r.to != k.to || r.fit.series.block != k.block || r.limited != k.most || r.from != 1000 || k.clip != (r.masked > 0) {
			t.Errorf("%+v: to %d in blocks of %d, limited %v, %d left out", k, r.to, r.fit.series.block, r.limited, r.masked)
		}
		near.Times(t, "damping", r.fit.tones[0].alpha, 2e-5, 0.05)
	}
}

// A blow over the first cycle is left out in steps of a quarter cycle, each half as long again: 0.25, 0.625,
// 1.1875 cycles. A ring whose start and end differ is told by its end.
func TestBeginningLeftOut(t *testing.T) {
	const n, cycle = 6000, 80
	for blow, want := range map[int]float64{70: 1.1875, 40: 0.625, 0: 0} {
		y := noise(rand.New(rand.NewPCG(4, uint64(blow))), n, 1e-3)
		decaying(y, 0, 1, 2*math.Pi/cycle, 1e-3)
		for i := range blow {
			y[i] += 0.3 * math.Pow(-1, float64(i/5))
		}
		a := &analysis{signal: Signal{Interval: 1, Samples: y}, scan: scan{step: 1e-3}}
		r := must.Get(a.ring(stretch{0, n}, candidate{omega: 2 * math.Pi / cycle, cycles: 70})).In(t)
		near.To(t, "left out", r.skipped, want, 1.01/cycle)
		if r.misfit || r.moved != nil {
			t.Errorf("a blow of %d: misfit %v, moved %v", blow, r.misfit, r.moved)
		}
	}
	// Damping 2e-3 up to 600, then 1e-3: cut at 1.2 time constants of the mean.
	y := noise(rand.New(rand.NewPCG(4, 4)), n, 1e-4)
	amplitude := 1.0
	for i := range y {
		y[i] += amplitude * math.Cos(2*math.Pi/cycle*float64(i))
		if i < 600 {
			amplitude *= math.Exp(-1e-3)
		}
		amplitude *= math.Exp(-1e-3)
	}
	a := &analysis{signal: Signal{Interval: 1, Samples: y}, scan: scan{step: 1e-4}}
	r := must.Get(a.ring(stretch{0, n}, candidate{omega: 2 * math.Pi / cycle, cycles: 70})).In(t)
	if r.moved == nil || !(r.moved.start.alpha > 1.2e-3) || !(r.from > 500) {
		t.Fatalf("from %d, moved %+v", r.from, r.moved)
	}
	near.Times(t, "damping of the end", r.fit.tones[0].alpha, 1e-3, 0.01)
	if r.from != r.moved.mid {
		t.Errorf("from %d, start and end were cut at %d", r.from, r.moved.mid)
	}
}
