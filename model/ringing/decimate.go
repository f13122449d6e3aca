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
