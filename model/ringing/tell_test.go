package ringing

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/near"
	"fitcoil/model/quantities"
)

// solved is a ring of one tone or several as a fit of sure values would leave it: a covariance
// of no particular form for ω and α of each tone, Re A and Im A of each, and the offset.
func solved(degrees float64, tones []tone, coef ...float64) *ring {
	n := 4*len(tones) + 1
	r := &ring{fit: &projection{series: &series{block: 1, sampling: 1e-8, re: make([]float64, 1000)}, tones: tones, coef: coef},
		colour: colour{degrees: degrees}, cov: make([][]float64, n)}
	for i := range n {
		r.cov[i] = make([]float64, n)
		for j := range n {
			size := func(k int) float64 {
				switch {
				case k == n-1 || k >= 2*len(tones):
					return 0.01
				case k%2 == 0:
					return 300
				}
				return 200
			}
			r.cov[i][j] = size(i) * size(j) * math.Exp(-0.7*math.Abs(float64(i-j)))
		}
	}
	return r
}

// spread is the standard uncertainty of a function of x by the covariance c, from central
// differences.
func spread(c [][]float64, x []float64, f func(x []float64) float64) float64 {
	grad := make([]float64, len(x))
	for i := range x {
		h := 1e-4 * math.Sqrt(c[i][i])
		up, down := slices.Clone(x), slices.Clone(x)
		up[i] += h
		down[i] -= h
		grad[i] = (f(up) - f(down)) / (2 * h)
	}
	sum := 0.0
	for i := range x {
		for j := range x {
			sum += grad[i] * c[i][j] * grad[j]
		}
	}
	return math.Sqrt(sum)
}

// All that is told of a tone, from its angular frequency and damping and their covariance:
// standard uncertainties by central differences, k = 2.776445 for 95 % with four degrees of
// freedom and 2.131847 for 95 % on one side (tables of Student's t).
func TestEstimatesOfATone(t *testing.T) {
	tones := []tone{{8e6, 3e5}, {1.5e7, 2e3}}
	r := solved(4, tones, 0.3, -0.4, 0.05, 0.12, 1.5)
	x := []float64{8e6, 3e5, 1.5e7, 2e3, 0.3, -0.4, 0.05, 0.12, 1.5}
	e := r.estimator()
	for k := range tones {
		omega := func(x []float64) float64 { return x[2*k] }
		alpha := func(x []float64) float64 { return x[2*k+1] }
		got := e.tone(k)
		for what, c := range map[string]struct {
			e quantities.Estimate
			f func(x []float64) float64
		}{
			"frequency": {got.Frequency, func(x []float64) float64 { return omega(x) / (2 * math.Pi) }},
			"natural":   {got.Natural, func(x []float64) float64 { return math.Hypot(omega(x), alpha(x)) / (2 * math.Pi) }},
			"damping":   {got.Damping, alpha},
			"quality":   {got.Quality, func(x []float64) float64 { return math.Hypot(omega(x), alpha(x)) / (2 * alpha(x)) }},
			"amplitude": {got.Amplitude, func(x []float64) float64 { return math.Hypot(x[4+2*k], x[5+2*k]) }},
			"offset":    {e.offset(), func(x []float64) float64 { return x[8] }},
		} {
			want, u := c.f(x), spread(r.cov, x, c.f)
			near.To(t, what, c.e.Value, want, 1e-12*want)
			near.To(t, "u of "+what, c.e.Uncertainty, u, 1e-6*u)
			if !c.e.Determined {
				t.Errorf("%s is undetermined", what)
			}
			if what != "quality" {
				near.To(t, "low "+what, c.e.Interval[0], want-2.776445*u, 1e-5*u)
				near.To(t, "high "+what, c.e.Interval[1], want+2.776445*u, 1e-5*u)
			}
		}
		w, a, u := tones[k].omega, tones[k].alpha, math.Sqrt(r.cov[2*k+1][2*k+1])
		of := func(a float64) float64 { return math.Hypot(w, a) / 2 / a }
		near.To(t, "low quality", got.Quality.Interval[0], of(a+2.776445*u), 1e-6*of(a))
		near.To(t, "high quality", got.Quality.Interval[1], of(a-2.776445*u), 1e-6*of(a))
		near.To(t, "quality at least", got.QualityAtLeast, of(a+2.131847*u), 1e-6*of(a))
		if got.Frequency.Unit+got.Natural.Unit+got.Damping.Unit+got.Quality.Unit+got.Amplitude.Unit != "HzHz1/s1V" {
			t.Errorf("units of %+v", got)
		}
	}
	// Damping is determined while its standard uncertainty is below half of it: 200 here. With few
	// degrees of freedom its interval reaches zero first, and that of Q has no upper end.
	for _, c := range []struct {
		alpha, degrees float64
		determined     bool
	}{{390, 1e6, false}, {410, 1e6, true}, {-500, 1e6, false}, {500, 4, true}} {
		got := solved(c.degrees, []tone{{8e6, c.alpha}}, 1, 0, 0).estimator().tone(0)
		if got.Damping.Determined != c.determined || got.Quality.Determined != c.determined || (got.Natural == got.Frequency) == c.determined {
			t.Errorf("α %v: %+v", c.alpha, got)
		}
		if most := c.alpha + 2.131847*200; c.degrees == 4 {
			near.To(t, "quality at least", got.QualityAtLeast, math.Hypot(8e6, most)/2/most, 1)
			if !math.IsInf(got.Quality.Interval[1], 1) {
				t.Errorf("quality up to %v", got.Quality.Interval[1])
			}
		}
		if c.alpha < 0 && got.QualityAtLeast != 0 {
			t.Errorf("a growing tone has a quality factor of at least %v", got.QualityAtLeast)
		}
	}
	if few := solved(0.2, tones, 1, 0, 1, 0, 0).estimator(); !(math.Abs(few.factor-12.7062) <= 1e-4) { // as of one
		t.Errorf("k = %v", few.factor)
	}
}

