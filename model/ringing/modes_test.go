package ringing

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/near"
	"fitcoil/model/quantities"
)

// Both modes of two coupled equal circuits, f₀/√(1 ± k), with the covariance
// that the split takes; and what of the capture was used.
func TestModes(t *testing.T) {
	const f0, k, q = 1.5e6, 0.08, 60
	low, high := f0/math.Sqrt(1+k), f0/math.Sqrt(1-k)
	c := invented{n: 12000, interval: coilInterval, sigma: 0.005, step: 0.01, pretrig: 3000,
		tones: []sine{natural(1, low, q, 0.3), natural(0.7, high, q, 2)}}
	r := analyse(t, c, 3)
	if len(r.Modes) != 2 || len(r.Covariance) != 4 {
		t.Fatalf("%d modes, covariance of %d", len(r.Modes), len(r.Covariance))
	}
	within(t, "lower mode", r.Modes[0].Natural, low, 4)
	within(t, "upper mode", r.Modes[1].Natural, high, 4)
	for i, e := range []quantities.Estimate{r.Modes[0].Natural, r.Modes[0].Quality, r.Modes[1].Natural, r.Modes[1].Quality} {
		near.To(t, "variance", r.Covariance[i][i], e.Uncertainty*e.Uncertainty, 1e-6*e.Uncertainty*e.Uncertainty)
	}
	if r.Left[0].Why != BeforeRing || !(math.Abs(r.Left[0].End-3000*coilInterval) <= 1e-6) {
		t.Errorf("left out %+v", r.Left)
	}
	near.To(t, "share used", r.Used, 0.75, 0.01)
	if sum := r.Drawing.Modes.Sum[0]; sum > 1.75 || len(r.Drawing.Modes.Each) != 2 {
		t.Errorf("envelopes of %d modes, their sum begins with %g V", len(r.Drawing.Modes.Each), sum)
	}
}

// The uncertainty of the split covers its scatter over captures, and is not far
// larger.
func TestSplitScatters(t *testing.T) {
	const n = 60 // beyond the bounds by chance once in 10⁵: χ² of 60
	rng := rand.New(rand.NewPCG(8, 8))
	var squares rms
	for range n {
		c := invented{n: 600, interval: 75e-9, sigma: 0.01, step: 0.01,
			tones: []sine{natural(1, 1.5e6, 30, anyPhase(rng)), natural(0.7, 1.62e6, 30, anyPhase(rng))}}
		r, err := Analyse(c.signal(rng), Settings{Columns: 1})
		if err != nil || len(r.Modes) != 2 {
			t.Fatal(err, r)
		}
		v := r.Covariance
		split := math.Abs(r.Modes[1].Natural.Value - r.Modes[0].Natural.Value)
		squares.add((split - 0.12e6) / math.Sqrt(v[0][0]+v[2][2]-2*v[0][2]))
	}
	if z := squares.value(); z > 1.4 || z < 0.6 {
		t.Errorf("rms z of the split is %g", z)
	}
}

// What lies below half the new band passes; what would fold onto that doesn't.
func TestDecimate(t *testing.T) {
	const n = 4000
	for _, c := range []struct{ theta, least, most float64 }{
		{0.1, 0.999, 1.001}, {math.Pi / 8, 0.99, 1.01}, {math.Pi/2 - 0.1, 0, 1e-3}, {math.Pi/2 + 0.3, 0, 1e-3}, {3, 0, 1e-3},
	} {
		y := make([]float64, n)
		for i := range y {
			y[i] = math.Cos(c.theta*float64(i) + 0.7)
		}
		z := decimate(y)
		amplitude := math.Sqrt(2 * variance(z[20:len(z)-20]))
		if !(amplitude >= c.least && amplitude <= c.most) {
			t.Errorf("θ = %g: amplitude %g, want %g to %g", c.theta, amplitude, c.least, c.most)
		}
	}
}

// A piece is compared where both fits reach, whichever begins or ends first.
func TestExplainsWhereBothReach(t *testing.T) {
	const n = 400
	y := wave(3*n, 1, 0.3, 0)
	fitOf := func(rows int, amplitude float64) *projection { // of a wave that isn't fitted
		return &projection{series: &series{block: 1, sampling: 1, re: make([]float64, rows)}, tones: []tone{{0.3, 0}}, coef: []float64{amplitude, 0, 0}}
	}
	at := func(amplitude float64) *analysis { // of the middle third
		a := &analysis{signal: Signal{Interval: 1, Samples: slices.Clone(y)}}
		for i := range 3 * n {
			if i/n != 1 {
				a.signal.Samples[i] *= amplitude
			}
		}
		return a
	}
	middle, whole := stretch{n, 2 * n}, stretch{0, 3 * n}
	for i, c := range []struct {
		a      *analysis
		r, own *ring
		want   bool
	}{
		// The fit over all leaves four times as much of the middle as its own; of the rest it leaves nothing, that one much.
		{at(0.8), &ring{stretch: whole, fit: fitOf(3*n, 0.8)}, &ring{stretch: middle, fit: fitOf(n, 1.1)}, false},
		{at(0.8), &ring{stretch: whole, fit: fitOf(3*n, 0.8)}, &ring{stretch: middle, fit: fitOf(n, 0.7)}, true},
		{at(5), &ring{stretch: middle, fit: fitOf(n, 0.8)}, &ring{stretch: whole, fit: fitOf(3*n, 0.9)}, false},
		{at(5), &ring{stretch: middle, fit: fitOf(n, 0.95)}, &ring{stretch: whole, fit: fitOf(3*n, 0.9)}, true},
	} {
		for _, g := range []*ring{c.r, c.own} { // the wave goes on from where each fit begins
			sin, cos := math.Sincos(0.3 * float64(g.from))
			size := g.fit.coef[0]
			g.fit.coef[0], g.fit.coef[1] = size*cos, size*sin
		}
		if got := c.a.explains(c.r, []*ring{nil, c.own}); got != c.want {
			t.Errorf("%d: %v", i, got)
		}
	}
}
