package decisions

import (
	"math"

	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// HandDrop returns by how much the hand of s lowers the frequency that s has with nobody
// near [Hz]. Between the distances read, and beyond, it counts what the hand's law leaves
// open.
func HandDrop(r *estimation.Result, s readings.State) quantities.Estimate {
	away := s
	away.Hand = math.Inf(1)
	near := 0.0
	e := r.Estimate(forward.Quantity{Key: quantities.Key{Name: quantities.HandFrequencyDrop, Hand: s.Hand}, Unit: "Hz", Unsigned: true,
		Value: func(f *forward.Model, x, grad []float64) float64 {
			other := make([]float64, len(grad))
			near = f.Frequency(x, &s, grad)
			far := f.Frequency(x, &away, other)
			for i := range grad {
				grad[i] = far*other[i] - near*grad[i]
			}
			return far - near
		}})
	r.Problem.At(r.Solution.X, &s)
	if own := near * r.Problem.LawUncertainty(r.Solution.X, &s); e.Determined && own > 0 {
		e.Widen(own)
		r.Cover(&e, false)
		e.Interval[0] = math.Max(e.Interval[0], 0)
	}
	return e
}