// What all times share is added, and the interval grows alike to both sides.
func TestWidenByTimeBase(t *testing.T) {
	e := quantities.Estimate{Value: 100, Uncertainty: 3, Interval: [2]float64{91, 107}, Determined: true}
	widen(&e, 0.04) // 3 and 4 make 5
	near.To(t, "u", e.Uncertainty, 5, 1e-12)
	near.To(t, "low", e.Interval[0], 100-9*5.0/3, 1e-12)
	near.To(t, "high", e.Interval[1], 100+7*5.0/3, 1e-12)
	none := quantities.Estimate{Value: 100, Interval: [2]float64{90, 110}, Determined: true}
	widen(&none, 0.01)
	near.To(t, "u from nothing", none.Uncertainty, 1, 1e-12)
	near.To(t, "interval kept", none.Interval[0], 90, 1e-12)
	open := undetermined("Hz")
	if widen(&open, 0.01); !math.IsNaN(open.Uncertainty) || open.Unit != "Hz" {
		t.Errorf("%+v", open)
	}
	r := Result{Resonance: none, Frequency: none, Damping: none, Quality: none, Tones: []Tone{{Frequency: none, Natural: none, Damping: none, Quality: none}}, Bursts: []Burst{{Tone: Tone{Frequency: none, Natural: none, Damping: none, Quality: none}}}}
	r.widen(0.01)
	for _, e := range []quantities.Estimate{r.Resonance, r.Frequency, r.Damping, r.Tones[0].Frequency, r.Tones[0].Natural, r.Tones[0].Damping, r.Bursts[0].Tone.Frequency, r.Bursts[0].Tone.Natural, r.Bursts[0].Tone.Damping} {
		near.To(t, "widened", e.Uncertainty, math.Sqrt2, 1e-12)
	}
	for _, e := range []quantities.Estimate{r.Quality, r.Tones[0].Quality, r.Bursts[0].Tone.Quality} {
		near.To(t, "a ratio of times", e.Uncertainty, 1, 1e-12)
	}
}

