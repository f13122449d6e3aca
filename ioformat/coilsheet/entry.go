package coilsheet

import (
	"math"

	"fitcoil/ioformat/quantity"
)

// entry is a quantity that a sheet knows by name.
type entry struct {
	name      string
	dimension quantity.Dimension
	field     func(*Sheet) *Given
	least     float64 // SI; the value lies above it
	orEqual   bool    // or on it
	whole     bool    // a count of things
}

// entries lists the quantities of a drawing.
func entries() []entry {
	const l, pure = quantity.Length, quantity.Pure
	return []entry{
		{name: "turns", dimension: pure, field: func(s *Sheet) *Given { return &s.Turns }},
		{name: "winding diameter", dimension: l, field: func(s *Sheet) *Given { return &s.WindingDiameter }},
		{name: "winding length", dimension: l, field: func(s *Sheet) *Given { return &s.WindingLength }},
		{name: wire, dimension: l, field: func(s *Sheet) *Given { return &s.WireDiameter }},
		{name: "ball diameter", dimension: l, field: func(s *Sheet) *Given { return &s.BallDiameter }},
		{name: "ball gap", dimension: l, field: func(s *Sheet) *Given { return &s.BallGap }, orEqual: true},
		{name: "height above ground", dimension: l, field: func(s *Sheet) *Given { return &s.Height }, orEqual: true},
		{name: "hand diameter", dimension: l, field: func(s *Sheet) *Given { return &s.HandDiameter }},
		{name: "bead diameter", dimension: l, field: func(s *Sheet) *Given { return &s.BeadDiameter }},
		{name: "bead length", dimension: l, field: func(s *Sheet) *Given { return &s.BeadLength }},
		{name: "bead spacing", dimension: l, field: func(s *Sheet) *Given { return &s.BeadSpacing }, orEqual: true},
		{name: "bead count", dimension: pure, field: func(s *Sheet) *Given { return &s.BeadCount }, whole: true},
		{name: permeability, dimension: pure, field: func(s *Sheet) *Given { return &s.BeadPermeability }, least: 1},
		{name: "bead start", dimension: l, field: func(s *Sheet) *Given { return &s.BeadStart }, least: math.Inf(-1)},
		{name: "bead loss tangent", dimension: pure, field: func(s *Sheet) *Given { return &s.LossTangent }},
		{name: "bead loss frequency", dimension: quantity.Frequency, field: func(s *Sheet) *Given { return &s.LossFrequency }},
		{name: "former outer diameter", dimension: l, field: func(s *Sheet) *Given { return &s.FormerOuter }},
		{name: "former inner diameter", dimension: l, field: func(s *Sheet) *Given { return &s.FormerInner }, orEqual: true},
		{name: "former permittivity", dimension: pure, field: func(s *Sheet) *Given { return &s.FormerPermittivity }, least: 1},
		{name: "coating thickness", dimension: l, field: func(s *Sheet) *Given { return &s.CoatingThickness }},
		{name: "coating permittivity", dimension: pure, field: func(s *Sheet) *Given { return &s.CoatingPermittivity }, least: 1},
		{name: "top voltage", dimension: quantity.Voltage, field: func(s *Sheet) *Given { return &s.TopVoltage }},
		{name: "primary turns", dimension: pure, field: func(s *Sheet) *Given { return &s.PrimaryTurns }},
		{name: "primary diameter", dimension: l, field: func(s *Sheet) *Given { return &s.PrimaryDiameter }},
		{name: "primary height", dimension: l, field: func(s *Sheet) *Given { return &s.PrimaryHeight }, least: math.Inf(-1)},
		{name: "primary spacing", dimension: l, field: func(s *Sheet) *Given { return &s.PrimarySpacing }},
		{name: primaryWire, dimension: l, field: func(s *Sheet) *Given { return &s.PrimaryWire }},
		{name: "ring diameter", dimension: l, field: func(s *Sheet) *Given { return &s.RingDiameter }},
		{name: "ring thickness", dimension: l, field: func(s *Sheet) *Given { return &s.RingThickness }},
		{name: "ring height", dimension: l, field: func(s *Sheet) *Given { return &s.RingHeight }, least: math.Inf(-1)},
		{name: "plate diameter", dimension: l, field: func(s *Sheet) *Given { return &s.PlateDiameter }},
		{name: "plate hole", dimension: l, field: func(s *Sheet) *Given { return &s.PlateHole }, orEqual: true},
		{name: "plate height", dimension: l, field: func(s *Sheet) *Given { return &s.PlateHeight }, least: math.Inf(-1)},
		{name: boxDiameter, dimension: l, field: func(s *Sheet) *Given { return &s.BoxDiameter }},
		{name: boxWidth, dimension: l, field: func(s *Sheet) *Given { return &s.BoxWidth }},
		{name: "box bottom", dimension: l, field: func(s *Sheet) *Given { return &s.BoxBottom }, least: math.Inf(-1)},
		{name: "box top", dimension: l, field: func(s *Sheet) *Given { return &s.BoxTop }, least: math.Inf(-1)},
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
	switch name {
	case "wire":
		name = wire
	case "permeability":
		name = permeability
	case "beads":
		name = "bead count"
	case "height":
		name = "height above ground"
	}
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
