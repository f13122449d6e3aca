package forward

import (
	"math"

	"fitcoil/model/quantities"
)

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
		{Key: quantities.Key{Name: quantities.HandExponent}, Unit: "1", HasPrior: true, Value: func(f *Model, x, grad []float64) float64 {
			clear(grad)
			grad[k+2] = 1
			return x[k+2]
		}},
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
	return []Quantity{{Key: quantities.Key{Name: quantities.LeadCapacitance}, Unit: "F", HasPrior: true, Value: func(f *Model, x, grad []float64) float64 {
		clear(grad)
		grad[f.Lead] = LeadSigma
		return LeadSigma * x[f.Lead]
	}}}
}
