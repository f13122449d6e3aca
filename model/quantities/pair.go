package quantities

import "math"

// Pair is the effective inductance and capacitance of the bare coil with what is
// known of the two together: ln L and ln C are taken as normal, with a correlation.
type Pair struct {
	Inductance  Estimate // H
	Capacitance Estimate // F
	Correlation float64  // of ln L and ln C, −1 … 1
	Degrees     float64  // of freedom of their covariance; may be +Inf
}

// Region returns n points {L, C} [H, F] around the region that holds the pair with the
// probability given: the ellipse (x − x̂)ᵀ V⁻¹ (x − x̂) = 2 F, x = (ln L, ln C), with the
// quantile of F of 2 and ν degrees of freedom, which is ν/2·((1 − P)^(−2/ν) − 1) in closed
// form (JCGM 102:2011, 6.5.2.4, for ν = ∞: −2 ln(1 − P)).
func (p *Pair) Region(probability float64, n int) [][2]float64 {
	square := -2 * math.Log1p(-probability)
	if !math.IsInf(p.Degrees, 1) {
		square = p.Degrees * math.Expm1(square/p.Degrees)
	}
	k := math.Sqrt(square)
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
