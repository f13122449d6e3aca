package coilsheet

import (
	"maps"

	"fitcoil/ioformat/benchlog"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/readings"
)

// CanPredict says whether the sheet has what a drawing needs at the least: turns,
// winding diameter and winding length.
func (s *Sheet) CanPredict() bool {
	return s.knows("turns", "winding diameter", "winding length")
}

// Drawing returns the coil as drawn, with a variant for each dimension that has
// an uncertainty.
func (s *Sheet) Drawing() drawing.Drawing {
	d := drawing.Drawing{Coil: s.Coil(), Core: s.Core, LossTangent: s.Value("bead loss tangent"), LossFrequency: s.Value("bead loss frequency")}
	for _, e := range entries() {
		v := s.given[e.name]
		if v.Uncertainty <= 0 {
			continue
		}
		if v.Assumed { // a lower permeability changes more than a higher one
			v.Uncertainty *= -1
		}
		v.Value += v.Uncertainty
		if c := s.with(e.name, v).Coil(); c.Check() == nil {
			d.Variants = append(d.Variants, c)
		}
	}
	return d
}

// Coil returns the drawing. What the sheet doesn't say is zero.
func (s *Sheet) Coil() field.Coil {
	c := field.Coil{
		Turns: s.Value("turns"), Diameter: s.Value("winding diameter"), Length: s.Value("winding length"), Wire: s.Value(wire),
		Ball: s.Value("ball diameter"), BallGap: s.Value("ball gap"), Height: s.Value("height above ground"), Hand: s.Value("hand diameter"),
		Beads: field.Beads{Diameter: s.Value("bead diameter"), Length: s.Value("bead length"), Spacing: s.Value("bead spacing"),
			Count: int(s.Value("bead count")), Permeability: s.Value(permeability), Start: s.Value("bead start")},
	}
	if s.knows("former permittivity") {
		c.Former = field.Tube{Inner: s.Value("former inner diameter"), Outer: s.Value("former outer diameter"), Permittivity: s.Value("former permittivity")}
	}
	if s.knows("coating thickness") {
		c.Coating = field.Coating{Thickness: s.Value("coating thickness"), Permittivity: s.Value("coating permittivity")}
	}
	if s.knows("primary turns") {
		c.Primary = field.Primary{Turns: s.Value("primary turns"), Diameter: s.Value("primary diameter"), Height: s.Value("primary height"),
			Spacing: s.Value("primary spacing"), Wire: s.Value(primaryWire), Metal: field.Grounded}
		if s.PrimaryFloating {
			c.Primary.Metal = field.Floating
		}
	}
	c.Metal = s.metal()
	return c
}

// metal returns what stands around the coil.
func (s *Sheet) metal() (m field.Metal) {
	if s.knows("ring diameter") {
		m.Ring = field.Ring{Diameter: s.Value("ring diameter"), Thickness: s.Value("ring thickness"), Height: s.Value("ring height"), Floating: !s.RingGrounded, Slit: s.RingSlit}
	}
	if s.knows("plate diameter") {
		m.Plate = field.Plate{Diameter: s.Value("plate diameter"), Hole: s.Value("plate hole"), Height: s.Value("plate height")}
	}
	if s.knows("box bottom") {
		m.Box = field.Box{Diameter: s.Value(boxDiameter), Bottom: s.Value("box bottom"), Top: s.Value("box top")}
		if s.knows(boxWidth) {
			m.Box.Diameter = field.SquareBox(s.Value(boxWidth))
		}
	}
	return m
}

// Tell brings what the sheet knows into a session: values by meter, and the drawing
// with its resonator where it is complete enough. The hands drawn are those of the
// session's log. The error says what of the drawing can't be.
func (s *Sheet) Tell(session *estimation.Session) (err error) {
	session.Known = append(session.Known, s.Meter...)
	if !s.knows("winding diameter", "winding length") {
		return nil
	}
	drawing := s.Drawing()
	if session.Ladder, err = drawing.Ladder(); err == nil && s.CanPredict() {
		session.Drawn, err = drawing.Predict(readings.Hands(session.Log)...)
	}
	return Worded(err)
}

// PartsBeside returns the values of parts that are given from elsewhere, and of the
// others those of the sheet.
func (s *Sheet) PartsBeside(given map[string]benchlog.PartValue) map[string]benchlog.PartValue {
	parts, taken := maps.Clone(given), map[string]bool{}
	for name := range given {
		taken[benchlog.PartKey(name)] = true
	}
	for name, value := range s.Parts {
		if !taken[benchlog.PartKey(name)] {
			parts[name] = value
		}
	}
	return parts
}
