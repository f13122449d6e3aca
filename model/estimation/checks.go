package estimation

import (
	"math"

	"fitcoil/model/drawing"
	"fitcoil/model/quantities"
)

// Check compares a quantity as drawn with what the readings say without any help
// from the drawing.
type Check struct {
	Drawn, Readings quantities.Estimate
	Sigmas          float64 // readings less drawing, over the standard uncertainty of the difference; NaN while undetermined
}

func checks(drawn *drawing.Drawn, alone *Result) (out []Check) {
	for _, e := range drawn.Estimates {
		if e.Name == quantities.QualityCore { // that read holds the winding's part too
			continue
		}
		o := alone.Find(quantities.Key{Name: e.Name, Core: e.Core, Hand: e.Hand})
		if o == nil {
			continue
		}
		c := Check{Drawn: e, Readings: *o, Sigmas: math.NaN()}
		if o.Determined && quantities.Finite(o.Uncertainty) {
			c.Sigmas = (o.Value - e.Value) / math.Hypot(o.Uncertainty, e.Uncertainty)
		}
		out = append(out, c)
	}
	return out
}

// Pairs are the effective pair by each kind of knowledge; nil where that leaves it open
// or where there is no drawing.
type Pairs struct{ All, Readings, Drawing *quantities.Pair }

// pairs returns the pair of r, which knows a drawing, beside those of the readings alone
// and of the drawing alone.
func (r *Result) pairs(alone *Result) (out Pairs) {
	keep := func(p quantities.Pair, ok bool) *quantities.Pair {
		if !ok {
			return nil
		}
		return &p
	}
	out.All = keep(r.Pair())
	if d := r.Session.Drawn; d != nil {
		out.Drawing = keep(d.Pair())
	}
	if alone != nil {
		out.Readings = keep(alone.Pair())
	}
	return out
}

// CompareWithDrawing compares the drawing of r, if there is one, with a fit that doesn't
// know it.
func (r *Result) CompareWithDrawing() ([]Check, Pairs) {
	s := r.Session
	drawn := s.Drawn
	if drawn == nil {
		return nil, r.pairs(r)
	}
	s.Drawn = nil
	alone, err := Fit(s)
	if err != nil {
		return nil, r.pairs(nil)
	}
	alone = alone.Widen() // what the drawing makes of tolerances goes with it
	return checks(drawn, alone), r.pairs(alone)
}
