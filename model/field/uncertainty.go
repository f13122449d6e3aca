package field

import "math"

// Relative standard uncertainties of the models, argued in docs/field.md.
const (
	sheetUncertainty = 0.001 // of the inductance: former not round, pitch not even, leads
	roomUncertainty  = 0.08  // of the winding's capacitance: free space or one plane for a room
	boxUncertainty   = 0.04  // of the same in a box that is drawn: leads, stand, and a can for a box
	tubeUncertainty  = 0.07  // of the same, × D/l: turns on a tube, where none is drawn
	drawnTube        = 0.02  // of the same, where one is: its permittivity, its ends, glue
	topUncertainty   = 0.20  // ball and winding screen each other; stalk, leads
	coreUncertainty  = 0.01  // of the gain: magnetisation even over a section
	dressUncertainty = 0.3   // of what the core adds to the capacitance
	// Of a primary's inductance: its leads, some 10 nH of some 300, and turns that are no
	// circles (common practice); of a coupling half of that, since it goes as 1/√L1.
	primaryUncertainty  = 0.05
	couplingUncertainty = 0.03
	handUncertainty     = 0.5  // of a hand's capacitance: a grounded sphere for a person
	facesApart          = 5e-5 // m, by which the gaps between beads may differ: glue, chips, tilt
)

// windingUncertainty returns that of the winding's capacitance.
func (c Coil) windingUncertainty() float64 {
	tube := tubeUncertainty
	if c.former().there() {
		tube = drawnTube
	}
	room := roomUncertainty
	if c.Box.Diameter > 0 {
		room = boxUncertainty
	}
	return math.Hypot(room, tube*c.Diameter/c.Length)
}

// inductanceUncertainty returns that of the inductance l [H]. With frequency
// the current leaves the inside of the wire: up to the internal inductance
// μ0/8π per metre of wire is lost, and half of it is taken as the standard
// uncertainty. Wire of unknown thickness costs ±0.2 in Rosa's A.
func (c Coil) inductanceUncertainty(l float64) float64 {
	internal := Mu0 / 8 * c.Turns * c.Diameter / l
	thickness := 0.0
	if c.Wire == 0 {
		thickness = 0.2 * Mu0 * c.Diameter / 2 * c.Turns / l
	}
	return math.Hypot(math.Hypot(sheetUncertainty, internal/2), thickness)
}

// frequencyUncertainty returns that of the bare resonance from those of the
// inductance and the winding's capacitance, each by its share of the energy.
func (eq *equivalent) frequencyUncertainty(inductance, winding float64) float64 {
	eq.omega(0)
	winding *= eq.mode.PerWinding * eq.state.Capacitance
	top := eq.mode.PerTop * eq.state.Top * topUncertainty
	return math.Hypot(inductance/2, math.Hypot(winding, top))
}

// gainUncertainty returns that of the gain of the core drawn. Gaps are never as
// drawn.
func (c Coil) gainUncertainty(gain float64) (float64, error) {
	if c.Beads.Count == 1 {
		return coreUncertainty, nil
	}
	c.Beads.Spacing += facesApart
	wider, err := c.gain()
	return math.Hypot(coreUncertainty, math.Abs(math.Log(wider/gain))), err
}

// Value is a number that a drawing gives, with the relative standard
// uncertainty of the model behind it. What is uncertain in the drawing itself
// isn't in it.
type Value struct {
	Value    float64
	Relative float64
}
