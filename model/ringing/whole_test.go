package ringing

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// A view by brute force: of the samples of each column the least and the greatest of trace, fit and residual,
// at the middle of the column's times, the company part of the fit.
func TestViewByBruteForce(t *testing.T) {
	const n = 9000
	y := noise(rand.New(rand.NewPCG(7, 7)), n, 1)
	ringOf := func(from, to int, amplitude float64) *ring {
		return &ring{stretch: stretch{from, to}, fit: &projection{series: &series{block: 1, sampling: 0.5, re: make([]float64, to-from)}, tones: []tone{{0.2, 1e-4}}, coef: []float64{amplitude, 0, 0.1}}}
	}
	rings := []*ring{ringOf(50, 4500, 1), ringOf(5000, 8900, 2)}
	rings[1].long = ringOf(5000, 8950, 3)
	steady := ringOf(0, n, 0.5)
	a := &analysis{signal: Signal{Start: 7, Interval: 0.5, Samples: make([]float64, n)}, whole: y, company: &company{fit: steady.fit}}
	for _, c := range []struct {
		s       stretch
		columns int
	}{{stretch{0, n}, 7}, {stretch{0, n}, 1000}, {stretch{4400, 5100}, 33}, {stretch{40, 60}, 100}} {
		v := a.view(c.s, rings, c.columns)
		columns := min(c.columns, c.s.len())
		want := View{newBand(columns), newBand(columns), newBand(columns)}
		for k := range columns {
			var sum, count float64
			for i := range c.s.len() {
				if i < k*c.s.len()/columns || i >= (k+1)*c.s.len()/columns {
					continue
				}
				at := c.s.from + i
				sum, count = sum+float64(at), count+1
				want.Trace.put(k, y[at])
				for _, g := range []*ring{rings[0], rings[1].long} {
					if at >= g.from && at < g.to {
						s := 0.5 * float64(at-g.from)
						fit := g.fit.coef[0]*math.Exp(-1e-4*s)*math.Cos(0.2*s) + 0.1 + 0.5*math.Exp(-1e-4*0.5*float64(at))*math.Cos(0.2*0.5*float64(at))
						want.Fit.put(k, fit)
						want.Residual.put(k, y[at]-fit)
					}
				}
			}
			near.To(t, "time", v.Trace.Time[k], 7+0.5*sum/count, 1e-9)
			if v.Fit.Time[k] != v.Trace.Time[k] || v.Residual.Time[k] != v.Trace.Time[k] {
				t.Error("times differ")
			}
			for i, b := range []Band{v.Trace, v.Fit, v.Residual} {
				w := []Band{want.Trace, want.Fit, want.Residual}[i]
				for _, p := range [][2]float64{{b.Min[k], w.Min[k]}, {b.Max[k], w.Max[k]}} {
					if !(math.Abs(p[0]-p[1]) < 1e-9) && !(math.IsNaN(p[0]) && math.IsNaN(p[1])) {
						t.Fatalf("%+v, band %d, column %d: %v, want %v", c, i, k, p[0], p[1])
					}
				}
			}
		}
	}
}

