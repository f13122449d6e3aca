package ringing

import (
	"cmp"
	"math"
	"slices"
)

// addTones looks for further tones in the residuals, one at a time, the
// strongest first, and fits all of them together.
func (r *ring) addTones() {
	var passed []float64 // rad/s, peaks that came to nothing
	r.settleColour()
	for len(r.fit.tones) < mostTones && len(passed) < 3 {
		omega, ok := r.nextPeak(passed)
		if !ok {
			break
		}
		if next := r.with(omega); next != nil {
			r.fit = next
			r.settleColour()
		} else {
			passed = append(passed, omega)
		}
	}
	r.fit = r.fit.strongestFirst()
}

// nextPeak returns the highest peak of the residuals' spectrum that noise
// hardly explains. The window is the decay itself, which is the best one for
// a tone that dies away as the first does.
func (r *ring) nextPeak(passed []float64) (omega float64, ok bool) {
	s := r.fit.series
	spacing := s.spacing()
	alpha := math.Max(0, r.fit.tones[0].alpha)
	y := make([]float64, len(s.re))
	energy := 0.0
	for m := range y {
		w := math.Exp(-alpha * float64(m) * spacing)
		y[m] = w * r.fit.residual[m]
		energy += w * w
	}
	spec := transform(y)
	// Neighbourhoods of peaks passed over are blanked.
	width := 2 * math.Pi / float64(len(y)) // one bin without padding
	for _, w := range passed {
		k, n := int(w*spacing/spec.binWidth), int(math.Ceil((2*width+2*alpha*spacing)/spec.binWidth))
		for i := max(0, k-n); i <= min(len(spec.power)-1, k+n); i++ {
			spec.power[i] = 0
		}
	}
	// Wider than a line, its decay's width included, and narrower than most
	// noise's colour.
	reach := 64 + int(40*alpha*spacing/spec.binWidth)
	k := spec.peak(int(fewestCycles*width/spec.binWidth), len(spec.power)-1)
	if k < 0 {
		return 0, false
	}
	// The window's energy turns a density into a power.
	red := redNoise(s, r.fit.residual).density(float64(k)*spec.binWidth) * energy
	bins := float64(len(y)) / 2
	floor := math.Max(spec.floor(k, reach), red)
	return spec.refine(k) / spacing, spec.power[k] > floor*math.Log(bins/falseAlarm)
}

// with returns the fit with one more tone near omega, or nil when none stands
// up. A tone near the strongest may have misled the fit so far: then the two
// are looked for together.
func (r *ring) with(omega float64) *projection {
	s := r.fit.series
	main := r.fit.tones[0]
	start := append(slices.Clone(r.fit.tones), tone{omega, math.Max(0, main.alpha)})
	if len(r.fit.tones) > 1 || r.paired || math.Abs(omega-main.omega) >= nearTone*main.omega {
		return r.accept(s.solve(start))
	}
	r.paired = true
	c := s.coarse(main.omega)
	var best []tone
	least := math.Inf(1)
	for _, pair := range append(c.pairs(main), start) {
		if p := c.solve(pair); p != nil && p.resolved() && p.squares() < least {
			best, least = slices.Clone(p.tones), p.squares()
		}
	}
	if best == nil {
		return r.accept(s.solve(start))
	}
	return r.accept(s.solve(best))
}

// accept returns next, a fit with one more tone, or nil when it doesn't stand
// up: a tone that can't be told from another or from a drift, or an
// improvement that noise would give too.
func (r *ring) accept(next *projection) *projection {
	if next == nil || !next.resolved() {
		return nil
	}
	trial := ring{fit: next}
	if trial.settleColour(); r.criterion()-trial.criterion() < clearly || trial.settle() != nil {
		return nil
	}
	for k := range next.tones {
		if a, u := trial.amplitude(k); a < tellingTone*u {
			return nil
		}
	}
	return next
}

// criterion returns the Bayesian information criterion of the tones together
// with the colour of what they leave: a narrow hump of noise must not pass for
// a tone, nor a tone for noise.
func (r *ring) criterion() float64 {
	n := float64(r.fit.series.used())
	params := len(r.fit.coef) + 2*len(r.fit.tones) + len(r.colour.coefficients)
	return n*math.Log(r.colour.innovation) + float64(params)*math.Log(n)
}

// pairs returns starts for two tones in place of one: the best on a grid of
// distances and common dampings, of which the fit may find different valleys.
func (s *series) pairs(main tone) (starts [][]tone) {
	const keep = 4 // a fit each
	length := s.length()
	type try struct {
		start   []tone
		squares float64
	}
	var tries []try
	for _, decays := range []float64{0, 0.5, 1, 2, 4, 8, 16} {
		for _, beats := range []float64{0.3, 0.5, 0.75, 1, 1.5, 2, 3, 4, 6, 8, 12, 16, 24, 32} {
			apart, alpha := 2*math.Pi*beats/length, decays/length
			if apart > nearTone*main.omega || alpha > main.omega/4 {
				continue
			}
			for _, low := range []float64{main.omega - apart, main.omega - apart/2, main.omega} {
				start := []tone{{low, alpha}, {low + apart, alpha}}
				if p := project(s, start); p.atStart() {
					tries = append(tries, try{start, p.squares()})
				}
			}
		}
	}
	slices.SortFunc(tries, func(a, b try) int { return cmp.Compare(a.squares, b.squares) })
	for _, t := range tries[:min(keep, len(tries))] {
		starts = append(starts, t.start)
	}
	return starts
}

// resolved reports whether every tone swings at least three times, decays
// slower than it swings, and beats with every other at least resolvedBeats
// times while they last.
func (p *projection) resolved() bool {
	s := p.series
	length := s.length()
	for i, t := range p.tones {
		if t.omega*length < fewestCycles*2*math.Pi || math.Abs(t.alpha) > t.omega/4 || t.alpha*length < -3 {
			return false
		}
		for _, o := range p.tones[:i] {
			if s.beats(t, o) < resolvedBeats {
				return false
			}
		}
	}
	return true
}

// beats returns how often two tones beat while both last, three time constants
// at most.
func (s *series) beats(t, o tone) float64 {
	lasts := s.length()
	if a := math.Max(t.alpha, o.alpha); a > 0 {
		lasts = math.Min(lasts, 3/a)
	}
	return math.Abs(t.omega-o.omega) * lasts / (2 * math.Pi)
}
