package field

// former returns the tube that the winding is wound on.
func (c Coil) former() Tube {
	u := c.Former
	if u.Outer == 0 {
		u.Outer = c.Diameter - c.wire()
	}
	return u
}

// coating returns the layer around the winding.
func (c Coil) coating() Tube {
	inner := c.Diameter + c.wire()
	return Tube{Inner: inner, Outer: inner + 2*c.Coating.Thickness, Permittivity: c.Coating.Permittivity}
}

// Insulators returns former and coating, as far as there are any. Half a wire's thickness of
// air or enamel stands between them and the sheet that the winding is.
func (c Coil) Insulators() (list []Tube) {
	if c.Turns == 0 && c.Wire == 0 { // where the turns begin isn't known
		return nil
	}
	for _, u := range []Tube{c.former(), c.coating()} {
		if u.there() {
			list = append(list, u)
		}
	}
	return list
}

// checkInsulators returns what makes former and coating impossible, nil if nothing does.
func (c Coil) checkInsulators() error {
	u := c.former()
	switch {
	case c.Former != Tube{} && !(u.Permittivity >= 1):
		return impossible(FormerPermittivity)
	case c.Former != Tube{} && !(u.Inner >= 0 && u.Outer > u.Inner):
		return impossible(FormerHollow)
	case c.Former != Tube{} && u.Outer > c.Diameter-0.999*c.wire():
		return impossible(FormerTooThick, u.Outer, c.Diameter-c.wire())
	case u.there() && c.Beads.Count > 0 && u.Inner < c.Beads.Diameter:
		return impossible(FormerTooNarrow, c.Beads.Diameter, u.Inner)
	case c.Coating != Coating{} && !(c.Coating.Thickness > 0 && c.Coating.Permittivity >= 1):
		return impossible(CoatingIncomplete)
	}
	return nil
}
