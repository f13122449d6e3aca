package field

import (
	"math"
	"testing"
)

// The potential of a ribbon seen from near is that of the many narrow ones it
// consists of, each of which is far.
func TestRibbonFromNear(t *testing.T) {
	const pieces = 400
	edges := make([]float64, pieces+1)
	for i := range edges {
		edges[i] = float64(i) / pieces
	}
	whole := []float64{0, 1}
	for _, c := range []struct {
		what      string
		one, many []ribbon
	}{
		{"cylinder", line(1, 0, 1, 1, whole), line(1, 0, 1, 1, edges)},
		{"cone", line(0.5, 0, 1, 1, whole), line(0.5, 0, 1, 1, edges)},
		{"sphere", sphere(1, 0, []float64{0.2, 0.5}), sphere(1, 0, scaled(edges, 0.2, 0.5))},
	} {
		for _, off := range []float64{0.1, 0.35, 0.5, 0.9, 1.5, 2.1} {
			for _, along := range []float64{-0.8, 0, 0.5, 1.2} {
				rho, z := c.one[0].at(along)
				rho += off * c.one[0].length()
				sum, weight := 0.0, 0.0
				for i := range c.many {
					m, _ := c.many[i].at(0)
					w := m * c.many[i].length()
					sum += w * c.many[i].potential(rho, z)
					weight += w
				}
				want := sum / weight
				if got := c.one[0].potential(rho, z); !(math.Abs(got/want-1) <= 1e-5) {
					t.Errorf("%s, %v of its length beside %v: %v, want %v (off by %.2g)", c.what, off, along, got, want, got/want-1)
				}
			}
		}
	}
}

// scaled maps fractions onto [from, to].
func scaled(fractions []float64, from, to float64) []float64 {
	out := make([]float64, len(fractions))
	for i, x := range fractions {
		out[i] = from + x*(to-from)
	}
	return out
}
