package ringing

import (
	"math"
	"slices"
)

const mostBehind = 3 // candidates tried behind a steady tone, a fit each

// behind looks for a ring behind a steady tone: in what is left when that is
// taken off. It reports whether there is one; the analysis is then that of the
// rest.
func (a *analysis) behind(f finding) (finding, bool) {
	steady := f.rings[0].whole()
	if len(f.rings) > 1 || 2*steady.len() < len(a.signal.Samples) || a.scan.clip.any() {
		return f, false
	}
	b := a.without(&company{fit: steady.fit, from: steady.from, ring: steady})
	list, _ := find(b.signal.Samples, b.need())
	tried := 0
	for _, c := range list {
		if tried == mostBehind {
			break
		}
		if a.accounted(c, steady.fit.tones) {
			continue
		}
		tried++
		g, ok := b.behindAt(c)
		if !ok {
			continue
		}
		// The ring has pulled at the steady tone: fit that where there is none.
		if again := a.beside(steady, g.rings[0]); again != nil {
			b2 := a.without(again)
			if h, ok := b2.behindAt(c); ok {
				b, g = b2, h
			}
		}
		*a = *b
		return g, true
	}
	return f, false
}

func (a *analysis) behindAt(c candidate) (g finding, ok bool) {
	rings, found, err := a.rings(c)
	a.like = tone{}
	if err != nil {
		return g, false
	}
	g = finding{rings: rings, found: found}
	return g, g.decays(a.signal.Interval) && !g.loudest().misfit
}

// without returns the analysis of the capture with a company taken off.
func (a *analysis) without(c *company) *analysis {
	b := *a
	b.whole = a.signal.Samples
	b.signal.Samples = slices.Clone(a.signal.Samples)
	c.add(b.signal.Samples, 0, -1)
	b.company = c
	return &b
}

// beside fits a steady tone in the longer stretch before or behind a ring.
func (a *analysis) beside(steady, r *ring) *company {
	end := r.to
	if t := r.fit.tones[0]; t.alpha > 0 {
		end = min(end, r.from+int(enoughDecay/(t.alpha*a.signal.Interval)))
	}
	part := stretch{0, r.from - r.len()/20}
	if n := len(a.signal.Samples); n-end > part.len() {
		part = stretch{end, n}
	}
	if part.len() < r.len()/2 {
		return nil
	}
	tones := steady.fit.tones
	block := max(1, int(2*math.Pi/(tones[0].omega*a.signal.Interval)/rowsPerCycle))
	near := stretch{part.from, min(part.to, part.from+mostRows*block)}
	if part.from == 0 { // the end of it lies beside the ring
		near = stretch{max(0, part.to-mostRows*block), part.to}
	}
	s := average(a.signal.Samples[near.from:near.to], a.signal.Interval, 0, block, nil)
	s.drifts = bent
	fit := s.solve(tones)
	if fit == nil {
		return nil
	}
	g := &ring{stretch: near, fit: fit}
	if g.settle() != nil {
		return nil
	}
	return &company{fit: fit, from: near.from, ring: g}
}

// accounted reports whether a candidate is one of the tones, or a multiple.
func (a *analysis) accounted(c candidate, seen []tone) bool {
	for _, t := range seen {
		ratio := c.omega / (t.omega * a.signal.Interval)
		bins := float64(sideLobes)
		n := math.Round(ratio)
		if n > 1 {
			bins = 0.3 // as well as a peak is placed
		}
		if n >= 1 && math.Abs(ratio-n) < math.Max(bins/c.cycles, 1e-3)*ratio {
			return true
		}
	}
	return false
}
