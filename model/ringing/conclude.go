package ringing

import (
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/quantities"
)

// result puts together what the rings of a capture say.
func (a *analysis) result(f finding) *Result {
	r := &Result{Clipping: a.scan.clip, Found: f.found}
	rings, loudest := f.rings, f.loudest()
	e := loudest.estimator()
	for k := range loudest.fit.tones {
		r.Tones = append(r.Tones, e.tone(k))
	}
	if long := loudest.long; long != nil {
		r.Tones[0] = long.estimator().tone(0)
		r.Tones[0].Amplitude = e.amplitude(0)
	}
	for k := range loudest.fit.tones[1:] {
		if loudest.steady(k + 1) {
			r.Tones[k+1].Relation = Steadily
		}
	}
	if a.company != nil {
		e := a.company.ring.estimator()
		for k := range a.company.fit.tones {
			t := e.tone(k)
			t.Relation = Steadily
			r.Tones = append(r.Tones, t)
		}
	}
	a.relate(r.Tones)
	for _, g := range rings {
		r.Bursts = append(r.Bursts, a.burst(g))
	}
	other, apart := r.agree(slices.Index(rings, loudest))
	scale := r.combine()
	r.Kind = Steady
	seconds := float64(loudest.whole().len()) * a.signal.Interval
	if r.Damping.Determined && falls(r.Damping.Value, r.Damping.Uncertainty, seconds) {
		r.Kind = Decay
	} else {
		r.forgetDecay()
	}
	r.Amplitude, r.Offset = r.Tones[0].Amplitude, e.offset()
	r.Noise = loudest.noise()
	r.SamplesPerCycle = 1 / (r.Frequency.Value * a.signal.Interval)
	relative := math.Hypot(a.set.Timebase, a.signal.IntervalUncertainty/a.signal.Interval)
	r.widen(relative)
	if long := loudest.long; long != nil {
		e = long.estimator()
	}
	r.modes(e, relative)
	a.use(r, rings)
	r.Notes = a.notes(r, rings, loudest, scale)
	if apart > 0 {
		r.Notes = append(r.Notes, Note{BurstsDisagree, [4]float64{r.Resonance.Value, other, float64(apart), float64(len(rings))}})
	}
	r.disclaim()
	return r
}

func (a *analysis) burst(g *ring) Burst {
	w := g.whole()
	t := w.estimator().tone(0)
	return Burst{
		Start:   a.signal.time(float64(g.from)),
		End:     a.signal.time(float64(w.to)),
		Cycles:  w.cycles(),
		Skipped: g.skipped,
		Tone:    t,
	}
}

// agree marks the bursts that ring at another frequency than the loudest, and
// returns how many there are and the frequency of the first in Hz. Within a few
// times what the uncertainties allow the bursts are one coil's and their
// scatter counts; beyond, a mean would be nobody's.
func (r *Result) agree(loudest int) (other float64, apart int) {
	const most = 6 // standard uncertainties of a difference; 4 and 12 change nothing, without it bursts of two tones are averaged
	main := r.Bursts[loudest].Tone.Natural
	for i := range r.Bursts {
		e := r.Bursts[i].Tone.Natural
		if u := math.Hypot(e.Uncertainty, main.Uncertainty); math.Abs(e.Value-main.Value) > most*u {
			r.Bursts[i].Apart = true
			if apart++; apart == 1 {
				other = e.Value
			}
		}
	}
	return other, apart
}

