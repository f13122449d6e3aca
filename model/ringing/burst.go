package ringing

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// begin leaves out of a ring what doesn't follow its decay: the first cycles
// often hold the blow that set the coil ringing, and a ring whose start and end
// differ is told by its end, where it is small and free. It leaves out as few
// as make the beginning like the rest.
func (a *analysis) begin(r *ring, st stretch, c candidate) *ring {
	whole := *r
	cycle := 2 * math.Pi / (r.fit.tones[0].omega * a.signal.Interval)
	from, step := float64(r.from), cycle/4
	var moved *halves // the first that differed
	for {
		h, ok := r.halves()
		if ok && h.moved() && moved == nil {
			moved = &h
		}
		if even := r.even(); even && !(ok && h.moved()) || r.fit.tones[0].alpha <= 0 {
			r.misfit = !even
			if moved != nil && ok {
				r.spread(h)
			}
			break
		} else if even {
			from = float64(r.from + h.mid)
		} else {
			from += step
			step *= 1.5
		}
		next := stretch{int(math.Ceil(from)), st.to}
		var n *ring
		if float64(next.len()) >= fewestCycles*cycle {
			n, _ = a.decay(next, c)
		}
		if n == nil || n.from < next.from || n.cycles() < fewestCycles {
			if moved == nil {
				whole.misfit = true
				return &whole
			}
			r.misfit = true
			if ok {
				r.spread(h)
			}
			break
		}
		r = n
	}
	r.moved = moved
	r.skipped = float64(r.from-whole.from) / cycle
	return r
}

// decay fits the tones of a stretch, from its first sample to where they have
// died away.
func (a *analysis) decay(st stretch, c candidate) (*ring, error) {
	omega := c.omega / a.signal.Interval
	spread := 1.5 * omega / c.cycles
	r := &ring{stretch: st}
	block, most := max(1, int(2*math.Pi/c.omega/rowsPerCycle)), mostRows
	if a.scan.clip.any() {
		block, most = 1, mostClipped
	}
	r.to = min(r.to, r.from+most*block)
	r.limited = r.to < st.to
	if a.like.alpha > 0 {
		r.to = min(r.to, r.from+int(1.2*enoughDecay/a.like.alpha/a.signal.Interval))
	}
	var start []tone
	drifts := still
	const rounds = 6 // at most; each shortens the stretch or moves the clipped samples
	for round := 1; ; round++ {
		s := average(a.signal.Samples[r.from:r.to], a.signal.Interval, 0, block, a.clipped(r))
		if used := s.used(); used < fewestSamples || used < s.rows()*2/5 {
			if block == 1 && s.skip != nil {
				return nil, &Refusal{Reason: TooMuchClipped, Got: 1 - float64(used)/float64(s.rows())}
			}
			return nil, &Refusal{Reason: TooFewSamples, Got: float64(used), Need: fewestSamples}
		}
		if s.drifts = drifts; start == nil {
			start = []tone{s.start(omega, spread)}
			drifts = s.drifts
		}
		r.masked = s.rows() - s.used()
		r.fit = s.solve(start)
		if r.fit == nil {
			return nil, &Refusal{Reason: NoFit}
		}
		r.rms = a.rms(r)
		start = append(start[:0], r.fit.tones...)
		if round == rounds || !a.shorten(r, c) && !a.reclip(r, s) {
			break
		}
	}
	r.addTones()
	r.rms = a.rms(r)
	if err := r.settle(); err != nil {
		return r, err
	}
	if len(r.fit.tones) > 1 && !r.decaying(0) {
		r.ringFirst()
		return r, r.settle()
	}
	return r, nil
}

// shorten cuts the stretch where the decay has left nothing. It reports whether a new fit
// is needed.
func (a *analysis) shorten(r *ring, c candidate) bool {
	t := r.fit.tones[0]
	if t.alpha <= 0 {
		return false
	}
	to := r.from + max(int(math.Ceil(enoughDecay/t.alpha/a.signal.Interval)), fewestSamples)
	if to >= r.to-(r.len()/20) || !a.quiet(stretch{to, r.to}, r.fit, c) {
		return false
	}
	r.to, r.limited = to, false
	return true
}

// quiet reports whether a tone has died away in a stretch: a wrong model of
// two beating tones must not cut off their next swell.
func (a *analysis) quiet(s stretch, p *projection, c candidate) bool {
	const share, steps = 0.02, 2
	e := follow(a.signal.Samples[s.from:s.to], c)
	loud := math.Max(6*e.scatter, math.Max(share*p.size(0), steps*a.scan.step))
	return len(e.amplitude) == 0 || slices.Max(e.amplitude) < loud
}

// clipped returns the test for samples to be left out: those seen at the rails
// before the first fit; after it those that the model puts there, since noise
// must not have a say in which samples count.
func (a *analysis) clipped(r *ring) func(i int) bool {
	clip := a.scan.clip
	if !clip.any() {
		return nil
	}
	y := a.signal.Samples[r.from:r.to]
	if r.fit == nil {
		return func(i int) bool { return clip.beyond(y[i], 0) }
	}
	model := make([]float64, len(y))
	r.fit.add(model, 0, 1)
	margin := a.scan.step + 3*r.rms
	return func(i int) bool { return clip.beyond(model[i], margin) || clip.beyond(y[i], 0) }
}

// reclip reports whether the fit has moved the clipped samples.
func (a *analysis) reclip(r *ring, s *series) bool {
	drop := a.clipped(r)
	if drop == nil {
		return false
	}
	moved := 0
	for i, skip := range s.skip {
		if drop(i) != skip {
			moved++
		}
	}
	return moved > len(s.skip)/1000
}

// even reports whether the residuals of the first cycle are no larger than
// the others'.
func (r *ring) even() bool {
	const odds = 1e-5
	const trifling = 1e-5 // of the amplitude
	p, s := r.fit, r.fit.series
	first := int(math.Round(2 * math.Pi / (p.tones[0].omega * s.spacing())))
	if first < 1 || 2*first > len(s.re) {
		return true
	}
	here, there := meanSquare(s, p.residual, 0, first), meanSquare(s, p.residual, first, len(s.re))
	if !(here > there) || math.Sqrt(here) < trifling*p.size(0) {
		return true
	}
	// Neighbouring residuals of coloured noise tell less.
	independent := math.Max(1, float64(first)*r.colour.independence())
	return distuv.F{D1: independent, D2: float64(len(s.re)-first) * r.colour.independence()}.Survival(here/there) > odds
}

// ringFirst puts a tone that dies away before those that don't: they are the
// drive's, or a station's.
func (r *ring) ringFirst() {
	// A fit gives a steady tone whose amplitude moves a little a companion that seems to die
	// away. A plain choice: none of 232 captures (TestHonesty, 4 seeds) has one so small.
	const least = 0.05 // of the strongest's amplitude
	if r.decaying(0) {
		return
	}
	best, most := 0, 0.0
	for k := 1; k < len(r.fit.tones); k++ {
		ratio := r.fit.tones[k].omega / r.fit.tones[0].omega
		if n := math.Round(ratio); n >= 2 && math.Abs(ratio-n) < 0.01*n {
			continue
		}
		if v := r.fit.size(k); r.decaying(k) && v > least*r.fit.size(0) && v > most {
			best, most = k, v
		}
	}
	if best == 0 {
		return
	}
	tones := slices.Clone(r.fit.tones)
	t := tones[best]
	tones = append([]tone{t}, slices.Delete(tones, best, best+1)...)
	first := project(r.fit.series, tones)
	first.atStart()
	r.fit = first
}
