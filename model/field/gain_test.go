package field

import (
	"fmt"
	"testing"
	"time"
)

func gain(ld, dd float64, b Beads, f int) (float64, time.Duration, int) {
	t0 := time.Now()
	b.Diameter = dd
	r := coarse
	if f == 2 {
		r = resolution{.01, .125, 1.5, 12}
	}
	m := newMagnet(b, r)
	n := 40
	z := make([]float64, n+1)
	for i := range z {
		z[i] = ld * float64(i) / float64(n)
	}
	d, err := m.added(0.5, z)
	if err != nil {
		panic(err)
	}
	s := 0.0
	for i := range n {
		for j := range n {
			s += d.At(i, j)
		}
	}
	return 1 + s/sheetSelf(1, ld), time.Since(t0), len(m.ribbons)
}
func TestGain(t *testing.T) {
	for _, c := range []struct{ ld, dd, mu, x, g float64 }{{10, .8, 10, .1, 1.197}, {10, .8, 10, 1, 5.786}, {10, .8, 10, 2, 6.137}, {10, .8, 100, .1, 1.291}, {10, .8, 100, 1, 25.79}, {10, .8, 100, 2, 38.06}, {10, .8, 2000, .1, 1.305}, {10, .8, 2000, 1, 42.94}, {10, .8, 2000, 2, 104.7}, {5, .5, 100, .25, 1.53}, {5, .5, 2000, .25, 1.578}, {5, .5, 2000, 1, 12.62}, {5, .5, 2000, 2, 30.25}} {
		for _, f := range []int{1, 2} {
			l := c.ld * c.x
			g, dt, k := gain(c.ld, c.dd, Beads{Length: l, Count: 1, Permeability: c.mu, Start: (c.ld - l) / 2}, f)
			fmt.Printf("%v x%d k=%d %.4f %+.2f%% %v\n", c, f, k, g, 100*(g/c.g-1), dt)
		}
	}
	for _, c := range []struct {
		mu     float64
		n      int
		gap, g float64
	}{{100, 2, .05, 21.85}, {100, 2, .25, 17.24}, {100, 5, .25, 8.46}, {100, 10, .05, 11.18}, {100, 10, .5, 2.61}, {400, 10, .05, 12.78}, {2000, 5, .05, 20.93}, {2000, 10, .05, 13.29}} {
		for _, f := range []int{1, 2} {
			d := .8
			sp := c.gap * d
			l := (10 - float64(c.n-1)*sp) / float64(c.n)
			g, dt, k := gain(10, d, Beads{Length: l, Spacing: sp, Count: c.n, Permeability: c.mu}, f)
			fmt.Printf("%v x%d k=%d %.4f %+.2f%% %v\n", c, f, k, g, 100*(g/c.g-1), dt)
		}
	}
}
