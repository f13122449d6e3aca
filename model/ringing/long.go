package ringing

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/dsp/fourier"
)

const (
	longRows       = 1 << 13 // blocks that a long stretch is averaged to
	cyclesPerBlock = 8       // at least
	fewestBlocks   = 8       // that carry a tone on
	worthwhile     = 1.2     // times the stretch fitted sample by sample; with 1 a ring beside a station has bursts that disagree
	slowDrift      = 2.0     // rad that a tone may turn within a block and be kept: its mean then is 0.84 of it (sin 1/1)
)

// extend carries a ring fitted at the beginning of a stretch on to the end,
// where that is longer than what is fitted sample by sample: the samples are
// turned back by the tone's frequency and averaged over many cycles. It
// returns nil when the tone doesn't last.
func (a *analysis) extend(r *ring, to int) *ring {
	main := r.fit.tones[0]
	t := a.signal.Interval
	if main.alpha > 0 {
		to = min(to, r.from+int(enoughDecay/main.alpha/t))
	}
	n := to - r.from
	if !r.limited || float64(n) < worthwhile*float64(r.len()) || a.scan.clip.any() {
		return nil
	}
	cycle := 2 * math.Pi / (main.omega * t)
	blocks := math.Min(longRows, float64(n)/(cyclesPerBlock*cycle))
	if !(blocks >= fewestBlocks) {
		return nil
	}
	block := int(float64(n) / blocks)
	long := &ring{stretch: stretch{r.from, to}, skipped: r.skipped}
	s := average(a.signal.Samples[r.from:to], t, main.omega, block, nil)

	start := []tone{{main.omega + s.offsetOfPeak(main.alpha, 4*math.Pi/(float64(r.len())*t)), main.alpha}}
	for _, o := range r.fit.tones[1:] {
		if math.Abs(o.omega-main.omega)*s.spacing() < slowDrift {
			start = append(start, o)
		}
	}
	for long.fit = s.solve(start); long.fit == nil && len(start) > 1; long.fit = s.solve(start) {
		start = start[:1]
	}
	if long.fit == nil || long.settle() != nil {
		return nil
	}
	long.rms = a.rms(long)
	return long
}

// offsetOfPeak returns by how much, in rad/s, the strongest line of a series
// that was turned back lies off the frequency it was turned by, at most most.
func (s *series) offsetOfPeak(alpha, most float64) float64 {
	const zeroPadding = 4
	n := padded(zeroPadding * len(s.re))
	z := make([]complex128, n)
	for m := range s.re {
		w := math.Exp(-math.Max(0, alpha) * float64(m) * s.spacing())
		z[m] = complex(w*s.re[m], w*s.im[m])
	}
	fft := fourier.NewCmplxFFT(n)
	z = fft.Coefficients(z, z)
	best, power := 0.0, 0.0
	for k, c := range z {
		off := 2 * math.Pi * fft.Freq(k) / s.spacing()
		if p := cmplx.Abs(c); math.Abs(off) <= most && p > power {
			best, power = off, p
		}
	}
	return best
}
