package ringing

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/near"
)

// Sizes of transforms.
func TestSizes(t *testing.T) {
	for _, c := range []struct{ n, padded, quick int }{{1, 1, 5}, {5, 8, 5}, {6, 8, 6}, {7, 8, 8}, {8, 8, 8}, {9, 16, 10}, {10, 16, 10}, {11, 16, 12}, {12, 16, 12}, {13, 16, 16}, {1025, 2048, 1280}, {1281, 2048, 1536}, {1537, 2048, 2048}} {
		if padded(c.n) != c.padded || quick(c.n) != c.quick {
			t.Errorf("%d: %d and %d, want %d and %d", c.n, padded(c.n), quick(c.n), c.padded, c.quick)
		}
	}
}

// A straight line is taken off wholly, and nothing of what has no part of one.
func TestDetrend(t *testing.T) {
	y := make([]float64, 20)
	for i := range y {
		x := float64(i) - 9.5
		y[i] = 3 + 0.7*float64(i) + 2*(x*x-33.25) // the mean of x² over 20 places is (400 − 1)/12
	}
	detrend(y)
	for i, v := range y {
		x := float64(i) - 9.5
		near.To(t, "detrended", v, 2*(x*x-33.25), 1e-10)
	}
}

// The power is that of the sum written out, at the place that binWidth tells; Hann's window is
// ½ − ½ cos(2πi/(n−1)).
func TestPowerOfSpectrum(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	y := make([]float64, 40)
	for i := range y {
		y[i] = rng.NormFloat64()
	}
	sum := func(y []float64, theta float64) float64 {
		re, im := 0.0, 0.0
		for i, v := range y {
			re, im = re+v*math.Cos(theta*float64(i)), im+v*math.Sin(theta*float64(i))
		}
		return re*re + im*im
	}
	s := transform(slices.Clone(y))
	if len(s.power) != 65 || s.binWidth != 2*math.Pi/128 {
		t.Fatalf("%d bins of %v", len(s.power), s.binWidth)
	}
	windowed := slices.Clone(y)
	detrend(windowed)
	for i := range windowed {
		windowed[i] *= 0.5 - 0.5*math.Cos(2*math.Pi*float64(i)/39)
	}
	h := hannSpectrum(slices.Clone(y))
	for _, k := range []int{0, 1, 17, 64} {
		near.To(t, "power", s.power[k], sum(y, float64(k)*s.binWidth), 1e-9)
		near.To(t, "power under Hann's window", h.power[k], sum(windowed, float64(k)*s.binWidth), 1e-9)
	}
}

// The peak of a range, the first of equals, never at 0; a parabola through the logarithms of three
// bins has its top at ½(a − c)/(a − 2b + c) beside the middle one, at most half a bin off.
func TestPeaks(t *testing.T) {
	s := spectrum{power: []float64{99, 1, 5, 2, 5, 0, 7}, binWidth: 0.1}
	for _, c := range []struct{ from, to, want int }{{0, 5, 2}, {3, 6, 4}, {0, 100, 6}, {1, 2, 1}, {4, 4, -1}, {-3, 1, -1}} {
		if got := s.peak(c.from, c.to); got != c.want {
			t.Errorf("from %d to %d: %d, want %d", c.from, c.to, got, c.want)
		}
	}
	bump := spectrum{power: make([]float64, 9), binWidth: 0.1}
	for k := range bump.power {
		bump.power[k] = math.Exp(-2 * math.Pow(float64(k)-4.3, 2))
	}
	near.To(t, "peak", bump.refine(4), 0.43, 1e-12)
	near.To(t, "beside the peak", bump.refine(6), 0.55, 1e-12)
	near.To(t, "beside the peak", bump.refine(2), 0.25, 1e-12)
	near.To(t, "the first", bump.refine(0), 0, 0)
	near.To(t, "the last", bump.refine(8), 0.8, 1e-12)
	near.To(t, "beside nothing", s.refine(6), 0.6, 1e-12)
	near.To(t, "in a valley", s.refine(3), 0.3, 1e-12)
}

// The median over ln 2, of bins around, as many at an edge: bin k has the power k here.
func TestFloor(t *testing.T) {
	s := spectrum{power: make([]float64, 101)}
	for k := range s.power {
		s.power[k] = float64(k)
	}
	for _, c := range []struct {
		k, reach int
		want     float64
	}{{50, 10, 50}, {3, 10, 11}, {95, 10, 91}, {1, 200, 51}} {
		near.To(t, "floor", s.floor(c.k, c.reach), c.want/math.Ln2, 1e-12)
	}
}

// Around bin k lies an octave to each side, from k/2 to 2k, or 32 bins where those are fewer: of a
// power that goes as the bin, the median is 5k/4.
func TestFloors(t *testing.T) {
	s := spectrum{power: make([]float64, 4097)}
	for k := range s.power {
		s.power[k] = float64(k)
	}
	at := s.floors()
	for _, k := range []int{64, 128, 512, 1024} {
		near.To(t, "floor", at(k)*math.Ln2, 1.25*float64(k), 0.02*float64(k))
	}
	near.To(t, "lowest", at(0)*math.Ln2, 17, 0)
	near.To(t, "lowest", at(1)*math.Ln2, 17, 0)
	near.To(t, "highest", at(4096)*math.Ln2, 3072, 40)
	near.To(t, "beyond", at(1<<20), at(4096), 0)
	near.To(t, "a step of a quarter octave", at(76)*math.Ln2, 1.25*76.1, 2)
}