// combine takes the weighted means over the bursts that agree, and returns the
// Birge ratio of the frequencies.
func (r *Result) combine() (scale float64) {
	var natural, damped, damping, loss []quantities.Estimate
	for _, b := range r.Bursts {
		if b.Apart {
			continue
		}
		natural = append(natural, b.Tone.Natural)
		damped = append(damped, b.Tone.Frequency)
		damping = append(damping, b.Tone.Damping)
		loss = append(loss, inverse(&b.Tone.Quality))
		r.Quality = b.Tone.Quality
		r.QualityAtLeast = math.Max(r.QualityAtLeast, b.Tone.QualityAtLeast)
	}
	if len(natural) == 1 {
		r.Resonance, r.Frequency, r.Damping = natural[0], damped[0], damping[0]
		return 1
	}
	r.Resonance, scale = mean(natural)
	r.Frequency, _ = mean(damped)
	r.Damping, _ = mean(damping)
	l, _ := mean(loss) // 1/Q is proportional to the damping, its error nearly normal
	r.Quality = inverse(&l)
	return scale
}

// inverse returns 1/e.
func inverse(e *quantities.Estimate) quantities.Estimate {
	if !e.Determined || !(e.Value > 0) {
		return undetermined(e.Unit)
	}
	out := quantities.Estimate{Value: 1 / e.Value, Unit: e.Unit, Uncertainty: e.Uncertainty / (e.Value * e.Value), Determined: true}
	out.Interval = [2]float64{1 / e.Interval[1], math.Inf(1)}
	if e.Interval[0] > 0 {
		out.Interval[1] = 1 / e.Interval[0]
	}
	return out
}

// mean returns the mean of those of the estimates that are determined, each
// weighted by its variance, its uncertainty scaled by the Birge ratio
// √(χ²/(n−1)) where that is above 1 (Birge, Phys. Rev. 40 (1932) 207). The
// interval is Student's: what the scatter adds has n−1 degrees of freedom
// (Welch-Satterthwaite, JCGM 100:2008, G.4.1).
func mean(list []quantities.Estimate) (m quantities.Estimate, scale float64) {
	var weight, sum float64
	n := 0
	for _, e := range list {
		if e.Determined && e.Uncertainty > 0 {
			w := 1 / (e.Uncertainty * e.Uncertainty)
			weight += w
			sum += w * e.Value
			n++
		}
	}
	if n == 0 {
		return undetermined(list[0].Unit), 1
	}
	m = quantities.Estimate{Value: sum / weight, Unit: list[0].Unit, Determined: true}
	var chi float64
	for _, e := range list {
		if e.Determined && e.Uncertainty > 0 {
			d := (e.Value - m.Value) / e.Uncertainty
			chi += d * d
		}
	}
	scale, degrees := 1.0, math.Inf(1)
	if n > 1 && chi > float64(n-1) {
		scale = math.Sqrt(chi / float64(n-1))
		excess := 1 - 1/(scale*scale)
		degrees = float64(n-1) / (excess * excess)
	}
	m.Uncertainty = scale / math.Sqrt(weight)
	k := fit.CoverageFactor(0.95, degrees)
	m.Interval = [2]float64{m.Value - k*m.Uncertainty, m.Value + k*m.Uncertainty}
	return m, scale
}

// forgetDecay leaves nothing of a steady tone's decay: it is the drive's, and
// says nothing of the coil's losses.
func (r *Result) forgetDecay() {
	r.Resonance = r.Frequency
	r.Quality, r.Damping, r.QualityAtLeast = undetermined("1"), undetermined("1/s"), 0
}

// widen adds the uncertainty of the time axis to all that is a frequency. The
// quality factor, a ratio of times, has none of it.
func (r *Result) widen(relative float64) {
	for _, e := range []*quantities.Estimate{&r.Resonance, &r.Frequency, &r.Damping} {
		widen(e, relative)
	}
	r.eachTone(func(t *Tone) {
		for _, e := range []*quantities.Estimate{&t.Frequency, &t.Natural, &t.Damping} {
			widen(e, relative)
		}
	})
}

func (g *ring) noise() Noise {
	t := g.fit.tones[0]
	w := g.whole()
	spacing := w.fit.series.spacing()
	theta := (t.omega - w.fit.series.shift) * spacing
	return Noise{RMS: g.rms, AtTone: w.colour.density(theta) / w.colour.variance}
}
