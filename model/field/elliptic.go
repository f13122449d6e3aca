package field

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// cel returns the general complete elliptic integral
//
//	∫₀^{π/2} (c cos²θ + s sin²θ) / ((cos²θ + p sin²θ) √(cos²θ + kc² sin²θ)) dθ
//
// for kc ≠ 0 and p > 0, by Bartky's transformation. Source: Bulirsch, Numer.
// Math. 13 (1969) 305. The tolerance is the square root of the accuracy, since
// convergence is quadratic.
func cel(kc, p, c, s float64) float64 {
	const tolerance = 1e-8
	k, em := math.Abs(kc), 1.0
	p = math.Sqrt(p)
	s /= p
	f := c
	c += s / p
	g := k / p
	s = 2 * (s + f*g)
	p += g
	g = em
	em += k
	kk := k
	for math.Abs(g-k) > g*tolerance {
		k = 2 * math.Sqrt(kk)
		kk = k * em
		f = c
		c += s / p
		g = kk / p
		s = 2 * (s + f*g)
		p += g
		g = em
		em += k
	}
	return 0.5 * math.Pi * (s + c*em) / (em * (em + p))
}

// completeBD returns ∫cos²θ/Δ and ∫sin²θ/Δ over [0, π/2] with Δ² = 1 − m sin²θ,
// 0 ≤ m < 1: the pair that makes K = B + D and E = B + (1−m)D without
// cancellation.
func completeBD(m float64) (b, d float64) {
	return mathext.CompleteB(m), mathext.CompleteD(m)
}