// 1/e, its interval turned round; without an upper end where e may be nothing.
func TestInverse(t *testing.T) {
	e := inverse(&quantities.Estimate{Value: 4, Unit: "1", Uncertainty: 0.8, Interval: [2]float64{2, 5}, Determined: true})
	if e.Value != 0.25 || !e.Determined || e.Unit != "1" || e.Interval != [2]float64{0.2, 0.5} {
		t.Errorf("%+v", e)
	}
	near.To(t, "u", e.Uncertainty, 0.05, 1e-15)
	if e := inverse(&quantities.Estimate{Value: 4, Interval: [2]float64{-1, 5}, Determined: true}); !math.IsInf(e.Interval[1], 1) {
		t.Errorf("%+v", e)
	}
	for _, e := range []quantities.Estimate{{Value: -1, Determined: true}, {Value: 1}} {
		if inverse(&e).Determined {
			t.Errorf("1/%+v is determined", e)
		}
	}
}

// A decay falls by more than a hundredth over the capture, its damping known to half; where it
// falls by less than a tenth, to a quarter.
func TestWhatFalls(t *testing.T) {
	for _, c := range []struct {
		alpha, u, seconds float64
		want              bool
	}{
		{1000, 10, 1.01e-5, true}, {1000, 10, 0.99e-5, false},
		{1000, 490, 2e-4, true}, {1000, 510, 2e-4, false},
		{1000, 240, 0.9e-4, true}, {1000, 260, 0.9e-4, false}, {1000, 260, 1.1e-4, true},
		{-1000, 10, 1, false},
	} {
		if falls(c.alpha, c.u, c.seconds) != c.want {
			t.Errorf("%+v", c)
		}
	}
}

// sure is an estimate with ± 1.
func sure(v float64) quantities.Estimate {
	return quantities.Estimate{Value: v, Uncertainty: 1, Interval: [2]float64{v - 2, v + 2}, Determined: true}
}

// Bursts within six standard uncertainties of a difference are one coil's; those that agree make
// weighted means, of 1/Q for the quality factor.
func TestBurstsMakeOne(t *testing.T) {
	burst := func(f, damping, q, atLeast float64) Burst {
		return Burst{Tone: Tone{Natural: sure(f), Frequency: sure(f - 1), Damping: sure(damping), Quality: sure(q), QualityAtLeast: atLeast}}
	}
	r := Result{Bursts: []Burst{burst(100, 30, 20, 15), burst(100+6.1*math.Sqrt2, 50, 30, 29), burst(100+5.9*math.Sqrt2, 40, 40, 17), burst(90, 50, 30, 33)}}
	other, apart := r.agree(0)
	if other != 100+6.1*math.Sqrt2 || apart != 2 || r.Bursts[0].Apart || !r.Bursts[1].Apart || r.Bursts[2].Apart || !r.Bursts[3].Apart {
		t.Errorf("%v, %d: %+v", other, apart, r.Bursts)
	}
	scale := r.combine()
	half := 5.9 / math.Sqrt2
	near.To(t, "resonance", r.Resonance.Value, 100+half, 1e-12)
	near.To(t, "frequency", r.Frequency.Value, 99+half, 1e-12)
	near.To(t, "damping", r.Damping.Value, 35, 1e-12)
	near.To(t, "Birge ratio", scale, 5.9, 1e-12)
	near.To(t, "u of the resonance", r.Resonance.Uncertainty, 5.9/math.Sqrt2, 1e-12)
	// 1/Q: 0.05 ± 1/400 and 0.025 ± 1/1600, weights as 1 to 16; they differ by 0.025.
	inverse, chi := (0.05+16*0.025)/17, 0.025*0.025/(1/160000.0+1/2560000.0)
	near.To(t, "quality", r.Quality.Value, 1/inverse, 1e-9)
	near.To(t, "u of it", r.Quality.Uncertainty, math.Sqrt(chi)/math.Sqrt(160000+2560000)/(inverse*inverse), 1e-9)
	near.To(t, "quality at least", r.QualityAtLeast, 17, 0)
	r.forgetDecay()
	if r.Resonance != r.Frequency || r.Quality.Determined || r.Damping.Determined || r.QualityAtLeast != 0 || r.Quality.Unit != "1" || r.Damping.Unit != "1/s" {
		t.Errorf("%+v", r)
	}
	one := Result{Bursts: []Burst{burst(100, 30, 20, 15)}}
	if scale := one.combine(); scale != 1 || one.Resonance != sure(100) || one.Frequency != sure(99) || one.Damping != sure(30) || one.Quality != sure(20) || one.QualityAtLeast != 15 {
		t.Errorf("%+v", one)
	}
}