// The detail goes from a cycle before the loudest burst to 12 behind its beginning; to two swells of a beat, 80
// cycles at most. Envelopes of two modes: |A|e^{−αt} and that of the sum, up to five time constants of the slowest.
func TestDetailAndEnvelopes(t *testing.T) {
	const f, interval = 1e6, 1e-8
	for _, c := range []struct{ apart, cycles float64 }{{0, 12}, {0.06, 2 / 0.06}, {0.02, 80}} {
		tones := []sine{natural(1, f, 100, 0.4)}
		if c.apart > 0 {
			tones = append(tones, natural(0.6, f*(1+c.apart), 150, 1))
		}
		s := invented{n: 40000, interval: interval, sigma: 1e-3, pretrig: 3000, tones: tones}.signal(rand.New(rand.NewPCG(1, 5)))
		r := must.Get(Analyse(s, Settings{})).In(t)
		whole, d := r.Drawing.Whole.Trace.Time, r.Drawing.Detail.Trace.Time
		if len(whole) != 1000 {
			t.Errorf("%d columns", len(whole))
		}
		near.To(t, "begins before the ring by", (r.Bursts[0].Start-d[0])*f, 1, 0.05)
		near.To(t, "ends behind its beginning by", (d[len(d)-1]-r.Bursts[0].Start)*f, c.cycles, 0.3)
		v := r.Drawing.Modes
		if c.apart == 0 {
			if v.Time != nil {
				t.Error("envelopes of one mode")
			}
			continue
		}
		if len(v.Each) != 2 || len(v.Time) != 1000 {
			t.Fatalf("%d envelopes of %d points", len(v.Each), len(v.Time))
		}
		end := math.Min(5/tones[1].alpha, r.Bursts[0].End-r.Bursts[0].Start)
		near.Times(t, "last", v.Time[999]-v.Time[0], end, 0.02)
		near.To(t, "first", v.Time[0], r.Bursts[0].Start, 1e-12)
		for _, k := range []int{0, 300, 999} {
			at := v.Time[k] - 3000*interval
			re, im := 0.0, 0.0
			for i, o := range tones {
				size := o.amplitude * math.Exp(-o.alpha*at)
				if r.Modes[0].Frequency.Value > 1.001*f {
					i = 1 - i
				}
				near.Times(t, "envelope", v.Each[i][k], size, 0.01)
				sin, cos := math.Sincos(2*math.Pi*o.frequency*at + o.phase)
				re, im = re+size*cos, im+size*sin
			}
			near.To(t, "sum", v.Sum[k], math.Hypot(re, im), 0.03*v.Each[0][k])
		}
	}
}

// A ring that lasts is carried on, in blocks of eight cycles, to the end of the stretch, or to ten time constants, with what turns by less
// than 2 rad in a block; unless it isn't limited, gains less than a fifth, or samples are clipped.
func TestCarriedOnToTheEnd(t *testing.T) {
	const n, omega, alpha = 200000, 0.3, 2e-5
	y := noise(rand.New(rand.NewPCG(9, 1)), n, 1e-3)
	decaying(y, 500, 1, omega, alpha)
	decaying(y, 500, 0.1, omega+0.01, alpha)
	decaying(y, 500, 0.1, omega+0.03, alpha)
	a := &analysis{signal: Signal{Interval: 1, Samples: y}}
	short := func(to int, alpha float64) *ring {
		r := fitted(y[:to], 1, 500, tone{omega + 2e-6, alpha}, tone{omega + 0.01, alpha}, tone{omega + 0.03, alpha})
		r.limited, r.skipped = true, 0.7
		return r
	}
	long := a.extend(short(16884, alpha), n)
	if long == nil || long.stretch != (stretch{500, n}) || long.fit.series.block != 167 || long.skipped != 0.7 {
		t.Fatalf("%+v", long)
	}
	if len(long.fit.tones) != 2 {
		t.Errorf("%d tones", len(long.fit.tones))
	}
	near.To(t, "frequency", long.fit.tones[0].omega, omega, 1e-8)
	near.Times(t, "damping", long.fit.tones[0].alpha, alpha, 1e-3)
	near.Times(t, "rms of what is left, the tone that turns too fast", long.rms, a.rms(long), 1e-12)
	if long = a.extend(short(16884, 4e-4), n); long == nil || long.to != 500+25000 {
		t.Errorf("%+v, ten time constants are 25000", long)
	}
	means := short(16884, 4e-4) // of four samples
	means.fit.series.block, means.fit.series.re = 4, averaged(means.fit.series.re, 4)
	if long = a.extend(means, n); long == nil || long.to != 500+25000 {
		t.Errorf("%+v, ten time constants are 25000", long)
	}
	for what, got := range map[string]*ring{
		"gains little": a.extend(short(16884, alpha), 500+16384*119/100), "not limited": a.extend(fitted(y[:16884], 1, 500, tone{omega, alpha}), n),
	} {
		if got != nil {
			t.Errorf("%s: carried on", what)
		}
	}
	if a.extend(short(16884, alpha), 500+16384*121/100) == nil {
		t.Error("a fifth more isn't gained")
	}
	a.scan.clip.High = true
	if a.extend(short(16884, alpha), n) != nil {
		t.Error("carried on though clipped")
	}
	s := average(y, 1, omega-3e-4, 20, nil)
	near.To(t, "offset of the peak", s.offsetOfPeak(alpha, 5e-4), 3e-4, 2.5e-6)
	if off := s.offsetOfPeak(alpha, 2e-4); math.Abs(off) > 2e-4 {
		t.Errorf("%v is beyond the most", off)
	}
	noted := analyse(t, invented{n: 100000, interval: coilInterval, sigma: 1e-3, tones: []sine{{1, 12e6, 3e3, 0.4}}}, 3)
	near.Times(t, "ends", noted.Bursts[0].End, 100000*coilInterval, 1e-12)
	near.To(t, "used", noted.Used, 1, 1e-3)
	near.To(t, "amplitude", noted.Amplitude.Value, 1, 4*noted.Amplitude.Uncertainty)
	near.Times(t, "u of the amplitude", noted.Amplitude.Uncertainty, 2e-3*math.Sqrt(2./16384), 0.06) // beside a damping, of what is fitted sample by sample
	near.To(t, "noise at the tone", noted.Noise.AtTone, 1, 0.1)
}

