package field

import (
	"math"
)

// SizeError is a dimension that no coil has beside the others, or for which a
// computation would take more cells than it should.
type SizeError struct {
	Quantity  string  // such as "winding length"
	Value     float64 // SI
	Low, High float64 // what would do; SI
	Against   string  // what the bounds come from, "" when they hold for any coil
	Pure      bool    // a plain number, no length
}

func (e *SizeError) Error() string { return "impossible " + e.Quantity }

// Bounds that keep a computation within some seconds and 200 MB, far beyond any
// coil on a bench: our choices. Sizes may be off by a thousandth, as numbers are written.
const (
	mostSlender = 100.0 // length over diameter, of a winding and of a bead
	mostThin    = 250.0 // length over diameter of a rod all along the winding
	mostBeads   = 200
	mostHeld    = 300.0  // beads that a winding holds
	mostModes   = 2400.0 // of all beads that a winding holds
	finestPitch = 1e-5   // m; the thinnest winding wire has as much (common practice)
	farthest    = 20.0   // of the coil's own size
)

// CheckSizes returns a [*SizeError] for the first dimension that is out of
// bounds, nil for none. What is zero isn't known and fits.
func (c Coil) CheckSizes() error {
	for _, list := range [][]SizeError{c.anyCoil(), c.winding(), c.core(), c.around()} {
		for _, e := range list {
			if e.Value != 0 && !(e.Value >= e.Low && e.Value <= e.High) {
				return &e
			}
		}
	}
	return nil
}

// anyCoil lists bounds for each dimension by itself.
func (c Coil) anyCoil() []SizeError {
	b := c.Beads
	return []SizeError{
		{Quantity: "winding diameter", Value: c.Diameter, Low: 0.5e-3, High: 5},
		{Quantity: "winding length", Value: c.Length, Low: 1e-4, High: 50},
		{Quantity: "turns", Value: c.Turns, Low: 0.1, High: 1e6, Pure: true},
		{Quantity: "wire diameter", Value: c.Wire, Low: 5e-6, High: 0.1},
		{Quantity: "ball diameter", Value: c.Ball, Low: 1e-4, High: 10},
		{Quantity: "ball gap", Value: c.BallGap, High: 50},
		{Quantity: "height above ground", Value: c.Height, High: 1000},
		{Quantity: "hand diameter", Value: c.Hand, Low: 1e-3, High: 10},
		{Quantity: "bead diameter", Value: b.Diameter, Low: 1e-4, High: 5},
		{Quantity: "bead length", Value: b.Length, Low: 2e-5, High: 50},
		{Quantity: "bead spacing", Value: b.Spacing, High: 50},
		{Quantity: "bead count", Value: float64(b.Count), High: mostBeads, Pure: true},
		{Quantity: "former outer diameter", Value: c.Former.Outer, Low: 0.2e-3, High: 5},
		{Quantity: "former inner diameter", Value: c.Former.Inner, High: 5},
		{Quantity: "former permittivity", Value: c.Former.Permittivity, Low: 1, High: 100, Pure: true},
		{Quantity: "coating thickness", Value: c.Coating.Thickness, Low: 1e-6, High: 1},
		{Quantity: "coating permittivity", Value: c.Coating.Permittivity, Low: 1, High: 100, Pure: true},
		{Quantity: "primary turns", Value: c.Primary.Turns, Low: 0.25, High: mostPrimary, Pure: true},
		{Quantity: "primary diameter", Value: c.Primary.Diameter, Low: 1e-3, High: 10},
		{Quantity: "primary wire diameter", Value: c.Primary.Wire, Low: 5e-6, High: 0.1},
		{Quantity: "primary spacing", Value: c.Primary.Spacing, High: 1},
		{Quantity: "ring diameter", Value: c.Ring.Diameter, Low: 1e-3, High: 10},
		{Quantity: "ring thickness", Value: c.Ring.Thickness, Low: 1e-5, High: 1},
		{Quantity: "plate diameter", Value: c.Plate.Diameter, Low: 1e-3, High: 50},
		{Quantity: "plate hole", Value: c.Plate.Hole, High: 50},
		{Quantity: "box diameter", Value: c.Box.Diameter, Low: 1e-3, High: 50},
		{Quantity: "bead permeability", Value: b.Permeability, Low: 1, High: 1e6, Pure: true},
	}
}

// winding lists bounds of the winding's dimensions against each other.
func (c Coil) winding() (list []SizeError) {
	if c.Diameter == 0 || c.Length == 0 {
		return nil
	}
	list = []SizeError{{Quantity: "winding length", Value: c.Length, Low: c.Diameter / mostSlender, High: c.Diameter * mostSlender,
		Against: "1/100 to 100 times the winding diameter"}}
	if c.Turns > 0 {
		list = append(list,
			SizeError{Quantity: "turns", Value: c.Turns, High: c.Length / finestPitch, Against: "a pitch of 10 µm", Pure: true},
			SizeError{Quantity: "wire diameter", Value: c.Wire, High: 1.001 * c.Length / c.Turns, Against: "the winding length over the turns"})
	}
	return list
}