// What a further tone is to the strongest, of 1 MHz sampled at 9.3 MHz: with ± 3 of its own and
// of the strongest's multiple, and a part in a thousand.
func TestRelations(t *testing.T) {
	a := &analysis{signal: Signal{Interval: 1 / 9.3e6}}
	at := func(hz, u float64) Tone { return Tone{Frequency: quantities.Estimate{Value: hz, Uncertainty: u}} }
	for _, c := range []struct {
		hz, u    float64
		relation Relation
		harmonic int
	}{
		{1.24e6, 0, Near, 0}, {0.76e6, 0, Near, 0}, {1.26e6, 0, Other, 0}, {0.74e6, 0, Other, 0},
		{2e6, 0, Harmonic, 2}, {2.0025e6, 0, Other, 0}, {2.0025e6, 200, Harmonic, 2}, {4.004e6, 100, Harmonic, 4},
		{2.0019e6, 0, Harmonic, 2}, {2.0021e6, 0, Other, 0},
		{4.3e6, 0, Folded, 5}, {3.3e6, 0, Folded, 6}, {0.7e6, 0, Folded, 10}, {4.6e6, 0, Folded, 14}, {3.6e6, 0, Folded, 15},
		{2.6e6, 0, Other, 0}, // n = 16
	} {
		list := []Tone{at(1e6, 10), at(c.hz, c.u)}
		if a.relate(list); list[1].Relation != c.relation || list[1].Harmonic != c.harmonic {
			t.Errorf("%v ± %v Hz: %v %d, want %v %d", c.hz, c.u, list[1].Relation, list[1].Harmonic, c.relation, c.harmonic)
		}
	}
	list := []Tone{at(1e6, 0), {Relation: Steadily, Frequency: sure(2e6)}}
	if a.relate(list); list[1].Relation != Steadily || list[0].Relation != Strongest {
		t.Errorf("%v", list[1].Relation)
	}
}