// What pulls at a steady tone is left out of its fit: the longer stretch before the ring, a twentieth of it less, or
// behind ten of its time constants, if it is half as long as the ring.
func TestBesideARing(t *testing.T) {
	const n, omega = 8000, 0.25
	y := noise(rand.New(rand.NewPCG(3, 8)), n, 1e-3)
	decaying(y, 0, 1, omega, 0)
	for i := range y {
		y[i] += 0.4 * float64(i) / n
	}
	a := &analysis{signal: Signal{Interval: 1, Samples: y}}
	steady := fitted(y, 1, 0, tone{omega, 0})
	ringAt := func(from, to int, alpha float64) *ring {
		return &ring{stretch: stretch{from, to}, fit: &projection{tones: []tone{{0.4, alpha}}}}
	}
	for _, c := range []struct {
		r        *ring
		from, to int
	}{{ringAt(6000, 8000, 0), 0, 5900}, {ringAt(500, 3500, 0), 3500, n}, {ringAt(500, 6500, 0.01), 1500, n}, {ringAt(2000, 6500, 0), 0, 0}} {
		got := a.beside(steady, c.r)
		if c.to == 0 {
			if got != nil {
				t.Error("beside a ring that is nearly all")
			}
			continue
		}
		if got == nil || got.from != c.from || got.ring.stretch != (stretch{c.from, c.to}) || got.fit.series.drifts != bent {
			t.Errorf("from %d: %+v", c.from, got)
			continue
		}
		near.To(t, "frequency", got.fit.tones[0].omega, omega, 1e-6)
		near.To(t, "damping", got.fit.tones[0].alpha, 0, 1e-6)
	}
	far := noise(rand.New(rand.NewPCG(3, 8)), 40000, 1e-3)
	decaying(far, 0, 1, omega, 0)
	a.signal.Samples = far
	for _, c := range []struct {
		r        *ring
		from, to int
	}{{ringAt(39000, 40000, 0), 38950 - 16384, 38950}, {ringAt(500, 1500, 0), 1500, 1500 + 16384}} {
		if got := a.beside(steady, c.r); got == nil || got.from != c.from || got.ring.stretch != (stretch{c.from, c.to}) {
			t.Errorf("the part nearest the ring, from %d: %+v", c.from, got)
		}
	}
}

