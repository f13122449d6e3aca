package ringing

import "math"

const (
	mostTones     = 6
	falseAlarm    = 1e-4 // chance that noise alone lets a further tone be tried
	tellingTone   = 6    // amplitude over its standard uncertainty, to be kept
	resolvedBeats = 0.5  // beats within the capture that tell two tones apart
)

// addTones looks for further tones in the residuals, one at a time, the
// strongest first, and fits all of them together.
func (r *ring) addTones() {
	var passed []float64 // rad/s, peaks that came to nothing
	for len(r.fit.tones) < mostTones && len(passed) < 3 {
		omega, ok := r.nextPeak(passed)
		if !ok {
			break
		}
		if next := r.with(omega); next != nil {
			r.fit = next
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
	const reach = 64 // bins: wider than a tone, narrower than most noise's colour
	s := r.fit.series
	spacing := s.spacing()
	alpha := math.Max(0, r.fit.tones[0].alpha)
	y := make([]float64, len(s.re))
	for m := range y {
		y[m] = r.fit.residual[m] * math.Exp(-alpha*float64(m)*spacing)
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
	k := spec.peak(int(fewestCycles*width/spec.binWidth), len(spec.power)-1)
	if k < 0 {
		return 0, false
	}
	bins := float64(len(y)) / 2
	return spec.refine(k) / spacing, spec.power[k] > spec.floor(k, reach)*math.Log(bins/falseAlarm)
}

// with returns the fit with one more tone, or nil when it doesn't stand up:
// no convergence, a tone that can't be told from another or from a drift, or
// an improvement that noise would give too.
func (r *ring) with(omega float64) *projection {
	s := r.fit.series
	start := append(append([]tone(nil), r.fit.tones...), tone{omega, math.Max(0, r.fit.tones[0].alpha)})
	next := s.solve(start)
	if next == nil {
		return nil
	}
	n := float64(s.used())
	if !(n*math.Log(r.fit.squares()/next.squares()) > 4*math.Log(n)+12) {
		return nil
	}
	if !next.resolved() {
		return nil
	}
	trial := ring{fit: next}
	if trial.settle() != nil {
		return nil
	}
	k := len(next.tones) - 1
	if a, u := trial.amplitude(k); a < tellingTone*u {
		return nil
	}
	return next
}

// resolved reports whether every tone swings at least three times, decays
// slower than it swings, and beats with every other at least resolvedBeats
// times while they last.
func (p *projection) resolved() bool {
	s := p.series
	length := float64(len(s.re)) * s.spacing()
	for i, t := range p.tones {
		if t.omega*length < fewestCycles*2*math.Pi || math.Abs(t.alpha) > t.omega/4 || t.alpha*length < -3 {
			return false
		}
		for _, o := range p.tones[:i] {
			lasts := length
			if a := math.Max(t.alpha, o.alpha); a > 0 {
				lasts = math.Min(lasts, 3/a)
			}
			if math.Abs(t.omega-o.omega)*lasts < 2*math.Pi*resolvedBeats {
				return false
			}
		}
	}
	return true
}

// amplitude returns the amplitude of tone k at the first sample and its
// standard uncertainty, in V.
func (r *ring) amplitude(k int) (value, u float64) {
	a, b := r.fit.coef[2*k], r.fit.coef[2*k+1]
	value = math.Hypot(a, b)
	i := 2*len(r.fit.tones) + 2*k
	grad := make([]float64, len(r.cov))
	grad[i], grad[i+1] = a/value, b/value
	return value, math.Sqrt(quadratic(r.cov, grad))
}

// quadratic returns gᵀCg.
func quadratic(c [][]float64, g []float64) (v float64) {
	for i, row := range c {
		for j, x := range row {
			v += g[i] * x * g[j]
		}
	}
	return math.Max(v, 0)
}
