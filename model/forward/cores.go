package forward

import (
	"math"

	"fitcoil/model/quantities"
)

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
