package ringing

import "math"

// Drawing holds the curves of a capture, thinned for drawing so that no peak
// is lost.
type Drawing struct {
	Whole    View // the whole capture
	Detail   View // the beginning of the loudest burst
	Spectrum Spectrum
	Modes    ModesView // of the loudest burst; empty unless there are two
}

// ModesView holds the envelopes of the modes of a burst and of their sum.
type ModesView struct {
	Time []float64   // s
	Each [][]float64 // V, of each mode
	Sum  []float64   // V
}

// View is a stretch of the trace with the fit and what it leaves.
type View struct {
	Trace, Fit, Residual Band
}

// Band is a curve drawn in columns: the least and the greatest value in each.
// Where there is nothing to draw both are NaN.
type Band struct {
	Time     []float64 // s, of the middle of each column
	Min, Max []float64 // V
}

// Spectrum is that of the loudest burst and of its residuals, by a Hann
// window, in amplitudes of a sine.
type Spectrum struct {
	Frequency []float64 // Hz
	Trace     []float64 // V
	Residual  []float64 // V
}

func newBand(columns int) Band {
	b := Band{make([]float64, columns), make([]float64, columns), make([]float64, columns)}
	for i := range b.Min {
		b.Min[i], b.Max[i] = math.NaN(), math.NaN()
	}
	return b
}

func (b Band) put(c int, y float64) {
	if !(b.Min[c] <= y) {
		b.Min[c] = y
	}
	if !(b.Max[c] >= y) {
		b.Max[c] = y
	}
}
