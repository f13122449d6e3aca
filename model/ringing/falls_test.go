package ringing

import (
	"math"
	"slices"
	"testing"

	"fitcoil/internal/near"
)

// A window is a whole number of cycles of at least eight samples, more where the capture has more
// cycles than windows; the amplitude in it is that of the tone, whatever the offset, and its
// scatter √(2/width) of the noise.
func TestFollow(t *testing.T) {
	for _, c := range []struct {
		n, cycle, hop int
	}{{4000, 40, 10}, {4000, 6, 3}, {4000, 8, 2}, {4000, 20, 5}, {1 << 19, 8, 8}} {
		y := wave(c.n, 0.7, 2*math.Pi/float64(c.cycle), 0.4)
		for i := range y {
			y[i] += 3
		}
		e := follow(y, candidate{omega: 2 * math.Pi / float64(c.cycle), noise: 0.02})
		if e.hop != c.hop || e.width != 4*c.hop || len(e.amplitude) != c.n/c.hop-3 {
			t.Errorf("cycle %d: hop %d, width %d, %d windows", c.cycle, e.hop, e.width, len(e.amplitude))
		}
		near.To(t, "scatter", e.scatter, math.Sqrt(0.04/float64(4*c.hop)), 1e-12)
		for _, j := range []int{0, 1, len(e.amplitude) - 1} {
			near.To(t, "amplitude", e.amplitude[j], 0.7, 1e-6)
		}
	}
}

// Crests, troughs and what counts as a fall, window by window.
func TestFallsOfAnEnvelope(t *testing.T) {
	for what, c := range map[string]struct {
		a       []float64
		scatter float64
		want    []stretch
	}{
		"nothing":                {nil, 0, nil},
		"level":                  {[]float64{1, 1, 1}, 0, nil},
		"one decay":              {[]float64{1, 0.7, 0.5, 0.3}, 0, []stretch{{0, 4}}},
		"falls by less than 1.6": {[]float64{1, 0.8, 0.63}, 0, nil},
		"rises, falls":           {[]float64{0.1, 0.5, 0.96, 1, 0.6, 0.3}, 0, []stretch{{2, 6}}},
		"hidden by scatter":      {[]float64{1, 0.6}, 0.045, nil},
		"beyond scatter":         {[]float64{1, 0.6}, 0.044, []stretch{{0, 2}}},
		"twice":                  {[]float64{1, 0.5, 0.2, 0.9, 0.95, 0.4}, 0, []stretch{{0, 2}, {4, 6}}},
		"twice, nearly level":    {[]float64{1, 0.5, 0.2, 0.93, 0.95, 0.4}, 0, []stretch{{0, 2}, {3, 6}}},
		"second too quiet":       {[]float64{1, 0.5, 0.05, 0.14, 0.05}, 0, []stretch{{0, 5}}},
		"second loud enough":     {[]float64{1, 0.5, 0.05, 0.16, 0.05}, 0, []stretch{{0, 2}, {3, 5}}},
		"second hidden":          {[]float64{1, 0.5, 0.05, 0.16, 0.05}, 0.0123, []stretch{{0, 5}}},
		"rise by less than 1.6":  {[]float64{1, 0.5, 0.31, 0.49, 0.2}, 0, []stretch{{0, 5}}},
	} {
		if got := (envelope{amplitude: c.a, scatter: c.scatter}).falls(); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", what, got, c.want)
		}
	}
}

// The number of hops after which a decay is over: 24 times those in which it stays above half,
// and a window.
func TestLasts(t *testing.T) {
	e := envelope{amplitude: []float64{9, 1, 0.8, 0.6, 0.51, 0.5, 0.2}, hop: 10}
	if got := e.lasts(stretch{10, 70}); got != 24*(3+4) {
		t.Error(got)
	}
	if got := e.lasts(stretch{10, 30}); got != 24*(1+4) {
		t.Error(got)
	}
}

// A level of 40 windows before a decay by 3 % each, which is above 0.9 for three more and from there
// takes 23 to 0.45, of which one part in 6.6 isn't decay: it rings from window 40 on, and the four of
// a window. A level of 10 is shorter than three times 23/6.6 and a decay. The rail's level and one
// within scatter are none.
func TestDrivenBeforeItRings(t *testing.T) {
	level := func(n int) []float64 {
		var a []float64
		for range n {
			a = append(a, 1)
		}
		for v := 0.97; v > 0.01; v *= 0.97 {
			a = append(a, v)
		}
		return a
	}
	for _, c := range []struct {
		e    envelope
		from int
		want int
	}{
		{envelope{amplitude: level(40), hop: 5}, 0, (43 + 4 - 3) * 5},
		{envelope{amplitude: level(40), hop: 5}, 100, (23 + 4 - 3) * 5},
		{envelope{amplitude: level(7), hop: 5}, 0, 0},
		{envelope{amplitude: level(8), hop: 5}, 0, (11 + 4 - 3) * 5},
		{envelope{amplitude: level(40), hop: 5, clipped: true}, 0, 0},
		{envelope{amplitude: level(40), hop: 5, scatter: 0.074}, 0, (43 + 4 - 3) * 5},
		{envelope{amplitude: level(40), hop: 5, scatter: 0.076}, 0, 0},
		{envelope{amplitude: level(40)[:40], hop: 5}, 0, 0}, // it never falls
		{envelope{amplitude: level(40), hop: 5}, 5000, 0},
	} {
		if got := c.e.driven(c.from, 5*len(c.e.amplitude)); got != c.want {
			t.Errorf("from %d: %d, want %d", c.from, got, c.want)
		}
	}
}

// Without a fall a capture is one piece; from its loudest window if that is far beyond the first
// and enough is left.
func TestBurstsOfAnEnvelope(t *testing.T) {
	rise := func(first float64, after int) []float64 {
		a := []float64{first, first}
		for v := 1.0; after > 0; after-- {
			a = append(a, v)
			v *= 0.995
		}
		return a
	}
	for what, c := range map[string]struct {
		e    envelope
		want []stretch
	}{
		"nothing":        {envelope{hop: 10}, []stretch{{0, 5000}}},
		"swells up":      {envelope{amplitude: rise(0.59, 30), hop: 10}, []stretch{{20, 5000}}},
		"a little":       {envelope{amplitude: rise(0.61, 30), hop: 10}, []stretch{{0, 5000}}},
		"within scatter": {envelope{amplitude: rise(0.5, 30), hop: 10, scatter: 0.084}, []stretch{{0, 5000}}},
		"at the end":     {envelope{amplitude: rise(0.5, 24), hop: 10}, []stretch{{0, 5000}}},
		"just before it": {envelope{amplitude: rise(0.5, 25), hop: 10}, []stretch{{20, 5000}}},
		"two":            {envelope{amplitude: []float64{1, 0.5, 0.2, 0.1, 0.05, 0.9, 0.4, 0.1}, hop: 10}, []stretch{{0, 40}, {50, 1010}}},
	} {
		if got := c.e.bursts(5000); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", what, got, c.want)
		}
	}
}
