package model

import "math"

// HandDrop returns by how much the hand of s lowers the frequency that s has with nobody
// near [Hz]. Between the distances read, and beyond, it counts what the hand's law leaves
// open.
func (r *Result) HandDrop(s State) Estimate {
	away := s
	away.Hand = math.Inf(1)
	near := 0.0
	e := r.estimate(quantity{name: HandFrequencyDrop, hand: s.Hand, unit: "Hz", unsigned: true,
		value: func(f *forward, x, grad []float64) float64 {
			other := make([]float64, len(grad))
			near = f.frequency(x, &s, grad)
			far := f.frequency(x, &away, other)
			for i := range grad {
				grad[i] = far*other[i] - near*grad[i]
			}
			return far - near
		}})
	if own := near * r.problem.lawUncertainty(r.fit.X, &s); e.Determined && own > 0 {
		e.widen(own)
		e.Interval = interval(e.Value, e.Uncertainty, r.coverageFactor(e.Budget), false)
		e.Interval[0] = math.Max(e.Interval[0], 0)
	}
	return e
}