// A missing tone is told as a slow one where that stands out as much, as one that is over where a short part is
// loud, and as it is where a candidate was stronger than what is slow.
func TestTooFewIsTold(t *testing.T) {
	loud := make([]float64, 2000)
	for i := range loud {
		loud[i] = 0.1 * math.Sin(float64(i))
	}
	quiet := slices.Clone(loud)
	for i := range 40 {
		loud[1000+i] += 3
	}
	none := Refusal{Reason: NoTone, Need: 6}
	for i, c := range []struct {
		y    []float64
		err  Refusal
		list []candidate
		slow candidate
		want Refusal
	}{
		{quiet, none, nil, candidate{}, none},
		{loud, none, nil, candidate{}, Refusal{Reason: TooFewCycles, Need: 3, Short: Over}},
		{loud, none, []candidate{{power: 1}}, candidate{power: 2}, none},
		{quiet, none, nil, candidate{power: 18.1, cycles: 2.2}, Refusal{Reason: TooFewCycles, Got: 2.2, Need: 3, Short: Slow}},
		{quiet, none, nil, candidate{power: 17.9, cycles: 2.2}, none},
		{quiet, none, []candidate{{power: 29}}, candidate{power: 30, cycles: 2}, Refusal{Reason: TooFewCycles, Got: 2, Need: 3, Short: Slow}},
		{quiet, none, []candidate{{power: 29}, {power: 31}}, candidate{power: 30, cycles: 2}, none},
		{quiet, Refusal{Reason: NoFit}, nil, candidate{power: 1, cycles: 2}, Refusal{Reason: TooFewCycles, Got: 2, Need: 3, Short: Slow}},
		{loud, Refusal{Reason: TooMuchClipped}, nil, candidate{power: 30}, Refusal{Reason: TooMuchClipped}},
	} {
		a := &analysis{signal: Signal{Interval: 1, Samples: c.y}}
		if got := a.tooFew(&c.err, c.list, c.slow).(*Refusal); *got != c.want {
			t.Errorf("%d: %+v, want %+v", i, *got, c.want)
		}
	}
	a := &analysis{signal: Signal{Interval: 1, Samples: quiet}}
	near.Times(t, "power that a peak must have", a.need(), math.Log(2000/1e-3), 1e-12)
	_, err := a.choose(nil)
	r, _ := err.(*Refusal)
	if r == nil || r.Reason != NoTone {
		t.Fatal(err)
	}
	near.Times(t, "amplitude over u that it takes", r.Need, math.Sqrt(2*math.Log(2e6)), 1e-12)
	a.scan.max = 1
	for samples, want := range map[int]bool{1199: false, 1201: true} {
		a.scan.clip.Samples = samples
		if err := a.hopeless(); (err != nil) != want {
			t.Errorf("%d of 2000 clipped: %v", samples, err)
		}
	}
}

// The step of a converter is that of nearly all gaps: nine in ten are whole numbers of it, of a quarter as many
// values as samples at most.
func TestStepOfAConverter(t *testing.T) {
	coded := func(n int, codes ...float64) []float64 {
		y := make([]float64, n)
		for i := range y {
			y[i] = 0.1 * codes[i%len(codes)]
		}
		return y
	}
	for i, c := range []struct {
		y    []float64
		want float64
	}{
		{coded(100, 0, 1, 2, 5, 9), 0.1}, {coded(20, 0, 1, 2, 5, 9), 0.1}, {coded(19, 0, 1, 2, 5, 9), 0}, {coded(100, 0, 1), 0}, {coded(12, 0, 1, 2), 0.1},
		{coded(100, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10.4), 0.104}, {coded(100, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9.4), 0}, {coded(100, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11.2), 11.2 / 11 * 0.1}, {coded(100, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10.4, 11.4), 11.4 / 11 * 0.1},
		{coded(100, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9.4, 10.8), 0},
		{coded(100, 0, 1, 2.3, 3.3, 4.6, 5.6, 6.9), 0.115}, {coded(100, 0, 1, 3, 4, 6, 7, 9), 0.1},
	} {
		span := slices.Max(c.y)
		near.To(t, "step "+string(rune('a'+i)), quantum(c.y, span), c.want, 1e-6)
	}
}

