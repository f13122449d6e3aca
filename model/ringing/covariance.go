package ringing

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// jacobian returns the derivatives of the rows with respect to the amplitudes
// and the offset, then ω and α of each tone (per unit of x), orthonormalised;
// nil when they are dependent.
func (p *projection) jacobian() *orthonormal {
	return orthonormalise(append(p.columns(), p.tangents()...))
}

// covariance returns the covariance of ω and α (both rad/s) of each tone, of
// Re A and Im A of each tone, of the offset and its drift, in this order, for
// noise of the given colour. The fit weighs all rows alike, so with the
// Jacobian J = Q·T it is T⁻¹ (QᵀΣQ) T⁻ᵀ, Σ being the covariance of the noise
// (the "sandwich"; White, Econometrica 48 (1980) 817, here for stationary
// noise).
func (p *projection) covariance(j *orthonormal, c colour) [][]float64 {
	cov := j.propagate(gram(j.q, p.series.colouring(j.q, c)))
	linear, nonlinear := len(p.coef), 2*len(p.tones)
	order := make([]int, 0, linear+nonlinear)
	scale := make([]float64, 0, linear+nonlinear)
	for j := range nonlinear {
		order, scale = append(order, linear+j), append(scale, p.unit)
	}
	for j := range linear {
		order, scale = append(order, j), append(scale, 1)
	}
	out := make([][]float64, len(order))
	for i := range out {
		out[i] = make([]float64, len(order))
		for j := range out[i] {
			out[i][j] = scale[i] * scale[j] * cov[order[i]][order[j]]
		}
	}
	return out
}

// gram returns AᵀB for the columns of A and B, made symmetric.
func gram(a, b [][]float64) [][]float64 {
	w := make([][]float64, len(a))
	for i := range w {
		w[i] = make([]float64, len(a))
		for j := range i + 1 {
			w[i][j] = (floats.Dot(a[i], b[j]) + floats.Dot(a[j], b[i])) / 2
			w[j][i] = w[i][j]
		}
	}
	return w
}

// gradient is that of a quantity by the entries of a ring's covariance, from entry at on.
type gradient struct {
	at int
	by []float64
}

// naturalGradient is that of the undamped frequency of tone k, √(ω² + α²)/2π.
func naturalGradient(k int, t tone) gradient {
	natural := math.Hypot(t.omega, t.alpha)
	return gradient{2 * k, []float64{t.omega / natural / (2 * math.Pi), t.alpha / natural / (2 * math.Pi)}}
}

// qualityGradient is that of the quality factor √(ω² + α²)/2α of tone k.
func qualityGradient(k int, t tone) gradient {
	natural := math.Hypot(t.omega, t.alpha)
	return gradient{2 * k, []float64{t.omega / (2 * t.alpha * natural), -t.omega * t.omega / (2 * t.alpha * t.alpha * natural)}}
}
