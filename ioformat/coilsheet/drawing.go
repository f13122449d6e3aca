package coilsheet

import (
	"fitcoil/model/drawing"
)

// CanPredict says whether the sheet has what a drawing needs at the least: turns,
// winding diameter and winding length.
func (s *Sheet) CanPredict() bool {
	return s.Turns.Known && s.WindingDiameter.Known && s.WindingLength.Known
}

// Drawing returns the coil as drawn, with a variant for each dimension that has
// an uncertainty.
func (s *Sheet) Drawing() drawing.Drawing {
	d := drawing.Drawing{Coil: s.Coil(), Core: s.Core, LossTangent: s.LossTangent.Value, LossFrequency: s.LossFrequency.Value}
	for _, e := range entries() {
		if v := e.field(s); v.Known && v.Uncertainty > 0 {
			moved := *s
			e.field(&moved).Value = v.Value + v.Uncertainty
			if v.Assumed { // a lower permeability changes more than a higher one
				e.field(&moved).Value = v.Value - v.Uncertainty
			}
			c := moved.Coil()
			if c.Check() == nil {
				d.Variants = append(d.Variants, c)
			}
		}
	}
	return d
}
