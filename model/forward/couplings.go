package forward

import (
	"math"

	"fitcoil/model/quantities"
)

// couplingQuantities are the couplings in air and with each core, where it covers most.
func couplingQuantities(f *Model) (q []Quantity) {
	for i := range f.Couplings {
		c := &f.Couplings[i]
		if !f.deepest(c) {
			continue
		}
		q = append(q,
			Quantity{Key: quantities.Key{Name: quantities.CouplingAtResonance, Core: c.Core}, Unit: "1", Positive: true, Squared: true, Value: func(_ *Model, x, grad []float64) float64 {
				k := math.Sqrt(-math.Expm1(-2 * x[c.At]))
				clear(grad)
				grad[c.At] = math.Exp(-2*x[c.At]) / k
				return k
			}},
			Quantity{Key: quantities.Key{Name: quantities.CouplingOfWindings, Core: c.Core}, Unit: "1", Positive: true, Squared: true, Value: c.ofWindings,
				Model: func(f *Model, x []float64) float64 {
					ref := c.Reference()
					return f.modeUncertainty(f.byMode(x, &ref), c.Core)
				}})
	}
	return q
}

// ofWindings is the coupling of the windings that goes with c.
func (c *CoupledUnknown) ofWindings(f *Model, x, grad []float64) float64 {
	ref := c.Reference()
	k := math.Sqrt(-math.Expm1(-2*x[c.At])) / math.Exp(f.byMode(x, &ref))
	f.gradient(x, &ref, grad)
	moved := append([]float64(nil), x...)
	for j, at := range x {
		if grad[j] != 0 && j != AtL {
			grad[j] = -k * f.difference(moved, j, func() float64 { return f.byMode(moved, &ref) })
			moved[j] = at
		} else {
			grad[j] = 0
		}
	}
	grad[c.At] = k * math.Exp(-2*x[c.At]) / -math.Expm1(-2*x[c.At])
	return k
}
