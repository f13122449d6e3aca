package ringing

import (
	"math"

	"gonum.org/v1/gonum/dsp/window"
	"gonum.org/v1/gonum/floats"
)

// decimate returns every fourth sample of y after a low pass: an ideal one
// under a Blackman window, which lets through what lies below half the new
// band, and of what would fold onto that less than a thousandth (Blackman's
// side lobes are 58 dB down; Harris, Proc. IEEE 66 (1978) 51, from memory).
// A mean of four would let through a fifth, and a tone that isn't there be
// seen.
func decimate(y []float64) []float64 {
	const taps = 12 * coarsening
	h := make([]float64, taps)
	for i := range h {
		x := (float64(i) - (taps-1)/2.0) / coarsening
		h[i] = math.Sin(math.Pi*x) / (math.Pi * x) // x is never whole
	}
	window.Blackman(h)
	floats.Scale(1/floats.Sum(h), h)
	out := make([]float64, len(y)/coarsening)
	for m := range out {
		first := m*coarsening - (taps-coarsening)/2
		if first >= 0 && first+taps <= len(y) {
			out[m] = floats.Dot(h, y[first:first+taps])
			continue
		}
		for i, w := range h { // beyond an end: as at the end
			out[m] += w * y[max(0, min(len(y)-1, first+i))]
		}
	}
	return out
}

const (
	chunkRows     = 1 << 14 // samples in the longest look at the spectrum
	shortestChunk = 1 << 8
	chunkStep     = 8 // from one length of a look to the next
	loudest       = 2 // chunks looked at in each resolution, by each of two measures
	coarsening    = 4 // from one resolution to the next
	fewestCycles  = 3
	hannSquares   = 3.0 / 8 // mean square of the Hann window
	peaksInChunk  = 3       // the strongest
	sideLobes     = 4       // bins within which the Hann window's stand out
)