// Every note, on either side of the limit from which it is made, with the values that it tells.
func TestNotesAtTheirLimits(t *testing.T) {
	noted := func(change func(a *analysis, r *Result, g *ring)) map[NoteKind][4]float64 {
		g := solved(100, []tone{{2 * math.Pi * 1e6, 1e4}, {2 * math.Pi * 1.1e6, 1e4}}, 1, 0, 0.1, 0, 0.5)
		g.stretch = stretch{0, 1000}
		g.excess = 1
		a := &analysis{signal: Signal{Interval: 1e-8}, scan: scan{step: 0.1}}
		r := &Result{Kind: Decay, Frequency: quantities.Estimate{Value: 1e6, Uncertainty: 1}, Amplitude: quantities.Estimate{Value: 1}, SamplesPerCycle: 100,
			Tones: []Tone{{Frequency: quantities.Estimate{Value: 1e6}}, {Relation: Other, Frequency: quantities.Estimate{Value: 1.1e6}, Amplitude: quantities.Estimate{Value: 0.1}, Harmonic: 7}},
			Noise: Noise{AtTone: 1}}
		scale := 1.0
		change(a, r, g)
		if r.Used > 0 { // the Birge ratio, carried here
			scale = r.Used
		}
		list := map[NoteKind][4]float64{}
		for _, n := range a.notes(r, []*ring{g}, g, scale) {
			list[n.Kind] = n.Values
		}
		return list
	}
	if list := noted(func(*analysis, *Result, *ring) {}); len(list) != 0 {
		t.Errorf("notes on nothing: %v", list)
	}
	for _, c := range []struct {
		kind   NoteKind
		below  func(a *analysis, r *Result, g *ring)
		above  func(a *analysis, r *Result, g *ring)
		v0, v1 float64
	}{
		{MayBeAliased, func(a *analysis, r *Result, g *ring) { r.SamplesPerCycle = 4 }, func(a *analysis, r *Result, g *ring) { r.SamplesPerCycle = 3.9 }, 3.9, 99e6},
		{Driven, func(a *analysis, r *Result, g *ring) {}, func(a *analysis, r *Result, g *ring) { r.Kind = Steady }, 0, 0},
		{FewSteps, func(a *analysis, r *Result, g *ring) { r.Amplitude.Value = 0.8 }, func(a *analysis, r *Result, g *ring) { r.Amplitude.Value = 0.79 }, 7.9, 0},
		{FewSteps, func(a *analysis, r *Result, g *ring) { r.Amplitude.Value, a.scan.step = 1e-9, 0 }, func(a *analysis, r *Result, g *ring) { a.scan.step = 0.25 }, 4, 0},
		{BurstsDiffer, func(a *analysis, r *Result, g *ring) { r.Used = 1.5 }, func(a *analysis, r *Result, g *ring) { r.Used = 1.6 }, 1.6, 0},
		{FewDigits, func(a *analysis, r *Result, g *ring) { a.signal.IntervalUncertainty = 0.49e-14 }, func(a *analysis, r *Result, g *ring) { a.signal.IntervalUncertainty = 0.51e-14 }, 0.51e-6, 0},
		{Clipped, func(a *analysis, r *Result, g *ring) {}, func(a *analysis, r *Result, g *ring) { g.masked = 3 }, 3, 0},
		{FirstSkipped, func(a *analysis, r *Result, g *ring) { g.skipped = 0.99 }, func(a *analysis, r *Result, g *ring) { g.skipped = 1 }, 1, 0},
		{Misfit, func(a *analysis, r *Result, g *ring) {}, func(a *analysis, r *Result, g *ring) { g.misfit = true }, 0, 0},
		{NotOneSine, func(a *analysis, r *Result, g *ring) { g.excess = 1.3 }, func(a *analysis, r *Result, g *ring) { g.excess = 1.31 }, 1.31, 0},
		{Coloured, func(a *analysis, r *Result, g *ring) { r.Noise.AtTone = 2 }, func(a *analysis, r *Result, g *ring) { r.Noise.AtTone = 2.1 }, 2.1, 0},
		{Coloured, func(a *analysis, r *Result, g *ring) { r.Noise.AtTone, g.excess = 2.1, 1.31 }, func(a *analysis, r *Result, g *ring) { r.Noise.AtTone, g.excess = 2.1, 1.3 }, 2.1, 0},
		{Growing, func(a *analysis, r *Result, g *ring) { g.fit.tones[0].alpha = -9.4e3 }, func(a *analysis, r *Result, g *ring) { g.fit.tones[0].alpha = -9.7e3 }, math.Exp(0.097), 0},
		{Growing, func(a *analysis, r *Result, g *ring) { g.fit.tones[0].alpha, g.cov[1][1] = -15e3, 25.1e6 }, func(a *analysis, r *Result, g *ring) { g.fit.tones[0].alpha, g.cov[1][1] = -15e3, 24.9e6 }, math.Exp(0.15), 0},
		{Beating, func(a *analysis, r *Result, g *ring) { r.Tones[1].Relation, r.Tones[1].Amplitude.Value = Near, 0.03 }, func(a *analysis, r *Result, g *ring) { r.Tones[1].Relation, r.Tones[1].Amplitude.Value = Near, 0.031 }, 1e5, 0.031},
		{FoldedHarmonic, func(a *analysis, r *Result, g *ring) { r.Tones[1].Relation = Harmonic }, func(a *analysis, r *Result, g *ring) { r.Tones[1].Relation = Folded }, 7, 1.1e6},
	} {
		if list := noted(c.below); len(list) != 0 && !(c.kind == Coloured && len(list) == 1) {
			t.Errorf("%v below its limit: %v", c.kind, list)
		}
		list := noted(c.above)
		v, ok := list[c.kind]
		if !ok || len(list) != 1 || !(math.Abs(v[0]-c.v0) <= 1e-9*math.Abs(c.v0)) || !(math.Abs(v[1]-c.v1) <= 1e-9*math.Abs(c.v1)) {
			t.Errorf("%v above its limit: %v, want %v and %v", c.kind, list, c.v0, c.v1)
		}
	}
	near.To(t, "beats", noted(func(a *analysis, r *Result, g *ring) { r.Tones[1].Relation = Near })[Beating][2], 1, 1e-9) // 0.1 MHz over 10 µs
	list := noted(func(a *analysis, r *Result, g *ring) {
		g.moved = &halves{start: tone{2 * math.Pi * 1e6, 1e4}, end: tone{2 * math.Pi * 1.01e6, -1e4}}
	})
	if v := list[StartAndEndDiffer]; !(math.Abs(v[0]-1e6) <= 1e-3) || !(math.Abs(v[1]-1.01e6) <= 1e-3) || !(math.Abs(v[2]-math.Hypot(2*math.Pi*1e6, 1e4)/2e4) <= 1e-6) || v[3] != 0 {
		t.Errorf("start and end: %v", v)
	}
	drift := noted(func(a *analysis, r *Result, g *ring) {
		g.fit.series.drifts, g.fit.coef = bent, append(g.fit.coef, 0.25, 0)
	})
	near.To(t, "drift", drift[Drifting][0], 0.5, 1e-12) // a straight line from −¼ to ¼
}

