package ringing

import (
	"math"
	"math/bits"
	"slices"

	"gonum.org/v1/gonum/dsp/fourier"
	"gonum.org/v1/gonum/dsp/window"
)

// spectrum is a one-sided power spectrum: power[k] = |Σ w y e^{−iθt}|² at
// θ = k·binWidth rad per row.
type spectrum struct {
	power    []float64
	binWidth float64 // rad per row
}

// hannSpectrum takes the straight line through y off, windows by Hann and
// transforms with at least twofold zero padding. y is overwritten.
func hannSpectrum(y []float64) spectrum {
	detrend(y)
	window.Hann(y)
	return transform(y)
}

// transform returns the spectrum of y padded with zeros.
func transform(y []float64) spectrum {
	n := padded(2 * len(y))
	seq := make([]float64, n)
	copy(seq, y)
	coeff := fourier.NewFFT(n).Coefficients(nil, seq)
	s := spectrum{power: make([]float64, len(coeff)), binWidth: 2 * math.Pi / float64(n)}
	for i, c := range coeff {
		s.power[i] = real(c)*real(c) + imag(c)*imag(c)
	}
	return s
}

// padded returns the power of two that is at least n.
func padded(n int) int { return 1 << bits.Len(uint(n-1)) }

// quick returns the least of 4, 5 and 6 times a power of two that is at least n:
// as quick to transform, and nearer.
func quick(n int) int {
	size := padded(max(n, 8))
	for _, fours := range []int{5, 6} {
		if s := size / 8 * fours; s >= n {
			return s
		}
	}
	return size
}

// detrend subtracts the least-squares straight line.
func detrend(y []float64) {
	n := float64(len(y))
	mid := (n - 1) / 2
	var sum, moment float64
	for i, v := range y {
		sum += v
		moment += v * (float64(i) - mid)
	}
	mean, slope := sum/n, 12*moment/(n*(n*n-1))
	for i := range y {
		y[i] -= mean + slope*(float64(i)-mid)
	}
}

// floor returns the mean power of noise around bin k: the median over the
// bins within reach, which lines do not lift, over ln 2, since the power of
// Gaussian noise in a bin is exponentially distributed.
func (s spectrum) floor(k, reach int) float64 {
	from, to := max(1, k-reach), min(len(s.power), k+reach+1)
	if to-from < 2*reach { // at an edge: as many bins as elsewhere
		if from == 1 {
			to = min(len(s.power), from+2*reach)
		} else {
			from = max(1, to-2*reach)
		}
	}
	p := slices.Clone(s.power[from:to])
	slices.Sort(p)
	return p[len(p)/2] / math.Ln2
}

// peak returns the bin of the greatest power in [from, to), −1 if there is
// none.
func (s spectrum) peak(from, to int) int {
	best := -1
	for k := max(from, 1); k < min(to, len(s.power)); k++ {
		if best < 0 || s.power[k] > s.power[best] {
			best = k
		}
	}
	return best
}

// refine returns the position of the peak at bin k in rad per row, by the
// parabola through the logarithms of three bins.
func (s spectrum) refine(k int) float64 {
	x := float64(k)
	if k > 0 && k+1 < len(s.power) && s.power[k-1] > 0 && s.power[k+1] > 0 {
		a, b, c := math.Log(s.power[k-1]), math.Log(s.power[k]), math.Log(s.power[k+1])
		if d := a - 2*b + c; d < 0 {
			x += math.Max(-0.5, math.Min(0.5, 0.5*(a-c)/d))
		}
	}
	return x * s.binWidth
}

// floors returns the floor around a bin as a function: the median over an
// octave to each side, over ln 2, which follows the flanks of steps and of slow
// noise and isn't lifted by lines or by a ring's peak.
func (s spectrum) floors() func(k int) float64 {
	const perOctave = 4
	const fewest, enough = 32, 256 // bins
	at := []float64{}
	for i := 0; ; i++ {
		k := math.Exp2(float64(i) / perOctave)
		if int(k) >= len(s.power) {
			break
		}
		half := math.Max(k/2, fewest/2)
		from := max(1, int(k-half))
		to := min(len(s.power), max(int(2*k), from+fewest))
		from = min(from, max(1, to-fewest))
		var p []float64
		for b := from; b < to; b += 1 + (to-from)/enough {
			p = append(p, s.power[b])
		}
		slices.Sort(p)
		at = append(at, p[len(p)/2]/math.Ln2)
	}
	return func(k int) float64 {
		i := int(math.Round(math.Log2(float64(max(k, 1))) * perOctave))
		return at[max(0, min(i, len(at)-1))]
	}
}
