package forward

import (
	"math"

	"fitcoil/model/readings"
)

// Split returns the roots of the shares of part p's variance that are its own and its
// lot's, as x has them.
func (f *Model) Split(p int) (own, common float64) {
	if f.LotAt[p] < 0 {
		return 1, 0
	}
	share := f.Parts[p].Common
	return math.Sqrt(1 - share), math.Sqrt(share)
}

// Part returns the capacitance of part p [F]; NaN for an unknown part that x
// doesn't hold.
func (f *Model) Part(x []float64, p int) float64 {
	part, k := &f.Parts[p], f.PartAt[p]
	switch {
	case part.Known && k < 0 && f.LotAt[p] < 0:
		return part.Capacitance
	case part.Known:
		off := f.PartError(x, p) * f.Relative(p)
		if p < len(f.parts) {
			return part.Capacitance * f.parts[p].exp(off)
		}
		return part.Capacitance * math.Exp(off)
	case k < 0:
		return math.NaN()
	}
	return math.Exp(x[k])
}

// PartError returns by how many of its standard uncertainties part p is off, its own
// error and its lot's together.
func (f *Model) PartError(x []float64, p int) (e float64) {
	own, common := f.Split(p)
	if k := f.PartAt[p]; k >= 0 {
		e += own * x[k]
	}
	if k := f.LotAt[p]; k >= 0 {
		e += common * x[k]
	}
	return e
}

// partGradient adds to grad what a quantity with the derivative per to ln C of part p
// has.
func (f *Model) partGradient(p int, per float64, grad []float64) {
	own, common := f.Split(p)
	if k := f.PartAt[p]; k >= 0 {
		grad[f.slot(k, len(grad))] += own * per * f.Relative(p)
	}
	if k := f.LotAt[p]; k >= 0 {
		grad[k] += common * per * f.Relative(p)
	}
}

// Relative returns ∂ln C/∂x of part p: its relative standard uncertainty, or 1
// for a part without a value.
func (f *Model) Relative(p int) float64 {
	if part := f.Parts[p]; part.Known {
		return part.Uncertainty / part.Capacitance
	}
	return 1
}

// handCapacitance returns K/(d+d0)^p, and by how much that errs where it was read, the capacitance of a hand or grounded
// body at distance d [F]: zero at +Inf, NaN when x holds no hand.
func (f *Model) handCapacitance(x []float64, d float64) float64 {
	if math.IsInf(d, 1) {
		return 0
	}
	if f.Hand < 0 {
		return math.NaN()
	}
	k, off := f.Hand, 0.0
	if at := f.nearAt(d); at >= 0 {
		off = x[at]
	}
	if at := [5]float64{x[k], x[k+1], x[k+2], d, off}; f.hand == 0 || at != f.handOf {
		d0 := f.offset.exp(x[k+1])
		f.handOf, f.hand = at, math.Exp(x[k]+x[k+2]*math.Log((f.HandScale+d0)/(d+d0))+HandSpread*off)
	}
	return f.hand
}

// leadCapacitance returns what clip and lead bring to state s [F]; none where x doesn't
// hold it.
func (f *Model) leadCapacitance(x []float64, s *readings.State) float64 {
	if f.Lead < 0 || !s.Clipped() {
		return 0
	}
	return LeadSigma * x[f.Lead]
}

// Added returns the sum of the parts on the top and of what they bring besides, as x
// has them [F].
func (f *Model) Added(x []float64, s *readings.State) float64 {
	c := s.Exact + f.leadCapacitance(x, s)
	for _, i := range s.Parts {
		c += f.Part(x, i)
	}
	return c
}
