package field

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Primary is a short coil of round wire on the winding's axis, which drives it.
// The zero value is none.
type Primary struct {
	Turns    float64
	Diameter float64 // m, from wire centre to wire centre
	Height   float64 // m, of its lowest turn above the winding's grounded end
	Spacing  float64 // m, from one turn to the next, centre to centre; not used for one turn
	Wire     float64 // m, bare diameter
	Metal    Potential
}

// Potential says how a primary's metal counts in the electric field.
type Potential int

// Potentials of a primary.
const (
	NotCounted Potential = iota
	Grounded
	Floating // all turns alike, without net charge
)

// check returns what makes p impossible beside the beads b, nil if nothing does.
func (p Primary) check(b Beads) error {
	switch {
	case p.Turns == 0:
		return nil
	case !(p.Turns > 0 && p.Turns <= mostPrimary && p.Diameter > 0 && p.Wire > 0):
		return impossible(PrimaryIncomplete, mostPrimary)
	case p.Turns > 1 && !(p.Spacing >= 0.999*p.Wire):
		return impossible(PrimaryWithoutSpacing)
	case p.Wire >= p.Diameter/2:
		return impossible(PrimaryWireTooThick, p.Diameter, p.Wire)
	case b.Count > 0 && p.Diameter <= b.Diameter:
		return impossible(PrimaryWithinBeads, p.Diameter, b.Diameter)
	}
	return nil
}

// mostPrimary is the largest number of turns of a primary, each of which is a loop to compute: our choice.
const mostPrimary = 1000

// loops returns the heights [m] of the turns, and the weight of each: 1, but for a
// last turn that is none in full.
func (p Primary) loops() (heights, weights []float64) {
	for i := 0.0; i < p.Turns-1e-9; i++ {
		heights = append(heights, p.Height+i*p.Spacing)
		weights = append(weights, math.Min(1, p.Turns-i))
	}
	return heights, weights
}

// Inductance returns the inductance of p in air [H], its current on the surface
// of the wire and without its leads.
func (p Primary) Inductance() float64 {
	a := p.Diameter / 2
	heights, weights := p.loops()
	sum := 0.0
	for i, w := range weights {
		sum += w * w * loopSelf(a, p.Wire/2)
		for k := range i {
			sum += 2 * w * weights[k] * LoopMutual(a, a, heights[i]-heights[k])
		}
	}
	return sum
}

// atFoot is the primary that is taken where none is drawn: a turn around the grounded end
// of a winding of the diameter given.
func atFoot(diameter float64) Primary {
	return Primary{Turns: 1, Diameter: 1.5 * diameter, Height: 0, Wire: diameter / 50}
}

// sheet returns the ends [m] of the sheet that stands for p where a core sees it.
func (p Primary) sheet() []float64 {
	s := p.Spacing
	if p.Turns <= 1 {
		s = p.Wire
	}
	low := p.Height - s/2
	return []float64{low, low + math.Max(1, p.Turns)*s}
}

// row returns the mutual inductances [H m] to the slices between the heights z of a
// winding of one turn per metre and the diameter given.
func (p Primary) row(diameter float64, z []float64) []float64 {
	row := make([]float64, len(z)-1)
	heights, weights := p.loops()
	for j := range row {
		for i, h := range heights {
			row[j] += weights[i] * loopSheet(p.Diameter/2, h, diameter/2, z[j], z[j+1], 12)
		}
	}
	return row
}

// primary returns how p magnetises the core, as solenoids does for a winding: one
// column.
func (m *body) primary(p Primary) *mat.Dense {
	ends := p.sheet()
	h := m.solenoids(p.Diameter/2, ends)
	h.Scale(p.Turns/(ends[1]-ends[0]), h)
	return h
}
