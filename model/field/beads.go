package field

import "math"

// Beads is a core on the axis: one rod (Count 1), or equal beads in a row. The
// zero value is no core.
type Beads struct {
	Diameter, Length float64 // m, of one bead
	Spacing          float64 // m, gap between two beads
	Count            int
	Start            float64 // m, lower face of the lowest bead above the winding's grounded end
	Permeability     float64 // relative, of the material; above 1
	Permittivity     float64 // relative, of the material; +Inf: a conductor; 0: 12, nickel-zinc ferrite (common practice)
}

// pitch returns the length of a bead with its gap [m].
func (b Beads) pitch() float64 { return b.Length + b.Spacing }

// Whole returns the length of the core, with half a gap at either end as a Stretch
// has them [m].
func (b Beads) Whole() float64 { return float64(b.Count) * b.pitch() }

// permittivity returns the relative permittivity.
func (b Beads) permittivity() float64 {
	if b.Permittivity == 0 {
		return 12
	}
	return b.Permittivity
}

// filling returns a core like b that fills [bottom, top], with half a gap at
// either end: the nearest whole number of beads, drawn out or together to fit. A
// single bead is a rod of any length.
func (b Beads) filling(bottom, top float64) Beads {
	if b.Count == 1 || b.Length == 0 {
		b.Count, b.Length, b.Spacing, b.Start = 1, top-bottom, 0, bottom
		return b
	}
	b.Count = max(1, int(math.Round((top-bottom)/b.pitch())))
	scale := (top - bottom) / (float64(b.Count) * b.pitch())
	b.Length, b.Spacing = b.Length*scale, b.Spacing*scale
	b.Start = bottom + b.Spacing/2
	return b
}

// surface cuts one bead, whose lower face is at z, into ribbons along its
// meridian, from the lower face's middle to the upper's.
func (b Beads) surface(z float64, r resolution) []ribbon {
	a := b.Diameter / 2
	in := r.radii()
	out := make([]float64, len(in))
	for i, x := range in {
		out[len(in)-1-i] = 1 - x
	}
	s := line(0, z, a, z, in)
	s = append(s, line(a, z, a, z+b.Length, r.grade(b.Length/b.Diameter))...)
	return append(s, line(a, z+b.Length, 0, z+b.Length, out)...)
}
