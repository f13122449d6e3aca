package field

import "math"

// resolution is how finely a surface is cut, in diameters: the panels at an
// edge, the largest, how much each may be longer than the one before, and the
// rings of a face.
type resolution struct {
	edge, most, growth float64
	rings              int
}

// normal is for what is shown: gains are a third of a per cent off at most
// (docs/field.md). rough, with one or two per cent, is for patterns, whose
// size a fit finds.
func normal() resolution { return resolution{edge: 0.03, most: 0.25, growth: 1.7, rings: 5} }
func rough() resolution  { return resolution{edge: 0.1, most: 0.25, growth: 2, rings: 2} }

// spherical is the resolution of a sphere's meridian, in fractions of it. The numbers of these are
// our choice: with spheres cut twice as finely, a slim coil as drawn rings 2 ppm lower (computed).
func spherical() resolution { return resolution{edge: 0.015, most: 0.1, growth: 1.5} }

// grade returns the edges of panels over [0, length] that grow from both ends
// towards the middle; charge crowds at edges. length is in diameters, as r is;
// the edges are fractions of it.
func (r resolution) grade(length float64) []float64 {
	half := []float64{0}
	for at, step := 0.0, r.edge; at < length/2; step = math.Min(step*r.growth, r.most) {
		at += step
		half = append(half, at)
	}
	last := len(half) - 1
	edges := make([]float64, 2*last+1)
	for i, x := range half {
		x /= 2 * half[last]
		edges[i], edges[2*last-i] = x, 1-x
	}
	return edges
}

// radii returns the edges of the rings of a face, from its middle outwards, as
// fractions of its radius.
func (r resolution) radii() []float64 {
	edges := make([]float64, r.rings+1)
	for i := range edges {
		edges[i] = math.Sin(math.Pi / 2 * float64(i) / float64(r.rings))
	}
	return edges
}
