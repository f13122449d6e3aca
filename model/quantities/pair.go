package quantities

import (
	"math"

	"fitcoil/fit"
)

// Pair is the effective inductance and capacitance of the bare coil with what is
// known of the two together: ln L and ln C are taken as normal, with a correlation.
type Pair struct {
	Inductance  Estimate // H
	Capacitance Estimate // F
	Correlation float64  // of ln L and ln C, −1 … 1
	Degrees     float64  // of freedom of their covariance; may be +Inf
}

// Region returns n points {L, C} [H, F] around the region that holds the pair with the
// probability given: the ellipse (x − x̂)ᵀ V⁻¹ (x − x̂) = k², x = (ln L, ln C), with
// fit.JointFactor for k.
func (p *Pair) Region(probability float64, n int) [][2]float64 {
	k := fit.JointFactor(probability, p.Degrees)
	ul, uc := p.Inductance.Uncertainty/p.Inductance.Value, p.Capacitance.Uncertainty/p.Capacitance.Value
	apart := math.Sqrt(1 - p.Correlation*p.Correlation)
	out := make([][2]float64, n)
	for i := range out {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out[i] = [2]float64{
			p.Inductance.Value * math.Exp(k*ul*cos),
			p.Capacitance.Value * math.Exp(k*uc*(p.Correlation*cos+apart*sin)),
		}
	}
	return out
}
