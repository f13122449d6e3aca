package coilsheet

import (
	"cmp"
	"math"

	"fitcoil/ioformat/quantity"
)

// entry is a quantity that a sheet knows by name.
type entry struct {
	name      string
	dimension quantity.Dimension
	least     float64 // SI; the value lies above it
	orEqual   bool    // or on it
	whole     bool    // a count of things
}

// entries lists the quantities of a drawing, all in SI units.
func entries() []entry {
	const l, pure = quantity.Length, quantity.Pure
	return []entry{
		{name: "turns", dimension: pure},
		{name: "winding diameter", dimension: l}, // from wire centre to wire centre
		{name: "winding length", dimension: l},
		{name: wire, dimension: l}, // bare
		{name: "ball diameter", dimension: l},
		{name: "ball gap", dimension: l, orEqual: true},            // from the upper end of the winding to the ball
		{name: "height above ground", dimension: l, orEqual: true}, // of the grounded end
		{name: "hand diameter", dimension: l},                      // of the sphere that stands for a hand
		{name: "bead diameter", dimension: l},
		{name: "bead length", dimension: l},
		{name: "bead spacing", dimension: l, orEqual: true}, // gap between two beads
		{name: "bead count", dimension: pure, whole: true},
		{name: permeability, dimension: pure, least: 1},              // relative
		{name: "bead start", dimension: l, least: math.Inf(-1)},      // lowest face of the beads above the grounded end
		{name: "bead loss tangent", dimension: pure},                 // of the beads' material
		{name: "bead loss frequency", dimension: quantity.Frequency}, // at which it has that
		{name: "former outer diameter", dimension: l},                // of the tube that the turns lie on
		{name: "former inner diameter", dimension: l, orEqual: true},
		{name: "former permittivity", dimension: pure, least: 1},
		{name: "coating thickness", dimension: l}, // of what covers the winding
		{name: "coating permittivity", dimension: pure, least: 1},
		{name: "top voltage", dimension: quantity.Voltage}, // peak, at which the coil shall work
		{name: "primary turns", dimension: pure},
		{name: "primary diameter", dimension: l},                    // from wire centre to wire centre
		{name: "primary height", dimension: l, least: math.Inf(-1)}, // of its lowest turn above the winding's grounded end
		{name: "primary spacing", dimension: l},                     // from turn to turn, centre to centre
		{name: primaryWire, dimension: l},                           // bare
		{name: "ring diameter", dimension: l},                       // from the middle of the section to the middle
		{name: "ring thickness", dimension: l},
		{name: "ring height", dimension: l, least: math.Inf(-1)}, // of its middle above the grounded end
		{name: "plate diameter", dimension: l},
		{name: "plate hole", dimension: l, orEqual: true},
		{name: "plate height", dimension: l, least: math.Inf(-1)}, // above the grounded end
		{name: boxDiameter, dimension: l},
		{name: boxWidth, dimension: l},                          // of a square one
		{name: "box bottom", dimension: l, least: math.Inf(-1)}, // above the grounded end
		{name: "box top", dimension: l, least: math.Inf(-1)},
	}
}

const (
	wire         = "wire diameter"
	permeability = "bead permeability"
	primaryWire  = "primary wire diameter"
	boxDiameter  = "box diameter"
	boxWidth     = "box width"
)

// find returns the entry that name means.
func find(name string) (entry, bool) {
	short := map[string]string{"wire": wire, "permeability": permeability, "beads": "bead count", "height": "height above ground"}
	name = cmp.Or(short[name], name)
	for _, e := range entries() {
		if e.name == name {
			return e, true
		}
	}
	return entry{}, false
}

// check refuses values that no coil has.
func (e entry) check(q quantity.Quantity) error {
	switch {
	case q.Value < e.least || q.Value == e.least && !e.orEqual:
		expected := "a value above " + quantity.FormatValue(e.least, 2, "").Value
		if e.orEqual {
			expected = "a value of 0 or more"
		}
		return &quantity.Error{Read: q.Text, Expected: expected, Do: "leave the row out when it is not known"}
	case e.whole && q.Value != math.Round(q.Value):
		return &quantity.Error{Read: q.Text, Expected: "a whole number", Do: "count them"}
	}
	return nil
}

// counts tells whether e counts turns, which may be half ones.
func (e entry) counts() bool { return e.name == "turns" || e.name == "primary turns" }

// unstated returns the standard uncertainty of a value without a ±.
func (e entry) unstated(q quantity.Quantity) float64 {
	switch {
	case e.name == permeability:
		return 0.2 * q.Value // common practice: ferrite grades keep ±20 % or so
	case e.whole || e.counts():
		return 0
	}
	return q.DigitUncertainty()
}