// around lists bounds of the metal's dimensions against the winding's.
func (c Coil) around() []SizeError {
	if c.Diameter == 0 || c.Length == 0 {
		return nil
	}
	size := farthest * (c.Diameter + c.Length)
	const against = "20 times the size of the coil"
	near := func(name string, x float64) SizeError {
		return SizeError{Quantity: name, Value: x, Low: -size, High: size, Against: against}
	}
	list := []SizeError{near("ring height", c.Ring.Height), near("plate height", c.Plate.Height), near("box bottom", c.Box.Bottom), near("box top", c.Box.Top)}
	for _, e := range []SizeError{{Quantity: "ring diameter", Value: c.Ring.Diameter}, {Quantity: "plate diameter", Value: c.Plate.Diameter}, {Quantity: "box diameter", Value: c.Box.Diameter}} {
		e.High, e.Against = size, against
		list = append(list, e)
	}
	return append(list, SizeError{Quantity: "ring thickness", Value: c.Ring.Thickness, High: c.Ring.Diameter / 2, Against: "half of the ring diameter"},
		SizeError{Quantity: "plate hole", Value: c.Plate.Hole, High: 0.99 * c.Plate.Diameter, Against: "within the plate diameter"})
}

// core lists bounds of the beads' dimensions against each other and the
// winding.
func (c Coil) core() (list []SizeError) {
	b, inf := c.Beads, math.Inf(1)
	if b.Diameter > 0 && b.Length > 0 {
		list = append(list, SizeError{Quantity: "bead length", Value: b.Length, Low: b.Diameter / mostSlender, High: b.Diameter * mostSlender,
			Against: "1/100 to 100 times the bead diameter"})
	}
	if c.Diameter == 0 || c.Length == 0 {
		return list
	}
	size := farthest * (c.Diameter + c.Length)
	if u := c.former(); u.there() && c.Turns > 0 {
		most := c.Diameter - 0.999*c.wire()
		list = append(list,
			SizeError{Quantity: "former outer diameter", Value: c.Former.Outer, Low: u.Inner, High: most, Against: "to lie inside the turns and outside its own bore"},
			SizeError{Quantity: "former inner diameter", Value: c.Former.Inner, Low: b.Diameter, High: u.Outer * 0.999, Against: "to lie inside the turns and to hold the core"})
	}
	if p := c.Primary; p.Turns > 0 {
		list = append(list,
			SizeError{Quantity: "primary diameter", Value: p.Diameter, Low: b.Diameter * 1.001, High: size, Against: "to go around the core, and 20 times the size of the coil"},
			SizeError{Quantity: "primary height", Value: p.Height, Low: -size, High: size, Against: "20 times the size of the coil"})
	}
	list = append(list,
		SizeError{Quantity: "bead diameter", Value: b.Diameter, Low: c.Diameter / mostSlender, High: c.Diameter - c.Wire, Against: "to fit into the winding"},
		SizeError{Quantity: "bead spacing", Value: b.Spacing, High: size, Against: "20 times the size of the coil"},
		SizeError{Quantity: "bead start", Value: b.Start, Low: -size, High: size, Against: "20 times the size of the coil"},
		SizeError{Quantity: "bead length", Value: b.Length, High: size, Against: "20 times the size of the coil"})
	switch {
	case b.Diameter == 0:
	case b.Count == 1 || b.Length == 0:
		list = append(list, SizeError{Quantity: "bead diameter", Value: b.Diameter, Low: c.Length / mostThin, High: inf,
			Against: "1/250 of the winding length, for a rod"})
	default:
		list = append(list, SizeError{Quantity: "bead length", Value: b.Length, Low: c.Length/mostHeld - b.Spacing, High: inf,
			Against: "so that the winding holds 300 beads or fewer"})
		held := math.Max(math.Max(1, float64(b.Count)), c.Length/b.pitch())
		thinnest := inf
		if room := mostModes/held - 5; room > 0 {
			thinnest = b.Length / room
		}
		list = append(list, SizeError{Quantity: "bead diameter", Value: b.Diameter, Low: thinnest, High: inf,
			Against: "for beads of this length, as many as there are or fit"})
	}
	return list
}

// Check returns what makes c impossible, nil if nothing does.
func (c Coil) Check() error {
	b := c.Beads
	if err := c.CheckSizes(); err != nil {
		return err
	}
	switch {
	case !(c.Turns > 0 && c.Diameter > 0 && c.Length > 0):
		return impossible(NoWinding)
	case c.Wire < 0 || c.Ball < 0 || c.BallGap < 0 || c.Height < 0 || c.Hand < 0:
		return impossible(NegativeLength)
	case c.Slices < 0 || c.Slices == 1:
		return impossible(TooFewSlices)
	case c.checkInsulators() != nil:
		return c.checkInsulators()
	case c.Primary.check(b) != nil:
		return c.Primary.check(b)
	case c.checkMetal() != nil:
		return c.checkMetal()
	case b.Count == 0:
		return nil
	case c.coreInBall():
		return impossible(BeadsInBall, b.Start+b.Whole()-b.Spacing, c.Length+c.BallGap)
	case !(b.Count > 0 && b.Diameter > 0 && b.Length > 0 && b.Spacing >= 0):
		return impossible(BeadsWithoutSize)
	case b.Diameter >= c.Diameter-c.Wire:
		return impossible(BeadsTooThick, b.Diameter, c.Diameter-c.Wire)
	case !(b.Permeability > 1):
		return impossible(BeadPermeability, b.Permeability)
	case b.permittivity() < 1:
		return impossible(BeadPermittivity, b.Permittivity)
	}
	return nil
}
