package fit

import "math"

// ranAway reports whether more directions have lost their hold than at some
// earlier x, so much that moving the parameters along one of them by their own
// size would change nothing that can be seen beside the residuals that are
// left. A minimum is not found there but lost sight of.
func (v *solver) ranAway() bool {
	s := &v.step
	lost := s.lost()
	if lost <= v.fewestLost || v.sum.objective == 0 {
		return false
	}
	w := make([]float64, v.p.Params)
	for k := s.n - lost; k < s.n; k++ {
		z := s.svd.right(k)
		own := v.ownSize(z, s.free)
		clear(w)
		for i, j := range s.free {
			axpy(z[i]*v.inverse[j]*own, v.here.column(j), w)
		}
		if norm(w) <= 1e-6*math.Sqrt(v.sum.objective) {
			return true
		}
	}
	return false
}

// ownSize returns how far along the scaled direction z of the free parameters
// the first of them has moved by its unit.
func (v *solver) ownSize(z []float64, free []int) float64 {
	most := 0.0
	for i, j := range free {
		most = math.Max(most, math.Abs(z[i]*v.inverse[j])/v.unit(j))
	}
	return 1 / most
}
