package forward

import (
	"math"

	"fitcoil/model/quantities"
)

// Quantities lists all that the unknowns of f can tell: first parameters, then
// what derives from them.
func Quantities(f *Model) (parameters, derived []Quantity) {
	parameters = append(windingQuantities(f), coreQuantities(f)...)
	parameters = append(parameters, handQuantities(f)...)
	parameters = append(parameters, partQuantities(f)...)
	parameters = append(parameters, leadQuantities(f)...)
	return parameters, DerivedQuantities(f)
}

func windingQuantities(f *Model) []Quantity {
	q := []Quantity{{Key: quantities.Key{Name: quantities.Inductance}, Unit: "H", Positive: true, Value: entry(AtL)}}
	if f.Share < 0 {
		return append(q, Quantity{Key: quantities.Key{Name: quantities.TopCapacitance}, Unit: "F", Positive: true, Value: entry(AtC)})
	}
	fraction := func(sign float64) func(*Model, []float64, []float64) float64 {
		return func(f *Model, x, grad []float64) float64 {
			c, s := math.Exp(x[AtC]), x[f.Share]
			if sign < 0 {
				s = 1 - s
			}
			clear(grad)
			grad[AtC], grad[f.Share] = c*s, sign*c
			return c * s
		}
	}
	return append(q,
		Quantity{Key: quantities.Key{Name: quantities.WindingCapacitance}, Unit: "F", Unsigned: true, HasPrior: true, Value: fraction(-1)},
		Quantity{Key: quantities.Key{Name: quantities.TopCapacitance}, Unit: "F", Unsigned: true, HasPrior: true, Value: fraction(1)})
}

func coreQuantities(f *Model) (q []Quantity) {
	for _, c := range f.Cores {
		k := c.At + 1
		q = append(q,
			Quantity{Key: quantities.Key{Name: quantities.CoreGain, Core: c.Name}, Unit: "1", Positive: true, Neutral: 1, Value: entry(c.At)},
			Quantity{Key: quantities.Key{Name: quantities.CoreCapacitance, Core: c.Name}, Unit: "F", HasPrior: true,
				Value: func(f *Model, x, grad []float64) float64 {
					c, spread := math.Exp(x[AtC]), 3.0 // a line's, even, is worth a third at the top
					clear(grad)
					if f.Share >= 0 {
						spread = 1 - x[f.Share]
						grad[f.Share] = -c * math.Expm1(x[k])
					}
					grad[AtC] = spread * c * math.Expm1(x[k])
					grad[k] = spread * c * math.Exp(x[k])
					return f.Polarisation() + grad[AtC]
				}})
	}
	return q
}

func handQuantities(f *Model) []Quantity {
	if f.Hand < 0 {
		return nil
	}
	k := f.Hand
	return []Quantity{
		{Key: quantities.Key{Name: quantities.HandStrength}, Unit: "F·m^p", Positive: true,
			Value: Exponential(func(f *Model, x, grad []float64) float64 {
				clear(grad)
				d0 := math.Exp(x[k+1])
				scale := f.HandScale + d0
				grad[k], grad[k+1], grad[k+2] = 1, x[k+2]*d0/scale, math.Log(scale)
				return x[k] + x[k+2]*math.Log(scale)
			})},
		{Key: quantities.Key{Name: quantities.HandOffset}, Unit: "m", Positive: true, Value: entry(k + 1)},
		{Key: quantities.Key{Name: quantities.HandExponent}, Unit: "1", HasPrior: true, Value: Linear(k+2, 1)},
	}
}

func partQuantities(f *Model) (q []Quantity) {
	for p := range f.PartAt {
		if f.PartAt[p] < 0 && f.LotAt[p] < 0 {
			continue
		}
		q = append(q, Quantity{Key: quantities.Key{Name: quantities.PartCapacitance, Part: f.Parts[p].Name}, Unit: "F", Positive: true,
			Value: Exponential(func(f *Model, x, grad []float64) float64 {
				clear(grad)
				f.partGradient(p, 1, grad)
				return math.Log(f.Part(x, p))
			})})
	}
	return q
}

// leadQuantities is the lead's capacitance, if x holds it.
func leadQuantities(f *Model) []Quantity {
	if f.Lead < 0 {
		return nil
	}
	return []Quantity{{Key: quantities.Key{Name: quantities.LeadCapacitance}, Unit: "F", HasPrior: true, Value: Linear(f.Lead, LeadSigma)}}
}