// Of a capture what no fit used, and why, piece by piece: three rings, the second of another
// frequency, the first with two cycles of 50 samples left out, the last carried on.
func TestWhatIsLeft(t *testing.T) {
	a := &analysis{signal: Signal{Start: 1, Interval: 0.01, Samples: make([]float64, 2000)}}
	ringAt := func(from, to int, skipped float64) *ring {
		return &ring{stretch: stretch{from, to}, skipped: skipped, fit: &projection{tones: []tone{{2 * math.Pi / 0.5, 1}}}}
	}
	rings := []*ring{ringAt(300, 600, 2), ringAt(700, 900, 0), ringAt(1000, 1100, 0.5)}
	rings[2].long = ringAt(1000, 1500, 0)
	r := &Result{Bursts: []Burst{{}, {Apart: true}, {}}}
	a.use(r, rings)
	want := []Left{{1, 3, BeforeRing}, {3, 4, FirstCycles}, {7, 8, BetweenRings}, {8, 10, OtherRing}, {10, 10.75, BetweenRings}, {10.75, 11, FirstCycles}, {16, 21, DiedAway}}
	same := func(a, b Left) bool {
		return a.Why == b.Why && math.Abs(a.Start-b.Start) < 1e-9 && math.Abs(a.End-b.End) < 1e-9
	}
	if !slices.EqualFunc(r.Left, want, same) {
		t.Errorf("left %v, want %v", r.Left, want)
	}
	near.To(t, "used", r.Used, (300+500)/2000.0, 1e-12)
}