// A flat top: of the samples within eight steps of the greatest more than 0.55 lie within half a step of it, or a whole
// 512th of the span where no steps show, six at least, most of them in runs of three; the span has 24 steps or more.
func TestFlatTopByCount(t *testing.T) {
	top := func(step float64, span float64, flat, deep int, off float64) Clipping {
		var y []float64
		for i := range 1000 {
			y = append(y, -span*float64(i)/1000)
		}
		y[0] = -span / 2
		for i := range flat {
			y = append(y, 0)
			if i > 0 {
				y[len(y)-1] = -off
			}
		}
		for range deep { // among the others, five steps deep
			y = append(y, -5*math.Max(step, span/512), -span/2, -span/2)
		}
		for i, v := range y[:1000] {
			if v > -8.5*math.Max(step, span/512) {
				y[i] = -span / 2
			}
		}
		s := scan{min: slices.Min(y), max: 0, step: step}
		up := clipping(y, s)
		for i := range y {
			y[i] = -y[i]
		}
		down := clipping(y, scan{min: 0, max: -s.min, step: step})
		if up.High != down.Low || up.Samples != down.Samples || up.HighLevel != -down.LowLevel || up.Low || down.High {
			t.Errorf("%+v upside down is %+v", up, down)
		}
		return up
	}
	for i, c := range []struct {
		got   Clipping
		n     int
		level float64
	}{
		{top(0.01, 1, 56, 44, 0), 56, -0.005}, {top(0.01, 1, 54, 46, 0), 0, 0}, {top(0.01, 1, 56, 44, 0.0049), 56, -0.005}, {top(0.01, 1, 56, 44, 0.0051), 0, 0},
		{top(0, 1, 56, 44, 0.99/512.5), 56, -0.999 / 512}, {top(0, 1, 56, 44, 1.01/512), 0, 0},
		{top(0.01, 1, 6, 1, 0), 6, -0.005}, {top(0.01, 1, 5, 1, 0), 0, 0}, {top(1/24.1, 1, 56, 4, 0), 56, -0.5 / 24.1}, {top(1/23.8, 1, 56, 4, 0), 0, 0},
	} {
		if c.got.Samples != c.n || c.got.High != (c.n > 0) {
			t.Errorf("%d: %+v, want %d", i, c.got, c.n)
		}
		near.To(t, "level", c.got.HighLevel, c.level, 1e-9)
	}
}

// Of 34 bursts the 32 loudest are fitted, all are counted. Of two that ring apart it is told where the other rings, how
// many there are and of how many; the time base and the interval's digits are added as variances.
func TestBurstsToldOf(t *testing.T) {
	const interval = 1e-8
	y := noise(rand.New(rand.NewPCG(5, 5)), 34*900, 1e-3)
	for k := range 34 {
		decaying(y, 900*k+20, 1-0.02*float64(k%7)-0.3*float64(k/32), 2*math.Pi/20, 0.012)
	}
	r := must.Get(Analyse(Signal{Interval: interval, Samples: y}, Settings{Columns: 10})).In(t)
	if len(r.Bursts) != 32 || r.Found != 34 || !(r.Bursts[31].Start < 32*900*interval) {
		t.Errorf("%d of %d bursts", len(r.Bursts), r.Found)
	}
	near.Times(t, "samples a cycle", r.SamplesPerCycle, 20, 1e-4)
	y = noise(rand.New(rand.NewPCG(5, 6)), 6000, 1e-3)
	decaying(y[:3000], 10, 1, 2*math.Pi/20, 0.004)
	decaying(y, 3010, 0.8, 2*math.Pi/19.9, 0.004)
	signal := Signal{Interval: interval, Samples: y, IntervalUncertainty: 3e-4 * interval}
	r = must.Get(Analyse(signal, Settings{Columns: 10, Timebase: 4e-4})).In(t)
	i := slices.IndexFunc(r.Notes, func(n Note) bool { return n.Kind == BurstsDisagree })
	if i < 0 || !r.Bursts[1].Apart || r.Bursts[0].Apart {
		t.Fatalf("%+v", r.Notes)
	}
	v := r.Notes[i].Values
	near.Times(t, "the loudest", v[0], math.Hypot(2*math.Pi/20, 0.004)/2/math.Pi/interval, 1e-5)
	near.Times(t, "another", v[1], math.Hypot(2*math.Pi/19.9, 0.004)/2/math.Pi/interval, 1e-5)
	if v[2] != 1 || v[3] != 2 {
		t.Errorf("%v", v)
	}
	near.Times(t, "u", r.Resonance.Uncertainty, 5e-4*v[0], 1e-3)
	others := 0
	for _, l := range r.Left {
		if l.Why == OtherRing {
			others++
			near.To(t, "left from", l.Start, r.Bursts[1].Start, 1e-15)
			near.To(t, "left to", l.End, r.Bursts[1].End, 1e-15)
		}
	}
	if others != 1 {
		t.Errorf("left out %+v", r.Left)
	}
}
