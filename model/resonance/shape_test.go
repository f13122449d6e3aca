package resonance

import (
	"math"
	"testing"
)

// sampled is a resonance curve of a quality factor at 2.5 MHz, with a second one, which is
// weak times as high, at some per cent above.
func sampled(q, weak, above float64) *sweep {
	s := &sweep{}
	for i := -20; i <= 20; i++ {
		f := 2.5e6 * (1 + 0.004*float64(i))
		curve := func(f0 float64) float64 { return 1 / math.Hypot(1, q*(f/f0-f0/f)) }
		s.points = append(s.points, Point{Frequency: f, Amplitude: curve(2.5e6) + weak*curve(2.5e6*(1+above/100))})
	}
	return s
}

// A fit begins with the quality factor by the width at 1/√2 of the peak, f/Δf.
func TestWidthAtHalfPower(t *testing.T) {
	for _, q := range []float64{20, 50, 100} {
		s := sampled(q, 0, 5)
		if err := s.check(); err != nil || !(math.Abs(s.width/q-1) <= 0.06) {
			t.Errorf("Q %g begins at %.1f (%v)", q, s.width, err)
		}
	}
}

// A second peak is one from a third of the first on, and if the amplitude falls by a fifth
// between them; a shoulder is none.
func TestSecondPeak(t *testing.T) {
	for _, c := range []struct {
		weak, above float64
		two         bool
	}{{0.8, 6, true}, {0.5, 6, true}, {0.2, 6, false}, {0.75, 2.8, false}} { // the last falls to 1.02 and rises to 1.09
		s := sampled(50, c.weak, c.above)
		_ = s.check() // finds the top
		if _, found := s.another(); found != c.two {
			t.Errorf("%+v: two peaks %v", c, found)
		}
	}
}
