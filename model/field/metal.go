package field

import (
	"math"
	"slices"
)

// Metal is what stands around a coil, all of revolution about its axis. The zero value is
// nothing.
//
// Metal is a conductor for both fields. In the electric one it is grounded, or floats: it has
// no net charge then, at a potential that follows. In the magnetic one it keeps all flux out
// of itself where it is closed around the axis, as metal much thicker than its skin depth
// does: each hoop of it is a shorted turn. Plate and box are grounded and closed.
type Metal struct {
	Ring  Ring
	Plate Plate
	Box   Box
}

// Ring is a ring of round section.
type Ring struct {
	Diameter  float64 // m, from the middle of the section to the middle of the section
	Thickness float64 // m, of the section
	Height    float64 // m, of its middle above the winding's grounded end
	Floating  bool    // else grounded
	Slit      bool    // no current goes around; else it is a shorted turn
}

// Plate is a round plate, thin, that lies across the axis.
type Plate struct {
	Diameter float64 // m
	Hole     float64 // m, diameter
	Height   float64 // m, above the winding's grounded end
}

// Box is a can with floor and lid.
type Box struct {
	Diameter    float64 // m; see SquareBox
	Bottom, Top float64 // m, above the winding's grounded end
}

// SquareBox returns the diameter of the can that stands for a box of square section, of the
// width given: a thin body on the axis has the same capacitance to both. It is twice the
// conformal radius of the square, 8√π/Γ(¼)² of the width (from memory; 1.0787 in the
// formula for coaxial lines with a square outer conductor).
func SquareBox(width float64) float64 {
	g := math.Gamma(0.25)
	return width * 8 * math.SqrtPi / (g * g)
}

// closed tells whether currents go around in any of m.
func (m Metal) closed() bool {
	return m.Ring.Diameter > 0 && !m.Ring.Slit || m.Plate.Diameter > 0 || m.Box.Diameter > 0
}

// piece is a body of metal.
type piece struct {
	surface          []ribbon
	floating, closed bool
}

// pieces lists the bodies of m and, if its metal counts, of a primary, around a winding of
// the sizes given [m].
func (m Metal) pieces(p Primary, diameter, length float64) (list []piece) {
	if r := m.Ring; r.Diameter > 0 {
		list = append(list, piece{torus(r.Diameter/2, r.Thickness/2, r.Height, 16), r.Floating, !r.Slit})
	}
	if q := m.Plate; q.Diameter > 0 {
		gap := math.Max(math.Abs(q.Height-length/2)-length/2, (q.Hole-diameter)/2)
		list = append(list, piece{surface: disc(q.Hole/2, q.Diameter/2, q.Height, diameter, gap), closed: true})
	}
	if b := m.Box; b.Diameter > 0 {
		list = append(list, piece{surface: b.surface(diameter, length), closed: true})
	}
	if p.Turns > 0 && p.Metal != NotCounted {
		list = append(list, piece{surface: p.surface(), floating: p.Metal == Floating})
	}
	return list
}

// torus cuts a ring of radius a and section radius r into n ribbons.
func torus(a, r, height float64, n int) []ribbon {
	edges := make([]float64, n+1)
	for i := range edges {
		edges[i] = 2 * float64(i) / float64(n)
	}
	rs := sphere(r, height, edges)
	for i := range rs {
		rs[i].axis = a
	}
	return rs
}

// disc cuts a disc between two radii, at a gap from a winding of the diameter given [m]:
// evenly below the winding, and wider outside.
func disc(from, to, height, diameter, gap float64) (list []ribbon) {
	step := math.Max(gap/2, diameter/30)
	if near := math.Min(diameter/2+gap, to); from < near {
		n := int(math.Ceil((near - from) / step))
		list = line(from, height, near, height, evenly(n))
		from = near
	}
	if rest := to - from; rest > 1e-9*to {
		list = append(list, line(from, height, to, height, grow(rest, math.Min(step, rest/4), rest/20))...)
	}
	return list
}

// evenly returns the edges of n equal panels, as fractions of their length.
func evenly(n int) []float64 {
	edges := make([]float64, n+1)
	for i := range edges {
		edges[i] = float64(i) / float64(n)
	}
	return edges
}

// surface cuts b around a winding of the sizes given [m].
func (b Box) surface(diameter, length float64) (list []ribbon) {
	r, whole := b.Diameter/2, b.Top-b.Bottom
	step := math.Max((r-diameter/2)/3, whole/200)
	list = line(r, b.Bottom, r, b.Top, evenly(int(math.Ceil(whole/step))))
	list = append(list, disc(0, r, b.Bottom, diameter, -b.Bottom)...)
	return append(list, disc(0, r, b.Top, diameter, b.Top-length)...)
}

// grow cuts a length into panels that grow from first towards the middle and fall to last
// at the end; the edges are fractions of it.
func grow(length, first, last float64) []float64 {
	const growth = 1.5
	lower, upper := []float64{0}, []float64{length}
	for {
		room := upper[len(upper)-1] - lower[len(lower)-1]
		if room <= first+last {
			break
		}
		if first < last {
			lower, first = append(lower, lower[len(lower)-1]+first), first*growth
		} else {
			upper, last = append(upper, upper[len(upper)-1]-last), last*growth
		}
	}
	slices.Reverse(upper)
	lower = append(lower, upper...)
	for i := range lower {
		lower[i] /= length
	}
	return lower
}

// surface cuts the turns of p: one by one up to ten, more as a tube around them.
func (p Primary) surface() (list []ribbon) {
	if heights, _ := p.loops(); len(heights) <= 10 {
		for _, h := range heights {
			list = append(list, torus(p.Diameter/2, p.Wire/2, h, 10)...)
		}
		return list
	}
	ends := p.sheet()
	ratio := (ends[1] - ends[0]) / p.Diameter
	r := resolution{edge: 0.03, most: math.Max(0.1, ratio/60), growth: 1.7}
	return line(p.Diameter/2, ends[0], p.Diameter/2, ends[1], r.grade(ratio))
}
