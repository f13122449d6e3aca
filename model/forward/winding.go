package forward

import (
	"math"

	"fitcoil/model/quantities"
)

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