// The modes are those that decay as slowly as the strongest, nearly, and are no harmonics; their
// covariance by central differences, with what the frequencies have of the time base.
func TestModesAndTheirCovariance(t *testing.T) {
	tones := []tone{{8e6, 3e5}, {9e6, 2e5}, {1.6e7, 3e5}, {1.1e7, 1.6e6}, {1e7, 1.4e6}}
	g := solved(10, tones, 1, 0, 1, 0, 1, 0, 1, 0, 1, 0, 0)
	g.fit.series.re = make([]float64, 10)
	r := &Result{Kind: Decay}
	for k, relation := range []Relation{Strongest, Near, Harmonic, Other, Other} {
		out := g.estimator().tone(k)
		out.Relation = relation
		r.Tones = append(r.Tones, out)
	}
	const relative = 1e-3
	r.modes(g.estimator(), relative)
	var x []float64
	for _, t := range tones {
		x = append(x, t.omega, t.alpha)
	}
	x = append(x, make([]float64, len(g.cov)-len(x))...)
	var of []func(x []float64) float64
	for _, k := range []int{0, 1, 4} {
		of = append(of, func(x []float64) float64 { return math.Hypot(x[2*k], x[2*k+1]) / (2 * math.Pi) },
			func(x []float64) float64 { return math.Hypot(x[2*k], x[2*k+1]) / (2 * x[2*k+1]) })
	}
	if len(r.Modes) != 3 || len(r.Covariance) != 6 || r.Modes[2].Frequency.Value != 1e7/(2*math.Pi) {
		t.Fatalf("%d modes, covariance %v", len(r.Modes), r.Covariance)
	}
	for i, f := range of {
		for j, h := range of {
			sum, less := spread(g.cov, x, func(x []float64) float64 { return f(x) + h(x) }), spread(g.cov, x, func(x []float64) float64 { return f(x) - h(x) })
			want := (sum*sum - less*less) / 4
			if i%2 == 0 && j%2 == 0 {
				want += relative * relative * f(x) * h(x)
			}
			near.To(t, "covariance", r.Covariance[i][j], want, 1e-4*math.Sqrt(r.Covariance[i][i]*r.Covariance[j][j]))
		}
	}
	steady := &Result{Tones: r.Tones}
	if steady.modes(g.estimator(), 0); steady.Modes != nil {
		t.Error("a steady tone has modes")
	}
	turned := &Result{Kind: Decay, Tones: r.Tones}
	g.fit.series.im = g.fit.series.re
	if turned.modes(g.estimator(), 0); len(turned.Modes) != 1 {
		t.Errorf("%d modes are carried on to the end", len(turned.Modes))
	}
}

// The noise that is told: of red noise x = ½x' + w the
// density at θ is over its mean (1 − ¼)/(1 + ¼ − cos θ).
func TestNoiseTold(t *testing.T) {
	g := solved(20, []tone{{8e6, 1e5}}, 0.6, 0.8, 0)
	g.rms = 0.1
	g.colour = colour{variance: 4, innovation: 3, coefficients: []float64{0.5}, degrees: 20}
	n := g.noise()
	near.To(t, "at the tone", n.AtTone, 0.75/(1.25-math.Cos(0.08)), 1e-9)
	if n.RMS != 0.1 {
		t.Errorf("%+v", n)
	}
}

// Start and end of a ring are fitted apart, cut 1.2 time constants in: each half holds what it was
// made of, their difference over its uncertainty is z, and half of it joins the covariance.
func TestHalvesOfARing(t *testing.T) {
	const interval, n = 1e-8, 4000
	rng := rand.New(rand.NewPCG(8, 1))
	made := func(first, second tone, at int, noise float64, further ...tone) *ring {
		y := make([]float64, n)
		for i := range y {
			s := float64(i) * interval
			if i < at {
				y[i] = math.Exp(-first.alpha*s) * math.Cos(first.omega*s)
			} else {
				y[i] = math.Exp(-first.alpha*float64(at)*interval-second.alpha*(s-float64(at)*interval)) * math.Cos(second.omega*s)
			}
			for _, o := range further {
				y[i] += 0.3 * math.Exp(-o.alpha*s) * math.Cos(o.omega*s)
			}
			y[i] += 0.2 + noise*rng.NormFloat64()
		}
		s := average(y, interval, 0, 1, nil)
		r := &ring{stretch: stretch{0, n}, fit: s.solve(append([]tone{first}, further...))}
		if r.fit == nil || r.settle() != nil {
			t.Fatal("no fit")
		}
		return r
	}
	first, second := tone{2 * math.Pi * 1e6, 1e5}, tone{2 * math.Pi * 1.0005e6, 1.2e5}
	const cut = 1140 // about: the fit of both finds a damping between
	r := made(first, second, cut, 1e-4)
	h, ok := r.halves()
	if !ok || !h.moved() {
		t.Fatalf("%v: %+v", ok, h)
	}
	near.To(t, "cut", float64(h.mid), 1.2/(r.fit.tones[0].alpha*interval), 1)
	near.To(t, "start", h.start.omega, first.omega, 2e-4*first.omega)
	near.To(t, "end", h.end.omega, second.omega, 2e-4*second.omega)
	near.To(t, "damping at the start", h.start.alpha, first.alpha, 2e3)
	near.To(t, "damping at the end", h.end.alpha, second.alpha, 5e3)
	before := [2]float64{r.cov[0][0], r.cov[1][1]}
	r.spread(h)
	near.To(t, "spread of ω", r.cov[0][0]-before[0], math.Pow(h.end.omega-h.start.omega, 2)/4, 1e-6*r.cov[0][0])
	near.To(t, "spread of α", r.cov[1][1]-before[1], math.Pow(h.end.alpha-h.start.alpha, 2)/4, 1e-6*r.cov[1][1])
	// One sine with noise stays within a few of its uncertainties, beside another near it and one
	// far off that is taken off before.
	far := tone{2 * math.Pi * 1.7e6, 1e5}
	one := made(first, first, 0, 1e-3, tone{2 * math.Pi * 1.2e6, 0.9e5}, far)
	near1, y := one.nearest()
	if len(near1) != 2 {
		t.Errorf("%d tones near", len(near1))
	}
	for i, v := range y {
		s := float64(i) * interval
		near.To(t, "without the far one", v, one.fit.observed[i]-0.3*math.Exp(-far.alpha*s)*math.Cos(far.omega*s), 2e-3)
	}
	if h, ok := one.halves(); !ok || h.moved() || h.z == 0 {
		t.Errorf("one ring: %v, %+v", ok, h)
	}
	// A ring that lasts is cut in the middle.
	long := made(tone{2 * math.Pi * 1e6, 1e3}, tone{2 * math.Pi * 1e6, 1e3}, 0, 1e-3)
	if h, ok := long.halves(); !ok || h.mid != n/2 {
		t.Errorf("cut at %d", h.mid)
	}
	if _, y := long.nearest(); &y[0] != &long.fit.observed[0] {
		t.Error("something is taken off one tone")
	}
	// Four cycles of 100 samples are the fewest for a part.
	short := made(first, first, 0, 1e-3)
	short.fit.tones[0].alpha = 1.2 / (401 * interval)
	if _, ok := short.halves(); !ok {
		t.Error("401 samples are too few")
	}
	short.fit.tones[0].alpha = 1.2 / (398.5 * interval)
	if _, ok := short.halves(); ok {
		t.Error("398 samples are enough")
	}
}
